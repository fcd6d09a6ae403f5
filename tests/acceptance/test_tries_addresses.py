"""Every address, with things that are there, that are not, or of another sort, and anything behind its mark."""

import re
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis.strategies import DataObject, data, lists, sampled_from, text, tuples
from werkzeug.routing import Rule

import bench.screens
from tests.acceptance.desk import Desk
from tests.acceptance.tries import RUN, SAME_EACH_TIME
from tests.acceptance.typed import ODD_CODES, ODD_NUMBERS, ODD_WORDS

EACH, AT_LENGTH = 4, 300
CALM = frozenset({200, 301, 302, 303, 304, 308, 400, 403, 404, 405, 422})
ASKED = re.compile(r'args\.(?:get|getlist)\("([a-z_]+)"')
SLOW = "pdf"
"""Making a PDF has tests of its own."""


def asked_names() -> list[str]:
    """Every name that any screen looks for behind the question mark."""
    folder = Path(bench.screens.__file__).parent
    found = {name for file in folder.rglob("*.py") for name in ASKED.findall(file.read_text("utf-8"))}
    return sorted(found - {SLOW})


def try_addresses(here: Desk, each: int) -> int:
    """Try every address so often; gives how many requests that were."""
    state = here.app.extensions["bench"].state
    known = [things[-1] for kind in sorted(state.of_kind) if (things := state.things(kind))]
    known += ["batch", "reagent", "target", "grams", "zno", "1", "4", "before-lighting", "css/tokens.css"]
    values = sampled_from(known) | sampled_from([*ODD_WORDS, *ODD_NUMBERS, *ODD_CODES]) | text(max_size=40)
    names = asked_names()
    assert len(names) > 20
    here.tried = 0
    for rule in here.app.url_map.iter_rules():
        if "GET" in (rule.methods or ()):
            _try(here, rule, values, lists(tuples(sampled_from(names), values), max_size=3), each)
    return here.tried


def _try(here: Desk, rule: Rule, values: Any, asking: Any, each: int) -> None:
    @settings(SAME_EACH_TIME, max_examples=each)
    @given(data())
    def tried(some: DataObject) -> None:
        told = {name: some.draw(values) for name in sorted(rule.arguments)}
        path = re.sub(r"<(?:[^:<>]*:)?(\w+)>", lambda found: str(told[found[1]]), str(rule))
        asked, before = some.draw(asking), here.traces
        here.tried += 1
        answer = here.client.get(path, query_string=asked)
        assert answer.status_code in CALM, (path, asked, answer.status_code)
        assert here.traces == before, (path, asked)
        assert answer.mimetype != "text/html" or RUN not in answer.get_data(as_text=True), (path, asked)
        answer.close()  # a file that is sent stays open until then

    tried()


def test_no_address_fails_or_records_anything(here: Desk) -> None:
    assert try_addresses(here, EACH) >= 450


@pytest.mark.long
@pytest.mark.timeout(0)
def test_none_does_at_length(here: Desk) -> None:
    try_addresses(here, AT_LENGTH)
