"""A misspelt name in a declaration stops the start, with a sentence that names it."""

from dataclasses import replace
from typing import Any

import pytest

from bench.steps import SORTS, STEPS
from bench.steps.checked import Misdeclared, check
from bench.steps.declare import Derived, Due, Fact, Gate, Need, Say, Sort, Step
from bench.steps.effects import Also, Work, do, each, make, put
from bench.steps.fields import F, Option, T, choice, number, rows, thing
from bench.steps.wording import Plural

PLAIN = Step(
    "sample",
    on=("pigment",),
    record="sampled",
    title="Sample",
    fields=(
        number("net_g", "Net", "g"),
        choice("kept", "Kept", (Option("yes", "Yes"), Option("no", "No"))),
        thing("waste", "Waste", "waste"),
        rows("parts", "Parts", (number("g", "Mass", "g"), thing("pigment", "Powder", "pigment"))),
    ),
)


def test_what_the_house_declares_is_declared_rightly() -> None:
    check(STEPS, SORTS)
    check([PLAIN], SORTS)


WRONG: list[tuple[dict[str, Any], str]] = [
    ({"gates": (Gate("damp", "block", "Damp.", "pigment.dampp"),)}, "pigment.dampp"),
    ({"gates": (Gate("damp", "block", "Damp.", "pigmet.damp"),)}, "pigmet"),
    ({"gates": (Gate("damp", "block", "Damp.", "net_gg>1"),)}, "net_gg"),
    ({"gates": (Gate("damp", "block", "Damp.", "net_g>1 &"),)}, "a word is missing"),
    ({"gates": (Gate("damp", "block", "Damp: {pigment.nett_g}.", "net_g>1"),)}, "pigment.nett_g"),
    ({"gates": (Gate("damp", "block", "Damp.", "net_g>1", after="{nett}"),)}, "nett"),
    ({"gates": (Gate("full", "block", "Full.", "waste.volume_l>1"),)}, "volume_l"),
    ({"gates": (Gate("kept", "block", "Kept.", "kept=yess"),)}, "yess"),
    ({"gates": (Gate("raw", "block", "Raw.", "pigment.state=raww"),)}, "raww"),
    ({"gates": (Gate("n", "flag", Plural("pigment.rinsed", "one", "many"), "net_g>1"),)}, "pigment.rinsed"),
    ({"on": ("pigment", "batch"), "gates": (Gate("damp", "block", "Damp.", "batch.damp"),)}, "batch.damp"),
    ({"on": ("powder",)}, "powder"),
    ({"address": ("/pigmnt/{pigmnt}/sample",)}, "pigmnt"),
    ({"due": (Due("pigment.done"),)}, "pigment.done"),
    ({"due": (Due("pigment.wet", "{pigment.round}"),)}, "pigment.round"),
    ({"needs": (Need("gross_g", "Say it.", "!?net_g"),)}, "gross_g"),
    ({"past": (Say("{gross_g} g"),)}, "gross_g"),
    ({"single": "line"}, "line"),
    ({"rules": ("grnd",)}, "grnd"),
    ({"generic": True}, "swatch, waste"),
    ({"generic": True, "rules": ("grind",)}, "address"),
    ({"optional": True}, "never due"),
    ({"facts": {"wet": Fact("flag")}}, "wet"),
    ({"generic": True, "rules": ("grind",), "on": ("jar",), "address": ()}, "batch, pigment"),
    ({"work_out": (Work("net_g", "minuss", (F("net_g"),)),)}, "minuss"),
    ({"work_out": (Work("net_g", "minus", (F("gross_g"),)),)}, "gross_g"),
    ({"effects": (put("pigment.weet", True),)}, "pigment.weet"),
    ({"effects": (put("pigment.wet", T("pigment.weet")),)}, "pigment.weet"),
    ({"effects": (put("pigment.wet", True, when="nett"),)}, "nett"),
    ({"effects": (each("part", ()),)}, "part"),
    ({"effects": (each("parts", (put("row.pigment.weet", True),)),)}, "weet"),
    ({"effects": (each("parts", (put("pigment.wet", True, when="row.gg>1"),)),)}, "row.gg"),
    ({"effects": (make("pigmant", {}),)}, "pigmant"),
    ({"effects": (make("pigment", {"weet": True}),)}, "weet"),
    ({"effects": (do("nothing"),)}, "nothing"),
    ({"also": (Also("waste.added", F("bin"), {}),)}, "bin"),
    ({"fields": (number("net_g", "Net", "g", start=T("pigment.nett")),)}, "pigment.nett"),
    ({"fields": (number("net_g", "Net", "g", when="pigment.nett"),)}, "pigment.nett"),
    ({"fields": (thing("jar", "Jar", "jarr"),)}, "jarr"),
]


@pytest.mark.parametrize(("more", "named"), WRONG)
def test_a_misspelt_name_stops_the_start_and_is_named(more: dict[str, Any], named: str) -> None:
    with pytest.raises(Misdeclared, match="sample") as wrong:
        check([replace(PLAIN, **more)], SORTS)
    assert named in str(wrong.value)


def test_two_steps_of_one_name_and_a_fact_of_nothing_stop_it_too() -> None:
    with pytest.raises(Misdeclared, match="sample"):
        check([PLAIN, PLAIN], SORTS)
    with pytest.raises(Misdeclared, match="sampled"):
        check([PLAIN, replace(PLAIN, verb="assay")], SORTS)
    with pytest.raises(Misdeclared, match="grains"):
        brings = replace(PLAIN, facts={"grains": Fact("number")})
        check([brings, replace(brings, verb="count", record="counted")], SORTS)
    for derived in ({"damp": "batch.wet"}, {"damp": Derived("flag", "steady", (".masses",))}):
        with pytest.raises(Misdeclared):
            check([], [Sort("batch", "", {}, derived)])
