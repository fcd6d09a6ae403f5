"""Going back to an earlier copy: ordered while the bench is open, done when it is opened the next time.

The data file as it was is kept beside the backups, so that going back can itself be undone.
"""

from pathlib import Path

from bench.journal.damage import records_in_words
from bench.journal.disk import replace_file, set_aside
from bench.journal.lines import render
from bench.journal.merging import read_file
from bench.journal.trouble import Unusable
from bench.translation import _

ORDER = "restore.txt"


def order_restore(folder: Path, source: Path | None) -> None:
    """Notes that the next opening goes back to `source`; None takes the order back. OSError when the disk refuses."""
    order = folder / "keys" / ORDER
    if source is None:
        order.unlink(missing_ok=True)
        return
    order.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    replace_file(order, f"{source.absolute()}\n".encode())


def ordered_restore(folder: Path) -> Path | None:
    """What the next opening will go back to."""
    try:
        return Path((folder / "keys" / ORDER).read_text("utf-8").strip())
    except (OSError, ValueError):
        return None


def restore_ordered(folder: Path, file: Path, stamp: str) -> str | None:
    """Goes back to the copy that was ordered, and says so; None where nothing was. Unusable when the disk refuses."""
    source = ordered_restore(folder)
    if source is None:
        return None
    try:
        found = read_file(source)
    except Unusable as trouble:
        order_restore(folder, None)
        return _("Nothing was restored. {say}", say=trouble.say)
    if not found.lines:
        order_restore(folder, None)
        return _("Nothing was restored: {name} holds no record of this bench.", name=source.name)
    try:
        before = file.read_bytes() if file.exists() else b""
        kept = set_aside(before, folder / "backups", f"{file.stem}-{stamp}", ".before") if before else None
        replace_file(file, render(found.lines.values()))
        order_restore(folder, None)
    except OSError as error:
        raise Unusable(
            _(
                "{name} could not be restored: {strerror}. Free some space on the disk.",
                name=source.name,
                strerror=error.strerror,
            )
        ) from error
    said = _("{name} was restored with {records}.", name=source.name, records=records_in_words(len(found.lines)))
    if kept is None:
        return said
    where = f"{kept.parent.name}/{kept.name}"
    return _("{said} What was here before is kept as {where}.", said=said, where=where)
