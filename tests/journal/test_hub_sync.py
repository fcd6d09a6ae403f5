"""Benches come to hold the same through a hub and a folder, whatever fails between, is restored, or is set wrong."""

import hashlib
import os
import random
import shutil
import signal
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from bench.journal import Journal
from bench.journal.carrier import name_of
from bench.journal.hub.link import (
    HubTrouble,
)
from bench.journal.merging import FILE
from bench.journal.shared_folder import SharedFolder
from bench.journal.survey import survey
from bench.journal.trouble import Trouble
from bench.journal.verify import verify
from tests.journal.helpers import START_MS, HandClock, assay, open_journal, phone_record, ulid
from tests.journal.hubs import close_all, everything, place
from tests.measure.hub_server import HubServer

JAR = ulid(9_000_000)
YEAR_MS, NINE_HOURS_MS = 365 * 86_400_000, 9 * 3_600_000
SKEWS = (0, NINE_HOURS_MS, -YEAR_MS)


def opened(folder: Path, n: int = 0) -> Journal:
    return open_journal(folder, HandClock(START_MS + SKEWS[n]), device=f"bench-{n}")


def held(folder: Path) -> set[bytes]:
    return {name_of(line) for line in survey((folder / FILE).read_bytes()).lines.values()}


def shot(journal: Journal, n: int) -> None:
    """A photo of the jar, told by its number."""
    journal.photos.mkdir(exist_ok=True)
    data = random.Random(n).randbytes(300_000)
    (journal.photos / f"{ulid(7_000 + n)}.jpg").write_bytes(data)
    sha256 = hashlib.sha256(data).hexdigest()
    journal.write("photo.kept", JAR, {"of": JAR, "photo": ulid(7_000 + n), "sha256": sha256})


class Shaky:
    """A carrier that fails now and then: before a call, after it so that the answer is lost, or half way."""

    def __init__(
        self, place: Any, rng: random.Random, rate: float, when_gone: Callable[[], None] = lambda: None
    ) -> None:
        self._place, self._rng, self._rate, self._when_gone = place, rng, rate, when_gone

    def __getattr__(self, name: str) -> Any:
        call = getattr(self._place, name)

        def shaken(*told: Any) -> Any:
            fate = self._rng.random()
            if fate < self._rate / 2:
                self._when_gone()
                raise HubTrouble("gone")
            if name == "give" and fate < self._rate:
                call(told[0][: len(told[0]) // 2])
                raise HubTrouble("half of it went")
            answer = call(*told)
            if fate < self._rate:
                self._when_gone()
                raise HubTrouble("the answer is lost")
            return answer

        return shaken


def story(seed: int, tmp_path: Path, server: HubServer, turns: int) -> None:
    """Three benches write, use ids twice, take photos, are set back to older copies, and meet in a hub or a folder."""
    rng, shared = random.Random(seed), tmp_path / "shared"
    shared.mkdir()
    folders = [tmp_path / f"bench-{n}" for n in range(3)]
    addresses = [server.admit(f"Story {seed} {tmp_path.name}") for _ in range(3)]
    ever: set[bytes] = set()
    set_back: set[bytes] = set()
    copies: dict[int, Path] = {}
    for turn in range(turns):
        n = rng.randrange(3)
        with opened(folders[n], n) as journal:
            for _ in range(rng.randrange(1, 4)):
                same: Any = {"id": ulid(rng.randrange(40))} if rng.random() < 0.3 else {}
                journal.write("jar.assayed", JAR, assay(rng.randrange(5)), **same)
            if rng.random() < 0.2:
                shot(journal, rng.randrange(20))
            carrier = SharedFolder(shared, journal.device) if rng.random() < 0.3 else place(addresses[n])
            with suppress(Trouble):
                journal.syncing.sync(Shaky(carrier, rng, rng.choice([0, 0.2, 0.5])))
        close_all()
        ever |= held(folders[n])
        if rng.random() < 0.2:
            copies[n] = tmp_path / f"copy-{n}-{turn}"
            shutil.copytree(folders[n], copies[n])
        elif n in copies and rng.random() < 0.3:
            set_back |= held(folders[n]) - held(copies[n])
            shutil.rmtree(folders[n])
            shutil.copytree(copies[n], folders[n])
    ends, states = meet_twice(folders, addresses, shared)
    there = set(everything(place(addresses[0])))
    lines = [line for path in shared.rglob("*.records") for line in survey(path.read_bytes()).lines.values()]
    assert ends[0] == ends[1] == ends[2] == there and set(map(name_of, lines)) <= there
    assert states[0] == states[1] == states[2] and all(verify(folder).sound for folder in folders)
    assert ever - there <= set_back, "only what a bench had not given before it was set back may be gone"


def meet_twice(folders: list[Path], addresses: list[Any], shared: Path) -> tuple[list[set[bytes]], list[Any]]:
    """All benches meet at both carriers until each has met what every other brought."""
    for _ in range(2):
        for n, folder in enumerate(folders):
            with opened(folder, n) as journal:
                journal.syncing.sync(SharedFolder(shared, journal.device))
                journal.syncing.sync(place(addresses[n]))
    states = []
    for n, folder in enumerate(folders):
        with opened(folder, n) as journal:
            photos = sorted(hashlib.sha256(path.read_bytes()).hexdigest() for path in journal.photos.glob("*.jpg"))
            records = [record.to_dict() for record in journal.records(JAR)]
            states.append((records, sorted(one.id for one in journal.conflicts), photos))
    return [held(folder) for folder in folders], states


@pytest.mark.parametrize("seed", range(2))
def test_any_story_through_a_hub_and_a_folder_ends_alike_with_nothing_lost(
    tmp_path: Path, server: HubServer, seed: int
) -> None:
    story(seed, tmp_path, server, 10)


@pytest.mark.long
@pytest.mark.timeout(3_600)
@pytest.mark.parametrize("seed", range(100, 160))
def test_sixty_longer_stories_through_a_hub_and_a_folder(tmp_path: Path, server: HubServer, seed: int) -> None:
    story(seed, tmp_path, server, 30)


@settings(max_examples=4, phases=[Phase.generate])
@given(
    several=st.lists(st.tuples(st.integers(0, 7), st.integers(0, 2), st.integers(0, 1)), min_size=6, max_size=14),
    parts=st.lists(st.integers(0, 2), min_size=14, max_size=14),
    order=st.permutations([0, 1, 2]),
)
def test_in_whatever_parts_and_order_records_come_all_ends_are_alike(
    server: HubServer, tmp_path_factory: pytest.TempPathFactory, several: Any, parts: list[int], order: list[int]
) -> None:
    """Some ids are claimed by different records, some records come twice; three benches, a hub, and a plain merge."""
    records = []
    for number, device, grams in several:
        ms = START_MS + number + SKEWS[device]
        told = {"device": f"phone-{device}", "seq": number + 1, "hlc": [ms, 0, f"phone-{device}"]}
        records.append(phone_record(number, data=assay(float(grams)), **told))
    base = tmp_path_factory.mktemp("parts")
    address = server.admit(f"Parts {base.name} {random.random()}")
    benches = [opened(base / f"bench-{n}", n) for n in range(3)]
    plain = opened(base / "plain")
    try:
        for n, bench in enumerate(benches):
            bench.merge(record for part, record in zip(parts, records, strict=False) if part == n)
        for n in [*order, *order]:
            benches[n].syncing.sync(place(address))
        plain.merge(records)
        assert plain.merge(reversed(records)).new == 0
        ends = [[r.to_dict() for r in one.records(JAR)] for one in (*benches, plain)]
        claimed = [{c.id: c.records for c in one.conflicts} for one in (*benches, plain)]
        assert all(end == ends[0] for end in ends) and all(one == claimed[0] for one in claimed)
        assert len(everything(place(address))) == len({(r["id"], r["device"], str(r["data"])) for r in records})
    finally:
        for one in (*benches, plain):
            one.close()
        close_all()


def test_a_hub_that_is_killed_in_the_middle_loses_nothing_and_counts_without_a_gap(
    tmp_path: Path, server: HubServer
) -> None:
    rng, kills = random.Random(5), 0
    addresses = [server.admit("Killed") for _ in range(2)]
    with opened(tmp_path / "a") as a, opened(tmp_path / "b", 1) as b:
        for journal, first, count in ((a, 0, 1_200), (b, 5_000, 700)):
            phone = f"phone-{journal.device}"
            journal.merge(phone_record(first + n, seq=n + 1, device=phone) for n in range(count))

        def killed() -> None:
            nonlocal kills
            kills += 1
            server.stop(signal.SIGQUIT)

        while kills < 3:
            for journal, address in zip((a, b), addresses, strict=True):
                with suppress(Trouble):
                    journal.syncing.sync(Shaky(place(address), rng, 0.3, killed))
                if server.stopped:
                    server.start()
        for journal, address in (*zip((a, b), addresses, strict=True), (a, addresses[0])):
            journal.syncing.sync(place(address))
    assert held(tmp_path / "a") == held(tmp_path / "b") == set(everything(place(addresses[0])))
    assert len(everything(place(addresses[0]))) == 1_900 == place(addresses[0]).standing().position


def test_only_what_is_new_is_read_on_and_a_hub_that_was_put_back_is_noticed(tmp_path: Path, server: HubServer) -> None:
    addresses = [server.admit("Older") for _ in range(2)]
    with opened(tmp_path / "a") as a, opened(tmp_path / "b", 1) as b:
        for n in range(5):
            a.write("jar.assayed", JAR, assay(n))
        a.syncing.sync(place(addresses[0]))
        b.syncing.sync(place(addresses[1]))
        server.stop()
        shutil.copytree(server.data, tmp_path / "older", copy_function=shutil.copy2)
        server.start()
        _, mark_a = a.syncing.follow(place(addresses[0]), None)
        _, mark_b = b.syncing.follow(place(addresses[1]), None)
        a.write("jar.assayed", JAR, assay(50))
        shot(a, 1)
        asked = Counted(place(addresses[0]))
        done, mark_a = a.syncing.follow(asked, mark_a)
        assert (done.new_here, done.new_there, done.photos_there) == (0, 2, 1) and "outline" not in asked.calls
        done, mark_b = b.syncing.follow(place(addresses[1]), mark_b)
        assert (done.new_here, done.new_there, done.photos_here) == (2, 0, 1)
        asked = Counted(place(addresses[1]))
        done, mark_b = b.syncing.follow(asked, mark_b)
        assert not done.moved and asked.calls == ["standing", "since"], "what came is not given back"
        asked = Counted(place(addresses[0]))
        done, mark_a = a.syncing.follow(asked, mark_a)
        assert not done.moved and asked.calls == ["standing", "since"], "nothing new: nothing else is asked"
        server.stop()
        put_back(server, tmp_path / "older")
        server.start()
        for n in range(4):
            b.write("jar.assayed", JAR, assay(90 + n))
        with opened(tmp_path / "c", 2) as c:
            for n in range(3):
                c.write("jar.assayed", JAR, assay(70 + n))
            assert c.syncing.sync(place(addresses[0])).new_there == 3, "where a has read others, up to position 7"
        done, mark_b = b.syncing.follow(place(addresses[1]), mark_b)
        assert (done.new_here, done.new_there) == (3, 6), "what the hub lost is given again"
        assert mark_a.standing.position == 7 and a.syncing.follow(place(addresses[0]), mark_a)[0].new_here == 7
    assert held(tmp_path / "a") == held(tmp_path / "b") == set(everything(place(addresses[0])))


class Counted:
    """A carrier that notes what it is asked."""

    def __init__(self, place: Any) -> None:
        self._place, self.calls = place, list[str]()

    def __getattr__(self, name: str) -> Any:
        self.calls.append(name)
        return getattr(self._place, name)


def put_back(server: HubServer, older: Path) -> None:
    owner = server.data.stat()
    shutil.rmtree(server.data)
    shutil.copytree(older, server.data, copy_function=shutil.copy2)
    for path in (server.data, *server.data.rglob("*")):
        os.chown(path, owner.st_uid, owner.st_gid)
    server.data.chmod(0o700)


def test_clones_and_wrong_clocks_are_explained_as_for_a_folder(tmp_path: Path, server: HubServer) -> None:
    address = server.admit("Clones")
    with opened(tmp_path / "a") as a:
        a.write("jar.assayed", JAR, assay(1))
    shutil.copytree(tmp_path / "a", tmp_path / "clone")
    with opened(tmp_path / "a") as a, opened(tmp_path / "clone") as clone, opened(tmp_path / "b", 1) as b:
        for n, journal in enumerate((a, clone, b)):
            journal.write("jar.assayed", JAR, assay(50 + n))
        a.receive([phone_record(4, seq=4)])
        for journal in (a, b):
            journal.syncing.sync(place(address))
        seen = clone.syncing.preview(place(address))
        assert (len(seen.new_here), len(seen.new_there), seen.differ) == (3, 1, 0)
        assert "From there comes 1 record written as bench-0" in seen.sentences[0]
        done = clone.syncing.sync(place(address))
        assert "Two benches or copies wrote as bench-0. Numbers 2 are there twice. Both are kept." in done.sentences
        assert "Of phone-kiln numbers 1 to 3 are in no copy yet." in done.sentences
        assert any("The clock of bench-1 is 9 hours ahead" in say for say in done.sentences)
        (clock,) = place(address).clock(0)
        assert clock.startswith("This computer’s clock is") and "behind the hub’s" in clock
