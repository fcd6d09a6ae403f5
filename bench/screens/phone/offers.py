"""What the forms that a phone draws offer before anybody reads it: habits as they were the last time.

A phone draws them lighter and sends them marked, as the laptop's own forms do, so that they count as assumed.
"""

from typing import Any

from bench.records.state import State
from bench.screens.kit.last import last_of, last_said
from bench.screens.powders.swatching import USUAL_BINDER
from bench.steps import STEPS

Offers = dict[str, dict[str, str]]


def offers_told(state: State) -> Offers:
    """By step and field, each as it would be typed."""
    said: dict[str, dict[str, Any]] = {
        "open": {"fate": "clean"},
        "load": {"lid": last_said("charge", "charged", "lid")},
        "come-out": {"rest_place": last_said("charge", "came.out", "rest_place")},
        "swatch": {"binder": last_said("swatch", "swatch.made", "binder") or USUAL_BINDER},
    }
    for step in STEPS:
        last = last_of(step.on[0], step.record) if step.on and step.record else None
        habits = [one.name for one in step.asked if one.as_last]
        said.setdefault(step.verb, {}).update({name: getattr(last.body, name, None) for name in habits if last})
    found = {verb: {name: _typed(one) for name, one in fields.items() if one} for verb, fields in said.items()}
    return {verb: fields for verb, fields in found.items() if fields}


def _typed(value: Any) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)
