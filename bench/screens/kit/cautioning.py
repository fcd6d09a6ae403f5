"""What a step's foot says of its dangers: what the cards warn of, what to wear, and who decides.

`cautions(step, parts)` gives it, `ui.cautions(…)` shows it, always with the sentence that defers to the SDS.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from bench.reckoning.rules import Caution, HazardSummary, Part, cautions_for, hazard_summary
from bench.web.current import current_bench
from bench.web.words import _

MOST_STATEMENTS = 3
GAS = "w-gas"
WEAR: dict[str, tuple[str, ...]] = {
    "weigh": ("m-mask", "m-gloves", "m-eyes", "m-wet"),
    "mix": ("m-mask", "m-gloves", "m-eyes", "m-wet"),
    "grind": ("m-mask", "m-gloves", "m-eyes", "m-wet"),
    "dry": ("w-hot", "m-gloves"),
    "load": ("m-mask", "m-gloves"),
    "light": ("w-fire", GAS, "m-face"),
    "fire": ("w-hot", "w-fire", "m-face"),
    "open": ("w-hot", "m-face", "m-gloves"),
    "quench": ("w-hot", "m-face"),
    "wash": ("m-gloves", "m-eyes"),
    "swatch": ("w-fire", "m-mask", "m-gloves"),
    "waste": ("m-gloves", "w-toxic"),
    "plan": ("m-read",),
}
"""The signs of what every careful hand wears or minds at a step; what to wear in full stands in its cautions."""


@dataclass(frozen=True)
class StepCautions:
    """The foot of a step's screen. `signs` are pictograms of the cards, then what to wear."""

    signs: tuple[str, ...]
    signal: str
    first: str
    rest: tuple[Caution, ...]
    hazards: HazardSummary

    @property
    def defer(self) -> str:
        """The sentence that stands in sight of it all."""
        return self.hazards.defer


def cautions(step: str, parts: Sequence[Part], fuel: str = "any") -> StepCautions:
    """What the cards of these parts and the step itself ask for, in a furnace of this fuel.

    KeyError for a step that the rules do not know.
    """
    hazards = hazard_summary(parts, current_bench().library)
    known = cautions_for(step, fuel)
    warned = [_ended(text) for _code, text in _telling(hazards)]
    signal = {"Danger": _("Danger."), "Warning": _("Warning.")}.get(hazards.signal_word, "")
    return StepCautions(
        signs=(*hazards.pictograms, *(sign for sign in WEAR[step] if fuel != "electric" or sign != GAS)),
        signal=signal,
        first=" ".join([*warned, str(known[0].say)]),
        rest=known,
        hazards=hazards,
    )


def _telling(hazards: HazardSummary) -> list[tuple[str, str]]:
    """The statements that count most for a hand at the bench: what kills or harms for good before what irritates."""
    return sorted(hazards.statements, key=lambda pair: (_rank(pair[0]), pair[0]))[:MOST_STATEMENTS]


def _rank(code: str) -> int:
    worst = ("H300", "H310", "H330", "H350", "H340", "H360", "H372", "H301", "H311", "H331", "H334", "H314", "H271")
    found = [n for n, known in enumerate(worst) if code.startswith(known)]
    if found:
        return found[0]
    return len(worst) + (0 if code.startswith("H3") else 1 if code.startswith("H2") else 2)


def _ended(text: str) -> str:
    return text if text.endswith(".") else f"{text}."
