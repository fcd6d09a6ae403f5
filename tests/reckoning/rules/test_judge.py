"""The judge's own behaviour: unknowns, conditions that follow, refusals of plans, and the maker's own rows."""

from dataclasses import replace

import pytest

from bench.reckoning import reckon
from bench.reckoning.rules import CONDITIONS, Part, judge, refuse_if_dangerous
from bench.reckoning.rules.grammar import atoms, parse_pattern
from bench.reference.library import Library
from bench.reference.things import Reagent
from bench.science.formulas import parse
from bench.science.refusal import Refusal
from tests.measure.reckon import SIX_PARTS as SIX
from tests.reckoning.rules.scenes import at


def test_a_slip_in_a_condition_or_a_step_is_an_error_not_a_silence(library: Library) -> None:
    with pytest.raises(ValueError, match="lidd"):
        judge("load", [], {"lidd": "sealed"}, library)
    with pytest.raises(ValueError, match="bake"):
        judge("bake", [], {}, library)
    with pytest.raises(ValueError, match="not a number"):
        judge("fire", [], {"co_ppm": "a lot"}, library)


def test_every_condition_belongs_to_a_rule_or_feeds_one(library: Library) -> None:
    asked = {
        key
        for rule in library.rules.values()
        for atom in atoms(parse_pattern(rule.pattern))
        for key in (atom.key, getattr(atom, "other", None))
    }
    feeding = {"estimates", "acid_hot_or_strong", "cooling_in_reducing_gas", "drying", "open_below_c", "co_g", "hf_g"}
    assert set(CONDITIONS) - asked == feeding


def test_leaving_a_condition_out_never_takes_a_finding_away(library: Library) -> None:
    """What is found with every condition told the worse way is found with each left out as well, or not known."""
    worst = {
        "place": "indoors",
        "airflow": None,
        "flue": False,
        "furnace_fuel": "gas",
        "damp": True,
        "lid": "sealed",
        "evolves": ["CO2"],
        "crucible_rated_c": 900,
        "peak_c": 1200,
        "co_alarm_tested": False,
        "ticks_missing": 2,
        "purge_volumes": 0,
        "paste_solvent": "acetone",
        "undried": True,
        "lining_rated_c": 1000,
        "reducing": True,
    }
    all_told = {each.rule for each in judge("light", SIX, worst, library)}
    for name in worst:
        without = {key: value for key, value in worst.items() if key != name}
        assert all_told <= {each.rule for each in judge("light", SIX, without, library)}, name
        assert all_told <= {each.rule for each in judge("light", SIX, {**worst, name: "unknown"}, library)}, name


def test_what_is_not_known_is_marked_as_such(library: Library) -> None:
    told = at("load", "CaCO3", lid="sealed").found(library)["sealed-gassing"]
    open_one = at("load", "CaCO3", lid=None).found(library)["sealed-gassing"]
    assert told.sure and not open_one.sure
    assert "lid: sealed" in told.because and "lid: not known" in open_one.because


def test_a_jar_that_holds_something_else_than_its_slug_says_is_judged_by_both(library: Library) -> None:
    mixed_up = Part("K2Cr2O7", "zinc white", "zinc-oxide")
    rules = {each.rule for each in judge("weigh", [mixed_up], {}, library)}
    assert {"chromate-state", "card-refuse"} <= rules


def test_a_lining_of_unknown_rating_is_flagged_not_blocked(library: Library) -> None:
    finding = at("light", peak_c=1100).found(library)["lining-rating"]
    assert finding.effect == "flag" and "no rating" in finding.say


def test_because_names_the_parts_that_met(library: Library) -> None:
    found = at("plan", "ZnO", "KNO3", "charcoal").found(library)["nitrate-fuel"]
    assert found.because == ("KNO3", "charcoal")


def test_a_flame_indoors_needs_its_air_change_even_for_a_quiet_charge(library: Library) -> None:
    assert "ventilation-unknown" in at("light", "@titania-rutile", place="indoors", furnace_fuel="gas").found(library)


def test_fuel_under_cover_reduces_whatever_the_flame_does(library: Library) -> None:
    with_charcoal = at("fire", "ZnO", "packing=charcoal", peak_c=1000, atmosphere="oxidising")
    assert "metal-fume" in with_charcoal.found(library)
    assert "metal-fume" in at("fire", "ZnO", "packing=charcoal", peak_c=1000, reducing=False).found(library)


@pytest.mark.parametrize(
    ("parts", "says"),
    [
        ([Part("PbO", "litharge")], "Lead"),
        ([Part(None, "red lead")], "Lead"),
        ([Part(None, "", "potassium-dichromate")], "Chromium(VI)"),
        ([Part(None, "potassium dichromate")], "Chromium(VI)"),
        ([Part("KNO3", "saltpetre"), Part("C", "charcoal")], "Nitrate"),
        ([Part("KNO3", "saltpetre"), Part(None, "CMC", role="binder")], "Nitrate"),
        ([Part(None, "strontium nitrate, technical"), Part("C", "charcoal")], "Nitrate"),
        ([Part(None, "KNO3"), Part(None, "C", role="packing")], "Nitrate"),
        ([Part(None, "potassium chlorate")], "can explode"),
        ([Part(None, "K₂Cr₂O₇", role="packing")], "Chromium(VI)"),
        ([Part("KMnO4", "permanganate"), Part("C3H8O3", "glycerol")], "can explode"),
        ([Part("Al", "aluminium powder"), Part("Fe2O3", "red oxide")], "thermite"),
        ([Part("K4Fe(CN)6*3H2O", "yellow prussiate")], "hydrogen cyanide"),
        ([Part("CoAl2O4", "blue"), Part("As2O3", "white arsenic")], "Arsenic"),
        ([Part(None, "", "cobalt-magnesium-arsenate-violet", role="target")], "Arsenic"),
    ],
)
def test_a_dangerous_plan_is_refused_with_its_reason(parts: list[Part], says: str, library: Library) -> None:
    with pytest.raises(Refusal) as refused:
        refuse_if_dangerous(parts, library, "weighed")
    assert says in refused.value.say and "Found: " in refused.value.say
    assert refused.value.field == "weighed"


def test_what_blocks_or_flags_a_plan_does_not_refuse_it(library: Library) -> None:
    refuse_if_dangerous(SIX, library)
    refuse_if_dangerous(
        [Part(None, "alkaline frit"), Part("TeO2", "tellurium oxide"), Part("Cr2O3", "green"), Part("CaO", "lime")],
        library,
    )


def test_every_published_route_is_open_unless_its_target_is_refused(library: Library) -> None:
    """No route of a plannable target is a false alarm, but for those whose own reagents are refused."""
    refused = set()
    for target in library.targets.values():
        for route in target.routes:
            parts = [Part(library.reagents[slug].formula, slug, slug) for slug in route.reagents]
            try:
                refuse_if_dangerous([*parts, Part(target.formula, target.name, target.slug, role="target")], library)
            except Refusal as found:
                refused.add((target.slug, found.say.partition(" Found")[0]))
    assert {slug for slug, _ in refused if library.targets[slug].status == "plannable"} == set()


def test_the_makers_own_reagent_is_judged_by_its_formula_and_has_no_card(library: Library) -> None:
    own = Reagent(slug="own-black", name="my black", formula="CuCrO4", own=True)
    richer = replace(library, reagents={**library.reagents, "own-black": own})
    with pytest.raises(Refusal, match="Chromium"):
        refuse_if_dangerous([Part(None, "my black", "own-black")], richer)
    rules = {each.rule for each in judge("plan", [Part(None, "my black", "own-black")], {}, richer)}
    assert {"chromate-state", "no-card"} <= rules


@pytest.mark.parametrize(
    ("step", "parts", "rule", "sources"),
    [
        ("plan", ["PbO"], "toxic-element", {"Pb-EU", "TCLP", "own-refusals"}),
        ("plan", ["CdS"], "toxic-element", {"TCLP2", "own-refusals"}),
        ("plan", ["Zn(NO3)2*6H2O", "C"], "nitrate-fuel", {"ICSC-1206"}),
        ("plan", ["KNO3", "C"], "nitrate-fuel", {"own-safety-rules"}),
        ("wash", ["ZnO"], "no-drain", {"own-cautions"}),
        ("wash", ["BaCO3"], "no-drain", {"TCLP", "TCLP2"}),
        ("weigh", ["Li2CO3"], "reproductive", {"Li-CLH", "Li-HSE"}),
        ("weigh", ["H3BO3"], "reproductive", {"CLH-B"}),
        ("plan", ["V2O5"], "metal-fume", {"IDLH-V", "OSHA-V"}),
    ],
)
def test_a_finding_names_the_sources_of_the_matter_in_hand_alone(
    step: str, parts: list[str], rule: str, sources: set[str], library: Library
) -> None:
    assert set(at(step, *parts).found(library)[rule].sources) == sources


def test_a_refusal_by_card_names_the_sheets_of_that_card(library: Library) -> None:
    found = at("plan", "UO3").found(library)["refused-elements"]
    assert set(found.sources) == {"card-uranium-compounds", "card-uranium-compounds-2", "own-refusals"}
    assert "kidneys" in found.more


def test_every_source_that_is_kept_for_some_matter_is_one_of_the_rule(library: Library) -> None:
    for rule in library.rules.values():
        kept = [entry.partition(":")[2] for entry in rule.sources_by_matter.split(" | ")]
        assert {key.strip() for keys in kept for key in keys.split(";") if key.strip()} <= set(rule.sources), rule.slug


def test_aluminium_chloride_is_answered_with_a_flag(library: Library) -> None:
    """Sums of AlCl3 go on as typed, and say what has to be chosen before anything is weighed."""
    ask = {"charges": [{"formula": "AlCl3", "g": 1.0}]}
    [flag] = reckon("gas", ask, library)["flags"]
    assert flag.startswith("Anhydrous or hexahydrate?")
    assert reckon("gas", {"charges": [{"formula": "AlCl3*6H2O", "g": 1.0}]}, library)["flags"] == []


@pytest.mark.parametrize("formula", ["TcO2", "Pm2O3", "RaSO4", "PuO2"])
def test_an_element_that_has_no_stable_isotope_is_refused_as_radioactive(formula: str) -> None:
    """Those that the CIAAW gives no standard atomic weight for."""
    with pytest.raises(Refusal, match="radioactive and is refused here"):
        parse(formula)
