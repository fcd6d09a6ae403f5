"""Which items are asked of what is fired, and what older answers still say."""

import pytest

from bench.journal.upgrade import upgraded
from bench.reference import load_library
from bench.reference.applying import TERMS, applies
from bench.workshop import answered
from bench.workshop.asked import MISSING, Asked, harmful_dust, listed, parts_of
from bench.workshop.gates import gate_place
from bench.workshop.light_gate import gate_light
from tests.workshop.builder import Builder, lines
from tests.workshop.dangers import BLUE, GAS, Dangers

LIBRARY = load_library()
USUAL = dict.fromkeys(TERMS, False) | {"oxidiser_on_shelf": True}
DUST = {"harmful_dust": True}
NEW = {"new_jar": True, "oxidiser_in_batch": True, "corrosive_in_batch": True, "hot_pull": True}
INDOORS = {"indoors": True, "gassing_charge": True}
# What is fired; how many items are asked, how many of these are hard stops, how many lines remind: counted by hand
# over the reviewed list of 57 items.
FIRED = [
    ({"gas": True}, 9, 7, 21),
    ({"gas": True, **DUST}, 10, 8, 21),
    ({"gas": True, **DUST, "cylinder_new_or_moved": True}, 12, 10, 19),
    ({"gas": True, **DUST, **NEW}, 16, 14, 16),
    ({"electric": True, **DUST}, 10, 8, 18),
    ({"electric": True, **DUST, **INDOORS}, 11, 9, 18),
    ({"electric": True, **DUST, **INDOORS, "burns_in_charge": True, "rcd_test_due": True}, 13, 11, 17),
]


@pytest.mark.parametrize(("known", "asked", "hard", "reminders"), FIRED)
def test_so_many_are_asked(known: dict[str, bool | None], asked: int, hard: int, reminders: int) -> None:
    stands = [(one, one.stands_as(USUAL | known)) for one in LIBRARY.checklists]
    assert sum(kind == "ask" for _, kind in stands) == asked
    assert sum(kind == "ask" and one.hard_stop for one, kind in stands) == hard
    assert sum(kind == "remind" for _, kind in stands) == reminders


@pytest.mark.parametrize(
    ("when", "known", "holds"),
    [
        ("gas | burns_in_charge", {"gas": False, "burns_in_charge": None}, True),
        ("electric & gassing_charge & indoors", {"electric": True, "gassing_charge": True, "indoors": False}, False),
        ("damp & (gas | electric)", {"damp": True, "gas": False, "electric": True}, True),
        ("damp & gas | electric", {"damp": False, "gas": False, "electric": True}, True),
        ("hot_pull", {}, True),
    ],
)
def test_a_condition_holds_where_it_may(when: str, known: dict[str, bool | None], holds: bool) -> None:
    assert applies(when, known) is holds


@pytest.mark.parametrize("when", ["", "fire", "gas &", "(gas", "gas electric", "gas=true", "!gas"])
def test_what_is_no_condition_is_refused(when: str) -> None:
    with pytest.raises(ValueError):
        applies(when, {})


def of(bench: Builder, phase: str, thing: str) -> dict[str, Asked]:
    return {one.item.slug: one for one in listed(bench.state, LIBRARY, phase, thing)}


def asked(bench: Builder, phase: str, thing: str) -> set[str]:
    return {slug for slug, one in of(bench, phase, thing).items() if one.kind == "ask"}


def test_a_batch_is_asked_by_its_own_powders() -> None:
    """Cobalt oxide harms for life, chalk and iron oxide do not; a nitrate asks for oxidisers apart."""
    bench = Dangers()
    assert "weigh-mask" in asked(bench, "before-weighing", bench.batch(lines(("Co3O4", 4.0))))
    plain = asked(bench, "before-weighing", bench.batch(lines(("CaCO3", 4.0), ("Fe2O3", 1.0))))
    assert plain == {"weigh-dust-control"}
    jar = bench.jar("KNO3", "potassium-nitrate")
    row = [{"line": 1, "formula": "KNO3", "target_g": 5.0, "jar": jar}]
    first = bench.batch(row)
    assert {"weigh-oxidiser-apart", "weigh-sheet-read"} <= asked(bench, "before-weighing", first)
    bench.check(first, "weigh-sheet-read", "done", "before-weighing")
    second = asked(bench, "before-weighing", bench.batch(row))
    assert "weigh-sheet-read" not in second and "weigh-oxidiser-apart" in second


def test_a_fired_powder_is_judged_by_what_it_was_fired_into() -> None:
    """By the card of its target; with no class on it, or no target meant, by the worst of the elements.

    The tan's card has no class: zinc and iron harm no lung for life by any card. Nor has the blue's: cobalt does.
    The violet's card says H350i itself.
    """
    bench = Dangers()

    def harms(*parts: tuple[str, float], **plan: str) -> bool | None:
        powder = bench.powder(*parts, **plan)
        return harmful_dust(parts_of(bench.state, powder), LIBRARY)

    assert not harms(("ZnO", 5.0), ("Fe2O3", 10.0), target="zinc-iron-tan", target_formula="ZnFe2O4")
    assert harms(("Co3O4", 4.0), ("Al2O3", 5.0), target="cobalt-aluminate-blue", target_formula="CoAl2O4")
    assert harms(("NiO", 4.0), ("TiO2", 5.0))
    violet = LIBRARY.targets["cobalt-violet-phosphate"]
    assert harms(("Co3O4", 4.0), target=violet.slug, target_formula=violet.formula)


def test_one_sitting_is_asked_once() -> None:
    """What was answered for one batch stands for the next within four hours; the sheets of its own jars do not.

    Nor does what did not apply to it: the next powder may be dry.
    """
    bench = Dangers()
    first, second = bench.batch(lines(("Co3O4", 4.0))), bench.batch(lines(("NiO", 4.0)))
    bench.check(first, "weigh-mask", "done", "before-weighing")
    bench.check(first, "weigh-sheet-read", "done", "before-weighing")
    bench.wait(200)
    found = answered.of_sitting(bench.state, second, LIBRARY, bench.now)
    assert set(found) == {"weigh-mask"}
    bench.check(first, "weigh-dust-control", "does-not-apply", "before-weighing")
    assert set(answered.of_sitting(bench.state, second, LIBRARY, bench.now)) == {"weigh-mask"}
    bench.wait(60)
    assert not answered.of_sitting(bench.state, second, LIBRARY, bench.now)


@pytest.mark.parametrize(
    ("fitting", "fuel", "slug"),
    [
        ("blower", "gas", "light-purge"),
        ("lid_switch", "electric", "light-lid-switch"),
        ("cut_out", "electric", "light-cut-out"),
        ("rcd", "electric", "light-rcd"),
    ],
)
def test_what_the_furnace_lacks_is_not_asked(fitting: str, fuel: str, slug: str) -> None:
    """Known to be there or not known: it is asked. Known to be missing: a plain line stands there instead."""
    bench = Dangers()
    for has, kind in ((True, "ask"), (None, "ask"), (False, MISSING)):
        furnace = {**GAS, "fuel": fuel, fitting: has}
        one = of(bench, "before-lighting", bench.loaded(*BLUE, furnace=furnace))[slug]
        assert one.kind == kind
    assert one.says.startswith("Not for this furnace: no ")


def test_no_purge_can_be_ticked_without_a_blower_and_the_rule_still_holds() -> None:
    bench = Dangers()
    firing = bench.loaded(*BLUE, furnace={**GAS, "blower": False})
    bench.ticked(firing, but=("light-purge",))
    assert "checks-before-lighting" not in bench.lighting(firing)
    assert bench.lighting(firing)["purge"].effect == "block"


def test_the_cylinder_is_asked_after_a_change_and_not_before_every_fire() -> None:
    bench = Dangers()
    furnace = bench.furnace(**GAS)
    pair = {"light-cylinder", "light-hose"}

    def fire(*notes: str) -> set[str]:
        thing = bench.firing(furnace)
        found = asked(bench, "before-lighting", thing) & pair
        for slug in found:
            bench.check(thing, slug)
        bench.lit(thing)
        for note in notes:
            bench.add("noted", {"what": "gas-change", "value": note}, thing)
        bench.off(thing)
        bench.wait(60)
        return found

    assert [fire(), fire("frost"), fire("new bottle"), fire(), fire()] == [pair, set(), set(), pair, set()]


def test_the_rcd_is_tested_every_thirty_days() -> None:
    bench = Dangers()
    furnace = bench.furnace(**{**GAS, "fuel": "electric"})
    due = []
    for days in (0, 29, 2):
        bench.wait(days * 24 * 60)
        thing = bench.firing(furnace)
        due.append("light-rcd" in asked(bench, "before-lighting", thing))
        if due[-1]:
            bench.check(thing, "light-rcd")
        bench.lit(thing)
        bench.off(thing)
    assert due == [True, False, True]


def test_the_figures_of_the_furnace_stand_in_the_words() -> None:
    """Four times nine litres at half a litre a second are 72 s; the cut-out lies between the peak and the lining."""
    bench = Dangers()
    gas = of(bench, "before-lighting", bench.loaded(*BLUE, furnace={**GAS, "volume_l": 9.0, "blower_l_per_s": 0.5}))
    assert gas["light-purge"].if_not_done == "Run the blower for 72 s, then answer."
    assert gas["light-purge"].says == "The blower ran for 72 s just now with the gas shut"
    kiln = {**GAS, "fuel": "electric", "lining_rated_c": 1260.0}
    electric = of(bench, "before-lighting", bench.loaded(*BLUE, furnace=kiln, peak_c=1000.0))
    assert electric["light-cut-out"].says == "The cut-out dial, not the program, is between 1000 °C and 1260 °C"


def test_a_burner_that_did_not_light_asks_for_the_purge_anew() -> None:
    """Gas off, five minutes, purge again: an earlier purge, and one within the wait, is none."""
    bench = Dangers()
    firing = bench.loaded(*BLUE)
    bench.ticked(firing)
    assert not {"purge", "did-not-light"} & set(bench.lighting(firing))
    bench.add("noted", {"what": "light", "value": "did not light"}, firing)
    assert {"purge", "did-not-light", "checks-before-lighting"} <= set(bench.lighting(firing))
    bench.wait(3)
    bench.check(firing, "light-purge")
    assert "purge" in bench.lighting(firing)
    bench.wait(3)
    bench.check(firing, "light-purge")
    assert not {"purge", "did-not-light"} & set(bench.lighting(firing))


@pytest.mark.parametrize(
    ("date", "rule", "effect"), [("2026-02-01", "co-alarm-old", "block"), ("", "co-alarm-date", "flag")]
)
def test_an_alarm_past_its_date_is_no_alarm(date: str, rule: str, effect: str) -> None:
    bench = Dangers()
    firing = bench.loaded(*BLUE)
    bench.ticked(firing)
    bench.setting("co_alarm_expires", "2035-12-31")
    assert not {"co-alarm-old", "co-alarm-date", "gas-no-co-alarm"} & set(bench.lighting(firing))
    bench.setting("co_alarm_expires", date)
    found = bench.lighting(firing)
    assert found[rule].effect == effect and ("gas-no-co-alarm" in found) is (effect == "block")


def test_a_chamber_that_was_read_hot_takes_no_crucible() -> None:
    """The last reading of the furnace counts, whoever fired it; read below 40 °C, or never fired, it is cold."""
    bench = Dangers()
    before, _charge = bench.burning(700.0)
    bench.off(before)
    charge = bench.charge({"batch": bench.ready_batch(lines(("ZnO", 3.0))), "g": 3.0})
    furnace = bench.state.slot(before, "firing.planned").body.furnace
    then = bench.firing(furnace)

    def against() -> set[str]:
        return {f.rule for f in gate_place(bench.state, charge, then, (1, None, None, 3))}

    assert "chamber-hot" in against()
    bench.reading(before, 39.0)
    assert "chamber-hot" not in against()


def test_a_furnace_whose_gas_is_not_off_is_not_opened() -> None:
    """One answer serves opening and shutdown: while the valve is not closed, nothing is taken out."""
    bench = Dangers()
    firing, charge = bench.burning(700.0, cooling_mode="fast", cooling_basis="planned", hot_pull=True)
    bench.off(firing)
    assert "check-says-stop" not in bench.at_open(charge)
    bench.check(firing, "off-gas", "not-done", "after-shutdown")
    assert bench.at_open(charge)["check-says-stop"].effect == "block"
    bench.check(firing, "off-gas", "done", "after-shutdown")
    assert "check-says-stop" not in bench.at_open(charge)


# From before the lists were rewritten -----------------------------------------------------------------------------


def old(bench: Builder, thing: str, slug: str, answer: str) -> None:
    """A record as it was written then, read as it is read now."""
    item = next(one for one in LIBRARY.earlier_items if one.slug == slug)
    raw = {
        "kind": "check.answered",
        "v": 1,
        "data": {"list": item.phase, "item": item.item, "answer": answer, "why": None},
    }
    now = upgraded(raw)
    assert now["v"] == 2
    bench.add("check.answered", now["data"], thing)


def test_an_old_fine_ticks_what_asked_the_same_and_nothing_else() -> None:
    """CO alarm, joints and purge asked the same; of the hose felt along and the way walked nothing was said then."""
    bench = Dangers()
    firing = bench.loaded(*BLUE)
    for item in LIBRARY.earlier_phase("before-lighting", "gas"):
        old(bench, firing, item.slug, "fine")
    done = {slug for slug, one in of(bench, "before-lighting", firing).items() if one.kind == "ask" and one.good}
    assert done == {"light-joints", "light-co-alarm", "light-purge"}
    found = {f.rule: f for f in gate_light(bench.state, firing, LIBRARY)}
    assert found["checks-before-lighting"].effect == "block" and "purge" not in found
    for slug in ("light-zone", "light-cylinder", "light-hose", "light-way-out"):
        bench.check(firing, slug)
    assert "checks-before-lighting" not in {f.rule for f in gate_light(bench.state, firing, LIBRARY)}


def test_an_old_stop_holds_all_that_it_bore_on_until_it_is_answered_anew() -> None:
    bench = Dangers()
    firing = bench.loaded(*BLUE)
    bench.ticked(firing)
    old(bench, firing, "before-lighting-10", "stop")
    assert bench.lighting(firing)["check-says-stop"].because == (
        "Nobody else, no pet, nothing that burns within two metres of the furnace",
    )
    bench.check(firing, "light-zone")
    assert "check-says-stop" not in bench.lighting(firing)


def test_every_old_item_is_known_and_points_at_what_is_asked() -> None:
    """Forty-three items stood in the lists before, without the seven steps of the emergency."""
    assert len(LIBRARY.earlier_items) == 43
    slugs = [one for item in LIBRARY.earlier_items for one in item.same]
    assert len(slugs) == 15 and set(slugs) <= {one.slug for one in LIBRARY.checklists if one.kind == "ask"}
