"""What a phone on its own holds against a step, in a real browser: what its forms say against what it knows."""

from functools import partial
from typing import Any

import pytest

from bench.steps import BY_VERB, HOUSE
from bench.steps.doubting import doubted
from tests.steps.test_doubting import AT, CHARGE, POWDER
from tests.steps.test_doubting import BATCH as DRIED
from tests.steps.test_doubting import POT as POT_KNOWN
from tests.vectors.files import alike

ONE_BATCH = DRIED | {"masses_g": [20.0]}

NEW = {"in_heat": False, "out": False, "ended": False, "was_hot": False, "surface_c": None, "firing": None}
DRY = NEW | {"sort": "charge", "source_damp": False, "masses_g": [], "firings": []}
DAMP = DRY | {"source_damp": True}
IDS = {name: str(n) * 26 for n, name in enumerate(("fire", "plan", "dry", "damp", "hot", "gone", "batch", "pot"))}
FIRE, PLAN, BATCH, POT = (IDS[name] for name in ("fire", "plan", "batch", "pot"))
KNOWN: dict[str, dict[str, Any]] = {
    "fire": {"sort": "firing", "lit_ms": 1, "off_ms": None, "closed": False, "checks": {}},
    "plan": {"sort": "firing", "lit_ms": None, "off_ms": None, "closed": False, "checks": {}},
    "dry": DRY | {"of": "Green", "code": "GHJKMN", "crucible": POT, "firing": FIRE, "firings": [FIRE]},
    "damp": DAMP | {"of": "Damp C", "code": "T5C7HJ", "firing": PLAN, "firings": [PLAN], "place": "1.1.1"},
    "hot": DRY | {"of": "White", "code": None, "firing": FIRE, "firings": [FIRE], "in_heat": True, "was_hot": True},
    "gone": DRY | {"of": "Blue", "code": "0000AA", "ended": True},
    "batch": {"sort": "batch", "ended": False, "lines": [{"name": "ZnO", "weighed_g": None}]},
}
THINGS = {IDS[name]: one | {"id": IDS[name]} for name, one in KNOWN.items()}
CODES = {
    "GHJKMN": ["Green", f"/charge/{IDS['dry']}"],
    "7K3MQX": ["zinc oxide", "/jar/1"],
    "0A0A0A": ["crucible 9", "/crucible/9"],
}
ASK = """async ([path, pairs, things, codes]) => {
  const { doing, houseOf } = await import('/static/away.js');
  const { stopsOf } = await import('/static/ways.js');
  const here = houseOf(await (await fetch('/steps.json')).json());
  const found = stopsOf(here, things, doing(here, things, path, pairs), codes);
  return found.filter((one) => one.effect !== 'flag').map(({ rule }) => rule);
}"""


@pytest.fixture
def held(browser_page: Any) -> Any:
    """The rules that stand against what a form at an address would record."""
    browser_page.goto("/look/fields")

    def ask(path: str, **fields: str) -> list[str]:
        pairs = [[name, IDS.get(value, value)] for name, value in fields.items()]
        found: list[str] = browser_page.evaluate(ASK, [path, pairs, THINGS, CODES])
        return found

    return ask


def test_what_goes_in_and_out(held: Any) -> None:
    fire, plan = f"/firing/{FIRE}", f"/firing/{PLAN}"
    assert held(f"{fire}/in", charge="dry") == held(f"{fire}/in", code="ghjkm-n") == []
    assert held(f"{fire}/in", code="T5C7H-J") == ["damp", "not-placed"]
    assert held(f"{plan}/in", charge="damp") == ["damp"], "placed there, and damp all the same"
    assert held(f"{fire}/in", charge="hot") == ["in-heat"]
    assert held(f"{fire}/in", charge="gone") == ["charge-ended"]
    assert held(f"{fire}/in", code="7K3MQX") == ["no-crucible"] and held(f"{fire}/in", code="0A0A0A") == ["empty"]
    assert held(f"{fire}/in", code="ZZZZZZ") == [], "of what it does not know a phone says nothing"
    assert held(f"{fire}/out", charge="hot") == ["hot-pull-unplanned"] and held(f"{fire}/all-out") == []
    assert held(f"{fire}/out", charge="dry") == held(f"{plan}/out", charge="hot") == ["not-inside"]


def test_a_phone_asks_what_the_laptop_asks(browser_page: Any) -> None:
    """At the edges of what can be: the same fields, figures and sentences on both sides."""
    browser_page.goto("/look/fields")
    known = {one["id"]: one for one in (CHARGE, POWDER, ONE_BATCH, POT_KNOWN)}
    cases = [
        ["open", "CHARGE", {"at": AT, "gross_g": g, "tare_after_g": tare}]
        for g in (39.99, 40.0, 56.89, 56.91, 560.0)
        for tare in (40.0, 4.0)
    ]
    cases += [["dry-weigh", "POWDER", {"at": AT - 1, "net_g": g}] for g in (0.993, 9.93, 10.59, 10.61, 99.3)]
    cases += [["dry", "BATCH", {"at": AT, "mass_g": g}] for g in (2.0, 12.0, 21.09, 21.11, 200.0)]
    script = """async ([cases, things]) => {
      const { houseOf } = await import('/static/away.js');
      const { doubtsOf } = await import('/static/doubts.js');
      const here = houseOf(await (await fetch('/steps.json')).json(), { places: 2 });
      return cases.map(([verb, id, data]) => doubtsOf(here, things, here.steps.get(verb), id, data));
    }"""
    for (verb, thing, data), found in zip(cases, browser_page.evaluate(script, [cases, known]), strict=True):
        look = partial(HOUSE.look, known, thing)
        own = doubted(BY_VERB[verb], look, data, str, "{:.2f}".format, lambda _ms: "")
        named = [[one["name"], one["value"], one["slip"]] for one in found]
        assert alike(named, [[one.name, one.value, one.slip] for one in own]), (verb, data)
        assert [one["say"] for one in found if one["name"] != "happened"] == [
            one.say for one in own if one.name != "happened"
        ]


def test_a_crucible_that_is_full_and_a_batch_that_is_not_weighed(held: Any) -> None:
    load = f"/batch/{BATCH}/load"
    assert held(load, code="GHJKM-N") == held(load, crucible=POT) == ["weigh-first", "full"]
    assert held(load, code="0A0A0A") == held(f"/batch/{BATCH}/grind") == ["weigh-first"]
    assert held(load, code="7K3MQX") == ["weigh-first", "no-crucible"]


def test_a_place_that_is_hot_or_taken(held: Any) -> None:
    def place(charge: str, firing: str, where: str) -> list[str]:
        found: list[str] = held(f"/charge/{IDS[charge]}/place", firing=firing, place=where)
        return found

    assert place("damp", "plan", "1.1.1") == []
    assert place("damp", "fire", "1.1.1") == ["damp"]
    assert place("dry", "plan", "1.1.1") == ["place-taken"]
    assert place("hot", "plan", "1.2.1") == ["charge-elsewhere"]
    assert place("gone", "plan", "1.2.1") == ["charge-ended"]
    assert held(f"/firing/{FIRE}/map", code="T5C7HJ", place="1.2.1") == ["damp"], "by tap on the map as well"


def test_a_fire_is_not_lit_over_a_damp_charge(held: Any) -> None:
    assert held(f"/firing/{PLAN}/light") == ["damp-charge"] and held(f"/firing/{FIRE}/light") == ["already-lit"]
    hot, dry = f"/charge/{IDS['hot']}", f"/charge/{IDS['dry']}"
    assert held(f"{hot}/dry") == ["in-heat"]
    assert held(f"{hot}/open") == ["hot"] and held(f"{dry}/open") == []
