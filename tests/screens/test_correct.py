"""Corrections: any kind of record can be said anew; the old one stays in sight, and what disagrees is settled."""

import html
import re
from dataclasses import MISSING, fields
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.records import schema
from bench.records.kinds import KINDS
from bench.records.record import Record
from bench.screens.records.correcting import NOT_CORRECTED
from tests.screens.making import Making
from tests.workshop.builder import lines
from tests.workshop.everything import make as any_record

ID = "01K9V0000000000000000000C1"
WALNUT = lines(("ZnO", 8.0), ("Fe2O3", 16.0))
FIELD = re.compile(
    r'<input id="([^"]+)"\s+name="([^"]+)"[^>]*? value="([^"]*)"'
    r'|<input type="radio" name="([^"]+)" value="([^"]*)" checked>'
    r'|<textarea id="[^"]+" name="([^"]+)"[^>]*>\n?([^<]*)</textarea>'
    r'|<select id="[^"]+" name="([^"]+)"[^>]*>(.*?)</select>'
    r'|<input type="hidden" name="([^"]+)" value="([^"]*)"',
    re.S,
)


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    """Records that earlier steps would have left."""
    return Making(app, keeper)


def typed(page: str) -> dict[str, str]:
    """What a browser would send of the form with the id `ask`, untouched."""
    form = page.split('id="ask"')[1].split("</form>")[0]
    found: dict[str, str] = {}
    for hit in FIELD.findall(form):
        _id, name, value, radio, chosen, area, text, select, options, hidden, kept = hit
        if select:
            picked = re.search(r'<option value="([^"]*)" selected', options)
            first = re.search(r'<option value="([^"]*)"', options)
            found[select] = picked[1] if picked else first[1] if first else ""
        else:
            found[name or radio or area or hidden] = html.unescape(value or chosen or text or kept)
    del found["token"]
    return found


def path_of(record: Record) -> str:
    """Where a record is corrected."""
    return f"/thing/{record.subject}/correct/{record.id}"


def test_a_weighing_is_corrected_with_its_reason(make: Making, client: FlaskClient, send: Any) -> None:
    """The new value counts, at the time of the old one; both stay in sight."""
    batch = make.batch(WALNUT)
    [wrong] = make.weigh(batch, 8.1)
    make.wait(30)
    fields = typed(client.get(path_of(wrong)).text)
    assert fields["net_g"] == "8.1"
    answer = send(path_of(wrong), fields | {"net_g": "8,01", "why": "misread"})
    assert answer.status_code == 303 and answer.location == f"/thing/{batch}"
    right = make.state.slot(batch, "weighed", 1).record
    assert right is not None and right.body.net_g == 8.01 and right.corrects == (wrong.id,)
    assert right.when == wrong.when and right.how == "live"
    page = client.get(f"/thing/{batch}").text
    assert "misread" in page and "8.1 g" in page and "8.01 g" in page


def test_a_corrected_empty_vessel_corrects_the_mass_without_it(make: Making, client: FlaskClient, send: Any) -> None:
    """109.1 g in a dish of 100 g; the dish weighs 101 g: 8.1 g. A mass that is typed anew stands as typed."""
    batch = make.batch(WALNUT)
    make.weigh(batch, 8.0, 16.0)
    make.mixed(batch, "water")
    assert send(f"/batch/{batch}/dry", way="oven", gross_g="109.1", tare_g="100", sure="gross_g=9.1").status_code == 303
    for change, g in (({"tare_g": "101"}, 8.1), ({"tare_g": "102", "mass_g": "9"}, 9.0), ({"tare_g": ""}, 111.0)):
        [record] = make.state.by_time(batch, "dried")
        fields = typed(client.get(path_of(record)).text)
        asked = send(path_of(record), fields | {"tare_g": "300"})
        assert asked.status_code == 422 and "It must weigh less than" in asked.text
        assert send(path_of(record), fields | change).status_code == 303
        assert [one.body.mass_g for one in make.state.by_time(batch, "dried")] == [g]


def test_its_time_can_be_corrected(make: Making, client: FlaskClient, send: Any) -> None:
    """A typed time counts; the one that was shown leaves the exact moment standing."""
    fire = make.firing()
    wrong = make.reading(fire, 640.0)
    make.wait(60)
    fields = typed(client.get(path_of(wrong)).text)
    send(path_of(wrong), fields | {"happened": "07:30"})
    [right] = make.state.own(fire, "reading")
    assert right.body.c == 640 and right.how == "late" and right.when.strftime("%H:%M") == "07:30"


def test_sent_again_it_is_one(make: Making, client: FlaskClient, send: Any) -> None:
    """Ten deliveries of one correction, then another one on top of it."""
    batch = make.batch(WALNUT)
    [wrong] = make.weigh(batch, 8.1)
    fields = typed(client.get(path_of(wrong)).text) | {"record_id": ID, "net_g": "8.01", "why": "misread"}
    before = len(make.state.records)
    assert {send(path_of(wrong), fields).status_code for _ in range(10)} == {303}
    assert len(make.state.records) == before + 2
    again = make.state.records[ID]
    send(path_of(again), typed(client.get(path_of(again)).text) | {"net_g": "8.02"})
    slot = make.state.slot(batch, "weighed", 1)
    assert slot.body.net_g == 8.02 and len(slot.heads) == 1


def test_undone_the_first_value_counts_again(make: Making, client: FlaskClient, send: Any) -> None:
    """Taking a correction back brings back what it corrected."""
    batch = make.batch(WALNUT)
    [wrong] = make.weigh(batch, 8.1)
    send(path_of(wrong), typed(client.get(path_of(wrong)).text) | {"net_g": "8.01", "record_id": ID})
    send("/undo", ids=ID, back="/")
    assert make.state.slot(batch, "weighed", 1).body.net_g == 8.1


BAD = (
    ({"net_g": ""}, "Type a number"),
    ({"net_g": "abc"}, "digit"),
    ({"net_g": "-1"}, "minus sign"),
    ({"net_g": "1.000,5"}, "comma and a point"),
    ({"net_g": "1e400"}, ""),
    ({"net_g": "99999999"}, "At most"),
    ({"jar": "the blue one"}, "The bench does not have this"),
    ({"why": "x" * 100_000}, "at most 400"),
    ({"why": "a\x00b"}, "control character"),
    ({"happened": "25:00"}, "hours and minutes"),
    ({"happened": "23:59"}, "in the future"),
    ({}, "You changed nothing"),
)


def test_bad_input_stands_beside_its_field(make: Making, client: FlaskClient, send: Any) -> None:
    """A plain sentence, what was typed kept, nothing recorded."""
    [wrong] = make.weigh(make.batch(WALNUT), 8.1)
    fields = typed(client.get(path_of(wrong)).text)
    for change, words in BAD:
        answer = send(path_of(wrong), fields | change)
        assert answer.status_code == 422 and words in answer.text, change
    assert len(make.state.records) == 2


def settle(make: Making) -> tuple[str, Record]:
    """A batch with two weighings of one line."""
    batch = make.batch(WALNUT)
    make.weigh(batch, 8.01)
    other = make.add("weighed", {"line": 1, "net_g": 8.1}, batch)
    return batch, other


def test_a_disagreement_is_settled_by_taking_one_side(make: Making, client: FlaskClient, send: Any) -> None:
    """The one that is taken is said once more in place of both; nothing disagrees any more."""
    batch, other = settle(make)
    page = client.get(path_of(other)).text
    assert "These disagree" in page and page.count('name="take"') == 2
    assert send(path_of(other), take="1", record_id=ID).status_code == 303
    assert send(path_of(other), take="1", record_id=ID).status_code == 303
    slot = make.state.slot(batch, "weighed", 1)
    assert [head.id for head in slot.heads] == [ID] and slot.body.net_g == 8.1
    assert slot.heads[0].when == other.when and not make.state.disagreements(batch)


def test_a_disagreement_is_settled_by_saying_it_right(make: Making, client: FlaskClient, send: Any) -> None:
    """A third value takes the place of both."""
    batch, other = settle(make)
    send(path_of(other), typed(client.get(path_of(other)).text) | {"net_g": "8.05"})
    slot = make.state.slot(batch, "weighed", 1)
    assert slot.body.net_g == 8.05 and len(slot.heads) == 1


def test_odd_sides(make: Making, send: Any) -> None:
    """What is no side is a sentence."""
    _batch, other = settle(make)
    for odd in ("7", "-1", "x", "١", "999999999999999999999999"):
        assert send(path_of(other), take=odd).status_code == 422


def test_two_records_under_one_id_are_settled(make: Making, client: FlaskClient, send: Any) -> None:
    """Both are shown, one is taken, and the conflict is gone."""
    fields = {"record_id": ID, "ware": "mullite", "volume_ml": "30"}
    send("/crucibles/new", fields)
    send("/crucibles/new", fields, volume_ml="50")
    page = client.get(f"/thing/{ID}/correct/{ID}").text
    assert "30 mL" in page and "50 mL" in page
    assert send(f"/thing/{ID}/correct/{ID}", take="1").status_code == 303
    assert make.journal.conflicts == []
    assert make.state.slot(ID, "crucible.added").body.volume_ml == 50


def test_a_code_on_two_things_is_settled_by_a_fresh_one(make: Making, client: FlaskClient, send: Any) -> None:
    """Left empty, the thing gets a code that nothing bears; sent again it is the same one."""
    one, two = make.crucible(), make.crucible()
    make.coded(one, "T5C7HJ")
    double = make.coded(two, "T5C7HJ")
    for _ in range(3):
        assert send(path_of(double), {"code": "", "record_id": ID}).status_code == 303
    assert make.state.things_with("T5C7HJ") == [one]
    fresh = make.state.code_of(two)
    assert fresh and fresh != "T5C7HJ" and fresh in make.state.issued
    assert client.get("/find?code=T5C7HJ").location == f"/crucible/{one}"


def test_a_plan_is_corrected_line_by_line(make: Making, client: FlaskClient, send: Any) -> None:
    """A changed line, an emptied one, an added one; the others keep their numbers."""
    batch = make.batch([*WALNUT, {"line": 3, "formula": "SiO2", "target_g": 1.0}], name="Walnut")
    fields = typed(client.get(f"/thing/{batch}/correct/{batch}").text)
    fields |= {"lines.0.target_g": "8.5", "lines.1.formula": "", "lines.1.target_g": "", "lines.1.assay_pct": ""}
    fields |= {"lines.3.formula": "MnO2", "lines.3.target_g": "0,75"}
    assert send(f"/thing/{batch}/correct/{batch}", fields).status_code == 303
    found = make.state.slot(batch, "batch.planned").body.lines
    assert [(line.line, line.formula, line.target_g) for line in found] == [
        (1, "ZnO", 8.5), (3, "SiO2", 1.0), (4, "MnO2", 0.75),
    ]  # fmt: skip


def test_what_is_refused_cannot_come_in_by_a_correction(make: Making, client: FlaskClient, send: Any) -> None:
    """Lead and dichromate, in a jar and in a plan."""
    jar, batch = make.jar("ZnO", "zinc-oxide"), make.batch(WALNUT)
    fields = typed(client.get(f"/thing/{jar}/correct/{jar}").text)
    answer = send(f"/thing/{jar}/correct/{jar}", fields | {"reagent": "litharge", "formula": "PbO"})
    assert answer.status_code == 422 and "Lead is highly poisonous" in answer.text
    assert send(f"/thing/{jar}/correct/{jar}", fields | {"formula": "PbO"}).status_code == 422
    assert send(f"/thing/{jar}/correct/{jar}", fields | {"formula": "Zz"}).status_code == 422
    fields = typed(client.get(f"/thing/{batch}/correct/{batch}").text)
    answer = send(f"/thing/{batch}/correct/{batch}", fields | {"lines.0.formula": "K2Cr2O7"})
    assert answer.status_code == 422 and "hromium(VI)" in answer.text


def test_every_kind_has_its_form(app: Flask, client: FlaskClient, send: Any) -> None:
    """Untouched it says that nothing is different: every field was read as it stands. Kinds without a form say so."""
    journal = app.extensions["bench"].journal
    seen: dict[str, int] = dict.fromkeys(KINDS, 0)
    for seed in range(20_000, 21_200):
        record = any_record(seed, seed)
        if seen[record.kind] >= 3 or record.corrects or record.id in journal.state.records:
            continue
        [receipt] = journal.receive([record.to_dict() | {"device": f"phone-{seed}", "seq": 1}])
        if receipt.status != "new" or not journal.state.is_effective(record.id):
            continue
        seen[record.kind] += 1
        answer = client.get(path_of(record))
        assert answer.status_code == 200, record.kind
        if record.kind in NOT_CORRECTED:
            assert 'id="ask"' not in answer.text and "Withdraw" in answer.text
            assert send(path_of(record)).status_code == 422
            continue
        again = send(path_of(record), typed(answer.text))
        odd = _cannot_stand(record)
        assert again.status_code in ((303, 422) if odd else (422,)), (record.kind, record.data)
        assert odd or "You changed nothing" in again.text, (record.kind, dict(record.data))
    assert min(seen.values()) >= 1, seen


def _cannot_stand(record: Record) -> bool:
    """Whether a record made by chance says what no form takes: no code, nothing, a nested value, no mesh."""
    bare = [one for one in fields(record.body) if one.default is MISSING and getattr(record.body, one.name) == ()]
    if record.kind == "code.assigned" or bare:
        return True
    plain = str(schema.write(record.body))
    return any(
        sign in plain
        for sign in ("'mesh_um': 0.0", "''", "[1, 2]", "{'a': 1}", "zwei", "no formula", "'?'", "KNO3", "high")
    )


def test_no_such_record(make: Making, client: FlaskClient, send: Any) -> None:
    """A record of another thing, an unknown one, nonsense: the calm page."""
    batch, other = make.batch(WALNUT), make.crucible()
    for path in (f"/thing/{batch}/correct/{other}", f"/thing/{batch}/correct/{ID}", f"/thing/{batch}/correct/x"):
        assert client.get(path).status_code == 404 and send(path, take="0").status_code == 404


def test_a_withdrawal_can_be_taken_back(make: Making, client: FlaskClient, send: Any) -> None:
    """Its page is reached from what it undid, and withdrawing it brings that back."""
    batch = make.batch(WALNUT)
    [weighed] = make.weigh(batch, 8.0)
    send("/undo", ids=weighed.id, back="/", record_id=ID, why="wrong jar")
    assert make.state.slot(batch, "weighed", 1).record is None
    assert f"/thing/{batch}/correct/{ID}" in client.get(f"/thing/{batch}").text
    assert "Withdraw" in client.get(f"/thing/{batch}/correct/{ID}").text
    send("/undo", ids=ID, back="/")
    assert make.state.slot(batch, "weighed", 1).record is not None
