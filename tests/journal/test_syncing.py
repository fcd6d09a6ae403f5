"""Benches that share a folder come to hold the same, whatever was pulled, cut, restored or set wrong."""

import hashlib
import random
import shutil
from collections.abc import Collection, Iterator
from pathlib import Path
from threading import Event

import pytest

from bench.journal import Journal, tending
from bench.journal.attachments import attachment, keep_attachment
from bench.journal.carrier import Index, Name, head_of, name_of, run_of
from bench.journal.lines import doc_of, encode
from bench.journal.merging import FILE
from bench.journal.shared_folder import MANY, SharedFolder
from bench.journal.survey import survey
from bench.journal.sync_words import Clocks
from bench.journal.syncing import Synced
from bench.journal.tending import Tending
from bench.journal.verify import verify
from bench.records.record import Record
from tests.journal.helpers import START_MS, HandClock, assay, open_journal, phone_record, ulid

JAR = ulid(9_000_000)
YEAR_MS, NINE_HOURS_MS = 365 * 86_400_000, 9 * 3_600_000
SKEWS = (0, NINE_HOURS_MS, -YEAR_MS)


def sync(journal: Journal, shared: Path) -> Synced:
    return journal.syncing.sync(SharedFolder(shared, journal.device))


def held(folder: Path) -> set[bytes]:
    """The names of all records in a data folder: what it holds, however it came."""
    return {name_of(line) for line in survey((folder / FILE).read_bytes()).lines.values()}


def opened(folder: Path, n: int = 0) -> Journal:
    return open_journal(folder, HandClock(START_MS + SKEWS[n]), device=f"bench-{n}")


@pytest.fixture
def shared(tmp_path: Path) -> Path:
    (tmp_path / "shared").mkdir()
    return tmp_path / "shared"


@pytest.mark.parametrize(
    ("device", "seq", "told"),
    [
        ("kiln", 7, ("kiln", 7)),
        ("k" * 64, 0, ("k" * 64, 0)),
        ("k" * 65, 7, ("", 0)),
        ("k\0", 7, ("", 0)),
        (3, 7, ("", 0)),
        ("kiln", -1, ("", 0)),
        ("kiln", "7", ("", 0)),
        ("kiln", 2**62 - 1, ("kiln", 2**62 - 1)),
        ("kiln", 2**62, ("", 0)),
    ],
)
def test_a_line_names_its_device_and_number_or_none(device: object, seq: object, told: tuple[str, int]) -> None:
    assert head_of(encode(ulid(1), {"device": device, "seq": seq})) == told


def test_two_benches_come_to_the_same_and_the_live_file_never_lies_there(tmp_path: Path, shared: Path) -> None:
    with opened(tmp_path / "a") as a, opened(tmp_path / "b", 1) as b:
        for n in range(7):
            (a if n % 2 else b).write("jar.assayed", JAR, assay(n))
        seen = a.syncing.preview(SharedFolder(shared, a.device))
        assert (len(seen.new_here), len(seen.new_there)) == (0, 3) and not any(shared.iterdir())
        assert sync(a, shared).new_there == 3
        first = sync(b, shared)
        assert (first.new_here, first.new_there) == (3, 4)
        assert sync(a, shared).new_here == 4
        assert not sync(a, shared).moved and not sync(b, shared).moved, "a second time brings nothing"
        assert a.syncing.preview(SharedFolder(shared, a.device)).nothing
        assert [r.id for r in a.records(JAR)] == [r.id for r in b.records(JAR)]
    assert held(tmp_path / "a") == held(tmp_path / "b") and not list(shared.rglob("saggar.json"))


@pytest.mark.parametrize("seed", range(6))
def test_any_story_of_three_benches_ends_alike_with_nothing_lost(tmp_path: Path, shared: Path, seed: int) -> None:
    """They write, use ids twice, sync in any order, are set back to older copies; files there are cut and turned."""
    rng = random.Random(seed)
    folders = [tmp_path / f"bench-{n}" for n in range(3)]
    ever: set[bytes] = set()
    only_here: set[bytes] = set()  # what a bench wrote that was set back before it could give it
    copies: dict[int, Path] = {}
    for turn in range(24):
        n = rng.randrange(3)
        with opened(folders[n], n) as journal:
            for _ in range(rng.randrange(4)):
                number = rng.randrange(40)
                same = {"id": ulid(number)} if rng.random() < 0.3 else {}
                journal.write("jar.assayed", JAR, assay(rng.randrange(5)), **same)  # type: ignore[arg-type]
            if rng.random() < 0.6:
                sync(journal, shared)
        ever |= held(folders[n])
        if rng.random() < 0.2:
            copies[n] = tmp_path / f"copy-{n}-{turn}"
            shutil.copytree(folders[n], copies[n])
        elif n in copies and rng.random() < 0.3:
            shutil.rmtree(folders[n])
            shutil.copytree(copies[n], folders[n])
        spoil(shared, rng)
    for _ in range(2):
        for n in rng.sample(range(3), 3):
            with opened(folders[n], n) as journal:
                sync(journal, shared)
    ends = [held(folder) for folder in folders]
    only_here = ever - ends[0]
    assert ends[0] == ends[1] == ends[2] and all(verify(folder).sound for folder in folders)
    there = [line for path in shared.rglob("*.records") for line in survey(path.read_bytes()).lines.values()]
    given = set(map(name_of, there))
    assert ends[0] <= given and not (only_here & given)
    states = []
    for n, folder in enumerate(folders):
        with opened(folder, n) as journal:
            states.append(([r.to_dict() for r in journal.records(JAR)], sorted(c.id for c in journal.conflicts)))
    assert states[0] == states[1] == states[2]


def spoil(shared: Path, rng: random.Random) -> None:
    """What happens to files on sticks and by services: an end is cut, line ends are turned, a file is gone."""
    files = sorted(shared.rglob("*.records"))
    if not files or rng.random() < 0.7:
        return
    path = rng.choice(files)
    raw = path.read_bytes()
    how = rng.choice(["cut", "turn", "gone", "zero"])
    if how == "gone":
        path.unlink()
    else:
        cut = rng.randrange(len(raw))
        path.write_bytes({"cut": raw[:cut], "turn": raw.replace(b"\n", b"\r\n"), "zero": raw[:cut] + bytes(600)}[how])


@pytest.mark.parametrize("order", [(0, 1, 2), (2, 1, 0), (1, 2, 0), (0, 2, 1)])
def test_the_order_of_merges_does_not_matter_and_a_second_brings_nothing(
    tmp_path: Path, order: tuple[int, ...]
) -> None:
    lines: dict[int, list[dict[str, object]]] = {
        n: [phone_record(10 * n + k, device=f"phone-{n}", seq=k + 1) for k in range(5)] for n in range(3)
    }
    lines[1][0] = phone_record(3, device="phone-1", seq=1, data=assay(77.0))  # one id, two records
    with open_journal(tmp_path / "one") as one, open_journal(tmp_path / "two") as two:
        for n in order:
            one.merge(lines[n])
        for n in order:
            again = one.merge(lines[n])
            assert (again.new, again.photos) == (0, 0)
        two.merge([record for n in (0, 1, 2) for record in lines[n]])
        assert [r.to_dict() for r in one.records(JAR)] == [r.to_dict() for r in two.records(JAR)]
        assert [c.id for c in one.conflicts] == [c.id for c in two.conflicts] == [ulid(3)]


def test_a_bench_that_was_put_back_gets_its_own_records_and_another_name(tmp_path: Path, shared: Path) -> None:
    with opened(tmp_path / "a") as a:
        a.write("jar.assayed", JAR, assay(1))
    shutil.copytree(tmp_path / "a", tmp_path / "older")
    with opened(tmp_path / "a") as a:
        for n in range(3):
            a.write("jar.assayed", JAR, assay(n))
        sync(a, shared)
    with opened(tmp_path / "older") as a:
        seen = a.syncing.preview(SharedFolder(shared, a.device))
        assert len(seen.new_here) == 3 and "From there come 3 records written as bench-0" in seen.sentences[0]
        assert sync(a, shared).new_here == 3 and a.device.startswith("bench-0~")
        assert a.write("jar.assayed", JAR, assay(9)).record.seq == 1


def test_clones_and_numbers_that_are_nowhere_are_explained(tmp_path: Path, shared: Path) -> None:
    with opened(tmp_path / "a") as a:
        a.write("jar.assayed", JAR, assay(1))
    shutil.copytree(tmp_path / "a", tmp_path / "clone")
    with opened(tmp_path / "a") as a, opened(tmp_path / "clone") as clone:
        for n, journal in enumerate((a, clone)):
            journal.write("jar.assayed", JAR, assay(50 + n))
        a.receive([phone_record(4, seq=4)])
        sync(a, shared)
        done = sync(clone, shared)
        assert "Two benches or copies wrote as bench-0. Numbers 2 are there twice. Both are kept." in done.sentences
        assert "Of phone-kiln numbers 1 to 3 are in no copy yet." in done.sentences


def test_a_clock_that_is_ahead_is_told(tmp_path: Path, shared: Path) -> None:
    with opened(tmp_path / "b", 1) as b:
        b.write("jar.assayed", JAR, assay(1))
        sync(b, shared)
    with opened(tmp_path / "a") as a:
        done = sync(a, shared)
        assert any("The clock of bench-1 is 9 hours ahead of this one" in say for say in done.sentences)


def test_a_clock_that_runs_behind_is_told_by_what_its_records_are_about(tmp_path: Path, shared: Path) -> None:
    with opened(tmp_path / "a") as a, opened(tmp_path / "b", 2) as b:
        first = a.write("jar.assayed", JAR, assay(1))
        sync(a, shared)
        assert sync(b, shared).sentences == [
            "The clock of bench-0 is 365 days ahead of this one. The record is kept. Correct that clock."
        ]
        b.write("jar.assayed", JAR, assay(2), corrects=[first.record.id])
        sync(b, shared)
        assert sync(a, shared).sentences == [
            "The clock of bench-2 ran at least 365 days behind that of bench-0. "
            "The records are kept. Correct the wrong clock."
        ]
        a.write("jar.assayed", JAR, assay(3), corrects=[first.record.id], happened_at="2026-01-01T00:00:00Z")
        sync(a, shared)
        assert not any("behind" in say for say in sync(b, shared).sentences), "entered late is no wrong clock"


def test_clocks_are_compared_by_more_than_ten_minutes_mended_and_never_with_themselves() -> None:
    first = Record.from_dict(phone_record(1, device="a", at="2026-05-28T20:30:00.000Z"))
    cases: list[tuple[str, str, int | None, int | None]] = [
        ("b", "20:20:00", None, None),
        ("b", "20:19:00", None, 11),
        ("b", "20:19:00", 120_000, None),
        ("a", "10:00:00", None, None),
        ("b", "23:00:00", None, None),
    ]
    for device, at, offset_ms, behind_min in cases:
        told = {"at": f"2026-05-28T{at}.000Z", "offset_ms": offset_ms, "subject": first.id}
        clocks = Clocks({first.id: first}.get)
        clocks.saw(Record.from_dict(phone_record(2, device=device, **told)))
        said = f"The clock of {device} ran at least {behind_min} minutes behind that of a. "
        assert [say.startswith(said) for say in clocks.sentences] == ([True] if behind_min else []), (device, at)


@pytest.mark.parametrize("count", [1, 512, 1_300])
def test_an_outline_differs_exactly_in_the_runs_that_differ(count: int) -> None:
    names = [hashlib.sha256(bytes([n % 256, n // 256])).digest()[:16] for n in range(count)]
    one, two = Index(), Index()
    for n, name in enumerate(names):
        one.add(name, run_of(("laptop", n)))
    assert one.outline().keys() == {("laptop", n) for n in range(count // 512 + bool(count % 512))}
    for n, name in reversed(list(enumerate(names))):
        if n != count - 1:
            two.add(name, run_of(("laptop", n)))
    last = ("laptop", (count - 1) // 512)
    assert one.outline() != two.outline()
    assert {run for run, seen in one.outline().items() if two.outline().get(run) != seen} == {last}
    assert one.names([last]) - two.names([last]) == {names[-1]}
    two.add(names[-1], last)
    assert one.outline() == two.outline()


def test_a_dispute_that_is_settled_once_is_settled_everywhere(tmp_path: Path, shared: Path) -> None:
    with opened(tmp_path / "a") as a, opened(tmp_path / "b", 1) as b:
        a.write("jar.assayed", JAR, assay(1), id=ulid(5))
        b.write("jar.assayed", JAR, assay(2), id=ulid(5))
        sync(a, shared)
        assert b.syncing.preview(SharedFolder(shared, b.device)).differ == 1
        sync(b, shared)
        sync(a, shared)
        assert len(a.conflicts) == len(b.conflicts) == 1
        a.write("jar.assayed", JAR, assay(2), corrects=[ulid(5)])
        assert not a.conflicts
        sync(a, shared)
        sync(b, shared)
        assert not b.conflicts


def test_what_one_bench_does_not_take_is_asked_for_once_and_passed_on(tmp_path: Path, shared: Path) -> None:
    with opened(tmp_path / "a") as a, opened(tmp_path / "b", 1) as b:
        a.write("jar.assayed", JAR, assay(1))
        sync(a, shared)
        (file,) = shared.rglob("*.records")
        from bench.journal.lines import encode, render

        (line,) = survey(file.read_bytes()).lines.values()
        bad = {k: v for k, v in phone_record(8, data={"before_g": "x"}).items() if k != "id"}
        file.write_bytes(render([line, encode(ulid(8), bad)]))
        assert sync(b, shared).new_here == 1
        assert len(list((tmp_path / "b" / "backups").glob("*.refused"))) == 1
        assert not sync(b, shared).moved
        assert len(list((tmp_path / "b" / "backups").glob("*.refused"))) == 1, "it does not come again and again"


@pytest.mark.parametrize("cut", [0, 20, 9_999])
def test_a_file_that_was_spoiled_there_is_given_again(tmp_path: Path, shared: Path, cut: int) -> None:
    with opened(tmp_path / "a") as a, opened(tmp_path / "b", 1) as b:
        for n in range(3):
            a.write("jar.assayed", JAR, assay(n))
        sync(a, shared)
        (file,) = shared.rglob("*.records")
        file.write_bytes(file.read_bytes()[:cut] if cut < 9_999 else bytes(700))
        assert sync(b, shared).new_here == 0
        assert sync(a, shared).new_there == 3 and sync(b, shared).new_here == 3


def test_photos_come_by_their_sums_and_a_spoiled_one_is_given_again(tmp_path: Path, shared: Path) -> None:
    with opened(tmp_path / "a") as a, opened(tmp_path / "b", 1) as b:
        photos = [bytes([n]) * 999 for n in range(3)]
        a.photos.mkdir(exist_ok=True)
        for n, data in enumerate(photos):
            (a.photos / f"{ulid(70 + n)}.jpg").write_bytes(data)
            sha256 = hashlib.sha256(data).hexdigest()
            a.write("photo.kept", JAR, {"of": JAR, "photo": ulid(70 + n), "sha256": sha256})
        assert sync(a, shared).photos_there == 3
        spoiled = sorted((shared / "saggar" / "photos").iterdir())[0]
        spoiled.write_bytes(spoiled.read_bytes()[:500])
        seen = b.syncing.preview(SharedFolder(shared, b.device))
        assert len(seen.photos_here) == 3 and not b.photos.exists()
        assert sync(b, shared).photos_here == 2
        assert sync(a, shared).photos_there == 1 and sync(b, shared).photos_here == 1
        assert verify(b.folder).photos_missing == verify(b.folder).photos_altered == []


def test_attached_files_come_by_their_sums_and_by_a_merge(tmp_path: Path, shared: Path) -> None:
    data = b"2theta counts"
    told = {"of": JAR, "file": ulid(70), "bytes": len(data), "name": "a.xy", "what": "diffraction-pattern"}
    with opened(tmp_path / "a") as a, opened(tmp_path / "b", 1) as b, opened(tmp_path / "c", 2) as c:
        sha256 = keep_attachment(a.photos, ulid(70), data)
        a.write("file.attached", JAR, told | {"sha256": sha256})
        sync(a, shared)
        assert sync(b, shared).photos_here == 1 and attachment(b.photos, ulid(70), sha256) == data
        c.merge(tmp_path / "a")
        assert attachment(c.photos, ulid(70), sha256) == data
        (c.photos / f"{ulid(70)}.bin").write_bytes(b"altered")
        c.merge(tmp_path / "a")  # the same name with other bytes is kept beside it, and found by its sum
        assert attachment(c.photos, ulid(70), sha256) == data


def test_many_small_files_become_one_and_nothing_is_lost(tmp_path: Path, shared: Path) -> None:
    with opened(tmp_path / "a") as a, opened(tmp_path / "b", 1) as b:
        for n in range(MANY + 3):
            a.write("jar.assayed", JAR, assay(n))
            sync(a, shared)
        assert len(list(shared.rglob("*.records"))) < MANY
        assert sync(b, shared).new_here == MANY + 3


def test_a_folder_of_strangers_is_not_taken_for_ones_own(tmp_path: Path, shared: Path) -> None:
    with opened(tmp_path / "a") as a, opened(tmp_path / "b", 1) as b:
        a.write("jar.assayed", JAR, assay(1))
        b.write("jar.assayed", JAR, assay(2))
        sync(a, shared)
        assert b.syncing.preview(SharedFolder(shared, b.device)).strange
        b.write("setting.changed", "0" * 26, {"name": "shared_folder", "value": str(shared)})
        assert b.sync_shared() is None and len(b.records(JAR)) == 1
        sync(b, shared)
        done = b.sync_shared()
        assert done is not None and not done.moved


def test_a_stick_that_is_gone_or_full_is_no_fault_of_the_bench(tmp_path: Path, shared: Path) -> None:
    with opened(tmp_path / "a") as a:
        a.write("setting.changed", "0" * 26, {"name": "shared_folder", "value": str(tmp_path / "gone")})
        assert a.sync_shared() is None
        (shared / "saggar").write_text("a file where the folder should be")
        with pytest.raises(OSError, match=r"exists|directory"):
            sync(a, shared)
        assert a.write("jar.assayed", JAR, assay(1)).status == "new"


def test_what_is_not_what_it_was_asked_for_as_is_never_taken_in(tmp_path: Path, shared: Path) -> None:
    class Liar(SharedFolder):
        def take(self, names: Collection[Name]) -> Iterator[tuple[Name, bytes]]:
            told = [encode(ulid(90 + n), {**doc_of(line), "seq": 7}) for n, (_, line) in enumerate(super().take(names))]
            return zip(names, [*told[:1], b""], strict=False)

    with opened(tmp_path / "a") as a, opened(tmp_path / "b", 1) as b:
        for n in range(2):
            a.write("jar.assayed", JAR, assay(n))
        sync(a, shared)
        liar = Liar(shared, b.device)
        assert len(b.syncing.preview(liar).new_here) == 2
        assert b.syncing.sync(liar).new_here == 0 and not b.records(JAR)
        assert not b.syncing.preview(liar).new_here, "it is not asked for again and again"


def test_what_was_gathered_away_while_it_was_read_comes_the_next_time(
    tmp_path: Path, shared: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with opened(tmp_path / "a") as a, opened(tmp_path / "b", 1) as b:
        a.write("jar.assayed", JAR, assay(1))
        sync(a, shared)
        with monkeypatch.context() as gone:
            gone.setattr(SharedFolder, "take", lambda *_: iter(()))
            assert sync(b, shared).new_here == 0
        assert sync(b, shared).new_here == 1


def test_a_folder_that_does_not_answer_holds_no_closing_and_the_last_backup_is_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun, answered = Event(), Event()

    def silent() -> None:
        begun.set()
        assert answered.wait(20), "the closing waited for the folder"

    monkeypatch.setattr(tending, "CLOSING_S", 0.01)
    with opened(tmp_path / "a") as a:
        a.write("jar.assayed", JAR, assay(1))
        monkeypatch.setattr(a, "sync_shared", silent)
        tends = Tending(a)
        assert begun.wait(20)
        a.write("jar.assayed", JAR, assay(2))
        tends.stop()
        (kept,) = a.backups.glob("*.backup")
        assert verify(kept).records == 2
    answered.set()
    tends._thread.join(20)
    assert not tends._thread.is_alive() and verify(tmp_path / "a").records == 2
