"""Finding the good in a damaged stretch of the file.

CRC-32 tells apart every single flipped bit of a line shorter than 91,607 bits (Koopman, "32-bit cyclic redundancy codes
for Internet applications", DSN 2002: Hamming distance 4 up to that length). So a line with one flipped bit can be put
right exactly, and a line with two can never be mistaken for one with another bit flipped. Longer lines are not mended.
"""

import re
from itertools import islice
from zlib import crc32

import orjson

from bench.journal.lines import KEY, MARK_LENGTH, doc_of, is_sound, key_of, seal

LONGEST_MENDABLE = 91_607 // 8
STARTS_TRIED = 64
START = re.compile(rb'"[0-9A-Za-z._~-]{1,64}":\{')
END = re.compile(rb',"crc":"[0-9a-f]{8}"\}')
HEX_MARK = re.compile(rb',"crc":"([0-9a-f]{8})"\}')
TABLE = [crc32(bytes([n])) ^ crc32(b"\0") for n in range(256)]  # what a change in the last byte does to the sum
BITS = {TABLE[1 << bit]: bit for bit in range(8)}
LAST = {value >> 24: n for n, value in enumerate(TABLE)}


def recover(run: bytes) -> tuple[list[bytes], int, bytes]:
    """The records in a damaged stretch: their lines, how many of them were mended, and what stays unreadable.

    `run` is one or more neighbouring bad lines with the newlines between them.
    """
    found, rest = _sound_pieces(run)
    mended: list[bytes] = []
    left: list[bytes] = []
    for piece in rest:
        lines, remaining = _mend_piece(piece)
        mended += lines
        left += [remaining] if remaining else []
    return found + mended, len(mended), b"\n".join(left)


def _sound_pieces(run: bytes) -> tuple[list[bytes], list[bytes]]:
    # A damaged newline or comma joins lines that are themselves whole. A line ends at the mark of its sum, so its start
    # lies behind the mark before; one mark more is looked back over, for one that stands inside a record.
    found: list[bytes] = []
    rest: list[bytes] = []
    at = before = last = 0
    for end in END.finditer(run):
        starts = (m.start() for m in islice(START.finditer(run, max(at, before), end.start()), STARTS_TRIED))
        hit = next((s for s in starts if is_sound(run[s : end.end()]) and _reads(run[s : end.end()])), None)
        if hit is not None:
            found.append(run[hit : end.end()])
            rest.append(run[at:hit])
            at = end.end()
        before, last = last, end.end()
    rest.append(run[at:])
    return found, [piece for piece in rest if len(piece.strip(b"\n,}")) > 1]  # one odd byte was a comma or a newline


def _mend_piece(piece: bytes) -> tuple[list[bytes], bytes]:
    found: list[bytes] = []
    left: list[bytes] = []
    for line in piece.split(b"\n"):
        whole = _mend_line(line) if line else None
        if whole is None and left and line and not HEX_MARK.search(left[-1][-MARK_LENGTH:]):
            whole = _mend_line(left[-1] + b"\n" + line)  # the flipped bit made a newline
            if whole is not None:
                left.pop()
        if whole is not None:
            found.append(whole)
        elif line:
            left.append(line)
    return found, b"\n".join(left)


def _mend_line(line: bytes) -> bytes | None:
    # Which byte was the comma cannot be asked of a damaged line, so both readings are tried.
    for cut in (1, 0):
        whole = mend(line[cut:])
        if whole is not None:
            return whole
    return None


def mend(line: bytes) -> bytes | None:
    """The line with its one flipped bit put right; None when it is not exactly one."""
    if not MARK_LENGTH < len(line) <= LONGEST_MENDABLE:
        return None
    start, mark = line[:-MARK_LENGTH], line[-MARK_LENGTH:]
    if _differ_in_one_bit(mark, seal(start)):
        return _checked(start + seal(start))
    hit = HEX_MARK.fullmatch(mark)
    if hit is None:
        return None
    place = _flipped_bit(len(start), crc32(start) ^ int(hit.group(1), 16))
    if place is None:
        return None
    mended = bytearray(start)
    mended[place[0]] ^= 1 << place[1]
    return _checked(bytes(mended) + mark)


def _flipped_bit(length: int, difference: int) -> tuple[int, int] | None:
    # The sum is linear: one changed bit changes it by an amount that depends only on how many bytes follow. So the
    # difference is wound back byte by byte, until it is what a bit of the last byte would make.
    for place in range(length - 1, -1, -1):
        bit = BITS.get(difference)
        if bit is not None:
            return place, bit
        low = LAST[difference >> 24]
        difference = ((difference ^ TABLE[low]) << 8) | low
    return None


def _differ_in_one_bit(one: bytes, two: bytes) -> bool:
    return (int.from_bytes(one) ^ int.from_bytes(two)).bit_count() == 1


def _checked(line: bytes) -> bytes | None:
    return line if is_sound(line) and _reads(line) else None


def _reads(line: bytes) -> bool:
    try:
        return KEY.fullmatch(key_of(line)) is not None and isinstance(doc_of(line), dict)
    except (ValueError, orjson.JSONDecodeError):
        return False
