"""Lists that are read only where somebody looks: the same records as if all were read, and few of them."""

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from bench.records.listed import Listed, joined, part_of
from tests.workshop.builder import Builder


class Row:
    """As much of a record as a list looks at."""

    def __init__(self, order: int) -> None:
        self.order = order


class Shelf:
    """Rows at their places, and how many were read."""

    def __init__(self, orders: list[int]) -> None:
        self.rows = [Row(order) for order in orders]
        self.read = 0

    def load(self, spot: int) -> Any:
        self.read += 1
        return self.rows[spot]


def orders(rows: Any) -> list[int]:
    return [row.order for row in rows]


@given(st.sets(st.integers(0, 200)), st.sets(st.integers(0, 200)), st.integers(-60, 260), st.integers(0, 40))
def test_settled_and_fresh_records_are_one_list_in_order(old: set[int], new: set[int], at: int, size: int) -> None:
    new -= old
    shelf = Shelf(sorted(old))
    found = joined(range(len(old)), [Row(n) for n in sorted(new)], shelf.load)  # type: ignore[misc]
    whole = sorted(old | new)
    assert orders(found) == whole and len(found) == len(whole)
    assert orders(found.newest_first()) == whole[::-1]
    assert orders(found[at : at + size]) == whole[at : at + size]


@given(st.lists(st.integers(0, 5), max_size=60), st.integers(0, 70), st.integers(0, 30))
def test_a_part_of_several_lists_is_that_part_of_all_in_order(where: list[int], start: int, size: int) -> None:
    lists = [[Row(n) for n, one in enumerate(where) if one == number] for number in range(6)]
    assert orders(part_of(lists, start, size)) == list(range(len(where)))[start : start + size]  # type: ignore[arg-type]


def test_a_page_of_long_lists_reads_little() -> None:
    shelf = Shelf(list(range(30_000)))
    lists = [Listed(range(n, 30_000, 3), shelf.load) for n in range(3)]
    assert orders(part_of(lists, 17_000, 50)) == list(range(17_000, 17_050))
    assert shelf.read < 50 + 3 * 15 * 3 * 15
    shelf.read = 0
    late = [Row(29_000.5), Row(40_000)]  # type: ignore[arg-type]
    found = joined(range(30_000), late, shelf.load)  # type: ignore[arg-type]
    assert found[29_001] is late[0] and found[-1] is late[1] and shelf.read < 40


def test_a_state_lists_what_it_files_also_what_came_late() -> None:
    made = Builder()
    furnace = made.add("furnace.described", {"name": "Yard ring", "fuel": "gas"}).id
    for name in ("first", "second"):
        made.add("firing.planned", {"furnace": furnace, "segments": [{"to_c": 900.0}], "name": name})
    listed = made.state.listed(furnace, "firing.planned")
    assert [one.body.name for one in listed] == ["first", "second"]
    assert list(listed) == list(made.state.touching(furnace, "firing.planned"))
    assert not made.state.listed(furnace, "lit")
