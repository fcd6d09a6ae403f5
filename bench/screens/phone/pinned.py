"""Which stored pages belong to a batch and to a firing, for a phone that goes out of the laptop's reach."""

from itertools import pairwise

from bench.workshop.things.batches import Batch
from bench.workshop.things.firings import Firing

OF_FIRING = ("/firing/{}/map", "/firing/{}/hands")


def batch_pages(view: Batch) -> list[str]:
    """A page a line to weigh, also for entering it afterwards, and its checks. The others the phone draws."""
    here = f"/batch/{view.id}"
    pages = [f"{here}/weigh", f"{here}/weigh?sum=1", f"{here}/weigh?checks=1"]
    for line in view.lines:
        pages += [f"{here}/weigh/{line.plan.line}", f"{here}/weigh/{line.plan.line}?late=1"]
    return pages


def firing_pages(view: Firing) -> list[str]:
    """Those pages of a firing that the phone does not draw."""
    return [address.format(view.id) for address in OF_FIRING]


def following(view: Batch) -> dict[str, str]:
    """From each line to weigh to the one after it, and from the last one to the mortar's sum."""
    here = f"/batch/{view.id}"
    numbers = [line.plan.line for line in view.lines]
    after = {f"{here}/weigh/{one}": f"{here}/weigh/{two}" for one, two in pairwise(numbers)}
    if numbers:
        after[f"{here}/weigh/{numbers[-1]}"] = f"{here}/grind"
    after[f"{here}/grind"] = f"{here}/load"
    return after
