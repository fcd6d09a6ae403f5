"""No request reads all records: what a page visits is counted, on a bench with thousands of them behind it."""

import re
from collections.abc import Iterator

import pytest
from flask import Flask

from bench.journal.shelf import Shelf
from bench.measure.bulk import CYCLE, FURNACE, ident, record
from bench.measure.screens_core import BARE, Bare, bench_with, step_screens
from bench.screens.kit import paging
from bench.workshop.filed import Filed
from bench.workshop.packed import Records

FEW, MANY, A_PAGE = 2_400, 12_000, 4
MOST_SHARE = 0.1


@pytest.fixture(scope="module")
def benches(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Bare, Bare]]:
    """One bench with some records behind it, and one with five times as many."""
    root = tmp_path_factory.mktemp("visits")
    with bench_with(root / "few", FEW) as few, bench_with(root / "many", MANY) as many:
        yield few, many


@pytest.fixture(autouse=True, scope="module")
def visited() -> Iterator[list[int]]:
    """How many records were handed out, by whichever of the three ways in: of a thing, by id, or all in a walk.

    Lists that go on for pages need not be thousands long here: a page is short.
    """
    found = [0]
    touching, one, walk = Filed.touching, Records.__getitem__, Shelf.walk

    def counted(self: Filed, thing: str, kind: str) -> object:
        rows = touching(self, thing, kind)
        found[0] += len(rows)
        return rows

    def counted_one(self: Records, record_id: str) -> object:
        found[0] += 1
        return one(self, record_id)

    def counted_walk(self: Shelf, stop: int) -> object:
        for each in walk(self, stop):
            found[0] += 1
            yield each

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(paging, "A_PAGE", A_PAGE)
        patch.setattr(Filed, "touching", counted)
        patch.setattr(Records, "__getitem__", counted_one)
        patch.setattr(Shelf, "walk", counted_walk)
        yield found


def visits(bare: Bare, path: str, visited: list[int]) -> int:
    """The records that a page visits as it does after each new record: nothing of an earlier view is at hand."""
    state = bare.app.extensions["bench"].journal.state
    state.revision += 1
    state.noted_of.clear()
    state.timed.clear()
    visited[0] = 0
    answer = bare.client.get(path)
    assert answer.status_code < 400, (path, answer.status_code)
    answer.close()
    return visited[0]


def lists(app: Flask) -> list[str]:
    """Every page whose address names no thing."""
    rules = [rule for rule in app.url_map.iter_rules() if "GET" in (rule.methods or ()) and not rule.arguments]
    pages = sorted(rule.rule for rule in rules if rule.rule != BARE)
    return [path for path in pages if app.test_client().get(path).status_code == 200]


@pytest.fixture(scope="module")
def counts(benches: tuple[Bare, Bare], visited: list[int]) -> dict[str, tuple[int, int]]:
    """For every list and step screen the visits on the bench with few records and on the one with many."""
    few, many = benches
    pairs = [(path, path) for path in lists(many.app)]
    pairs += [(near, far) for (_, near), (_, far) in zip(step_screens(few.app), step_screens(many.app), strict=True)]
    for near, far in pairs:  # the first view works out what is then kept with each thing
        few.get(near)
        many.get(far)
    return {far: (visits(few, near, visited), visits(many, far, visited)) for near, far in pairs}


def size(app: Flask) -> int:
    return len(app.extensions["bench"].journal.state.records)


def things() -> list[str]:
    """A page of each sort of thing, in the middle of the records."""
    base = MANY // 2 // CYCLE * CYCLE
    newest = base - base % (20 * CYCLE)
    return [
        f"/batch/{ident(base + 2)}", f"/charge/{ident(base + 9)}", f"/firing/{ident(base + 10)}",
        f"/pigment/{ident(base + 32)}", f"/swatch/{ident(base + 36)}", f"/crucible/{ident(newest)}",
        f"/jar/{ident(newest + 1)}", f"/thing/{ident(base + 2)}", f"/thing/{ident(base + 10)}",
        f"/firing/{ident(base + 10)}/readings", f"/firing/{ident(base + 10)}/heat",
        f"/batch/{ident(base + 2)}/copy",
    ]  # fmt: skip


def test_the_counting_sees_a_walk_over_all(benches: tuple[Bare, Bare], visited: list[int]) -> None:
    state = benches[1].app.extensions["bench"].journal.state
    assert isinstance(state.records, Records)  # they lie in the file, not in memory
    visited[0] = 0
    assert sum(1 for _ in state.records.values()) >= MANY and visited[0] >= MANY
    visited[0] = 0
    assert len(state.rows(ident(FURNACE), "firing.planned")) > MANY // CYCLE // 2 and visited[0] > MANY // CYCLE // 2


def test_no_page_reads_all_records(
    benches: tuple[Bare, Bare], counts: dict[str, tuple[int, int]], visited: list[int]
) -> None:
    many = benches[1]
    # What each past fire did to the furnace's probe is read from its readings once, and then kept with that fire.
    many.get(next(path for path in things() if path.endswith("/heat")))
    found = {path: two[1] for path, two in counts.items()} | {path: visits(many, path, visited) for path in things()}
    assert len(found) > 40
    assert {path: n for path, n in found.items() if n > MOST_SHARE * size(many.app)} == {}


def test_five_times_the_records_are_no_five_times_the_visits(counts: dict[str, tuple[int, int]]) -> None:
    assert {path: two for path, two in counts.items() if two[1] > 1.5 * two[0] + 100} == {}


def test_a_long_list_goes_on_by_its_links(benches: tuple[Bare, Bare]) -> None:
    client = benches[1].client
    for path in ("/shelf", "/crucibles", "/swatches", "/firings"):
        seen: list[str] = []
        page, start = client.get(path).get_data(as_text=True), 0
        for _ in range(3):
            row = r'href="(/(?:jar|crucible|swatch|firing)/[0-9A-Z]{26})"'
            found = list(dict.fromkeys(re.findall(row, page)))
            assert 0 < len(found) <= A_PAGE and not set(found) & set(seen), path
            seen += found
            start += A_PAGE
            assert f'href="{path}?from={start}"' in page and ("Later" in page) == (start > A_PAGE), path
            page = client.get(f"{path}?from={start}").get_data(as_text=True)
        for odd in ("-4", "x", "99999999", "1e3", "²", "9" * 40):
            assert client.get(path, query_string={"from": odd}).status_code == 200


def test_the_bench_of_the_measurement_holds_true_records() -> None:
    from bench.workshop.records import Record

    for number in (*range(CYCLE * 3), CYCLE * 20, CYCLE * 20 + 1, CYCLE * 39, CYCLE * 39 + 1):
        identity, told = record(number)
        assert Record.from_dict({"id": identity, **told}).body is not None, number
