"""What a batch or a charge is made of, part by part, for the rules: lines, target, liquids, binder, packing."""

from bench.reckoning.rules import Part
from bench.records.kinds import BatchPlanned, Line, Source
from bench.records.state import State
from bench.workshop.things.charges import batches_of
from bench.workshop.things.crucibles import earlier_charges


def plan_parts(plan: BatchPlanned, state: State) -> list[Part]:
    """The parts of a planned batch, whether it is recorded yet or only typed."""
    parts = [_line(line, state) for line in plan.lines]
    if plan.target or plan.target_formula:
        name = plan.target or plan.target_formula or ""
        parts.append(Part(plan.target_formula, name, slug=plan.target, role="target"))
    extras = {"liquid": plan.liquid, "binder": plan.binder, "packing": plan.packing}
    parts += [Part(None, name, role=role) for role, name in extras.items() if name]
    return parts


def _line(line: Line, state: State) -> Part:
    opened = state.slot(line.jar, "jar.opened").body if line.jar else None
    slug = opened.reagent if opened else line.name
    return Part(line.formula, line.name or line.formula, slug=slug, g=line.target_g)


def batch_parts(state: State, batch: str) -> list[Part]:
    """The parts of a recorded batch, with the liquids that it was in fact ground in."""
    plan = state.slot(batch, "batch.planned").body
    if plan is None:
        return []
    liquids = [r.body.medium for r in state.own(batch, "mixed") if r.body.medium not in ("dry", "none")]
    return plan_parts(plan, state) + [Part(None, name, role="liquid") for name in dict.fromkeys(liquids)]


def charge_parts(state: State, charge: str) -> list[Part]:
    """The parts of a charge, through every batch and earlier generation that it holds."""
    body = state.slot(charge, "charged").body
    if body is None:
        return []
    packing = [Part(None, body.packing, role="packing")] if body.packing else []
    return source_parts(state, body.sources) + packing


def source_parts(state: State, sources: tuple[Source, ...]) -> list[Part]:
    """The parts that some sources bring: of batches, of jars, and of fired powders by what they were made into.

    What a fire has been through is no longer a nitrate or a carbonate, so a fired powder stands as its target; where no
    target was meant, as its lines.
    """
    found: list[Part] = []
    for source in sources:
        if source.batch is not None:
            found += batch_parts(state, source.batch)
        if source.jar is not None:
            opened = state.slot(source.jar, "jar.opened").body
            if opened is not None:
                found.append(Part(opened.formula, opened.reagent, slug=opened.reagent, g=source.g))
        for earlier in earlier_charges(state, source.pigment):
            found += _fired_parts(state, earlier)
    return found


def _fired_parts(state: State, charge: str) -> list[Part]:
    found: list[Part] = []
    for batch in batches_of(state, charge):
        plan = state.slot(batch, "batch.planned").body
        if plan is None:
            continue
        if plan.target_formula:
            found.append(Part(plan.target_formula, plan.name, slug=plan.target))
        else:
            found += [_line(line, state) for line in plan.lines]
    return found
