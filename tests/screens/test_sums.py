"""Masses that are shown with their sum add up as they are shown."""

import re
from typing import Any

from flask import Flask
from flask.testing import FlaskClient

from bench.web.page import grams_sum
from tests.screens.making import Making
from tests.workshop.builder import lines


def test_shown_masses_add_up(app: Flask, keeper: Any, client: FlaskClient) -> None:
    """3.394 and 6.624 g show as 3.39 and 6.62: together 10.01, not the 10.02 of 10.018."""
    with app.test_request_context("/"):
        assert grams_sum([3.394, 6.624]) == "10.01" and grams_sum([]) == "0.00"
        assert grams_sum([3.394, 6.624], 3) == "10.018"
    thing = Making(app, keeper).batch(lines(("ZnO", 3.394), ("CoO", 6.624)))
    page = client.get(f"/batch/{thing}").text
    shown = [re.search(g, page) is not None for g in (r"3\.39\b", r"6\.62\b", r"10\.01\b", r"10\.02\b")]
    assert shown == [True, True, True, False]
