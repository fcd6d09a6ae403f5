"""Dangerous plans and steps, as a maker might come to them: what stops each, with its source, and the careful way."""

from dataclasses import dataclass

import pytest

from bench.reckoning.rules import Decision, overridden
from bench.reference.library import Library
from tests.reckoning.rules.scenes import Scene, at

CAREFUL = {
    "place": "outdoors",
    "furnace_fuel": "gas",
    "damp": False,
    "lid": "vented",
    "evolves": ["CO2"],
    "atmosphere": "oxidising",
    "peak_c": 1100,
    "crucible_rated_c": 1650,
    "lining_rated_c": 1400,
    "co_alarm_tested": True,
    "purge_volumes": 4,
    "ticks_missing": 0,
    "paste_solvent": "water",
}
BLUE = ("@cobalt-ii-iii-oxide 4", "@aluminium-hydroxide 8", "target=@cobalt-aluminate-blue")


@dataclass(frozen=True)
class Danger:
    """What happens, the rule and effect that must meet it, a source that the finding must name, and the careful way."""

    name: str
    scene: Scene
    rule: str
    effect: str
    source: str
    careful: Scene


def lighting(*parts: str, **changed: object) -> Scene:
    """A careful lighting of a cobalt blue in a gas furnace, with some things changed."""
    return at("light", *(parts or BLUE), **{**CAREFUL, **changed})


SITUATIONS = [
    Danger(
        "a dichromate by formula", at("plan", "K2Cr2O7"), "chromate-state", "refuse", "WAC-Cr6", at("plan", "Cr2O3")
    ),
    Danger(
        "a dichromate by name",
        at("weigh", "ammonium dichromate"),
        "chromate-state",
        "refuse",
        "SDS-ADC",
        at("weigh", "@chromium-iii-oxide"),
    ),
    Danger("red lead", at("plan", "Pb3O4", "SiO2"), "toxic-element", "refuse", "Pb-EU", at("plan", "Fe3O4", "SiO2")),
    Danger(
        "a cobalt arsenate violet as the target",
        at("plan", "target=@cobalt-magnesium-arsenate-violet"),
        "toxic-element",
        "refuse",
        "TCLP2",
        at("plan", "target=@cobalt-magnesium-violet"),
    ),
    Danger(
        "nitrate and charcoal in two lines",
        at("weigh", "@potassium-nitrate", "@zinc-oxide", "@charcoal"),
        "nitrate-fuel",
        "refuse",
        "own-safety-rules",
        at("weigh", "@potassium-nitrate", "@zinc-oxide"),
    ),
    Danger(
        "charcoal packed round a nitrate charge",
        at("load", "@cobalt-nitrate-hexahydrate", "packing=charcoal"),
        "nitrate-fuel",
        "refuse",
        "ICSC-0784",
        at("load", "@cobalt-nitrate-hexahydrate", "packing=@alpha-alumina"),
    ),
    Danger(
        "a nitrate ground in alcohol",
        at("grind", "@barium-nitrate", "liquid=alcohol"),
        "nitrate-fuel",
        "refuse",
        "ICSC-1480",
        at("grind", "@barium-nitrate", "liquid=water"),
    ),
    Danger(
        "permanganate with glycerol",
        at("mix", "@potassium-permanganate", "binder=glycerol"),
        "oxidiser-fuel",
        "refuse",
        "SDS-KMnO4",
        at("mix", "@potassium-permanganate", "@sodium-sulfate", "@barium-nitrate"),
    ),
    Danger("a chlorate alone", at("plan", "KClO3"), "oxidiser-fuel", "refuse", "own-safety-rules", at("plan", "KCl")),
    Danger(
        "aluminium powder with iron oxide",
        at("mix", "aluminium powder", "@iron-iii-oxide"),
        "thermite",
        "refuse",
        "own-refusals",
        at("mix", "@alpha-alumina", "@iron-iii-oxide"),
    ),
    Danger(
        "ferrocyanide into the fire",
        at("load", "K4Fe(CN)6*3H2O"),
        "cyanide-heat",
        "refuse",
        "own-refusals",
        at("load", "@iron-iii-oxide"),
    ),
    Danger(
        "acid on ultramarine",
        at("wash", "@ultramarine-blue", "acid=HCl"),
        "acid-sulfide-fluoride",
        "block",
        "own-lines",
        at("wash", "@ultramarine-blue"),
    ),
    Danger(
        "a sealed lid on a carbonate",
        at("load", "@calcium-carbonate", lid="sealed", crucible_rated_c=1600, peak_c=1000),
        "sealed-gassing",
        "block",
        "own-refusals",
        at("load", "@calcium-carbonate", lid="vented"),
    ),
    Danger("a damp charge at lighting", lighting(damp=True), "damp-charge", "block", "own-safety-rules", lighting()),
    Danger(
        "glazed porcelain at 1,200 °C",
        at("load", *BLUE, ware="glazed-porcelain", peak_c=1200),
        "crucible-rating",
        "block",
        "own-refusals",
        at("load", *BLUE, ware="alumina-99", peak_c=1200),
    ),
    Danger(
        "a lining under the peak", lighting(lining_rated_c=1000), "lining-rating", "block", "own-refusals", lighting()
    ),
    Danger(
        "a gas fire without a CO alarm", lighting(co_alarm_tested=False), "gas-no-co-alarm", "block", "C1", lighting()
    ),
    Danger(
        "a chloride flux indoors",
        lighting(*BLUE, "@potassium-chloride 30", place="indoors"),
        "chloride-indoors",
        "block",
        "IDLH-HCl",
        lighting(*BLUE, "@potassium-chloride 30"),
    ),
    Danger(
        "copperas with the place not said",
        lighting("@iron-ii-sulfate-heptahydrate", place=None),
        "release-indoors",
        "block",
        "IDLH-SO2",
        lighting("@iron-ii-sulfate-heptahydrate", place="roofed"),
    ),
    Danger(
        "a forge in the shed",
        lighting(place="indoors"),
        "flame-no-flue",
        "block",
        "C3",
        lighting(place="indoors", flue=True),
    ),
    Danger(
        "indoors, air change not known",
        lighting(place="indoors", furnace_fuel="electric"),
        "ventilation-unknown",
        "block",
        "M1",
        lighting(place="indoors", furnace_fuel="electric", airflow=8),
    ),
    Danger(
        "an estimate over half the short limit",
        lighting(place="indoors", peak=0.6, idlh=100, short_limit=1, index=0.1),
        "exposure-screen",
        "block",
        "M1",
        lighting(place="indoors", peak=0.4, idlh=100, short_limit=1, index=0.1),
    ),
    Danger(
        "an acetone paste in the oven",
        at("dry", *BLUE, "liquid=acetone"),
        "solvent-paste",
        "block",
        "own-safety-rules",
        at("dry", *BLUE, "liquid=acetone", drying="open-air"),
    ),
    Danger(
        "acetone grinding beside the lit forge",
        at("grind", *BLUE, "liquid=acetone", flame_or_hot_furnace_within_m=4),
        "solvent-near-fire",
        "block",
        "own-cautions",
        at("grind", *BLUE, "liquid=water", flame_or_hot_furnace_within_m=4),
    ),
    Danger(
        "lighting with a check open", lighting(ticks_missing=1), "checks-before-lighting", "block", "L5", lighting()
    ),
    Danger("lighting without a purge", lighting(purge_volumes=0), "purge", "block", "L6", lighting()),
    Danger("the flame goes out", at("fire", flame="lost"), "flame-lost", "block", "L6", at("fire", flame="lit")),
    Danger("CO at 120 ppm", at("fire", co_ppm=120), "co-reading", "block", "IDLH-CO", at("fire", co_ppm=5)),
    Danger("CO at 40 ppm", at("fire", co_ppm=40), "co-rising", "flag", "IDLH-CO", at("fire", co_ppm=5)),
    Danger(
        "leaving a lit fire", at("fire", fire="lit", leave=True), "unattended", "block", "K2", at("fire", fire="lit")
    ),
    Danger(
        "opening at 700 °C, cooling unknown",
        at("open", cooling="unknown", furnace_c=700),
        "cooling-unknown",
        "block",
        "own-safety-rules",
        at("open", cooling="in-furnace", furnace_c=90),
    ),
    Danger(
        "a hot pull that nobody planned",
        at("open", cooling="fast", furnace_c=900, open_below_c=100),
        "hot-pull-unplanned",
        "block",
        "P1",
        at("open", cooling="fast", open_hot=True, hot_pull_planned=True, protection_checked=True),
    ),
    Danger(
        "quenching a glazed pot",
        at("quench", ware="glazed-porcelain"),
        "quench-ware",
        "block",
        "own-refusals",
        at("open", ware="glazed-porcelain", cooling="in-furnace"),
    ),
    Danger(
        "quenching what is to cool slowly",
        at("quench", "target=@egyptian-blue", ware="alumina-99"),
        "quench-not-planned",
        "block",
        "own-safety-rules",
        at("open", "target=@egyptian-blue", cooling="slow"),
    ),
    Danger(
        "chromium oxide with chalk in air",
        at("plan", "@chromium-iii-oxide", "@calcium-carbonate", atmosphere="oxidising"),
        "chromate-forming",
        "flag",
        "CrOx",
        at("plan", "@chromium-iii-oxide", "@zinc-oxide", atmosphere="oxidising"),
    ),
    Danger(
        "a pale yellow after a cobalt blue",
        at("load", "target=@praseodymium-zircon-yellow", crucible_held=["Co"]),
        "crucible-memory",
        "block",
        "own-safety-rules",
        at("load", "target=@praseodymium-zircon-yellow", crucible_held="none"),
    ),
    Danger(
        "borax filled to a half",
        at("load", "@borax-decahydrate 8", "@alpha-alumina 3", fill_fraction=0.5),
        "froth-fill",
        "block",
        "own-cautions",
        at("load", "@borax-decahydrate 8", "@alpha-alumina 3", fill_fraction=0.2),
    ),
    Danger("a formula without a card", at("plan", "SrS"), "no-card", "flag", "own-safety-rules", at("plan", "SrCO3")),
    Danger(
        "a frit without a formula",
        at("plan", "alkaline frit"),
        "formula-unread",
        "block",
        "own-safety-rules",
        at("plan", "Na2O*CaO*4SiO2"),
    ),
    Danger(
        "manganese dioxide with charcoal",
        at("mix", "@manganese-dioxide", "@charcoal"),
        "oxide-fuel",
        "block",
        "ICSC-0175",
        at("mix", "@manganese-dioxide", "@iron-iii-oxide"),
    ),
    Danger(
        "a crucible touched on the furnace's word",
        at("open", was_hot=True, furnace_c=30),
        "too-hot-to-touch",
        "flag",
        "K1",
        at("open", was_hot=True, own_reading_c=28),
    ),
]


@pytest.mark.parametrize("danger", SITUATIONS, ids=lambda danger: danger.name)
def test_the_danger_is_met_at_its_step(danger: Danger, library: Library) -> None:
    finding = danger.scene.found(library)[danger.rule]
    assert finding.effect == danger.effect
    assert finding.step == danger.scene.step
    assert danger.source in finding.sources, finding.sources
    assert library.sources[danger.source].title


@pytest.mark.parametrize("danger", SITUATIONS, ids=lambda danger: danger.name)
def test_the_careful_way_is_open(danger: Danger, library: Library) -> None:
    assert danger.rule not in danger.careful.found(library)


def test_a_careful_lighting_outdoors_is_not_stopped(library: Library) -> None:
    stops = [each for each in lighting().findings(library) if each.effect != "flag"]
    assert stops == []


@pytest.mark.parametrize("danger", SITUATIONS, ids=lambda danger: danger.name)
def test_a_decision_lifts_only_what_its_rule_lets_it(danger: Danger, library: Library) -> None:
    found = danger.scene.findings(library)
    decision = Decision(danger.rule, danger.scene.step, "Ida", "the SDS was read")
    standing = overridden(found, [decision])
    lifted = [finding.rule for finding, _ in standing.lifted]
    may = library.rules[danger.rule].override == "recorded-decision"
    assert lifted == ([danger.rule] if may else [])
    assert len(standing.still) + len(standing.lifted) == len(found)


def test_a_decision_without_a_person_or_a_reason_lifts_nothing(library: Library) -> None:
    found = at("plan", "alkaline frit").findings(library)
    for decision in (Decision("formula-unread", "plan", "", "read"), Decision("formula-unread", "plan", "Ida", " ")):
        assert overridden(found, [decision]).lifted == ()
    elsewhere = Decision("formula-unread", "weigh", "Ida", "the SDS was read")
    assert overridden(found, [elsewhere]).lifted == ()


def test_a_wet_glove_stops_the_opening(library: Library) -> None:
    items = library.phase_items("before-opening", "gas")
    glove = next(each for each in items if "glove" in each.if_not_done)
    assert "wet" in glove.if_not_done
    assert [library.sources[key].title for key in glove.sources]
    bare = at("open", open_hot=True, hot_pull_planned=True, protection_checked=False).found(library)
    assert bare["hot-pull-unplanned"].effect == "block"


def test_findings_come_refusals_first(library: Library) -> None:
    scene = lighting("@potassium-nitrate", "charcoal", "V2O5", place="indoors", damp=True)
    effects = [each.effect for each in scene.findings(library)]
    assert effects == sorted(effects, key=("refuse", "block", "flag").index)
    assert {"refuse", "block", "flag"} <= set(effects)
