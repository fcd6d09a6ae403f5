"""From an open journal to what is taken along: every record, also those that claim one id, and the files of them."""

import re
from pathlib import Path
from typing import Any

from bench.exporting.archive import parts, taken, write_zip
from bench.exporting.crate import About, CrateFile, crate_parts, data_files, files_of_all, photos_of_all
from bench.journal.attachments import ENDING, attachment
from bench.journal.photos import find_photo
from bench.records.moments import to_ms, utc_text
from bench.records.record import Record
from bench.records.state import State
from bench.reference import Library
from bench.science.codes import normalised
from bench.science.refusal import Refusal
from bench.translation import _
from bench.workshop.things.batches import batch

CRATE_WORDS = "One batch of a mineral pigment: how it was planned, weighed, fired and judged, with its photos."


def all_records(journal: Any) -> list[Record]:
    """Every record of a journal; where two claim one id, both."""
    found = list(journal.state.records.values())
    known = {id(one) for one in found}
    return found + [one for claim in journal.conflicts for one in claim.records if _is_new(one, found, known)]


def _is_new(one: Record, found: list[Record], known: set[int]) -> bool:
    return id(one) not in known and all(other != one for other in found if other.id == one.id)


def write_everything(journal: Any, library: Library, made: str, program: str, photos: Path | None, path: Path) -> int:
    """Writes the archive and gives back how many records it holds. Refusal where the disk does not allow it."""
    records = all_records(journal)
    found = parts(taken(records, journal.state, library, made, program), photos)
    _write(path, found)
    return len(records)


def write_crate(journal: Any, photos: Path, code: str, made: str, version: str, path: Path) -> str:
    """Writes one batch as a crate and gives back its name. Refusal where no batch has the code."""
    state = journal.state
    thing = next((t for t in state.things_with(normalised(code)) if state.kind_of.get(t) == "batch"), None)
    if thing is None:
        raise Refusal(_("No batch has the code {code!r}.", code=code[:12]), "batch")
    files = [*data_files(state, thing), *photo_files(state, thing, photos)]
    _write(path, crate_parts(about_batch(state, thing, made, version), files))
    return about_batch(state, thing, made, version).name


def about_batch(state: State, thing: str, made: str, version: str) -> About:
    """What a crate says of a batch as a whole."""
    view = batch(state, thing)
    return About(view.name if view is not None else "Batch", CRATE_WORDS, made, version)


def photo_files(state: State, thing: str, folder: Path) -> list[CrateFile]:
    """The pictures and attached files of a batch and its relatives that are there."""
    found = []
    for photo, sort, made in photos_of_all(state, thing):
        path = find_photo(folder, photo)
        if path is not None:
            found.append(CrateFile(f"photos/{path.name}", path.read_bytes(), f"Photo of the {sort}", made))
    return found + attached_files(state, thing, folder)


def attached_files(state: State, thing: str, folder: Path) -> list[CrateFile]:
    """The attached files of a batch and its relatives that are there and as they were attached."""
    found = []
    for one in files_of_all(state, thing):
        try:
            data = attachment(folder, one.body.file, one.body.sha256)
        except Refusal:
            continue  # `saggar verify` tells of it; an altered file is never handed on
        if data is not None:
            says = f"{one.body.what.replace('-', ' ')}: {one.body.name}"
            made = utc_text(to_ms(one.record.when))
            found.append(CrateFile(f"files/{one.body.file}.{_ending(one.body.name)}", data, says, made))
    return found


def _ending(name: str) -> str:
    """The ending of a file's own name where it is a plain one, so that other programs know the file."""
    ending = name.rpartition(".")[2].lower() if "." in name else ""
    return ending if re.fullmatch(r"[a-z0-9]{1,8}", ending) else ENDING


def _write(path: Path, found: Any) -> None:
    beside = path.with_name(path.name + ".new")
    try:
        with beside.open("wb") as file:
            write_zip(found, file)
        beside.replace(path)
    except OSError as error:
        beside.unlink(missing_ok=True)
        raise Refusal(_("{path} cannot be written: {strerror}.", path=path, strerror=error.strerror), "file") from error
