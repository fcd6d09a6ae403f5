"""`saggar serve` as a person starts it: a real process, its sentences, its page, its file, and a clean end."""

import os
import re
import signal
import socket
import subprocess
import sys
import tomllib
import urllib.request
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from bench import cli, commands, opening
from bench.launching import words
from bench.serving.network import Network
from bench.settings import Settings

ROOT = Path(__file__).resolve().parents[2]
POSIX = pytest.mark.skipif(os.name == "nt", reason="Windows sends no such signal")


class Started:
    """A running bench: its process, its address, and the lines that it said."""

    def __init__(self, process: "subprocess.Popen[str]") -> None:
        assert process.stdout is not None
        self.process, self.lines = process, list[str]()
        for line in process.stdout:
            self.lines.append(line)
            if line.startswith("Ctrl-C"):
                break
        found = re.search(r"http://localhost:(\d+)/", "".join(self.lines))
        assert found, "".join(self.lines)
        self.address, self.port = found[0], int(found[1])

    def end(self, number: int = signal.SIGTERM) -> str:
        """Ask it to end; what it said last."""
        self.process.send_signal(number)
        return self.process.communicate(timeout=30)[0]


def command(*arguments: str) -> list[str]:
    """The command line of the bench in this environment."""
    return [sys.executable, "-m", "bench.cli", *arguments]


@contextmanager
def started(*arguments: str) -> Iterator[Started]:
    """A bench that runs until the block ends."""
    process = subprocess.Popen(
        command(*arguments), cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, encoding="utf-8"
    )
    with process:
        try:
            yield Started(process)
        finally:
            process.kill()


def once(*arguments: str) -> subprocess.CompletedProcess[str]:
    """A start that is expected to end by itself."""
    return subprocess.run(command(*arguments), cwd=ROOT, capture_output=True, text=True, timeout=60)


@POSIX
def test_it_opens_answers_keeps_a_file_and_closes(tmp_path: Path) -> None:
    data = tmp_path / "data"
    with started("--data", str(data), "--port", "0", "--no-browser", "--plain") as bench:
        assert str(data) in "".join(bench.lines)
        with urllib.request.urlopen(bench.address, timeout=20) as answer:
            assert answer.status == 200
            assert "script-src 'self'" in answer.headers["Content-Security-Policy"]
        assert (data / "saggar.json").stat().st_size > 0
        assert [path.name for path in data.glob("*.json")] == ["saggar.json"]
        assert "closed" in bench.end(signal.SIGINT)
        assert bench.process.returncode == 0
    with started("serve", "--data", str(data), "--port", "0", "--no-browser") as again:
        assert "closed" in again.end()


@POSIX
def test_a_second_start_on_the_same_data_leads_to_the_bench_that_runs(tmp_path: Path) -> None:
    with started("--data", str(tmp_path), "--port", "0", "--no-browser", "--plain") as bench:
        second = once("--data", str(tmp_path), "--port", "0", "--no-browser", "--plain")
        assert (second.returncode, second.stdout) == (0, f"Saggar is open already at {bench.address}\n")
        its_port = bench.address.rstrip("/").rpartition(":")[2]
        same = once("--data", str(tmp_path), "--port", its_port, "--no-browser", "--plain")
        assert (same.returncode, same.stdout) == (second.returncode, second.stdout)
        (tmp_path / "saggar.holder").write_text("7\nshed\n2026-11-30\nhttp://elsewhere.test/\n", encoding="utf-8")
        third = once("--data", str(tmp_path), "--port", "0", "--no-browser", "--plain")
        assert third.returncode == 1 and "process 7 on shed" in third.stderr and "Traceback" not in third.stderr
        bench.end()


def test_read_only_data_is_told_in_words(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "saggar.json").write_text("{}", encoding="utf-8")
    monkeypatch.setattr("bench.opening.os.access", lambda path, _how: Path(path).name != "saggar.json")
    assert cli.main(["serve", "--data", str(tmp_path), "--port", "0", "--no-browser"]) == 1
    said = capsys.readouterr().err
    assert "saggar.json is read-only for you" in said and "--data" in said


def test_a_taken_port_is_told(tmp_path: Path) -> None:
    with closing(socket.socket()) as other:
        other.bind(("127.0.0.1", 0))
        other.listen(1)
        port = other.getsockname()[1]
        done = once("--data", str(tmp_path), "--port", str(port), "--no-browser")
    assert done.returncode == 1
    assert done.stderr.startswith(f"Port {port} is in use")
    assert done.stderr.count("\n") == 1


@pytest.mark.parametrize("port", ["x", "-1", "65536", "8440.5", "٣", "9" * 5000, ""])
def test_a_port_that_is_none_is_refused_in_words(port: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["serve", f"--port={port}"]) == 2
    said = capsys.readouterr().err
    assert "whole number from 0 to 65535" in said
    assert len(said) < 200


@pytest.mark.parametrize("wrong", [["--prot", "1"], ["--data"], ["--plain=yes"], ["--po", "1"]])
def test_a_wrong_option_is_refused_in_words(wrong: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["serve", *wrong]) == 2
    said = capsys.readouterr().err
    assert "saggar serve --help" in said
    assert said.count("\n") == 1


def test_a_folder_that_is_a_file_is_refused_in_words(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "file").write_text("not a folder", encoding="utf-8")
    assert cli.main(["serve", "--data", str(tmp_path / "file"), "--port", "0", "--no-browser"]) == 1
    said = capsys.readouterr().err
    assert "cannot be used for the data" in said
    assert (tmp_path / "file").read_text(encoding="utf-8") == "not a folder"


def test_the_demo_writes_into_no_folder_that_holds_something(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "saggar.json").write_text("{}", encoding="utf-8")
    assert cli.main(["demo", "--data", str(tmp_path), "--port", "0", "--no-browser"]) == 1
    assert "empty folder only" in capsys.readouterr().err
    assert (tmp_path / "saggar.json").read_text(encoding="utf-8") == "{}"


@pytest.mark.parametrize("name", commands.words())
def test_every_command_has_help(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main([name, "--help"]) == 0
    said = capsys.readouterr().out
    assert f"saggar {name}" in said


def test_options_may_stand_before_the_command() -> None:
    assert words.command_of(["--port", "9000", "demo"]) == "demo"
    assert words.without_command(["--data", "demo", "serve", "--plain"]) == ["--data", "demo", "--plain"]
    assert words.command_of(["--data", "demo"]) == "serve"


def test_a_word_that_is_no_command_ends_with_two(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["wiegh"]) == 2
    assert "is no command of Saggar" in capsys.readouterr().err


def test_help_may_stand_before_or_after_the_command(capsys: pytest.CaptureFixture[str]) -> None:
    said = [(cli.main(asked), capsys.readouterr().out) for asked in (["help", "verify"], ["verify", "-h"])]
    assert said[0] == said[1]
    assert "FILE" in said[0][1]
    assert cli.main(["help"]) == cli.main(["--help"]) == 0


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        (["--prot", "1"], "--prot is not known here. Did you mean --port? "),
        (["serve", "--prot", "1"], "--prot is not known here. Did you mean --port? "),
        (["--no-brwoser"], "--no-brwoser is not known here. Did you mean --no-browser? "),
        (["demo", "--xyzzy"], "--xyzzy is not known here. `saggar demo --help`"),
        (["demo", "--data"], "--data needs a value after it. "),
        (["verify"], "It needs FILE. "),
        (["verify", "a", "b"], "b is not known here. "),
    ],
)
def test_a_misspelt_word_is_asked_about(typed: list[str], sentence: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(typed) == 2
    assert capsys.readouterr().err.startswith(sentence)


def test_the_version_is_the_project_files(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["--version"]) == 0 and cli.main(["-V"]) == 0
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert capsys.readouterr().out == 2 * f"saggar {project['version']}\n"


@POSIX
def test_an_answer_that_nobody_reads_to_its_end_is_no_error() -> None:
    with subprocess.Popen(command("--help"), cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as bench:
        assert bench.stdout is not None and bench.stderr is not None
        bench.stdout.close()
        assert bench.stderr.read() == b""


def test_a_calculation_loads_no_web(tmp_path: Path) -> None:
    say = (
        "import io, sys; from bench import cli; cli.main(['reckon', 'molar-mass', '{\"formula\": \"CoO\"}']); "
        "print(sorted({'flask', 'werkzeug', 'cheroot', 'weasyprint', 'tinydb'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", say], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"


def test_a_phone_is_asked_in_only_where_a_network_can_bring_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    settings = Settings(data=tmp_path, open_browser=False)
    opening.tell(settings, "http://localhost:8440/", Network(tls_port=8443, yard_port=8441))
    assert "Pair a phone" not in capsys.readouterr().out
    opening.tell(settings, "http://localhost:8440/", Network(tls_port=8443, addresses=["192.168.7.2"]))
    assert "Pair a phone at http://localhost:8440/pair" in capsys.readouterr().out
