"""Which pages belong to a batch and to a firing, for a phone that goes out of the laptop's reach."""

from collections.abc import Iterable
from itertools import pairwise

from bench.records.state import State
from bench.web.projecting import open_fires, placeable
from bench.workshop.things.batches import Batch
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import Firing

PHASES = ("before-lighting", "firing", "before-opening", "after-shutdown")
OF_CHARGE = ("/charge/{}", "/charge/{}/dry?late=1", "/charge/{}/place?late=1", "/charge/{}/cool", "/charge/{}/open")
OUT_OF_FIRE = ("/charge/{}/cool?then=out", "/charge/{}/open?then=cool")
OF_FIRING = (
    "/firing/{}",
    "/firing/{}?then=lit",
    "/firing/{}?then=off",
    "/firing/{}/reading",
    "/firing/{}/reading?other=1",
    "/firing/{}/timer",
    "/firing/{}/note",
    "/firing/{}/watch",
    "/firing/{}/map",
    "/firing/{}/in",
    "/firing/{}/out",
    "/firing/{}/hands",
    "/firing/{}/off",
    "/firing/{}/off?reason=stalled",
    "/firing/{}/close",
)


def batch_pages(state: State, view: Batch, charges: Iterable[str], ahead: Iterable[str]) -> list[str]:
    """All steps of a batch, those of its charges, and a page a line to weigh, also for entering it afterwards.

    `charges` are those that hold some of it, `ahead` the ids kept free for its next fillings.
    """
    here = f"/batch/{view.id}"
    pages = [here, f"{here}/weigh", f"{here}/weigh?sum=1", f"{here}/weigh?checks=1", f"{here}/load?checks=1"]
    for line in view.lines:
        pages += [f"{here}/weigh/{line.plan.line}", f"{here}/weigh/{line.plan.line}?late=1"]
    for step in ("grind", "dry", "load"):
        # A step that is blocked now may be due out there, once what comes before it was done and waits.
        pages += [f"{here}/{step}", f"{here}/{step}?late=1"]
    fires = open_fires(state)
    movable = set(placeable(state))
    for one in charges:
        found = charge(state, one)
        pages += charge_pages(one, found is not None and (bool(found.stays) or (one in movable and bool(fires))))
    # What is filled, or will be out there, may be placed in any firing that is open.
    for one in (*(c for c in charges if c in movable), *ahead):
        pages += charge_pages(one, bool(fires))
        pages += [f"/charge/{one}/place?late=1&firing={fire}" for fire in fires]
    return pages


def charge_pages(thing: str, fired: bool) -> list[str]:
    """The steps of a charge; those after the fire only where there is one for it."""
    return [address.format(thing) for address in (*OF_CHARGE, *(OUT_OF_FIRE if fired else ()))]


def firing_pages(view: Firing, ahead: Iterable[str]) -> list[str]:
    """All steps of a firing and of what is in it, with the way out also of `ahead`: what may be placed in it."""
    pages = [address.format(view.id) for address in OF_FIRING]
    pages += [f"/firing/{view.id}/checks/{phase}" for phase in PHASES]
    for one in view.charges:
        pages += charge_pages(one, True)
    return pages + [f"/firing/{view.id}/out?charge={one}" for one in (*view.charges, *ahead)]


def following(view: Batch) -> dict[str, str]:
    """From each line to weigh to the one after it, and from the last one to the mortar's sum."""
    here = f"/batch/{view.id}"
    numbers = [line.plan.line for line in view.lines]
    after = {f"{here}/weigh/{one}": f"{here}/weigh/{two}" for one, two in pairwise(numbers)}
    if numbers:
        after[f"{here}/weigh/{numbers[-1]}"] = f"{here}/grind?late=1"
    after[f"{here}/grind"] = f"{here}/load?late=1"
    return after
