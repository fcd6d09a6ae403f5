"""A picture that a form brings: its bytes, bounded, and only what a browser calls a picture and is one."""

from flask import request

from bench.screens.kit.forms import Form
from bench.screens.kit.words import _

MOST_MB = 25
STARTS = ((b"\xff\xd8\xff", "jpg"), (b"\x89PNG\r\n\x1a\n", "png"))
BRANDS = {b"heic": "heic", b"heix": "heic", b"mif1": "heic", b"avif": "avif"}


def kind_of(data: bytes) -> str | None:
    """The ending for these bytes by their signature: jpg, png, webp, heic or avif; None for anything else."""
    for start, ending in STARTS:
        if data.startswith(start):
            return ending
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return "webp"
    return BRANDS.get(data[8:12]) if data[4:8] == b"ftyp" else None


def read_photo(form: Form, name: str = "photo", required: bool = False) -> bytes | None:
    """The picture of this request's field, or None where there is none; what is no picture is refused beside it."""
    sent = request.files.get(name)
    data = sent.stream.read(MOST_MB * 1024 * 1024 + 1) if sent is not None and sent.filename else b""
    if not data:
        if required:
            form.refuse(_("Take a photo, or choose one."), name)
        return None
    if len(data) > MOST_MB * 1024 * 1024:
        form.refuse(_("That picture is larger than {n} MB. Take it with a lower resolution.", n=MOST_MB), name)
        return None
    if kind_of(data) is None:
        form.refuse(_("That file is not a picture the bench can keep. Choose a JPEG, PNG, WebP, HEIC or AVIF."), name)
        return None
    return data
