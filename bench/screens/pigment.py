"""A fired powder: washed, ground, weighed dry, brushed out, judged; each a step of its own."""

from typing import Any

from flask import Blueprint, Response, abort, redirect, request

from bench.reckoning import reckon
from bench.science.refusal import Refusal
from bench.screens.called import called
from bench.screens.cautioning import cautions
from bench.screens.forms import Form, blank, read_form
from bench.screens.gating import may_record
from bench.screens.issuing import code_entries
from bench.screens.joined import bench
from bench.screens.opening import gap_working
from bench.screens.page import go, page
from bench.screens.photo import photo_entry
from bench.screens.recording import Entry, entry_id, record, record_all
from bench.screens.steps import step_path
from bench.screens.uploads import read_photo
from bench.screens.words import _
from bench.workshop.expectation import gap
from bench.workshop.gates import gate_pigment
from bench.workshop.next_steps import pigment_step
from bench.workshop.parts import charge_parts
from bench.workshop.things.pigments import Pigment, pigment
from bench.workshop.things.swatches import photos_of

blueprint = Blueprint("pigment", __name__, url_prefix="/pigment")

STATES = {
    "raw": _("raw, as it came out"),
    "washed": _("washed"),
    "ground": _("ground"),
    "dry": _("dry and weighed"),
    "kept": _("kept"),
    "refire": _("to be fired again"),
    "make-up": _("to be made up"),
    "tint": _("tint stock"),
    "waste": _("waste"),
}
VERDICTS = (
    ("keep", _("Keep"), _("it is what was wanted")),
    ("refire", _("Fire again"), _("ground, with fresh flux where it had one")),
    ("make-up", _("Make up"), _("its composition is off: plan what it lacks")),
    ("tint", _("Tint stock"), _("weak, but sound")),
    ("discard", _("Throw away"), _("into the waste, never the drain")),
)
CAUSES = (
    "underfired", "overfired", "coarse or unmixed", "wrong hydrate or assay", "fire gas got in", "flux wrong",
    "contamination", "bed too deep", "temperature wrong", "poor wash or milling", "mixed-up vessels",
)  # fmt: skip
"""The usual causes of failure: common practice."""
MEDIA = (("dry", _("Dry")), ("water", _("Water")), ("alcohol", _("Alcohol")), ("other", _("Other")))
TESTS = ("conductivity", "silver nitrate: chloride", "barium chloride: sulfate", "pH", "colour of the rinse")


def pigment_or_404(thing: str) -> Pigment:
    """The powder of this address, or the calm page."""
    view = pigment(bench().state, thing)
    if view is None:
        abort(404)
    return view


@blueprint.get("/<thing>")
def show(thing: str) -> Response:
    """The powder."""
    view = pigment_or_404(thing)
    here = bench()
    state = here.state
    following = pigment_step(state, thing)
    gaps = [(c, found) for c in view.charges if (found := gap(state, c)) is not None]
    return page(
        "pigment/show.html",
        view=view,
        name=called(thing, state, here.library).name,
        said=STATES[view.state],
        following=following,
        path=step_path(following) if following else None,
        gaps=[(found, gap_working(found)) for _charge, found in gaps],
        swatches=[called(s, state, here.library) for s in view.swatches],
        charges=[called(c, state, here.library) for c in view.charges],
        photos=photos_of(state, thing),
        sources={},
    )


def _foot(view: Pigment, step: str) -> Any:
    here = bench()
    parts = [part for c in view.charges for part in charge_parts(here.state, c)]
    return cautions(step, parts, here.library)


def _gated(form: Form, step: str, thing: str, **more: Any) -> bool:
    """Whether the step may be recorded; says so above the form where it may not."""
    found = gate_pigment(bench().state, step, thing, bench().library, **more)
    if may_record(form, found) or form.flag("in_fact"):
        return True
    form.refuse(_("Not recorded: {say}", say=next(f.say for f in found if f.effect != "flag")))
    return False


def _step(template: str, view: Pigment, form: Form, step: str, **more: Any) -> Response:
    here = bench()
    return page(
        f"pigment/{template}.html",
        form=form,
        view=view,
        name=called(view.id, here.state, here.library).name,
        findings=gate_pigment(here.state, step, view.id, here.library),
        foot=_foot(view, step),
        **more,
    )


@blueprint.route("/<thing>/wash", methods=["GET", "POST"])
def wash(thing: str) -> Response:
    """One rinse: water, test, and where it went."""
    view = pigment_or_404(thing)
    state = bench().state
    containers = [(t, called(t, state, bench().library).name) for t in state.open_things("waste")]
    form = read_form() if request.method == "POST" else blank(round=view.washes + 1)
    if form.posted and _washed(form, view, [t for t, _name in containers]):
        return go("pigment.show", thing=thing)
    return _step("wash", view, form, "wash", containers=containers, tests=TESTS, salt=_salt_left(view))


def _washed(form: Form, view: Pigment, containers: list[str]) -> bool:
    number = form.whole("round", low=1, high=99)
    water = form.number("water_ml", low=0, high=100_000, unit="mL", required=False)
    c = form.number("c", low=0, high=100, unit="°C", required=False)
    acid = form.choice("acid", ("none", "HCl", "other"), required=False) or "none"
    bin_ = form.choice("waste", containers, required=False)
    data: dict[str, Any] = {"round": number, "water_ml": water, "c": c, "waste": bin_}
    data |= {"test": form.text("test", max_len=120), "result": form.text("result", max_len=120)}
    if not form.ok or not _gated(form, "wash", view.id, acid=acid):
        return False
    entries = [Entry("washed", view.id, data)]
    if bin_ is not None:
        added = {"container": bin_, "from": view.id, "volume_ml": water, "contents": _("rinse water")}
        entries.append(Entry("waste.added", bin_, added))
    return record_all(entries, form=form, say=_("Rinse {n}", n=number))


def _salt_left(view: Pigment) -> dict[str, Any] | None:
    """How much of a washed-out flux is left after the rinses so far, leaving a tenth each time; None without a flux."""
    state = bench().state
    salt = 0.0
    for thing in view.charges:
        body = state.slot(thing, "charged").body
        for source in body.sources if body else ():
            plan = state.slot(source.batch, "batch.planned").body if source.batch else None
            total = sum(line.target_g for line in plan.lines) if plan else 0.0
            if plan and total:
                salt += source.g * sum(x.target_g for x in plan.lines if x.fate == "washed-out") / total
            salt += source.g if source.jar else 0.0
    if salt <= 0:
        return None
    try:
        return {"salt_g": salt} | reckon(
            "wash", {"salt_g": salt, "left_fraction": 0.1, "count": view.washes}, bench().library
        )
    except Refusal:
        return None


@blueprint.route("/<thing>/grind", methods=["GET", "POST"])
def grind(thing: str) -> Response:
    """Ground again, wet or dry, and sieved."""
    view = pigment_or_404(thing)
    form = read_form() if request.method == "POST" else blank(medium="water")
    if form.posted:
        medium = form.choice("medium", [name for name, _words in MEDIA])
        data: dict[str, Any] = {
            "medium": medium,
            "minutes": form.number("minutes", high=10_000, unit="min", required=False),
        }
        data |= {"sieve_um": form.number("sieve_um", low=1, high=5000, unit="µm", required=False)}
        data |= {"held_back_g": form.number("held_back_g", high=100_000, unit="g", required=False)}
        liquid = {"paste_solvent": medium} if medium not in ("dry", None) else {}
        if (
            form.ok
            and _gated(form, "grind", thing, **liquid)
            and record("ground", thing, data, form=form, say=_("Ground"))
        ):
            return go("pigment.show", thing=thing)
    return _step("grind", view, form, "grind", media=MEDIA)


@blueprint.route("/<thing>/dry", methods=["GET", "POST"])
def dry(thing: str) -> Response:
    """Weighed dry."""
    view = pigment_or_404(thing)
    form = read_form() if request.method == "POST" else blank()
    if form.posted:
        net = form.number("net_g", low=0, high=100_000, unit="g")
        before = [r.id for r in bench().state.slot(thing, "dry.weighed").heads if r.id != form.record_id]
        known = bench().state.records.get(form.record_id)
        corrects = before or (list(known.corrects) if known else [])
        if form.ok and record("dry.weighed", thing, {"net_g": net}, form=form, say=f"{net:g} g", corrects=corrects):
            return go("pigment.show", thing=thing)
    return _step("dry", view, form, "swatch")


@blueprint.route("/<thing>/swatch", methods=["GET", "POST"])
def swatch(thing: str) -> Response:
    """Brushed out: binder, oil, white, film, photo."""
    view = pigment_or_404(thing)
    form = read_form() if request.method == "POST" else blank(binder="linseed oil")
    if form.posted:
        data: dict[str, Any] = {"pigment": thing, "binder": form.text("binder", max_len=120, required=True)}
        data |= {"oil_g": form.number("oil_g", high=10_000, unit="g", required=False)}
        data |= {"white_per_pigment": form.number("white_per_pigment", high=1000, required=False)}
        data |= {"film_um": form.number("film_um", high=5000, unit="µm", required=False)}
        words, picture = form.text("words", max_len=400), read_photo(form)
        if form.ok and _gated(form, "swatch", thing):
            made = entry_id(form, 0)
            entries = [Entry("swatch.made", None, data), *code_entries(bench().state, form)]
            entries += [Entry("noted", made, {"what": "words", "value": words})] if words else []
            photo = photo_entry(form, made, picture) if picture is not None else None
            entries += [photo] if photo is not None else []
            if form.ok and record_all(entries, form=form, say=_("A swatch is made")):
                return go("swatch.show", thing=made)
    return _step("swatch", view, form, "swatch")


@blueprint.route("/<thing>/judge", methods=["GET", "POST"])
def judge(thing: str) -> Response:
    """The verdict, in words, with the causes that are suspected."""
    view = pigment_or_404(thing)
    form = read_form() if request.method == "POST" else blank()
    if form.posted:
        verdict = form.choice("verdict", [one[0] for one in VERDICTS])
        data: dict[str, Any] = {"verdict": verdict, "words": form.text("words", lines=True)}
        sure = form.choices("sure", [_slug(c) for c in CAUSES])
        guess = [c for c in form.choices("guess", [_slug(c) for c in CAUSES]) if c not in sure]
        data["suspected"] = [{"cause": c.replace("-", " "), "certainty": "sure"} for c in sure]
        data["suspected"] += [{"cause": c.replace("-", " "), "certainty": "guess"} for c in guess]
        if form.ok and record("judged", thing, data, form=form, say=_("Judged: {verdict}", verdict=verdict)):
            return go("pigment.show", thing=thing)
    return _step("judge", view, form, "swatch", verdicts=VERDICTS, causes=[(_slug(c), c) for c in CAUSES],
                 signs=_failure_signs(view))  # fmt: skip


def _slug(words: str) -> str:
    return words.replace(" ", "-")


def _failure_signs(view: Pigment) -> list[Any]:
    """The failure signs of its targets, with their causes."""
    here = bench()
    found = []
    for thing in view.charges:
        for source in here.state.slot(thing, "charged").body.sources:
            plan = here.state.slot(source.batch, "batch.planned").body if source.batch else None
            target = here.library.targets.get(plan.target) if plan is not None and plan.target else None
            found += list(target.failure_signs) if target is not None else []
    return list(dict.fromkeys(found))


@blueprint.get("/<thing>/make-up")
def make_up(thing: str) -> Response:
    """Plan what it lacks, from its grams."""
    pigment_or_404(thing)
    return redirect("/plan/grams", 303)  # type: ignore[return-value]
