"""The lines of a plan as a form brings them: from a jar on the shelf, or by a typed formula."""

from dataclasses import dataclass, replace
from typing import Any

from bench.reckoning.questions import ask_assay, ask_reagent
from bench.reckoning.rules import Part, refuse_if_dangerous
from bench.records.state import State
from bench.reference import Library
from bench.science.formulas import atoms_of, parse, parsed, pretty
from bench.science.refusal import Refusal
from bench.science.usual_oxides import VOLATILE
from bench.screens.kit.names import reagent_name
from bench.screens.planning.targets import Wanted
from bench.steps.plan_batch import FATES as DECLARED_FATES
from bench.web.forms import Form
from bench.web.words import _
from bench.workshop.assays import jar_assay
from bench.workshop.things.jars import jar

FATES = tuple(one.value for one in DECLARED_FATES)
FIXED_UNITS = ("g", "pct", "parts", "mol")
PLACES = {"assay_pct": "assay", "assay_of": "assay", "share": "share", "fate": "fate"} | dict.fromkeys(
    ("g", "parts", "mol"), "fixed"
)
"""The field of a row in which a calculation's own field was typed."""
FIRST_ROWS = 4
MOST_ROWS = 24


@dataclass(frozen=True)
class Row:
    """One line as typed: `n` is its place in the form. Amounts are None where nothing was typed."""

    n: int
    formula: str
    name: str
    jar: str | None
    fate: str
    assay_pct: float
    assay_sd_pct: float | None
    hydrate_known: bool
    slug: str
    rest_is_water: bool = False
    amount: float | None = None
    unit: str = "g"
    share: float | None = None
    note: str | None = None

    @property
    def field(self) -> str:
        """Where a sentence about this line stands: beside its jar, or beside what was typed."""
        return f"jar.{self.n}" if self.jar else f"formula.{self.n}"

    @property
    def part(self) -> Part:
        """The line as the rules see it."""
        return Part(self.formula, self.slug, slug=self.slug)

    def ask(self) -> dict[str, Any]:
        """The line as a calculation asks for it, without its amount."""
        told: dict[str, Any] = {"formula": self.formula, "assay_pct": self.assay_pct, "fate": self.fate}
        if self.assay_sd_pct is not None:
            told["assay_sd_pct"] = self.assay_sd_pct
        told |= {} if self.hydrate_known else {"hydrate_known": False}
        return told | ({"assay_rest": "water"} if self.rest_is_water else {})

    def gas_ask(self, g: float) -> dict[str, Any]:
        """So many grams of the line as the kind *gas* asks for it, which knows no fate."""
        return {name: value for name, value in self.ask().items() if name != "fate"} | {"g": g}

    def line(self, target_g: float) -> dict[str, Any]:
        """The line as a plan records it."""
        told: dict[str, Any] = {"line": self.n + 1, "formula": self.formula, "target_g": round(target_g, 5)}
        told |= {"name": self.slug, "fate": self.fate, "assay_pct": self.assay_pct}
        return told | ({"jar": self.jar} if self.jar else {})


def row_count(form: Form) -> int:
    """How many rows the form shows: as many as it had, one more where that was asked for."""
    typed = form.typed.get("rows", "")
    count = int(typed) if typed.isascii() and typed.isdecimal() and len(typed) < 4 else FIRST_ROWS
    return max(1, min(MOST_ROWS, count + (form.typed.get("do") == "row")))


def read_rows(
    form: Form, state: State, library: Library, amount: str, required: bool, found: Wanted | None = None
) -> list[Row]:
    """Every row of which something is filled in; what is wrong stands beside its field.

    `amount` names the number of a row (`g`, `parts`, or `fixed`, which has a unit too); `required` asks for each.
    `found` is the target that was read: a line whose fate nobody chose gets the one that is usual beside it.
    """
    rows = []
    for n in range(row_count(form)):
        names = [f"{field}.{n}" for field in ("jar", "formula", amount, "assay", "share")]
        if any(form.typed.get(name, "").strip() for name in names):
            row = _row(form, n, state, library, amount, required)
            rows += [_fated(row, library, found)] if row is not None else []
    if not rows and not form.errors:
        form.refuse(_("Choose a jar, or type a formula."), "formula.0")
    return rows


def _fated(row: Row, library: Library, found: Wanted | None) -> Row:
    return row if row.fate else replace(row, fate=usual_fate(row.slug, row.formula, library, found))


def usual_fate(slug: str, formula: str, library: Library, found: Wanted | None) -> str:
    """What becomes of a reagent beside a target: what brings an element of it reacts; a flux does what fluxes do."""
    counts = parse(formula).counts
    if found is not None and any(symbol in parse(found.formula).counts for symbol in set(counts) - VOLATILE):
        return "reacts"
    for option in found.target.flux_options if found is not None and found.target is not None else ():
        if parse(option.formula).counts == counts:
            return option.fate
    known = library.reagents.get(slug) or library.reagent(formula)
    return known.fate_default if known is not None and known.fate_default in FATES else "reacts"


def _row(form: Form, n: int, state: State, library: Library, amount: str, required: bool) -> Row | None:
    thing = form.ulid(f"jar.{n}", required=False)
    typed = form.text(f"formula.{n}", max_len=120)
    fate = form.choice(f"fate.{n}", FATES, required=False) or ""
    number = form.number(f"{amount}.{n}", low=0, high=100_000, required=required)
    if number == 0:
        form.refuse(_("Type more than 0."), f"{amount}.{n}")
    unit = form.choice(f"unit.{n}", FIXED_UNITS, required=False) or "g"
    share = form.number(f"share.{n}", low=0.001, high=1000, required=False)
    form.number(f"assay.{n}", low=0.1, high=100, unit="%", required=False)
    source = _from_jar(form, n, thing, state, library) if thing else _typed(form, n, typed, library)
    if source is None:
        return None
    return Row(n=n, fate=fate, amount=number, unit=unit, share=share, **source)


def _from_jar(form: Form, n: int, thing: str, state: State, library: Library) -> dict[str, Any] | None:
    view = jar(state, thing)
    assay = jar_assay(state, thing, library)
    if view is None or assay is None:
        form.refuse(_("That jar is no longer on the shelf. Choose again."), f"jar.{n}")
        return None
    if _differs(form.typed.get(f"formula.{n}", "").strip(), view.opened.formula, view.opened.reagent, library):
        form.refuse(_("Choose a jar or type a formula, not both."), f"formula.{n}")
        return None
    note = None
    wide = not assay.hydrate_known  # a formula with more water than the jar may hold: more than all of it
    if assay.assay_pct > 100 and not wide:
        note = _(
            "The assay of {name} gives {pct:.4g} %, more than pure. It counts as pure here.",
            name=reagent_name(view.opened.reagent, library),
            pct=assay.assay_pct,
        )
    return {
        "note": note,
        "formula": view.opened.formula,
        "name": reagent_name(view.opened.reagent, library),
        "slug": view.opened.reagent,
        "jar": thing,
        "assay_pct": assay.assay_pct if wide else min(assay.assay_pct, 100.0),
        "assay_sd_pct": assay.assay_sd_pct,
        "hydrate_known": assay.hydrate_known,
        "rest_is_water": assay.by == "fire",
    }


def _differs(typed: str, formula: str, slug: str, library: Library) -> bool:
    """Whether what was typed beside a chosen jar names something else than the jar holds."""
    if not typed or typed in (formula, slug):
        return False
    meant = library.reagents.get(typed) or library.reagent(typed)
    if meant is not None and meant.slug == slug:
        return False
    return atoms_of(typed) != parse(formula).counts


def _typed(form: Form, n: int, typed: str | None, library: Library) -> dict[str, Any] | None:
    if not typed:
        form.refuse(_("Choose a jar, or type a formula."), f"formula.{n}")
        return None
    assay = form.number(f"assay.{n}", low=0.1, high=100, unit="%", required=False)
    if assay is not None:
        with form.beside(f"assay.{n}"):
            ask_assay(assay)
    row = library.reagents.get(typed) or library.reagent(typed)
    formula = row.formula if row is not None and parsed(typed) is None else typed
    with form.beside(f"formula.{n}"):
        if parsed(typed) is None:
            refuse_if_dangerous([Part(None, typed)], library)  # a name that is refused is not asked about
        ask_reagent(typed, library)
        refuse_if_dangerous([Part(None, typed)], library)
        parse(formula)
        slug = row.slug if row is not None else typed
        known: dict[str, Any] = {"name": row.name if row is not None else pretty(formula), "slug": slug, "jar": None}
        known["note"] = _which_water(formula, library)
        return known | {"formula": formula, "assay_pct": assay or 100.0, "assay_sd_pct": None, "hydrate_known": True}
    return None


def _which_water(formula: str, library: Library) -> str | None:
    """For a formula that is sold with other water too: which is it, how to tell, and what the wrong one costs."""
    pairs = library.pairs_of(formula)
    if not pairs:
        return None
    costs = _("The hydrate brings {pct:g} % less metal than the other form.", pct=pairs[0].metal_short_pct)
    return f"{pairs[0].ask} {pairs[0].tell} {costs}"


def shelf_options(state: State, library: Library) -> list[tuple[str, str]]:
    """The jars on the shelf for a list: id, and code with name and formula. What a narrow list cuts off is the end."""
    found: list[tuple[str, str, str]] = []
    for thing in state.open_things("jar"):
        view = jar(state, thing)
        if view is None:
            continue
        code = f"{view.code[:5]}-{view.code[5:]} · " if view.code else ""
        name = f"{reagent_name(view.opened.reagent, library)}, {pretty(view.opened.formula)}"
        found.append((name.casefold(), thing, f"{code}{name}"))
    return [(thing, words) for _name, thing, words in sorted(found)]


def place_refusal(form: Form, refusal: Refusal, rows: list[Row]) -> None:
    """Put what a calculation refused beside the field of the row that it speaks of; else above the form."""
    field = refusal.field or ""
    for n, row in enumerate(rows):
        for name in ("reagents", "weighed", "lines", "charges"):
            if field.startswith(f"{name}[{n}]"):
                place = PLACES.get(field.partition("].")[2])
                form.refuse(refusal.say, f"{place}.{row.n}" if place else row.field)
                return
    if field in ("target", "product_g", "total_g"):
        form.refuse(refusal.say, field)
        return
    named = next((row for row in rows if _names(refusal.say, row)), None)
    form.refuse(refusal.say, named.field if named else "")


def _names(say: str, row: Row) -> bool:
    return row.formula in say or row.name in say
