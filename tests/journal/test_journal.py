"""Writing, repeating, receiving and reading through the journal."""

import json
import random
import threading
from functools import partial
from pathlib import Path

import pytest

from bench.journal import Draft, Journal, NotKept
from bench.journal.disk import Disk, put
from bench.journal.lines import TAIL
from bench.journal.receipts import CONFLICT
from bench.records.record import Record
from bench.science.refusal import Refusal
from tests.journal.helpers import START_MS, HandClock, assay, open_journal, phone_record, ulid

JAR = {"reagent": "copper carbonate", "formula": "CuCO3"}


@pytest.fixture
def journal(tmp_path: Path):
    with open_journal(tmp_path) as journal:
        yield journal


def on_disk(journal: Journal) -> dict[str, dict[str, object]]:
    return json.loads((journal.folder / "saggar.json").read_text("utf-8"))["records"]


def test_the_file_is_there_before_the_first_record(journal: Journal) -> None:
    assert (journal.folder / "saggar.json").read_bytes() == b'{"records":{\n}}\n'
    assert journal.report == []
    assert [p.name for p in journal.folder.rglob("*.json")] == ["saggar.json"]


def test_a_record_is_stamped_kept_and_folded(journal: Journal) -> None:
    receipt = journal.write("jar.opened", None, JAR, also={"series": ulid(7)})
    record = receipt.record
    assert receipt.status == "new" and record is not None
    assert (record.device, record.seq, record.tz_min, record.subject) == ("laptop", 1, 60, receipt.id)
    assert record.hlc[0] > START_MS and record.hlc[2] == "laptop"
    assert journal.state.records[record.id] == record
    assert Record.from_dict({"id": record.id, **without_crc(on_disk(journal)[record.id])}) == record
    assert (
        journal.records(record.id) == journal.by("kind", "jar.opened") == journal.by("also.series", ulid(7)) == [record]
    )
    assert journal.by("also.series", ulid(8)) == []


def without_crc(doc: dict[str, object]) -> dict[str, object]:
    return {key: value for key, value in doc.items() if key != "crc"}


def test_the_index_follows_what_is_written_after_it_was_first_asked(journal: Journal) -> None:
    jar = journal.write("jar.opened", None, JAR).id
    assert [r.kind for r in journal.records(jar)] == ["jar.opened"]
    journal.write("jar.assayed", jar, assay(2.0))
    assert [r.kind for r in journal.records(jar)] == ["jar.opened", "jar.assayed"]


def test_one_submission_sent_ten_times_is_one_record(journal: Journal) -> None:
    jar, page = journal.write("jar.opened", None, JAR).id, journal.new_id()
    receipts = [journal.write("jar.assayed", jar, assay(2.0), id=page) for _ in range(10)]
    assert [r.status for r in receipts] == ["new"] + ["same"] * 9
    assert len({r.record.hlc for r in receipts}) == 1
    assert len(journal.by("kind", "jar.assayed")) == 1 and len(on_disk(journal)) == 2
    assert journal.write("jar.assayed", jar, assay(2.0)).record.seq == 3


def test_ten_submissions_with_ids_of_their_own_are_ten_records(journal: Journal) -> None:
    jar = journal.write("jar.opened", None, JAR).id
    assert {journal.write("jar.assayed", jar, assay(2.0)).status for _ in range(10)} == {"new"}
    assert len(journal.by("kind", "jar.assayed")) == 10


def test_one_id_with_other_content_is_a_conflict_that_is_kept_and_shown(tmp_path: Path) -> None:
    with open_journal(tmp_path) as journal:
        jar, page = journal.write("jar.opened", None, JAR).id, journal.new_id()
        journal.write("jar.assayed", jar, assay(2.0), id=page)
        for _ in range(3):
            again = journal.write("jar.assayed", jar, assay(3.0), id=page)
            assert (again.status, again.say, again.record.data["before_g"]) == ("conflict", CONFLICT, 3.0)
        assert len(on_disk(journal)) == 3
        conflicts = journal.conflicts
    with open_journal(tmp_path) as journal:
        assert journal.conflicts == conflicts
        assert [r.data["before_g"] for r in conflicts[0].records] == [2.0, 3.0]
        assert [r.data["before_g"] for r in journal.by("kind", "jar.assayed")] == [2.0]
        journal.write("jar.assayed", jar, assay(2.5), corrects=[page])
        assert journal.conflicts == []


def test_several_records_of_one_submit_share_one_commit(journal: Journal) -> None:
    jar = journal.new_id()
    before = journal._base.file.commits
    drafts = [
        Draft("jar.opened", None, JAR, id=jar),
        Draft("jar.assayed", jar, assay(2.0)),
        Draft("jar.opened", None, JAR, id=jar),
    ]
    assert [r.status for r in journal.write_all(drafts)] == ["new", "new", "same"]
    assert journal._base.file.commits == before + 1 and len(on_disk(journal)) == 2


@pytest.mark.parametrize(
    ("draft", "field"),
    [
        (Draft("jar.assayed", ulid(1), {"before_g": "heavy", "after_g": 1.0, "at_c": 1.0}), "before_g"),
        (Draft("jar.assayed", ulid(1), {"before_g": float("nan"), "after_g": 1.0, "at_c": 1.0}), "before_g"),
        (Draft("jar.assayed", ulid(1), {"before_g": -1.0, "after_g": 1.0, "at_c": 1.0}), "before_g"),
        (Draft("setting.changed", ulid(1), {"name": "x", "value": 10**30}), "data"),
        (Draft("jar.opened", None, {"reagent": "\ud800", "formula": "CuO"}), "reagent"),
        (Draft("jar.opened", "not an id", JAR), "subject"),
        (Draft("jar.opened", None, JAR, id='a"b'), "id"),
        (Draft("no.such.kind", ulid(1), {}), "kind"),
        (Draft("jar.opened", None, JAR, how="late"), "happened_at"),
    ],
)
def test_a_malformed_record_is_refused_and_takes_no_number(journal: Journal, draft: Draft, field: str) -> None:
    with pytest.raises(Refusal) as refused:
        journal.write_all([Draft("jar.opened", None, JAR), draft])
    assert refused.value.field == field and refused.value.say.endswith(".")
    assert on_disk(journal) == {}
    assert journal.write("jar.opened", None, JAR).record.seq == 1


def test_an_outbox_replayed_in_any_order_is_counted_once(journal: Journal) -> None:
    raws = [phone_record(n, seq=n) for n in range(1, 6)]
    assert [r.status for r in journal.receive([raws[3], raws[1], raws[3]])] == ["new", "new", "same"]
    assert [r.status for r in journal.receive(raws[::-1])] == ["new", "same", "new", "same", "new"]
    assert [r.seq for r in journal.by("device", "phone-kiln")] == [1, 2, 3, 4, 5]


def test_each_record_of_an_outbox_has_its_own_answer(journal: Journal) -> None:
    good, bad, other = phone_record(1), phone_record(2, data=assay(-5.0)), phone_record(1, data=assay(8.0))
    receipts = journal.receive([good, bad, "rubbish", other, {"id": ulid(5)}, phone_record(6, data={"x": 10**400})])
    assert [r.status for r in receipts] == ["new", "refused", "refused", "conflict", "refused", "refused"]
    assert receipts[1].field == "before_g" and receipts[1].id == ulid(2) and receipts[1].say
    assert all(r.say for r in receipts[1:])
    assert len(on_disk(journal)) == 2


def test_a_kind_of_a_newer_bench_is_kept_and_not_folded(tmp_path: Path) -> None:
    raw = phone_record(1, kind="moon.seen", data={"phase": "full"})
    with open_journal(tmp_path) as journal:
        assert journal.receive([raw])[0].status == "new"
    with open_journal(tmp_path) as journal:
        assert [r.kind for r in journal.state.unknown] == ["moon.seen"]
        assert journal.report == [
            "A newer Saggar wrote 1 record here (moon.seen, version 1): kept, but not counted. Update Saggar."
        ]


def test_a_clock_far_ahead_is_reported_and_not_followed(tmp_path: Path) -> None:
    clock = HandClock()
    with open_journal(tmp_path, clock) as journal:
        near, far = phone_record(1), phone_record(2, seq=2)
        near["hlc"], far["hlc"] = [clock.ms + 9 * 60_000, 3, "phone-kiln"], [clock.ms + 7_200_000, 0, "phone-kiln"]
        said = [r.say for r in journal.receive([near, far])]
        assert said[0] is None and said[1] == (
            "The clock of phone-kiln is 2 hours ahead of this one. The record is kept. Correct that clock."
        )
        record = journal.write("jar.opened", None, JAR).record
        assert record.hlc[:2] == (near["hlc"][0], 4)
        correcting = journal.write("jar.assayed", ulid(9_000_000), assay(4.0), corrects=[ulid(2)]).record
        assert correcting.hlc[0] == far["hlc"][0]


def test_order_marks_go_on_where_the_clock_fell_back(tmp_path: Path) -> None:
    with open_journal(tmp_path) as journal:
        before = journal.write("jar.opened", None, JAR).record
    with open_journal(tmp_path, HandClock(START_MS - 10**10)) as journal:
        assert "clock is behind its own records" in journal.report[0]
        after = journal.write("jar.opened", None, JAR).record
        assert after.order > before.order and after.at < before.at


def test_a_repeat_is_not_answered_before_the_first_is_on_the_disk(tmp_path: Path) -> None:
    go, entered = threading.Event(), threading.Event()

    def slow(fd: int) -> None:
        entered.set()
        assert go.wait(10)

    with open_journal(tmp_path, disk=Disk(sync=slow)) as journal:
        answers: list[str] = []
        page = journal.new_id()

        def send() -> None:
            answers.append(journal.write("jar.opened", None, JAR, id=page).status)

        threads = [threading.Thread(target=send) for _ in range(4)]
        for thread in threads:
            thread.start()
        assert entered.wait(10)
        threading.Event().wait(0.05)
        assert answers == []
        go.set()
        for thread in threads:
            thread.join()
        assert sorted(answers) == ["new", "same", "same", "same"] and journal._base.file.commits == 1


def test_a_gate_and_its_record_are_one_step(journal: Journal) -> None:
    jar = journal.write("jar.opened", None, JAR).id
    passed = []

    def browser() -> None:
        with journal.reading() as state:
            if not state.rows(jar, "closed"):
                journal.write("closed", jar, {"outcome": "empty"})
                passed.append(1)

    run([browser] * 8)
    assert len(passed) == 1 and len(journal.by("kind", "closed")) == 1


def test_readers_and_writers_at_once(journal: Journal) -> None:
    jar = journal.write("jar.opened", None, JAR).id
    seen = []

    def writer() -> None:
        for n in range(30):
            journal.write("jar.assayed", jar, assay(float(n)))

    def reader() -> None:
        for _ in range(60):
            with journal.reading() as state:
                rows = state.rows(jar, "jar.assayed")
                seen.append(len(rows) == len(state.touching(jar, "jar.assayed")))
            journal.by("kind", "jar.assayed")

    run([writer] * 6 + [reader] * 3)
    assert all(seen) and len(journal.records(jar)) == 181
    assert sorted(r.seq for r in journal.by("device", "laptop")) == list(range(1, 182))
    assert journal._base.file.commits <= 181


def run(jobs: list) -> None:
    errors: list[BaseException] = []

    def guarded(job) -> None:
        try:
            job()
        except BaseException as error:
            errors.append(error)

    threads = [threading.Thread(target=guarded, args=(job,)) for job in jobs]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not errors


@pytest.mark.parametrize("seed", range(3))
def test_numbers_stay_dense_for_threads_over_a_disk_that_often_refuses(tmp_path: Path, seed: int) -> None:
    rng = random.Random(seed)

    def flaky(fd: int, data: bytes, at: int) -> int:
        if data != TAIL and rng.random() < 0.3:
            put(fd, data[: rng.randrange(len(data))], at)
            threading.Event().wait(0.001)  # so that others queue behind the write that fails
            raise OSError(28, "No space left on device")
        return put(fd, data, at)

    acknowledged: set[str] = set()
    refused: list[str] = []
    with open_journal(tmp_path, disk=Disk(put=flaky, sync=lambda fd: None)) as journal:

        def screen(first: int) -> None:
            for n in range(first, first + 30):
                for _ in range(2):  # as a phone sends again what was not confirmed
                    try:
                        acknowledged.add(journal.write("jar.assayed", ulid(5), assay(n), id=ulid(n)).id)
                    except NotKept as trouble:
                        refused.append(trouble.say)

        run([partial(screen, 100 * k) for k in range(6)])
        there = journal.records(ulid(5))
    assert refused and {r.id for r in there} == acknowledged
    assert sorted(r.seq for r in there) == list(range(1, len(there) + 1))
    with open_journal(tmp_path) as journal:
        assert journal.records(ulid(5)) == there and not journal.report
        assert journal.write("jar.assayed", ulid(5), assay(1.0)).record.seq == len(there) + 1
