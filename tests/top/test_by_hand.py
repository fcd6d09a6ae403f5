"""`saggar backup`, `merge`, `restore`, `repair`: a look first, words, exit codes, and a way back."""

from pathlib import Path

import pytest

from bench.cli import main
from bench.journal import FILE
from bench.journal.previewing import STRANGE
from bench.journal.survey import survey
from tests.journal.helpers import assay, open_journal, ulid

JAR = ulid(9_000_000)
Said = pytest.CaptureFixture[str]


def bench_of(folder: Path, records: int, first: int = 0, device: str = "laptop") -> Path:
    with open_journal(folder, device=device) as journal:
        for n in range(records):
            journal.write("jar.assayed", JAR, assay(first + n))
    return folder


def count(file: Path) -> int:
    return len(survey(file.read_bytes()).lines)


def test_a_backup_is_made_and_said(tmp_path: Path, capsys: Said) -> None:
    data = bench_of(tmp_path / "data", 5)
    (tmp_path / "stick").mkdir()
    assert main(["backup", "--data", str(data), "--to", str(tmp_path / "stick")]) == 0
    (kept,) = (tmp_path / "stick").glob("*.backup")
    assert f"{kept} holds 5 records." in capsys.readouterr().out and count(kept) == 5
    assert main(["backup", "--data", str(data)]) == 0 and len(list((data / "backups").glob("*.backup"))) == 1
    assert main(["backup", "--data", str(data), "--to", str(tmp_path / "gone")]) == 1
    assert "There is no folder" in capsys.readouterr().err


def test_a_merge_is_looked_at_first_and_goes_both_ways_back(tmp_path: Path, capsys: Said) -> None:
    one, two = bench_of(tmp_path / "one", 3), bench_of(tmp_path / "two", 4, 50, "other")
    asked = ["merge", str(two), "--data", str(one)]
    assert main(asked) == 0
    out = capsys.readouterr().out
    assert "saggar.json holds 4 records" in out and "New here: 4. Only here, not in saggar.json: 3." in out
    assert STRANGE in out
    assert "Disagreeing records: 0." in out and "Nothing was changed" in out and count(one / FILE) == 3
    assert main([*asked, "--yes"]) == 0 and count(one / FILE) == 7
    assert "4 records brought in." in capsys.readouterr().out
    assert main([*asked, "--yes"]) == 0 and count(one / FILE) == 7, "a second time brings nothing"
    assert "0 records brought in." in capsys.readouterr().out
    first = min((one / "backups").glob("*.before"), key=count)
    assert main(["restore", str(first), "--data", str(one), "--yes"]) == 0 and count(one / FILE) == 3


def test_going_back_is_looked_at_first_and_can_be_undone(tmp_path: Path, capsys: Said) -> None:
    data = bench_of(tmp_path / "data", 4)
    assert main(["backup", "--data", str(data)]) == 0
    (copy,) = (data / "backups").glob("*.backup")
    bench_of(data, 3, 10)
    assert main(["restore", str(copy), "--data", str(data)]) == 0
    assert "3 records here would go, 0 would come." in capsys.readouterr().out and count(data / FILE) == 7
    assert main(["restore", str(copy), "--data", str(data), "--yes"]) == 0 and count(data / FILE) == 4
    out = capsys.readouterr().out
    assert f"{copy.name} was restored with 4 records." in out and "missing" not in out and STRANGE not in out
    with open_journal(data) as journal:
        assert journal.device.startswith("laptop~") and journal.safe.shortfall is None
    (before,) = (data / "backups").glob("*.before")
    assert main(["restore", str(before), "--data", str(data), "--yes"]) == 0 and count(data / FILE) == 7


def test_a_lost_folder_comes_back_from_a_stick(tmp_path: Path, capsys: Said) -> None:
    data = bench_of(tmp_path / "data", 6)
    main(["backup", "--data", str(data), "--to", str(tmp_path)])
    (copy,) = tmp_path.glob("*.backup")
    new = tmp_path / "new"
    assert main(["merge", str(copy), "--data", str(new), "--yes"]) == 1
    assert "There is no data in" in capsys.readouterr().err
    assert main(["restore", str(copy), "--data", str(new), "--yes"]) == 0 and count(new / FILE) == 6


@pytest.mark.parametrize("own", [True, False])
def test_a_repair_is_looked_at_first_and_keeps_what_was_found(tmp_path: Path, own: bool, capsys: Said) -> None:
    data = bench_of(tmp_path / "data", 6)
    file = data / FILE if own else tmp_path / "copy.backup"
    raw = (data / FILE).read_bytes().replace(b"\n", b"\r\n")
    file.write_bytes(raw)
    assert main(["repair", str(file)]) == 1 and file.read_bytes() == raw
    assert "Nothing was changed. Add --yes" in capsys.readouterr().out
    assert main(["repair", str(file), "--yes"]) == 0 and count(file) == 6
    (kept,) = tmp_path.rglob("*.damaged")
    assert kept.read_bytes() == raw and "is kept as" in capsys.readouterr().out
    assert main(["repair", str(file), "--yes"]) == 0, "what is sound is left alone"


@pytest.mark.parametrize("word", ["merge", "restore"])
def test_what_is_no_data_file_is_refused_in_words(tmp_path: Path, word: str, capsys: Said) -> None:
    data = bench_of(tmp_path / "data", 1)
    (tmp_path / "picture.png").write_bytes(b"\x89PNG" * 99)
    for file, say in (("picture.png", "is not a data file of this bench"), ("gone.json", "cannot be read")):
        assert main([word, str(tmp_path / file), "--data", str(data), "--yes"]) == 1
        assert say in capsys.readouterr().err and count(data / FILE) == 1


def test_an_open_bench_is_not_written_to_by_a_command(tmp_path: Path, capsys: Said) -> None:
    data, other = bench_of(tmp_path / "data", 2), bench_of(tmp_path / "other", 2, 7, "b")
    with open_journal(data):
        for words in (["merge", str(other)], ["restore", str(other)], ["backup"]):
            assert main([*words, "--data", str(data), *(["--yes"] if len(words) > 1 else [])]) == 1
            assert "has this data folder open" in capsys.readouterr().err
    assert count(data / FILE) == 2


def test_two_laptops_meet_over_a_stick(tmp_path: Path, capsys: Said) -> None:
    one, two = bench_of(tmp_path / "one", 3, device="one"), bench_of(tmp_path / "two", 4, 50, "two")
    stick = tmp_path / "stick"
    assert main(["watch", str(stick), "--data", str(one), "--once", "--yes"]) == 1
    assert "There is no folder" in capsys.readouterr().err
    stick.mkdir()
    assert main(["watch", str(stick), "--data", str(one)]) == 0
    assert "New there: 3 records, 0 photos or files." in capsys.readouterr().out and not any(stick.iterdir())
    assert main(["watch", str(stick), "--data", str(one), "--once", "--yes"]) == 0
    assert main(["watch", str(stick), "--data", str(two), "--once", "--yes"]) == 1
    out = capsys.readouterr().out
    assert "may be another workshop's" in out and "Add --join" in out and count(two / FILE) == 4
    assert main(["watch", str(stick), "--data", str(two), "--once", "--yes", "--join"]) == 0
    assert (
        "Copied here: 3 records, 0 photos or files. Copied there: 4 records, 0 photos or files."
        in capsys.readouterr().out
    )
    assert main(["watch", str(stick), "--data", str(one), "--once", "--yes"]) == 0
    assert count(one / FILE) == count(two / FILE) == 7
