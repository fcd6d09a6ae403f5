"""What a bench would come to after steps whose turn has not come, where its records are settled in its file."""

from collections.abc import Iterator

import pytest

from bench.records.index import Records
from bench.records.projected import Step, imagined
from bench.workshop.things.firings import firing
from tests.measure.bulk import FURNACE, ident
from tests.measure.screens_core import Bare, bench_with

SETTLED = 2_400


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


def test_a_step_imagined_on_settled_records_adds_to_all_that_is_known(yard: Bare, unlit: str) -> None:
    state = yard.app.extensions["bench"].journal.state
    assert isinstance(state.records, Records) and state.settled.count > SETTLED
    then = imagined(state, [Step("lit", unlit, {"deviations": []})], yard.app.extensions["bench"].now_ms())
    lit, known = firing(then, unlit), firing(state, unlit)
    assert lit is not None and lit.burning and known is not None and not known.burning
    assert len(then.records) == len(state.records) + 1
    behind = imagined(state, [Step("lit", unlit, {"deviations": []})], 0)  # a clock that was set back
    assert behind.last is not None and state.last is not None and behind.last.order > state.last.order
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
