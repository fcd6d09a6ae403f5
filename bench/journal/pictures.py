"""The one reader of pictures: what kind it is, whether it can be kept, and without the place where it was taken.

Its notes are cut away, its pixels are never touched.

JPEG, PNG and WebP are cut segment by segment, chunk by chunk; what is known to belong to the pixels and their colour
stays, everything else goes, whatever lies behind the picture's end too. Layouts: ITU-T T.81 (JPEG), the PNG
specification (W3C), and the WebP container specification, from memory.
"""

import hashlib
import re
import struct
import zlib
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from bench.journal import exif
from bench.science.refusal import Refusal
from bench.translation import _

KINDS: Final = {"jpg": "image/jpeg", "png": "image/png", "webp": "image/webp"}
"""What can be kept, by the ending of its file; no other list of kinds is kept anywhere."""
MOST_MB: Final = 25
MOST_BYTES: Final = MOST_MB * 1024 * 1024
MOST_PIXELS: Final = 100_000_000
MOST_UNPACKED: Final = 160_000_000
"""Bytes of the pixels of a PNG or WebP, which are unpacked whole: 40 million of four bytes. A JPEG is read smaller."""
MOST_PROFILE: Final = 4 * 1024 * 1024
"""Bytes of a colour profile; those of printers, the largest, have some two million."""
FOREIGN = _("The bench cannot keep this picture. Choose a JPEG, PNG or WebP.")
HEIC = _("That is a HEIC or AVIF picture. Set the camera to JPEG, and take it again.")
MOVING = _("That is a moving picture. Take a photo.")
BROKEN = _("That picture is damaged or cut off. Take it again.")
LONG = _("That picture is larger than {most_mb} MB. Take it with a lower resolution.", most_mb=MOST_MB)
LARGE = _("That picture has too many pixels. Take it with a lower resolution.")
PROFILE = _("That picture's colour profile is too large or damaged. Save the picture without it.")

JPEG_PLAIN: Final = frozenset([0x01, *range(0xD0, 0xD8)])
JPEG_FRAMES: Final = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
JPEG_PARTS: Final = frozenset([*range(0xC0, 0xC8), *range(0xC9, 0xD0), *range(0xDA, 0xE0)])
"""Frames, tables, scans and restarts: what the pixels are decoded from."""
JPEG_KEPT: Final = {0xE0: (b"JFIF\0",), 0xE2: (b"ICC_PROFILE\0",), 0xEE: (b"Adobe",)}
JPEG_AFTER_SCAN = re.compile(rb"\xff+[^\x00\xd0-\xd7\xff]")
JPEG_EXIF = b"Exif\0\0"

PNG_START = b"\x89PNG\r\n\x1a\n"
PNG_KEPT: Final = frozenset(
    b"IHDR PLTE IDAT IEND tRNS gAMA cHRM sRGB iCCP sBIT bKGD pHYs hIST cICP mDCV cLLI".split(b" ")
)
WEBP_KEPT: Final = frozenset([b"VP8X", b"VP8 ", b"VP8L", b"ALPH", b"ICCP"])
WEBP_EXIF_FLAG, WEBP_XMP_FLAG, WEBP_MOVES_FLAG = 0x08, 0x04, 0x02


@dataclass(frozen=True)
class Picture:
    """A picture as it may be kept. `ending` is one of KINDS; sizes in pixels, before any turning.

    `mark` is the SHA-256 of what was sent, by which the same photo sent again is known.
    """

    ending: str
    width: int
    height: int
    data: bytes
    mark: bytes = b""


def without_place(data: bytes) -> Picture:
    """The picture with its pixels, their colour, how it is turned and how it was exposed, and nothing else.

    What it is, is told by its content. Errors: Refusal for what is no such picture, is damaged, moves, or is too large.
    """
    if len(data) > MOST_BYTES:
        raise Refusal(LONG, "photo")
    read = _reader(data)
    try:
        picture = read(data)
    except Refusal:
        raise
    except (struct.error, IndexError, ValueError):
        raise Refusal(BROKEN, "photo") from None
    if picture.width < 1 or picture.height < 1:
        raise Refusal(BROKEN, "photo")
    if picture.width * picture.height > MOST_PIXELS:
        raise Refusal(LARGE, "photo")
    return replace(picture, mark=hashlib.sha256(data).digest())


def _reader(data: bytes) -> Callable[[bytes], Picture]:
    if data.startswith(b"\xff\xd8\xff"):
        return _jpeg
    if data.startswith(PNG_START):
        return _png
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return _webp
    raise Refusal(HEIC if data[4:8] == b"ftyp" else FOREIGN, "photo")


def _jpeg(data: bytes) -> Picture:
    out, size, notes, at, scanned = [], (0, 0), b"", 2, False
    while True:
        if data[at] != 0xFF:
            raise ValueError("no marker")
        while data[at] == 0xFF:
            at += 1
        marker = data[at]
        at += 1
        if marker == 0xD9:
            break
        if marker in JPEG_PLAIN:
            out.append(bytes([0xFF, marker]))
            continue
        (length,) = struct.unpack_from(">H", data, at)
        body = data[at + 2 : at + length]
        if len(body) != length - 2:
            raise ValueError("cut off")
        at += length
        if marker == 0xE1 and body.startswith(JPEG_EXIF) and not notes:
            notes = exif.kept(body[len(JPEG_EXIF) :])
        if _jpeg_stays(marker, body):
            out.append(_segment(marker, body))
        if marker in JPEG_FRAMES:
            size = struct.unpack_from(">HH", body, 1)
        if marker == 0xDA:
            after = JPEG_AFTER_SCAN.search(data, at)
            if after is None:
                raise ValueError("cut off")
            scanned |= after.start() > at
            out.append(data[at : after.start()])
            at = after.start()
    if not scanned:
        raise ValueError("no pixels")
    head = 1 if out and out[0].startswith(b"\xff\xe0") else 0
    note = [_segment(0xE1, JPEG_EXIF + notes)] if notes else []
    whole = b"".join([b"\xff\xd8", *out[:head], *note, *out[head:], b"\xff\xd9"])
    return Picture("jpg", size[1], size[0], whole)


def _jpeg_stays(marker: int, body: bytes) -> bool:
    """All that makes the picture, and of the notes only what tells its colours."""
    return marker in JPEG_PARTS or body.startswith(JPEG_KEPT.get(marker, ()))


def _segment(marker: int, body: bytes) -> bytes:
    return bytes([0xFF, marker]) + struct.pack(">H", len(body) + 2) + body


def _png(data: bytes) -> Picture:
    out, size, at, pixels = [PNG_START], (0, 0), len(PNG_START), False
    while True:
        length, name = struct.unpack_from(">I4s", data, at)
        body = data[at + 8 : at + 8 + length]
        (sum_,) = struct.unpack_from(">I", data, at + 8 + length)
        if zlib.crc32(name + body) != sum_:
            raise ValueError("damaged")
        at += 12 + length
        if name == b"acTL":
            raise Refusal(MOVING, "photo")
        if name == b"IHDR":
            size = _png_size(body)
        if name == b"iCCP":
            _check_profile(body)
        pixels |= name == b"IDAT" and bool(body)
        if name == b"eXIf":
            body = exif.kept(body)
        if name in PNG_KEPT or (name == b"eXIf" and body):
            out.append(struct.pack(">I4s", len(body), name) + body + struct.pack(">I", zlib.crc32(name + body)))
        if name == b"IEND":
            if not pixels:
                raise ValueError("no pixels")
            return Picture("png", *size, b"".join(out))


def _png_size(head: bytes) -> tuple[int, int]:
    """Width and height. Errors: Refusal where the pixels would not fit when they are unpacked."""
    width, height, depth, colour = struct.unpack_from(">IIBB", head)
    samples = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}[colour] if colour in (0, 2, 3, 4, 6) else 4
    if height * (width * samples * depth + 7) // 8 > MOST_UNPACKED:
        raise Refusal(LARGE, "photo")
    return width, height


def _check_profile(body: bytes) -> None:
    """Unpack a colour profile as far as it may go. Errors: Refusal where there is more of it, or it is damaged."""
    _name, _, packed = body.partition(b"\0")
    unpacking = zlib.decompressobj()
    try:
        unpacking.decompress(packed[1:], MOST_PROFILE)
    except zlib.error:
        raise Refusal(PROFILE, "photo") from None
    if not unpacking.eof:
        raise Refusal(PROFILE, "photo")


def _webp(data: bytes) -> Picture:
    (length,) = struct.unpack_from("<I", data, 4)
    end = 8 + length
    if end > len(data):
        raise ValueError("cut off")
    chunks: list[tuple[bytes, bytes]] = []
    at = 12
    while at < end:
        name, size = struct.unpack_from("<4sI", data, at)
        body = data[at + 8 : at + 8 + size]
        if len(body) != size:
            raise ValueError("cut off")
        chunks.append((name, body))
        at += 8 + size + size % 2
    if not chunks:
        raise ValueError("empty")
    return _webp_of(chunks)


def _webp_of(chunks: list[tuple[bytes, bytes]]) -> Picture:
    if any(name in (b"ANIM", b"ANMF") for name, _body in chunks):
        raise Refusal(MOVING, "photo")
    notes = next((body for name, body in chunks if name == b"EXIF"), b"")
    notes = exif.kept(notes.removeprefix(JPEG_EXIF))
    kept = [(name, body) for name, body in chunks if name in WEBP_KEPT]
    first, head = kept[0]
    if first == b"VP8X":
        if head[0] & WEBP_MOVES_FLAG:
            raise Refusal(MOVING, "photo")
        flags = head[0] & ~(WEBP_EXIF_FLAG | WEBP_XMP_FLAG) | (WEBP_EXIF_FLAG if notes else 0)
        kept[0] = (first, bytes([flags]) + head[1:])
        kept += [(b"EXIF", notes)] if notes else []
    body = b"".join(struct.pack("<4sI", name, len(part)) + part + b"\0" * (len(part) % 2) for name, part in kept)
    if not any(name in (b"VP8 ", b"VP8L") for name, _part in kept):
        raise ValueError("no picture in it")
    width, height = _webp_size(first, head)
    if 4 * width * height > MOST_UNPACKED:
        raise Refusal(LARGE, "photo")
    return Picture("webp", width, height, b"RIFF" + struct.pack("<I", len(body) + 4) + b"WEBP" + body)


def _webp_size(first: bytes, head: bytes) -> tuple[int, int]:
    if first == b"VP8X":
        return 1 + int.from_bytes(head[4:7], "little"), 1 + int.from_bytes(head[7:10], "little")
    if first == b"VP8L":
        (bits,) = struct.unpack_from("<I", head, 1)
        return 1 + (bits & 0x3FFF), 1 + (bits >> 14 & 0x3FFF)
    width, height = struct.unpack_from("<HH", head, 6)
    return width & 0x3FFF, height & 0x3FFF
