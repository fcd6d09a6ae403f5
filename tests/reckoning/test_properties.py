"""What must hold for every plan: scaling, the way back, conservation, order, and refusals that name their field."""

import json
import random
from typing import Any

from hypothesis import assume, given, settings
from hypothesis import strategies as st
from pytest import approx

from bench.reckoning import KINDS, reckon
from bench.reference import load_library
from bench.science.refusal import Refusal

LIBRARY = load_library()
BATCHES: list[tuple[str, list[str]]] = [
    ("CoAl2O4", ["Co3O4", "Al(OH)3"]),
    ("Co0.8Zn0.2Al2O4", ["2CoCO3*3Co(OH)2", "ZnO", "NH4Al(SO4)2*12H2O"]),
    ("CaCuSi4O10", ["CaCO3", "Cu2CO3(OH)2", "SiO2"]),
    ("YIn0.8Mn0.2O3", ["Y2O3", "In2O3", "MnCO3"]),
    ("Ti0.85Cr0.075Sb0.075O2", ["TiO2", "Cr2O3", "Sb2O3"]),
    ("NH4MnP2O7", ["MnO2", "NH4H2PO4"]),
    ("Na7Al6Si6O24S3", ["Al2Si2O5(OH)4", "Na2CO3", "S"]),
    ("Ca5(PO4)3F", ["CaCO3", "CaF2", "(NH4)2HPO4"]),
]
plans = st.tuples(st.sampled_from(BATCHES), st.floats(0.01, 1000), st.lists(st.floats(40, 100), min_size=3, max_size=3))


def plan(batch: tuple[str, list[str]], product_g: float, assays: list[float], **more: Any) -> dict[str, Any]:
    target, formulas = batch
    reagents = [{"formula": text, "assay_pct": pct} for text, pct in zip(formulas, assays, strict=False)]
    return reckon("weigh-up", {"target": target, "product_g": product_g, "reagents": reagents, **more}, LIBRARY)


@given(plans, st.floats(0.01, 100))
def test_grams_scale_with_the_product(asked: tuple[Any, float, list[float]], factor: float) -> None:
    once, more = plan(*asked), plan(asked[0], factor * asked[1], asked[2])
    assert more["weigh_g"] == approx([factor * g for g in once["weigh_g"]], rel=1e-9)
    assert more["fired_g"] == approx(factor * once["fired_g"], rel=1e-9)
    assert more["loss_on_ignition_pct"] == approx(once["loss_on_ignition_pct"], abs=1e-7)


@given(plans)
def test_what_was_planned_becomes_the_target(asked: tuple[Any, float, list[float]]) -> None:
    batch, product_g, assays = asked
    found = plan(*asked)
    weighed = [
        {"formula": text, "g": g, "assay_pct": pct}
        for text, g, pct in zip(batch[1], found["weigh_g"], assays, strict=False)
    ]
    back = reckon("balance", {"target": batch[0], "weighed": weighed}, LIBRARY)
    assert back["target_g"] == approx(product_g, rel=1e-9)
    assert back["fired_g"] == approx(found["fired_g"], rel=1e-9)
    assert back["left_over"] == []
    for symbol, count in back["ratio_target"].items():
        if symbol not in ("N", "S", "F"):
            assert back["ratio_actual"][symbol] == approx(count, rel=1e-9)


@given(plans, st.floats(0, 30))
def test_mass_is_conserved(asked: tuple[Any, float, list[float]], salt_g: float) -> None:
    batch, product_g, assays = asked
    reagents = [{"formula": text, "assay_pct": pct} for text, pct in zip(batch[1], assays, strict=False)]
    reagents.append({"formula": "Na2SO4*10H2O", "fate": "washed-out", "g": salt_g + 0.01})
    reagents.append({"formula": "rosin", "fate": "burns-out", "g": 0.5})
    found = reckon("weigh-up", {"target": batch[0], "product_g": product_g, "reagents": reagents}, LIBRARY)
    evolved_g = sum(each["g"] for each in found["evolved"])
    assert found["charge_g"] == approx(found["fired_unwashed_g"] + evolved_g, abs=1e-9 * found["charge_g"])
    by_parts = sum(each["g"] for line in found["evolved_by_reagent"] for each in line["evolved"])
    assert by_parts <= found["charge_g"]


@given(plans, st.randoms())
def test_order_does_not_matter(asked: tuple[Any, float, list[float]], draw: random.Random) -> None:
    (target, formulas), product_g, assays = asked
    lines = [{"formula": text, "assay_pct": pct} for text, pct in zip(formulas, assays, strict=False)]
    turned = draw.sample(lines, len(lines))
    one = reckon("weigh-up", {"target": target, "product_g": product_g, "reagents": lines}, LIBRARY)
    other = reckon("weigh-up", {"target": target, "product_g": product_g, "reagents": turned}, LIBRARY)
    for line, g in zip(lines, one["weigh_g"], strict=True):
        assert other["weigh_g"][turned.index(line)] == approx(g, rel=1e-9)
    assert other["fired_g"] == approx(one["fired_g"], rel=1e-9)


scrap = st.recursive(
    st.one_of(
        st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=20), st.sampled_from(["ZnO", "CoO"])
    ),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)


@settings(max_examples=300)
@given(st.sampled_from(sorted(KINDS)), st.data())
def test_every_refusal_of_a_spoilt_example_names_its_field(name: str, data: st.DataObject) -> None:
    """One value of the example that runs is spoilt: the answer is an answer, or a refusal that names a field."""
    asked = json.loads(json.dumps(KINDS[name].example))
    spots = [(asked, key) for key in asked]
    for value in asked.values():
        for item in value if isinstance(value, list) else []:
            if isinstance(item, dict):
                spots += [(item, key) for key in item]
    where, key = data.draw(st.sampled_from(range(len(spots))).map(lambda i: spots[i]))
    spoilt = data.draw(scrap)
    assume(spoilt != where[key])
    where[key] = spoilt
    try:
        found = reckon(name, asked, LIBRARY)
    except Refusal as refusal:
        assert refusal.field
        assert refusal.say.endswith((".", "?"))
    else:
        assert found["working"]
        json.dumps(found, allow_nan=False)


def test_ten_thousand_random_strings_over_all_kinds() -> None:
    """An answer or a clean refusal, never anything else."""
    draw = random.Random(11)
    letters = 'CoAlZnOHSiNaKPb(){}[]0123456789.,*·+-^ "\\/\nxéо₂\x00\ud800'
    names = sorted(KINDS)
    for i in range(10_000):
        name = names[i % len(names)]
        kind = KINDS[name]
        text = "".join(draw.choices(letters, k=draw.randint(0, 80)))
        asked: Any = json.loads(json.dumps(kind.example))
        key = draw.choice(list(asked))
        if isinstance(asked[key], list) and isinstance(asked[key][0], dict) and draw.random() < 0.7:
            item = draw.choice(asked[key])
            item[draw.choice(list(item))] = text
        else:
            asked[key] = draw.choice([text, [text], {text: 1}, {"formula": text}])
        try:
            reckon(name, asked, LIBRARY)
        except Refusal as refusal:
            assert refusal.say
