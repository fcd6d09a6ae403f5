"""Loading: which crucible, how much, under which lid, whether it fits, and what must not go together."""

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.workshop.things.batches import batch
from bench.workshop.things.charges import charge
from bench.workshop.things.crucibles import crucible
from bench.workshop.things.pigments import generation
from tests.screens.making import Making, errors
from tests.workshop.builder import lines

ID = "01K9V0000000000000000000A1"
OTHER = "01K9V0000000000000000000A2"
CODES = ("T5C7HJ", "9QH2FB", "7K3MQX", "8ZC4D9")
ZINC = (("ZnO", 5.7), ("CoO", 1.5))
PLAN = {"schedule": [{"to_c": 1000.0, "hold_min": 240.0}], "cooling_mode": "in-furnace", "cooling_basis": "planned"}


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    """Earlier steps."""
    return Making(app, keeper)


@pytest.fixture
def vessels(make: Making) -> list[str]:
    """A free crucible of 30 ml with a code, and a porcelain one of 12 ml."""
    found = [make.crucible(40.0), make.crucible(20.0, ware="glazed-porcelain", volume_ml=12.0, rated_c=1050.0)]
    for thing, code in zip(found, CODES, strict=False):
        make.coded(thing, code)
    return found


def ready(make: Making, parts: tuple[Any, ...] = ZINC, *, checked: bool = True, **plan: Any) -> str:
    """A batch that is weighed, mixed and dry, with its checks answered."""
    thing = make.ready_batch(lines(*parts), name="green", **(PLAN | plan))
    if checked:
        make.checked(thing, "before-loading")
    return thing


def charges(make: Making) -> list[Any]:
    """All charges."""
    return [charge(make.state, thing) for thing in make.state.things("charge")]


def test_the_checks_come_first_and_damp_is_not_asked(make: Making, vessels: list[str], client: FlaskClient,
                                                        send: Any) -> None:  # fmt: skip
    """A crucible that did not pass holds the loading; whether it is damp the bench knows, and holds the lighting."""
    thing = ready(make, checked=False)
    assert client.get(f"/batch/{thing}/load").text.count('value="not-done"') == 1
    said = client.get(f"/batch/{thing}/load?checks=1").text
    assert (
        "Since its last fire each crucible rang clear and showed no crack" in said
        and 'name="answer.load-dry"' not in said
    )
    asked = ("load-isolator", "load-crucible-sound", "weigh-mask", "weigh-dust-control")
    sent = {f"answer.{one}": "done" for one in asked} | {"part": "checks"}
    assert send(f"/batch/{thing}/load", sent).status_code == 303
    assert "code on the crucible" in client.get(f"/batch/{thing}/load").text
    send(f"/batch/{thing}/load", {"part": "checks", "answer.load-crucible-sound": "not-done"})
    refused = send(f"/batch/{thing}/load", code=CODES[0], g="7.2", lid="loose")
    assert refused.status_code == 422 and "answered with not done" in refused.text and not charges(make)


def test_a_crucible_by_its_code(make: Making, vessels: list[str], client: FlaskClient, send: Any) -> None:
    """What is left is offered; the charge bears the crucible's code; the batch is used up."""
    thing = ready(make)
    said = client.get(f"/batch/{thing}/load").text
    assert ">7.20<" in said and 'value="7.2"' in said and "glazed porcelain" in said and "the SDS of your jar" in said
    answer = send(f"/batch/{thing}/load", record_id=ID, code="t5c7h-j", g="7,2", lid="loose")
    assert answer.status_code == 303 and answer.location == f"/charge/{ID}/place"
    [view] = charges(make)
    assert (view.crucible, view.crucible_code, view.dry_g, view.charged.lid) == (vessels[0], CODES[0], 7.2, "loose")
    assert view.state == "dry" and batch(make.state, thing).state == "used-up"  # type: ignore[union-attr]
    said = client.get(f"/charge/{ID}").text
    assert "T5C7H-J" in said and "green" in said and "Place for a firing" in said


def test_from_the_list_and_shared(make: Making, vessels: list[str], client: FlaskClient, send: Any) -> None:
    """What is left over two crucibles is half of it."""
    thing = ready(make)
    assert 'value="3.6"' in client.get(f"/batch/{thing}/load?share=2").text
    assert send(f"/batch/{thing}/load", crucible=vessels[0], g="3.6", lid="loose").status_code == 303
    assert batch(make.state, thing).left_g == pytest.approx(3.6)  # type: ignore[union-attr]
    said = client.get(f"/charge/{make.state.things('charge')[0]}").text
    assert "Fill the next crucible" in said and f"/batch/{thing}/load" in said


def test_a_wet_paste_by_its_share(make: Making, vessels: list[str], client: FlaskClient, send: Any) -> None:
    """5 g of 12.5 g of paste hold 40 % of the dry batch; the charge Counts as damp."""
    thing = make.batch(lines(*ZINC), name="green", **PLAN)
    make.weigh(thing, 5.7, 1.5)
    make.mixed(thing, "water")
    make.checked(thing, "before-loading")
    assert "Paste as it goes in" in client.get(f"/batch/{thing}/load").text
    answer = send(f"/batch/{thing}/load", code=CODES[0], wet_g="5", paste_g="12.5", lid="loose", record_id=ID)
    assert answer.status_code == 303
    [view] = charges(make)
    assert view.dry_g == pytest.approx(2.88) and view.state == "damp"
    assert (
        send(f"/batch/{thing}/load", code=CODES[0], wet_g="5", paste_g="12.5", lid="loose", record_id=ID).status_code
        == 303
    )


def test_by_the_balance(make: Making, vessels: list[str], send: Any) -> None:
    """Without grams the full crucible less its tare counts; grams that do not agree with it are asked about."""
    thing = ready(make)
    odd = send(f"/batch/{thing}/load", code=CODES[0], g="3", gross_g="47.2", lid="loose")
    assert odd.status_code == 422 and "The balance shows 7.20 g" in odd.text and "Yes, as weighed" in odd.text
    assert send(f"/batch/{thing}/load", code=CODES[0], g="", gross_g="47.2", lid="loose").status_code == 303
    assert charges(make)[0].dry_g == pytest.approx(7.2)


def test_several_sources(make: Making, vessels: list[str], send: Any) -> None:
    """A salt from its jar goes in as a further source, by the jar's tag."""
    thing = ready(make)
    salt = make.jar("KCl", "potassium-chloride", net_g=500.0)
    make.coded(salt, CODES[2])
    sent = {"code": CODES[0], "g": "7.2", "lid": "loose", "more_code.0": CODES[2], "more_g.0": "12"}
    assert send(f"/batch/{thing}/load", sent).status_code == 303
    [view] = charges(make)
    assert [(s.batch, s.jar, s.g) for s in view.charged.sources] == [(thing, None, 7.2), (None, salt, 12)]


def test_an_occupied_or_ended_crucible(make: Making, vessels: list[str], client: FlaskClient, send: Any) -> None:
    """It is not filled twice, and a cracked one is not filled at all; what was done in fact can be entered."""
    thing = ready(make)
    assert send(f"/batch/{thing}/load", code=CODES[0], g="3", lid="loose").status_code == 303
    again = send(f"/batch/{thing}/load", code=CODES[0], g="3", lid="loose", record_id=OTHER)
    assert again.status_code == 422 and "still holds a charge" in again.text and len(charges(make)) == 1
    make.seen(vessels[1], "cracked")
    cracked = send(f"/batch/{thing}/load", code=CODES[1], g="3", lid="loose", record_id=OTHER)
    assert cracked.status_code == 422 and "take another" in cracked.text
    late = send(f"/batch/{thing}/load", code=CODES[1], g="3", lid="loose", record_id=OTHER, happened="00:10")
    assert late.status_code == 303 and len(charges(make)) == 2


@pytest.mark.parametrize(
    ("parts", "sent", "plan", "said"),
    [
        ((("CaCO3", 5.0), ("SiO2", 5.0)), {"lid": "sealed"}, {}, "Gas bursts a sealed lid"),
        ((("Co(NO3)2*6H2O", 5.0), ("Al(OH)3", 4.0)), {"packing": "charcoal"}, {}, "Nitrate with charcoal can explode"),
        (ZINC, {}, {"schedule": [{"to_c": 1600.0}]}, "Peak 1600 °C exceeds this crucible"),
        ((("Na2B4O7*10H2O", 20.0), ("CoCO3", 2.0)), {}, {}, "This charge swells"),
    ],
)
def test_dangerous_fillings(
    make: Making, vessels: list[str], send: Any, parts: Any, sent: dict[str, str], plan: Any, said: str
) -> None:
    """Each meets its rule, and nothing is recorded."""
    thing = ready(make, parts, **plan)
    g = sum(part[1] for part in parts)
    answer = send(f"/batch/{thing}/load", {"code": CODES[0], "g": str(g), "lid": "loose", **sent})
    assert answer.status_code == 422 and said in answer.text and not charges(make)


def test_porcelain_at_1250(make: Making, send: Any) -> None:
    """A porcelain crucible without a rating of its own is held to its ware's."""
    thing = ready(make, schedule=[{"to_c": 1250.0}])
    make.coded(make.crucible(20.0, ware="glazed-porcelain", volume_ml=30.0, rated_c=None), CODES[0])
    answer = send(f"/batch/{thing}/load", code=CODES[0], g="7.2", lid="loose")
    assert (
        answer.status_code == 422
        and "Peak 1250 °C exceeds this crucible’s 1000 °C" in answer.text
        and not charges(make)
    )


def test_a_decision_lifts_what_may_be_lifted(make: Making, vessels: list[str], send: Any) -> None:
    """A swelling charge is loaded by a named decision that is recorded with it; half a decision is refused."""
    thing = ready(make, (("Na2B4O7*10H2O", 20.0), ("CoCO3", 2.0)))
    sent = {"code": CODES[0], "g": "22", "lid": "loose", "record_id": ID}
    half = send(f"/batch/{thing}/load", sent | {"who.froth-fill": "Asha"})
    assert half.status_code == 422 and "Type why" in half.text
    whole = sent | {"who.froth-fill": "Asha", "why.froth-fill": "dehydrated slowly on a hot plate first"}
    assert [send(f"/batch/{thing}/load", whole).status_code for _ in range(2)] == [303, 303]
    [decision] = make.state.own(ID, "rule.overridden")
    assert decision.body.rule == "froth-fill" and len(charges(make)) == 1


def test_too_full_is_flagged_with_its_working(make: Making, vessels: list[str], client: FlaskClient, send: Any) -> None:
    """7.2 g of loose oxides in 12 ml: the list says which crucible is too small, and why."""
    make.coded(make.crucible(15.0, volume_ml=6.0), CODES[2])
    thing = ready(make)
    said = client.get(f"/batch/{thing}/load").text
    assert "too small" in said and "66.7 % is the most" in said and "loose" in said
    assert send(f"/batch/{thing}/load", code=CODES[2], g="7.2", lid="loose").status_code == 303


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({"g": "7", "lid": "loose"}, "Type the crucible’s code"),
        ({"code": "T5C7HK", "g": "7", "lid": "loose"}, ""),
        ({"code": "K48TWF", "g": "7", "lid": "loose"}, "No item has this code"),
        ({"code": "7K3MQX", "g": "7", "lid": "loose"}, "the tag of a batch"),
        ({"crucible": ID, "g": "7", "lid": "loose"}, "Type the crucible’s code"),
        ({"crucible": "x", "g": "7", "lid": "loose"}, "The bench does not have this"),
        ({"code": CODES[0], "g": "", "lid": "loose"}, "Type how much goes in"),
        ({"code": CODES[0], "g": "lots", "lid": "loose"}, "is not a number"),
        ({"code": CODES[0], "g": "-2", "lid": "loose"}, "Enter 0 or more"),
        ({"code": CODES[0], "g": "72", "lid": "loose"}, "Only 7.20 g are left"),
        ({"code": CODES[0], "g": "7", "lid": "glued"}, "Choose one of these"),
        ({"code": CODES[0], "g": "7"}, "Choose one of these"),
        ({"code": CODES[0], "g": "7", "lid": "loose", "packing": "x" * 100_000}, "at most 120"),
        ({"code": CODES[0], "g": "7", "lid": "loose", "more_g.1": "3"}, "Type the code of this batch, pigment or jar"),
        ({"code": CODES[0], "g": "7", "lid": "loose", "more_code.1": CODES[0], "more_g.1": "3"}, "not the code of a"),
        ({"code": CODES[0], "g": "7", "lid": "loose", "more_code.1": CODES[2]}, "Type a number"),
        ({"code": CODES[0], "g": "7", "lid": "loose", "happened": "99:99"}, "hours and minutes"),
    ],
)
def test_what_cannot_be_used(make: Making, vessels: list[str], send: Any, sent: dict[str, str], said: str) -> None:
    """A sentence beside the field, nothing recorded, what was typed kept."""
    thing = ready(make)
    make.coded(thing, CODES[2])
    answer = send(f"/batch/{thing}/load", sent)
    assert answer.status_code == 422 and said in answer.text and errors(answer.text) and not charges(make)


def test_sent_twice_it_is_one(make: Making, vessels: list[str], send: Any) -> None:
    """The crucible is occupied by then, and it is still the same answer."""
    thing = ready(make)
    for _ in range(3):
        answer = send(f"/batch/{thing}/load", record_id=ID, code=CODES[0], g="7.2", lid="loose")
        assert answer.status_code == 303 and answer.location == f"/charge/{ID}/place"
    assert len(charges(make)) == 1


def test_not_before_it_is_weighed(make: Making, vessels: list[str], send: Any) -> None:
    """A batch with a line missing is not loaded."""
    thing = make.batch(lines(*ZINC), name="green", **PLAN)
    make.weigh(thing, 5.7)
    make.checked(thing, "before-loading")
    answer = send(f"/batch/{thing}/load", code=CODES[0], g="5", lid="loose")
    assert answer.status_code == 422 and "not weighed yet" in answer.text


def test_the_next_generation_with_fresh_flux(make: Making, vessels: list[str], client: FlaskClient, send: Any) -> None:
    """A washed powder goes into a crucible again with salt from a jar; what comes out is the second generation."""
    first = make.charge({"batch": ready(make), "g": 7.2}, crucible=vessels[1])
    make.fired(first)
    powder = make.opened(first, gross_g=27.1)
    make.judged(powder, "refire")
    salt = make.jar("KCl", "potassium-chloride", net_g=500.0)
    make.coded(salt, CODES[2])
    make.checked(powder, "before-loading")
    said = client.get(f"/pigment/{powder}/refire").text
    assert "Fire again" in said and "Fresh flux: its jar’s tag" in said and "7.10" in said
    sent = {"record_id": ID, "code": CODES[0], "g": "7.1", "lid": "loose", "more_code.0": CODES[2], "more_g.0": "20"}
    assert send(f"/pigment/{powder}/refire", sent).location == f"/charge/{ID}/place"
    view = charge(make.state, ID)
    assert view is not None and [(s.pigment, s.jar) for s in view.charged.sources] == [(powder, None), (None, salt)]
    make.fired(ID)
    second = make.opened(ID)
    assert generation(make.state, second) == 2
    assert crucible(make.state, vessels[0]) is not None
    assert client.get(f"/charge/{ID}").status_code == 200


def test_unknown_things(make: Making, client: FlaskClient, send: Any) -> None:
    """A calm page."""
    thing = ready(make)
    for path in (f"/batch/{ID}/load", f"/pigment/{ID}/refire", f"/pigment/{thing}/refire"):
        assert client.get(path).status_code == 404
        assert send(path, code=CODES[0]).status_code == 404


@pytest.mark.parametrize(("dry_g", "said"), [(6.1, True), (7.19, False)])
def test_a_salt_that_lost_its_water_in_the_dish_is_counted_as_weighed(
    make: Making, client: FlaskClient, dry_g: float, said: bool
) -> None:
    """7.2 g went in; the share of a crucible is worked out from those grams, not from what is left of them."""
    thing = ready(make)
    make.dried(thing, dry_g, dry_g)
    page = client.get(f"/batch/{thing}/load").text
    assert ("Dried, it weighs 6.10 g." in page and "all of it is 7.20 g" in page) is said
    assert ("left, as weighed" in page) is said and ("left (dry mass)" in page) is not said
