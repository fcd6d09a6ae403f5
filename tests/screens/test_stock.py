"""Codes that lie ready on a phone: each given once, to one phone, and to one thing; what is not used stays."""

from typing import Any

import pytest
from flask import Flask

from bench.screens.kit.issuing import spare_codes
from bench.serving.doors import KEY
from tests.screens.making import Making

OVER = {KEY: "tls", "wsgi.url_scheme": "https"}


class Phone:
    """A paired phone as the laptop sees it."""

    def __init__(self, app: Flask, name: str) -> None:
        self.app, pairing = app, app.extensions["pairing"]
        self.device = pairing.admit(pairing.offer(), name, "tls")
        self.client = app.test_client()
        with self.client.session_transaction(environ_overrides=OVER) as session:
            session["device"] = self.device.id

    def codes(self) -> list[str]:
        hello = self.client.get("/outbox/hello", environ_overrides=OVER).json
        answer = self.client.post("/outbox/codes", headers={"X-Bench-Token": hello["token"]}, environ_overrides=OVER)
        assert answer.status_code == 200, answer.get_data(as_text=True)
        found: list[str] = answer.json["codes"]
        return found


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    return Making(app, keeper)


def test_no_code_is_given_twice_and_what_is_not_used_stays(app: Flask, make: Making) -> None:
    one, other = Phone(app, "kiln"), Phone(app, "shed")
    mine, yours = one.codes(), other.codes()
    assert len(mine) == len(set(mine)) == 8 and not set(mine) & set(yours)
    assert one.codes() == mine, "asked again, the same: none was used"
    pot = make.crucible(40.0)
    make.coded(pot, mine[0])
    again = one.codes()
    assert mine[0] not in again and set(mine[1:]) < set(again) and len(again) == 8
    assert not set(again) & {mine[0], *yours}


def test_what_lies_on_a_phone_is_no_spare_tag_until_the_phone_is_removed(app: Flask) -> None:
    phone = Phone(app, "kiln")
    with app.test_request_context("/", environ_overrides=OVER):
        codes = phone.codes()
        assert not set(codes) & set(spare_codes())
        app.extensions["pairing"].shut_out(phone.device.id)
        assert set(codes) <= set(spare_codes())


def test_what_was_opened_far_away_gets_the_code_that_was_written_on_its_vial(
    app: Flask, make: Making, send: Any
) -> None:
    code, other = Phone(app, "kiln").codes()[:2]
    for given, expected in (
        (code, code),
        (code, None),
        ("SLIPPED", None),
        ("", None),
        (f"{other[:5]}-{other[5]}", other),
    ):
        thing = cooled(make)
        answer = send(
            f"/charge/{thing}/open", {"fate": "clean", "gross_g": "48.9", "tare_after_g": "40", "new_code": given}
        )
        assert answer.status_code == 303, answer.get_data(as_text=True)
        powder = make.state.things("pigment")[-1]
        found = make.state.code_of(powder)
        assert found is not None and make.state.things_with(found) == [powder]
        assert found == expected if expected else found not in (code, other)


def cooled(make: Making) -> str:
    """A charge that came out and is cool."""
    batch = make.ready_batch([{"line": 1, "formula": "ZnO", "target_g": 20.0}])
    charge = make.add(
        "charged", {"crucible": make.crucible(40.0), "sources": [{"batch": batch, "g": 9.0}], "lid": "loose"}
    ).id
    furnace = make.add("furnace.described", {"name": "Box", "fuel": "electric"}).id
    fire = make.add("firing.planned", {"furnace": furnace, "segments": [{"to_c": 900.0}]}).id
    make.add("placed", {"firing": fire}, charge)
    make.add("lit", {"deviations": []}, fire)
    make.add("fire.off", {"reason": "reached"}, fire)
    make.add("came.out", {"firing": fire, "all": True}, fire)
    make.add("touched", {"thing": charge, "surface_c": 20.0}, charge)
    return charge
