"""Which records stand, given which ones correct and which ones withdraw which.

- A record is *withdrawn* when a withdrawal of it stands. A withdrawal is a record too, and may be withdrawn.
- A record is *replaced* when a correction of it was not withdrawn, or that correction's own correction was not, and so
  on: correcting a correction does not bring the first value back, but withdrawing it does.
- It stands when it is neither.

Records that undo each other in a ring, which no honest device makes, undo nothing of each other. What comes out depends
on the records alone, and not on the order in which they came.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping

By = Mapping[str, Iterable[str]]


def verdicts(record_id: str, corrected_by: By, withdrawn_by: By) -> dict[str, bool]:
    """Whether a record stands, and whether each one stands that bears on it. Both maps go from a record to others."""

    def bearing(record: str) -> Iterator[str]:
        yield from corrected_by.get(record, ())
        yield from withdrawn_by.get(record, ())

    order = _last_first([record_id], bearing)  # what bears on a record comes before it
    ring = _rings(order, bearing)
    stands: dict[str, bool] = {}
    replaces: dict[str, bool] = {}  # whether it, or what corrected it, still takes the place of what it corrects
    for record in order:
        withdrawn = any(stands[w] for w in withdrawn_by.get(record, ()) if ring[w] != ring[record])
        replaced = any(replaces[c] for c in corrected_by.get(record, ()) if ring[c] != ring[record])
        stands[record] = not withdrawn and not replaced
        replaces[record] = not withdrawn or replaced
    return stands


def _last_first(starts: Iterable[str], nexts: Callable[[str], Iterable[str]]) -> list[str]:
    """All that can be reached, each after whatever can be reached from it but not back."""
    seen: set[str] = set()
    found: list[str] = []
    for start in starts:
        if start in seen:
            continue
        seen.add(start)
        path = [(start, iter(nexts(start)))]
        while path:
            record, ahead = path[-1]
            after = next((r for r in ahead if r not in seen), None)
            if after is None:
                found.append(record)
                path.pop()
            else:
                seen.add(after)
                path.append((after, iter(nexts(after))))
    return found


def _rings(order: list[str], nexts: Callable[[str], Iterable[str]]) -> dict[str, int]:
    """A number for each record, the same one for those that lead to each other (Kosaraju's two passes)."""
    back: dict[str, list[str]] = {record: [] for record in order}
    for record in order:
        for after in nexts(record):
            back[after].append(record)
    found: dict[str, int] = {}
    for number, start in enumerate(reversed(order)):
        ahead = [start]
        while ahead:
            record = ahead.pop()
            if record not in found:
                found[record] = number
                ahead += back[record]
    return found
