"""Pages that a phone takes in for steps whose turn has not come, on a bench whose records are settled in its file."""

import json
from collections.abc import Callable, Iterator

import pytest

from bench.records.index import Records
from bench.records.projected import Step, imagined
from bench.serving.doors import KEY
from bench.web.projecting import HEADER
from bench.workshop.things.firings import firing
from tests.measure.bulk import FURNACE, ident
from tests.measure.screens_core import Bare, bench_with

SETTLED = 2_400
Get = Callable[[str], str]


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bare]:
    """A bench with so many records that the state reads them from the file, and a fire that is not lit."""
    with bench_with(tmp_path_factory.mktemp("ahead") / "bench", SETTLED) as bare:
        yield bare


@pytest.fixture(scope="module")
def unlit(yard: Bare) -> str:
    """A planned firing."""
    plan = {"furnace": ident(FURNACE), "segments": [{"to_c": 900.0}]}
    written: str = yard.app.extensions["bench"].journal.write("firing.planned", None, plan).id
    return written


@pytest.fixture(scope="module")
def take_in(yard: Bare) -> Get:
    """Gets a page as a paired phone does that takes it along."""
    code = yard.app.extensions["pairing"].offer()
    device = yard.app.extensions["pairing"].admit(code, "Kiln", "tls")
    client = yard.app.test_client()
    over = {KEY: "tls", "wsgi.url_scheme": "https"}
    with client.session_transaction(environ_overrides=over) as session:
        session["device"] = device.id

    def get(path: str) -> str:
        with client.get(path, headers={HEADER: "1"}, environ_overrides=over) as answer:
            assert answer.status_code in (200, 302), (path, answer.status_code)
            return str(answer.get_data(as_text=True))

    return get


def test_every_page_of_every_list_can_be_taken_in(yard: Bare, take_in: Get, unlit: str) -> None:
    client, taken = yard.client, 0
    more = client.get("/bench/offline.json").json["more"]
    assert f"/firing/{unlit}/offline.json" in more
    kinds = {address.split("/")[1] for address in more}
    assert kinds == {"batch", "firing"}
    before = len(yard.app.extensions["bench"].journal.state.records)
    for address in [next(a for a in more if a.startswith("/batch/")), f"/firing/{unlit}/offline.json"]:
        for path, _ in json.loads(take_in(address))["items"]:
            if not path.startswith("/static/"):
                take_in(path)
                taken += 1
    assert taken > 20
    state = yard.app.extensions["bench"].journal.state
    assert len(state.records) == before and not state.own(unlit, "lit"), "nothing of what is to come was kept"


def test_a_fire_that_is_not_lit_can_be_handed_over_from_the_page_taken_along(
    yard: Bare, take_in: Get, unlit: str
) -> None:
    assert "Hand the fire over" in take_in(f"/firing/{unlit}/watch")
    assert "Hand the fire over" not in yard.client.get(f"/firing/{unlit}/watch").get_data(as_text=True)


def test_a_step_imagined_on_settled_records_adds_to_all_that_is_known(yard: Bare, unlit: str) -> None:
    state = yard.app.extensions["bench"].journal.state
    assert isinstance(state.records, Records) and state.settled.count > SETTLED
    then = imagined(state, [Step("lit", unlit, {"deviations": []})], yard.app.extensions["bench"].now_ms())
    lit, known = firing(then, unlit), firing(state, unlit)
    assert lit is not None and lit.burning and known is not None and not known.burning
    assert len(then.records) == len(state.records) + 1
    for what in ("batch", "charge", "firing", "crucible", "jar", "pigment"):
        assert then.things(what) == state.things(what) and len(state.things(what)) > 1
        assert then.open_things(what) == state.open_things(what)


def test_imagining_reads_no_settled_record_that_nobody_asked_for(
    yard: Bare, unlit: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    state = yard.app.extensions["bench"].journal.state
    read: list[int] = []
    load = type(state.source).load
    monkeypatch.setattr(type(state.source), "load", lambda self, spot: read.append(spot) or load(self, spot))
    imagined(state, [Step("lit", unlit, {"deviations": []})], yard.app.extensions["bench"].now_ms())
    assert len(read) < 20
