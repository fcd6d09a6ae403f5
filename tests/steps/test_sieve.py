"""Sieving and parting a powder: beside the next step, held where the powder is damp, and every gram accounted for."""

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.steps import BY_VERB, HOUSE
from bench.steps.folding import StepRecord, apply
from bench.workshop.comparing import facts as compared
from bench.workshop.facts import facts
from bench.workshop.lineage import origin
from bench.workshop.next_steps import optional_steps, pigment_step
from bench.workshop.things.charges import powder_is_damp
from bench.workshop.things.pigments import pigment
from tests.screens.making import Making, errors
from tests.screens.powders import last, powder


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    return Making(app, keeper)


@pytest.fixture
def dry(make: Making, send: Any, keeper: Any) -> str:
    """A powder that was ground and weighed dry: 9 g."""
    thing = powder(make)
    keeper.turn(5)
    make.add("ground", {"medium": "water", "minutes": 5.0}, thing)
    keeper.turn(60)
    make.add("dry.weighed", {"net_g": 9.0}, thing)
    keeper.turn(1)
    return thing


def left_g(make: Making, thing: str) -> float | None:
    view = pigment(make.state, thing)
    return None if view is None else view.left_g


def sieve(send: Any, thing: str, **fields: str) -> Any:
    return send(f"/pigment/{thing}/sieve", {"mesh_um": "63", **fields})


def test_it_is_offered_beside_the_next_step_and_is_never_it(make: Making, dry: str, client: FlaskClient) -> None:
    assert pigment_step(make.state, dry).verb == "swatch"  # type: ignore[union-attr]
    assert {one.verb for one in optional_steps(make.state, dry)} >= {"sieve", "cut"}
    page = client.get(f"/pigment/{dry}").get_data(as_text=True)
    assert f'href="/pigment/{dry}/sieve"' in page and f'href="/pigment/{dry}/cut"' in page


def test_its_record_says_the_mesh_and_the_page_shows_it(make: Making, dry: str, client: Any, send: Any) -> None:
    assert sieve(send, dry, oversize_g="0,4", oversize="reground").status_code == 303
    [record] = make.state.own(dry, "sieved")
    assert record.data == {"mesh_um": 63.0, "oversize_g": 0.4, "oversize": "reground"}
    assert left_g(make, dry) == 9.0
    assert "Sieved at 63 µm" in client.get(f"/pigment/{dry}").get_data(as_text=True)
    told = client.get(f"/thing/{dry}").get_data(as_text=True)
    assert "Sieved" in told and "Mesh" in told and "63 µm" in told and "ground again" in told


def test_what_it_holds_back_is_taken_off_once(make: Making, dry: str, send: Any, keeper: Any) -> None:
    sieve(send, dry, oversize_g="0.4", oversize="waste")
    assert left_g(make, dry) == pytest.approx(8.6)
    keeper.turn(5)
    # Weighed again, what is gone is no longer in the mass: it counts no second time.
    page = {"net_g": "8.6", "was": make.state.slot(dry, "dry.weighed").heads[0].id}
    make.add("ground", {"medium": "dry"}, dry)
    keeper.turn(5)
    assert send(f"/pigment/{dry}/dry", page).status_code == 303
    assert left_g(make, dry) == pytest.approx(8.6)


def test_a_damp_powder_blinds_the_sieve(make: Making, dry: str, client: Any, send: Any, keeper: Any) -> None:
    make.add("washed", {"round": 1}, dry)
    keeper.turn(1)
    assert "clogs the sieve" in client.get(f"/pigment/{dry}/sieve").get_data(as_text=True)
    held = sieve(send, dry)
    assert held.status_code == 422 and "Dry it first" in held.text and not make.state.own(dry, "sieved")
    assert sieve(send, dry, in_fact="1").status_code == 303
    assert [one.data["mesh_um"] for one in make.state.own(dry, "sieved")] == [63.0]
    keeper.turn(60)
    make.add("dry.weighed", {"net_g": 8.9}, dry)  # dried since: it was damp then all the same
    assert "Sieved damp." in client.get(f"/thing/{dry}").get_data(as_text=True)


@pytest.mark.parametrize(
    ("fields", "say"),
    [
        ({"mesh_um": ""}, "Type a number here."),
        ({"mesh_um": "0.5"}, "At least 1 µm."),
        ({"mesh_um": "5001"}, "At most 5000 µm."),
        ({"oversize_g": "0.4"}, "Say what became of the oversize."),
        ({"oversize": "kept"}, "Weigh what is kept apart."),
        ({"oversize_g": "9.01", "oversize": "waste"}, "That is more than is left of this pigment."),
        ({"oversize": "eaten"}, "Choose one of these."),
    ],
)
def test_what_is_wrong_stands_beside_its_field(make: Making, dry: str, send: Any, fields: Any, say: str) -> None:
    answer = sieve(send, dry, **fields)
    assert answer.status_code == 422 and errors(answer.text) == [say]
    assert not make.state.own(dry, "sieved")


def test_what_is_kept_apart_is_a_powder_with_a_code_and_its_mass(
    make: Making, dry: str, client: Any, send: Any
) -> None:
    assert sieve(send, dry, oversize_g="0.4", oversize="kept").status_code == 303
    [cut] = [one for one in make.state.things("pigment") if one != dry]
    view = pigment(make.state, cut)
    assert view is not None and view.code is not None and view.left_g == pytest.approx(0.4) and view.state == "dry"
    assert left_g(make, dry) == pytest.approx(8.6)
    page = client.get(f"/pigment/{cut}").get_data(as_text=True)
    assert "Cut of" in page and "oversize of a sieve" in page and f'href="/pigment/{dry}"' in page
    assert client.get(f"/print/labels?thing={cut}").status_code == 200


def weighed(make: Making, thing: str) -> float:
    """The grams of all weighed lines in the lineage of a powder."""
    node = origin(make.state, thing)
    assert node is not None

    def grams(one: Any) -> float:
        return one.g if one.what == "line" else sum(grams(each) for each in one.sources)

    return grams(node)


def test_every_gram_is_in_one_of_the_cuts(make: Making, dry: str, send: Any) -> None:
    before = weighed(make, dry)
    sieve(send, dry, oversize_g="0.4", oversize="kept")
    cuts = [last(send(f"/pigment/{dry}/cut", {"g": g, "words": "settled"}).headers["Location"]) for g in ("3", "2.5")]
    sieve(send, cuts[0], oversize_g="0.25", oversize="waste")
    every = make.state.things("pigment")
    left = [left_g(make, one) or 0.0 for one in every]
    assert len(every) == 4 and sum(left) == pytest.approx(9.0 - 0.25)
    assert left_g(make, dry) == pytest.approx(9.0 - 0.4 - 3 - 2.5)
    # Each cut holds its share of what was weighed; with the rest of the whole they are all of it, once.
    shares = {one: weighed(make, one) for one in every if one != dry}
    assert shares[cuts[0]] == pytest.approx(before * 3 / 9) and sum(shares.values()) == pytest.approx(before * 5.9 / 9)
    refused = send(f"/pigment/{dry}/cut", {"g": "3.2"})
    assert refused.status_code == 422 and errors(refused.text) == ["That is more than is left of this pigment."]


def test_a_cut_of_a_damp_powder_is_damp_and_stands_where_the_whole_stood(
    make: Making, dry: str, send: Any, keeper: Any
) -> None:
    make.add("washed", {"round": 1}, dry)
    keeper.turn(1)
    cut = last(send(f"/pigment/{dry}/cut", {"g": "2"}).headers["Location"])
    assert powder_is_damp(make.state, cut) and pigment(make.state, cut).state == "washed"  # type: ignore[union-attr]
    keeper.turn(60)
    make.add("dry.weighed", {"net_g": 1.9}, cut)
    assert not powder_is_damp(make.state, cut) and powder_is_damp(make.state, dry)


def test_undone_the_sieving_and_its_cut_are_gone_together(make: Making, dry: str, send: Any) -> None:
    sieve(send, dry, oversize_g="0.4", oversize="kept")
    ids = [
        r.id for r in make.state.records.values() if r.kind in ("sieved", "gathered", "code.issued", "code.assigned")
    ]
    make.add("withdrawn", {"ids": ids, "why": "slip"}, dry)
    assert left_g(make, dry) == 9.0 and make.state.things("pigment") == [dry]


def test_what_was_done_is_not_refused_for_what_is_left(make: Making, dry: str, send: Any, keeper: Any) -> None:
    fields, identity = {"g": "6", "words": "fine"}, make.new_id()
    for _time in range(2):  # the same submit again: what is left by then says nothing against it
        assert send(f"/pigment/{dry}/cut", fields | {"record_id": identity}).status_code == 303
    assert len(make.state.things("pigment")) == 2 and left_g(make, dry) == pytest.approx(3.0)
    assert send(f"/pigment/{dry}/cut", {"g": "6"}).status_code == 422
    assert send(f"/pigment/{dry}/cut", {"g": "6", "happened": "08:01"}).status_code == 303


def test_powders_differ_by_the_finest_mesh_whichever_record_told_of_it(make: Making, dry: str, send: Any) -> None:
    make.add("ground", {"medium": "dry", "sieve_um": 100.0}, dry)
    assert compared(make.state, dry)["sieved through"].words == "100 µm"
    sieve(send, dry)
    assert compared(make.state, dry)["sieved through"].words == "63 µm"
    assert compared(make.state, dry)["ground after"].words == "5 min"


@pytest.mark.parametrize("became", ["reground", "waste"])
def test_its_effects_are_what_the_fold_makes_of_it(make: Making, dry: str, send: Any, became: str) -> None:
    told = {dry: dict(facts(make.state, dry) or {})}
    sieve(send, dry, oversize_g="0.4", oversize=became)
    [record] = make.state.own(dry, "sieved")
    apply(HOUSE, BY_VERB["sieve"], told, StepRecord(dry, record.data))
    assert told[dry] == facts(make.state, dry)


def test_a_phone_sends_it_when_the_laptop_is_back(make: Making, app: Flask, dry: str, keeper: Any) -> None:
    from tests.screens.test_outbox import Phone

    phone = Phone(app)
    assert phone.get("/bench/offline.json").json["told"][dry]["sort"] == "pigment", "a phone draws its pages"
    sent_ms, identity = keeper.ms, make.new_id()
    keeper.turn(30)
    for _time in range(2):
        fields = {"mesh_um": "63", "oversize_g": "0.4", "oversize": "kept"}
        answer = phone.send(f"/pigment/{dry}/sieve", fields, sent_ms, identity, waited=True)
        assert answer.json["status"] in ("kept", "done")
    assert [one.id for one in make.state.own(dry, "sieved")] == [identity]
    assert len(make.state.things("pigment")) == 2
