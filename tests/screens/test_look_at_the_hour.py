"""The look an hour after the fire: not asked before its time, listed with it, and not counted where it came early."""

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.web.moments import clock_text
from tests.screens.making import Making

LOOK = 'name="answer.off-recheck"'
DONE = {"answer.off-recheck": "done"}


class Out:
    """A fire that was just put out, with its first check answered."""

    def __init__(self, make: Making) -> None:
        self.make, self.id = make, make.firing(make.furnace())
        make.lit(self.id)
        make.wait(60)
        make.off(self.id)
        off_ms = make.keeper.ms - 1000  # each record takes a second there
        self.due = clock_text(off_ms + 3_600_000, 0)
        make.check(self.id, "off-gas", phase="after-shutdown")
        self.list = f"/firing/{self.id}/checks/after-shutdown"


@pytest.fixture
def out(app: Flask, keeper: Any) -> Out:
    return Out(Making(app, keeper))


def test_it_is_due_later_and_today_lists_it_at_its_time(out: Out, client: FlaskClient) -> None:
    page = client.get(out.list).text
    assert LOOK not in page and "Due later" in page and f"{out.due}: 60 minutes after shutdown" in page
    assert "1 of 2 done" in page and "1 of 2 done" in client.get(f"/firing/{out.id}").text
    today = client.get("/").text
    assert "Touch floor, walls and bench" in today and out.due in today
    out.make.wait(60)
    assert LOOK in client.get(out.list).text
    assert "Touch floor, walls and bench" not in client.get("/").text  # a check to answer, like others
    assert out.list in client.get("/").text


@pytest.mark.parametrize(("minutes", "counts"), [(0.5, False), (54, False), (55, True), (300, True)])
def test_answered_early_it_is_not_counted(
    out: Out, client: FlaskClient, send: Any, minutes: float, counts: bool
) -> None:
    """By a page from before: what it says is recorded, and the look is still to be done."""
    out.make.wait(minutes)
    assert send(out.list, DONE).status_code == 303
    assert [one.body.item for one in out.make.state.own(out.id, "check.answered")] == ["off-gas", "off-recheck"]
    assert ("2 of 2 done" in client.get(out.list).text) is counts
    assert send(f"/firing/{out.id}/close").status_code == (303 if counts else 422)
    out.make.wait(60)
    assert ("2 of 2 done" in client.get(out.list).text) is counts  # nor does it become one by waiting


def test_what_was_found_bad_counts_at_once(out: Out, client: FlaskClient, send: Any) -> None:
    assert send(out.list, {"answer.off-recheck": "not-done"}).status_code == 303
    assert "Not done: 60 minutes after shutdown" in client.get(out.list).text
