"""What a damaged file no longer holds, from its backups; and what of it can be read but not believed, for later."""

from contextlib import suppress
from pathlib import Path

from bench.journal.backups import SUFFIX
from bench.journal.lines import encode, record_id, render
from bench.journal.places import Places
from bench.journal.survey import Survey, survey

DOUBTFUL = ".doubtful"
"""The ending of a file of records whose check sums did not fit. They are offered, and marked when they are taken."""


def refill(found: Survey, backups: Path) -> list[tuple[str, int]]:
    """Takes in what the sound backups hold and the file lost; from which came how many.

    Records never change, so what a sound backup holds is as good as what was lost.
    """
    came = []
    for backup, lines in _sound(backups):
        fresh = _fresh(lines, found, None)
        found.lines.update(fresh)
        came += [(f"{backups.name}/{backup.name}", len(fresh))] if fresh else []
    found.doubtful = {key: doc for key, doc in found.doubtful.items() if key not in found.lines}
    return came


def missing_from(found: Survey, backups: Path, known: Places) -> bool:
    """Whether a sound backup holds what neither a survey nor what is known does."""
    return any(_fresh(lines, found, known) for _, lines in _sound(backups))


def doubtful_file(found: Survey) -> bytes:
    """Records whose sum does not fit, as a data file: sealed anew, and marked as brought in, not written here."""
    docs = ((key, {name: value for name, value in doc.items() if name != "crc"}) for key, doc in found.doubtful.items())
    return render(encode(key, {**doc, "how": "import"}) for key, doc in docs)


def _sound(backups: Path) -> list[tuple[Path, dict[str, bytes]]]:
    sound = []
    for path in sorted(backups.glob(f"*{SUFFIX}"), reverse=True):
        with suppress(OSError):  # one that the disk does not give is no reason to give up the others
            other = survey(path.read_bytes())
            sound += [(path, other.lines)] if other.clean else []
    return sorted(sound, key=lambda pair: len(pair[1]), reverse=True)


def _fresh(lines: dict[str, bytes], found: Survey, known: Places | None) -> dict[str, bytes]:
    fresh = {key: line for key, line in lines.items() if key not in found.lines and record_id(key) == key}
    return {key: line for key, line in fresh.items() if known is None or known.find(key) is None}
