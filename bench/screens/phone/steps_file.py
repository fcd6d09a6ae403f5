"""The declarations of the steps, as the phones take them in: one file under an address with the mark of its content."""

import json
from functools import cache

from flask import Blueprint, Response, request

from bench.steps import SORTS, STEPS
from bench.steps.published import published
from bench.translation import Catalogue, in_use
from bench.web.words import _

blueprint = Blueprint("steps_file", __name__)

PATH = "/steps.json"
FOR_GOOD = "public, max-age=31536000, immutable"


def steps_text() -> str:
    """The file, in the bench's language."""
    return _text(in_use())


@cache
def _text(_catalogue: Catalogue) -> str:
    return published(STEPS, SORTS, _)


def steps_url() -> str:
    """The address under which it never changes."""
    return f"{PATH}?v={json.loads(steps_text())['version']}"


@blueprint.get(PATH)
def show() -> Response:
    """What each step asks, what stands against it and what it does, as data."""
    answer = Response(steps_text(), mimetype="application/json")
    asked = f"{PATH}?{request.query_string.decode('ascii', 'replace')}"
    answer.headers["Cache-Control"] = FOR_GOOD if asked == steps_url() else "no-cache"
    return answer
