"""Dangerous situations from real records, each at its step: what meets it, its source, and the careful way.

The situations and what must meet them are the bench's own list of refusals, blocks and flags; each finding names the
published source or our own rule on which it stands (see the rules of the reference data).
"""

import re
from collections.abc import Callable
from dataclasses import dataclass

import pytest

from bench.reckoning.rules import Finding, judge
from bench.workshop.alarms import alarms
from bench.workshop.conditions import of_firing
from bench.workshop.flags import flags_of
from bench.workshop.gates import gate_batch, stops
from bench.workshop.things.firings import firing as firing_of
from tests.workshop.builder import lines
from tests.workshop.dangers import BLUE, CHALK, GAS, LIBRARY, Dangers, Found

Made = Callable[[Dangers], Found]
INDOORS = {"fuel": "electric", "place": "indoors", "lining_rated_c": 1400.0, "room_m3": 40.0, "air_changes_per_h": 8.0}
SALT = (("Co3O4", 4.0), ("Al(OH)3", 8.0), ("NaCl", 1.0))


@dataclass(frozen=True)
class Danger:
    """What happens, the rule, effect and source that must meet it, and the careful way in which it does not."""

    name: str
    made: Made
    rule: str
    effect: str
    source: str
    careful: Made
    lifted: bool = False
    """Whether a recorded decision may lift it."""


def in_pot_after(held: str, seen_clean: bool) -> Made:
    """A pale yellow into a crucible in which something was fired before."""

    def made(bench: Dangers) -> Found:
        pot = bench.crucible(ware="alumina-99", rated_c=1650.0)
        first = bench.ready_batch(lines((held, 5.0)))
        charge = bench.charge({"batch": first, "g": 5.0}, crucible=pot, lid="vented")
        bench.fired(charge)
        bench.opened(charge)
        if seen_clean:
            bench.seen(pot, "clean")
        return bench.at_load(("ZrO2", 6.0), ("SiO2", 3.0), vessel=pot, target="praseodymium-zircon-yellow")

    return made


def drying(way: str, medium: str = "acetone") -> Made:
    """A paste in its crucible, put to dry."""

    def made(bench: Dangers) -> Found:
        thing = bench.batch(lines(*BLUE))
        bench.weigh(thing, 4.0, 8.0)
        bench.mixed(thing, medium)
        charge = bench.charge({"batch": thing, "g": 12.0}, wet_g=16.0, lid="none")
        return bench.at_oven(charge, drying=way, flame_or_hot_furnace_within_m="none")

    return made


def opening(c: float, read_c: float | None = None, gloves: bool = True, **plan: object) -> Made:
    """A charge in a fire at a reading, to be taken out; `read_c` is a reading of itself after it came out."""

    def made(bench: Dangers) -> Found:
        firing, charge = bench.burning(c, **plan)
        if gloves:
            bench.ticked(firing, "before-opening")
        else:
            bench.ticked(firing, "before-opening", but=("open-protection",))
            assert "wet" in LIBRARY.items_by_slug["open-protection"].if_not_done
            bench.check(firing, "open-protection", "not-done", "before-opening")
        if read_c is not None:
            bench.off(firing)
            bench.came_out(firing, charge)
            if read_c:
                bench.touched(charge, read_c)
        return bench.at_open(charge)

    return made


def alarm(what: str, value: str) -> Made:
    """A note at a burning fire, and the alarm that it raises."""

    def made(bench: Dangers) -> Found:
        firing, _ = bench.burning(700.0)
        bench.add("noted", {"what": what, "value": value}, firing)
        fire = firing_of(bench.state, firing)
        assert fire is not None
        raised = {one.rule for one in alarms(bench.state, fire, bench.now, LIBRARY)}
        told = of_firing(bench.state, firing, LIBRARY)
        said = {one.rule: one for one in judge("fire", [], told, LIBRARY)}
        return {rule: said[rule] for rule in raised if rule in said}

    return made


def withdrawn_check(bench: Dangers) -> Found:
    firing = bench.loaded(*BLUE)
    bench.ticked(firing)
    assert "checks-before-lighting" not in bench.lighting(firing)
    bench.withdraw(bench.records[-1], subject=firing)
    return bench.lighting(firing)


HOT = {"cooling_mode": "fast", "hot_pull": True, "cooling_basis": "planned"}
QUENCHED = HOT | {"cooling_mode": "quench-water"}
DANGERS = [
    Danger(
        "a dichromate by its formula", lambda b: b.at_plan(("K2Cr2O7", 2.0)), "chromate-state", "refuse", "WAC-Cr6",
        lambda b: b.at_plan(("Cr2O3", 2.0)),
    ),
    Danger(
        "a dichromate by its name", lambda b: b.at_batch("weigh", ("ammonium dichromate", 2.0)), "chromate-state",
        "refuse", "WAC-Cr6", lambda b: b.at_batch("weigh", ("chromium-iii-oxide", 2.0)),
    ),
    Danger(
        "red lead", lambda b: b.at_plan(("Pb3O4", 2.0), ("SiO2", 1.0)), "toxic-element", "refuse", "Pb-EU",
        lambda b: b.at_plan(("Fe3O4", 2.0), ("SiO2", 1.0)),
    ),
    Danger(
        "an arsenate as the target", lambda b: b.at_plan(("Co3O4", 2.0), target="cobalt-magnesium-arsenate-violet"),
        "toxic-element", "refuse", "TCLP2", lambda b: b.at_plan(("Co3O4", 2.0), target="cobalt-magnesium-violet"),
    ),
    Danger(
        "nitrate and charcoal in two lines",
        lambda b: b.at_batch("weigh", ("KNO3", 1.0), ("ZnO", 3.0), ("charcoal", 1.0)),
        "nitrate-fuel", "refuse", "own-safety-rules", lambda b: b.at_batch("weigh", ("KNO3", 1.0), ("ZnO", 3.0)),
    ),
    Danger(
        "charcoal packed round a nitrate", lambda b: b.at_load(("Co(NO3)2*6H2O", 4.0), packing="charcoal"),
        "nitrate-fuel", "refuse", "ICSC-0784", lambda b: b.at_load(("Co(NO3)2*6H2O", 4.0), packing="alpha-alumina"),
    ),
    Danger(
        "a nitrate ground in alcohol",
        lambda b: b.at_batch("grind", ("Ba(NO3)2", 4.0), more={"paste_solvent": "alcohol"}), "nitrate-fuel", "refuse",
        "ICSC-1480", lambda b: b.at_batch("grind", ("Ba(NO3)2", 4.0), more={"paste_solvent": "water"}),
    ),
    Danger(
        "a nitrate bound with gum", lambda b: b.at_plan(("KNO3", 1.0), ("ZnO", 3.0), binder="gum arabic"),
        "nitrate-fuel", "refuse", "own-safety-rules", lambda b: b.at_plan(("KNO3", 1.0), ("ZnO", 3.0)),
    ),
    Danger(
        "a chlorate alone", lambda b: b.at_plan(("KClO3", 1.0)), "oxidiser-fuel", "refuse", "own-safety-rules",
        lambda b: b.at_plan(("KCl", 1.0)),
    ),
    Danger(
        "aluminium powder with iron oxide", lambda b: b.at_batch("mix", ("aluminium powder", 1.0), ("Fe2O3", 3.0)),
        "thermite", "refuse", "own-refusals", lambda b: b.at_batch("mix", ("Al2O3", 1.0), ("Fe2O3", 3.0)),
    ),
    Danger(
        "ferrocyanide into the fire", lambda b: b.at_load(("K4Fe(CN)6*3H2O", 4.0)), "cyanide-heat", "refuse",
        "own-refusals", lambda b: b.at_load(("Fe2O3", 4.0)),
    ),
    Danger(
        "acid on ultramarine",
        lambda b: b.at_powder("wash", b.powder(("Na8Al6Si6O24S4", 5.0), target="ultramarine-blue"), acid="HCl"),
        "acid-sulfide-fluoride", "block", "own-lines",
        lambda b: b.at_powder("wash", b.powder(("Na8Al6Si6O24S4", 5.0), target="ultramarine-blue"), acid="none"),
    ),
    Danger(
        "a sealed lid on chalk", lambda b: b.at_load(*CHALK, lid="sealed"), "sealed-gassing", "block", "own-refusals",
        lambda b: b.at_load(*CHALK, lid="vented"),
    ),
    Danger(
        "a damp charge at lighting", lambda b: b.at_light(*BLUE, dry=False), "damp-charge", "block",
        "own-safety-rules", lambda b: b.at_light(*BLUE),
    ),
    Danger(
        "glazed porcelain at 1,200 °C",
        lambda b: b.at_load(*BLUE, ware="glazed-porcelain", rated_c=1000.0, schedule=[{"to_c": 1200.0}]),
        "crucible-rating", "block", "own-refusals",
        lambda b: b.at_load(*BLUE, ware="alumina-99", rated_c=1650.0, schedule=[{"to_c": 1200.0}]),
    ),
    Danger(
        "a lining rated below the plan",
        lambda b: b.at_light(*BLUE, furnace=GAS | {"lining_rated_c": 1000.0}, peak_c=1200.0), "lining-rating", "block",
        "own-refusals", lambda b: b.at_light(*BLUE, peak_c=1200.0),
    ),
    Danger(
        "a gas fire with the CO alarm not tested", lambda b: b.at_light(*BLUE, but=("light-co-alarm",)),
        "gas-no-co-alarm", "block", "C3", lambda b: b.at_light(*BLUE),
    ),
    Danger(
        "salt in a fire indoors", lambda b: b.at_light(*SALT, furnace=INDOORS), "chloride-indoors", "block",
        "IDLH-HCl", lambda b: b.at_light(*SALT),
    ),
    Danger(
        "a sulfate where the place was never said",
        lambda b: b.at_light(("FeSO4*7H2O", 5.0), furnace={**GAS, "place": "unknown"}), "release-indoors", "block",
        "IDLH-SO2", lambda b: b.at_light(("FeSO4*7H2O", 5.0)),
    ),
    Danger(
        "a forge without a flue in the shed", lambda b: b.at_light(*BLUE, furnace={**GAS, "place": "indoors"}),
        "flame-no-flue", "block", "C3", lambda b: b.at_light(*BLUE, furnace={**GAS, "place": "indoors", "flue": True}),
    ),
    Danger(
        "indoors with no air change known",
        lambda b: b.at_light(*CHALK, furnace={**INDOORS, "air_changes_per_h": None}), "ventilation-unknown", "block",
        "M1", lambda b: b.at_light(*CHALK, furnace=INDOORS),
    ),
    Danger(
        "the gas of three crucibles together over a mark",
        lambda b: b.at_light(("CoCl2*6H2O", 0.024), furnace=INDOORS, pots=3), "exposure-screen", "block", "M1",
        lambda b: b.at_light(("CoCl2*6H2O", 0.008), furnace=INDOORS),
    ),
    Danger(
        "an acetone paste into the oven", drying("oven"), "solvent-paste", "block", "own-safety-rules",
        drying("open-air"),
    ),
    Danger(
        "grinding in acetone beside the lit forge",
        lambda b: b.at_batch("grind", *BLUE, more={"paste_solvent": "acetone", "flame_or_hot_furnace_within_m": 4}),
        "solvent-near-fire", "block", "own-cautions",
        lambda b: b.at_batch("grind", *BLUE, more={"paste_solvent": "acetone", "flame_or_hot_furnace_within_m": 25}),
    ),
    Danger(
        "a check not ticked before lighting", lambda b: b.at_light(*BLUE, but=("light-way-out",)),
        "checks-before-lighting", "block", "L5", lambda b: b.at_light(*BLUE),
    ),
    Danger(
        "a tick that was taken back", withdrawn_check, "checks-before-lighting", "block", "L5",
        lambda b: b.at_light(*BLUE),
    ),
    Danger(
        "no purge before the flame", lambda b: b.at_light(*BLUE, but=("light-purge",)), "purge", "block", "L6",
        lambda b: b.at_light(*BLUE),
    ),
    Danger("the flame goes out", alarm("flame", "lost"), "flame-lost", "block", "L6", alarm("flame", "steady")),
    Danger("CO at 120 ppm", alarm("co", "120"), "co-reading", "block", "IDLH-CO", alarm("co", "5")),
    Danger("CO at 40 ppm", alarm("co", "40"), "co-rising", "flag", "IDLH-CO", alarm("co", "5")),
    Danger(
        "opening at 700 °C what nobody planned a cooling for", opening(700.0), "cooling-unknown", "block",
        "own-safety-rules", opening(60.0, cooling_mode="in-furnace", cooling_basis="read"),
    ),
    Danger(
        "a hot pull that only memory tells", opening(900.0, cooling_mode="fast", hot_pull=True, cooling_basis="memory"),
        "hot-pull-unplanned", "block", "P1", opening(900.0, **HOT),
    ),
    Danger(
        "a wet glove at the hot pull", opening(900.0, gloves=False, **HOT), "hot-pull-unplanned", "block", "P1",
        opening(900.0, **HOT),
    ),
    Danger(
        "porcelain into water",
        opening(850.0, vessel={"ware": "glazed-porcelain", "rated_c": 1000.0}, peak_c=900.0, **QUENCHED),
        "quench-ware", "block", "own-refusals", opening(850.0, peak_c=900.0, **HOT),
    ),
    Danger(
        "water for what is to cool slowly",
        opening(850.0, target="egyptian-blue", **QUENCHED),
        "quench-not-planned", "block", "own-safety-rules", opening(60.0, cooling_mode="slow", target="egyptian-blue"),
    ),
    Danger(
        "chromium oxide with chalk in air",
        lambda b: b.at_plan(("Cr2O3", 2.0), ("CaCO3", 2.0), atmosphere="oxidising"), "chromate-forming", "flag", "CrOx",
        lambda b: b.at_plan(("Cr2O3", 2.0), ("ZnO", 2.0), atmosphere="oxidising"), lifted=True,
    ),
    Danger(
        "a pale yellow after cobalt", in_pot_after("Co3O4", seen_clean=False), "crucible-memory", "block",
        "own-safety-rules", in_pot_after("Al2O3", seen_clean=False), lifted=True,
    ),
    Danger(
        "borax half full", lambda b: b.at_load(("Na2B4O7*10H2O", 8.0), ("Al2O3", 3.0), more={"fill_fraction": 0.5}),
        "froth-fill", "block", "own-cautions",
        lambda b: b.at_load(("Na2B4O7*10H2O", 8.0), ("Al2O3", 3.0), more={"fill_fraction": 0.15}),
        lifted=True,
    ),
    Danger(
        "a formula without a card", lambda b: b.at_plan(("SrS", 2.0)), "no-card", "flag", "own-safety-rules",
        lambda b: b.at_plan(("SrCO3", 2.0)),
    ),
    Danger(
        "a frit without a formula", lambda b: b.at_plan(("alkaline frit", 2.0)), "formula-unread", "block",
        "own-safety-rules", lambda b: b.at_plan(("Na2O*CaO*4SiO2", 2.0)), lifted=True,
    ),
    Danger(
        "manganese dioxide with charcoal", lambda b: b.at_batch("mix", ("MnO2", 3.0), ("charcoal", 1.0)), "oxide-fuel",
        "block", "ICSC-0175", lambda b: b.at_batch("mix", ("MnO2", 3.0), ("Fe2O3", 1.0)), lifted=True,
    ),
    Danger(
        "ammonium with nitrate, dry",
        lambda b: b.at_batch("mix", ("NH4VO3", 2.0), ("Bi(NO3)3*5H2O", 4.0), more={"dry_mix": True}),
        "ammonium-nitrate-mix", "block", "own-refusals",
        lambda b: b.at_batch("mix", ("V2O5", 2.0), ("Bi(NO3)3*5H2O", 4.0), more={"dry_mix": True}),
        lifted=True,
    ),
    Danger(
        "a crucible believed cold by the furnace's word", opening(30.0, 0.0), "too-hot-to-touch", "flag", "K1",
        opening(30.0, 28.0),
    ),
    Danger(
        "a cobalt rinse for the drain",
        lambda b: b.at_powder("wash", b.powder(*BLUE, target="cobalt-aluminate-blue"), acid="none"), "no-drain", "flag",
        "own-cautions", lambda b: b.at_powder("wash", b.powder(("Fe2O3", 5.0)), acid="none"),
    ),
    Danger(
        "a substance whose card says refuse", lambda b: b.at_batch("weigh", ("CrO3", 2.0)), "card-refuse", "refuse",
        "own-refusals", lambda b: b.at_batch("weigh", ("Cr2O3", 2.0)),
    ),
    Danger(
        "leaving the lit forge to a timer", lambda b: b.leaving(), "unattended", "block", "K2",
        lambda b: b.leaving(off=True),
    ),
    Danger(
        "the forge was left alone in fact", alarm("watch", "left alone"), "unattended", "block", "K2",
        alarm("watch", "with Ida"),
    ),
    Danger(
        "cobalt, and nobody asked who weighs", lambda b: b.at_batch("weigh", *BLUE), "reproductive", "flag",
        "own-refusals",
        lambda b: b.setting("person_pregnant_or_planning", False) or b.at_batch("weigh", *BLUE), lifted=True,
    ),
    Danger(
        "nickel with charcoal in the fire", lambda b: b.at_fire(("NiO", 4.0), ("charcoal", 1.0)), "nickel-co", "flag",
        "IDLH-Ni", lambda b: b.at_fire(("NiO", 4.0), atmosphere="oxidising"), lifted=True,
    ),
    Danger(
        "a borate melt into water",
        lambda b: b.at_hot_pull(("Na2B4O7*10H2O", 6.0), ("SiO2", 4.0), **QUENCHED), "glass-quench", "flag",
        "own-refusals", lambda b: b.at_hot_pull(("Na2B4O7*10H2O", 6.0), ("SiO2", 4.0), **HOT), lifted=True,
    ),
    Danger(
        "hydrochloric acid on raw cobalt oxide",
        lambda b: b.at_powder("wash", b.powder(*BLUE), acid="HCl"), "chlorine-release", "flag", "own-refusals",
        lambda b: b.at_powder("wash", b.powder(*BLUE), acid="none"),
    ),
    Danger(
        "vanadium over its melting point", lambda b: b.at_plan(("V2O5", 2.0), schedule=[{"to_c": 900.0}]),
        "metal-fume", "flag", "IDLH-V", lambda b: b.at_plan(("V2O5", 2.0), schedule=[{"to_c": 600.0}]),
    ),
    Danger(
        "the same in the fire", lambda b: b.at_fire(("V2O5", 2.0), peak_c=900.0), "metal-fume", "flag", "IDLH-V",
        lambda b: b.at_fire(("V2O5", 2.0), peak_c=600.0),
    ),
    Danger(
        "linseed oil and its rags", lambda b: b.at_powder("swatch", b.powder(*BLUE), binder="linseed oil"),
        "oily-rags", "flag", "Oil1", lambda b: b.at_powder("swatch", b.powder(*BLUE), binder="water"),
    ),
    Danger(
        "dusty cobalt weighed dry", lambda b: b.at_batch("weigh", ("Co3O4", 4.0), more={"dry_handling": True}),
        "dust-mask", "flag", "P7", lambda b: b.at_batch("weigh", ("ZnO", 4.0), more={"dry_handling": True}),
    ),
    Danger(
        "beryllia in a second line", lambda b: b.at_plan(("Al2O3", 2.0), ("BeO", 1.0)), "refused-elements", "refuse",
        "own-refusals", lambda b: b.at_plan(("Al2O3", 2.0), ("B2O3", 1.0)),
    ),
    Danger(
        "an azide for a nitride", lambda b: b.at_batch("weigh", ("Ba(N3)2", 1.0)), "azide", "refuse", "own-refusals",
        lambda b: b.at_batch("weigh", ("Si3N4", 1.0)),
    ),
    Danger(
        "white phosphorus", lambda b: b.at_plan(("P4", 1.0)), "phosphorus-element", "refuse", "own-refusals",
        lambda b: b.at_plan(("AlPO4", 1.0)),
    ),
    Danger(
        "sodium as metal", lambda b: b.at_load(("Na", 1.0)), "alkali-metal", "refuse", "own-refusals",
        lambda b: b.at_load(("Na2CO3", 1.0)),
    ),
    Danger(
        "calcium carbide for the carbonate", lambda b: b.at_plan(("CaC2", 1.0)), "water-reactive", "refuse",
        "own-refusals", lambda b: b.at_plan(("CaCO3", 1.0)),
    ),
    Danger(
        "titanium tetrachloride", lambda b: b.at_batch("mix", ("TiCl4", 1.0)), "water-reactive-chloride", "refuse",
        "own-refusals", lambda b: b.at_batch("mix", ("TiO2", 1.0)),
    ),
    Danger(
        "ammonium bifluoride", lambda b: b.at_plan(("NH4HF2", 1.0)), "hydrogen-fluoride", "refuse", "own-refusals",
        lambda b: b.at_plan(("NaF", 1.0)),
    ),
    Danger(
        "osmium tetraoxide", lambda b: b.at_plan(("OsO4", 1.0)), "osmium-ruthenium", "refuse", "own-refusals",
        lambda b: b.at_plan(("RuO2", 1.0)),
    ),
    Danger(
        "aluminium chloride, nobody said which", lambda b: b.at_batch("weigh", ("AlCl3", 5.0)), "form-not-chosen",
        "block", "own-refusals", lambda b: b.at_batch("weigh", ("AlCl3*6H2O", 5.0)),
    ),
    Danger(
        "cryolite fired indoors", lambda b: b.at_light(("Na3AlF6", 5.0), furnace=INDOORS), "fluoride-indoors", "block",
        "ClayF", lambda b: b.at_light(("Na3AlF6", 5.0)),
    ),
    Danger(
        "an oxalate in an electric furnace indoors", lambda b: b.at_light(("CoC2O4*2H2O", 10.0), furnace=INDOORS),
        "carbon-monoxide-charge", "block", "IDLH-CO", lambda b: b.at_light(("CoCO3", 10.0), furnace=INDOORS),
    ),
    Danger(
        "an acid rinse into sulfide waste", lambda b: b.at_waste(b.container("ZnS rinses"), "acid rinse"),
        "waste-acid", "block", "own-cautions", lambda b: b.at_waste(b.container("zinc sulfate"), "acid rinse"),
    ),
    Danger(
        "bleach to an ammonium salt", lambda b: b.at_waste(b.container("rinses", "NH4Cl rinse"), "bleach"),
        "waste-bleach", "block", "own-refusals", lambda b: b.at_waste(b.container("rinses", "NaCl rinse"), "bleach"),
    ),
    Danger(
        "linseed oil to a nitrate", lambda b: b.at_waste(b.container("KNO3 sweepings"), "linseed oil rags"),
        "waste-nitrate-fuel", "block", "own-cautions", lambda b: b.at_waste(b.container("KNO3 sweepings"), "CaCO3"),
    ),
]  # fmt: skip


@pytest.mark.parametrize("danger", DANGERS, ids=lambda danger: danger.name)
def test_the_danger_is_met_at_its_step_with_its_source(danger: Danger) -> None:
    found = danger.made(Dangers())
    assert danger.rule in found, sorted(found)
    finding = found[danger.rule]
    assert finding.effect == danger.effect
    assert danger.source in finding.sources, finding.sources
    assert LIBRARY.sources[danger.source].title
    assert (finding.override == "recorded-decision") is danger.lifted
    assert finding.say and (danger.effect == "flag") is not bool(stops([finding]))
    assert len(finding.say.split()) <= 12 and not re.search(r"[{}?]", finding.say.replace("hexahydrate?", ""))


@pytest.mark.parametrize("danger", DANGERS, ids=lambda danger: danger.name)
def test_the_careful_way_does_not_meet_it(danger: Danger) -> None:
    assert danger.rule not in danger.careful(Dangers())


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (lambda b: b.at_light(("NaF", 2.0), furnace=INDOORS)["fluoride-indoors"], "up to 0.96 g"),
        (lambda b: b.at_light(("CoC2O4*2H2O", 10.0), furnace=INDOORS)["carbon-monoxide-charge"], "up to 1.6 g"),
        (lambda b: b.at_light(("charcoal", 5.0), furnace=INDOORS)["carbon-monoxide-charge"], "up to 12 g"),
    ],
)
def test_the_most_gas_that_a_charge_can_give_is_said(found: Callable[[Dangers], Finding], said: str) -> None:
    """2 g NaF hold 2 / 41.988 × 20.006 = 0.953 g HF; 10 g cobalt oxalate 10 / 182.98 × 28.010 = 1.531 g CO, rounded up.

    5 g of charcoal, known by its name, 5 / 12.011 × 28.010 = 11.66 g.
    """
    assert said in found(Dangers()).say


@pytest.mark.parametrize(
    ("inside", "coming", "say"),
    [
        ("NaF rinses", "HCl", "Acid frees HF from this fluoride."),
        ("vinegar", "cleaning bleach", "Acid frees chlorine from this bleach."),
        ("prussian blue", "citric acid", "Acid frees hydrogen cyanide from this cyanide."),
        ("ultramarine", "dilute H2SO4", "Acid frees H2S from this sulfide."),
        ("acetone", "Bi(NO3)3*5H2O", "Bi(NO₃)₃·5H₂O with acetone can catch fire."),
        ("permanganate", "sugar", "Permanganate with sugar can catch fire."),
    ],
)
def test_what_meets_in_a_container_is_named(inside: str, coming: str, say: str) -> None:
    """Whichever comes first, and what a container was set up for counts as being in it."""
    for first, second in ((inside, coming), (coming, inside)):
        bench = Dangers()
        [found] = bench.at_waste(bench.container(first), second).values()
        assert found.effect == "block" and say in found.say


def test_the_powder_behind_a_rinse_counts_by_what_it_was_made_of() -> None:
    """A fluoride flux: its rinse is plain water by its words."""
    bench = Dangers()
    powder = bench.powder(("ZrO2", 5.0), ("SiO2", 2.0), ("NaF", 1.0))
    assert "waste-acid" in bench.at_waste(bench.container("acids"), "rinse water", from_=powder)
    assert not bench.at_waste(bench.container("acids"), "rinse water")


def test_a_container_that_would_overflow_says_so() -> None:
    bench = Dangers()
    thing = bench.container("rinses", capacity_ml=1000.0, volume_ml=900.0)
    assert bench.at_waste(thing, "rinse", volume_ml=101.0)["waste-full"].effect == "block"
    assert not bench.at_waste(thing, "rinse", volume_ml=100.0)


def test_what_went_in_against_a_rule_is_a_flag_of_the_container() -> None:
    bench = Dangers()
    thing = bench.container("ultramarine rinses", "acid rinse", "plain water")
    [flag] = flags_of(bench.state, thing, LIBRARY)
    assert flag.say.startswith("Went in although: Acid frees H2S") and flag.record


def test_a_careful_lighting_is_open() -> None:
    assert not stops(list(Dangers().at_light(*BLUE).values()))


def test_a_planned_and_protected_hot_pull_is_open() -> None:
    assert not stops(list(opening(900.0, **HOT)(Dangers()).values()))


@pytest.mark.parametrize(
    ("who", "why", "lifts"), [("Ida", "a white blank came out white", True), ("Ida", " ", False), (" ", "x", False)]
)
def test_a_recorded_decision_lifts_what_its_rule_lets_it(who: str, why: str, lifts: bool) -> None:
    """Manganese dioxide with charcoal: lifted by a named person with a reason, and by nobody else."""
    bench = Dangers()
    thing = bench.batch(lines(("MnO2", 3.0), ("charcoal", 1.0)))
    bench.weigh(thing, 3.0, 1.0)
    bench.add("rule.overridden", {"rule": "oxide-fuel", "step": "mix", "who": who, "why": why}, thing)
    rules = {f.rule for f in gate_batch(bench.state, "mix", thing, LIBRARY)}
    assert ("oxide-fuel" not in rules) is lifts


def test_no_decision_lifts_a_refusal_or_a_block_that_stands_for_good() -> None:
    bench = Dangers()
    firing = bench.loaded(*BLUE, dry=False)
    bench.ticked(firing, but=("light-purge",))
    for rule in ("damp-charge", "purge", "checks-before-lighting", "no-emergency-number"):
        bench.add("rule.overridden", {"rule": rule, "step": "light", "who": "Ida", "why": "in a hurry"}, firing)
    assert {"damp-charge", "purge", "checks-before-lighting"} <= set(bench.lighting(firing))


def test_no_emergency_number_and_a_check_that_says_stop() -> None:
    bench = Dangers()
    firing = bench.loaded(*BLUE)
    bench.ticked(firing)
    bench.setting("emergency_number", "")
    assert bench.lighting(firing)["no-emergency-number"].effect == "block"
    bench.check(firing, "light-joints", "not-done")
    assert bench.lighting(firing)["check-says-stop"].effect == "block"


def test_there_are_at_least_thirty_and_all_three_effects() -> None:
    assert len({danger.name for danger in DANGERS}) >= 30
    assert {danger.effect for danger in DANGERS} == {"refuse", "block", "flag"}
