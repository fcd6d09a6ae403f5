"""What the rows of a file come to: a jar or a plan each, or a sentence that says why not."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from bench.reckoning.questions import ask_assay
from bench.records.kinds import BatchPlanned
from bench.records.schema import read
from bench.records.state import State
from bench.reference import Library
from bench.science.formulas import parse, pretty
from bench.science.refusal import Refusal
from bench.screens.planning.lines import usual_fate
from bench.screens.planning.targets import Wanted, wanted
from bench.screens.shelf.labels import Label, findings, read_label, refusals
from bench.web.numbers import read_number
from bench.web.words import _
from bench.workshop.gates import gate_plan, stops

MOST_NAME = 80
UNKNOWN_WORDS = ("no", "unknown", "false", "0")
MOST_ROWS = 2_000


@dataclass(frozen=True)
class Brought:
    """One jar or plan of a file: the rows it stands in (the head is row 1), its name, and the record that it makes.

    `data` is None where it cannot be taken in, and `say` then says why; else `say` is what to know of it.
    `assumed` names what the file does not say.
    """

    rows: tuple[int, ...]
    name: str
    data: dict[str, Any] | None
    say: str = ""
    assumed: tuple[str, ...] = ()


def jars(rows: Iterable[Mapping[str, str]], state: State, library: Library) -> list[Brought]:
    """A jar a row."""
    return [_jar(n, row, state, library) for n, row in enumerate(rows, 2)]


def _jar(n: int, row: Mapping[str, str], state: State, library: Library) -> Brought:
    typed, formula = row.get("reagent", ""), row.get("formula", "")
    name = typed or formula
    try:
        label = read_label(typed or formula, formula if typed else "", library)
        if label.formula is None:
            raise Refusal(_("This name is not known. Put its formula in its own column."))
        against = refusals(findings(label, state, library))
        if against:
            raise Refusal(against[0].whole)
        data, say = _jar_data(row, label, formula, library)
    except Refusal as refusal:
        return Brought((n,), name, None, refusal.say)
    known = {key: value for key, value in data.items() if value is not None}
    unread = data["hydrate_known"] and not row.get("assay_pct")
    return Brought((n,), label.name, known, say, ("assay_pct",) if unread else ())


def _jar_data(row: Mapping[str, str], label: Label, formula: str, library: Library) -> tuple[dict[str, Any], str]:
    data: dict[str, Any] = {
        "reagent": label.slug,
        "lot": row.get("lot") or None,
        "net_g": _number(row, "net_g", 0.01, 100_000, "g"),
        "price": _number(row, "price", 0, 1_000_000),
        "supplier": row.get("supplier") or None,
    }
    unknown = row.get("hydrate_known", "").casefold() in UNKNOWN_WORDS
    unsaid = not formula and len(label.forms) > 1 and label.wide is not None
    if unknown or unsaid:
        if label.wide is None:
            raise Refusal(_("The uncertainty of its water is not known. Add this jar by its label."))
        if row.get("assay_pct") and not unknown:
            raise Refusal(_("Its water is missing, so an assay means nothing. Type the formula with its water."))
        wide = label.wide
        data |= {"formula": wide.formula, "hydrate_known": False, "assay_pct": wide.assay_pct}
        return data | {"assay_sd_pct": wide.assay_sd_pct}, _("Its water is missing: counted as not known.")
    pct = _number(row, "assay_pct", 0.1, 110.0, "%")
    if pct is not None:
        ask_assay(pct)
    if formula:
        parse(formula)
    return data | {"formula": formula or label.formula, "hydrate_known": True, "assay_pct": pct or 100.0}, ""


def _number(row: Mapping[str, str], name: str, low: float, high: float, unit: str = "") -> float | None:
    typed = row.get(name, "").removesuffix(unit).strip() if unit else row.get(name, "")
    return read_number(typed, low=low, high=high, unit=unit) if typed else None


def recipes(rows: Iterable[Mapping[str, str]], state: State, library: Library) -> list[Brought]:
    """A plan for each run of rows with one recipe's name."""
    numbered = [(n, row) for n, row in enumerate(rows, 2)]
    runs = groupby(numbered, key=lambda one: one[1].get("recipe", ""))
    return [_recipe(name, list(run), state, library) for name, run in runs]


def _recipe(name: str, run: list[tuple[int, Mapping[str, str]]], state: State, library: Library) -> Brought:
    at = tuple(n for n, _row in run)
    try:
        if not name:
            raise Refusal(_("This row names no recipe."))
        aim = next((row["target"] for _n, row in run if row.get("target")), "")
        found = wanted(aim, library) if aim else None
        data: dict[str, Any] = {
            "name": name[:MOST_NAME],
            "from": "grams",
            "lines": [_line(n, row, found, state, library) for n, (_n, row) in enumerate(run, 1)],
            "library_rev": library.revision,
        }
        if found is not None:
            data |= {"target_formula": found.formula} | ({"target": found.target.slug} if found.target else {})
        against = stops(gate_plan(read(BatchPlanned, data), state, library))
        if against:
            raise Refusal(against[0].say)
    except Refusal as refusal:
        return Brought(at, name, None, refusal.say)
    words = ", ".join(f"{pretty(line['formula'])} {line['target_g']:g} g" for line in data["lines"])
    return Brought(at, name, data, words)


def _line(n: int, row: Mapping[str, str], found: Wanted | None, state: State, library: Library) -> dict[str, Any]:
    typed = row.get("reagent", "")
    label = read_label(typed, "", library)
    if label.formula is None:
        raise Refusal(_("{name} is not known. Type its formula.", name=typed[:60]))
    against = refusals(findings(label, state, library))
    if against:
        raise Refusal(against[0].whole)
    g = _number(row, "g", 0.0001, 100_000, "g")
    if g is None:
        raise Refusal(_("{name} has no grams.", name=label.name))
    jar = next((t for t in state.open_things("jar") if state.slot(t, "jar.opened").body.reagent == label.slug), None)
    told = {"line": n, "formula": label.formula, "target_g": g, "name": label.slug}
    told["fate"] = usual_fate(label.slug, label.formula, library, found)
    if jar is None:
        return told
    opened = state.slot(jar, "jar.opened").body
    return told | {"jar": jar, "formula": opened.formula, "assay_pct": opened.assay_pct}


READERS = {"jars": jars, "recipes": recipes}
