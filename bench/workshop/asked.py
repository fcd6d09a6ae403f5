"""Which items of a checklist are asked of a thing, by what is known of its batch, load, furnace and place."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from bench.reckoning.rules import Part, may_hold
from bench.reckoning.rules.cards import known
from bench.records.record import Record
from bench.records.state import State
from bench.reference import Library
from bench.reference.cautions import ASK, ChecklistItem
from bench.steps.close import HOUR_MIN
from bench.translation import _
from bench.workshop import answered
from bench.workshop.answered import is_good
from bench.workshop.parts import batch_parts, charge_parts
from bench.workshop.things.batches import batch, wets
from bench.workshop.things.charges import charge, powder_is_damp
from bench.workshop.things.crucibles import crucible
from bench.workshop.things.firings import Firing, charges_in, firing
from bench.workshop.things.pigments import pigment

Known = dict[str, bool | None]
LATER = "later"
"""What the look an hour after the fire is until then."""
LOOK = timedelta(minutes=60)
MISSING = "missing"
"""What an item is whose fitting the furnace is known to lack."""
OXIDISER = "strong_oxidiser=true | nitrate=true"
BURNS = "fuel_material=true"
CORROSIVE = "h_codes=H314,H318"
GASSES = "evolves!=none"
OIL = "drying_oil_used=true"
RCD_DUE = timedelta(days=30)
MOST_FIRES = 12
MOST_SWATCHES = 30
LOADING = "before-loading"
OF_SITTING = ("before-weighing", LOADING)
MASK = "weigh-mask"
DUST = (MASK, "weigh-dust-control")
"""What is asked wherever dry powder is moved."""


@dataclass(frozen=True)
class Asked:
    """An item as it stands for a thing: what kind it is there, its words with their figures, and the answer."""

    item: ChecklistItem
    kind: str
    says: str
    if_not_done: str
    answered: Record | None
    fitting: str = ""
    """The furnace's fitting that it is about, where nobody has said yet whether the furnace has one."""
    due_at: datetime | None = None
    """When one that is to be answered later is due; None also where the fire is not off yet."""

    @property
    def good(self) -> bool:
        """Whether it needs no more attention."""
        return self.kind not in (ASK, LATER) or is_good(self.answered)


def listed(state: State, library: Library, phase: str, thing: str, now: datetime | None = None) -> list[Asked]:
    """The items of a phase for a thing, in order, with what stands answered.

    With `now`, what was answered in this sitting for another batch stands for this one too, and what is due later is
    not asked yet.
    """
    fire = firing(state, thing)
    told = of_fire(state, fire, library) if fire is not None else of_bench(state, thing, library)
    found = answered.of_firing(state, thing, library) if fire else answered.answers(state, thing, library)
    if now is not None and fire is None and phase in OF_SITTING:
        found = _newest(found, answered.of_sitting(state, thing, library, now))
    figures = _figures(state, fire) if fire is not None else answered.IN_WORDS
    items = [one for one in library.checklists if one.phase == phase]
    rows = [(one, _kind(one, told, fire)) for one in items]
    dusty = of_dust(state, library, thing, now) if phase == LOADING and fire is None and _is_dry(state, thing) else []
    rows_asked = (_asked(one, kind, figures, found.get(one.slug)) for one, kind in rows if kind)
    asked = [replace(one, fitting=_unknown_fitting(one.item, fire)) for one in rows_asked]
    if fire is not None and now is not None:
        asked = [_in_time(one, fire, now) for one in asked]
    return [*dusty, *asked]


def _in_time(asked: Asked, fire: Firing, now: datetime) -> Asked:
    """The look an hour after the fire as it stands until then, unless it was answered."""
    early = fire.off_at is None or now < fire.off_at + timedelta(minutes=HOUR_MIN)
    if asked.item.slug != answered.HOUR or asked.kind != ASK or not early or asked.answered is not None:
        return asked
    return replace(asked, kind=LATER, due_at=fire.off_at + LOOK if fire.off_at is not None else None)


def of_dust(state: State, library: Library, thing: str, now: datetime | None) -> list[Asked]:
    """Mask and dust control, where powder that harms for life is moved dry: asked in each sitting in which it is."""
    if of_bench(state, thing, library)["harmful_dust"] is False:
        return []
    found = answered.of_sitting(state, thing, library, now) if now is not None else {}
    return [_asked(_where_dry(library.items_by_slug[slug]), ASK, answered.IN_WORDS, found.get(slug)) for slug in DUST]


def _where_dry(item: ChecklistItem) -> ChecklistItem:
    """An item where powder is moved dry: nothing excuses the mask there."""
    return replace(item, does_not_apply_when="") if item.slug == MASK else item


def _is_dry(state: State, thing: str) -> bool:
    """Whether what is filled is dry powder; a powder of which nothing is known counts as dry."""
    mixed = batch(state, thing)
    if mixed is None:
        return not powder_is_damp(state, thing)
    return not mixed.damp or not any(wets(r) for r in state.own(thing, "mixed"))


def _newest(own: answered.Answers, others: answered.Answers) -> answered.Answers:
    both = {slug: max(own[slug], others[slug], key=lambda r: r.order) for slug in own.keys() & others.keys()}
    return {**own, **others, **both}


def _kind(item: ChecklistItem, told: Known, fire: Firing | None) -> str:
    kind = item.stands_as(told)
    lacks = fire is not None and fire.furnace is not None and getattr(fire.furnace, item.fitting or "name") is False
    return MISSING if kind and lacks else kind


def _unknown_fitting(item: ChecklistItem, fire: Firing | None) -> str:
    known = fire is None or fire.furnace is None or getattr(fire.furnace, item.fitting or "name") is not None
    return "" if known else item.fitting


def _asked(item: ChecklistItem, kind: str, figures: dict[str, str], record: Record | None) -> Asked:
    says = item.without if kind == MISSING else item.says
    if kind != item.kind and item.otherwise_says and kind != MISSING:
        says = item.otherwise_says
    return Asked(item, kind, says.format_map(figures), item.if_not_done.format_map(figures), record)


def still_open(found: list[Asked], key: str) -> list[Asked]:
    """The asked items that hold a key and do not stand done."""
    return [one for one in found if key in one.item.holds and not one.good]


# of a batch or a powder


def of_bench(state: State, thing: str, library: Library) -> Known:
    """What is known where powder is weighed and filled: the batch or powder, its jars, the furnaces of this bench."""
    return state.memoize(("asked-of", thing, library.revision), lambda: _of_bench(state, thing, library))


def _of_bench(state: State, thing: str, library: Library) -> Known:
    parts = parts_of(state, thing)
    furnaces = [state.slot(one, "furnace.described").body for one in state.open_things("furnace")]
    fuels = {one.fuel for one in furnaces if one is not None}
    return {
        "gas": "gas" in fuels if fuels else None,
        "electric": "electric" in fuels,  # without a furnace there is no isolator yet: placing in one speaks of it
        "new_jar": bool(_new_jars(state, thing, library)),
        "harmful_dust": harmful_dust(parts, library),
        "oxidiser_on_shelf": may_hold(OXIDISER, _shelf(state), {}, library),
        "oxidiser_in_batch": may_hold(OXIDISER, parts, {}, library) if parts else None,
        "burns_in_batch": may_hold(BURNS, parts, {}, library) if parts else None,
        "corrosive_in_batch": may_hold(CORROSIVE, parts, {}, library) if parts else None,
    }


def parts_of(state: State, thing: str) -> list[Part]:
    """What a batch or a fired powder is made of: a powder by what it was fired into, where that is known."""
    found = pigment(state, thing)
    if found is None:
        return batch_parts(state, thing)
    parts = [part for one in found.charges for part in charge_parts(state, one)]
    return [part for part in parts if part.role == "target"] or [part for part in parts if part.role == "line"]


def harmful_dust(parts: list[Part], library: Library) -> bool | None:
    """Whether the dust of any part harms for life, by its card; None where nothing is known of it.

    Where there is no card, or no class was read for it, the worst of its elements counts.
    """
    if not parts:
        return None
    turned = known(library)
    worst = [Part(None, c.slug) for one in parts if not _classed(one, library) for c in turned.assumed(one)]
    return may_hold(library.rules["dust-mask"].pattern, [*parts, *worst], {"dry_handling": True}, library)


def _classed(part: Part, library: Library) -> bool:
    return any(card.classified for card in known(library).cards(part))


def _shelf(state: State) -> list[Part]:
    opened = [state.slot(one, "jar.opened").body for one in state.open_things("jar")]
    return [Part(one.formula, one.reagent, slug=one.reagent) for one in opened if one is not None]


def _new_jars(state: State, thing: str, library: Library) -> list[str]:
    """The jars of a batch that nothing was weighed from, and whose sheet nobody has read for another batch."""
    plan = state.slot(thing, "batch.planned").body
    jars = dict.fromkeys(line.jar for line in plan.lines if line.jar) if plan is not None else {}
    return [jar for jar in jars if not _known_jar(state, jar, thing, library)]


def _known_jar(state: State, jar: str, thing: str, library: Library) -> bool:
    if any(r.subject != thing for r in state.listed(jar, "weighed").newest_first()[:MOST_FIRES]):
        return True
    others = [r.subject for r in state.listed(jar, "batch.planned").newest_first()[:MOST_FIRES] if r.subject != thing]
    return any(is_good(answered.answers(state, one, library).get("weigh-sheet-read")) for one in others)


# of a firing


def of_fire(state: State, fire: Firing, library: Library) -> Known:
    """What is known of a firing: its furnace and place, its cylinder and guards, and what is placed in it."""
    return state.memoize(
        ("asked-of", fire.id, library.revision), lambda: _of_fire(state, firing(state, fire.id) or fire, library)
    )


def _of_fire(state: State, fire: Firing, library: Library) -> Known:
    furnace = fire.furnace
    fuel = furnace.fuel if furnace is not None else None
    place = furnace.place if furnace is not None and furnace.place != "unknown" else None
    told: Known = {
        "gas": furnace.fuel == "gas" if furnace is not None else None,
        "electric": furnace.fuel == "electric" if furnace is not None else None,
        "indoors": place == "indoors" if place is not None else None,
        "cylinder_new_or_moved": fuel != "electric" and _cylinder_is_new(state, fire, library),
        "rcd_test_due": fuel != "gas" and _rcd_is_due(state, fire, library),
        "drying_oil_used": _oil_since(state, fire, library),
    }
    return told | _of_load(state, charges_in(state, fire.id), library)


def _of_load(state: State, charges: tuple[str, ...], library: Library) -> Known:
    """An empty load is not known yet: what may come counts."""
    views = [view for view in (charge(state, one) for one in charges) if view is not None]
    if not views:
        return {}
    found = [(charge_parts(state, view.id), {"damp": view.damp}) for view in views]
    return {
        "gassing_charge": any(may_hold(GASSES, parts, terms, library) for parts, terms in found),
        "burns_in_charge": any(may_hold(BURNS, parts, {}, library) for parts, _ in found),
        "hot_pull": any(view.hot_pull for view in views),
        "damp": any(view.damp for view in views),
    }


def fires_before(state: State, fire: Firing) -> Iterator[str]:
    """The earlier fires of the same furnace that were lit, the newest first, each read only when it is come to."""
    plans = state.listed(fire.plan.furnace, "firing.planned").newest_first()[:MOST_FIRES]
    began = state.made_at(fire.id)
    for one in dict.fromkeys(r.subject for r in plans):
        if one != fire.id and state.made_at(one) < began and state.own(one, "lit"):
            yield one


def _cylinder_is_new(state: State, fire: Firing, library: Library) -> bool:
    """Whether a bottle was changed or the furnace moved since its gas line was last looked at; so it is at first."""
    described = state.slot(fire.plan.furnace, "furnace.described").record
    for one in fires_before(state, fire):
        if any(r.body.what == "gas-change" and r.body.value == "new bottle" for r in state.own(one, "noted")):
            return True
        found = answered.answers(state, one, library)
        if is_good(found.get("light-hose")) and is_good(found.get("light-cylinder")):
            return described is not None and described.when > found["light-hose"].when
    return True


def _rcd_is_due(state: State, fire: Firing, library: Library) -> bool:
    planned = state.slot(fire.id, "firing.planned").record
    for one in fires_before(state, fire):
        tested = answered.answers(state, one, library).get("light-rcd")
        if tested is not None and tested.body.answer == "done":
            return planned is None or planned.when - tested.when > RCD_DUE
    return True


def _oil_since(state: State, fire: Firing, library: Library) -> bool:
    """Whether something was painted out in a drying oil since the fire was lit."""
    if fire.lit_at is None:
        return False
    made = [state.slot(one, "swatch.made").record for one in state.things("swatch")[-MOST_SWATCHES:]]
    binders = [Part(None, r.body.binder, role="binder") for r in made if r is not None and r.when >= fire.lit_at]
    return bool(binders) and may_hold(OIL, binders, {}, library)


def _figures(state: State, fire: Firing) -> dict[str, str]:
    """The figures that the words of an item name, as far as the furnace and its load are known."""
    furnace: Any = fire.furnace
    pots = [crucible(state, view.crucible) for view in (charge(state, one) for one in fire.charges) if view is not None]
    rated = [pot.rated_c for pot in pots if pot is not None and pot.rated_c is not None]
    rated += [furnace.lining_rated_c] if furnace is not None and furnace.lining_rated_c is not None else []
    flow = furnace.blower_l_per_s if furnace is not None else None
    seconds = 4 * furnace.volume_l / flow if flow and furnace.volume_l else None
    return {
        "peak": f"{fire.peak_c:.0f} °C",
        "rating": f"{min(rated):.0f} °C" if rated else _("the lining’s rating (not known here)"),
        "purge": f"{seconds:.0f} s" if seconds else answered.IN_WORDS["purge"],
    }
