"""From a form to the row that a record holds, and back: only what differs from the files is kept."""

import re
from collections.abc import Mapping, Sequence
from typing import Any

from bench.reckoning.questions import ask_formula
from bench.reckoning.rules import Part, refuse_if_dangerous
from bench.reference import Library
from bench.reference.cautions import HazardCard
from bench.reference.names import plain
from bench.reference.surroundings import Ware
from bench.reference.things import Reagent, Target
from bench.science.cas import cas_holds
from bench.science.evolution import GASES
from bench.science.formulas import Formula, parse
from bench.science.refusal import Refusal
from bench.science.usual_oxides import VOLATILE
from bench.screens.known.owning.asked import RANGES, Asked
from bench.web.forms import Form
from bench.web.words import _

Row = Reagent | Target | HazardCard | Ware
MOST_LISTED = 40
MOST_TEXT = 2000
SLUG_MAX = 60
STEPS = 8
COUNT_OFF = 1e-4


def start(row: Row | None, asked: Sequence[Asked]) -> dict[str, Any]:
    """The row as the form shows it to begin with."""
    if row is None:
        return {}
    found: dict[str, Any] = {}
    for one in asked:
        value = getattr(row, one.name, None)
        if value is None:
            continue
        if one.look == "routes":
            found[one.name] = "\n".join(" + ".join(route.reagents) for route in value)
        elif one.look in ("list", "formulas"):
            found[one.name] = ", ".join(value)
        elif one.look == "ticks":
            found |= {f"{one.name}.{each}": "1" for each in value}
        elif one.look == "flag":
            found[one.name] = "1" if value else ""
        elif isinstance(value, float):
            found[one.name] = f"{value:.10g}"
        else:
            found[one.name] = value
    if isinstance(row, Reagent):
        for n, step in enumerate(row.gas_steps[:STEPS]):
            found |= {f"gas.{n}": step.gas, f"mol.{n}": f"{step.mol_per_formula:g}"}
            found |= {f"from_c.{n}": f"{step.from_c:g}", f"to_c.{n}": f"{step.to_c:g}"}
    return found


def read_row(form: Form, asked: Sequence[Asked], files: Row | None, library: Library) -> dict[str, Any]:
    """What the form says that the files do not; what cannot be read stands beside its field."""
    told = {one.name: _read(form, one, library) for one in asked if files is None or not one.new_only}
    for low, high in RANGES:
        first, second = told.get(low), told.get(high)
        if first is not None and second is not None and first > second:
            form.refuse(_("The second is lower than the first."), high)
    if isinstance(told.get("cas"), str) and told["cas"] and not cas_holds(told["cas"]):
        form.refuse(_("This CAS number is mistyped: its check digit does not fit."), "cas")
    return told


def changed(told: Mapping[str, Any], files: Row | None) -> dict[str, Any]:
    """Of what was read, what differs from the files; of a new row, what was filled in."""
    if files is None:
        return {name: value for name, value in told.items() if value not in (None, "", [], False)}
    return {name: value for name, value in told.items() if not _same(_as_kept(getattr(files, name)), value)}


def _same(old: Any, new: Any) -> bool:
    """Whether two values say the same; words in a list may stand in any order."""
    words = isinstance(old, list) and isinstance(new, list) and all(isinstance(each, str) for each in (*old, *new))
    return bool(sorted(old) == sorted(new) if words else old == new)


def _as_kept(value: Any) -> Any:
    """A field of a row in the shape that a record holds."""
    if isinstance(value, tuple):
        return [_as_kept(each) for each in value]
    if hasattr(value, "__dataclass_fields__"):
        return {name: _as_kept(getattr(value, name)) for name in value.__dataclass_fields__}
    return value


def _read(form: Form, one: Asked, library: Library) -> Any:
    match one.look:
        case "number":
            return form.number(one.name, one.low, one.high, one.unit, required=one.required)
        case "whole":
            return form.whole(one.name, int(one.low), int(one.high), one.unit, required=False)
        case "choice":
            # Nothing chosen says what a row says that does not know.
            chosen = form.choice(one.name, [value for value, _words in one.options], required=False)
            return chosen or ("unknown" if one.name in ("atmosphere", "cooling_mode") else "")
        case "flag":
            return form.flag(one.name)
        case "ticks":
            return form.choices(one.name, [value for value, _words in one.options])
        case "list" | "formulas":
            return _listed(form, one, library)
        case "routes":
            return _routes(form, one, library)
    text = form.text(one.name, MOST_TEXT, required=one.required, lines=one.look == "lines")
    if one.look == "formula" and text:
        with form.beside(one.name):
            ask_formula(text, library, count=False)
            parse(text)
    return text or ""


def _listed(form: Form, one: Asked, library: Library) -> list[str]:
    text = form.text(one.name, MOST_TEXT, required=one.required) or ""
    found = [part.strip() for part in re.split(r"[,;\n]", text) if part.strip()][:MOST_LISTED]
    if one.look == "formulas":
        with form.beside(one.name):
            for part in found:
                ask_formula(part, library, count=False)
                parse(part)
    return found


def _routes(form: Form, one: Asked, library: Library) -> list[dict[str, Any]]:
    text = form.text(one.name, 2000, lines=True) or ""
    found = []
    for line in text.splitlines()[:MOST_LISTED]:
        names = [name.strip() for name in re.split(r"\s\+\s|\s\+$", line) if name.strip()]
        rows = [library.reagent(name) for name in names]
        unknown = [name for name, row in zip(names, rows, strict=True) if row is None]
        if unknown:
            form.refuse(_("No reagent is called {name}. Add that reagent, or fix the name.", name=unknown[0]), one.name)
        slugs = [row.slug for row in rows if row is not None]
        found += [{"reagents": slugs}] if slugs else []
    return found


def read_gas_steps(form: Form) -> list[dict[str, Any]]:
    """The gases as they leave: each with its moles for a formula and its two temperatures, or left empty."""
    found = []
    for n in range(STEPS):
        if not any(form.typed.get(f"{name}.{n}", "").strip() for name in ("gas", "mol", "from_c", "to_c")):
            continue
        gas = form.choice(f"gas.{n}", GASES)
        negative = form.typed.get(f"mol.{n}", "").strip().startswith(("-", "−"))
        mol = form.number(f"mol.{n}", -100, 100)
        low = form.number(f"from_c.{n}", 20, 1800, "°C")
        high = form.number(f"to_c.{n}", 20, 1800, "°C")
        if mol is not None and (mol == 0 or (negative and gas != "O2")):
            form.refuse(_("Type more than 0. Only oxygen can be taken up (with a minus)."), f"mol.{n}")
        if low is not None and high is not None and low >= high:
            form.refuse(_("The end is before the beginning."), f"to_c.{n}")
        found.append({"gas": gas, "mol_per_formula": mol, "from_c": low, "to_c": high})
    return found


def check_new(form: Form, what: str, told: Mapping[str, Any], library: Library) -> str | None:
    """The slug of a new row; None where its name is taken, its formula is refused, or it cannot be what it says."""
    name, formula = told.get("name") or "", told.get("formula") or ""
    if not form.ok:
        return None
    if what in ("reagent", "target"):
        there = library.reagent(name) if what == "reagent" else library.target(name)
        if there is not None and plain(there.formula) != plain(name):
            form.refuse(_("The name {name} is in use. Change that row.", name=there.name), "name")
        with form.beside("formula"):
            refuse_if_dangerous([Part(formula, name)], library, "formula")
    slug = slug_of(name)
    taken = {"ware": [*library.ware], "card": [*library.hazards]}.get(what, [*library.reagents, *library.targets])
    if not slug or slug in taken:
        form.refuse(_("Type a name with letters that is not in use."), "name")
    return slug if form.ok else None


def slug_of(name: str) -> str:
    """A name as a key: small letters and figures with dashes between."""
    return re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")[:SLUG_MAX].strip("-")


def computed(what: str, formula_text: str) -> dict[str, Any]:
    """What follows from the formula of a new row: its molar mass, and the cations of a target."""
    formula = parse(formula_text)
    found: dict[str, Any] = {"molar_mass_g_mol": round(formula.molar_mass_g_mol, 3)}
    if what == "target":
        found["cations"] = {s: float(n) for s, n in formula.counts.items() if s not in VOLATILE}
    return found


def check_residue(form: Form, told: Mapping[str, Any], formula_text: str) -> None:
    """What stays must hold the metals of the formula, all of them: else no sum over it would close."""
    text, per = told.get("residue_formula"), told.get("residue_per_formula")
    if not form.ok or not text:
        if form.ok and per:
            form.refuse(_("Type what is left."), "residue_formula")
        return
    if per is None:
        form.refuse(_("Type how much of it one formula leaves."), "residue_per_formula")
        return
    try:
        own, left = parse(formula_text), parse(text)
    except Refusal:
        return
    short = _unequal(own, left, per)
    if short:
        say = _("{per:g} {residue} does not hold the {what} of one {formula}.")
        said = say.format(per=per, residue=text, what=", ".join(short), formula=formula_text)
        form.refuse(said, "residue_per_formula")


def _unequal(own: Formula, left: Formula, per: float) -> list[str]:
    metals = {symbol for symbol in (*own.counts, *left.counts) if symbol not in VOLATILE}
    return sorted(m for m in metals if abs(own.numbers.get(m, 0.0) - per * left.numbers.get(m, 0.0)) > COUNT_OFF)
