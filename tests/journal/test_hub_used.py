"""A hub in use: each trouble in a sentence, an open bench that waits for nobody, the command, and what is shared."""

import hashlib
import io
import os
import signal
import socket
import stat
import sys
from collections.abc import Callable, Collection, Iterator
from dataclasses import replace
from pathlib import Path
from threading import Event
from typing import Any

import pytest

from bench.cli import main
from bench.journal import Journal
from bench.journal.carrier import Name
from bench.journal.hub.address import read_address
from bench.journal.hub.desk import HubDesk
from bench.journal.hub.link import (
    AWAY,
    BROKE,
    CLEAR,
    NO_HUB,
    NO_NAME,
    NO_PSYCOPG,
    NO_ROOM,
    SILENT,
    UNPROVEN,
    WRONG,
    HubTrouble,
    Link,
)
from bench.journal.hub.place import NEWER, OLDER, HubPlace
from bench.journal.lines import encode
from bench.journal.verify import verify
from tests.journal.helpers import HandClock, assay, open_journal, phone_record, ulid
from tests.journal.hubs import keeper, line, link, place
from tests.measure import bulk
from tests.measure.hub_server import HubServer, certificate_for

JAR = ulid(9_000_000)
Said = pytest.CaptureFixture[str]


def opened(folder: Path, n: int = 0) -> Journal:
    return open_journal(folder, HandClock(), device=f"bench-{n}")


# What goes wrong, in words ------------------------------------------------------------------------------------------


def told(ask: Callable[[], object]) -> str:
    with pytest.raises(HubTrouble) as said:
        ask()
    return said.value.say


def test_each_way_in_which_a_hub_cannot_be_used_has_its_sentence(
    server: HubServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    address = server.admit("Words", "words_1")
    assert told(place(server.address("words_1", "wrong")).outline) == WRONG
    assert told(place(server.address("nobody_1", "wrong")).outline) == WRONG
    assert told(place(server.address("words_1", address.password, port=1)).outline) == AWAY
    assert told(place(replace(address, database="other")).outline) == NO_NAME
    assert told(place(replace(address, database="postgres")).outline) == NO_HUB
    with server.superuser() as db:
        for version, say in ((0, OLDER), (2, NEWER)):
            db.ask("update saggar.made set version = %s", (version,))
            assert told(place(address).outline) == say
        db.ask("update saggar.made set version = 1")
        full = "$$ begin raise exception 'could not extend file' using errcode = 'disk_full'; end $$"
        db.ask(f"create function saggar.full() returns trigger language plpgsql as {full}")
        db.ask("create trigger full_disk before insert on saggar.record execute function saggar.full()")
        assert told(lambda: place(address).give([line(1)])) == NO_ROOM
        db.ask("drop trigger full_disk on saggar.record")
        place(address).give([line(1)])
        db.ask("alter function saggar.outline(int) rename to outlined")
        assert told(place(address).outline) == NO_HUB
        db.ask("alter function saggar.outlined(int) rename to outline")
    for say in (WRONG, AWAY, NO_NAME, NO_HUB, OLDER, NO_ROOM, BROKE):
        assert "words_1" not in say and "127.0.0.1" not in say
    monkeypatch.setitem(sys.modules, "psycopg", None)
    assert told(place(address).outline) == NO_PSYCOPG


def test_over_a_network_only_a_hub_that_proves_its_name_learns_anything(server: HubServer, tmp_path: Path) -> None:
    name = "hub.school.example"
    own, other = tmp_path / "own.pem", tmp_path / "other.pem"
    other.write_bytes(certificate_for(name)[0])
    address = replace(server.admit("Proven"), host=name, certificate=str(own))
    assert not address.beside

    def said(**other: str | None) -> str | None:
        asked = Link({**replace(address, **other).options(), "hostaddr": "127.0.0.1"})  # type: ignore[arg-type]
        try:
            assert HubPlace(asked).standing().position == 0
        except HubTrouble as trouble:
            return trouble.say
        finally:
            asked.close()
        return None

    own.write_bytes(server.prove(name))
    try:
        assert said() is None
        assert said(certificate=str(other)) == said(certificate=None) == said(host="other.example") == UNPROVEN
        assert said(password="wrong") == WRONG
        server.allow("hostssl all all 127.0.0.1/32 password", ssl=True)
        assert said() == CLEAR
        server.allow()
        assert said() == UNPROVEN, "a hub that does not encrypt"
    finally:
        server.allow()


def test_a_call_that_gets_no_answer_ends_at_its_deadline_and_the_next_one_goes_on(server: HubServer) -> None:
    asked = link(server.admit("Silent"), deadline_s=0.3)
    (pid,) = asked.ask("select pg_backend_pid()")[0]
    os.kill(pid, signal.SIGSTOP)
    try:
        assert told(lambda: asked.ask("select 1")) == SILENT
    finally:
        os.kill(pid, signal.SIGCONT)
    assert asked.ask("select 1") == [(1,)], "over another connection"
    asked.abort()
    assert told(lambda: asked.ask("select 1")) == BROKE


# The bench that is open, and the command ------------------------------------------------------------------------------


def test_an_open_bench_speaks_with_its_hub_from_a_thread_of_its_own(tmp_path: Path, server: HubServer) -> None:
    with opened(tmp_path / "a") as a, opened(tmp_path / "b", 1) as b:
        for n, journal in enumerate((a, b)):
            journal.write("jar.assayed", JAR, assay(n))
            journal.hub.connect(server.admit("Desk"))
            journal.hub.tend()
            assert not journal.hub.told.working, "nothing goes by itself before both were brought together"
        assert bringing(a.hub) == (0, 1)
        seen = asked(b.hub, "look").seen
        assert seen is not None and seen.strange and len(b.state.records) == 1
        assert bringing(b.hub) == (1, 1)
        a.hub.tend()
        done = a.hub.wait(20).done
        assert done is not None and done.new_here == 1 and len(a.state.records) == 2
        b.hub.ask("share", [b.records(JAR)[0].id])
        assert b.hub.wait(20).shared == 1
        assert asked(a.hub, "look").others["Desk"] == 1 and len(a.state.records) == 2
        kept = tmp_path / "a" / "keys" / "hub.json"
        assert stat.S_IMODE(kept.stat().st_mode) == 0o600
        a.hub.disconnect()
        assert not kept.exists() and a.hub.address is None and a.hub.told.done is None
        a.hub.tend()
        assert not a.hub.told.working


def asked(hub: HubDesk, what: str) -> Any:
    hub.ask(what)
    return hub.wait(20)


def bringing(hub: HubDesk) -> tuple[int, int]:
    done = asked(hub, "bring").done
    return (done.new_here, done.new_there)


def test_a_silent_hub_holds_neither_a_write_nor_the_closing(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as silent, opened(tmp_path / "a") as a:
        a.hub.connect(read_address(f"127.0.0.1:{silent.getsockname()[1]}", "yard_1", "secret"))
        a.hub.ask("bring")
        assert a.hub.told.working
        assert a.write("jar.assayed", JAR, assay(1)).status == "new" and len(a.records(JAR)) == 1
        assert a.hub.told.working
    assert verify(tmp_path / "a").records == 1


def test_closing_does_not_wait_for_records_that_are_coming_and_the_next_opening_goes_on(
    tmp_path: Path, server: HubServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    address, begun, closed = server.admit("Closing"), Event(), Event()
    sent = (phone_record(n, seq=n) for n in range(1, 1_201))
    place(address).give([encode(doc.pop("id"), doc) for doc in sent])
    whole = HubPlace.take

    def slowly(self: HubPlace, names: Collection[Name]) -> Iterator[tuple[Name, bytes]]:
        for n, found in enumerate(whole(self, names)):
            if n == 1_000:
                begun.set()
                assert closed.wait(20), "closing waited for what was coming"
            yield found

    monkeypatch.setattr(HubPlace, "take", slowly)
    with opened(tmp_path / "a") as a:
        a.hub.connect(address)
        a.hub.ask("bring")
        assert begun.wait(20)
    closed.set()
    told = a.hub.wait(20)
    assert told.done is None, "what comes after the closing is not taken"
    kept = verify(tmp_path / "a")
    assert kept.sound and kept.records == 1_000, "two whole parts"
    with opened(tmp_path / "a") as a:
        assert bringing(a.hub) == (200, 0) and len(a.state.records) == 1_200


def test_the_command_connects_looks_brings_shares_and_keeps(
    tmp_path: Path, server: HubServer, capsys: Said, monkeypatch: pytest.MonkeyPatch
) -> None:
    def said(*words: str, typed: str = "") -> tuple[int, str]:
        monkeypatch.setattr("sys.stdin", io.StringIO(typed))
        code = main(["hub", *words])
        out, err = capsys.readouterr()
        return code, out + err

    yard = ("--data", str(tmp_path / "yard"))
    with opened(tmp_path / "yard") as a:
        a.write("jar.assayed", JAR, assay(1))
    assert said(*yard) == (1, "This bench has no hub. Connect it with --connect ADDRESS --login NAME.\n")
    assert "set up already" in said("--keeper", server.database, "--setup")[1]
    code, out = said("--keeper", server.database, "--add", "The Yard", "--login", "the_yard_1")
    login, password = out.splitlines()[-2:]
    assert code == 0 and login == "the_yard_1"
    where = ("--connect", f"127.0.0.1:{server.port}", "--login", login)
    assert said(*yard, *where, typed="wrong\n") == (1, f"{WRONG}\n")
    assert not (tmp_path / "yard" / "keys" / "hub.json").exists()
    code, out = said(*yard, *where, typed=f"{password}\n")
    assert code == 0 and "The hub holds 0 records of this workshop." in out and password not in out
    code, out = said(*yard)
    assert code == 0 and "New there: 1 record, 0 photos or files." in out and "Nothing was changed" in out
    assert "Copied there: 1 record, 0 photos or files." in said(*yard, "--yes")[1]
    assert "The hub holds 1 record of this workshop." in said(*yard)[1]
    assert "The Yard: 1 bench, 1 record, 0 of them shared, 0 photos of 0.0 MB." in said("--keeper", server.database)[1]
    assert said("--keeper", server.database, "--shut-out", login)[0] == 0 and said(*yard) == (1, f"{WRONG}\n")
    assert "has no hub any more" in said(*yard, "--disconnect")[1]
    assert said("--setup")[0] == said("--connect", "x")[0] == said("--read", "x")[0] == 2
    assert keeper(server.database).holds()


def test_a_batch_is_shared_with_all_workshops_and_read_into_a_folder_of_its_own(
    tmp_path: Path, server: HubServer, capsys: Said
) -> None:
    with open_journal(tmp_path / "yard") as a, open_journal(tmp_path / "barn") as b:
        a.merge({"id": identity, **doc} for identity, doc in bulk.records(160))
        things = ((code, thing) for code in a.state.codes for thing in a.state.things_with(code))
        code, batch = next((code, thing) for code, thing in things if a.state.kind_of[thing] == "batch")
        weighed = a.state.rows(batch, "weighed")[0]
        a.write("withdrawn", batch, {"ids": [weighed.id], "why": "typed wrongly"})
        shot_of(a, batch)
        about = {record.id for record in a.records(batch)}
        a.hub.connect(server.admit("Yard of sharing"))
        b.hub.connect(server.admit("Barn of sharing"))
    yard, barn, theirs = (str(tmp_path / name) for name in ("yard", "barn", "theirs"))
    assert main(["hub", "--data", yard, "--share", code]) == 0 and "Nothing was changed" in capsys.readouterr().out
    assert main(["hub", "--data", yard, "--share", "ABC"]) == 1 and "A code has 6 characters" in capsys.readouterr().err
    assert main(["hub", "--data", yard, "--share", code, "--yes"]) == 0
    assert "1 photo or file. That cannot be taken back." in capsys.readouterr().out
    read = ["hub", "--data", barn, "--read", "Yard of sharing", "--into"]
    assert main([*read, barn]) == 1 and "never mixed" in capsys.readouterr().err
    assert main([*read, yard]) == 1 and "Name an empty folder" in capsys.readouterr().err
    assert main([*read, theirs]) == 0 and "Look at it with" in capsys.readouterr().out
    assert main([*read, theirs]) == 0 and "Copied here: 0 records" in capsys.readouterr().out
    assert main(["hub", "--data", barn, "--read", "Nobody", "--into", theirs]) == 1
    assert "Yard of sharing: " in capsys.readouterr().out
    with open_journal(tmp_path / "theirs") as read_there, open_journal(tmp_path / "barn") as b:
        b.hub.ask("peek", ["Yard of sharing"])
        seen = b.hub.wait(20).reading
        assert seen is not None and seen.seen is not None and len(seen.seen.new_here) == len(read_there.state.records)
        told = asked(b.hub, "look")
        assert told.own == "Barn of sharing" and told.others["Yard of sharing"] == len(seen.seen.new_here)
        assert told.reading == seen, "what was seen stays when something else is asked"
        b.hub.ask("read", ["Yard of sharing"])
        done = b.hub.wait(20).reading
        assert done is not None and done.done is not None and done.done.photos_here == 1
        assert b.hub.borrowed.workshops() == ["Yard of sharing"]
        assert b.hub.borrowed.state("Yard of sharing").records.keys() == read_there.state.records.keys()
        b.hub.ask("read", ["Nobody"])
        told = b.hub.wait(20)
        assert told.trouble is not None and "no workshop of this name" in told.trouble and told.reading == done
        assert about <= {record.id for record in read_there.records(batch)} and not b.state.records
        assert not read_there.state.is_effective(weighed.id), "what was withdrawn is withdrawn there too"
        assert len(list(read_there.photos.glob("*.jpg"))) == 1
        assert 30 < len(read_there.state.records) < 100, "that batch, and not all of the workshop"


def shot_of(journal: Journal, thing: str) -> None:
    journal.photos.mkdir(exist_ok=True)
    (journal.photos / f"{ulid(6_999)}.jpg").write_bytes(b"a photo of it")
    sha256 = hashlib.sha256(b"a photo of it").hexdigest()
    journal.write("photo.kept", thing, {"of": thing, "photo": ulid(6_999), "sha256": sha256})
