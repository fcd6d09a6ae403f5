"""Awkward files of loggers, each written here as some instrument or spreadsheet would: read right, or refused plainly.

What each row says is known because it was written here: minute by minute from 08:00 UTC on 1 March 2026.
"""

from datetime import UTC, datetime, timedelta

import pytest

from bench.records.moments import to_ms
from bench.science.refusal import Refusal
from bench.workshop.logger import Columns, Log, guess, read_log, spread_out, table

START = datetime(2026, 3, 1, 8, 0, tzinfo=UTC)
NOW_MS = to_ms(START) + 30 * 3_600_000
TRUTH = [20.0, 65.5, 110.0, 118.5, 121.0, 180.0]


def read(data: bytes | str, zone_min: int = 0, start: datetime = START, **change: object) -> Log:
    found = table(data.encode() if isinstance(data, str) else data)
    columns = guess(found)
    columns = Columns(**{**columns.__dict__, **change})  # type: ignore[arg-type]
    return read_log(found, columns, zone_min=zone_min, start_ms=to_ms(start), now_ms=NOW_MS)


def minutes(log: Log) -> list[float]:
    return [(ms - to_ms(START)) / 60_000 for ms, _c, _raw in log.readings]


def temperatures(log: Log) -> list[float]:
    return [c for _ms, c, _raw in log.readings]


def rows(pattern: str, **more: str) -> str:
    """One line a minute of the truth by a pattern with {at} (datetime), {c}, {f}, {n}."""
    said = []
    for n, c in enumerate(TRUTH):
        at = START + timedelta(minutes=n)
        said.append(pattern.format(at=at, c=c, comma=f"{c}".replace(".", ","), f=c * 1.8 + 32, n=n, s=60 * n, **more))
    return "\n".join(said) + "\n"


GOOD = {
    "plain": "time,temperature (°C)\n" + rows("{at:%Y-%m-%d %H:%M:%S},{c}"),
    "no header": rows("{at:%Y-%m-%dT%H:%M:%SZ},{c}"),
    "semicolons and decimal commas": "Datum;Uhrzeit;Temperatur\n" + rows("{at:%d.%m.%Y};{at:%H:%M:%S};{comma}"),
    "tabs": "Time\tTC 1\n" + rows("{at:%Y/%m/%d %H:%M}\t{c}"),
    "mark at the line's end": "Time;Temp;\n" + rows("{at:%Y-%m-%d %H:%M};{c};"),
    "quoted": '"Date","Time","Probe °C"\n' + rows('"{at:%Y-%m-%d}","{at:%H:%M:%S}","{c}"'),
    "quoted with decimal commas": "Time,Temp\n" + rows('{at:%Y-%m-%d %H:%M:%S},"{comma}"'),
    "units in a second line": "Time,Temp\nhh:mm:ss,°C\n" + rows("{at:%Y-%m-%d %H:%M:%S},{c}"),
    "words before the table": "Log of the shed\nserial 00012\n\nTime,Temp\n" + rows("{at:%Y-%m-%d %H:%M:%S},{c}"),
    "fahrenheit": "Time,Temp (°F)\n" + rows("{at:%Y-%m-%d %H:%M},{f:.4f}"),
    "unit in each cell": "Time,Furnace\n" + rows("{at:%Y-%m-%d %H:%M},{c} °C"),
    "twelve hours": "Date,Time,Temp\n" + rows("03/21/2026,{at:%I:%M:%S %p},{c}").replace("03/21", "03/01"),
    "elapsed seconds": "Elapsed (s),Temp C\n" + rows("{s},{c}"),
    "elapsed minutes": "Elapsed min,Temp C\n" + rows("{n},{c}"),
    "elapsed clock": "Elapsed,Temp C\n" + rows("00:{n:02d}:00,{c}"),
    "since 1970": "epoch,temp\n" + rows("{s},{c}").replace("\n", "\n"),
    "two probes and a set value": "No.,Time,Ambient C,Set C,Furnace C\n" + rows("{n},{at:%Y-%m-%d %H:%M},21.0,900,{c}"),
    "another zone": "Time,Temp\n" + rows("{at:%Y-%m-%dT%H:%M:%S}+00:00,{c}"),
}
GOOD["since 1970"] = "epoch,temp\n" + "\n".join(
    f"{int((START + timedelta(minutes=n)).timestamp())},{c}" for n, c in enumerate(TRUTH)
)
GOOD["twelve hours"] = GOOD["twelve hours"].replace("03/01/2026", "2026-03-01")


@pytest.mark.parametrize("name", GOOD)
def test_it_is_read_as_it_was_written(name: str) -> None:
    log = read(GOOD[name])
    assert temperatures(log) == pytest.approx(TRUTH, abs=0.006)
    assert minutes(log) == pytest.approx(list(range(6)), abs=1e-6)
    assert not log.bad and not log.missing and not log.repeated and not log.unsorted


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-16-le", "cp1252"])
def test_whatever_it_was_encoded_in(encoding: str) -> None:
    log = read(GOOD["plain"].encode(encoding))
    assert temperatures(log) == TRUTH
    notes = table(GOOD["plain"].encode(encoding)).notes
    assert bool(notes) == (encoding == "cp1252")


def test_windows_and_old_line_ends() -> None:
    for end in ("\r\n", "\r"):
        assert temperatures(read(GOOD["plain"].replace("\n", end))) == TRUTH


def test_a_date_with_two_readings_is_asked_and_one_with_only_one_is_not() -> None:
    both = "Date,Time,Temp\n" + rows("01/03/2026,{at:%H:%M},{c}")
    assert guess(table(both.encode())).asks == ("order",)
    with pytest.raises(Refusal, match="two ways") as refused:
        read(both)
    assert refused.value.field == "order"
    assert minutes(read(both, order="dmy"))[0] == 0
    far = read(both, order="mdy")  # the third of January
    assert minutes(far)[0] == -(31 - 3 + 28 + 1) * 24 * 60
    # The thirteenth can be no month: one such row settles it for all.
    one = both + "13/03/2026,08:00,190\n"
    assert guess(table(one.encode())).order == "dmy"


def test_the_zone_of_a_clock_without_one_is_the_bench_s() -> None:
    plain = GOOD["plain"]
    assert minutes(read(plain, zone_min=60))[0] == -60
    assert minutes(read(GOOD["another zone"], zone_min=60))[0] == 0


def test_a_clock_alone_goes_on_past_midnight() -> None:
    late = START.replace(hour=23, minute=50)
    said = "Time,Temp\n" + "\n".join(f"{late + timedelta(minutes=5 * n):%H:%M:%S},{900 + n}" for n in range(5))
    log = read(said, start=late - timedelta(minutes=2))
    assert [m - minutes(log)[0] for m in minutes(log)] == [0, 5, 10, 15, 20]
    # A logger that was started just before midnight, for a fire that was lit just after.
    early = read(said, start=late + timedelta(minutes=15))
    assert minutes(early)[0] == minutes(log)[0]


def test_where_the_probe_gave_nothing_is_counted_and_the_clock_goes_on() -> None:
    said = "Time,Temp\n08:00,20\n08:01,----\n08:02,OPEN\n08:03,\n08:04,121\n"
    log = read(said)
    assert log.missing == 3 and temperatures(log) == [20, 121] and minutes(log) == [0, 4]


def test_repeated_and_unsorted_lines_and_a_long_pause() -> None:
    lines = [f"2026-03-01 08:{n:02d},{100 + n}" for n in range(10)]
    said = "Time,Temp\n" + "\n".join([*lines, lines[3], "2026-03-01 09:30,140", "2026-03-01 09:29,139"])
    log = read(said)
    assert log.repeated == 1 and log.unsorted == 2 and log.gap_s == 80 * 60
    assert minutes(log)[-2:] == [89, 90]


def test_a_line_that_cannot_be_read_is_named() -> None:
    said = "Time,Temp\n" + "\n".join(f"2026-03-01 08:{n:02d},{100 + n}" for n in range(20))
    said += "\n2026-03-01 08:20,hot\n2026-03-01 25:99,121\n2026-03-01 08:22,6553.5\nend of log\n"
    log = read(said)
    assert [line for line, _say in log.bad] == [22, 23, 24, 25]
    assert "hot" in log.bad[0][1] and "25:99" in log.bad[1][1] and "not a possible furnace temperature" in log.bad[2][1]
    assert len(log.readings) == 20


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        (("998.5", "1,002.0", "1,003.5"), [998.5, 1002.0, 1003.5]),
        (("998,5", "1.002,0", "1.003,5"), [998.5, 1002.0, 1003.5]),
        (("998", "1,002", "1,003"), [998.0, 1002.0, 1003.0]),
        (("20,125", "21,250", "22,375"), [20.125, 21.25, 22.375]),
    ],
)
def test_thousands_and_decimals(values: tuple[str, ...], expected: list[float]) -> None:
    said = "Time;Temp\n" + "\n".join(f"2026-03-01 08:0{n};{value}" for n, value in enumerate(values))
    assert temperatures(read(said)) == expected


@pytest.mark.parametrize(
    ("data", "say"),
    [
        (b"", "empty"),
        (b"\r\n\r\n", "empty"),
        (b"PK\x03\x04rest of a workbook", "spreadsheet"),
        (b"%PDF-1.7 and so on", "PDF"),
        (b"Time,Temp\n2026-03-01 08:00,2\x000\n" + b"x" * 300, "zero bytes"),
        (b"Dear friend,\nthe kiln ran well today.\nIt was hot, and so was I.\nYours\n", "No columns were found"),
        (b"one\ntwo\nthree\n", "No columns were found"),
        (b"name,colour\nshed,red\nyard,blue\n", "No rows of figures"),
        (b"Time,Temp\n2026-03-01 08:00,hot\n2026-03-01 08:01,warm\n", "No column of temperatures"),
        (b"Temp,Set\n20,900\n15,900\n25,900\n", "No column of times"),
        (b"Time,Temp\n2027-03-01 08:00,20\n2027-03-01 08:01,25\n", "in the future"),
        (b'Time,Temp\n2026-03-01 08:00,"20\n' + b"x" * 140_000 + b"\n", "No "),
    ],
)
def test_what_is_no_table_of_readings_is_refused_with_a_plain_sentence(data: bytes, say: str) -> None:
    with pytest.raises(Refusal, match=say):
        read(data)


def test_a_hundred_thousand_rows_are_read_and_thinned_with_every_peak() -> None:
    lines = [f"{START + timedelta(seconds=n):%Y-%m-%d %H:%M:%S},{20 + (n % 977) / 2}" for n in range(100_000)]
    log = read("Time,Temp\n" + "\n".join(lines))
    assert len(log.readings) == 100_000 and log.step_s == 1
    kept = spread_out(log.readings, 60)
    assert len(kept) < 4_000
    assert max(c for _, c, _ in kept) == max(temperatures(log)) and kept[-1] == log.readings[-1]
