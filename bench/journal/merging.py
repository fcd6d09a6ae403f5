"""Bringing in what another data file holds: a union by id, with its photos."""

from collections.abc import Callable, Iterable
from itertools import islice
from pathlib import Path
from typing import Any

import orjson

from bench.journal.damage import describe
from bench.journal.lines import doc_of, newer_layout, record_id
from bench.journal.photos import copy_photos
from bench.journal.receipts import Merged, Receipt
from bench.journal.survey import Survey, survey
from bench.journal.trouble import Unusable
from bench.journal.writing import Writer, same_record
from bench.translation import _

FILE = "saggar.json"
AT_ONCE = 5_000


def merge_into(
    writer: Writer, photos: Path, source: Path | Iterable[object], put_aside: Callable[[bytes], Path]
) -> Merged:
    """Takes every record of `source` in and answers what came. What is refused is put aside, never dropped."""
    merged = Merged()
    if isinstance(source, Path):
        raws: Iterable[object] = read_envelopes(source, merged.sentences)
    else:
        raws = source
    refused: list[object] = []
    rest = iter(raws)
    while part := list(islice(rest, AT_ONCE)):
        receipts = writer.receive(part, same_record)
        refused += [raw for raw, receipt in zip(part, receipts, strict=True) if receipt.status == "refused"]
        _count(merged, receipts)
    if isinstance(source, Path):
        merged.photos = copy_photos(data_file(source).parent / "photos", photos, merged.sentences)
    if refused:
        kept = put_aside(orjson.dumps(refused, default=repr))
        merged.sentences.append(
            _(
                "{refused} could not be imported. They are kept as {folder}/{name}.",
                refused=len(refused),
                folder=kept.parent.name,
                name=kept.name,
            )
        )
    return merged


def data_file(path: Path) -> Path:
    """The data file that a path means: the file itself, or the one in a folder."""
    return path / FILE if path.is_dir() else path


def read_file(file: Path) -> Survey:
    """What a data file holds. Unusable when it cannot be read, or a newer program wrote it."""
    try:
        raw = file.read_bytes()
    except OSError as error:
        raise Unusable(_("{name} cannot be read: {strerror}.", name=file.name, strerror=error.strerror)) from error
    if (say := newer_layout(raw)) is not None:
        raise Unusable(f"{file.name} {say}")
    return survey(raw)


def read_envelopes(path: Path, sentences: list[str]) -> list[dict[str, Any]]:
    """Every readable record of a data file as envelopes; what is wrong with it is added to `sentences`."""
    found = read_file(data_file(path))
    sentences += [f"In {data_file(path).name}: {say}" for say in describe(found)]
    return [{"id": record_id(key), **doc_of(line)} for key, line in found.lines.items()]


def _count(merged: Merged, receipts: list[Receipt]) -> None:
    for receipt in receipts:
        merged.new += receipt.status == "new"
        merged.same += receipt.status == "same"
        merged.conflicts += receipt.status == "conflict"
        merged.refused += [receipt] if receipt.status == "refused" else []
        if receipt.status == "new" and receipt.say and receipt.say not in merged.sentences:
            merged.sentences.append(receipt.say)
