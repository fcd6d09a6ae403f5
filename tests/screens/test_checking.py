"""A checklist inside a form: nothing is ticked beforehand, what is answered is recorded, what is left alone stays."""

import html
from collections.abc import Iterator
from typing import Any

import pytest
from flask import Blueprint, Flask, Response
from flask.testing import FlaskClient

from bench.screens.kit.checking import checks, due, read_checks, stopped, tally, turned, unanswered
from bench.screens.kit.forms import Form, blank, read_form
from bench.screens.kit.joined import bench
from bench.screens.kit.page import go, page
from bench.screens.kit.recording import record_all
from bench.workshop.records import BENCH

PHASE = "before-weighing"
ID = "01K9V0000000000000000000A1"
FIRST, SECOND = f"answer.{PHASE}-1", f"answer.{PHASE}-2"
TEMPLATE = """{% extends "base.html" %}{% block main %}
{% call ui.ask(form=form) %}{{ ui.checks(form, found) }}{{ ui.earlier(form) }}{% endcall %}{% endblock %}"""


def list_screen() -> Blueprint:
    """A screen with one list, as any screen has it."""
    blueprint = Blueprint("probe", __name__)

    def show(form: Form) -> Response:
        found = checks(bench().state, bench().library, PHASE, BENCH)
        return page("probe.html", form=form, found=found)

    def keep() -> Response:
        form = read_form()
        found = checks(bench().state, bench().library, PHASE, BENCH)
        entries = read_checks(form, found, PHASE, BENCH)
        if form.ok and record_all(entries, form=form, say="answered"):
            return go("looks.show")
        return show(form)

    blueprint.add_url_rule("/probe", "ask", lambda: show(blank()), methods=["GET"])
    blueprint.add_url_rule("/probe", "keep", keep, methods=["POST"])
    return blueprint


@pytest.fixture
def app(app: Flask) -> Iterator[Flask]:
    """The app with a list to answer."""
    from jinja2 import ChoiceLoader, DictLoader

    app.jinja_loader = ChoiceLoader([DictLoader({"probe.html": TEMPLATE}), app.jinja_loader])  # type: ignore[list-item]
    app.register_blueprint(list_screen())
    yield app


def found(app: Flask) -> list[Any]:
    """How the list stands."""
    joined = app.extensions["bench"]
    return checks(joined.state, joined.library, PHASE, BENCH)


def test_each_item_says_why_and_what_stops_it(app: Flask, client: FlaskClient) -> None:
    """Every item of the tables is there with its reason and its stop, and nothing is ticked beforehand."""
    said = client.get("/probe").get_data(as_text=True)
    items = app.extensions["bench"].library.phase_items(PHASE)
    assert len(items) == 5 and said.count('value="fine"') == 5
    assert all(item.why in said and item.stop_if in said for item in items)
    assert "checked" not in said


def test_answers_are_records_and_the_rest_stays_open(app: Flask, client: FlaskClient, send: Any) -> None:
    """Two answers are two records; three items are still open; the fine one folds its keys away."""
    sent = {FIRST: "fine", SECOND: "stop", f"answer_why.{PHASE}-2": "the strap is torn"}
    assert send("/probe", sent).status_code == 303
    now = found(app)
    assert [one.answer for one in now] == ["fine", "stop", None, None, None]
    assert [one.said for one in stopped(now)] == ["the strap is torn"]
    assert len(unanswered(now)) == 3 and tally(now) == "1 of 5 fine"
    said = client.get("/probe").get_data(as_text=True)
    assert "Answer again" in said and "the strap is torn" in said


def test_an_answer_can_be_given_again(app: Flask, send: Any) -> None:
    """What was stopped and then mended is answered anew: the newest answer stands."""
    send("/probe", {FIRST: "stop"})
    send("/probe", {FIRST: "fine"})
    assert found(app)[0].answer == "fine" and not stopped(found(app))


def test_one_submit_sent_twice_is_one_record(app: Flask, send: Any) -> None:
    """The page's id makes a repeat the same records."""
    for _ in range(2):
        assert send("/probe", {FIRST: "fine", SECOND: "fine"}, record_id=ID).status_code == 303
    assert len(app.extensions["bench"].state.own(BENCH, "check.answered")) == 2


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({}, "Nothing is answered yet"),
        ({FIRST: "perhaps"}, "Choose one of these"),
        ({f"answer_why.{PHASE}-1": "no card"}, "Choose an answer for this one too"),
        ({FIRST: "stop", f"answer_why.{PHASE}-1": "x" * 100_000}, "at most 400"),
        ({FIRST: "stop", f"answer_why.{PHASE}-1": "a\x00b"}, "control character"),
    ],
)
def test_what_cannot_be_used_is_said_and_kept(app: Flask, send: Any, sent: dict[str, str], said: str) -> None:
    """A sentence beside the item, nothing recorded, what was typed still there."""
    answer = send("/probe", sent)
    assert answer.status_code == 422 and said in answer.get_data(as_text=True)
    assert not app.extensions["bench"].state.own(BENCH, "check.answered")


def test_the_stop_is_asked_and_not_only_ticked(client: FlaskClient, app: Flask) -> None:
    """Each item that something stops puts that as a question; *fine* is the answer No to it."""
    said = client.get("/probe").get_data(as_text=True)
    for item in app.extensions["bench"].library.phase_items(PHASE):
        assert item.asks.endswith("?") and html.escape(item.asks) in said
    assert said.count("No: fine") == said.count("Yes: stop") == 5


def test_the_order_is_that_of_the_thing_and_of_nothing_else(app: Flask) -> None:
    """One firing has one order whenever it is asked, another has another; acts in sequence keep their places."""
    joined = app.extensions["bench"]
    orders = set()
    for n in range(40):
        thing = f"01K9V000000000000000000{n:03d}"
        shown = turned(checks(joined.state, joined.library, "before-lighting", thing, "gas"), thing)
        again = turned(reversed(checks(joined.state, joined.library, "before-lighting", thing, "gas")), thing)
        assert [one.slug for one in shown] == [one.slug for one in again]
        assert [one.asked.item.split()[0] for one in shown[-2:]] == ["Purge", "Igniter"]
        orders.add(tuple(one.slug for one in shown))
    assert len(orders) > 30


def test_one_item_a_screen_goes_on_to_the_next_until_all_are_answered(
    app: Flask, client: FlaskClient, send: Any
) -> None:
    """A fresh firing's list, an item a screen: each answer leads on to the next, and the last back to the firing."""
    journal = app.extensions["bench"].journal
    furnace = journal.write("furnace.described", None, {"name": "Kiln", "fuel": "electric", "place": "outdoors"}).id
    firing = journal.write("firing.planned", None, {"furnace": furnace, "segments": [{"to_c": 900}]}).id
    path = f"/firing/{firing}/checks/before-lighting"
    total = len(app.extensions["bench"].library.phase_items("before-lighting", "electric"))
    for n in range(total):
        said = client.get(path + "?one=1").get_data(as_text=True)
        assert said.count('value="fine"') == 1 and f"{n} of {total} fine" in said
        name = said.split('name="answer.')[1].split('"')[0]
        answer = send(path, {f"answer.{name}": "fine", "one": "1"})
        assert answer.status_code == 303
    assert answer.headers["Location"].endswith(f"/firing/{firing}")
    assert client.get(path).get_data(as_text=True).count('class="check-stands"') == total
    wrong = send(path, {"answer.before-lighting-9": "perhaps", "one": "1"})
    assert wrong.status_code == 422


def test_a_stop_does_not_hold_up_the_items_after_it(app: Flask, send: Any) -> None:
    """One item a screen: what was answered with stop waits until the others are answered, and then comes back."""
    send("/probe", {FIRST: "stop"})
    assert due(found(app))[0].slug == f"{PHASE}-2"
    send("/probe", {f"answer.{PHASE}-{n}": "fine" for n in range(2, 6)})
    assert [one.slug for one in due(found(app))] == [f"{PHASE}-1"]
    send("/probe", {FIRST: "fine"})
    assert len(due(found(app))) == 5
