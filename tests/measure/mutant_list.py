"""Twenty small mistakes in the store, the fold and the gates, each with the tests that must find it."""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class Mutant:
    """One mistake: in which file, what stands there, what is put in its place, and which test file must then fail."""

    name: str
    file: str
    was: str
    put: str
    tests: str


TABLE, LINES, WRITING = "bench/journal/table.py", "bench/journal/lines.py", "bench/journal/writing.py"
HLC, FILED, GATES = "bench/journal/hlc.py", "bench/workshop/filed.py", "bench/workshop/gates.py"
JOURNAL, WORKSHOP = "tests/journal", "tests/workshop"

MUTANTS: Final = (
    Mutant(
        "a record is acknowledged without a sync",
        TABLE,
        "            self._disk.sync(self._fd)\n        except",
        "            pass\n        except",
        f"{JOURNAL}/test_sectors.py",
    ),
    Mutant(
        "the end of the file is one byte off",
        TABLE,
        "self.end += len(body)",
        "self.end += len(body) + 1",
        f"{JOURNAL}/test_table.py",
    ),
    Mutant(
        "a full disk leaves a torn end",
        TABLE,
        "            self._put(fd, TAIL, self.end)\n            self._disk.cut",
        "            self._disk.cut",
        f"{JOURNAL}/test_table.py",
    ),
    Mutant(
        "a failed sync is forgotten",
        TABLE,
        'self.broken = getattr(error, "strerror", None) or "a write was interrupted"',
        "self.broken = None",
        f"{JOURNAL}/test_table.py",
    ),
    Mutant(
        "a key may stand twice",
        TABLE,
        "if len(keys) < len(entries) or any(self.has(key) for key in keys):",
        "if len(keys) < len(entries):",
        f"{JOURNAL}/test_table.py",
    ),
    Mutant(
        "the check sum of a line is not looked at",
        LINES,
        "return line[-MARK_LENGTH:] == seal(line[:-MARK_LENGTH]) and line[:1]",
        "return line[:1]",
        f"{JOURNAL}/test_damage.py",
    ),
    Mutant(
        "infinity is written",
        LINES,
        "if not math.isfinite(value):",
        "if math.isnan(value):",
        f"{JOURNAL}/test_table.py",
    ),
    Mutant(
        "a repeat is a second record",
        WRITING,
        "            if same(known.record, asked):",
        "            if same(known.record, asked) and False:",
        f"{JOURNAL}/test_journal.py",
    ),
    Mutant(
        "numbers of what was not kept stay taken",
        WRITING,
        "        self.identity.dropped()\n",
        "",
        f"{JOURNAL}/test_journal.py",
    ),
    Mutant(
        "time runs back with the wall clock",
        HLC,
        "(wall, 0) if wall > ms else (ms, counter + 1)",
        "(wall, 0)",
        f"{JOURNAL}/test_journal.py",
    ),
    Mutant(
        "a clock far ahead is followed",
        HLC,
        "if ahead_ms > MOST_AHEAD_MS:",
        "if ahead_ms > 1000 * MOST_AHEAD_MS:",
        f"{JOURNAL}/test_journal.py",
    ),
    Mutant(
        "of two that disagree the last one counts",
        FILED,
        "return self.heads[0] if self.heads else None",
        "return self.heads[-1] if self.heads else None",
        f"{WORKSHOP}/test_state.py",
    ),
    Mutant(
        "what is entered late stands where it was entered",
        FILED,
        "known = sorted(self.own(thing, kind), key=by_time_then_order)",
        "known = sorted(self.own(thing, kind), key=by_order)",
        f"{WORKSHOP}/test_batches.py",
    ),
    Mutant(
        "an undone undo stays undone",
        FILED,
        "        return self.standing[record_id]",
        "        return False",
        f"{WORKSHOP}/test_state.py",
    ),
    Mutant(
        "two weighings of one line both count",
        FILED,
        "        if known.slot != SINGLE:",
        "        if known.slot:",
        f"{WORKSHOP}/test_batches.py",
    ),
    Mutant(
        "what blocks does not stop a step",
        GATES,
        'f.effect in ("refuse", "block")',
        'f.effect in ("refuse",)',
        f"{WORKSHOP}/test_dangers.py",
    ),
    Mutant(
        "half a batch may be ground",
        GATES,
        'if step in ("mix", "grind") and',
        'if step in ("mix",) and',
        f"{WORKSHOP}/test_gates.py",
    ),
    Mutant(
        "a check answered with not done is not heeded",
        GATES,
        "if one.answered is not None)\n    if not_done:",
        "if one.answered is None)\n    if not_done:",
        f"{WORKSHOP}/test_dangers.py",
    ),
    Mutant(
        "two crucibles stand at one place",
        GATES,
        "if there is not None and there != thing:",
        "if there is not None and there == thing:",
        f"{WORKSHOP}/test_gates.py",
    ),
    Mutant(
        "a hot pot may be washed out",
        GATES,
        'found |= {"was_hot": hot,',
        'found |= {"was_hot": False,',
        f"{WORKSHOP}/test_gates.py",
    ),
)
