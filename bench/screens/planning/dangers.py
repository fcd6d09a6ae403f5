"""What must never be planned, said beside the line that brings it, before anything is reckoned."""

from bench.reckoning.rules import LEAST_TELLING, Part, judge
from bench.reckoning.rules.cards import known
from bench.reference import Library
from bench.screens.planning.lines import Row
from bench.screens.planning.targets import Wanted
from bench.web.forms import Form

EXTRAS = ("liquid", "binder", "packing")


def refuse_dangers(form: Form, rows: list[Row], found: Wanted | None, library: Library) -> None:
    """Refuse what the rules refuse of these lines together, beside each field that is part of it.

    What grinds, binds and packs counts too: a nitrate with a gum burns like one with charcoal.
    """
    parts = [(row.field, row.part) for row in rows]
    if found is not None:
        slug = found.target.slug if found.target is not None else None
        parts.append(("target", Part(found.formula, found.name, slug=slug, role="target")))
    for name in EXTRAS:
        words = form.typed.get(name, "").strip()[:120]
        parts += [(name, Part(None, words, role=name))] if words else []
    refused = [each for each in judge("plan", [part for _field, part in parts], {}, library) if each.effect == "refuse"]
    for finding in sorted(refused, key=lambda each: each.rule == LEAST_TELLING):
        named = [field for field, part in parts if known(library).label(part) in finding.because]
        for field in named or [""]:
            form.refuse(finding.whole, field)
