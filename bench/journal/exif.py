"""What a picture may keep of what its camera noted: how it is turned, and how it was exposed; never where or by whom.

Tag numbers and types are those of Exif (CIPA DC-008) in a TIFF 6.0 structure, from memory. All else is left out,
makers' notes and previews too, because places hide there.
"""

import struct
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

ORIENTATION: Final = 0x0112
EXIF_FOLDER: Final = 0x8769
KEPT: Final = frozenset({0x829A, 0x829D, 0x8827, 0x9204, 0x9208, 0x9209, 0xA001, 0xA402, 0xA403})
"""Exposure time, aperture, sensitivity, bias, light source, flash, colour space, exposure mode, white balance."""

FORMATS: Final = {3: "H", 4: "I", 5: "2I", 9: "i", 10: "2i"}
"""Whole numbers and fractions; texts and raw bytes are never kept."""
MOST_ENTRIES: Final = 500


@dataclass(frozen=True)
class Tag:
    """One entry with its one value, as one number or as a fraction's two."""

    number: int
    kind: int
    value: tuple[int, ...]


def kept(tiff: bytes) -> bytes:
    """The structure with what may be kept alone, or nothing where there is none or it cannot be read."""
    try:
        first = {tag.number: tag for tag in _folder(tiff, _order(tiff), _first(tiff))}
        folder = first.get(EXIF_FOLDER)
        inner = list(_folder(tiff, _order(tiff), folder.value[0])) if folder is not None else []
    except (struct.error, ValueError):
        return b""
    turned = [first[ORIENTATION]] if ORIENTATION in first and 2 <= first[ORIENTATION].value[0] <= 8 else []
    exposure = sorted((tag for tag in inner if tag.number in KEPT), key=lambda tag: tag.number)
    return _written(turned, exposure) if turned or exposure else b""


def _order(tiff: bytes) -> str:
    marks = {b"II*\0": "<", b"MM\0*": ">"}
    if tiff[:4] not in marks:
        raise ValueError("no such structure")
    return marks[tiff[:4]]


def _first(tiff: bytes) -> int:
    return int(struct.unpack_from(_order(tiff) + "I", tiff, 4)[0])


def _folder(tiff: bytes, order: str, at: int) -> Iterator[Tag]:
    (count,) = struct.unpack_from(order + "H", tiff, at)
    for n in range(min(count, MOST_ENTRIES)):
        number, kind, values = struct.unpack_from(order + "HHI", tiff, at + 2 + 12 * n)
        form = FORMATS.get(kind)
        if form is None or values != 1:
            continue
        place = at + 2 + 12 * n + 8
        if struct.calcsize(form) > 4:
            (place,) = struct.unpack_from(order + "I", tiff, place)
        yield Tag(number, kind, struct.unpack_from(order + form, tiff, place))


def _written(turned: list[Tag], exposure: list[Tag]) -> bytes:
    first = [*turned, Tag(EXIF_FOLDER, 4, (0,))] if exposure else turned
    inner_at = 8 + _length(first)
    first = [Tag(EXIF_FOLDER, 4, (inner_at,)) if tag.number == EXIF_FOLDER else tag for tag in first]
    out = b"II*\0" + struct.pack("<I", 8) + _packed(first, 8)
    return out + (_packed(exposure, inner_at) if exposure else b"")


def _length(tags: list[Tag]) -> int:
    return 2 + 12 * len(tags) + 4 + sum(size for tag in tags if (size := struct.calcsize(FORMATS[tag.kind])) > 4)


def _packed(tags: list[Tag], at: int) -> bytes:
    """One folder with its values behind it."""
    entries, values = struct.pack("<H", len(tags)), b""
    behind = at + 2 + 12 * len(tags) + 4
    for tag in tags:
        value = struct.pack("<" + FORMATS[tag.kind], *tag.value)
        entries += struct.pack("<HHI", tag.number, tag.kind, 1)
        if len(value) > 4:
            entries += struct.pack("<I", behind + len(values))
            values += value
        else:
            entries += value.ljust(4, b"\0")
    return entries + struct.pack("<I", 0) + values
