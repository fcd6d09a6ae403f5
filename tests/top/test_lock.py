"""The lock pins and hashes everything that the project file asks for, for every system."""

import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from bench.launching import stamps

ROOT = Path(__file__).resolve().parents[2]
LOCK = stamps.read_lock(str(ROOT))
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def pins(section: bytes) -> dict[str, list[str]]:
    """The versions of each package in a part of the lock."""
    found: dict[str, list[str]] = {}
    for name, version in re.findall(r"(?m)^([a-z0-9-]+)==(\S+)", section.decode()):
        found.setdefault(name, []).append(version)
    return found


@pytest.mark.parametrize(
    ("section", "asked"), [("run", PROJECT["dependencies"]), ("test", PROJECT["optional-dependencies"]["test"])]
)
def test_every_package_asked_for_is_pinned_at_a_version_that_is_asked_for(section: str, asked: list[str]) -> None:
    pinned = pins(LOCK)
    assert pinned
    for requirement in map(Requirement, asked):
        versions = pinned[canonicalize_name(requirement.name)]
        assert all(version in requirement.specifier for version in versions), (requirement, versions)
    if section == "run":
        running = pins(stamps.section(LOCK, "run"))
        assert {canonicalize_name(Requirement(line).name) for line in asked} <= set(running)


def test_every_entry_has_a_hash_and_no_address() -> None:
    entries = re.findall(r"(?m)^[a-z0-9-]+==.*\\\n(?:    --hash=sha256:[0-9a-f]{64}(?: \\)?\n)+", LOCK.decode())
    assert len(entries) == len(re.findall(rb"(?m)^[^#\s]", LOCK)) > 20
    assert b"://" not in LOCK
    assert b"--index" not in LOCK


def test_the_two_sections_share_no_package_and_leave_none_out() -> None:
    run, test = pins(stamps.section(LOCK, "run")), pins(stamps.section(LOCK, "test"))
    assert run
    assert test
    assert not set(run) & set(test)
    assert set(run) | set(test) == set(pins(LOCK))
    assert not {"pytest", "ruff", "mypy", "playwright"} & set(run)
