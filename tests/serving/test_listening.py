"""A meter on a serial port: a pseudo-terminal of this system, written to as a meter prints, read with pyserial."""

import os
import sys
import time
from collections.abc import Iterator
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.screens.test_firing import prepare, rows

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="Windows has no pseudo-terminals.")


class Meter:
    """The other end of the cable."""

    def __init__(self) -> None:
        self.end, mine = os.openpty()
        self.port = os.ttyname(mine)
        self.mine = mine

    def say(self, *lines: str) -> None:
        os.write(self.end, "".join(f"{line}\r\n" for line in lines).encode())

    def unplug(self) -> None:
        for one in (self.end, self.mine):
            if one >= 0:
                os.close(one)
        self.end = self.mine = -1


@pytest.fixture
def meter() -> Iterator[Meter]:
    made = Meter()
    yield made
    made.unplug()


def until(true: Any, seconds: float = 10.0) -> None:
    """Wait for what another thread does."""
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "it did not happen"
        time.sleep(0.02)


def listen(send: Any, firing: str, meter: Meter, **more: str) -> Any:
    fields = {"port": meter.port, "baud": "9600", "at": "1", "unit": "C", "every_s": "1"} | more
    return send(f"/firing/{firing}/port", fields)


def test_lines_become_readings_until_it_is_stopped(app: Flask, client: FlaskClient, send: Any, meter: Meter) -> None:
    firing = prepare(app)["firing"]
    assert listen(send, firing, meter).status_code == 303
    meter.say("T1=851.0 C; T2=23.1 C")
    until(lambda: len(rows(app, firing, "reading")) == 1)
    meter.say("OL", "T1=853.5 C", "T1=12345 C", "T1=854.0 C", "T1=853.0 C")
    until(lambda: len(rows(app, firing, "reading")) == 2)
    # Of 853.5, 854 and 853 the middle one; the line out of range and the one without a number are left out.
    assert [r.body.c for r in rows(app, firing, "reading")] == [851.0, 853.5]
    text = client.get(f"/firing/{firing}/port").get_data(as_text=True)
    assert "T1=853.0 C" in text and "Stop listening" in text
    assert send(f"/firing/{firing}/port", {"stop": "1"}).status_code == 303
    assert not app.extensions["listening"].heard.running
    assert "854" in client.get(f"/firing/{firing}").get_data(as_text=True)


def test_fahrenheit_and_another_number_of_the_line(app: Flask, send: Any, meter: Meter) -> None:
    firing = prepare(app)["firing"]
    listen(send, firing, meter, at="4", unit="F")
    meter.say("12:03:01 1652")
    until(lambda: rows(app, firing, "reading"))
    body = rows(app, firing, "reading")[0].body
    assert body.c == pytest.approx(900.0) and body.raw == 1652 and body.raw_unit == "F"


def test_it_ends_when_the_firing_is_closed(app: Flask, send: Any, meter: Meter) -> None:
    firing = prepare(app)["firing"]
    listen(send, firing, meter)
    app.extensions["bench"].journal.write("closed", firing, {"outcome": "reached"})
    meter.say("900")
    until(lambda: not app.extensions["listening"].heard.running)
    assert not rows(app, firing, "reading")
    assert listen(send, firing, meter).status_code == 422


def test_a_cable_that_is_pulled_out_is_said(app: Flask, client: FlaskClient, send: Any, meter: Meter) -> None:
    firing = prepare(app)["firing"]
    listen(send, firing, meter)
    meter.say("900")
    until(lambda: rows(app, firing, "reading"))
    meter.unplug()
    until(lambda: not app.extensions["listening"].heard.running)
    assert "The port was lost" in client.get(f"/firing/{firing}/port").get_data(as_text=True)


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"port": ""}, "port"),
        ({"port": "/dev/no-such-port"}, "port"),
        ({"port": "socket://192.0.2.1:1"}, "port"),
        ({"port": "COM3/../x"}, "port"),
        ({"baud": "77"}, "baud"),
        ({"at": "0"}, "at"),
        ({"unit": "K"}, "unit"),
        ({"every_s": "soon"}, "every_s"),
    ],
)
def test_what_cannot_be_listened_to_is_said_beside_its_field(
    app: Flask, send: Any, meter: Meter, wrong: dict[str, str], field: str
) -> None:
    firing = prepare(app)["firing"]
    answer = listen(send, firing, meter, **wrong)
    assert answer.status_code == 422 and f'id="{field}-no"' in answer.get_data(as_text=True)
    assert app.extensions["listening"].heard is None


def test_a_phone_cannot_begin_it(app: Flask, meter: Meter, opened: Any) -> None:
    firing = prepare(app)["firing"]
    phone = opened.visitor()
    phone.pair(app)
    fields = {"token": phone.token(), "port": meter.port, "baud": "9600", "at": "1", "unit": "C", "every_s": "1"}
    answer = phone.ask(f"/firing/{firing}/port", fields)
    assert answer.status == 422 and "start it there" in answer.text
    assert app.extensions["listening"].heard is None
