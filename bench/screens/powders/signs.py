"""What went wrong, by the signs that were seen, and what goes with each: by counts, or *cannot tell*."""

from typing import Any

from flask import Blueprint, Response, request

from bench.screens.kit.thing_label import thing_label
from bench.screens.planning.series import VERDICTS
from bench.web.current import current_bench
from bench.web.page import page
from bench.web.words import _
from bench.workshop.in_common import FEWEST, JUDGED, MOST_LOOKED, common, powders, signs
from bench.workshop.things.swatches import photos_of

blueprint = Blueprint("signs", __name__)

MOST = 60


@blueprint.get("/signs")
def show() -> Response:
    """All signs, or one of them with what goes with it."""
    here = current_bench()
    known = signs(here.state)
    chosen = request.args.get("sign", "")
    found = common(here.state, chosen) if chosen in known else None
    return page(
        "signs/show.html",
        signs=[(name, _words(name), len(things)) for name, things in known.items()],
        title=_words(chosen),
        found=found,
        showing=[_powder(thing) for thing in (found.with_it if found else ())][:MOST],
        fewest=FEWEST,
        newest=MOST_LOOKED if powders(here.state) > MOST_LOOKED else None,
    )


def _words(sign: str) -> str:
    """A sign as it was ticked; a verdict in words."""
    verdict = sign.removeprefix(JUDGED)
    return _("Judged: {words}", words=VERDICTS.get(verdict, verdict)) if sign.startswith(JUDGED) else sign


def _powder(thing: str) -> dict[str, Any]:
    here = current_bench()
    return {"called": thing_label(thing), "photos": photos_of(here.state, thing)[-1:]}
