"""Backups are judged by what they hold: whatever a clock says, what only a backup holds is never removed."""

import shutil
from datetime import date, timedelta
from pathlib import Path

import pytest

from bench.journal import Draft, Journal, backups, safekeeping
from bench.journal.backups import kept
from bench.journal.merging import FILE
from bench.journal.survey import survey
from bench.journal.verify import verify
from tests.journal.helpers import START_MS, HandClock, assay, open_journal, ulid

JAR = ulid(9_000_000)
DAY, HOUR = 86_400_000, 3_600_000
IN_2035, IN_2000 = 2_060_000_000_000, 950_000_000_000


def use(folder: Path, ms: int, records: int = 1) -> None:
    """A day at the bench: opened, some records, closed, and opened once more so that they are backed up."""
    with open_journal(folder, HandClock(ms)) as journal:
        for n in range(records):
            journal.write("jar.assayed", JAR, assay(n))
    open_journal(folder, HandClock(ms)).close()


def held(folder: Path) -> dict[str, int]:
    """How many records each backup holds, by name."""
    return {path.name: len(survey(path.read_bytes()).lines) for path in (folder / "backups").glob("*.backup")}


def lose(folder: Path) -> None:
    (folder / FILE).unlink()


def test_of_seven_days_eight_weeks_and_each_year_one_is_kept() -> None:
    first = date(2024, 1, 1)
    days = [first + timedelta(days=n) for n in range(900)][::-1]  # the newest is the fullest
    chosen = [day for day, keep in zip(days, kept(days), strict=True) if keep]
    assert chosen[:7] == days[:7]
    weeks = {day.isocalendar()[:2] for day in chosen[:-2]}
    assert len(weeks) == 8 and len(chosen) <= 7 + 8 + 3
    assert {day.year for day in chosen} == {2024, 2025, 2026}
    assert date(2024, 12, 31) in chosen and date(2025, 12, 31) in chosen


def test_a_clock_that_was_once_in_2035_does_not_hide_the_fullest_backup(tmp_path: Path) -> None:
    use(tmp_path, START_MS, 5)
    use(tmp_path, IN_2035)
    for day in range(1, 12):
        use(tmp_path, START_MS + day * DAY, 10)
    lose(tmp_path)
    with open_journal(tmp_path, HandClock(START_MS + 12 * DAY)) as journal:
        question = journal.safe.shortfall
        assert question is not None and question.new and question.held == 0
        assert question.offers[0].gains == question.offers[0].records == 116
        assert journal.safe.take_in(question.offers[0].path).new == 116
        assert journal.safe.shortfall is None and len(journal.records(JAR)) == 116


def test_backups_of_a_clock_in_2000_are_kept_like_any_other(tmp_path: Path) -> None:
    for day in range(8):
        use(tmp_path, START_MS + day * DAY)
    use(tmp_path, IN_2000, 3)
    use(tmp_path, IN_2000 + DAY, 3)
    assert max(held(tmp_path).values()) == 14
    use(tmp_path, START_MS + 9 * DAY)
    assert held(tmp_path)["saggar-2000-02-09.backup"] == 14
    lose(tmp_path)
    with open_journal(tmp_path, HandClock(IN_2000)) as journal:
        assert journal.safe.shortfall is not None and journal.safe.shortfall.offers[0].records == 15


def test_a_lost_file_is_asked_about_for_as_long_as_it_takes(tmp_path: Path) -> None:
    use(tmp_path, START_MS, 200)
    lose(tmp_path)
    for day in range(1, 17):
        use(tmp_path, START_MS + day * DAY)
        with open_journal(tmp_path, HandClock(START_MS + day * DAY)) as journal:
            question = journal.safe.shortfall
            assert question is not None and question.offers[0].gains == 200, day
            assert (
                "holds 200 records" in question.sentences[0]
                and "None of them is in the data file" in (question.sentences[0])
            )
    assert len(held(tmp_path)) <= 1 + 7 + 3
    with open_journal(tmp_path, HandClock(START_MS + 17 * DAY)) as journal:
        journal.safe.take_in(question.offers[0].path)
        assert len(journal.records(JAR)) == 216 and journal.safe.shortfall is None
        before = next((tmp_path / "backups").glob("*.before"))
        assert len(survey(before.read_bytes()).lines) == 16
    with open_journal(tmp_path) as journal:
        assert journal.safe.shortfall is None
    assert verify(tmp_path).sound


def test_of_a_file_that_holds_a_part_it_is_said_how_many_are_not_there(tmp_path: Path) -> None:
    use(tmp_path, START_MS, 20)
    whole = (tmp_path / "saggar.json").read_bytes()
    lines = whole.split(b"\n,")
    (tmp_path / "saggar.json").write_bytes(b"\n,".join(lines[:8]) + b"\n}}\n")
    with open_journal(tmp_path) as journal:
        question = journal.safe.shortfall
        assert question is not None and question.offers[0].gains == 12
        assert question.sentences[0].endswith("Of these, 12 are not in the data file.")


def test_to_start_empty_settles_it_and_removes_nothing(tmp_path: Path) -> None:
    use(tmp_path, START_MS, 20)
    lose(tmp_path)
    with open_journal(tmp_path) as journal:
        journal.safe.go_on_without()
        assert journal.safe.shortfall is None
    for day in range(1, 11):
        use(tmp_path, START_MS + day * DAY)
    with open_journal(tmp_path) as journal:
        assert journal.safe.shortfall is None and len(journal.records(JAR)) == 10
        (left,) = (tmp_path / "backups" / "left").glob("*.backup")
        assert journal.merge(left).new == 20


def emptied(folder: Path) -> None:
    (folder / FILE).write_bytes(b'{"records":{\n}}\n')


def older(folder: Path) -> None:
    raw = (folder / FILE).read_bytes().split(b"\n")
    (folder / FILE).write_bytes(b"\n".join([*raw[:4], b"}}\n"]))


@pytest.mark.parametrize(("harm", "there"), [(lose, 0), (emptied, 0), (older, 3)])
def test_a_file_that_holds_less_than_its_backup_is_asked_about(tmp_path: Path, harm: object, there: int) -> None:
    use(tmp_path, START_MS, 12)
    harm(tmp_path)  # type: ignore[operator]
    with open_journal(tmp_path) as journal:
        question = journal.safe.shortfall
        assert question is not None and question.held == there and question.offers[0].gains == 12 - there
        assert [(one.device, one.first, one.last) for one in question.lacking] == [("laptop", there + 1, 12)]
        assert journal.device.startswith("laptop~"), "numbers that were given out are not given out again"
        assert not any("missing" in say for say in question.sentences), "the backup holds every number"
        assert any("the newest of 2026-05-28." in say for say in question.sentences), question.sentences
        journal.safe.take_in(question.offers[0].path)
        assert journal.safe.shortfall is None


def test_what_no_backup_holds_is_said_beside_what_one_does(tmp_path: Path) -> None:
    use(tmp_path, START_MS, 5)
    with open_journal(tmp_path) as journal:
        write(journal, 3)
    lose(tmp_path)
    with open_journal(tmp_path) as journal:
        question = journal.safe.shortfall
        assert question is not None and question.offers[0].records == 5
        said = (
            "No backup holds all of it. At least 3 records that were kept here are missing: numbers 6 to 8 of laptop."
        )
        assert said in question.sentences
        journal.safe.take_in(question.offers[0].path)
        question = journal.safe.shortfall
        assert question is not None and not question.offers and len(question.lacking) == 1


def test_without_a_backup_the_numbers_that_are_missing_are_said_until_settled(tmp_path: Path) -> None:
    with open_journal(tmp_path) as journal:
        for n in range(9):
            journal.write("jar.assayed", JAR, assay(n))
    lose(tmp_path)
    for _ in range(3):
        with open_journal(tmp_path) as journal:
            question = journal.safe.shortfall
            assert question is not None and not question.offers
            assert "At least 9 records that were kept here are missing: numbers 1 to 9 of laptop." in question.sentences
            journal.write("jar.assayed", JAR, assay(1))
    with open_journal(tmp_path) as journal:
        journal.safe.go_on_without()
    with open_journal(tmp_path) as journal:
        assert journal.safe.shortfall is None


def test_a_folder_that_lost_its_file_and_its_notes_counts_on_under_another_name(tmp_path: Path) -> None:
    use(tmp_path, START_MS, 4)
    lose(tmp_path)
    shutil.rmtree(tmp_path / "keys")
    with open_journal(tmp_path) as journal:
        assert journal.device.startswith("laptop~") and journal.write("jar.assayed", JAR, assay(1)).record.seq == 1


def test_a_backup_of_today_that_holds_something_else_is_not_written_over(tmp_path: Path) -> None:
    use(tmp_path, START_MS, 30)
    lose(tmp_path)
    with open_journal(tmp_path) as journal:
        journal.write("jar.assayed", JAR, assay(1))
        journal.backup()
        journal.write("jar.assayed", JAR, assay(2))
        journal.backup()
    assert sorted(held(tmp_path).values()) == [2, 30]


def test_while_it_runs_a_backup_is_made_at_the_change_of_day_and_after_many_records(tmp_path: Path) -> None:
    clock = HandClock()
    with open_journal(tmp_path, clock) as journal:
        write(journal, 5)
        journal.safe.tend()
        assert held(tmp_path) == {"saggar-2026-05-28.backup": 5}
        write(journal, 199)
        clock.ms += 2 * HOUR
        journal.safe.tend()
        assert list(held(tmp_path).values()) == [5], "199 are not 200"
        write(journal, 1)
        journal.safe.tend()
        assert list(held(tmp_path).values()) == [205]
        write(journal, 400)
        clock.ms += HOUR // 2
        journal.safe.tend()
        assert list(held(tmp_path).values()) == [205], "at most hourly"
        clock.ms -= 9 * HOUR  # a clock put back does not hold it up for hours
        journal.safe.tend()
        assert max(held(tmp_path).values()) == 605
        write(journal, 1)
        clock.ms += DAY
        journal.safe.tend()
        assert max(held(tmp_path).values()) == 606 and len(held(tmp_path)) == 2
        write(journal, 1)
        journal.safe.tend(closing=True)
        assert max(held(tmp_path).values()) == 607


def write(journal: Journal, count: int) -> None:
    journal.write_all([Draft("jar.assayed", JAR, assay(n)) for n in range(count)])


def test_no_backup_fills_the_disk_up(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    usage = shutil.disk_usage(tmp_path)
    with open_journal(tmp_path) as journal:
        write(journal, 50)
        size = (tmp_path / FILE).stat().st_size
        monkeypatch.setattr(backups.shutil, "disk_usage", lambda _: usage._replace(free=2 * size - 7))
        journal.safe.tend()
        assert not held(tmp_path) and "No backup was made" in journal.report[0]
        monkeypatch.setattr(backups.shutil, "disk_usage", lambda _: usage._replace(free=2 * size))
        journal.safe.tend()
        assert list(held(tmp_path).values()) == [50] and not journal.report


def test_an_opening_does_not_wait_for_the_copy_of_a_large_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with open_journal(tmp_path) as journal:
        write(journal, 5)
    monkeypatch.setattr(safekeeping, "LARGE", 100)
    with open_journal(tmp_path) as journal:
        assert not held(tmp_path)
        journal.safe.tend()
        assert list(held(tmp_path).values()) == [5]


def test_another_program_keeps_a_backup_before_it_writes(tmp_path: Path) -> None:
    use(tmp_path, START_MS, 3)
    with open_journal(tmp_path) as journal:
        write(journal, 2)
    open_journal(tmp_path).close()
    assert list(held(tmp_path).values()) == [3], "one a day"
    (tmp_path / "keys" / "program.txt").write_text("another\n")
    open_journal(tmp_path).close()
    assert list(held(tmp_path).values()) == [5]


def test_a_copy_that_does_not_read_back_takes_no_ones_place(tmp_path: Path) -> None:
    use(tmp_path, START_MS, 6)
    with open_journal(tmp_path) as journal:
        write(journal, 3)
        raw = bytearray((tmp_path / FILE).read_bytes())
        raw[60] ^= 255  # the disk gives back something else than what was written
        (tmp_path / FILE).write_bytes(raw)
        with pytest.raises(OSError, match="does not read back"):
            journal.backup()
    assert list(held(tmp_path).values()) == [6]


def test_a_second_folder_gets_the_same_and_two_benches_may_share_it(tmp_path: Path) -> None:
    stick = tmp_path / "stick"
    stick.mkdir()
    one, two = tmp_path / "one", tmp_path / "two"
    for folder, count in ((one, 4), (two, 7)):
        with open_journal(folder) as journal:
            journal.write("setting.changed", "0" * 26, {"name": "backup_folder", "value": str(stick)})
            write(journal, count)
            journal.safe.tend()
            assert journal.safe.second_folder() == (str(stick), True, count + 1)
    kept_there = [len(survey(path.read_bytes()).lines) for path in stick.glob("*.backup")]
    assert sorted(kept_there) == [5, 8]
    lose(one)
    shutil.rmtree(one / "backups")
    with open_journal(one) as journal:
        assert journal.safe.shortfall is not None, "the numbers are missed, though the setting is gone with the file"
        found = [path for path in stick.glob("*.backup") if len(survey(path.read_bytes()).lines) == 5]
        assert journal.safe.take_in(found[0]).new == 5 and journal.safe.shortfall is None


@pytest.mark.parametrize("stick_comes_late", [False, True])
def test_a_lost_file_is_found_in_the_second_folder_and_another_benchs_backup_there_is_no_answer(
    tmp_path: Path, stick_comes_late: bool
) -> None:
    stick, away = tmp_path / "stick", tmp_path / "away"
    stick.mkdir()
    for name, count in (("other", 9), ("own", 4)):
        with open_journal(tmp_path / name) as journal:
            journal.write("setting.changed", "0" * 26, {"name": "backup_folder", "value": str(stick)})
            write(journal, count)
            journal.safe.tend()
    lose(tmp_path / "own")
    shutil.rmtree(tmp_path / "own" / "backups")
    if stick_comes_late:
        stick.rename(away)
    with open_journal(tmp_path / "own") as journal:
        if stick_comes_late:
            assert journal.safe.shortfall is None or not journal.safe.shortfall.offers
            journal.safe.tend()
            away.rename(stick)
            journal.safe.tend()
        question = journal.safe.shortfall
        assert question is not None and [offer.records for offer in question.offers] == [5]
        assert str(stick) in "".join(question.sentences)
        write(journal, 1)
        journal.safe.tend()  # which puts a backup of the new file there, beside the old one
    with open_journal(tmp_path / "own") as journal:
        question = journal.safe.shortfall
        assert question is not None and question.offers[0].gains == 5
        assert journal.safe.take_in(question.offers[0].path).new == 5 and journal.safe.shortfall is None
        journal.safe.tend()
    lose(tmp_path / "own")
    shutil.rmtree(tmp_path / "own" / "backups")
    with open_journal(tmp_path / "own") as journal:
        assert journal.safe.shortfall is not None and journal.safe.shortfall.offers
        before = set(stick.iterdir())
        journal.safe.go_on_without()
        assert journal.safe.shortfall is None and set(stick.iterdir()) == before, "the stick is left as it is"
    with open_journal(tmp_path / "own") as journal:
        assert journal.safe.shortfall is None


def test_a_copy_elsewhere_of_the_same_name_is_another(tmp_path: Path) -> None:
    use(tmp_path / "one", START_MS, 5)
    use(tmp_path / "two", START_MS, 8)
    (theirs,) = (tmp_path / "two" / "backups").glob("*.backup")
    with open_journal(tmp_path / "one") as journal:
        (ours,) = journal.backups.glob("*.backup")
        before = ours.stat().st_ino
        assert journal.safe.backups.holding(ours).records == 5
        offer = journal.safe.offer(theirs)
        assert offer is not None and offer.gains == 8
        journal.safe.tend(closing=True)
        assert ours.stat().st_ino == before, "nothing is new, so no copy is made"


def test_a_stick_that_is_not_there_holds_nothing_up(tmp_path: Path) -> None:
    with open_journal(tmp_path) as journal:
        journal.write("setting.changed", "0" * 26, {"name": "backup_folder", "value": str(tmp_path / "gone")})
        journal.safe.tend()
        assert journal.safe.second_folder() == (str(tmp_path / "gone"), False, 0)
        (tmp_path / "gone").mkdir()
        journal.safe.tend()
        assert journal.safe.second_folder()[1:] == (True, 1)


def test_of_copies_made_before_merges_a_few_stay_and_every_one_that_holds_more(tmp_path: Path) -> None:
    use(tmp_path / "one", START_MS, 4)
    clock = HandClock(START_MS)
    with open_journal(tmp_path / "one", clock) as journal:
        write(journal, 1)
        fuller = journal.backups / "saggar-2020-01-01T000000.before"
        other = open_journal(tmp_path / "two", device="two")
        write(other, 2)
        other.close()
        shutil.copy(tmp_path / "two" / FILE, fuller)
        for n in range(14):
            clock.ms += 1000
            write(journal, 1)
            journal.safe.take_in(tmp_path / "one" / "backups" / "saggar-2026-05-28.backup")
            assert len(list(journal.backups.glob("*.before"))) == min(n + 2, 11)
        assert fuller.exists(), "it holds what the bench does not"


def test_a_second_loss_does_not_hide_the_first(tmp_path: Path) -> None:
    for count in (6, 4):
        with open_journal(tmp_path) as journal:
            write(journal, count)
        lose(tmp_path)
        shutil.rmtree(tmp_path / "backups", ignore_errors=True)
    with open_journal(tmp_path) as journal:
        question = journal.safe.shortfall
        assert question is not None and sorted(one.last for one in question.lacking) == [4, 6]
