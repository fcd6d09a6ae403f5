"""No request reads all records: what a page visits is counted, on a bench with thousands of them behind it."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from flask import Flask
from werkzeug.routing import BuildError

from bench.journal.shelf import Shelf
from bench.records.index import Records
from bench.web import paging
from bench.workshop.today import today
from tests.measure.bulk import CYCLE, FURNACE, ident, record
from tests.measure.screens_core import BARE, Bare, bench_with, step_screens

FEW, MANY, A_PAGE = 2_400, 12_000, 4
MOST = 700
"""No page reads more records than this, however many lie behind it."""
OVER_ALL = re.compile(r"/take/.*\.zip|/swatches/wall")
"""Asked of all that was made, so not counted here: what is taken along, and the wall."""
SORTS = ("batch", "charge", "firing", "pigment", "swatch", "crucible", "jar", "furnace")
LIKELY = {"number": 1, "phase": "before-lighting", "way": "grams", "sheet": "today", "system": "ios"}


@pytest.fixture(scope="module")
def benches(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Bare, Bare]]:
    """One bench with some records behind it, and one with five times as many."""
    root = tmp_path_factory.mktemp("visits")
    with bench_with(root / "few", FEW) as few, bench_with(root / "many", MANY) as many:
        yield few, many


@pytest.fixture(autouse=True, scope="module")
def visited() -> Iterator[list[int]]:
    """How many records were read, one by one or in a walk over all. All of the benches' are settled."""
    found = [0]
    load, walk = Shelf.load, Shelf.walk

    def counted(self: Shelf, spot: int) -> object:
        found[0] += 1
        return load(self, spot)

    def counted_walk(self: Shelf, stop: int) -> object:
        for each in walk(self, stop):
            found[0] += 1
            yield each

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Shelf, "load", counted)
        patch.setattr(Shelf, "walk", counted_walk)
        yield found


def visits(bare: Bare, path: str, visited: list[int]) -> int:
    """The records that a page visits right after a new record: a reading of the fire that burns."""
    journal = bare.app.extensions["bench"].journal
    fire = next(one.id for one in today(journal.state, bare.app.extensions["bench"].now()).firings)
    journal.write("reading", fire, {"c": 800.0})
    visited[0] = 0
    answer = bare.client.get(path)
    assert answer.status_code < 400, (path, answer.status_code)
    answer.close()
    return visited[0]


def pages(bare: Bare) -> list[str]:
    """Every page that answers on a bench: each that names no thing, each step, and one of each sort of thing."""
    state = bare.app.extensions["bench"].journal.state
    middle = {sort: found[len(found) // 2] for sort in SORTS if (found := state.things(sort))}
    build = bare.app.url_map.bind("localhost").build
    found = [path for _, path in step_screens(bare.app)]
    for rule in bare.app.url_map.iter_rules():
        if "GET" not in (rule.methods or ()) or rule.rule == BARE or rule.arguments - {"thing", "what", *LIKELY}:
            continue
        part = rule.rule.split("/")[1]
        wanted = [middle[part]] if part in middle else list(middle.values())
        for thing in wanted if "thing" in rule.arguments else [""]:
            told = {"thing": thing, "what": state.kind_of.get(thing, "")} | LIKELY
            found.append(_built(build, rule.endpoint, {name: told[name] for name in rule.arguments}))
    asked = [path for path in dict.fromkeys(found) if path and not OVER_ALL.fullmatch(path)]
    return [path for path in asked if bare.client.get(path).status_code == 200]


def _built(build: Any, endpoint: str, told: dict[str, Any]) -> str:
    try:
        return str(build(endpoint, told))
    except (BuildError, ValueError):  # no such page is of that sort of thing
        return ""


@pytest.fixture(scope="module")
def counts(benches: tuple[Bare, Bare], visited: list[int]) -> tuple[dict[str, int], dict[str, int]]:
    """For every page the visits on the bench with few records and on the one with many.

    What is kept with each thing was worked out before, by the first view of a page: what each past fire taught.
    """
    few, many = ({path: visits(bare, path, visited) for path in pages(bare)} for bare in benches)
    return few, many


def size(app: Flask) -> int:
    return len(app.extensions["bench"].journal.state.records)


def test_the_counting_sees_a_walk_over_all(benches: tuple[Bare, Bare], visited: list[int]) -> None:
    state = benches[1].app.extensions["bench"].journal.state
    assert isinstance(state.records, Records)  # they lie in the file, not in memory
    visited[0] = 0
    assert sum(1 for _ in state.records.values()) >= MANY and visited[0] >= MANY
    visited[0] = 0
    assert len(state.rows(ident(FURNACE), "firing.planned")) > MANY // CYCLE // 2 and visited[0] > MANY // CYCLE // 2


def test_no_page_reads_more_than_a_page_needs(counts: tuple[dict[str, int], dict[str, int]]) -> None:
    _few, many = counts
    assert len(many) > 120 and sum(n > 0 for n in many.values()) > 80
    assert {path: n for path, n in many.items() if n > MOST} == {}


def test_five_times_the_records_are_no_five_times_the_visits(counts: tuple[dict[str, int], dict[str, int]]) -> None:
    few, many = ({re.sub(r"[0-9A-Z]{26}", "*", path): n for path, n in each.items()} for each in counts)
    grown = {path: (n, many[path]) for path, n in few.items() if many[path] > 1.5 * n + 100}
    assert len(few) > 100 and grown == {}


@pytest.fixture
def short() -> Iterator[None]:
    """Lists that go on for pages need not be hundreds long here: a page is short."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(paging, "A_PAGE", A_PAGE)
        yield


@pytest.mark.usefixtures("short")
def test_a_long_list_goes_on_by_its_links(benches: tuple[Bare, Bare]) -> None:
    client = benches[1].client
    furnace = f"/furnace/{ident(FURNACE)}"
    for path in ("/shelf", "/crucibles", "/swatches", "/firings", furnace):
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
    from bench.journal.upgrade import upgraded
    from bench.records.record import Record

    for number in (*range(CYCLE * 3), CYCLE * 20, CYCLE * 20 + 1, CYCLE * 39, CYCLE * 39 + 1):
        identity, told = record(number)
        assert Record.from_dict(upgraded({"id": identity, **told})).body is not None, number
