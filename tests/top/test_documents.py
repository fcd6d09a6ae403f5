"""The README and the map tell the truth: commands, options, rooms and files are there; nothing names one machine."""

import re
import shutil
import subprocess
import tomllib
from pathlib import Path

import pytest

from bench import cli, commands
from tests.top.test_imports import ROOMS

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
MAP = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
NOT_OURS = {
    ".git",
    ".venv",
    "__pycache__",
    "node_modules",
    ".pytest_cache",
    ".mypy_cache",
    ".ruff_cache",
    ".hypothesis",
}


def own_files() -> list[Path]:
    """The project's own text files: those that git would keep, or all where there is no git."""
    git = shutil.which("git")
    if git and (ROOT / ".git").exists():
        call = [git, "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
        listed = subprocess.run(call, cwd=ROOT, capture_output=True, check=True).stdout.decode().split("\0")
        files = [ROOT / name for name in listed if name]
    else:
        files = [path for path in ROOT.rglob("*") if not NOT_OURS & set(path.relative_to(ROOT).parts)]
    return [path for path in files if path.is_file() and b"\0" not in path.read_bytes()[:4096]]


def test_every_command_in_the_readme_exists_and_every_command_is_in_the_readme() -> None:
    named = set(re.findall(r"\./saggar ([a-z]+)", README))
    assert named == set(commands.words())


def test_every_option_in_the_readme_exists_and_every_option_is_in_the_readme(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert cli.main(["serve", "--help"]) == 0
    known = set(re.findall(r"--[a-z-]+", capsys.readouterr().out))
    assert set(re.findall(r"`(--[a-z-]+)", README)) == known


def test_the_readme_begins_with_the_job_and_names_the_data() -> None:
    title, job, *_ = README.split("\n\n")
    assert title == "# Saggar"
    assert re.search(r"calcine", job)
    for kept in ("saggar.json", "photos/", "keys/", "backups/"):
        assert kept in README


def test_every_room_is_on_the_map_and_every_place_on_the_map_is_there() -> None:
    for room in ROOMS:
        assert f"`bench/{room}/`" in MAP
    for place in re.findall(r"`([a-z_.]+(?:/[a-z_.]+)*/?)`", MAP):
        if "/" in place:
            assert (ROOT / place).exists(), f"DEVELOPERS.md names {place}"


def test_every_link_of_the_documents_leads_to_a_file() -> None:
    links = [
        (document.name, target)
        for document in ROOT.glob("*.md")
        for target in re.findall(r"\]\(([^)#]+)\)", document.read_text(encoding="utf-8"))
        if "://" not in target
    ]
    assert links
    assert not [link for link in links if not (ROOT / link[1]).exists()]


def test_the_version_has_its_entry_in_the_changes() -> None:
    version = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["version"]
    assert f"## {version}" in (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")


# A folder that exists on one computer only. /usr/bin/env and the like are the same everywhere and stay allowed.
PATH_OF_A_MACHINE = re.compile(r"(?<![\w.~}/-])(?:/(?:home|root|tmp|Users|mnt|srv|media)/[\w.-]+|[A-Z]:\\Users\\)")


def test_no_file_names_a_path_of_one_machine() -> None:
    here = {str(ROOT), *(str(parent) for parent in ROOT.parents if len(parent.parts) > 2)}
    found = []
    for path in own_files():
        text = path.read_text(encoding="utf-8", errors="replace")
        if path == Path(__file__) or path.suffix in (".svg", ".js", ".lock"):
            continue
        found += [(str(path.relative_to(ROOT)), hit) for hit in PATH_OF_A_MACHINE.findall(text)]
        found += [(str(path.relative_to(ROOT)), hit) for hit in here if hit in text]
    assert not found


def test_a_path_of_a_machine_would_be_seen() -> None:
    assert PATH_OF_A_MACHINE.search("see /home/" + "ada/notes.txt")
    assert PATH_OF_A_MACHINE.search('Path("/tmp/' + 'x")')
    assert not PATH_OF_A_MACHINE.search("#!/usr/bin/env python3")


def test_no_unfinished_work_is_marked() -> None:
    marks = re.compile("|".join(("TO" + "DO", "FIX" + "ME", "XX" + "X", "HA" + "CK")))
    wrong = [
        str(path.relative_to(ROOT))
        for path in own_files()
        if path.suffix in (".py", ".html", ".md", ".css", ".toml") and marks.search(path.read_text(encoding="utf-8"))
    ]
    assert not wrong
