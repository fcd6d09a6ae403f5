"""Every page of the bench on the demo's records: none fails, asks anything of another server, or talks as a machine."""

import re
from html import unescape

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.acceptance.addresses import addresses, few
from tests.acceptance.desk import Desk
from tests.acceptance.fuller import more
from tests.acceptance.machine_words import machine_words, met

FOREIGN = re.compile(r'(?:src|href|action|data-\w+)="(?:https?:)?//')
LINK = re.compile(r'<a [^>]*href="(/[^"#]*)')
ULID = re.compile(r"[0-9A-HJKMNP-TV-Z]{26}")
INLINE = re.compile(r"<script(?![^>]* src=)|<[^>]+ on[a-z]+=|<[^>]+ style=|javascript:")
A_MAKE = 4
PAPER = "/print/"
"""Sheets for the printer carry their own style, under a policy of their own."""


Pages = dict[str, TestResponse]


@pytest.fixture(scope="module")
def pages(here: Desk) -> Pages:
    """Every page of the demo's records and some more, up to four of a make, asked for once for all tests here."""
    more(here.app.extensions["bench"])
    found = addresses(here.app)
    assert len(found) > 90
    return {path: here.get(path) for paths in found.values() for path in few(paths, A_MAKE)}


def test_no_page_fails_and_nothing_is_inline(pages: Pages) -> None:
    for path, answer in pages.items():
        # What cannot be lost or closed has no page for it; that no link goes there is proved below.
        ended = path.endswith(("/lost", "/close")) and answer.status_code == 404
        assert answer.status_code in (200, 302, 303) or ended, path
        if answer.mimetype != "text/html" or answer.status_code != 200:
            continue
        text = answer.get_data(as_text=True)
        assert not FOREIGN.search(text), path
        if not path.startswith(PAPER):
            assert not INLINE.search(text), (path, INLINE.search(text))
            policy = answer.headers["Content-Security-Policy"]
            # The scanner's page alone compiles its decoders; that opens no way for a script.
            compiles = " 'wasm-unsafe-eval'" if path.startswith("/find") else ""
            assert f"script-src 'self'{compiles};" in policy and "unsafe" not in policy.replace(compiles, ""), path


def test_no_page_and_no_paper_says_a_slug_or_the_name_of_a_field(here: Desk, pages: Pages) -> None:
    library = here.app.extensions["bench"].library
    words = machine_words(library)
    assert {"zinc-iron-tan", "out-of-gas", "balance_d_g", "batch.planned", "dry_handling"} <= words
    names = " ".join(row.name for row in (*library.reagents.values(), *library.targets.values()))
    found: list[str] = []
    for path in (path for paths in addresses(here.app).values() for path in few(paths, A_MAKE)):
        answer = pages[path]
        if answer.mimetype == "text/html" and not path.startswith("/look"):
            found += [f"{path}: {one}" for one in met(answer.get_data(as_text=True), words, names)]
    assert not found, "\n".join(found)


@pytest.mark.parametrize(
    ("html", "said"),
    [
        ("<p>powder handled dry: true</p>", True),
        ("<p>egyptian-blue (CaCuSi4O10)</p>", True),
        ('<input name="target" value="zinc-iron-tan">', True),
        ("<p>without balance_d_g none</p>", True),
        ("<b>None</b>", True),
        ("<p>alpha-alumina, calcined</p><p>if true boehmite</p>", False),
        ('<input type="hidden" name="target" value="zinc-iron-tan"><script>true;</script>', False),
    ],
)
def test_what_a_machine_would_say_is_noticed(app: Flask, html: str, said: bool) -> None:
    assert bool(met(html, machine_words(app.extensions["bench"].library), "alpha-alumina, calcined")) is said


def test_every_link_leads_somewhere(here: Desk, pages: Pages) -> None:
    """Every link of every page, two of each make."""
    links: dict[str, dict[str, str]] = {}
    for path, answer in pages.items():
        for link in LINK.findall(answer.data.decode("utf-8", "replace")):
            links.setdefault(ULID.sub("…", link), {})[unescape(link)] = path
    assert len(links) > 100
    links.pop("/trust/ca.crt")  # there is no certificate where no phone comes in, as here
    links.pop("/trust/ca.mobileconfig", None)
    for some in links.values():
        for link in few(sorted(some), 2):
            known = pages.get(link) or here.get(link)
            assert known.status_code in (200, 302, 303), f"{some[link]} leads to {link}"


STRANGE = ["x", "0" * 26, "01K9V0000000000000000000A1", "../../etc", "%00", "<script>", "1" * 300, "ü", "-1"]


@pytest.mark.parametrize("strange", STRANGE)
def test_an_address_that_names_nothing_is_a_calm_page(app: Flask, client: FlaskClient, strange: str) -> None:
    """Whatever stands where a thing should, the answer is the page that says so."""
    for rule in app.url_map.iter_rules():
        if "GET" not in (rule.methods or ()) or not rule.arguments or rule.endpoint == "static":
            continue
        path = re.sub(r"<[^>]+>", strange.replace("\\", ""), str(rule))
        answer = client.get(path)
        assert answer.status_code in (200, 308, 404), path
        assert "Traceback" not in answer.get_data(as_text=True), path
