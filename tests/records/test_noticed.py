"""What was worked out holds until a record changes something that it read; no longer, and no shorter."""

import random
import re
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from bench.records.filing import fold, fold_all
from bench.records.record import BENCH, Record
from bench.records.state import State
from bench.workshop.in_common import signs
from bench.workshop.learning import learnt, probe_hours
from bench.workshop.repeats import family_of
from bench.workshop.things.batches import batch
from bench.workshop.today import today
from tests.records.test_state import everywhere
from tests.workshop.answers import of_state
from tests.workshop.builder import BLUE, Builder
from tests.workshop.everything import POOL, histories

ROOT = Path(__file__).resolve().parents[2]
RAW = r"state\.(records|of_kind|lined|codes|issued|last|open|unknown|kind_of|with_timer|index|timed|worked|oddly)\b"
FILING = (
    "records/state.py", "records/filing.py", "records/store.py", "records/worked_out.py", "records/projected.py",
    "records/compacting.py", "journal/view.py",
)  # fmt: skip
UNSEEN = (
    "by_hand.py",
    "hub_by_hand.py",
    "commands/",
    "journal/",
    "screens/house/backups.py",
    "screens/house/borrowed.py",
    "exporting/",
    "screens/records/",
    "screens/planning/",
    "screens/kit/record_view.py",
    "screens/house/settings.py",
    "screens/paper/",
    "measure/",
)
"""Pages that no phone keeps, and which nothing is worked out for: they may look straight into the state."""


STAYS = ("screens/kit/declared.py", "screens/kit/onward.py", "workshop/next_steps.py", "workshop/batch_list.py")
"""They ask for a thing's sort or for the moment of its own record, which stay as they are; so does `repeats.py`."""


class Kept(Builder):
    """A builder whose state goes on, as the laptop's does."""

    def __init__(self) -> None:
        super().__init__()
        self._state = State()

    @property
    def state(self) -> State:
        for record in self.records[self._state.revision :]:
            fold(self._state, record)
        return self._state


def looked_at(state: State, things: list[str], now: Any) -> dict[str, Any]:
    fires = {fire: (learnt(state, fire), probe_hours(state, fire)) for fire in POOL["furnace"]}
    lists = {what: (state.things(what), state.open_things(what)) for what in POOL}
    kept = (signs(state), {thing: family_of(state, thing) for thing in POOL["batch"]})
    return {
        "all": of_state(state, things),
        "today": repr(today(state, now)),
        "fires": fires,
        "lists": lists,
        "kept": kept,
    }


@settings(max_examples=40, deadline=None)
@given(histories(), st.randoms(use_true_random=False))
def test_whoever_looks_after_each_record_sees_what_all_records_say(records: list[Record], rng: random.Random) -> None:
    rng.shuffle(records)
    things, now = everywhere(records), Builder().now
    state = State()
    for record in records:
        fold(state, record)
        if rng.random() < 0.5:
            looked_at(state, things, now)
    assert looked_at(state, things, now) == looked_at(fold_all(records), things, now)


def test_a_record_discards_only_what_read_something_of_it() -> None:
    b = Kept()
    one, two = b.batch(BLUE), b.batch(BLUE)
    done: list[str] = []

    def work(thing: str) -> Any:
        def looking() -> Any:
            done.append(thing)
            return batch(b.state, thing)

        return b.state.memoize(("looked", thing), looking)

    for _ in range(2):
        assert work(one).state == work(two).state
    assert done == [one, two]
    b.add("closed", {"outcome": "failed"}, one)
    assert work(one).state != work(two).state
    assert done == [one, two, one]


def test_what_was_worked_out_from_what_was_worked_out_goes_with_it() -> None:
    b = Kept()
    thing = b.batch(BLUE)
    looks: list[int] = []

    def outer() -> Any:
        looks.append(1)
        found = batch(b.state, thing)
        return found.state if found else None

    assert batch(b.state, thing) is not None  # worked out before, by somebody else
    before = b.state.memoize("outer", outer)
    b.add("closed", {"outcome": "done"}, thing)
    assert b.state.memoize("outer", outer) != before and len(looks) == 2


def test_an_undone_record_takes_with_it_what_rests_on_it() -> None:
    b = Kept()
    thing = b.batch(BLUE)
    mixed = b.add("closed", {"outcome": "failed"}, thing)
    seen = batch(b.state, thing)
    b.add("withdrawn", {"ids": [mixed.id], "why": "slip"}, BENCH)
    undone = batch(b.state, thing)
    assert seen is not None and undone is not None and seen.state != undone.state


def test_nobody_looks_past_what_is_noticed() -> None:
    files = sorted((ROOT / "bench").rglob("*.py"))
    assert len(files) > 300
    for path in files:
        name = path.relative_to(ROOT / "bench").as_posix()
        if name in (*FILING, *STAYS, "workshop/repeats.py") or name.startswith(UNSEEN):
            continue
        found = re.findall(RAW, path.read_text(encoding="utf-8"))
        assert not found, f"{name}: ask the state by a method that notices who reads: {found}"


def test_no_two_modules_remember_under_one_name() -> None:
    """Else one gets what the other worked out."""
    by: dict[str, set[Path]] = {}
    for path in (ROOT / "bench").rglob("*.py"):
        for name in re.findall(r"\bmemoize\(\(?\"([^\"]+)\"", path.read_text(encoding="utf-8")):
            by.setdefault(name, set()).add(path)
    assert len(by) > 10
    assert [name for name, paths in by.items() if len(paths) > 1] == []
