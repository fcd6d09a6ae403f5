"""What can hardly be right is asked, just outside its bound and not just inside: by the declarations alone."""

from typing import Any

import pytest

from bench.steps import BY_VERB, HOUSE
from bench.steps.doubting import doubted, unsure

AT = 10_000_000.0
POT = {"sort": "crucible", "id": "POT", "tare_g": 40.0}
CHARGE = {
    "sort": "charge",
    "id": "CHARGE",
    "made_ms": AT,
    "g": 16.0,
    "wet_g": None,
    "gross_g": None,
    "tare_g": 40.0,
    "most_share": 1.0,
    "masses_g": [],
    "in_ms": None,
    "out_ms": None,
}
POWDER = {
    "sort": "pigment",
    "id": "POWDER",
    "made_ms": AT,
    "mass_g": 10.0,
    "gone_g": 0.0,
    "taken_g": 0.0,
    "salty": False,
}
BATCH = {
    "sort": "batch",
    "id": "BATCH",
    "mixed_ms": AT,
    "masses_g": [],
    "lines": [{"weighed_g": 20.0}],
    "gone_g": 0.0,
}


def asked(verb: str, thing: dict[str, Any], **data: Any) -> dict[str, float | None]:
    """The fields that are asked about, each with how many times ten it is what is expected."""
    things = {one["id"]: one for one in (thing, POT)}
    said = {"at": AT, **data}
    found = doubted(BY_VERB[verb], lambda fields: HOUSE.look(things, thing["id"], fields), said, str, str, str)
    return {one.name: one.slip for one in found}


# 16 g in a crucible of 40 g: at most 16 g come out, and a twentieth and a tenth of a gram are left to the balance.
@pytest.mark.parametrize(
    ("gross_g", "fields"),
    [
        (56.0, {}),
        (56.89, {}),  # 40 + 16 * 1.05 + 0.1 is 56.9
        (56.91, {"gross_g": None}),
        (560.0, {"gross_g": 10.0}),
        (40.0, {}),
        (39.99, {"gross_g": None}),
        (5.6, {"gross_g": 0.1}),
    ],
)
def test_a_full_crucible_is_asked_outside_what_can_be_in_it(gross_g: float, fields: dict[str, Any]) -> None:
    assert asked("open", CHARGE, gross_g=gross_g) == fields


def test_of_an_unknown_crucible_the_difference_is_asked() -> None:
    unknown = CHARGE | {"tare_g": None}
    assert asked("open", unknown, gross_g=560.0) == {}  # nothing is known of it: nothing is asked
    assert asked("open", unknown, gross_g=56.8, tare_after_g=40.0) == {}
    assert asked("open", unknown, gross_g=57.0, tare_after_g=40.0) == {"gross_g": None}
    assert asked("open", unknown, gross_g=200.0, tare_after_g=40.0) == {"gross_g": 10.0}


def test_what_takes_oxygen_from_air_may_gain() -> None:
    """Iron to ferric oxide: 159.69 over 111.69 g, so 16 g become 22.88 g."""
    iron = CHARGE | {"most_share": 159.69 / 111.69}
    assert asked("open", iron, gross_g=62.88) == {}
    assert asked("open", iron, gross_g=64.13) == {"gross_g": None}


@pytest.mark.parametrize(
    ("tare_g", "fields"), [(41.0, {}), (38.0, {}), (4.0, {"tare_after_g": 0.1}), (400.0, {"tare_after_g": 10.0})]
)
def test_an_empty_crucible_is_asked_where_a_point_slipped(tare_g: float, fields: dict[str, Any]) -> None:
    assert asked("open", CHARGE, tare_after_g=tare_g) == fields
    assert asked("see", POT, tare_g=tare_g) == dict(zip(["tare_g"], fields.values(), strict=False))


@pytest.mark.parametrize(
    ("net_g", "fields"),
    [
        (9.93, {}),
        (10.59, {}),  # 10 * 1.05 + 0.1 is 10.6
        (10.61, {"net_g": None}),
        (99.3, {"net_g": 10.0}),
        (993.0, {"net_g": 100.0}),
        (3.0, {}),  # some of it may have been spilt, and nobody said so
        (0.993, {"net_g": 0.1}),
        (0.0, {}),
    ],
)
def test_a_dry_mass_is_held_against_what_stood_recorded(net_g: float, fields: dict[str, Any]) -> None:
    assert asked("dry-weigh", POWDER, net_g=net_g) == fields


def test_a_flux_that_was_washed_out_may_leave_a_tenth() -> None:
    assert asked("dry-weigh", POWDER | {"salty": True}, net_g=0.993) == {}


def test_a_powder_that_was_not_weighed_is_held_against_what_went_in() -> None:
    new = POWDER | {"mass_g": None, "most_g": 16.9}
    assert asked("dry-weigh", new, net_g=16.9) == {} and asked("dry-weigh", new, net_g=17.0) == {"net_g": None}
    assert asked("dry-weigh", new | {"most_g": None}, net_g=170.0) == {}


def test_drying_adds_nothing() -> None:
    once = BATCH | {"masses_g": [20.0]}
    assert asked("dry", once, mass_g=21.09) == {} and asked("dry", once, mass_g=21.11) == {"gross_g": None}
    assert asked("dry", once, mass_g=200.0) == {"gross_g": 10.0}
    assert asked("dry", once, mass_g=12.0) == {} and asked("dry", once, mass_g=2.0) == {"gross_g": 0.1}


def test_a_first_drying_may_be_heavy_with_water_or_light_without_that_of_a_hydrate() -> None:
    """20 g as paste weigh up to thrice that; washing soda, decahydrate, leaves 105.99 of 286.14 g: 37 %."""
    assert asked("dry", BATCH, mass_g=60.0, tare_g=100.0) == {} and asked("dry", BATCH, mass_g=7.4) == {}
    assert asked("dry", BATCH, mass_g=2.0) == {"gross_g": 0.1}
    assert asked("dry", BATCH, mass_g=6.3) == {"gross_g": None}, "under three tenths: a slip, or another vessel"
    wet = CHARGE | {"wet_g": 24.0}
    assert asked("dry", wet, mass_g=25.29) == {} and asked("dry", wet, mass_g=25.31) == {"gross_g": None}
    full = CHARGE | {"gross_g": 64.0}
    assert asked("dry", full, mass_g=25.29) == {} and asked("dry", full, mass_g=25.31) == {"gross_g": None}


def test_a_first_mass_over_what_went_in_is_asked_where_no_empty_vessel_was_typed() -> None:
    """20 g, a twentieth and a tenth of a gram more: the dish weighed along, or a balance that was zeroed with it."""
    assert asked("dry", BATCH, mass_g=21.09) == {} and asked("dry", BATCH, mass_g=21.11) == {"gross_g": None}
    assert asked("dry", BATCH, mass_g=51.3) == {"gross_g": None} and asked("dry", BATCH, mass_g=51.3, tare_g=30.0) == {}
    assert asked("dry", CHARGE, mass_g=56.2) == {"gross_g": None}


def test_what_is_filled_in_weighs_no_less_than_its_dry_powder() -> None:
    sources = [{"g": 5.0}, {"g": 3.0}]
    assert asked("load", BATCH, sources=sources, wet_g=8.0) == {}
    assert asked("load", BATCH, sources=sources, wet_g=7.99) == {"wet_g": None}
    assert asked("load", BATCH, sources=sources, wet_g=80.0) == {"wet_g": 10.0}
    assert asked("load", BATCH, sources=sources, gross_g=8.0) == {}
    assert asked("load", BATCH, sources=sources, gross_g=7.99) == {"gross_g": None}


@pytest.mark.parametrize(
    ("verb", "thing", "began"),
    [
        ("dry", BATCH, "mixed_ms"),
        ("dry", CHARGE, "made_ms"),
        ("place", CHARGE, "made_ms"),
        ("wash", POWDER, "made_ms"),
        ("open", CHARGE | {"out_ms": AT}, "out_ms"),
        ("come-out", CHARGE | {"in_ms": AT}, "in_ms"),
        ("shut-down", {"sort": "firing", "id": "FIRE", "lit_ms": AT}, "lit_ms"),
    ],
)
def test_a_time_before_its_thing_is_asked(verb: str, thing: dict[str, Any], began: str) -> None:
    assert thing[began] == AT
    assert "happened" not in asked(verb, thing)
    assert "happened" in asked(verb, thing, at=AT - 1)


def test_an_answer_is_good_for_its_figure_alone() -> None:
    things = {"CHARGE": CHARGE}

    def found(g: float) -> Any:
        said = {"at": AT, "gross_g": g}
        return doubted(BY_VERB["open"], lambda fields: HOUSE.look(things, "CHARGE", fields), said, str, str, str)

    assert [one.key for one in found(553.2)] == ["gross_g=553.2"]
    assert unsure(found(553.2), "gross_g=553.2") == [] and len(unsure(found(5532), "gross_g=553.2")) == 1
