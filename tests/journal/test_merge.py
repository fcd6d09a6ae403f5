"""Merging files: nothing lost, nothing doubled, whatever the order; and under which names folders write."""

import errno
import itertools
import json
import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as some

from bench.journal import Journal, NotKept, Unusable, disk, photos
from bench.journal.disk import Disk, put
from bench.journal.lines import TAIL
from bench.journal.verify import devices_of
from tests.journal.helpers import START_MS, HandClock, assay, open_journal, phone_record, ulid

JAR = ulid(9_000_000)
QUICK = Disk(sync=lambda fd: None)
HOUR = 3_600_000
YEAR_H = 8_766


@pytest.fixture(autouse=True, scope="module")
def no_waiting_for_the_disk() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:  # what a merge brings does not depend on a pulled plug
        patch.setattr(disk, "full_sync", lambda fd: None)
        patch.setattr(disk, "sync_folder", lambda folder: None)
        yield


@pytest.fixture
def folders(tmp_path: Path) -> Iterator[Path]:
    return (tmp_path / f"folder-{n}" for n in itertools.count())


def test_a_copy_is_seen_before_it_is_taken_in(folders: Iterator[Path]) -> None:
    ours, copy = next(folders), next(folders)
    with open_journal(copy) as journal:
        journal.receive([phone_record(n, seq=n) for n in (1, 2, 3, 4)])
        journal.receive([phone_record(5, seq=5)])
    with open_journal(ours) as journal:
        journal.receive([phone_record(1, seq=1), phone_record(2, seq=2) | {"data": assay(9.0)}])
        journal.receive([phone_record(8, seq=8)])
        seen = journal.safe.preview(copy)
    assert (seen.records, seen.new_here, seen.new_there, seen.differ) == (5, 3, 1, 1)
    assert seen.newest_ms == START_MS + 5 and seen.highs == {"phone-kiln": 5} and not seen.damage


def envelopes(journal: Journal) -> list[str]:
    return sorted(json.dumps(r.to_dict(), sort_keys=True) for r in journal._view.everything())


def counting(journal: Journal) -> dict[str, object]:
    return {i: r.to_dict() for i, r in journal.state.records.items()}


def test_a_merge_brings_everything_once(folders: Iterator[Path]) -> None:
    with open_journal(next(folders)) as a, open_journal(next(folders), device="bench-2") as b:
        for n in range(5):
            a.write("jar.assayed", JAR, assay(n))
            b.write("jar.assayed", JAR, assay(10 + n))
        b.receive([phone_record(1)])
        merged = a.merge(b.folder)
        assert (merged.new, merged.same, merged.conflicts, merged.refused) == (6, 0, 0, [])
        again = a.merge(b.folder / "saggar.json")
        assert (again.new, again.same) == (0, 6)
        assert len(a.records(JAR)) == 11 and a.device == "laptop" and not a.conflicts
        assert [(d.name, d.count, d.missing) for d in devices_of(a.records(JAR))] == [
            ("bench-2", 5, ()),
            ("laptop", 5, ()),
            ("phone-kiln", 1, ()),
        ]


MOVES = some.lists(
    some.tuples(
        some.integers(0, 2),
        some.sampled_from("wwwwpxcm"),
        some.integers(0, 3),
        some.integers(0, 2),
        some.sampled_from([-YEAR_H, -9, -1, 0, 1, 9, YEAR_H]),
    ),
    max_size=20,
)


def play(moves: list[tuple[int, str, int, int, int]], root: Path) -> list[Journal]:
    clocks = [HandClock(START_MS), HandClock(START_MS + 9 * HOUR), HandClock(START_MS - 9 * HOUR)]
    journals = [open_journal(root / f"j{n}", clocks[n], QUICK, f"bench-{n // 2}") for n in range(3)]
    for who, what, value, other, hours in moves:
        journal = journals[who]
        if what == "w":
            journal.write("jar.assayed", JAR, assay(value))
        elif what == "p":
            journal.receive([phone_record(value, seq=value + 1)])
        elif what == "x":
            journal.write("jar.assayed", JAR, assay(hours % 2), id=ulid(500 + value))
        elif what == "c":
            standing = [r.id for r in journal.state.rows(JAR, "jar.assayed")]
            journal.write("jar.assayed", JAR, assay(value), corrects=standing[:2])
        else:
            clocks[who].ms += hours * HOUR
            journal.merge(journals[other].folder)
    return journals


@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
@given(MOVES, some.permutations(range(3)))
def test_every_order_of_merging_comes_to_the_same(
    moves: list[tuple[int, str, int, int, int]], order: list[int]
) -> None:
    with tempfile.TemporaryDirectory() as root:
        journals = play(moves, Path(root))
        everything = sorted(set().union(*(envelopes(j) for j in journals)))
        results = []
        with open_journal(Path(root) / "two", HandClock(), QUICK, "two") as two:  # a + (b + c) beside (a + b) + c
            for n in order[1:]:
                two.merge(journals[n].folder)
        parts = [*(journal.folder for journal in journals), two.folder]
        for number, path in enumerate(([0, 1, 2], list(order), [*order, *order[::-1]], [order[0], 3], [3, order[0]])):
            with open_journal(Path(root) / f"m{number}", HandClock(), QUICK, "home") as home:
                for n in path:
                    home.merge(parts[n])
                results.append(
                    (envelopes(home), counting(home), [c.id for c in sorted(home.conflicts, key=lambda c: c.id)])
                )
                file = home.folder
            with open_journal(file, HandClock(), QUICK) as again:
                assert (envelopes(again), counting(again)) == results[-1][:2]
        assert all(one == results[0] for one in results)
        assert results[0][0] == everything
        for record in results[0][1].values():  # a correction stands after what it corrects, whatever the clocks said
            for target in record.get("corrects", ()):
                assert tuple(results[0][1][target]["hlc"][:2]) < tuple(record["hlc"][:2])
        assert all(not d.missing for d in devices_of(journals[0]._view.everything()) if d.name.startswith("bench-0"))
        for journal in journals:
            journal.close()


OUTBOX = [phone_record(n, seq=n) for n in range(1, 8)] + [phone_record(n, "phone-2", n - 10) for n in range(11, 15)]


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(some.lists(some.lists(some.sampled_from(OUTBOX), max_size=6), max_size=8))
def test_outboxes_in_pieces_shuffled_and_repeated_are_counted_exactly(
    deliveries: list[list[dict[str, object]]],
) -> None:
    with tempfile.TemporaryDirectory() as root, open_journal(Path(root), disk=QUICK) as journal:
        receipts = [r for piece in deliveries for r in journal.receive(piece)]
        sent = {raw["id"] for piece in deliveries for raw in piece}
        assert sorted(r.id for r in receipts if r.status == "new") == sorted(sent)
        assert {r.status for r in receipts} <= {"new", "same"}
        assert {r.id for r in journal.records(JAR)} == sent == set(journal.state.records)
        held = {(r.device, r.seq) for r in journal.records(JAR)}
        for device in devices_of(journal.records(JAR)):
            gaps = {n for low, high in device.missing for n in range(low, high + 1)}
            assert gaps == set(range(1, device.high)) - {seq for name, seq in held if name == device.name}
        journal.receive(OUTBOX)
        assert len(journal.records(JAR)) == len(OUTBOX) and all(not d.missing for d in devices_of(journal.records(JAR)))


def test_the_state_is_that_of_the_first_by_order_whatever_came_first(folders: Iterator[Path]) -> None:
    early, late = phone_record(1, hlc=[START_MS, 0, "p"]), phone_record(1, hlc=[START_MS + 9, 0, "p"], data=assay(7.0))
    states = []
    for order in ([early, late], [late, early]):
        with open_journal(next(folders)) as journal:
            assert [journal.receive([raw])[0].status for raw in order] == ["new", "conflict"]
            states.append((counting(journal), journal.records(JAR), journal.conflicts))
    assert states[0] == states[1]
    assert states[0][1][0].data == assay(1.0)


def test_one_page_sent_to_two_benches_is_one_record_and_no_number_is_missed(folders: Iterator[Path]) -> None:
    with open_journal(next(folders), device="a") as a, open_journal(next(folders), device="b") as b:
        for journal in (a, b):
            journal.write("jar.assayed", JAR, assay(1), id=ulid(40))
            journal.write("jar.assayed", JAR, assay(2))
        results = []
        for order in ((a, b), (b, a)):
            with open_journal(next(folders), device="home") as home:
                for source in order:
                    home.merge(source.folder)
                gaps = [device.missing for device in devices_of(home._view.everything())]
                results.append((counting(home), gaps, len(home.records(JAR)), home.conflicts))
        assert results[0] == results[1] and results[0][1:] == ([(), ()], 3, [])


def test_what_a_merge_refuses_is_put_aside(folders: Iterator[Path]) -> None:
    with open_journal(next(folders)) as journal:
        merged = journal.merge([phone_record(1), phone_record(2, data={"before_g": "x"}), 17])
        assert (merged.new, len(merged.refused)) == (1, 2)
        assert merged.sentences == ["2 could not be imported. They are kept as backups/merge-2026-05-28.refused."]
        kept = json.loads((journal.backups / "merge-2026-05-28.refused").read_bytes())
        assert kept[0]["data"] == {"before_g": "x"} and kept[1] == 17


def test_merging_a_damaged_file_takes_what_is_whole_and_says_the_rest(folders: Iterator[Path]) -> None:
    source = next(folders)
    with open_journal(source) as a:
        for n in range(4):
            a.write("jar.assayed", JAR, assay(n))
    raw = (source / "saggar.json").read_bytes().replace(b'"before_g":2', b'"before_g":90')
    (source / "saggar.json").write_bytes(raw)
    with open_journal(next(folders), device="home") as home:
        merged = home.merge(source)
        assert merged.new == 3 and merged.sentences[0].startswith("In saggar.json: The file is damaged: 1 record")
        assert (source / "saggar.json").read_bytes() == raw
        with pytest.raises(Unusable, match="cannot be read"):
            home.merge(source / "nothing.json")


def test_a_merge_carries_photos_and_keeps_both_of_one_name(folders: Iterator[Path]) -> None:
    with open_journal(next(folders)) as a, open_journal(next(folders), device="b") as b:
        b.photos.mkdir()
        (b.photos / f"{ulid(1)}.jpg").write_bytes(b"one")
        (b.photos / f"{ulid(2)}.jpg").write_bytes(b"two")
        a.photos.mkdir()
        (a.photos / f"{ulid(2)}.jpg").write_bytes(b"other")
        assert a.merge(b.folder).photos == 2
        assert a.merge(b.folder).photos == 0
        assert sorted(p.read_bytes() for p in a.photos.iterdir()) == [b"one", b"other", b"two"]
        assert (a.photos / f"{ulid(2)}.jpg").read_bytes() == b"other"


def test_photos_that_a_merge_could_not_bring_come_with_the_next_one(
    folders: Iterator[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    with open_journal(next(folders)) as a, open_journal(next(folders), device="bench-2") as b:
        b.write("jar.assayed", JAR, assay(1))
        b.photos.mkdir()
        for n in range(3):
            (b.photos / f"{ulid(n + 1)}.jpg").write_bytes(b"photo %d" % n)
        secret = b.folder.parent / "secret.txt"
        secret.write_bytes(b"of this laptop alone")
        (b.photos / f"{ulid(9)}.jpg").symlink_to(secret)
        whole = disk.replace_file

        def full_at_the_second(path: Path, data: bytes) -> None:
            if path.stem == ulid(2):
                raise OSError(errno.ENOSPC, "No space left on device")
            whole(path, data)

        with monkeypatch.context() as patch:
            patch.setattr(photos, "replace_file", full_at_the_second)
            merged = a.merge(b.folder)
        assert (merged.new, merged.photos) == (1, 2)
        assert merged.sentences == [f"The photo {ulid(2)}.jpg could not be copied: No space left on device."]
        again = a.merge(b.folder)
        assert (again.new, again.photos, again.sentences) == (0, 1, [])
        assert sorted(p.read_bytes() for p in a.photos.iterdir()) == [b"photo 0", b"photo 1", b"photo 2"]


# Names ----------------------------------------------------------------------------------------------------------


def test_a_folder_restored_from_a_backup_writes_under_a_new_name(folders: Iterator[Path]) -> None:
    folder = next(folders)
    with open_journal(folder) as journal:
        journal.write("jar.assayed", JAR, assay(1))
        backup = journal.backup()
        for n in range(3):
            journal.write("jar.assayed", JAR, assay(n))
    newer = (folder / "saggar.json").read_bytes()
    shutil.copy(backup, folder / "saggar.json")
    with open_journal(folder) as journal:
        assert "ends at number 1 of laptop, but 4 was written here" in journal.report[0]
        name = journal.device
        assert name.startswith("laptop~") and name in journal.report[0]
        assert journal.write("jar.assayed", JAR, assay(9)).record.seq == 1
    with open_journal(folder) as journal:
        assert journal.device == name and journal.report == []
        assert journal.write("jar.assayed", JAR, assay(9)).record.seq == 2
        other = next(folders)
        other.mkdir()
        (other / "saggar.json").write_bytes(newer)
        journal.merge(other)
        assert [(d.count, d.missing, d.twice) for d in devices_of(journal.records(JAR))] == [(4, (), ()), (2, (), ())]


def test_a_copied_data_file_is_written_under_a_new_name(folders: Iterator[Path]) -> None:
    folder, other = next(folders), next(folders)
    with open_journal(folder) as journal:
        journal.write("jar.assayed", JAR, assay(1))
    other.mkdir()
    shutil.copy(folder / "saggar.json", other)
    with open_journal(folder) as here, open_journal(other) as there:
        assert here.device == "laptop" and there.device.startswith("laptop~")


def test_a_whole_folder_copied_is_noticed_when_the_two_meet(folders: Iterator[Path]) -> None:
    folder, other = next(folders), next(folders)
    with open_journal(folder) as journal:
        journal.write("jar.assayed", JAR, assay(1))
    shutil.copytree(folder, other)
    with open_journal(folder) as here, open_journal(other, HandClock(START_MS + 50)) as there:
        here.write("jar.assayed", JAR, assay(2))
        there.write("jar.assayed", JAR, assay(3))
        here.merge(other)
        assert here.device.startswith("laptop~") and here.device != there.device
        assert len(here.records(JAR)) == 3
        assert devices_of(here.records(JAR))[0].twice == (2,)
        assert here.write("jar.assayed", JAR, assay(2)).record.seq == 1


def test_a_loss_makes_the_folder_write_under_a_new_name(folders: Iterator[Path]) -> None:
    folder = next(folders)
    with open_journal(folder) as journal:
        for n in range(3):
            journal.write("jar.assayed", JAR, assay(n))
    raw = (folder / "saggar.json").read_bytes()
    (folder / "saggar.json").write_bytes(raw.replace(b'"before_g":1', b'"before_g":99'))
    with open_journal(folder) as journal:
        assert journal.device.startswith("laptop~") and "number 2 of laptop" in journal.report[0]
        assert devices_of(journal.records(JAR))[0].missing == ((2, 2),)


def test_numbers_stay_dense_when_the_disk_refuses(folders: Iterator[Path]) -> None:
    turn = itertools.count()

    def flaky(fd: int, data: bytes, at: int) -> int:
        if data != TAIL and next(turn) % 3 == 1:
            put(fd, data[:40], at)
            raise OSError(28, os.strerror(28))
        return put(fd, data, at)

    with open_journal(next(folders), disk=Disk(put=flaky, sync=lambda fd: None)) as journal:
        kept = 0
        for n in range(30):
            try:
                journal.write("jar.assayed", JAR, assay(n))
                kept += 1
            except NotKept as trouble:
                assert "disk" in trouble.say
        assert kept == 20 and [r.seq for r in journal.records(JAR)] == list(range(1, 21))
