"""Which stored pages belong to a firing, for a phone that goes out of the laptop's reach."""

from bench.workshop.things.firings import Firing

OF_FIRING = ("/firing/{}/map", "/firing/{}/hands")


def firing_pages(view: Firing) -> list[str]:
    """Those pages of a firing that the phone does not draw."""
    return [address.format(view.id) for address in OF_FIRING]
