"""The run sheets: which rows a printed sheet has, in which order.

The printed page and the screen that it is entered on share this. A row has a number, words, and blanks to fill. Paper
is the fallback at the bench: everything is optional on it.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from bench.records.state import State
from bench.reference import Library
from bench.reference.cautions import ASK
from bench.science.formulas import pretty
from bench.steps import BY_RECORD
from bench.steps.fields import Field
from bench.translation import _
from bench.workshop.asked import listed
from bench.workshop.digits import grams_text, readability_g
from bench.workshop.things.batches import batch
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import firing

BlankKind = Literal["number", "words", "choice", "tick", "code"]
LOAD_ROWS = 6
READING_ROWS = 27
NOTE_ROWS = 6
LOAD_BLANKS = ("wet_g", "gross_g", "lid")
FIRE_TITLES = (_("Before lighting"), _("Lit"), _("Flame, lid, wind, burner, gas, smell"), _("Fire off"))
ELECTRIC_TITLES = (_("Before switching on"), _("Switched on"), _("Lid, wind, smell, noise"), _("Switched off"))
"""How the rows of a fire and of an electric furnace are headed: before, its start, what is seen meanwhile, its end."""
OF_A_FLAME = ("flame", "burner-change", "gas-change")
OPTION_WORDS = {
    "out-of-gas": _("out of gas or power"),
    "spill": _("spilt"),
    "breakage": _("broken"),
    "burner-change": _("burner"),
    "gas-change": _("gas bottle"),
    "co": "CO",
}
"""What stands for an option on paper and screen, where it is more than the word itself."""


@dataclass(frozen=True)
class Blank:
    """One thing to fill in: its name in the form, its words, its unit, and what may stand there."""

    name: str
    words: str
    unit: str = ""
    kind: BlankKind = "number"
    options: tuple[str, ...] = ()
    low: float = 0.0
    high: float = 1e6

    @property
    def pairs(self) -> list[tuple[str, str]]:
        """Its options with their words."""
        return [(option, str(OPTION_WORDS.get(option) or _(option))) for option in self.options]


TICK, INITIALS = Blank("fine", "", kind="tick"), Blank("by", _("initials"), kind="words")
STOP_NOTE = _("Bold is a hard stop: tick it, with time and initials. Blank means not done.")


@dataclass(frozen=True)
class Row:
    """One numbered row: `what` record it becomes, of which `thing` and `key`; `standing` is what is recorded.

    `aim` is the figure to reach. What is `hard` is a stop, signed with time and initials: the next act can kill.
    """

    no: str
    what: str
    words: str
    blanks: tuple[Blank, ...]
    thing: str = ""
    key: str = ""
    standing: str | None = None
    standing_id: str | None = None
    timed: bool = True
    name: str = ""
    aim: str = ""
    hard: bool = False

    @property
    def field(self) -> str:
        """The name that this row's fields begin with in the form: stable, however many rows come before it."""
        return self.name or f"r{self.no}"


@dataclass(frozen=True)
class Section:
    """Rows under one heading, in `columns` columns on paper."""

    title: str
    rows: tuple[Row, ...]
    columns: int = 1
    note: str = ""


def batch_sheet(state: State, thing: str) -> list[Section]:
    """The sheet of a batch, from the weighing to the filled crucibles; no sections when there is no such batch."""
    view = batch(state, thing)
    if view is None:
        return []
    weigh = []
    grams = replace(blank_of("weighed", "net_g"), name="g")
    d_g = readability_g(state)
    for n, line in enumerate(view.lines, 1):
        code = state.code_of(line.plan.jar) if line.plan.jar else None
        words = f"{line.plan.name} {pretty(line.plan.formula)}" if line.plan.name else pretty(line.plan.formula)
        jar = _(", jar {code}", code=f"{code[:5]}-{code[5:]}") if code else ""
        done = None if line.weighed_g is None else f"{grams_text(line.weighed_g, d_g)} g"
        done_id = line.weighed.id if line.weighed else None
        aim = f"{grams_text(line.target_g, d_g)} g"
        key = str(line.plan.line)
        weigh.append(Row(f"1.{n}", "weighed", words + jar, (grams,), thing, key, done, done_id, aim=aim))
    mix = declared_row("2.1", "mixed", thing)
    drying = [declared_row(f"3.{n}", "dried", thing) for n in (1, 2, 3)]
    fill = (
        Blank("code", "crucible", kind="code"),
        blank_of("charged", "g", _("of the batch")),
        *(blank_of("charged", name) for name in LOAD_BLANKS),
    )
    loads = [Row(f"4.{n}", "charged", _("Crucible {n}", n=n), fill, thing) for n in range(1, LOAD_ROWS + 1)]
    rest = [declared_row("5.1", "lost", thing), _note("5.2", thing), _note("5.3", thing)]
    return [
        Section(_("Weigh"), tuple(weigh)),
        Section(_("Grind and mix"), (mix,)),
        Section(_("Dry to two equal masses"), tuple(drying)),
        Section(_("Fill the crucibles"), tuple(loads)),
        Section(_("Notes"), tuple(rest)),
    ]


BLANK_KINDS: dict[str, BlankKind] = {
    "number": "number",
    "whole": "number",
    "text": "words",
    "choice": "choice",
    "flag": "tick",
    "code": "code",
}


def declared_row(no: str, record: str, thing: str) -> Row:
    """A row of a declared step: those of its fields that have words on a sheet."""
    step = BY_RECORD[record]
    blanks = tuple(_blank(one, one.sheet) for one in step.recorded if one.sheet)
    return Row(no, record, _(step.row) if step.row else "", blanks, thing)


def blank_of(record: str, name: str, words: str = "") -> Blank:
    """One blank of a row that is more than its step: of the declared field, under words of its own."""
    one = BY_RECORD[record].field(name)
    return _blank(one, words or one.sheet)


def _blank(one: Field, words: str) -> Blank:
    options = tuple(each.value for each in one.options if each.on_paper)
    return Blank(one.name, _(words) if words else "", one.unit, BLANK_KINDS[one.kind], options, one.low, one.high)


def _note(no: str, thing: str) -> Row:
    return Row(no, "words", _("Note"), (Blank("value", "", kind="words"),), thing)


def firing_sheet(state: State, thing: str, library: Library) -> list[Section]:
    """The sheet of a firing, from the checks before lighting to what came out; no sections when there is no such."""
    view = firing(state, thing)
    if view is None:
        return []
    before, began, noted, ended = ELECTRIC_TITLES if view.fuel == "electric" else FIRE_TITLES
    lit = f"{view.lit_at:%H:%M} UTC" if view.lit_at else None
    read = (blank_of("reading", "c"),)
    readings = [Row(f"3.{n}", "reading", "", read, thing) for n in range(1, READING_ROWS + 1)]
    notes = [_noted_row(f"4.{n}", thing, view.fuel) for n in range(1, NOTE_ROWS + 1)]
    return [
        Section(before, _checks(state, thing, "before-lighting", library, "1"), note=STOP_NOTE),
        Section(began, (Row("2.1", "lit", began, (Blank("lit", "", kind="tick"),), thing, "", lit),)),
        Section(_("Readings"), tuple(readings), 3),
        Section(noted, tuple(notes), 2),
        *_signed(_("Before it is opened hot"), _checks(state, thing, "before-opening", library, "H")),
        Section(_("Out of the furnace"), _outs(state, thing, view.charges)),
        Section(ended, (replace(declared_row("6.1", "fire.off", thing), words=ended),)),
        Section(_("After the firing"), _checks(state, thing, "after-shutdown", library, "7"), note=STOP_NOTE),
        Section(_("Opened"), _openings(state, view.charges)),
    ]


def _noted_row(no: str, thing: str, fuel: str) -> Row:
    """What is seen of a fire; of an electric furnace nothing that only a flame has."""
    row = declared_row(no, "noted", thing)
    out = OF_A_FLAME if fuel == "electric" else ()
    return replace(
        row, blanks=tuple(replace(one, options=tuple(o for o in one.options if o not in out)) for one in row.blanks)
    )


def _checks(state: State, thing: str, phase: str, library: Library, no: str) -> tuple[Row, ...]:
    """The items that are asked, each with a box to tick once it is done."""
    rows = []
    asked = [one for one in listed(state, library, phase, thing) if one.kind == ASK]
    for n, one in enumerate(asked, 1):
        standing = one.answered.body.answer.replace("-", " ") if one.answered is not None else None
        hard = one.item.hard_stop
        box = (TICK, INITIALS) if hard else (TICK,)
        key = f"{phase} {one.item.slug}"
        name = f"check.{one.item.slug}"
        no_n = f"{no}{n}" if no == "H" else f"{no}.{n}"
        rows.append(Row(no_n, "check.answered", one.says, box, thing, key, standing, None, hard, name, hard=hard))
    return tuple(rows)


def _signed(title: str, rows: tuple[Row, ...]) -> tuple[Section, ...]:
    """A section of stops, where there are any."""
    return (Section(title, rows, note=STOP_NOTE),) if rows else ()


def blank_stops(sections: Iterable[Section], filled: Iterable[Row], phases: tuple[str, ...]) -> list[str]:
    """The items of hard stops of some phases that a sheet leaves blank and that stand in no record."""
    done = {row.field for row in filled}
    rows = [row for section in sections for row in section.rows if row.hard and row.standing is None]
    found = (row.key.split(" ", 1) for row in rows if row.field not in done)
    return [item for phase, item in found if phase in phases]


def earlier_rows(state: State, thing: str, library: Library) -> Section:
    """The boxes of the sheets from before the lists were rewritten: a phone may still bring one, by its number then."""
    view = firing(state, thing)
    fuel = view.fuel if view is not None else "any"
    rows = [
        Row(f"{no}.{n}", "check.answered", one.item, (TICK,), thing, f"{phase} {one.item}", timed=False)
        for no, phase in (("1", "before-lighting"), ("7", "after-shutdown"))
        for n, one in enumerate(library.earlier_phase(phase, fuel), 1)
    ]
    return Section("", tuple(rows))


def _crucible_words(state: State, thing: str) -> str:
    view = charge(state, thing)
    code = view.crucible_code if view else None
    return f"{code[:5]}-{code[5:]}" if code else _("A crucible")


def _outs(state: State, firing_id: str, charges: tuple[str, ...]) -> tuple[Row, ...]:
    blanks = (blank_of("came.out", "rest_place", _("rest place")), blank_of("touched", "surface_c", _("surface")))
    return tuple(
        Row(f"5.{n}", "came.out", _crucible_words(state, c), blanks, c, firing_id) for n, c in enumerate(charges, 1)
    )


def _openings(state: State, charges: tuple[str, ...]) -> tuple[Row, ...]:
    blanks = (
        blank_of("opened", "gross_g", _("with its powder")),
        blank_of("opened", "tare_after_g", _("empty")),
        blank_of("opened", "stuck_g", _("stuck")),
        Blank("signs", _("seen"), kind="words"),
        Blank("broken", _("broken"), kind="tick"),
    )
    rows = []
    for n, thing in enumerate(charges, 1):
        view = charge(state, thing)
        standing = "opened" if view and view.state == "opened" else None
        rows.append(Row(f"8.{n}", "opened", _crucible_words(state, thing), blanks, thing, "", standing))
    return tuple(rows)
