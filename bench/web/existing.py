"""The thing of an address, or the calm page that says there is none."""

from typing import TypeVar

from flask import abort

from bench.web.current import current_bench

T = TypeVar("T")


def existing(view: T | None, thing: str) -> T:
    """What was folded of a thing that stands; 404 where it is no such thing, or what made it was withdrawn."""
    if view is None or not current_bench().state.exists(thing):
        abort(404)
    return view


def or_404(found: T | None) -> T:
    """What was looked for; 404 where there is none."""
    if found is None:
        abort(404)
    return found
