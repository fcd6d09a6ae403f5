"""First aid: every harm with what to do and when to call, one tap from *Emergency*, with the numbers that were set."""

import html
from typing import Any

from flask import Flask
from flask.testing import FlaskClient

from bench.reckoning.rules import FIRST_AID


def test_every_line_stands_there(client: FlaskClient) -> None:
    page = html.unescape(client.get("/first-aid").text)
    for harm in FIRST_AID:
        for words in (harm.when, *harm.do, harm.call):
            assert words in page, words
        assert f'href="#{harm.key}"' in page and f'id="{harm.key}"' in page


def test_a_burn_is_cooled_for_twenty_minutes_before_all_else(client: FlaskClient) -> None:
    """As the public guidance on burns says: cool running water for 20 minutes, no ice, cling film."""
    burn = html.unescape(client.get("/first-aid").text).split('id="burn"')[1].split("</section>")[0]
    assert burn.index("cool running water at once, for 20 minutes") < burn.index("cling film") and "no ice" in burn


def test_the_numbers_are_those_of_the_settings(app: Flask, client: FlaskClient) -> None:
    page = client.get("/first-aid").text
    assert "No emergency number is set" in page and "No poison line is set here" in page and "/settings" in page
    journal = app.extensions["bench"].journal
    journal.write("setting.changed", "0" * 26, {"name": "emergency_number", "value": "000"})
    journal.write("setting.changed", "0" * 26, {"name": "poison_number", "value": "555 0123"})
    page = client.get("/first-aid").text
    assert "call 000" in page and "call 555 0123" in page and "No emergency number" not in page


def test_one_tap_from_the_emergency_page(client: FlaskClient) -> None:
    assert 'href="/first-aid"' in client.get("/emergency").text


def test_what_is_from_memory_is_marked(client: FlaskClient) -> None:
    page = client.get("/first-aid").text
    for harm in FIRST_AID:
        section = page.split(f'id="{harm.key}"')[1].split("</section>")[0]
        assert ("from memory" in section) == (harm.basis == "memory"), harm.key


def test_it_only_tells(send: Any) -> None:
    assert send("/first-aid").status_code == 405


def test_it_is_kept_on_the_phone(client: FlaskClient) -> None:
    """Without a network the stored copy answers, like the emergency page."""
    assert "/first-aid" in client.get("/bench/offline.json").text
