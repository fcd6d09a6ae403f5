"""From a submit to records: repeats are one, refusals stand beside their field, conflicts show both, undo withdraws."""

import re
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from flask import Blueprint, Flask, Response
from flask.testing import FlaskClient

from bench.journal import NotKept
from bench.records.record import BENCH
from bench.web.forms import Form, blank, read_form
from bench.web.ids import fresh
from bench.web.page import go, page
from bench.web.recording import Entry, record, record_all

ID = "01K9V0000000000000000000A1"


def probe_screen() -> Blueprint:
    """A screen that records a setting, or two of them, as any screen does."""
    blueprint = Blueprint("probe", __name__)

    def show(form: Form) -> Response:
        return page("look/fields.html", form=form)

    def keep() -> Response:
        form = read_form()
        data = {"name": form.text("name", required=True), "value": form.text("value", required=True)}
        if form.ok and record("setting.changed", BENCH, data, form=form, say=f"{data['value']}"):
            return go("looks.show")
        return show(form)

    def two() -> Response:
        form = read_form()
        names = ("place", "airflow", *(f"of {n}" for n in range(3, 1 + int(form.typed.get("count", 2)))))
        pair = [{"name": name, "value": form.text("value", required=True)} for name in names]
        if form.ok and record_all([Entry("setting.changed", BENCH, one) for one in pair], form=form, say="two"):
            return go("looks.show")
        return show(form)

    blueprint.add_url_rule("/probe", "ask", lambda: show(blank()), methods=["GET"])
    blueprint.add_url_rule("/probe", "keep", keep, methods=["POST"])
    blueprint.add_url_rule("/two", "two", two, methods=["POST"])
    return blueprint


@pytest.fixture
def app(app: Flask) -> Iterator[Flask]:
    """The app with a screen to try on."""
    app.register_blueprint(probe_screen())
    yield app


def kept(app: Flask) -> list[str]:
    """The values that were recorded, in order."""
    return [str(one.data["value"]) for one in app.extensions["bench"].journal.by("kind", "setting.changed")]


def test_one_submit_sent_ten_times_is_one(app: Flask, send) -> None:  # type: ignore[no-untyped-def]
    """The page's id makes a repeat the same record and the same answer."""
    for _ in range(10):
        assert send("/probe", record_id=ID, name="place", value="yard").status_code == 303
    assert kept(app) == ["yard"]


def test_fresh_ids_are_fresh_records(app: Flask, send, keeper) -> None:  # type: ignore[no-untyped-def]
    """Ten submits with ids of their own are ten records."""
    for n in range(10):
        send("/probe", record_id=fresh(keeper.ms), name="place", value=f"yard {n}")
    assert len(kept(app)) == 10


def test_one_id_with_other_content_shows_both(app: Flask, send) -> None:  # type: ignore[no-untyped-def]
    """A stored page sent again with something else in it: both are kept and both are shown."""
    send("/probe", record_id=ID, name="place", value="yard")
    answer = send("/probe", record_id=ID, name="place", value="shed")
    said = answer.get_data(as_text=True)
    assert answer.status_code == 409 and "yard" in said and "shed" in said
    assert len(app.extensions["bench"].journal.conflicts) == 1


def test_several_records_of_one_submit(app: Flask, send) -> None:  # type: ignore[no-untyped-def]
    """Two records of one submit stay two, however often it is sent."""
    for _ in range(3):
        assert send("/two", record_id=ID, value="outdoors").status_code == 303
    assert kept(app) == ["outdoors", "outdoors"]


def test_what_was_typed_is_kept(app: Flask, send) -> None:  # type: ignore[no-untyped-def]
    """A refused form comes back with 422 and every value in it."""
    answer = send("/probe", name="", lot="lot 26", note="n" * 100_000)
    said = answer.get_data(as_text=True)
    assert answer.status_code == 422 and 'value="lot 26"' in said and "n" * 100_000 in said
    assert not kept(app)


def test_what_the_journal_refuses_stands_above_the_form(app: Flask, send) -> None:  # type: ignore[no-untyped-def]
    """A record that is malformed for the journal is a sentence, not a fault."""
    answer = send("/probe", name="x" * 3_000, value="y")
    assert answer.status_code in (303, 422)


def test_a_full_disk_is_a_sentence(app: Flask, send, monkeypatch: pytest.MonkeyPatch) -> None:  # type: ignore[no-untyped-def]
    """When the disk refuses, the form comes back with the reason and what was typed."""

    def full(_drafts: object) -> object:
        raise NotKept("The disk is full. Nothing of this was stored.")

    monkeypatch.setattr(app.extensions["bench"].journal, "write_all", full)
    answer = send("/probe", name="place", value="yard", lot="26")
    assert answer.status_code == 422 and "The disk is full" in answer.get_data(as_text=True)


def test_undo_withdraws_and_says_so(app: Flask, client: FlaskClient, send, keeper) -> None:  # type: ignore[no-untyped-def]
    """The next screen offers Undo; it adds a record that withdraws, and deletes nothing."""
    shown = send("/probe", record_id=ID, name="place", value="the yard", from_page="/looks/", follow=True).get_data(
        as_text=True
    )
    assert "the yard" in shown and f'value="{ID}"' in shown
    after = send("/undo", ids=ID, back="/looks/", follow=True).get_data(as_text=True)
    assert "withdrawn" in after and kept(app) == ["the yard"]
    keeper.turn(31)
    assert "the yard" not in client.get("/looks/").get_data(as_text=True)
    [undone] = app.extensions["bench"].journal.by("kind", "withdrawn")
    assert list(undone.data["ids"]) == [ID]


def test_undo_of_a_form_with_many_records_withdraws_them_all(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    """A full sheet is forty; the key of the next page names the first, and the others follow from it."""
    send("/two", record_id=ID, value="yard", count="40", from_page="/looks/")
    offered = re.search(r'name="ids" value="([^"]+)"', client.get("/looks/").get_data(as_text=True))
    assert offered
    send("/undo", ids=offered[1], back="/probe")
    [undone] = app.extensions["bench"].journal.by("kind", "withdrawn")
    assert len(undone.data["ids"]) == len(kept(app)) == 40


@pytest.mark.parametrize("ids", ["", "all", "../..", "01"])
def test_undo_of_nothing(app: Flask, send, ids: str) -> None:  # type: ignore[no-untyped-def]
    """Nothing to undo is a sentence."""
    assert send("/undo", ids=ids, back="//evil.example").status_code == 422
    assert not app.extensions["bench"].journal.by("kind", "withdrawn")


def test_late_entry(app: Flask, send, keeper) -> None:  # type: ignore[no-untyped-def]
    """What happened earlier carries its time and is marked late."""
    send("/probe", name="place", value="yard", happened="07:15")
    [late] = app.extensions["bench"].journal.by("kind", "setting.changed")
    assert late.how == "late" and late.happened_at.startswith("2026-11-12T07:15")
    assert send("/probe", name="place", value="yard", happened="23:15").status_code == 422


def test_many_browsers_at_once(app: Flask) -> None:
    """Eight browsers record at the same moment: none waits for ever, and each record is kept once."""

    def submit(n: int) -> int:
        browser = app.test_client()
        shown = browser.get("/looks/").get_data(as_text=True)
        token = shown.split('name="bench-token" content="')[1].split('"')[0]
        return browser.post("/probe", data={"token": token, "name": "place", "value": f"yard {n}"}).status_code

    with ThreadPoolExecutor(8) as pool:
        assert set(pool.map(submit, range(24), timeout=30)) == {303}
    assert sorted(kept(app)) == sorted(f"yard {n}" for n in range(24))


def test_a_correction_keeps_the_time_of_what_it_corrects(app: Flask, send, keeper) -> None:  # type: ignore[no-untyped-def]
    """What was wrong then is right then: a correction made later does not move the moment, and is no late entry."""

    def mend() -> Response:
        form = read_form()
        data = {"name": "place", "value": form.text("value", required=True)}
        record("setting.changed", BENCH, data, form=form, say="mended", corrects=[ID])
        return go("looks.show")

    app.add_url_rule("/mend", "mend", mend, methods=["POST"])
    send("/probe", record_id=ID, name="place", value="indoors")
    keeper.turn(31)
    send("/mend", record_id=fresh(keeper.ms), value="yard")
    first, second = app.extensions["bench"].journal.by("kind", "setting.changed")
    assert second.corrects == (ID,) and second.how == "live"
    assert second.at > first.at and second.when == first.when


def test_only_an_answer_whose_address_also_shows_it_is_asked_for_again(client: FlaskClient, send: Any) -> None:
    """The browser’s *Back* then asks for the page, and not whether to send the form once more."""
    assert "data-answers" not in client.get("/plan/target").text
    assert "data-answers" in send("/plan/target", target="cobalt green").text
    assert "data-answers" not in send("/settings/emergency-number", emergency_number="no").text
