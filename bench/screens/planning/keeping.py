"""The records that keep a plan: the batch, its code, and its weighings where the grams are in the mortar already."""

from typing import Any

from bench.records.state import State
from bench.screens.planning.showing import Shown
from bench.steps.plan_batch import STEP as PLAN
from bench.web.current import current_bench
from bench.web.forms import Form
from bench.web.recording import Entry, entry_id
from bench.web.words import _
from bench.workshop.digits import readability_g

LEVEL_MAX = PLAN.field("level").most


def series_options(state: State) -> list[tuple[str, str]]:
    """The series that are not closed, for a list: id and what is changed in it, the newest first."""
    found = []
    for thing in reversed(state.open_things("series")):
        plan = state.slot(thing, "series.planned").body
        if plan is not None:
            found.append((thing, plan.factor + (f", {plan.unit}" if plan.unit else "")))
    return found


def read_series(form: Form, state: State) -> dict[str, Any]:
    """The series and the level that a batch belongs to; a level without a series is refused beside it."""
    series = form.ulid("series", required=False)
    level = form.text("level", max_len=LEVEL_MAX)
    if series is not None and state.slot(series, "series.planned").body is None:
        form.refuse(_("That series is gone. Choose again."), "series")
    if level is not None and series is None:
        form.refuse(_("Choose the series that this level belongs to, or leave it empty."), "level")
    if series is not None and level is None:
        form.refuse(_("Type which level of the series this is."), "level")
    return {"series": series, "level": _level(level)} if series is not None and level is not None else {}


def _level(text: str) -> float | str:
    try:
        number = float(text.replace(",", "."))
    except ValueError:
        return text
    return number if number == number and abs(number) < 1e9 else text


def plan_entries(way: str, form: Form, result: Shown, code: list[Entry]) -> list[Entry]:
    """The batch with its code, and what is weighed of it already. The first entry makes the batch."""
    entries = [Entry("batch.planned", None, result.data), *code]
    if way == "grams" and form.flag("weighed"):
        d_g = readability_g(current_bench().state)
        for row, g in zip(result.rows, result.grams, strict=True):
            told = {"line": row.n + 1, "net_g": g, "jar": row.jar, "balance_d_g": d_g}
            entries.append(Entry("weighed", entry_id(form, 0), told))
    return entries
