"""The working of a plan, step by step."""

from bench.reckoning import charges, water
from bench.reckoning.plan import Plan
from bench.reckoning.working import Step, step
from bench.science.charge import grams
from bench.science.formulas import pretty
from bench.translation import _


def working(plan: Plan, balance_d_g: float | None, smallest_g: float | None) -> list[Step]:
    """How the grams, the gas and the masses came about."""
    steps = [*_target(plan), *_amounts(plan), *charges.assumed(plan.ingredients), *_balance(plan)]
    result = plan.outcome
    steps += water.said(plan.ingredients, plan.weigh_g)
    steps += [*charges.impurity(result), *charges.gas_balance(result)]
    if result.salt_volatile:
        say = _("A halide salt that is washed out also partly leaves in the fire. The amount is unknown: ")
        steps.append(
            step(
                _("{say}no mass is given for the unwashed charge. At most it holds this much salt.", say=say),
                result.salt_g,
                "g",
            )
        )
    if balance_d_g is None:
        steps.append(step(_("No readability of the balance was given, so no weighing error is shown.")))
    else:
        say = _(
            "The weighing error is the balance's last digit, {balance_d_g:g} g (common practice).",
            balance_d_g=balance_d_g,
        )
        steps.append(step(say, balance_d_g, "g"))
        steps.append(step(_("From this product on, each reacting reagent is weighed to 1 %."), smallest_g, "g"))
    return steps


def _target(plan: Plan) -> list[Step]:
    mass = plan.target.molar_mass_g_mol
    text = pretty(plan.target.text)
    say = _("{asked_g:g} g of {text} at {mass:.4f} g/mol", asked_g=plan.asked_g, text=text, mass=mass)
    return [
        step(_("Molar mass of {text}", text=text), mass, "g/mol", charges.WEIGHTS_SOURCE),
        step(say, plan.asked_g / mass, "mol"),
    ]


def _amounts(plan: Plan) -> list[Step]:
    steps = []
    if plan.part_g is not None:
        lines = zip(plan.fixed_by, plan.ingredients, strict=True)
        whole = all(by == "parts" for by, each in lines if each.fate == "reacts")
        say = _("so that the asked product just forms") if whole else _("parts are % of the asked product")
        steps.append(step(_("One part weighs this much: {say}.", say=say), plan.part_g, "g"))
    if any(share is not None for share in plan.shares):
        steps.append(step(_("Shares divide the moles of the element that the reagents have in common.")))
    for each, g, by in zip(plan.ingredients, plan.weigh_g, plan.fixed_by, strict=True):
        if g == 0:
            steps.append(step(_("{name} is not needed: the others bring enough.", name=each.name), 0.0, "g"))
            continue
        how = _("fixed by {by}", by=by) if by else _("from the elements that the target needs")
        assay = "" if each.purity == 1 else _(", {purity:.4g} % pure", purity=100 * each.purity)
        say = _(
            "{name} ({how}{assay}): {g:.6g} mol × {molar_mass_g_mol:.4f} g/mol",
            name=each.name,
            how=how,
            assay=assay,
            g=each.mol_in(g),
            molar_mass_g_mol=each.formula.molar_mass_g_mol,
        )
        steps.append(step(say, g, "g", charges.WEIGHTS_SOURCE))
    return steps


def _balance(plan: Plan) -> list[Step]:
    steps = []
    for symbol, mol in plan.excess.items():
        steps.append(step(_("{symbol} is more than the target takes.", symbol=symbol), mol, "mol"))
    for symbol, mol in plan.short.items():
        steps.append(
            step(_("{symbol} is missing for the asked product: less of it can form.", symbol=symbol), mol, "mol")
        )
    result = plan.outcome
    for part in result.left_over:
        way = _(", which water washes out") if part.soluble else ""
        say = _(
            "The excess of {element} is counted as {formula}{way}.",
            element=part.element,
            formula=pretty(part.formula),
            way=way,
        )
        steps.append(step(say, part.mol * grams(part.atoms), "g"))
    say = _("The target, leftovers and what does not react stay.")
    steps.append(step(say, result.fired_g, "g"))
    return steps
