"""A file that a form brought, to look at before anything of it is kept: the last few, in memory, by their SHA-256."""

import hashlib
from collections import OrderedDict

from flask import current_app, request

from bench.web.forms import Form
from bench.web.words import _

KEPT_FILES = 4


def sent_files(shelf: str) -> "OrderedDict[str, bytes]":
    """The last few files of a kind that were looked at: nothing is kept of them until they are taken in."""
    found: OrderedDict[str, bytes] = current_app.extensions.setdefault(f"sent_files.{shelf}", OrderedDict())
    return found


def sent_file(form: Form, shelf: str, most_bytes: int) -> str | None:
    """The file that this request brought, or the one that it means, by its SHA-256; None where it is refused."""
    files = sent_files(shelf)
    sent = request.files.get("file")
    data = sent.stream.read(most_bytes + 1) if sent is not None and sent.filename else b""
    if sent is not None:
        sent.close()
    if data:
        digest = hashlib.sha256(data).hexdigest()
        files[digest] = data
        while len(files) > KEPT_FILES:
            files.popitem(last=False)
        return digest
    digest = form.typed.get("digest", "")
    if digest in files:
        return digest
    form.refuse(_("Choose the file again.") if digest else _("Choose a file."), "file")
    return None
