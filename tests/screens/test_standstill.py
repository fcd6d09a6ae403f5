"""A fire that stands still, on its page: by the readings, with a look at the probe, what was noted, and two keys."""

import re
from typing import Any

from flask import Flask
from flask.testing import FlaskClient

BY_HAND_C = (180, 330, 450, 560, 640, 690, 712, 719, 721, 720, 722, 721, 721, 720, 721, 721)
"""Read every ten minutes from the tenth on: it stands at 720 °C from the seventieth."""
RING = {"name": "Ring", "fuel": "gas", "layout": "ring", "places": 6, "place": "outdoors"}


def lit(app: Flask, segments: list[dict[str, float]]) -> str:
    journal = app.extensions["bench"].journal
    furnace = journal.write("furnace.described", None, RING).id
    firing = journal.write("firing.planned", None, {"furnace": furnace, "segments": segments}).id
    journal.write("lit", firing, {"deviations": []})
    return str(firing)


def read(app: Flask, keeper: Any, firing: str, curve: tuple[int, ...], every_min: float = 10) -> None:
    for c in curve:
        keeper.turn(every_min)
        app.extensions["bench"].journal.write("reading", firing, {"c": c, "raw": c, "raw_unit": "C"})


def seen(client: FlaskClient, firing: str) -> str:
    page = client.get(f"/firing/{firing}").text
    found = re.search(r'<section class="outlook">(.*?)</section>', page, re.DOTALL)
    assert found
    return " ".join(re.sub(r"<[^>]*>", " ", found[1].split('<details class="why"')[0]).split())


def test_the_stall_is_said_before_it_is_proved(app: Flask, client: FlaskClient, keeper: Any) -> None:
    firing = lit(app, [{"to_c": 1000, "hold_min": 60}])
    read(app, keeper, firing, BY_HAND_C[:10])
    assert "not risen" not in seen(client, firing)
    read(app, keeper, firing, BY_HAND_C[10:11])
    said = seen(client, firing)
    assert re.search(r"Has not risen for 30 min: 7[12]\d °C then, 721 °C now; the plan wants 1000 °C\.", said)
    assert "Does the load look hotter than 721 °C? A probe can be dead." in said
    assert "Nothing is noted that may explain it." in said and "Record a change" in said and "End firing" in said
    ends = f"/firing/{firing}/off?reason=stalled"
    assert f'href="{ends}"' in client.get(f"/firing/{firing}").text
    assert f'href="/firing/{firing}/note#taps"' in client.get(f"/firing/{firing}").text
    assert client.get(f"/firing/{firing}/note").text.count('id="taps"') == 1
    assert re.findall(r'value="([^"]+)" checked', client.get(ends).text) == ["stalled"]
    assert " checked" not in client.get(f"/firing/{firing}/off").text
    assert (
        "Too early to say whether 1000 °C will be reached. Water may still be leaving the load or the lining." in said
    )
    assert "Turn" not in said, "no change of the flame is ordered"
    read(app, keeper, firing, BY_HAND_C[11:])
    said = seen(client, firing)
    assert "It will not get there. 1000 °C will not be reached unless something is changed." in said
    assert re.search(r"Heading for 7\d\d to 7\d\d °C if nothing changes\.", said) and "about" not in said


def test_a_sooty_flame_puts_carbon_monoxide_first(app: Flask, client: FlaskClient, keeper: Any) -> None:
    firing = lit(app, [{"to_c": 1000, "hold_min": 60}])
    read(app, keeper, firing, BY_HAND_C[:9])
    journal = app.extensions["bench"].journal
    for what, value in (("flame", "sooty"), ("lid", "ajar"), ("smell", "gas")):
        journal.write("noted", firing, {"what": what, "value": value})
    read(app, keeper, firing, BY_HAND_C[9:12])
    said = seen(client, firing)
    assert said.index("carbon monoxide") < said.index("Has not risen")
    assert (
        re.search(r"Noted: Flame: Sooty \d\d:\d\d · Lid of the furnace: Ajar \d\d:\d\d", said) and "Smell" not in said
    )


def test_a_change_begins_anew(app: Flask, client: FlaskClient, keeper: Any) -> None:
    firing = lit(app, [{"to_c": 1000, "hold_min": 60}])
    read(app, keeper, firing, BY_HAND_C[:12])
    app.extensions["bench"].journal.write("noted", firing, {"what": "burner-change", "value": "turned up"})
    said = seen(client, firing)
    assert "risen" not in said and "Eight readings are needed since the start or the last change." in said


def test_a_hold_that_was_planned_is_no_standstill(app: Flask, client: FlaskClient, keeper: Any) -> None:
    """Two hours at 600 °C, then on to 1000 °C: silence while it holds, and the climb after it is judged by itself."""
    firing = lit(app, [{"to_c": 600, "hold_min": 120}, {"to_c": 1000, "hold_min": 60}])
    read(app, keeper, firing, (200, 350, 480, 560, 598, 600, 601, 600, 600, 600, 599, 600))
    assert "risen" not in seen(client, firing) and "early" not in seen(client, firing)
    read(app, keeper, firing, (600, 600, 600, 600, 600, 601, 600, 600))
    said = seen(client, firing)
    assert "Has not risen for " in said and "the plan wants 1000 °C." in said


def test_a_target_that_is_near_is_given_between_two_times(app: Flask, client: FlaskClient, keeper: Any) -> None:
    """1020 - 1000·exp(-t/50), read every five minutes: at 185 min it has 11 minutes to go."""
    firing = lit(app, [{"to_c": 1015, "hold_min": 60}])
    start = keeper.ms
    read(app, keeper, firing, tuple(round(1020 - 1000 * 2.718281828 ** (-5 * n / 50)) for n in range(1, 39)), 5)
    found = re.search(r"1015 °C (between|not before) (\d\d):(\d\d)", seen(client, firing))
    assert found
    clock = (start // 60_000 + 5 * 38) % 1440
    assert -2 <= (int(found[2]) * 60 + int(found[3]) - clock) % 1440 <= 90
