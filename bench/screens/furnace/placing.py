"""The places of a furnace and who stands there: for placing a charge, and for any map of a firing."""

from dataclasses import dataclass

from bench.records.kinds import FurnaceDescribed
from bench.records.state import State
from bench.screens.furnace.furnaces import ring_places
from bench.steps.add_furnace import HOURS
from bench.web.drawing import Pot, grid, ring
from bench.web.drawing.furnace import Plan
from bench.web.page import code_text
from bench.web.words import _
from bench.workshop.things.charges import Charge, charge
from bench.workshop.things.firings import Firing, occupied

Where = tuple[int, int | None, int | None, int | None]
MIDDLE = 0


@dataclass(frozen=True)
class Spot:
    """One place of a furnace. `where` is (tier, row, column, clock hour); `state` as `drawing.Pot` has it."""

    where: Where
    charge: str | None = None
    code: str | None = None
    state: str = "empty"

    @property
    def tier(self) -> int:
        return self.where[0]

    @property
    def value(self) -> str:
        """The place as a form sends it: `1.2.3` for tier, row and column, `c.12` for an hour of the clock."""
        tier, row, column, clock = self.where
        return f"c.{clock}" if clock is not None else f"{tier}.{row or 1}.{column or 1}"

    @property
    def mark(self) -> str:
        """The place as the picture names it."""
        _tier, row, column, clock = self.where
        return str(clock) if clock is not None else f"{row or 1}.{column or 1}"

    @property
    def name(self) -> str:
        """The place in words."""
        tier, row, column, clock = self.where
        if clock is not None:
            return _("Middle") if clock == MIDDLE else _("{n} o’clock", n=clock)
        said = _("Row {row}, place {column}", row=row or 1, column=column or 1)
        return said if tier == 1 else _("Tier {tier}: {said}", tier=tier, said=said)


def wheres(furnace: FurnaceDescribed | None) -> list[Where]:
    """Every place of a furnace; one place where nothing is known of its layout."""
    if furnace is None:
        return [(1, 1, 1, None)]
    if furnace.layout == "ring":
        return [(1, None, None, int(hour)) for hour in ring_places(furnace.places or HOURS)]
    rows, columns = furnace.rows or 1, furnace.columns or 1
    return [
        (t, r, c, None) for t in range(1, furnace.tiers + 1) for r in range(1, rows + 1) for c in range(1, columns + 1)
    ]


def spots(state: State, fire: Firing) -> list[Spot]:
    """Every place of a firing with who stands there, those outside the furnace's own plan at the end."""
    taken = {_plain(where): thing for where, thing in occupied(state, fire.id).items()}
    known = wheres(fire.furnace)
    return [_spot(state, fire, where, taken.get(where)) for where in [*known, *(w for w in taken if w not in known)]]


def _plain(where: Where) -> Where:
    """A place whose tier, row or column was left out stands at the first."""
    tier, row, column, clock = where
    return (tier, None, None, clock) if clock is not None else (tier, row or 1, column or 1, None)


def _spot(state: State, fire: Firing, where: Where, thing: str | None) -> Spot:
    view = charge(state, thing) if thing is not None else None
    if view is None:
        return Spot(where)
    stay = next((one for one in view.residences if one.firing == fire.id), None)
    gone = stay is not None and stay.came_out is not None
    hot = fire.burning and stay is not None and stay.went_in is not None
    return Spot(where, thing, view.crucible_code, "out" if gone else "hot" if hot else "in")


def waiting(state: State) -> list[Charge]:
    """The filled crucibles that have no place in a furnace yet."""
    views = (charge(state, thing) for thing in state.open_things("charge"))
    return [view for view in views if view is not None and view.state in ("damp", "dry")]


def way_to_place(state: State, fire: Firing) -> str:
    """Where placing goes on: the one crucible that waits with a place offered, else the first empty place of the map.

    Nothing where no crucible waits, or no place is empty.
    """
    found, free = waiting(state), first_free(state, fire)
    if not found or not free:
        return ""
    return (
        f"/charge/{found[0].id}/place?firing={fire.id}"
        if len(found) == 1
        else f"/firing/{fire.id}/map?place={free}#what"
    )


def first_free(state: State, fire: Firing) -> str:
    """The first empty place, as a form names it; nothing where each is taken."""
    return next((spot.value for spot in spots(state, fire) if spot.charge is None), "")


def tiers(found: list[Spot]) -> list[int]:
    """The tiers that there are, from the lowest."""
    return sorted({spot.tier for spot in found})


def picture(found: list[Spot], fire: Firing, tier: int = 1) -> Plan:
    """The furnace from above, one tier of it."""
    here = [spot for spot in found if spot.tier == tier]
    pots = [Pot(spot.mark, spot.state, spot.code or "") for spot in here]
    if fire.furnace is not None and fire.furnace.layout == "ring":
        return ring(pots, lit=fire.burning)
    rows = max((spot.where[1] or 1 for spot in here), default=1)
    columns = max((spot.where[2] or 1 for spot in here), default=1)
    return grid(pots, rows, columns, lit=fire.burning)


def in_words(found: list[Spot], tier: int = 1) -> str:
    """The picture for those who cannot see it."""
    here = [spot for spot in found if spot.tier == tier]
    said = [f"{spot.name}: {code_text(spot.code) if spot.charge else _('empty')}" for spot in here]
    return _("The furnace from above, front at the bottom.") + " " + "; ".join(said) + "."


def read_place(typed: str, found: list[Spot]) -> Spot | None:
    """The place that a form names, where the furnace has it."""
    return next((spot for spot in found if spot.value == typed), None)
