"""TinyDB over the append-only file, and what a failing disk does to it."""

import errno
import json
import os
import random
import threading
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from tinydb import TinyDB, where
from tinydb.table import Document, Table

from bench.journal.disk import Disk, full_sync, put
from bench.journal.lines import TAIL, decode, encode, render
from bench.journal.storage import AppendStorage, Entry
from bench.journal.survey import survey
from bench.journal.table import RecordBase
from bench.journal.trouble import AppendOnly, NotKept, Unusable


def doc(n: int, **more: Any) -> Document:
    return Document({"batch": f"B{n // 4}", "n": n} | more, doc_id=f"E{n:06d}")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "saggar.json"


def ids(path: Path) -> list[str]:
    return list(json.loads(path.read_bytes())["records"])


def test_tinydb_writes_queries_and_reads_back(path: Path) -> None:
    with RecordBase(path) as base:
        base.insert(doc(1))
        base.insert_multiple(doc(n) for n in range(2, 30))
        assert len(base) == 29 and base.file.commits == 2
        assert [d["n"] for d in base.search((where("batch") == "B1") & (where("n") > 5))] == [6, 7]
        assert base.get(doc_id="E000007") == doc(7)
        assert base.contains(where("n") == 29) and not base.contains(doc_id="E000030")
        with pytest.raises(ValueError, match="already exists"):
            base.insert(doc(7))
    assert ids(path) == [f"E{n:06d}" for n in range(1, 30)]
    assert path.read_bytes().count(b"\n") == 31
    with RecordBase(path) as base:
        assert [d.doc_id for d in base] == ids(path) and base.file.report == ()


def test_stock_tinydb_reads_the_file(path: Path) -> None:
    with RecordBase(path) as base:
        base.insert_multiple(doc(n) for n in range(5))

    class Plain(Table):
        document_id_class = str

    class Stock(TinyDB):
        table_class = Plain
        default_table_name = "records"

    with Stock(path) as stock:
        assert stock.tables() == {"records"} and len(stock) == 5
        assert stock.search(where("n") == 3)[0].doc_id == "E000003"


@pytest.mark.parametrize(
    "change",
    [
        lambda base: base.update({"x": 1}),
        lambda base: base.update({"x": 1}, doc_ids=["E000001"]),
        lambda base: base.update({"x": 1}, where("n") == 1),
        lambda base: base.update_multiple([({"x": 1}, where("n") == 1)]),
        lambda base: base.upsert(doc(1)),
        lambda base: base.remove(where("n") == 1),
        lambda base: base.remove(doc_ids=["E000001"]),
        lambda base: base.truncate(),
        lambda base: base.drop_tables(),
        lambda base: base.drop_table("records"),
        lambda base: base.table("other"),
    ],
)
def test_nothing_in_the_file_is_ever_changed(path: Path, change: Any) -> None:
    with RecordBase(path) as base:
        base.insert(doc(1))
        raw = path.read_bytes()
        with pytest.raises(AppendOnly):
            change(base)
        assert path.read_bytes() == raw and base.all() == [doc(1)]


BAD = [
    {"x": object()},
    {"crc": "1"},
    {"x": "\ud800"},
    {"x": 2**70},
    {"x": float("nan")},
    {"x": [{"y": float("inf")}]},
    {},
]


@pytest.mark.parametrize("content", BAD)
def test_a_bad_document_fails_alone(path: Path, content: dict[str, Any]) -> None:
    with RecordBase(path) as base:
        with pytest.raises((ValueError, TypeError)):
            base.insert(Document(content, doc_id="X"))
        with pytest.raises((ValueError, TypeError)):
            base.insert_multiple([doc(1), Document(content, doc_id="Y")])
        with pytest.raises(ValueError):
            base.insert({"no": "id"})
        for key in ("", 'a"b', "a b", "x" * 65):
            with pytest.raises(ValueError):
                base.insert(Document({"n": 1}, doc_id=key))
        base.insert(doc(2))
    assert ids(path) == ["E000002"]


def test_what_a_reader_holds_is_a_copy(path: Path) -> None:
    with RecordBase(path) as base:
        given_doc = doc(1, data={"g": 1})
        base.insert(given_doc)
        given_doc["data"]["g"] = 999
        base.all()[0]["data"]["g"] = 998
        assert base.all()[0]["data"]["g"] == 1


PLAIN = some.recursive(
    some.none()
    | some.booleans()
    | some.integers(-(2**63), 2**63)
    | some.floats(allow_nan=False, allow_infinity=False)
    | some.text(),
    lambda inner: some.lists(inner, max_size=3) | some.dictionaries(some.text(max_size=4), inner, max_size=3),
    max_leaves=6,
)
DOC = some.dictionaries(some.text(max_size=6).filter(lambda key: key != "crc"), PLAIN, min_size=1, max_size=5)


@settings(max_examples=100, deadline=None)
@given(some.lists(DOC, max_size=6), some.data())
def test_any_json_comes_back_and_any_prefix_keeps_its_whole_lines(docs: list[dict[str, Any]], data: Any) -> None:
    lines = [encode(f"k{n}", content) for n, content in enumerate(docs)]
    raw = render(lines)
    assert [decode(line) for line in lines] == [(f"k{n}", content) for n, content in enumerate(docs)]
    assert survey(raw).clean and list(survey(raw).lines.values()) == lines
    assert [list(pair) for pair in json.loads(raw)["records"].items()] == [
        [f"k{n}", {**content, "crc": line[-10:-2].decode()}]
        for n, (content, line) in enumerate(zip(docs, lines, strict=True))
    ]
    length = data.draw(some.integers(0, len(raw)))
    whole = [line for n, line in enumerate(lines) if len(render(lines[: n + 1])) - len(TAIL) - 1 <= length]
    assert list(survey(raw[:length]).lines.values()) == whole


# A failing disk -----------------------------------------------------------------------------------------------------


def full(error: int = errno.ENOSPC) -> OSError:
    return OSError(error, os.strerror(error))


def test_a_full_disk_leaves_the_file_as_it_was(path: Path) -> None:
    room = [10_000]

    def filling(fd: int, data: bytes, at: int) -> int:
        if len(data) > room[0] and data != TAIL:
            put(fd, data[:60], at)
            raise full()
        return put(fd, data, at)

    with RecordBase(path, disk=Disk(put=filling)) as base:
        base.insert(doc(1))
        before, room[0] = path.read_bytes(), 0
        with pytest.raises(NotKept, match=r"Not saved: the disk refused the write \(No space left on device\)\."):
            base.insert(doc(2))
        assert path.read_bytes() == before and len(base) == 1
        room[0] = 10_000
        base.insert(doc(3))
    assert ids(path) == ["E000001", "E000003"]


def test_a_write_that_goes_in_pieces_is_finished(path: Path) -> None:
    with RecordBase(path, disk=Disk(put=lambda fd, data, at: put(fd, data[:7], at))) as base:
        base.insert_multiple(doc(n) for n in range(20))
    assert len(ids(path)) == 20 and survey(path.read_bytes()).clean


def test_a_failed_sync_stops_the_store_until_it_is_opened_again(path: Path) -> None:
    calls = []

    def failing(fd: int) -> None:
        calls.append(fd)
        if len(calls) == 2:
            raise full(errno.EIO)

    base = RecordBase(path, disk=Disk(sync=failing))
    base.insert(doc(1))
    for n in (2, 3):
        with pytest.raises(NotKept, match="open it again"):
            base.insert(doc(n))
    assert len(calls) == 2 and [d["n"] for d in base] == [1]
    base.close()
    with RecordBase(path) as base:
        base.insert(doc(4))
        assert {d["n"] for d in base} >= {1, 4}


def test_a_tail_that_cannot_be_restored_stops_the_store_and_is_repaired_on_opening(path: Path) -> None:
    broken = []

    def dying(fd: int, data: bytes, at: int) -> int:
        if broken:
            raise full(errno.EIO)
        if b"E000002" in data:
            broken.append(1)
            put(fd, data[:30], at)
            raise full(errno.EIO)
        return put(fd, data, at)

    base = RecordBase(path, disk=Disk(put=dying))
    base.insert(doc(1))
    for n in (2, 3):
        with pytest.raises(NotKept):
            base.insert(doc(n))
    base.close()
    with RecordBase(path) as base:
        assert [d["n"] for d in base] == [1] and "cut off" in base.file.report[0]


def test_an_interrupted_write_leaves_no_trace(path: Path) -> None:
    def interrupted(fd: int, data: bytes, at: int) -> int:
        if b'"n":2,' in data:
            put(fd, data[:50], at)
            raise KeyboardInterrupt
        return put(fd, data, at)

    with RecordBase(path, disk=Disk(put=interrupted)) as base:
        base.insert(doc(1))
        before = path.read_bytes()
        with pytest.raises(KeyboardInterrupt):
            base.insert(doc(2, long="x" * 4000))
        assert path.read_bytes() == before
        base.insert(doc(3))
    assert ids(path) == ["E000001", "E000003"]


@pytest.mark.parametrize("seed", range(4))
def test_threads_over_a_disk_that_often_refuses(path: Path, seed: int) -> None:
    rng = random.Random(seed)

    def flaky(fd: int, data: bytes, at: int) -> int:
        if data != TAIL and rng.random() < 0.25:
            put(fd, data[: rng.randrange(len(data))], at)
            raise full()
        return put(fd, data, at)

    kept: list[int] = []
    refused: list[int] = []
    with RecordBase(path, disk=Disk(put=flaky, sync=lambda fd: None)) as base:

        def work(first: int) -> None:
            for n in range(first, first + 60):
                try:
                    base.insert(doc(n))
                    kept.append(n)
                except NotKept:
                    refused.append(n)

        threads = [threading.Thread(target=work, args=(100 * k,)) for k in range(6)]
        [thread.start() for thread in threads]
        [thread.join() for thread in threads]
        assert sorted(kept) == sorted(d["n"] for d in base) and refused
    assert sorted(ids(path)) == sorted(f"E{n:06d}" for n in kept)


def test_threads_that_wait_share_one_sync(path: Path) -> None:
    go, entered = threading.Event(), threading.Event()

    def slow(fd: int) -> None:
        entered.set()
        assert go.wait(10)
        full_sync(fd)

    with RecordBase(path, disk=Disk(sync=slow)) as base:
        done: list[int] = []

        def work(n: int) -> None:
            base.insert(doc(n))
            done.append(n)

        threads = [threading.Thread(target=work, args=(n,)) for n in range(16)]
        threads[0].start()
        assert entered.wait(10)
        [thread.start() for thread in threads[1:]]
        while len(base.file._gate._next.entries) < 15:
            threading.Event().wait(0.001)
        assert not done and len(base) == 0  # nothing is answered or shown before it is on the disk
        go.set()
        [thread.join() for thread in threads]
        assert len(done) == len(base) == 16 and base.file.commits == 2


def test_one_key_from_many_threads_stands_in_the_file_once(path: Path) -> None:
    kept: list[int] = []
    refused: list[str] = []
    with RecordBase(path, disk=Disk(sync=lambda fd: threading.Event().wait(0.002))) as base:

        def work(n: int) -> None:
            try:
                base.insert(doc(7, thread=n))
                kept.append(n)
            except ValueError as error:
                refused.append(str(error))

        threads = [threading.Thread(target=work, args=(n,)) for n in range(8)]
        [thread.start() for thread in threads]
        [thread.join() for thread in threads]
        assert len(kept) == 1 and len(refused) == 7 and base.all() == [doc(7, thread=kept[0])]
    assert survey(path.read_bytes()).clean and path.read_bytes().count(b"E000007") == 1


def test_a_walk_is_safe_while_others_append(path: Path) -> None:
    with RecordBase(path, disk=Disk(sync=lambda fd: None)) as base:
        base.insert_multiple(doc(n) for n in range(300))
        stop, errors = threading.Event(), []

        def walk() -> None:
            while not stop.is_set():
                try:
                    base.search(where("n") == 3)
                    len(base.all())
                except BaseException as error:
                    errors.append(error)

        walker = threading.Thread(target=walk)
        walker.start()
        for n in range(300, 800):
            base.insert(doc(n))
        stop.set()
        walker.join()
        assert not errors


def test_a_folder_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(Unusable, match="cannot be read or made"):
        RecordBase(tmp_path / "file" / "saggar.json")


def test_a_key_that_is_taken_is_not_queued_again(path: Path) -> None:
    with RecordBase(path) as base:
        base.insert(doc(1))
        store = base.storage
        assert isinstance(store, AppendStorage)
        fresh, taken = (Entry(doc(n).doc_id, encode(str(doc(n).doc_id), dict(doc(n)))) for n in (2, 1))  # type: ignore[arg-type]
        with store.pen:
            for entries in ([taken], [fresh, fresh], [fresh, taken]):
                with pytest.raises(ValueError, match="once"):
                    store.queue(entries)
            batch = store.queue([fresh])
            with pytest.raises(ValueError, match="once"):
                store.queue([fresh])
        store.wait(batch)
    assert ids(path) == ["E000001", "E000002"]
