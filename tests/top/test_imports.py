"""The house stands as its map says: rooms import upwards only, and the pure ones touch no web, no file and no clock."""

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
BENCH = ROOT / "bench"
ROOMS = (
    "science",
    "reference",
    "reckoning",
    "steps",
    "records",
    "workshop",
    "journal",
    "printing",
    "exporting",
    "web",
    "screens",
    "serving",
)
PURE = ("science", "reckoning", "steps", "records", "workshop")
# Beside the rooms: what joins them, and what is handed in. The launcher knows the commands and the clock, no more.
JOINING = (
    "app", "by_hand", "hub_by_hand", "cli", "demo", "logbook", "opening", "selfcheck", "commands", "launching",
    "clock", "settings", "translation",
)  # fmt: skip
HANDED_IN = {
    "clock": ("journal", "printing", "web", "screens", "serving"),
    "settings": ("printing", "web", "screens", "serving"),
    "translation": ROOMS,
}
WEB = {"flask", "werkzeug", "jinja2", "cheroot", "socket", "ssl", "urllib", "http", "asyncio"}
FILES = {"os", "io", "pathlib", "shutil", "tempfile", "glob", "subprocess", "tinydb", "filelock", "platformdirs"}
NOT_PURE = WEB | FILES | {"time", "threading", "weasyprint"}
CLOCK_CALLS = {
    "time": {"time", "time_ns", "monotonic", "monotonic_ns", "perf_counter", "perf_counter_ns", "localtime", "gmtime"},
    "datetime": {"now", "utcnow", "today"},
    "date": {"today"},
}


def modules(folder: Path) -> Iterator[tuple[Path, ast.Module]]:
    """Every Python file below a folder, parsed."""
    for path in sorted(folder.rglob("*.py")):
        if "__pycache__" not in path.parts:
            yield path, ast.parse(path.read_text(encoding="utf-8"), str(path))


def imported(tree: ast.Module) -> Iterator[str]:
    """The dotted names of all modules that a file imports, also inside functions."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "a relative import hides which room it reaches"
            yield node.module or ""
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def reached(tree: ast.Module) -> set[str]:
    """The rooms and joining places that a file imports."""
    parts = (name.split(".") for name in imported(tree))
    return {part[1] for part in parts if part[0] == "bench" and len(part) > 1}


def may_reach(place: str) -> set[str]:
    """What a room or a joining place may import."""
    if place == "launching":
        return {"launching", "commands", "clock"}
    if place not in ROOMS:
        return {*ROOMS, *JOINING}
    above = ROOMS[: ROOMS.index(place) + 1]
    return {*above, *(name for name, rooms in HANDED_IN.items() if place in rooms)}


def impurities(tree: ast.Module) -> list[str]:
    """Where a file touches the web, a file or the clock."""
    found = [name for name in imported(tree) if name.split(".")[0] in NOT_PURE]
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        called = node.func
        if isinstance(called, ast.Name) and called.id in ("open", "input", "print"):
            found.append(f"{called.id}() in line {node.lineno}")
        if isinstance(called, ast.Attribute) and called.attr in ("open", "read_text", "write_text", "read_bytes"):
            found.append(f".{called.attr}() in line {node.lineno}")
        if isinstance(called, ast.Name | ast.Attribute) and ast.unparse(called) == "ULID" and not node.args:
            found.append(f"ULID() reads the clock in line {node.lineno}")
    return found + clock_reads(tree)


def clock_reads(tree: ast.Module) -> list[str]:
    """Where a file asks the computer for the time."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module == "time":
            found += [f"time.{alias.name}" for alias in node.names if alias.name in CLOCK_CALLS["time"]]
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            owner = ast.unparse(node.func.value).rpartition(".")[2]
            if node.func.attr in CLOCK_CALLS.get(owner, ()) and not (owner == "time" and node.args):
                found.append(f"{owner}.{node.func.attr}() in line {node.lineno}")
    return found


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_imports_only_itself_and_the_rooms_above_it(room: str) -> None:
    files = list(modules(BENCH / room))
    assert files, f"the room {room} is empty"
    wrong = {path.relative_to(ROOT).as_posix(): reached(tree) - may_reach(room) for path, tree in files}
    assert not {path: names for path, names in wrong.items() if names}


@pytest.mark.parametrize("room", PURE)
def test_the_pure_rooms_touch_no_web_no_file_and_no_clock(room: str) -> None:
    wrong = {path.relative_to(ROOT).as_posix(): impurities(tree) for path, tree in modules(BENCH / room)}
    assert not {path: names for path, names in wrong.items() if names}


def test_only_the_clock_reads_the_time() -> None:
    wrong = {path.relative_to(ROOT).as_posix(): clock_reads(tree) for path, tree in modules(BENCH)}
    assert wrong.pop("bench/clock.py")
    assert not {path: names for path, names in wrong.items() if names}


def test_everything_in_the_package_is_a_room_or_a_joining_place() -> None:
    there = {path.stem for path in BENCH.iterdir() if path.name not in ("__init__.py", "__pycache__")}
    assert there <= {*ROOMS, *JOINING}
    assert set(ROOMS) <= there


def test_the_launcher_uses_the_standard_library_only() -> None:
    trees = [tree for _, tree in modules(BENCH / "launching")] + [
        ast.parse((ROOT / "saggar").read_text(encoding="utf-8"))
    ]
    names = {name.split(".")[0] for tree in trees for name in imported(tree)}
    assert names - {"bench"} <= set(sys.stdlib_module_names)
    assert set().union(*(reached(tree) for tree in trees)) <= {"launching", "commands", "clock", "cli"}


def test_a_commands_file_uses_at_its_head_the_standard_library_only() -> None:
    for path, tree in modules(BENCH / "commands"):
        head = ast.Module([node for node in tree.body if isinstance(node, ast.Import | ast.ImportFrom)], [])
        assert reached(head) <= {"commands"}, path
        assert {name.split(".")[0] for name in imported(head)} - {"bench"} <= set(sys.stdlib_module_names), path


PLANTED = [
    ("from bench.screens.kit import page", {"screens"}, False),
    ("def f():\n    import bench.journal.table", {"journal"}, False),
    ("from bench.science.refusal import Refusal", {"science"}, False),
    ("import os", set(), True),
    ("def f():\n    with open('x') as g: pass", set(), True),
    ("from datetime import datetime\ndatetime.now()", set(), True),
    ("import datetime\ndatetime.datetime.now()", set(), True),
    ("from datetime import datetime\ndatetime.fromtimestamp(0)", set(), False),
    ("from flask import request", set(), True),
    ("from ulid import ULID\nULID()", set(), True),
    ("from ulid import ULID\nULID(bytes(16))", set(), False),
]


@pytest.mark.parametrize(("source", "rooms", "impure"), PLANTED)
def test_the_readers_of_this_file_see_what_was_planted(source: str, rooms: set[str], impure: bool) -> None:
    tree = ast.parse(source)
    assert reached(tree) == rooms
    assert bool(impurities(tree)) is impure


def test_no_folder_of_the_screens_leads_back_to_one_that_leads_to_it() -> None:
    screens = BENCH / "screens"
    leads: dict[str, set[str]] = {
        folder.name: set() for folder in screens.iterdir() if (folder / "__init__.py").exists()
    }
    for path, tree in modules(screens):
        place = path.relative_to(screens).parts[0]
        if place in leads:
            parts = (name.split(".") for name in imported(tree))
            reached_here = {part[2] for part in parts if part[:2] == ["bench", "screens"] and len(part) > 2}
            leads[place] |= (reached_here & set(leads)) - {place}
    assert leads["kit"] <= {"drawing"}
    while leads:
        ends = {place for place, onward in leads.items() if not onward}
        assert ends, f"a circle: {leads}"
        leads = {place: onward - ends for place, onward in leads.items() if place not in ends}
