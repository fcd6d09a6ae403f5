"""What can I make? From what stands on the shelf: what is ready, what is missing, and what to prefer."""

from urllib.parse import urlencode

from flask import Blueprint, Response, request

from bench.screens.kit.found import batch_or_404
from bench.screens.known.known import name_of
from bench.web.current import current_bench
from bench.web.existing import or_404
from bench.web.forms import Form, blank
from bench.web.page import page
from bench.web.words import _
from bench.workshop.choosing import Purchase, Way, shopping, shopping_of, ways
from bench.workshop.costing import CURRENCY

blueprint = Blueprint("choosing", __name__, url_prefix="/known/choose")

PRODUCT_G = 20.0
MOST_SHOWN = 60


@blueprint.get("")
def home() -> Response:
    """Targets that the shelf can make, the best way first; then those that lack one jar."""
    here = current_bench()
    typed = request.args.get("g")
    form = blank(g=PRODUCT_G) if typed is None else Form({"g": typed}, now_ms=here.now_ms())
    grams = PRODUCT_G if typed is None else form.number("g", low=0.1, high=10_000, unit="g")
    found = ways(here.state, here.library, grams) if grams is not None else []
    best: dict[str, Way] = {}
    for way in found:
        best.setdefault(way.target, way)
    shown = list(best.values())
    return page(
        "choosing/home.html",
        form=form,
        ready=[w for w in shown if w.ready][:MOST_SHOWN],
        nearly=[w for w in shown if len(w.missing) + len(w.short) == 1][:MOST_SHOWN],
        name=lambda slug: name_of(here.library, slug),
        way_path=_way_path,
        empty=not here.state.open_things("jar"),
    )


def _way_path(way: Way) -> str:
    """The plan of a way: of a route that is not published its jars are named, else the plan finds its own."""
    asked = {"target": way.target}
    state = current_bench().state
    jars = {state.slot(thing, "jar.opened").body.reagent: thing for thing in reversed(state.open_things("jar"))}
    for n, slug in enumerate(way.reagents if way.instead else ()):
        asked |= {f"jar.{n}": jars.get(slug, ""), f"formula.{n}": "" if slug in jars else slug}
    return f"/plan/target?{urlencode(asked)}"


@blueprint.get("/shopping/<series>")
def shop(series: str) -> Response:
    """What a series still needs, what is on the shelf, what to buy and what it costs."""
    here = current_bench()
    plan = or_404(here.state.slot(series, "series.planned").body)
    rows = shopping(here.state, series, here.library)
    return _shop(rows, plan.factor, f"/series/{series}", _("Everything of this series is weighed already."))


@blueprint.get("/shopping/batch/<thing>")
def shop_batch(thing: str) -> Response:
    """The same for one batch."""
    here = current_bench()
    view = batch_or_404(thing)
    rows = shopping_of(here.state, [thing], here.library)
    return _shop(rows, view.name, f"/batch/{thing}", _("Everything of this batch is weighed already."))


def _shop(rows: list[Purchase], name: str, back: str, done: str) -> Response:
    costs = [row.cost for row in rows if row.buy_g > 0]
    return page(
        "choosing/shopping.html",
        name=name,
        back=back,
        done=done,
        rows=rows,
        total=sum(cost for cost in costs if cost is not None) if costs and None not in costs else None,
        money=current_bench().state.setting(CURRENCY, ""),
    )
