"""First aid: what to do in the first minutes, by harm, with the numbers to call. No script, no network."""

from flask import Blueprint, Response

from bench.reckoning.rules import FIRST_AID
from bench.web.current import current_bench
from bench.web.page import page

blueprint = Blueprint("first_aid", __name__)


@blueprint.get("/first-aid")
def show() -> Response:
    """Every harm with its acts in order and when to call; the numbers stand first."""
    here = current_bench()
    state = here.state
    return page(
        "first_aid/show.html",
        harms=FIRST_AID,
        emergency=state.setting("emergency_number"),
        poison=state.setting("poison_number"),
    )
