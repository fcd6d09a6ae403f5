"""The launcher makes its environment once, with real pip and real hashes, and says in plain words what goes wrong.

The packages are two tiny wheels made here, so nothing is fetched; the bench that is started is a stand-in that tells
which Python runs it.
"""

import ast
import hashlib
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from bench import commands
from bench.launching import environment, system

ROOT = Path(__file__).resolve().parents[2]
STAND_IN = """
import json, sys
def main(argv):
    try:
        import tinyrun
    except ImportError:
        tinyrun = None
    try:
        import tinytest
    except ImportError:
        tinytest = None
    found = [getattr(module, "VERSION", None) for module in (tinyrun, tinytest)]
    print(json.dumps({"argv": argv, "prefix": sys.prefix, "found": found}))
    return 7
"""


def tiny_wheel(folder: Path, name: str, version: str) -> str:
    """Make a wheel of one line of Python; gives its line for the lock."""
    path = folder / f"{name}-{version}-py3-none-any.whl"
    info = f"{name}-{version}.dist-info"
    with zipfile.ZipFile(path, "w") as wheel:
        wheel.writestr(f"{name}.py", f"VERSION = {version!r}\n")
        wheel.writestr(f"{info}/METADATA", f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n")
        wheel.writestr(
            f"{info}/WHEEL", "Wheel-Version: 1.0\nGenerator: test\nRoot-Is-Purelib: true\nTag: py3-none-any\n"
        )
        wheel.writestr(f"{info}/RECORD", f"{name}.py,,\n{info}/METADATA,,\n{info}/WHEEL,,\n{info}/RECORD,,\n")
    return f"{name}=={version} \\\n    --hash=sha256:{hashlib.sha256(path.read_bytes()).hexdigest()}\n"


class Place:
    """A folder with the launcher, a stand-in for the bench, a lock, and the wheels that the lock names."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.wheels = folder / "wheels"
        self.venv = folder / ".venv"

    def lay(self) -> None:
        """Put everything in place, with the first versions."""
        (self.folder / "bench").mkdir()
        self.wheels.mkdir()
        shutil.copy(ROOT / "saggar", self.folder / "saggar")
        for room in ("launching", "commands"):
            shutil.copytree(
                ROOT / "bench" / room, self.folder / "bench" / room, ignore=shutil.ignore_patterns("__pycache__")
            )
        for name in ("__init__.py", "clock.py"):
            shutil.copy(ROOT / "bench" / name, self.folder / "bench" / name)
        (self.folder / "bench/cli.py").write_text(STAND_IN, encoding="utf-8")
        self.lock(tiny_wheel(self.wheels, "tinyrun", "1.0"), tiny_wheel(self.wheels, "tinytest", "1.0"))

    def lock(self, run: str, test: str) -> None:
        """Write the lock with its two sections."""
        text = f"# a lock\n\n# --- to run ---\n{run}\n# --- to test ---\n{test}"
        (self.folder / "requirements.lock").write_text(text, encoding="utf-8")

    def environment(self, **more: str) -> dict[str, str]:
        """The environment variables of a start: no index, only the wheels made here."""
        own = {name: value for name, value in os.environ.items() if not name.startswith(("PIP_", "PYTHON"))}
        return own | {"PIP_NO_INDEX": "1", "PIP_FIND_LINKS": self.wheels.as_uri(), "PIP_CONFIG_FILE": os.devnull} | more

    def call(self, *arguments: str, python: str = sys.executable) -> list[str]:
        """The command line of a start."""
        return [python, str(self.folder / "saggar"), *arguments]

    def start(self, *arguments: str, **more: str) -> subprocess.CompletedProcess[str]:
        """Start Saggar from another folder, as a person may."""
        return subprocess.run(
            self.call(*arguments), cwd=self.folder.parent, env=self.environment(**more), capture_output=True, text=True
        )


Ends = list[tuple[str, str, int]]
"""What each start wrote to the standard output and the standard error, and its exit code."""


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> tuple[Place, Ends]:
    """A place whose environment was made by two first starts at once, and how these ended."""
    place = Place(tmp_path_factory.mktemp("place") / "with a blank")
    place.folder.mkdir()
    place.lay()
    call = place.call("reckon", "code", '{"new": 1}')
    pipe = subprocess.PIPE
    starts = [subprocess.Popen(call, env=place.environment(), stdout=pipe, stderr=pipe, text=True) for _ in range(2)]
    return place, [(*start.communicate(), start.returncode) for start in starts]


@pytest.fixture(scope="module")
def set_up(begun: tuple[Place, Ends]) -> Place:
    """A place whose environment was made."""
    return begun[0]


@pytest.fixture
def copied(set_up: Place, tmp_path: Path) -> Place:
    """A copy of the place that was set up, to do harm to."""
    shutil.copytree(set_up.folder, tmp_path / "copy", symlinks=True)
    place = Place(tmp_path / "copy")
    place.wheels = set_up.wheels
    return place


@pytest.fixture
def bare(tmp_path: Path) -> Place:
    """A place where nothing was set up yet."""
    place = Place(tmp_path / "bare")
    place.folder.mkdir()
    place.lay()
    return place


def answer(done: subprocess.CompletedProcess[str]) -> dict[str, object]:
    """What the stand-in said."""
    assert done.returncode == 7, done.stderr
    said: dict[str, object] = ast.literal_eval(done.stdout.replace("null", "None"))
    return said


def test_a_later_start_says_nothing_and_hands_over_arguments_and_exit_code(set_up: Place) -> None:
    done = set_up.start("verify", "a b", "--x")
    said = answer(done)
    assert done.stderr == ""
    assert said["argv"] == ["verify", "a b", "--x"]
    assert Path(str(said["prefix"])).resolve() == set_up.venv.resolve()
    assert said["found"] == ["1.0", None]


def brought_in(call: list[str], environment: dict[str, str]) -> set[str]:
    """The modules that a start imports before it hands over: its own Python's report, which ends there."""
    done = subprocess.run([call[0], "-X", "importtime", *call[1:]], env=environment, capture_output=True, text=True)
    lines = [line for line in done.stderr.splitlines() if line.startswith("import time:")]
    return {line.rpartition("|")[2].strip() for line in lines}


@pytest.mark.skipif(
    os.name == "nt", reason="Windows replaces no process, so the launcher stays for the bench's exit code"
)
def test_a_later_start_brings_in_nearly_nothing_before_it_hands_over(set_up: Place) -> None:
    environment = set_up.environment()
    # sys.executable may be this test's own environment, whose start brings in more; its base is what a person has.
    base = getattr(sys, "_base_executable", sys.executable)
    bare = brought_in([base, "-c", ""], environment)
    more = brought_in(set_up.call("reckon", python=base), environment) - bare
    assert {"bench.launching.stamps", "bench.launching.words"} <= more, "the report is of the launcher"
    allowed = {"hashlib", "_hashlib", "_blake2", "_sha2", "encodings.ascii"}
    assert {name for name in more if name.partition(".")[0] != "bench"} <= allowed
    assert not {"bench.cli", "bench.launching.environment"} & more


def test_another_python_may_start_what_one_has_set_up(set_up: Place) -> None:
    stamp = (set_up.venv / "saggar-run.stamp").read_text(encoding="ascii")
    assert stamp.split()[0] == f"{sys.version_info.major}.{sys.version_info.minor}"
    shown = subprocess.run(
        set_up.call("reckon", python=getattr(sys, "_base_executable", sys.executable)),
        env=set_up.environment(),
        capture_output=True,
        text=True,
    )
    assert answer(shown)["found"] == ["1.0", None]


def test_the_tests_packages_come_with_the_test_command_only(copied: Place) -> None:
    done = copied.start("test", "-x")
    assert answer(done)["found"] == ["1.0", "1.0"]
    assert "for testing" in done.stderr
    assert "for running" not in done.stderr


def test_a_changed_lock_is_followed_and_a_persons_own_pip_settings_do_not_lead_it_astray(
    copied: Place, tmp_path: Path
) -> None:
    copied.wheels = tmp_path / "newer"
    copied.wheels.mkdir()
    copied.lock(tiny_wheel(copied.wheels, "tinyrun", "1.1"), tiny_wheel(copied.wheels, "tinytest", "1.0"))
    own = {"PIP_USER": "1", "PIP_TARGET": str(tmp_path / "target"), "PIP_PREFIX": str(tmp_path / "prefix")}
    assert answer(copied.start("reckon", **own))["found"] == ["1.1", None]
    assert not (tmp_path / "target").exists() and not (tmp_path / "prefix").exists()
    assert copied.start("reckon").stderr == ""


@pytest.mark.parametrize(
    "said",
    [
        "  ERROR: Failed building wheel for cryptography\nERROR: x",
        "error: Failed to build 'cryptography' when installing",
    ],
)
def test_a_computer_without_ready_packages_is_told_so(said: str) -> None:
    from bench.launching.environment import why_pip_failed

    told = why_pip_failed(said, "pip.log")
    assert "no ready package of cryptography" in told and "Apple silicon" in told and "pip.log" in told


def test_a_package_that_is_not_the_one_tested_with_is_refused(copied: Place, tmp_path: Path) -> None:
    copied.wheels = tmp_path / "newer"
    copied.wheels.mkdir()
    line = tiny_wheel(copied.wheels, "tinyrun", "1.1")
    copied.lock(line[: line.index("sha256:") + 7] + "0" * 64 + "\n", "")
    done = copied.start("reckon")
    assert done.returncode == 1
    assert done.stdout == ""
    assert "not the one that Saggar was tested with: tinyrun" in done.stderr
    assert "Traceback" not in done.stderr


def without_a_network(place: Place, empty: Path) -> subprocess.CompletedProcess[str]:
    """A start after the lock changed, where no index answers."""
    place.lock("absent==1.0 \\\n    --hash=sha256:" + "0" * 64 + "\n", "")
    nowhere = {"PIP_INDEX_URL": "http://127.0.0.1:9/simple", "PIP_RETRIES": "1", "PIP_FIND_LINKS": str(empty)}
    environment = place.environment(**nowhere)
    del environment["PIP_NO_INDEX"]
    return subprocess.run(place.call("reckon"), env=environment, capture_output=True, text=True)


def test_without_a_network_a_changed_lock_starts_what_is_there_and_says_so(copied: Place, tmp_path: Path) -> None:
    for _again in range(2):  # it is tried at every start, and what is there stays whole
        done = without_a_network(copied, tmp_path)
        assert answer(done)["found"] == ["1.0", None]
        assert "no connection to the package index" in done.stderr and "packages of before" in done.stderr
        assert "Traceback" not in done.stderr


def test_without_a_network_a_first_start_says_so_and_ends(bare: Place, tmp_path: Path) -> None:
    done = without_a_network(bare, tmp_path)
    assert done.returncode == 1 and "packages of before" not in done.stderr
    assert "no connection to the package index" in done.stderr and "Traceback" not in done.stderr


@pytest.mark.parametrize("error", [PermissionError(13, "Permission denied"), OSError(30, "Read-only file system")])
def test_a_folder_that_may_not_be_written_is_told(
    error: OSError, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_: object, **__: object) -> None:
        raise error

    monkeypatch.setattr(environment.os, "makedirs", refused)
    said = environment.make(str(tmp_path), str(tmp_path / ".venv"), ("run",))
    assert (
        said is not None and f"{tmp_path} cannot be written to: {error.strerror}" in said and "Copy the folder" in said
    )


def test_a_package_that_is_not_to_be_had_is_named(copied: Place) -> None:
    copied.lock("absent==1.0 \\\n    --hash=sha256:" + "0" * 64 + "\n", "")
    done = copied.start("reckon")
    assert done.returncode == 1
    assert "has no absent==1.0 for this computer" in done.stderr


def test_a_setting_up_that_was_broken_off_is_done_again(copied: Place) -> None:
    (copied.venv / "saggar-run.stamp").unlink()
    for pip in copied.venv.rglob("site-packages/pip/__main__.py"):
        pip.unlink()
    done = copied.start("reckon")
    assert answer(done)["found"] == ["1.0", None]
    assert "making the environment" in done.stderr


def test_a_changed_python_under_the_environment_makes_it_anew(copied: Place) -> None:
    stamp = copied.venv / "saggar-run.stamp"
    stamp.write_text("3.10 " + stamp.read_text(encoding="ascii").split()[1] + "\n", encoding="ascii")
    done = copied.start("reckon")
    assert answer(done)["found"] == ["1.0", None]
    assert "has changed; making it anew" in done.stderr
    assert copied.start("reckon").stderr == ""


def test_two_first_starts_at_once_do_not_disturb_each_other(begun: tuple[Place, Ends]) -> None:
    ends = begun[1]
    assert [code for *_, code in ends] == [7, 7], ends
    assert [out.count("\n") for out, *_ in ends] == [1, 1], "only the answer goes to the standard output"
    [told] = [said for _, said, _ in ends if "making the environment" in said]
    assert "sets up" in told and "done in" in told


@pytest.mark.parametrize(
    ("word", "meant"), [("recon", "reckon"), ("Serve", "serve"), ("tests", "test"), ("kiln", None)]
)
def test_a_word_that_is_no_command_costs_no_setting_up(bare: Place, word: str, meant: str | None) -> None:
    done = bare.start("--port", "9000", word)
    assert done.returncode == 2
    assert "is no command of Saggar" in done.stderr
    assert ("Did you mean" in done.stderr) is (meant is not None)
    assert meant is None or f"Did you mean {meant}?" in done.stderr
    assert all(command in done.stderr for command in commands.words())
    assert not bare.venv.exists()


def test_help_needs_no_environment_and_names_every_command(bare: Place) -> None:
    done = bare.start("--help")
    assert done.returncode == 0
    assert all(command in done.stdout for command in commands.words())
    assert not bare.venv.exists()


@pytest.mark.parametrize("word", commands.words())
def test_the_help_of_a_command_and_the_version_need_the_standard_library_alone(word: str) -> None:
    for asked, wanted in (([word, "--help"], f"saggar {word}"), (["--version"], "saggar ")):
        say = (
            f"import runpy, sys; sys.argv = ['saggar', *{asked!r}]; sys.prefix = 'elsewhere'; "
            f"runpy.run_path({str(ROOT / 'saggar')!r}, run_name='__main__')"
        )
        # -S leaves out every installed package.
        done = subprocess.run([sys.executable, "-S", "-c", say], capture_output=True, text=True, cwd=ROOT.parent)
        assert done.returncode == 0, done.stderr
        assert wanted in done.stdout
        assert done.stderr == ""


def test_a_command_joins_with_one_file(copied: Place) -> None:
    (copied.folder / "bench/commands/import_.py").write_text(
        '"""A command that is not there."""\nSAYS = "take something in"\nGROUP = "data"\n'
        'OPTIONS = {"thing": {"metavar": "THING"}}\n\n\ndef run(thing: str) -> int:\n    return 5\n',
        encoding="utf-8",
    )
    (copied.folder / "bench/cli.py").write_text((ROOT / "bench/cli.py").read_text(encoding="utf-8"), encoding="utf-8")
    assert "  import   take something in\n" in copied.start("--help").stdout
    assert "THING" in copied.start("import", "--help").stdout
    assert "Did you mean import?" in copied.start("imprt").stderr
    assert copied.start("import", "x").returncode == 5


def test_an_old_python_is_told_in_a_plain_sentence() -> None:
    say = (
        "import runpy, sys; sys.version_info = (3, 9, 1, 'final', 0); sys.argv = ['saggar']; "
        f"runpy.run_path({str(ROOT / 'saggar')!r}, run_name='__main__')"
    )
    done = subprocess.run([sys.executable, "-c", say], capture_output=True, text=True)
    assert done.returncode == 1
    assert done.stderr.startswith("Saggar needs Python 3.11 or newer, and this is Python 3.9")


def test_an_old_python_can_read_the_launcher_at_all() -> None:
    ast.parse((ROOT / "saggar").read_text(encoding="utf-8"), feature_version=(3, 7))


@pytest.mark.parametrize(
    ("installer", "wanted"),
    [
        ("apt-get", "sudo apt-get install libpango-1.0-0"),
        ("dnf", "sudo dnf install pango"),
        ("pacman", "sudo pacman -S pango"),
        ("apk", "sudo apk add pango"),
        ("brew", "with: brew install pango"),
        (None, "often called pango"),
    ],
)
@pytest.mark.skipif(os.name == "nt", reason="Windows has none of these installers")
def test_a_missing_library_is_named_for_this_system(
    installer: str | None, wanted: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if installer:
        (tmp_path / installer).touch(mode=0o755)
    monkeypatch.setenv("PATH", str(tmp_path))
    said = system.sentence(system.PANGO)
    assert wanted in said
    assert "labels print from the browser" in said


@pytest.mark.skipif(os.name == "nt", reason="there is no root on Windows")
def test_nothing_is_installed_by_one_who_is_not_root(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "apt-get").write_text("#!/bin/sh\ntouch ran\n", encoding="utf-8")
    (tmp_path / "apt-get").chmod(0o755)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr(os, "geteuid", lambda: 1000)
    system.provide(str(tmp_path), system.CHROMIUM, lambda: False)
    assert "sudo apt-get install chromium" in capsys.readouterr().err
    assert not (tmp_path / "ran").exists()


def test_a_library_that_is_there_is_seen_and_one_that_is_not_is_missed() -> None:
    name = {"nt": "kernel32.dll", "darwin": "libSystem.dylib"}.get(
        sys.platform if os.name != "nt" else "nt", "libc.so.6"
    )
    assert system.loads(name)
    assert not system.loads("libnothing-of-this-name.so.0")
