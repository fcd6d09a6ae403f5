"""What every thing is called on a screen: what it is, its name, its code, and the way to its page."""

from dataclasses import dataclass

from bench.records.kinds import MAKERS
from bench.records.state import State
from bench.screens.kit.names import reagent_name
from bench.screens.kit.steps import thing_path
from bench.web.current import current_bench
from bench.web.existing import existing
from bench.web.words import _
from bench.workshop.things.charges import batches_of
from bench.workshop.things.crucibles import earlier_charges
from bench.workshop.things.pigments import generation

WHATS = {
    "jar": _("jar"),
    "crucible": _("crucible"),
    "furnace": _("furnace"),
    "burner": _("burner"),
    "series": _("series"),
    "batch": _("batch"),
    "charge": _("charge"),
    "firing": _("firing"),
    "pigment": _("pigment"),
    "swatch": _("swatch"),
    "waste": _("waste"),
    "card": _("own row"),
}


@dataclass(frozen=True)
class ThingLabel:
    """A thing as a row shows it. `what` is the word for its sort; `path` its own page."""

    id: str
    sort: str | None
    what: str
    name: str
    code: str | None
    path: str


def ware_name(slug: str) -> str:
    """A ware by its slug, in words: `glazed porcelain`."""
    return slug.replace("-", " ")


def thing_label(thing: str) -> ThingLabel:
    """What a thing is called; one that nobody made is called by what little is known."""
    state = current_bench().state
    sort = state.sort_of(thing)
    what = WHATS.get(sort or "", _("thing"))
    name = _name(thing, sort, state) or what
    code = state.code_of(thing)
    if code is None and sort == "charge":
        body = state.slot(thing, "charged").body
        code = state.code_of(body.crucible) if body is not None else None
    return ThingLabel(thing, sort, what, name, code, thing_path(sort, thing))


MADE_BY = {sort: kind for kind, sort in MAKERS.items() if sort not in ("pigment", "waste")}
"""By which kind of record each sort of thing was made, where it is one alone."""


def label_or_404(thing: str) -> ThingLabel:
    """What the thing of an address is called; 404 where there is none, or what made it was withdrawn."""
    return existing(thing_label(thing), thing)


def _name(thing: str, sort: str | None, state: State) -> str:
    body = state.slot(thing, MADE_BY[sort]).body if sort in MADE_BY else None
    match sort:
        case "jar" if body is not None:
            return reagent_name(body.reagent, current_bench().library)
        case "crucible" if body is not None:
            return _("{ware}, {ml:g} mL", ware=ware_name(body.ware).capitalize(), ml=body.volume_ml)
        case "furnace" | "burner" | "batch" if body is not None:
            return str(body.name)
        case "series" if body is not None:
            return str(body.factor)
        case "firing" if body is not None:
            furnace = state.slot(body.furnace, "furnace.described").body
            return body.name or (furnace.name if furnace is not None else "")
        case "charge":
            return _batches(batches_of(state, thing), state)
        case "pigment":
            return pigment_name(thing)
        case "swatch":
            made = state.slot(thing, "swatch.made").body
            return pigment_name(made.pigment) if made is not None else ""
        case "waste":
            added = state.rows(thing, "waste.added")
            return added[0].body.contents if added else ""
        case "card":
            changed = state.slot(thing, "card.changed").body
            return changed.slug if changed is not None else ""
    return ""


def _batches(batches: tuple[str, ...], state: State) -> str:
    plans = [state.slot(batch, "batch.planned").body for batch in batches]
    return " + ".join(plan.name for plan in plans if plan is not None)


def pigment_name(thing: str) -> str:
    """A fired powder by the batches that it came from, and by how often it was fired where that was more than once."""
    state = current_bench().state
    batches = dict.fromkeys(b for charge in earlier_charges(state, thing) for b in batches_of(state, charge))
    fires = generation(state, thing)
    name = _batches(tuple(batches), state)
    return _("{name}, fired {n} times", name=name, n=fires) if name and fires > 1 else name
