"""The demo data: told through the journal like any other records, whole, and true to its own story."""

from datetime import UTC, datetime

from flask import Flask
from flask.testing import FlaskClient

from bench.demo import fill
from bench.journal.verify import verify
from bench.screens.kit.joined import Bench
from bench.workshop.lineage import firings_of, origin
from bench.workshop.today import today


def filled(app: Flask) -> Bench:
    bench: Bench = app.extensions["bench"]
    fill(bench)
    return bench


def test_the_file_is_sound_and_every_picture_is_there(app: Flask) -> None:
    bench = filled(app)
    verdict = verify(bench.settings.file)
    assert verdict.sound, verdict.sentences
    assert verdict.records > 300
    assert not verdict.photos_missing and not verdict.photos_altered


def test_the_story_has_each_of_its_turns(app: Flask) -> None:
    state = filled(app).state
    firings = [state.slot(f, "fire.off").body for f in state.things("firing")]
    assert [off.reason if off else None for off in firings] == ["stalled", "reached", None]
    assert sum(bool(state.disagreements(b)) for b in state.things("batch")) == 1
    assert [len(state.own(s, "swatch.measured")) for s in state.things("swatch")] == [1, 1, 1, 1]
    for swatch in state.things("swatch"):
        lineage = origin(state, swatch)
        assert lineage is not None and len(firings_of(lineage)) == 2


def test_today_shows_a_fire_a_hot_crucible_and_a_weighing(app: Flask, client: FlaskClient) -> None:
    bench = filled(app)
    now = today(bench.state, datetime.fromtimestamp(bench.now_ms() / 1000, UTC))
    assert [fire.state for fire in now.firings] == ["soaking"]
    assert [charge.state for charge in now.hot] == ["out-hot"]
    assert "Weigh, 3 of 4" in [step.title for step in now.steps]
    assert client.get("/").status_code == 200


def test_telling_it_twice_is_told_once(app: Flask) -> None:
    bench = filled(app)
    before = len(bench.state.records)
    fill(bench)
    assert len(bench.state.records) == before
