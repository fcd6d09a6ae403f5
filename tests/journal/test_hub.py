"""A hub by itself: positions that are safe to read on from, nobody writes elsewhere, nothing changes, photos whole."""

import hashlib
import random
import threading
from contextlib import suppress
from pathlib import Path
from typing import Any

import psycopg
import pytest

from bench.journal.carrier import Name, line_of, name_of, told_by
from bench.journal.hub.address import Address
from bench.journal.hub.link import NOT_ALLOWED, HubTrouble
from bench.journal.hub.place import PIECE, HubPlace, others
from bench.journal.lines import encode
from tests.journal.hubs import everything, keeper, line, link, place
from tests.measure import bulk
from tests.measure.hub_server import HubServer

WRITERS, ROUNDS = 5, 25
OWN = "shelf = saggar.own_shelf(false)"


def direct(address: Address) -> "psycopg.Connection[Any]":
    return psycopg.connect(**address.options(), autocommit=True)


def test_a_number_drawn_from_a_sequence_can_fall_behind_whoever_reads_on(server: HubServer) -> None:
    """Why the positions are counted under a lock: a number is drawn before its commit."""
    with server.superuser() as db:
        db.ask("create table drawn (n bigint generated always as identity, what text)")
    owner = {"conninfo": server.above}
    with psycopg.connect(**owner) as slow, psycopg.connect(**owner, autocommit=True) as fast:
        slow.execute("insert into drawn (what) values ('first')")
        fast.execute("insert into drawn (what) values ('second')")
        read = fast.execute("select n, what from drawn where n > 0").fetchall()
        slow.commit()
        read += fast.execute("select n, what from drawn where n > %s", (read[-1][0],)).fetchall()
        assert [what for _, what in read] == ["second"], "the first one is never read"
        assert fast.execute("select count(*) from drawn").fetchone() == (2,)


def test_whoever_reads_on_by_position_meets_every_record_of_many_writers(server: HubServer) -> None:
    address = server.admit("Racers", "racer")
    seen: list[Name] = []
    stopped = threading.Event()

    def reads() -> None:
        shelf, at = place(address), 0
        while True:
            last = stopped.is_set()
            upto = shelf.standing().position
            seen.extend(name for name, _ in shelf.since(at, upto))
            if last and upto == at:
                return
            at = upto

    def writes(writer: int) -> None:
        with direct(address) as db, db.cursor() as cursor:
            for n in range(ROUNDS):
                with db.transaction():
                    body = told_by(line(n + 1, f"device-{writer}")).body
                    cursor.execute("select saggar.give(false, array['d'], array[1]::bigint[], array[%b])", (body,))
                    cursor.execute("select pg_sleep(%s)", (random.Random(writer * 97 + n).random() / 250,))

    reader = threading.Thread(target=reads)
    writers = [threading.Thread(target=writes, args=(n,)) for n in range(WRITERS)]
    for one in (reader, *writers):
        one.start()
    for one in writers:
        one.join()
    stopped.set()
    reader.join()
    assert set(seen) == {name_of(line(n + 1, f"device-{w}")) for w in range(WRITERS) for n in range(ROUNDS)}
    assert len(seen) == WRITERS * ROUNDS == place(address).standing().position
    with direct(address) as db:
        positions = db.execute(f"select position from saggar.record where {OWN} order by position").fetchall()
    assert [n for (n,) in positions] == list(range(1, WRITERS * ROUNDS + 1))


def test_a_repeat_is_one_record_another_content_is_kept_too_and_every_byte_comes_back(server: HubServer) -> None:
    shelf = place(server.admit("Repeats"))
    told = [line(1), line(1, c=2), line(2, t="a\0b"), line(3, c=1e300), line(4, c=-0.0), line(5, t="\u202eא😀")]
    shelf.give([told[0], *told])
    shelf.give([*told[3:], line(6)])
    told.append(line(6))
    assert shelf.standing().position == len(told), "a repeat takes no position"
    assert everything(shelf) == list(map(name_of, told)), "in the order in which they were given"
    came = dict(shelf.take(set(map(name_of, told))))
    assert {name: line_of(told_by(one).body) for name, one in came.items()} == came
    assert came.keys() == set(map(name_of, told))


def test_the_hubs_outline_is_the_benches_outline(server: HubServer) -> None:
    from bench.journal.carrier import Index, head_of, run_of

    shelf, index = place(server.admit("Outlines")), Index()
    several = [line(n, device) for device in ("ä-1", "laptop~ab") for n in range(1, 1_100, 3)]
    shelf.give(several)
    for one in several:
        index.add(name_of(one), run_of(head_of(one)))
    outline = dict(shelf.outline())
    assert outline == index.outline()
    run = ("laptop~ab", 1)
    assert shelf.names([run]) == index.names([run]) and 0 < len(index.names([run])) < len(several)


FORBIDDEN = (
    "insert into saggar.record (shelf, position, device, seq, body) values ({other}, 9, 'x', 1, 'abc')",
    "insert into saggar.record (shelf, position, device, seq, body) values ({own}, 9, 'x', 1, 'abc')",
    "insert into saggar.photo values ({other}, sha256('a'), '.jpg', 'a')",
    "update saggar.shelf set last = 0 where id = {other}",
    "update saggar.record set body = 'abc'", "update saggar.photo set data = 'abc'",
    "delete from saggar.record", "delete from saggar.photo", "truncate saggar.record", "truncate saggar.photo",
    "insert into saggar.bench values ('barn_1', 1)", "select * from saggar.bench",
    "insert into saggar.workshop (name) values ('mine')", "update saggar.made set version = 9",
    "select saggar.admit('Yard', 'spy', 'x')", "select saggar.shut_out('yard_1')",
    "set role saggar_hub_owner", "set session authorization yard_1", "alter table saggar.record disable trigger all",
    "alter table saggar.record disable row level security", "create table saggar.mine (a int)",
    "drop table saggar.record", "grant saggar_hub_owner to barn_1", "create role spy", "select * from pg_authid",
)  # fmt: skip


def test_a_workshop_writes_only_its_own_and_reads_what_is_shared(server: HubServer) -> None:
    yard, barn = server.admit("Yard", "yard_1"), server.admit("Barn", "barn_1")
    own, shared = place(yard), place(yard, opened=True)
    own.give([line(1)])
    shared.give([line(2)])
    theirs = link(barn)
    HubPlace(theirs).give([line(3)])
    assert everything(HubPlace(theirs, of=shared.shelf)) == [name_of(line(2))]
    closed = HubPlace(theirs, of=own.shelf)
    assert list(closed.since(0, 9)) == list(closed.take({name_of(line(1))})) == [] and dict(closed.outline()) == {}
    with pytest.raises(HubTrouble, match="belongs to no workshop"):
        closed.standing()
    with pytest.raises(HubTrouble, match="read-only"):
        HubPlace(theirs, of=shared.shelf).give([line(4)])
    assert others(theirs)["Yard"] == (shared.shelf, 1)
    mine = HubPlace(theirs).shelf
    with direct(barn) as db:
        for attempt in FORBIDDEN:
            with pytest.raises(psycopg.errors.InsufficientPrivilege):
                db.execute(attempt.format(own=mine, other=own.shelf))
        assert db.execute("select count(*) from saggar.record where shelf = %s", (own.shelf,)).fetchone() == (0,)
    assert everything(own) == [name_of(line(1))] and everything(place(barn)) == [name_of(line(3))]


def test_two_benches_of_a_workshop_have_one_shelf_and_a_lost_one_is_shut_out_alone(server: HubServer) -> None:
    one, two = server.admit("Attic", "attic_1"), server.admit("Attic", "attic_2")
    place(one).give([line(1)])
    assert everything(place(two)) == [name_of(line(1))]
    assert keeper(server.database).shut_out("attic_1") and not keeper(server.database).shut_out("attic_9")
    with pytest.raises(HubTrouble, match="does not know this login"):
        place(one).outline()
    assert everything(place(two)) == [name_of(line(1))]
    attic = next(one for one in keeper(server.database).holds() if one.name == "Attic")
    assert (attic.benches, attic.records, attic.shared, attic.photos) == (2, 1, 0, 0)


@pytest.mark.parametrize("attempt", ["update {0} set shelf = 1", "delete from {0}", "truncate {0}"])
@pytest.mark.parametrize("table", ["saggar.record", "saggar.photo"])
def test_not_even_the_owner_changes_or_removes(server: HubServer, attempt: str, table: str) -> None:
    address = server.admit("Kept")
    place(address).give([line(1)])
    place_photo(place(address), b"kept")
    with psycopg.connect(server.above, autocommit=True) as db:
        before = db.execute(f"select count(*), sum(shelf) from {table}").fetchone()
        with pytest.raises(psycopg.errors.InsufficientPrivilege):
            db.execute(attempt.format(table))
        db.execute("set role saggar_hub_owner")  # of whom row security hides every row, so that nothing is touched
        with suppress(psycopg.errors.InsufficientPrivilege):
            db.execute(attempt.format(table))
        assert db.execute(f"select count(*), sum(shelf) from {table}").fetchone() == before != (0, None)


def test_not_even_a_function_of_the_hub_could_write_on_anothers_shelf(server: HubServer) -> None:
    other = place(server.admit("Elsewhere")).shelf
    with psycopg.connect(server.above, autocommit=True) as db:
        db.execute("set role saggar_hub_owner")
        with pytest.raises(psycopg.errors.InsufficientPrivilege):
            db.execute(
                "insert into saggar.record (shelf, position, device, seq, body) values (%s, 9, 'x', 1, 'ab')", (other,)
            )


def place_photo(shelf: HubPlace, data: bytes, folder: Path | None = None) -> str:
    import tempfile

    with tempfile.TemporaryDirectory() as made:
        path = Path(made) / "x.jpg"
        path.write_bytes(data)
        sha256 = hashlib.sha256(data).hexdigest()
        shelf.give_photo(sha256, path)
        return sha256


def test_a_photo_goes_on_where_it_was_cut_off_both_ways_and_a_wrong_one_never_counts(
    server: HubServer, tmp_path: Path
) -> None:
    address, data = server.admit("Pictures"), random.Random(3).randbytes(3 * PIECE + 99)
    shelf, sha256 = place(address), hashlib.sha256(data).hexdigest()
    give = "select saggar.give_photo(false, %b, '.jpg', %s, %s, %b)"
    with direct(address) as db:
        raw = bytes.fromhex(sha256)
        assert db.execute(give, (raw, 0, len(data), data[:PIECE])).fetchone() == (PIECE,)
        assert db.execute(give, (raw, 5, len(data), data[5:9])).fetchone() == (0,), "a gap: from the start again"
        assert db.execute(give, (raw, 0, len(data), data[:PIECE])).fetchone() == (PIECE,)
        assert shelf.photos() == set()
        place_photo(shelf, data)
        assert shelf.photos() == {sha256}
        wrong = hashlib.sha256(b"other").digest()
        assert db.execute(give, (wrong, 0, 5, b"othex")).fetchone() == (-1,)
        assert shelf.photos() == {sha256} and db.execute("select count(*) from saggar.photo_part").fetchone() == (0,)
    (tmp_path / f"{sha256}.new").write_bytes(data[:PIECE])  # an earlier try ended here
    came = shelf.take_photo(sha256, tmp_path)
    assert came == tmp_path / f"{sha256}.jpg" and came.read_bytes() == data
    (tmp_path / f"{sha256}.new").write_bytes(b"x" + data[1:PIECE])
    assert shelf.take_photo(sha256, tmp_path) is None, "the half that lay here was another one"
    assert shelf.take_photo(sha256, tmp_path) is not None, "so it comes whole the next time"
    assert shelf.take_photo("00" * 32, tmp_path) is None and not list(tmp_path.glob("*.new"))


def test_twenty_workshops_of_500_records_each_see_their_own(server: HubServer) -> None:
    def lines(workshop: int) -> list[bytes]:
        return [encode(key, {**doc, "device": f"bench-{workshop}"}) for key, doc in told]

    told = list(bulk.records(500))
    addresses = [server.admit(f"School {n}") for n in range(20)]
    failed: list[Exception] = []

    def gives(first: int) -> None:
        try:
            for n in range(first, 20, 4):
                place(addresses[n]).give(lines(n))
        except Exception as error:
            failed.append(error)

    crew = [threading.Thread(target=gives, args=(k,)) for k in range(4)]
    for one in crew:
        one.start()
    for one in crew:
        one.join()
    assert not failed
    for n, address in enumerate(addresses):
        with direct(address) as db:
            rows = db.execute(f"select digest from saggar.record where {OWN}").fetchall()
        assert {bytes(name) for (name,) in rows} == set(map(name_of, lines(n)))


def test_what_a_login_may_not_do_is_said_in_words(server: HubServer) -> None:
    asked = link(server.admit("Words"))
    with pytest.raises(HubTrouble) as told:
        asked.ask("delete from saggar.record")
    assert told.value.say == NOT_ALLOWED and asked.ask("select 1") == [(1,)], "the connection goes on"
