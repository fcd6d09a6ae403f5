"""What a phone offers in the forms that it draws is what the laptop's own forms offer."""

from typing import Any

from flask import Flask

from bench.steps import BY_VERB


def offers(client: Any) -> dict[str, dict[str, str]]:
    found: dict[str, dict[str, str]] = client.get("/bench/offline.json").json["drawn"]["offers"]
    return found


def test_a_habit_is_told_as_it_was_said_the_last_time(app: Flask, client: Any) -> None:
    write = app.extensions["bench"].journal.write
    assert offers(client) == {"open": {"fate": "clean"}, "swatch": {"binder": "linseed oil"}}
    lines = [{"line": 1, "formula": "ZnO", "target_g": 5.0}]
    batch = write("batch.planned", None, {"name": "White", "from": "grams", "lines": lines}).id
    write("weighed", batch, {"line": 1, "net_g": 5.0})
    write("mixed", batch, {"medium": "dry", "streak": "even", "minutes": 7.5})
    pot = write("crucible.added", None, {"ware": "alumina-99", "volume_ml": 40}).id
    charge = write("charged", None, {"crucible": pot, "sources": [{"batch": batch, "g": 5.0}], "lid": "sealed"}).id
    write("came.out", charge, {"firing": batch, "charge": charge, "rest_place": "brick"})
    told = offers(client)
    assert told["grind"] == {"minutes": "7.5"} and told["load"] == {"lid": "sealed"}
    assert told["come-out"] == {"rest_place": "brick"}
    assert 'name="offered.minutes" value="7.5"' in client.get(f"/batch/{batch}/grind").text


def test_nothing_that_is_read_off_the_work_is_told(app: Flask, client: Any) -> None:
    """A mass, a temperature, a colour: none is ever offered."""
    fields = [BY_VERB[verb].field(name) for verb, said in offers(client).items() for name in said]
    assert fields and not [one for one in fields if one.unit in ("g", "°C", "mL")]
