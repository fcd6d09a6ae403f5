"""Grinding and mixing: the medium, the streak, and what must not be ground in what."""

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.screens.making import Making
from tests.workshop.builder import lines

ID = "01K9V0000000000000000000A1"
ZINC = (("ZnO", 5.7), ("CoO", 1.5))
NITRATE = (("Co(NO3)2*6H2O", 5.0), ("Al(OH)3", 4.0))


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    """Earlier steps."""
    return Making(app, keeper)


def mortar(make: Making, parts: tuple[tuple[str, float], ...] = ZINC) -> str:
    """A batch that is weighed."""
    thing = make.batch(lines(*parts), name="green")
    make.weigh(thing, *(g for _, g in parts))
    return thing


def mixed(make: Making, thing: str) -> list[Any]:
    """What stands recorded of it."""
    return [r.body for r in make.state.own(thing, "mixed")]


def test_the_screen(make: Making, client: FlaskClient) -> None:
    """It asks for medium, minutes and streak, with the cautions of grinding and who decides."""
    said = client.get(f"/batch/{mortar(make)}/grind").text
    for words in ("Alcohol", "Streak on white paper", "Grind wet where you can", "the SDS of your jar", "Dust"):
        assert words in said or words.lower() in said, words


def test_ground_wet_and_on_to_drying(make: Making, client: FlaskClient, send: Any) -> None:
    """In water, ten minutes, an even streak."""
    thing = mortar(make)
    answer = send(f"/batch/{thing}/grind", medium="water", minutes="10,5", streak="even")
    assert answer.status_code == 303 and answer.location == f"/batch/{thing}/grind/done"
    [body] = mixed(make, thing)
    assert (body.medium, body.minutes, body.streak) == ("water", 10.5, "even")
    assert "Dry" in client.get(answer.location).text


def test_on_to_the_crucible_where_the_batch_before_went_there_at_once(make: Making, send: Any) -> None:
    """One that was ground wet and filled damp; but not one that went through a dish, nor one that is told late."""
    first, second, third, late = (mortar(make) for _ in range(4))
    make.add("mixed", {"medium": "water", "minutes": 5.0, "streak": "even"}, first)
    make.charge({"batch": first, "g": 10.0}, wet_g=14.0)
    wet = {"medium": "water", "streak": "even"}
    assert send(f"/batch/{second}/grind", wet).location == f"/batch/{second}/load"
    assert send(f"/batch/{late}/grind", wet, happened="00:05").location == f"/batch/{late}/grind/done"
    make.add("dried", {"where": "dish", "mass_g": 10.0}, first)
    assert send(f"/batch/{third}/grind", wet).location == f"/batch/{third}/grind/done"


def test_specks_ask_for_more(make: Making, client: FlaskClient, send: Any) -> None:
    """Specks bring the same screen again, which says so."""
    thing = mortar(make)
    dust = {"answer.weigh-mask": "done", "answer.weigh-dust-control": "done"}
    answer = send(f"/batch/{thing}/grind", dust, medium="dry", minutes="3", streak="specks")
    assert answer.location == f"/batch/{thing}/grind"
    assert "Specks in the streak" in client.get(answer.location).text


def test_harmful_dust_is_ground_dry_only_behind_a_mask(make: Making, client: FlaskClient, send: Any) -> None:
    """Dry, both are answered once a sitting and a mask that leaks holds the key; wet or harmless, nothing is asked."""
    thing = make.batch(lines(("Co3O4", 4.0), ("Al2O3", 5.0)))
    make.weigh(thing, 4.0, 5.0)
    path, mask, dust = f"/batch/{thing}/grind", "answer.weigh-mask", "answer.weigh-dust-control"
    assert f'name="{mask}"' in client.get(path).text
    assert send(path, medium="dry").status_code == 422
    held = send(path, {mask: "not-done", dust: "done"}, medium="dry")
    assert held.status_code == 422 and "Fit it, shave or change the mask" in held.text
    assert not make.state.own(thing, "mixed")
    assert send(path, medium="water").status_code == 303
    assert send(path, {mask: "done", dust: "not-done"}, medium="dry").status_code == 303
    again = client.get(path).text
    assert f'name="{mask}"' not in again and f'name="{dust}"' in again
    chalk = make.batch(lines(("CaCO3", 4.0)))
    make.weigh(chalk, 4.0)
    assert f'name="{mask}"' not in client.get(f"/batch/{chalk}/grind").text


def test_what_excused_the_mask_at_the_balance_excuses_it_nowhere_else(
    make: Making, client: FlaskClient, send: Any
) -> None:
    """Damp cobalt oxide is weighed without; the same powder is not ground dry without, whatever was said before."""
    thing = make.batch(lines(("Co3O4", 4.0), ("Al2O3", 5.0)))
    mask, dust = "answer.weigh-mask", "answer.weigh-dust-control"
    excused = {mask: "does-not-apply", dust: "does-not-apply"}
    assert send(f"/batch/{thing}/weigh", excused).status_code == 303
    make.weigh(thing, 4.0, 5.0)
    path = f"/batch/{thing}/grind"
    said = client.get(path).text
    assert f'name="{mask}"' in said and said.count('value="does-not-apply"') == 1  # extraction: a closed box
    assert send(path, excused, medium="dry").status_code == 422
    assert not make.state.own(thing, "mixed")
    assert send(path, {mask: "done", dust: "does-not-apply"}, medium="dry").status_code == 303


def test_weigh_first(make: Making, client: FlaskClient, send: Any) -> None:
    """What is not weighed is not ground; that it was ground in fact can be entered."""
    thing = make.batch(lines(*ZINC))
    said = client.get(f"/batch/{thing}/grind").text
    assert "Weigh everything first" in said and 'form="ask"' not in said
    assert send(f"/batch/{thing}/grind", medium="water").status_code == 422
    assert send(f"/batch/{thing}/grind", medium="water", happened="00:05").status_code == 303


def test_a_nitrate_is_never_ground_in_alcohol(make: Making, send: Any) -> None:
    """Nitrate with a liquid that burns is refused, whatever is ticked; in water it goes."""
    thing = mortar(make, NITRATE)
    for medium in ("alcohol", "acetone"):
        answer = send(f"/batch/{thing}/grind", medium=medium, no_flame="1")
        assert answer.status_code == 422 and "can explode" in answer.text and not mixed(make, thing)
    unknown = send(f"/batch/{thing}/grind", medium="other", medium_name="white spirit", no_flame="1")
    assert unknown.status_code == 422
    assert send(f"/batch/{thing}/grind", medium="water").status_code == 303


def test_acetone_keeps_off_the_fire(make: Making, send: Any) -> None:
    """A liquid that burns needs to know that no flame is near."""
    thing = mortar(make)
    answer = send(f"/batch/{thing}/grind", medium="acetone")
    assert answer.status_code == 422 and "stay 10 m off" in answer.text
    assert send(f"/batch/{thing}/grind", medium="acetone", no_flame="1").status_code == 303


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({}, "Choose one of these"),
        ({"medium": "lava"}, "Choose one of these"),
        ({"medium": "other"}, "Say which liquid"),
        ({"medium": "other", "medium_name": "x" * 100_000}, "at most 80"),
        ({"medium": "other", "medium_name": "a\x00b"}, "control character"),
        ({"medium": "dry", "minutes": "ten"}, "is not a number"),
        ({"medium": "dry", "minutes": "-1"}, "Enter 0 or more"),
        ({"medium": "dry", "minutes": "1e9"}, "number"),
        ({"medium": "dry", "minutes": "1.000,5"}, "one decimal mark only"),
        ({"medium": "dry", "streak": "fine"}, "Choose one of these"),
    ],
)
def test_what_cannot_be_used(make: Making, send: Any, sent: dict[str, str], said: str) -> None:
    """A sentence beside the field, nothing recorded."""
    thing = mortar(make)
    answer = send(f"/batch/{thing}/grind", sent)
    assert answer.status_code == 422 and said in answer.text and not mixed(make, thing)


def test_sent_twice_it_is_one(make: Making, send: Any) -> None:
    """One submit is one record."""
    thing = mortar(make)
    for _ in range(2):
        assert send(f"/batch/{thing}/grind", record_id=ID, medium="water").status_code == 303
    assert len(mixed(make, thing)) == 1


def test_unknown_things(client: FlaskClient, send: Any) -> None:
    """A calm page."""
    for path in (f"/batch/{ID}/grind", f"/batch/{ID}/grind/done"):
        assert client.get(path).status_code == 404
    assert send(f"/batch/{ID}/grind", medium="dry").status_code == 404
