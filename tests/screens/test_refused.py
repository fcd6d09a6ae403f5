"""A refused page by itself, without its scripts: it asks the browser to begin at what was refused, and only at that."""

import re
from typing import Any

from flask import Flask
from flask.testing import FlaskClient

from tests.screens.making import Making

ASKS = re.compile(r"<[^>]* autofocus[^>]*>")
SLIPS = {"rows": "2", "formula.0": "SIO2", "g.0": "1", "formula.1": "CUO", "g.1": "1", "do": "show"}


def begins_at(text: str) -> str:
    """The one element that asks for the focus."""
    [found] = ASKS.findall(text)
    return str(found)


def filled(make: Making) -> str:
    """A batch beside a crucible with the code T5C7HJ that holds a part of it already."""
    vessel, batch = make.crucible(), make.ready_batch()
    make.coded(vessel, "T5C7HJ")
    make.charge({"batch": batch, "g": 2.0}, crucible=vessel)
    make.checked(batch, "before-loading")
    return batch


def test_the_first_of_two_refused_fields(send: Any) -> None:
    answer = send("/plan/grams", SLIPS)
    assert answer.status_code == 422 and answer.text.count("complaint") >= 2
    assert 'name="formula.0"' in begins_at(answer.text)


def test_a_group_of_keys_that_was_left_out(app: Flask, keeper: Any, send: Any) -> None:
    answer = send(f"/batch/{filled(Making(app, keeper))}/load", code="T5C7HJ", g="1", lid="neither")
    group = begins_at(answer.text)
    assert group.startswith("<fieldset") and 'tabindex="-1"' in group and "lid-no" in group


def test_the_reasons_of_a_step_that_is_held(app: Flask, keeper: Any, send: Any) -> None:
    answer = send(f"/batch/{filled(Making(app, keeper))}/load", code="T5C7HJ", g="1", lid="loose")
    assert answer.status_code == 422
    assert begins_at(answer.text).startswith('<section class="gate"')


def test_a_page_that_nothing_refused_begins_at_its_top(app: Flask, keeper: Any, client: FlaskClient, send: Any) -> None:
    held = f"/firing/{Making(app, keeper).firing()}"
    for page in (client.get("/plan/grams"), client.get(held)):
        assert not ASKS.search(page.text) and "data-refused" not in page.text
    assert "Not yet" in client.get(held).text and "data-refused" in send("/plan/grams", SLIPS).text
