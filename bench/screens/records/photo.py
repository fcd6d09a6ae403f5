"""Photos of a thing: taken in without the place where they were taken, and shown as they were stored.

For any screen with a photo field: `read_photo(form)` comes first and gives the picture, and
`photo_entry(form, of, picture)` stores it and gives the record to keep in the same submit, once everything else of the
form is right.
"""

import io
from functools import lru_cache

from flask import Blueprint, Response, abort, make_response, redirect, request

from bench.journal.photos import find_photo, keep_photo
from bench.journal.pictures import KINDS, Picture
from bench.journal.trouble import NotKept
from bench.screens.kit.thing_label import label_or_404
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.ids import derived, is_ulid
from bench.web.own_paths import own_path
from bench.web.page import page
from bench.web.recording import Entry, record_all
from bench.web.uploads import read_photo
from bench.web.words import _

blueprint = Blueprint("photo", __name__)

SMALL_PX = 240
YEAR_S = 31_536_000


def photo_entry(form: Form, of: str, picture: Picture, name: str = "photo") -> Entry | None:
    """Stores a picture and gives its record; None where it was refused, which then stands beside the field.

    The photo's id follows from the form's and from what is on it: the same submit sent again is the same photo, and one
    with another picture in it never writes over the first.
    """
    number = int.from_bytes(picture.mark[:6], "big")
    photo = derived(form.record_id, 1_000_000 + number)
    try:
        digest = keep_photo(current_bench().settings.photos, photo, picture)
        return Entry("photo.kept", of, {"of": of, "photo": photo, "sha256": digest})
    except NotKept as trouble:
        form.refuse(trouble.say, name)
    return None


@blueprint.get("/thing/<thing>/photo")
def ask(thing: str) -> Response:
    """Ask for a photo of a thing."""
    return _ask(thing, blank(back=own_path(request.args.get("back", f"/thing/{thing}"))))


def _ask(thing: str, form: Form) -> Response:
    back = own_path(form.typed.get("back") or f"/thing/{thing}")
    return page("thing/photo.html", form=form, called=label_or_404(thing), back=back)


@blueprint.post("/thing/<thing>/photo")
def keep(thing: str) -> Response:
    """Keep a photo of a thing, and go back to where it was taken."""
    form = read_form()
    picture, name = read_photo(form, required=True), label_or_404(thing).name
    entry = photo_entry(form, thing, picture) if form.ok and picture is not None else None
    if entry is not None and record_all([entry], form=form, say=_("A photo of {name}", name=name)):
        return make_response(redirect(own_path(form.typed.get("back") or f"/thing/{thing}"), 303))
    return _ask(thing, form)


@blueprint.get("/photo/<photo>/small")
def small(photo: str) -> Response:
    """The same at the size of a patch on the wall."""
    path = find_photo(current_bench().settings.photos, photo) if is_ulid(photo) else None
    if path is None or path.suffix[1:] not in KINDS:
        abort(404)
    try:
        data = thumbnail(str(path))
    except OSError:
        abort(404)
    answer = Response(data, mimetype="image/jpeg")
    answer.headers["Cache-Control"] = f"private, max-age={YEAR_S}, immutable"
    return answer


@lru_cache(maxsize=400)
def thumbnail(path: str) -> bytes:
    """A picture as a small JPEG, upright. A photo never changes, so it is made once. OSError where it is none."""
    from PIL import Image, ImageOps

    image = Image.open(path, formats=("JPEG", "PNG", "WEBP"))
    image.draft("RGB", (SMALL_PX * 2, SMALL_PX * 2))
    upright = ImageOps.fit(ImageOps.exif_transpose(image).convert("RGB"), (SMALL_PX, SMALL_PX))
    kept = io.BytesIO()
    upright.save(kept, "JPEG", quality=80)
    return kept.getvalue()


@blueprint.get("/photo/<photo>")
def show(photo: str) -> Response:
    """A photo as it was stored; it never changes, so a browser may keep it."""
    path = find_photo(current_bench().settings.photos, photo) if is_ulid(photo) else None
    if path is None or path.suffix[1:] not in KINDS:
        abort(404)
    answer = Response(path.read_bytes(), mimetype=KINDS[path.suffix[1:]])
    answer.headers["Cache-Control"] = f"private, max-age={YEAR_S}, immutable"
    return answer
