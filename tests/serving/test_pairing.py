"""Pairing: a code once and for five minutes, wrong ones slowed down and logged, and every route closed to strangers."""

import logging
from pathlib import Path
from typing import Any

import pytest
from flask import Flask

from bench.science.refusal import Refusal
from bench.serving.doors import KEY
from bench.serving.pairing import Pairing, Slowed, end_of_day

MIN = 60_000
START = 1_794_470_400_000
ULID = "01J9ZZZZZZZZZZZZZZZZZZZZZZ"


class Time:
    """A clock to turn."""

    ms = START

    def __call__(self) -> int:
        return self.ms


@pytest.fixture
def time() -> Time:
    return Time()


@pytest.fixture
def pairing(tmp_path: Path, time: Time) -> Pairing:
    return Pairing(tmp_path, time)


def test_a_code_is_still_good_after_a_disk_that_was_full(pairing: Pairing, monkeypatch: pytest.MonkeyPatch) -> None:
    code = pairing.offer()

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr("bench.serving.pairing.write_secret", full)
        with pytest.raises(Refusal, match="No space left on device"):
            pairing.admit(code, "Kiln", "tls")
    assert not pairing.devices
    assert pairing.admit(code, "Kiln", "tls").label == "phone-kiln"


def test_a_code_is_good_once(pairing: Pairing) -> None:
    code = pairing.offer()
    device = pairing.admit(code, "Kiln", "tls")
    assert device.label == "phone-kiln"
    with pytest.raises(Refusal):
        pairing.admit(code, "Kiln", "tls")


def test_a_code_is_good_for_five_minutes(pairing: Pairing, time: Time) -> None:
    early, late = pairing.offer(), pairing.offer()
    time.ms += 5 * MIN - 1
    assert pairing.admit(early.lower()[:4] + " " + early.lower()[4:], "a", "tls")
    time.ms += 1
    with pytest.raises(Refusal):
        pairing.admit(late, "b", "tls")


def test_a_wrong_code_is_logged_with_its_address(pairing: Pairing, caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.WARNING, "bench"), pytest.raises(Refusal):
        pairing.admit("00000000", "x", "tls", who="10.0.0.9")
    assert "10.0.0.9" in caplog.text and "00000000" not in caplog.text


def test_three_wrong_codes_make_even_the_right_one_wait(pairing: Pairing, time: Time) -> None:
    code = pairing.offer()
    spans = []
    for n in range(7):
        with pytest.raises(Refusal):
            pairing.admit("0" * 8, "x", "tls", who="a")
        if n >= 2:
            with pytest.raises(Slowed) as slowed:
                pairing.admit(code, "x", "tls", who="a")
            spans.append(slowed.value.wait_s)
            time.ms += slowed.value.wait_s * 1000
    assert spans == [2, 4, 8, 16, 32]
    assert pairing.admit(code, "x", "tls", who="b"), "another device does not wait for it"


def test_guessing_from_many_addresses_makes_every_code_void(pairing: Pairing) -> None:
    code = pairing.offer()
    for n in range(100):
        with pytest.raises(Refusal):
            pairing.admit("0" * 8, "x", "tls", who=f"10.0.0.{n}")
    with pytest.raises(Refusal):
        pairing.admit(code, "x", "tls", who="b")
    assert pairing.admit(pairing.offer(), "x", "tls", who="b")


def test_a_plain_grant_ends_with_the_day_and_holds_at_its_own_door_alone(pairing: Pairing, time: Time) -> None:
    plain = pairing.admit(pairing.offer(), "yard", "yard", zone_min=60)
    strong = pairing.admit(pairing.offer(), "app", "tls")
    assert plain.ends_ms is not None and strong.ends_ms is None
    assert pairing.admitted(plain.id, "yard") and not pairing.admitted(plain.id, "tls")
    assert pairing.admitted(strong.id, "tls") and not pairing.admitted(strong.id, "yard")
    time.ms = plain.ends_ms
    assert not pairing.admitted(plain.id, "yard")
    time.ms += 400 * 24 * 60 * MIN
    assert pairing.admitted(strong.id, "tls")


@pytest.mark.parametrize(("now_h", "hours"), [(3.5, 0.5), (4, 24), (23, 5), (12, 16)])
def test_the_day_ends_at_four_in_the_morning(now_h: float, hours: float) -> None:
    """START is eight in the morning UTC; the zone is two hours ahead."""
    now = START + round((now_h - 10) * 60 * MIN)
    assert end_of_day(now, 120) - now == hours * 60 * MIN


def test_names(pairing: Pairing) -> None:
    labels = [pairing.admit(pairing.offer(), name, "tls").label for name in ("Kiln", "kiln ", "Küche 2")]
    assert labels == ["phone-kiln", "phone-kiln-2", "phone-k-che-2"]
    for name in ("", "   ", "窯", "x" * 41):
        with pytest.raises(Refusal) as refused:
            pairing.admit(pairing.offer(), name, "tls")
        assert refused.value.field == "name"


def test_devices_outlive_a_restart_and_a_shut_one_stays_out(tmp_path: Path, time: Time) -> None:
    first = Pairing(tmp_path, time)
    kept, shut = (first.admit(first.offer(), name, "tls") for name in ("a", "b"))
    assert first.shut_out(shut.id) and not first.shut_out("nobody")
    again = Pairing(tmp_path, time)
    assert again.admitted(kept.id, "tls") and not again.admitted(shut.id, "tls")
    (tmp_path / "devices.json").write_text("[{", encoding="ascii")
    assert Pairing(tmp_path, time).devices == []


def addresses(app: Flask) -> list[tuple[str, str]]:
    """Every address of the bench with its methods, the variables filled in."""
    found = []
    for rule in app.url_map.iter_rules():
        path = rule.rule
        for name in rule.arguments:
            start = path.index("<")
            path = path[:start] + ("x.css" if name == "filename" else ULID) + path[path.index(">") + 1 :]
        found += [(path, method) for method in (rule.methods or set())]
    return found


OPEN = ("/static/", "/trust")


@pytest.mark.parametrize("door", ["tls", "yard"])
def test_a_stranger_gets_the_page_for_pairing_on_every_route_and_nothing_else(app: Flask, door: str) -> None:
    client = app.test_client()
    walked = 0
    for path, method in addresses(app):
        if path.startswith(OPEN):
            continue
        answer = client.open(path, method=method, environ_overrides={KEY: door}, data={} if method == "POST" else None)
        if path == "/pair":
            assert answer.status_code in (200, 403)
            continue
        assert answer.status_code == 403, (method, path, answer.status_code)
        assert method in ("HEAD",) or "Not paired" in answer.get_data(as_text=True), (method, path)
        walked += 1
    assert walked > 100
    assert client.get("/no/such/page", environ_overrides={KEY: door}).status_code == 403
    assert not app.extensions["bench"].state.records


@pytest.mark.parametrize("door", ["tls", "yard"])
def test_a_device_is_let_in_and_loses_access_when_shut_out(opened: Any, door: str) -> None:
    visitor = opened.visitor(door)
    assert visitor.ask("/shelf").status == 403
    assert visitor.pair(opened.app).status == 303
    assert visitor.ask("/shelf").status == 200
    other = opened.visitor("yard" if door == "tls" else "tls")
    other.jar = dict.fromkeys(("__Host-bench", "bench-yard"), *visitor.jar.values())
    assert other.ask("/shelf").status == 403, "a cookie of one door opens no other"
    opened.app.extensions["pairing"].shut_out(opened.app.extensions["pairing"].devices[0].id)
    assert visitor.ask("/shelf").status == 403


def test_wrong_attempts_over_the_network_are_told_to_wait(opened: Any) -> None:
    visitor = opened.visitor("yard")
    answers = [
        visitor.ask("/pair", {"token": visitor.token(), "code": "00000000", "name": "x"}).status for _ in range(4)
    ]
    assert answers == [422, 422, 422, 429]


def test_a_form_from_elsewhere_pairs_and_changes_nothing(opened: Any) -> None:
    visitor = opened.visitor("yard")
    code = opened.app.extensions["pairing"].offer()
    sent = {"token": visitor.token(), "code": code, "name": "x"}
    assert visitor.ask("/pair", sent, {"Origin": "http://evil.example"}).status == 403
    assert visitor.ask("/pair", {**sent, "token": "0" * 64}).status == 403
    assert visitor.ask("/pair", sent).status == 303


def test_the_laptop_shows_the_code_and_shuts_out(opened: Any) -> None:
    import re

    laptop = opened.app.test_client()
    page = laptop.get("/pair").get_data(as_text=True)
    network = opened.workshop.network
    code = re.search(r"/pair\?code=([0-9A-Z]{8})", page)
    assert code and f"{network.origin}/pair?code={code[1]}" in page and network.yard_urls[0] in page
    phone = opened.visitor()
    assert phone.ask("/pair", {"token": phone.token(), "code": code[1], "name": "kiln"}).status == 303
    page = laptop.get("/pair").get_data(as_text=True)
    token = re.search(r'name="bench-token" content="([0-9a-f]{64})"', page)
    device = re.search(r'name="device" value="([^"]+)"', page)
    assert token and device and "phone-kiln" in page
    assert phone.ask("/pair/out", {"token": phone.token(), "device": device[1]}).status == 403
    assert laptop.post("/pair/out", data={"token": token[1], "device": "nobody"}).status_code == 404
    assert laptop.post("/pair/out", data={"token": token[1], "device": device[1]}).status_code == 303
    assert phone.ask("/").status == 403
