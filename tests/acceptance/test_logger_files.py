"""Files of loggers as they come, by the firing's own screen: previewed, then imported, or refused in words.

Every file is written here, so what it says is known: the fire was lit at 08:00 UTC on 12 November 2026, and a reading
was kept each minute. What cannot be read names its line.
"""

import io
import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from html import unescape
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.acceptance.loads import load_of, planned
from tests.acceptance.maker import Maker
from tests.conftest import TOKEN, Keeper

LIT = datetime(2026, 11, 12, 8, 0, tzinfo=UTC)
TRUTH = [20.0, 65.5, 110.0, 118.5, 121.0, 180.0, 240.5, 998.5, 1002.0, 1003.5]
Rows = Callable[..., str]


def rows(pattern: str, start: datetime = LIT, step_min: float = 1.0) -> str:
    """One line a reading: {at} (datetime), {c}, {comma} (decimal comma), {f} (°F), {n}, {s} (seconds)."""
    said = []
    for n, c in enumerate(TRUTH):
        at = start + timedelta(minutes=step_min * n)
        f = round(c * 1.8 + 32, 2)
        said.append(pattern.format(at=at, c=c, comma=f"{c}".replace(".", ","), f=f, n=n, s=60 * n))
    return "\n".join(said) + "\n"


ISO = "{at:%Y-%m-%d %H:%M:%S}"
PLAIN = "time,temperature °C\n" + rows(ISO + ",{c}")
GERMAN = "Datum;Uhrzeit;Ofen °C\n" + rows("{at:%d.%m.%Y};{at:%H:%M:%S};{comma}")
TABS = "Time\tTC 1\n" + rows("{at:%Y/%m/%d %H:%M}\t{c}")
HEADER_NOISE = "Shed log, channel 2\nserial 0012, fw 1.1\n\nTime,Temp C\n" + rows(ISO + ",{c}")
UNITS_IN_CELLS = "Time,Furnace\n" + rows(ISO + ",{c} °C")
FAHRENHEIT = "Time,Temp (°F)\n" + rows(ISO + ",{f}")
TRAILING = "Time,Temp,\n" + rows(ISO + ",{c},")
QUOTED = '"Time","Temp, furnace"\n' + rows('"' + ISO + '","{comma}"')
ZONED = "Time,Temp\n" + rows("{at:%Y-%m-%dT%H:%M:%S}+01:00,{c}", LIT + timedelta(hours=1))
SECONDS = "Elapsed (s),Temp C\n" + rows("{s},{c}")
MINUTES = "Elapsed min;Temp C\n" + rows("{n};{comma}")
EPOCH = "epoch,temp\n" + "".join(f"{int((LIT + timedelta(minutes=n)).timestamp())},{c}\n" for n, c in enumerate(TRUTH))
TWO_PROBES = "No.,Time,Ambient C,Set C,Kiln C\n" + rows("{n}," + ISO + ",21.0,900,{c}")

GOOD: dict[str, bytes] = {
    "plain": PLAIN.encode(),
    "semicolons, decimal commas, day first": GERMAN.encode(),
    "tabs": TABS.encode(),
    "words before the table": HEADER_NOISE.encode(),
    "units in the cells": UNITS_IN_CELLS.encode(),
    "°F": FAHRENHEIT.encode(),
    "a comma at each line's end": TRAILING.encode(),
    "quoted, with decimal commas": QUOTED.encode(),
    "ISO stamps of another zone": ZONED.encode(),
    "seconds since the start": SECONDS.encode(),
    "minutes since the start": MINUTES.encode(),
    "seconds since 1970": EPOCH.encode(),
    "two probes and a set value": TWO_PROBES.encode(),
    "a byte order mark": PLAIN.encode("utf-8-sig"),
    "UTF-16": PLAIN.encode("utf-16"),
    "Windows-1252": PLAIN.encode("cp1252"),
    "old line ends": PLAIN.replace("\n", "\r").encode(),
}

REFUSED: dict[str, tuple[bytes, str]] = {
    "empty": (b"", "Choose a file."),
    "nothing but line ends": (b"\r\n\r\n", "This file is empty."),
    "one column": (b"Temp\n20\n65\n110\n", "Line 1 reads: Temp"),
    "a letter": (
        b"Dear Ida,\nthe kiln is hot today.\nYours, Bo\n",
        "No rows of figures were found. Line 1 reads: Dear",
    ),
    "a spreadsheet": (b"PK\x03\x04" + bytes(60), "a spreadsheet or an archive"),
    "zero bytes": (PLAIN.encode() + b"\x00\x01\x02" * 40, "zero bytes"),
    "no column of times": (b"a,b\nx,20\ny,65\nz,110\n", "No column of times was found. Line 2 reads: x | 20"),
    "no column of heat": (b"time,note\n2026-11-12 08:00,cold\n2026-11-12 08:01,warm\n", "Line 2 reads: 2026-11-12"),
    "a date with two readings": (
        ("Date,Time,Temp\n" + rows("11/12/2026,{at:%H:%M},{c}")).encode(),
        "whether day or month comes first",
    ),
    "tomorrow": (("Time,Temp\n" + rows(ISO + ",{c}", LIT + timedelta(days=2))).encode(), "It ends in the future"),
    "a probe that gave nothing": (
        b"Time,Temp\n2026-11-12 08:00,OPEN\n2026-11-12 08:01,----\n2026-11-12 08:02,NaN\n",
        "No column of temperatures was found. Line 2 reads",
    ),
}


class Screen:
    """The readings' page of a fire that burns."""

    def __init__(self, app: Flask, client: FlaskClient, keeper: Keeper) -> None:
        self.app, self.client = app, client
        self.firing = planned(app, load_of(app, (48.2,)), [{"to_c": 1000, "hold_min": 60}])
        assert keeper.ms == LIT.timestamp() * 1000
        token = TOKEN.search(client.get("/looks/").get_data(as_text=True))
        assert token
        self.token = token[1]
        client.post(f"/firing/{self.firing}/light", data={"token": self.token, "in_fact": "1"})
        keeper.turn(28 * 60)

    def send(self, **fields: Any) -> tuple[int, str]:
        answer = self.client.post(f"/firing/{self.firing}/readings", data={"token": self.token, **fields})
        return answer.status_code, unescape(answer.get_data(as_text=True))

    def look(self, data: bytes, **fields: Any) -> tuple[int, str]:
        """The file chosen and looked over: nothing is kept by that."""
        found = self.send(file=(io.BytesIO(data), "log.csv"), **fields)
        assert not self.kept
        return found

    def take(self, seen: str, **fields: Any) -> tuple[int, str]:
        digest = re.search(r'name="digest" value="(\w+)"', seen)
        assert digest
        return self.send(digest=digest[1], take="1", **fields)

    @property
    def kept(self) -> list[tuple[float, float]]:
        """(minutes since lighting, °C) of what was kept."""
        state = self.app.extensions["bench"].state
        return [((r.when - LIT).total_seconds() / 60, r.body.c) for r in state.by_time(self.firing, "reading")]


@pytest.fixture
def screen(app: Flask, client: FlaskClient, keeper: Keeper) -> Screen:
    return Screen(app, client, keeper)


def fact(page: str, name: str) -> int:
    """A figure of the preview, by its name; 0 where it is not said."""
    found = re.search(rf"<dt>{re.escape(name)}</dt><dd[^>]*>(\d+)", page)
    return int(found[1]) if found else 0


def is_truth(kept: list[tuple[float, float]]) -> bool:
    return kept == [(n, pytest.approx(c, abs=0.006)) for n, c in enumerate(TRUTH)]


@pytest.mark.parametrize("name", GOOD)
def test_it_is_seen_first_and_then_kept_as_it_was_written(screen: Screen, name: str) -> None:
    status, seen = screen.look(GOOD[name])
    assert status == 200 and fact(seen, "Readings in the file") == fact(seen, "New here") == len(TRUTH), seen
    assert "1003.5 °C" in seen and 'class="measured"' in seen
    assert screen.take(seen)[0] == 303
    assert is_truth(screen.kept)
    # The same file again: everything in it is known, and nothing is kept twice.
    status, again = screen.send(file=(io.BytesIO(GOOD[name]), "again.csv"))
    assert fact(again, "New here") == 0 and fact(again, "Here already") == len(TRUTH)
    status, said = screen.take(again)
    assert status == 422 and "All readings of this file are here already." in said
    assert len(screen.kept) == len(TRUTH)


@pytest.mark.parametrize("name", REFUSED)
def test_it_is_refused_in_words_and_nothing_is_kept(screen: Screen, name: str) -> None:
    data, words = REFUSED[name]
    status, said = screen.look(data)
    assert words in said, re.sub(r"<[^>]+>", " ", said)
    assert status in (200, 422) and "Take " not in said


def test_a_clock_without_a_date_goes_on_past_midnight(screen: Screen) -> None:
    late = LIT + timedelta(hours=15, minutes=56)  # 23:56
    data = "Time;Temp\n" + rows("{at:%H:%M:%S};{comma}", late)
    _, seen = screen.look(data.encode(), start="23:55", start_date="2026-11-12")
    assert screen.take(seen, start="23:55", start_date="2026-11-12")[0] == 303
    assert [minute - 956 for minute, _ in screen.kept] == list(range(len(TRUTH)))


def test_gaps_doubles_disorder_and_a_dead_probe_are_counted_in_the_preview(screen: Screen) -> None:
    lines = [f"2026-11-12 08:{n:02d},{100 + n}" for n in range(20)]
    lines[5] = "2026-11-12 08:05,----"
    lines += [lines[3], lines[4], "2026-11-12 10:00,400", "2026-11-12 09:59,399"]
    _, seen = screen.look(("Time,Temp\n" + "\n".join(lines) + "\n").encode())
    assert fact(seen, "Readings in the file") == 21
    assert fact(seen, "Duplicates in the file") == 2
    assert fact(seen, "Lines where the probe gave nothing") == 1
    assert fact(seen, "Out of order (sorted)") == 2
    assert fact(seen, "Longest pause") == 100
    screen.take(seen)
    assert [c for _, c in screen.kept][-2:] == [399.0, 400.0]


def test_a_line_that_cannot_be_read_is_named_and_left_out_only_when_that_is_said(screen: Screen) -> None:
    lines = [f"2026-11-12 08:{n:02d},{100 + n}" for n in range(20)]
    wrong = ["2026-11-12 08:20,hot", "2026-11-12 25:99,121", "2026-11-12 08:22,6553.5", "2026-11-12 08:23,1.2.3"]
    _, seen = screen.look(("Time,Temp\n" + "\n".join(lines + wrong) + "\nend of log\n").encode())
    for line, word in (
        (22, "hot"),
        (23, "25:99"),
        (24, "not a possible furnace temperature"),
        (25, "1.2.3"),
        (26, "columns"),
    ):
        assert re.search(rf"<b>Line {line}</b><span>[^<]*{re.escape(word)}", seen), (line, word)
    status, said = screen.take(seen)
    assert status == 422 and "Leave them out" in said and not screen.kept
    assert screen.take(seen, leave_bad="1")[0] == 303 and len(screen.kept) == 20


def test_what_says_otherwise_than_a_reading_by_hand_is_counted(screen: Screen) -> None:
    journal = screen.app.extensions["bench"].journal
    state = screen.app.extensions["bench"].state
    lit = state.slot(screen.firing, "lit").record
    stamp = f"{lit.when:%Y-%m-%d %H:%M:%S}"
    journal.write("reading", screen.firing, {"c": 33.0, "raw": 33.0, "raw_unit": "C"}, happened_at=lit.at, how="late")
    _, seen = screen.send(file=(io.BytesIO(f"Time,Temp\n{stamp},20\n2026-11-12 09:00,21\n".encode()), "a.csv"))
    assert fact(seen, "Conflicts with existing readings") == 1 and fact(seen, "New here") == 2


def test_a_file_that_was_taken_in_by_mistake_is_undone_whole(screen: Screen) -> None:
    """Five thousand readings, which one record cannot name: none of them stands after *Undo*."""
    data = "s,Temp C\n" + "".join(f"{n},{20 + n % 900}\n" for n in range(5_000))
    _, seen = screen.look(data.encode())
    assert screen.take(seen, keep="0")[0] == 303 and len(screen.kept) == 5_000
    page = screen.client.get(f"/firing/{screen.firing}").get_data(as_text=True)
    ids = re.search(r'name="ids" value="([^"]+)"', page)
    assert ids and "5000 readings imported" in page
    answer = screen.client.post("/undo", data={"token": screen.token, "ids": ids[1], "back": "/"})
    assert answer.status_code == 303 and not screen.kept


def test_a_hundred_thousand_rows_by_a_browser_are_kept_by_the_minute_with_every_peak(maker: Maker) -> None:
    app, peak = maker.live.app, 77_777
    firing = planned(app, load_of(app, (48.2,)), [{"to_c": 1000, "hold_min": 60}])
    app.extensions["bench"].journal.write("lit", firing, {"deviations": []})
    maker.live.keeper.turn(28 * 60)
    said = "s,Temp C\n" + "".join(f"{n},{1203.4 if n == peak else 500 + n % 60}\n" for n in range(100_000))
    maker.at(f"/firing/{firing}/readings")
    file = {"name": "long.csv", "mimeType": "text/csv", "buffer": said.encode()}
    maker.page.set_input_files('[name="file"]', file)
    maker.press()
    # A minute's lowest and highest are proposed where there are so many: 1,667 minutes.
    assert fact(maker.page.content(), "Readings in the file") == 100_000
    assert len(maker.page.content()) < 60_000 and maker.press("Import 3334") == f"/firing/{firing}"
    state = app.extensions["bench"].state
    kept = [(r.when, r.body.c) for r in state.by_time(firing, "reading")]
    at, c = max(kept, key=lambda one: one[1])
    assert len(kept) == 3334 and c == 1203.4 and (at - LIT).total_seconds() == peak
