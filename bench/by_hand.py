"""What a person does to the data file by command: copy it, bring copies together, go back, put right. All in words."""

import logging
import sys
from collections.abc import Callable
from pathlib import Path
from threading import Event

from bench import clock
from bench.journal.backups import Backups
from bench.journal.carrier import Carrier
from bench.journal.damage import records_in_words
from bench.journal.journal import Journal
from bench.journal.lock import FolderLock
from bench.journal.marks import highest, noted_marks
from bench.journal.merging import FILE, data_file
from bench.journal.opening import open_file
from bench.journal.restoring import ordered_restore
from bench.journal.shared_folder import SharedFolder
from bench.journal.syncing import Difference, Synced
from bench.journal.trouble import Trouble, Unusable
from bench.journal.verify import verify
from bench.records.moments import utc_text
from bench.settings import default_data_folder
from bench.translation import many

WATCH_S = 20.0
NOTHING_DONE = "Nothing was changed. Add --yes to do it."


def acting(data: str | None, act: Callable[[Journal], int], may_be_new: bool = False) -> int:
    """Opens the data folder, acts, and closes it. 1, with a sentence, where that cannot be done."""
    logging.getLogger("bench").addHandler(logging.NullHandler())  # what the log would say is said here in sentences
    folder = (Path(data) if data else default_data_folder()).expanduser().absolute()
    try:
        if not may_be_new and not (folder / FILE).is_file() and not (folder / "backups").is_dir():
            raise Unusable(f"There is no data in {folder}. Name its folder with --data.")
        with Journal.open(folder, clock=clock) as journal:
            question = journal.safe.shortfall
            tell(*journal.report, *(question.sentences if question else ()))
            code = act(journal)
        if ordered_restore(folder):
            with Journal.open(folder, clock=clock) as journal:
                tell(*journal.report)
        return code
    except Trouble as trouble:
        print(trouble.say, file=sys.stderr)
        return 1
    except OSError as error:
        print(f"The disk refused: {error.strerror or error}.", file=sys.stderr)
        return 1


def back_up(journal: Journal, to: Path | None) -> int:
    """Makes a backup and says where."""
    if to is not None and not to.is_dir():
        raise Unusable(f"There is no folder {to}.")
    kept = journal.backup(to)
    tell(f"{kept} holds {records_in_words(len(journal.state.records))}.")
    return 0


def bring_in(journal: Journal, source: Path, yes: bool) -> int:
    """Says what a copy would bring, and takes it in where asked."""
    seen = journal.safe.preview(source)
    tell(*seen.sentences)
    if not yes:
        return left()
    merged = journal.safe.take_in(source)
    photos = f" and {pictures_and_files(merged.photos)}" if merged.photos else ""
    tell(f"{records_in_words(merged.new)}{photos} brought in.", *merged.sentences)
    return 1 if merged.refused else 0


def put_back(journal: Journal, source: Path, yes: bool) -> int:
    """Says what going back would change, and orders it of the next opening where asked."""
    seen = journal.safe.preview(source)
    tell(*seen.holds)
    tell(f"{records_in_words(seen.new_there)} here would go, {seen.new_here:,} would come.")
    if not yes:
        return left()
    journal.safe.order_restore(data_file(source))
    return 0


def bring_together(journal: Journal, folder: Path, yes: bool, once: bool, join: bool) -> int:
    """Says what a folder and the bench lack, and brings it there: once, or whenever something is new, until Ctrl-C."""
    if not folder.is_dir():
        raise Unusable(f"There is no folder {folder}. Plug the stick in, or make it first.")
    carrier = SharedFolder(folder, journal.device)
    code = may_come_together(journal, carrier, join)
    if code or not yes:
        return code or left()
    while True:
        done = journal.syncing.sync(carrier)
        if once or done.moved:
            tell(*told_of_sync(done))
        if once:
            return 0
        Event().wait(WATCH_S)


def may_come_together(journal: Journal, carrier: Carrier, join: bool) -> int:
    """Says what each side lacks; 1 where the other may be a stranger's and nobody said that it is not."""
    seen = journal.syncing.preview(carrier)
    tell(*told_of(seen), *seen.sentences)
    if seen.strange and not join:
        tell("Nothing was changed. Add --join where both are your own.")
        return 1
    return 0


def told_of_sync(done: Synced) -> list[str]:
    """What was brought, in words."""
    here = f"{records_in_words(done.new_here)}, {pictures_and_files(done.photos_here)}"
    there = f"{records_in_words(done.new_there)}, {pictures_and_files(done.photos_there)}"
    return [f"Copied here: {here}. Copied there: {there}.", *done.sentences]


def pictures_and_files(n: int) -> str:
    """How many photos and attached files, which travel alike: 1 photo or file, 3 photos or files."""
    return f"{many('{n:,} photo', '{n:,} photos', n)} or {'file' if n == 1 else 'files'}"


def told_of(seen: Difference) -> list[str]:
    """What bringing both together would do, in words."""
    told = [
        f"New here: {records_in_words(len(seen.new_here))}, {pictures_and_files(len(seen.photos_here))}. "
        f"New there: {records_in_words(len(seen.new_there))}, {pictures_and_files(len(seen.photos_there))}.",
        f"Disagreeing records: {seen.differ:,}.",
    ]
    if seen.strange:
        told.append("Both sides hold records and none in common: the other side may be another workshop's.")
    return told


def put_right(path: Path, yes: bool) -> int:
    """Says what is wrong with a file, and puts it right where asked."""
    file = data_file(path)
    try:
        verdict = verify(file)
        tell(*verdict.sentences)
        if verdict.sound:
            return 0
        if not yes:
            return left() + 1
        lock = FolderLock(file.parent, utc_text(clock.now_ms())) if file.name == FILE else None
        try:
            tell(*_repaired(file))
        finally:
            if lock is not None:
                lock.release()
        return 0 if verify(file).sound else 1
    except Trouble as trouble:
        print(trouble.say, file=sys.stderr)
        return 2


def _repaired(file: Path) -> tuple[str, ...]:
    own = file.name == FILE
    aside = file.parent / "backups" if own else file.parent
    stamp = utc_text(clock.now_ms())[:19].replace(":", "")

    def expected() -> dict[str, int]:
        return highest(noted_marks(file.parent), Backups(aside).highs()) if own else {}

    return open_file(file, aside, stamp, expected=expected).report


def left() -> int:
    """Says that nothing was changed."""
    tell(NOTHING_DONE)
    return 0


def tell(*sentences: str) -> None:
    """Says sentences, one a line."""
    for sentence in sentences:
        print(sentence)
