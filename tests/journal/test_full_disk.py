"""A disk that is really full: a small file system in memory, where this computer lets us mount one."""

import json
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from bench.journal import NotKept, Unusable
from bench.journal.verify import verify
from tests.journal.helpers import assay, open_journal, ulid

JAR = ulid(9_000_000)


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    place = tmp_path / "disk"
    place.mkdir()
    try:
        call = ["mount", "-t", "tmpfs", "-o", "size=256k", "tmpfs", str(place)]
        mounted = subprocess.run(call, capture_output=True).returncode == 0
    except OSError:
        mounted = False
    if not mounted:
        pytest.skip("mounting a small disk needs more rights than this user has")
    try:
        yield place
    finally:
        subprocess.run(["umount", str(place)], check=True)


def test_a_full_disk_refuses_in_words_and_goes_on_when_there_is_room(small_disk: Path) -> None:
    ballast = small_disk / "ballast"
    ballast.write_bytes(bytes(100_000))
    kept: list[str] = []
    with open_journal(small_disk / "data") as journal:
        refusals = 0
        while refusals < 5:
            try:
                kept.append(journal.write("jar.assayed", JAR, assay(len(kept))).id)
            except NotKept as trouble:
                refusals += 1
                assert "No space left on device" in trouble.say
                assert list(json.loads((small_disk / "data" / "saggar.json").read_bytes())["records"]) == kept
        assert [r.id for r in journal.records(JAR)] == kept and len(kept) > 100
        ballast.unlink()
        kept.append(journal.write("jar.assayed", JAR, assay(0.5)).id)
        assert [r.seq for r in journal.records(JAR)] == list(range(1, len(kept) + 1))
    with open_journal(small_disk / "data") as journal:
        assert [r.id for r in journal.records(JAR)] == kept
    assert verify(small_disk / "data").sound


def test_a_damaged_file_on_a_full_disk_is_left_alone(small_disk: Path) -> None:
    with open_journal(small_disk / "data") as journal:
        for n in range(50):
            journal.write("jar.assayed", JAR, assay(n))
    file = small_disk / "data" / "saggar.json"
    torn = file.read_bytes()[:-20]
    file.write_bytes(torn)
    with (small_disk / "ballast").open("wb", buffering=0) as ballast, pytest.raises(OSError, match="No space left"):
        while True:
            ballast.write(bytes(4096))
    for _ in range(3):
        with pytest.raises(
            Unusable, match=r"is damaged and cannot be repaired: No space left on device\. Nothing in it was"
        ):
            open_journal(small_disk / "data")
        assert file.read_bytes() == torn
        assert not list((small_disk / "data" / "backups").glob("*.damaged")), "no try takes more of the disk"
    (small_disk / "ballast").unlink()
    with open_journal(small_disk / "data") as journal:
        assert len(journal.records(JAR)) == 49 and "The end of the file is missing" in journal.report[0]
        assert "At least 1 record that was kept here is missing: number 50 of laptop." in journal.report


def test_a_new_file_on_a_full_disk_is_told(small_disk: Path) -> None:
    with (small_disk / "ballast").open("wb", buffering=0) as ballast, pytest.raises(OSError, match="No space left"):
        while True:
            ballast.write(bytes(4096))
    with pytest.raises(Unusable, match="No space left on device"):
        open_journal(small_disk / "data")
