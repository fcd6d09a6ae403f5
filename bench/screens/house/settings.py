"""The settings of the bench: numbers to call, place and air, the balance, a question about the body, the folder."""

from typing import Any

from flask import Blueprint, Response, make_response, redirect

from bench.records.record import BENCH
from bench.screens.kit.first_steps import first_due
from bench.web import preferences as taste
from bench.web.current import current_bench
from bench.web.flash import recorded_here
from bench.web.forms import Form, blank, read_form
from bench.web.own_paths import own_path
from bench.web.page import go, page
from bench.web.recording import Entry, record_all
from bench.web.words import LANGUAGE, _, language, languages, many
from bench.workshop.conditions import CO_EXPIRES
from bench.workshop.costing import CURRENCY

blueprint = Blueprint("settings", __name__, url_prefix="/settings")

PREGNANT = "person_pregnant_or_planning"
ANSWERS: dict[str, Any] = {"yes": True, "no": False, "unknown": "unknown"}
"""What is kept for each answer; *unknown* takes an earlier answer back, and the rules then take the worse."""
NUMBERS = ("emergency_number", "poison_number")
PLACES = ("outdoors", "roofed", "indoors", "unknown")
THEMES = {"system": _("as the device is set"), "day": _("day"), "sun": _("sun"), "night": _("night")}
HANDS = {"right": _("right hand"), "left": _("left hand")}
NUMBER_MAX = 40
CURRENCY_MAX = 8


@blueprint.get("")
def show() -> Response:
    """All settings, as they stand."""
    state = current_bench().state
    kept = state.settings()
    start = {name: kept.get(name) for name in (*NUMBERS, "place")} | {LANGUAGE: language()}
    start[CURRENCY] = kept.get(CURRENCY)
    start[CO_EXPIRES] = kept.get(CO_EXPIRES)
    start |= {name: _text(kept.get(name)) for name in ("airflow", "room_m3", "balance_d_g")}
    start[PREGNANT] = next((word for word, value in ANSWERS.items() if kept.get(PREGNANT) == value), "unknown")
    return _show(blank(**start))


def _text(value: Any) -> str:
    return f"{value:g}" if isinstance(value, int | float) and not isinstance(value, bool) else ""


@blueprint.post("")
def keep() -> Response:
    """Record those settings that differ from what stands."""
    form = read_form()
    asked = read_settings(form)
    kept = current_bench().state.settings()
    changed = {name: value for name, value in asked.items() if value is not None and kept.get(name) != value}
    if form.ok and not changed:
        return _on(form)
    entries = [Entry("setting.changed", BENCH, {"name": name, "value": value}) for name, value in changed.items()]
    said = many("{n} setting saved", "{n} settings saved", len(changed))
    if form.ok and record_all(entries, form=form, say=said):
        return _on(form)
    return _show(form)


def _on(form: Form) -> Response:
    """Back to the settings, or on by the key that saves on the way."""
    if not form.flag("on"):
        return go("settings.show")
    return make_response(redirect(_way_on()[1], 303))


def _way_on() -> tuple[str, str]:
    """Where it goes on from here: the first of the first steps that is due, else today."""
    step = first_due()
    return (step.words, step.path) if step is not None else (_("Today"), "/")


@blueprint.post("/emergency-number")
def keep_number() -> Response:
    """The emergency number alone, asked where it is missed; back to that page."""
    form = read_form()
    number = _number(form, NUMBERS[0])
    if number is None and form.ok:
        form.refuse(_("Type the number."), NUMBERS[0])
    entry = Entry("setting.changed", BENCH, {"name": NUMBERS[0], "value": number})
    if form.ok and record_all([entry], form=form, say=_("Emergency number {number}", number=number)):
        return make_response(redirect(own_path(form.typed.get("back", "/")), 303))
    return _show(form)


def read_settings(form: Form) -> dict[str, Any]:
    """What the form says; an empty field changes nothing, every refusal stands beside its field."""
    asked: dict[str, Any] = {name: _number(form, name) for name in NUMBERS}
    asked[CO_EXPIRES] = form.day(CO_EXPIRES)
    asked[CURRENCY] = form.text(CURRENCY, max_len=CURRENCY_MAX)
    asked[LANGUAGE] = form.choice(LANGUAGE, languages(), required=False)
    asked["place"] = form.choice("place", PLACES, required=False)
    asked["airflow"] = form.number("airflow", low=0, high=1000, unit=_("/h"), required=False)
    asked["room_m3"] = form.number("room_m3", low=1, high=100_000, unit="m³", required=False)
    asked["balance_d_g"] = form.number("balance_d_g", low=0.0001, high=10, unit="g", required=False)
    answer = form.choice(PREGNANT, ANSWERS, required=False)
    if answer is not None and (answer != "unknown" or current_bench().state.setting(PREGNANT) is not None):
        asked[PREGNANT] = ANSWERS[answer]
    return asked


def _number(form: Form, name: str) -> str | None:
    said = form.text(name, max_len=NUMBER_MAX)
    if said is not None and not any(char.isdigit() for char in said):
        form.refuse(_("There is no digit here. Type the number as it is dialled."), name)
        return None
    return said


def _show(form: Form) -> Response:
    here = current_bench()
    journal = here.journal
    return page(
        "settings/show.html",
        form=form,
        way_on=_way_on()[0] if first_due() is not None or recorded_here() is not None else "",
        folder=here.settings.data,
        demo=here.settings.demo,
        records=len(here.state.records),
        report=journal.report,
        device=journal.device,
        theme_words=THEMES[taste.theme()],
        hand_words=HANDS[taste.hand()],
        conflicts=journal.conflicts,
        languages=languages(),
    )
