"""A checklist inside a form: nothing is ticked beforehand, what is answered is recorded, what is left alone stays."""

import html
from collections.abc import Iterator
from typing import Any

import pytest
from flask import Blueprint, Flask, Response
from flask.testing import FlaskClient

from bench.records.record import BENCH
from bench.screens.kit.checking import asks, checks, due, read_checks, stopped, tally, turned, unanswered
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.recording import record_all

PHASE = "before-weighing"
ID = "01K9V0000000000000000000A1"
MASK, DUST = "answer.weigh-mask", "answer.weigh-dust-control"
TEMPLATE = """{% extends "base.html" %}{% block main %}
{% call ui.ask(form=form) %}{{ ui.checks(form, found) }}{{ ui.earlier(form) }}{% endcall %}{% endblock %}"""


def list_screen() -> Blueprint:
    """A screen with one list, as any screen has it."""
    blueprint = Blueprint("probe", __name__)

    def show(form: Form) -> Response:
        found = checks(current_bench().state, current_bench().library, PHASE, BENCH)
        return page("probe.html", form=form, found=found)

    def keep() -> Response:
        form = read_form()
        found = checks(current_bench().state, current_bench().library, PHASE, BENCH)
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
    """How the asked items stand."""
    joined = app.extensions["bench"]
    return asks(checks(joined.state, joined.library, PHASE, BENCH))


def test_each_item_says_the_good_thing_and_why(app: Flask, client: FlaskClient) -> None:
    """Every item that is asked is a statement with its reason; its two answers are alike, and none is chosen."""
    said = client.get("/probe").get_data(as_text=True)
    items = [one.item for one in found(app)]
    assert items and said.count('value="done"') == said.count('value="not-done"') == len(items)
    assert all(html.escape(item.says) in said and html.escape(item.why) in said for item in items)
    assert "checked" not in said and not any(item.says.endswith("?") for item in items)


def test_does_not_apply_is_offered_only_with_a_reason_and_the_reason_is_kept(
    app: Flask, client: FlaskClient, send: Any
) -> None:
    """Damp powder needs no mask where it is weighed; nothing stands in for an eyewash, which refuses that answer."""
    reasoned = [one.item.slug for one in found(app) if one.item.does_not_apply_when]
    assert client.get("/probe").get_data(as_text=True).count('value="does-not-apply"') == len(reasoned)
    assert "weigh-mask" in reasoned and "weigh-eyewash" not in reasoned
    assert send("/probe", {"answer.weigh-eyewash": "does-not-apply"}).status_code == 422
    assert send("/probe", {MASK: "does-not-apply"}).status_code == 303
    [kept] = app.extensions["bench"].state.own(BENCH, "check.answered")
    assert kept.body.reason == "for weighing alone: every powder here is damp, or in a closed box"
    assert next(one for one in found(app) if one.slug == "weigh-mask").asked.good


def test_answers_are_records_and_the_rest_stays_open(app: Flask, client: FlaskClient, send: Any) -> None:
    """Two answers are two records; the others are still open; the one that is done folds its keys away."""
    total = len(found(app))
    sent = {DUST: "done", MASK: "not-done", "answer_why.weigh-mask": "the strap is torn"}
    assert send("/probe", sent).status_code == 303
    now = found(app)
    assert {one.slug: one.answer for one in now if one.answer} == {
        "weigh-mask": "not-done",
        "weigh-dust-control": "done",
    }
    assert [one.said for one in stopped(now)] == ["the strap is torn"]
    assert len(unanswered(now)) == total - 2 and tally(now) == f"1 of {total} done"
    said = client.get("/probe").get_data(as_text=True)
    assert "Answer again" in said and "the strap is torn" in said


def test_an_answer_can_be_given_again(app: Flask, send: Any) -> None:
    """What was not done and then mended is answered anew: the newest answer stands."""
    send("/probe", {MASK: "not-done"})
    assert [one.slug for one in stopped(found(app))] == ["weigh-mask"]
    send("/probe", {MASK: "done"})
    assert not stopped(found(app))


def test_a_list_that_is_answered_says_so_and_asks_for_a_new_answer(app: Flask, send: Any) -> None:
    send("/probe", {f"answer.{one.slug}": "done" for one in found(app)})
    said = send("/probe", {}).get_data(as_text=True)
    assert "Each line is answered already." in said and "Nothing is answered yet" not in said


def test_one_submit_sent_twice_is_one_record(app: Flask, send: Any) -> None:
    """The page's id makes a repeat the same records."""
    for _ in range(2):
        assert send("/probe", {MASK: "done", DUST: "done"}, record_id=ID).status_code == 303
    assert len(app.extensions["bench"].state.own(BENCH, "check.answered")) == 2


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({}, "Nothing is answered yet"),
        ({MASK: "perhaps"}, "Choose one of these"),
        ({MASK: "fine"}, "Choose one of these"),
        ({"answer_why.weigh-mask": "no card"}, "Choose an answer for this one too"),
        ({MASK: "not-done", "answer_why.weigh-mask": "x" * 100_000}, "at most 400"),
        ({MASK: "not-done", "answer_why.weigh-mask": "a\x00b"}, "control character"),
    ],
)
def test_what_cannot_be_used_is_said_and_kept(app: Flask, send: Any, sent: dict[str, str], said: str) -> None:
    """A sentence beside the item, nothing recorded, what was typed still there."""
    answer = send("/probe", sent)
    assert answer.status_code == 422 and said in answer.get_data(as_text=True)
    assert not app.extensions["bench"].state.own(BENCH, "check.answered")


def test_the_order_is_that_of_the_thing_and_of_nothing_else(app: Flask) -> None:
    """One firing has one order whenever it is asked, another has another; acts in sequence keep their places."""
    joined = app.extensions["bench"]
    listed = checks(joined.state, joined.library, "before-lighting", BENCH)
    orders = set()
    for n in range(40):
        thing = f"01K9V000000000000000000{n:03d}"
        shown = turned(listed, thing)
        assert [one.slug for one in shown] == [one.slug for one in turned(reversed(listed), thing)]
        assert shown[-1].slug == "light-purge"
        orders.add(tuple(one.slug for one in shown))
    assert len(orders) > 30


def electric(app: Flask) -> str:
    """A firing planned in an electric furnace outdoors."""
    journal = app.extensions["bench"].journal
    furnace = journal.write("furnace.described", None, {"name": "Kiln", "fuel": "electric", "place": "outdoors"}).id
    firing: str = journal.write("firing.planned", None, {"furnace": furnace, "segments": [{"to_c": 900}]}).id
    return firing


def test_one_item_a_screen_goes_on_to_the_next_until_all_are_answered(
    app: Flask, client: FlaskClient, send: Any
) -> None:
    """A fresh firing's list, an item a screen: each answer leads on to the next, and the last back to the firing."""
    firing = electric(app)
    path = f"/firing/{firing}/checks/before-lighting"
    joined = app.extensions["bench"]
    total = len(asks(checks(joined.state, joined.library, "before-lighting", firing)))
    assert total > 3
    for n in range(total):
        said = client.get(path + "?one=1").get_data(as_text=True)
        assert said.count('value="done"') == 1 and f"{n} of {total} done" in said
        name = said.split('name="answer.')[1].split('"')[0]
        answer = send(path, {f"answer.{name}": "done", "one": "1"})
        assert answer.status_code == 303
    assert answer.headers["Location"].endswith(f"/firing/{firing}")
    assert client.get(path).get_data(as_text=True).count('class="check-stands"') == total
    wrong = send(path, {"answer.light-zone": "perhaps", "one": "1"})
    assert wrong.status_code == 422


def test_what_is_not_done_does_not_hold_up_the_items_after_it(app: Flask, send: Any) -> None:
    """One item a screen: what is not done waits until the others are answered, and then comes back."""
    send("/probe", {MASK: "not-done"})
    assert due(found(app))[0].slug != "weigh-mask"
    send("/probe", {f"answer.{one.slug}": "done" for one in unanswered(found(app))})
    assert [one.slug for one in due(found(app))] == ["weigh-mask"]
    send("/probe", {MASK: "done"})
    assert len(due(found(app))) == len(found(app))


def test_what_is_only_to_be_minded_has_no_key(app: Flask, client: FlaskClient) -> None:
    """While it burns nothing is asked: the list stands as lines, without a form and without an answer."""
    said = client.get(f"/firing/{electric(app)}/checks/firing").get_data(as_text=True)
    assert "Keep in mind" in said and "Log temperature and current" in said
    assert 'name="answer.' not in said and "Record the answers" not in said and "hose" not in said


def test_the_date_of_the_co_alarm_is_asked_beside_its_test(app: Flask, client: FlaskClient, send: Any) -> None:
    """The test key proves the sounder: the sensor's date is asked once, kept, and refused where it is no date."""
    firing = electric(app)
    path = f"/firing/{firing}/checks/before-lighting"
    assert 'name="co_alarm_expires"' in client.get(path).get_data(as_text=True)
    wrong = send(path, {"answer.light-co-alarm": "done", "co_alarm_expires": "next May"})
    assert wrong.status_code == 422 and "such as 2030-05-31" in wrong.get_data(as_text=True)
    assert send(path, {"answer.light-co-alarm": "done", "co_alarm_expires": "2031-05-31"}).status_code == 303
    assert app.extensions["bench"].state.setting("co_alarm_expires") == "2031-05-31"
    page = " ".join(client.get(path).get_data(as_text=True).split())
    assert 'name="co_alarm_expires"' not in page
    assert "CO alarm is within its expiry date: 2031-05-31" in page and "If not: Replace the alarm" in page
