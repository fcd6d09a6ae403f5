"""Pictures lose the place where they were taken and keep every pixel: against Pillow, an independent reader."""

import io
import re
import struct
import tracemalloc
import zlib
from pathlib import Path

import pytest
from PIL import Image, ImageCms
from PIL.TiffImagePlugin import IFDRational

from bench.journal import pictures
from bench.journal.exif import kept
from bench.journal.photos import copy_photos, keep_photo, sha256_of
from bench.journal.pictures import without_place
from bench.journal.trouble import NotKept
from bench.science.refusal import Refusal

ORIENTATION, EXIF, GPS, MAKER, EXPOSURE, WHITE, TAKEN = 0x0112, 0x8769, 0x8825, 0x010F, 0x829A, 0xA403, 0x9003
SECRET = b"Holzgasse 7, 48.137N"
KINDS = ("JPEG", "PNG", "WEBP")
PROFILE = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def speckled(mode: str = "RGB", side: int = 61) -> Image.Image:
    """A picture with something different at every pixel."""
    noise = bytes((7 * n * n + 13 * n) % 251 for n in range(side * side * len(mode)))
    return Image.frombytes(mode, (side, side), noise)


def camera_notes(turned: int = 6) -> Image.Exif:
    """What a phone writes beside a picture: how it was turned and exposed, when, by what, and where."""
    notes = Image.Exif()
    notes[ORIENTATION] = turned
    notes[MAKER] = "Camera of " + SECRET.decode()
    inner = notes.get_ifd(EXIF)
    inner[EXPOSURE], inner[WHITE], inner[TAKEN] = IFDRational(1, 125), 1, "2026:11:12 09:00:00"
    inner[0x927C] = SECRET * 4
    place = notes.get_ifd(GPS)
    place[1], place[2], place[3], place[4] = "N", (48.0, 8.0, 13.2), "E", (11.0, 34.0, 31.1)
    return notes


def taken(kind: str, picture: Image.Image | None = None, **more: object) -> bytes:
    """A picture as a phone sends it."""
    out = io.BytesIO()
    given: dict[str, object] = {"exif": camera_notes(), "icc_profile": PROFILE, "xmp": b"<x>" + SECRET + b"</x>"} | more
    if kind == "PNG":
        from PIL.PngImagePlugin import PngInfo

        notes = PngInfo()
        notes.add_text("Comment", SECRET.decode())
        notes.add_itxt("XML:com.adobe.xmp", SECRET.decode())
        given = {"pnginfo": notes} | {k: v for k, v in given.items() if k != "xmp"}
    if kind == "JPEG":
        given |= {"comment": SECRET, "quality": 88, "progressive": True}
    if kind == "WEBP":
        given |= {"quality": 80}
    (picture or speckled()).save(out, kind, **given)
    return out.getvalue()


def opened(data: bytes) -> Image.Image:
    """The picture as Pillow reads it, with all its pixels."""
    found = Image.open(io.BytesIO(data))
    found.load()
    return found


@pytest.mark.parametrize("kind", KINDS)
def test_the_place_is_gone_and_every_pixel_stays(kind: str) -> None:
    """Nothing of the place, of comments, of makers' notes; the very same pixels and colour profile."""
    raw = taken(kind)
    assert SECRET in raw or kind == "PNG"
    found = without_place(raw)
    before, after = opened(raw), opened(found.data)
    assert found.data.count(SECRET) == 0 and b"GPS" not in found.data and b"2026:11" not in found.data
    assert not after.getexif().get_ifd(GPS) and MAKER not in after.getexif()
    assert after.tobytes() == before.tobytes() and after.mode == before.mode
    assert after.info["icc_profile"] == PROFILE
    assert (found.width, found.height) == after.size and len(found.data) < len(raw)


@pytest.mark.parametrize("kind", KINDS)
def test_how_it_is_turned_and_exposed_stays(kind: str) -> None:
    """Else a photo would lie on its side, and two could not be compared."""
    notes = opened(without_place(taken(kind)).data).getexif()
    assert notes[ORIENTATION] == 6
    assert notes.get_ifd(EXIF)[EXPOSURE] == IFDRational(1, 125) and notes.get_ifd(EXIF)[WHITE] == 1
    assert set(notes) == {ORIENTATION, EXIF} and set(notes.get_ifd(EXIF)) == {EXPOSURE, WHITE}


@pytest.mark.parametrize("kind", KINDS)
def test_cleaned_twice_it_is_the_same(kind: str) -> None:
    """So the hash of what is stored can be checked for good."""
    once = without_place(taken(kind)).data
    assert without_place(once).data == once


def test_the_head_of_a_jpeg_stays_in_front_of_its_notes() -> None:
    """JFIF stands right behind the start (ITU-T T.871, 10.1); a picture without it begins with its notes."""
    raw = taken("JPEG")
    head = raw[2 : 4 + int.from_bytes(raw[4:6], "big")]
    assert head[:2] == b"\xff\xe0" and without_place(raw).data.startswith(raw[:2] + head + b"\xff\xe1")
    bare = raw[:2] + raw[2 + len(head) :]
    assert without_place(bare).data[2:4] == b"\xff\xe1" and opened(without_place(bare).data).tobytes()


@pytest.mark.parametrize("mode", ["L", "RGB", "CMYK"])
@pytest.mark.parametrize("progressive", [True, False])
def test_jpegs_of_every_build(mode: str, progressive: bool) -> None:
    """Grey and four inks (whose colours hang on a note that must stay), in one scan and in several, with restarts."""
    raw = taken("JPEG", speckled(mode), progressive=progressive, icc_profile=None, restart_marker_blocks=4)
    assert opened(without_place(raw).data).tobytes() == opened(raw).tobytes()


@pytest.mark.parametrize("mode", ["L", "LA", "P", "RGBA", "1"])
def test_pngs_of_every_build(mode: str) -> None:
    """Palette, transparency and all."""
    raw = taken("PNG", speckled("RGBA").convert(mode), icc_profile=None)
    assert opened(without_place(raw).data).convert("RGBA").tobytes() == opened(raw).convert("RGBA").tobytes()


@pytest.mark.parametrize("more", [{"lossless": True}, {"exif": b"", "xmp": b"", "icc_profile": None}, {}])
@pytest.mark.parametrize("mode", ["RGB", "RGBA"])
def test_webps_of_every_build(mode: str, more: dict[str, object]) -> None:
    """With and without the extended header, with transparency, lossless."""
    found = without_place(raw := taken("WEBP", speckled(mode), **more))
    assert opened(found.data).tobytes() == opened(raw).tobytes() and (found.width, found.height) == (61, 61)


@pytest.mark.parametrize("kind", KINDS)
def test_what_lies_behind_the_end_is_cut_off(kind: str) -> None:
    """Phones hang a film, a second picture or notes of their own behind the first one's end."""
    assert SECRET not in without_place(taken(kind) + b"\0" * 9 + SECRET * 20).data


@pytest.mark.parametrize("kind", KINDS)
def test_a_picture_cut_off_anywhere_is_a_sentence(kind: str) -> None:
    """Never another error, whatever is missing."""
    raw = taken(kind)
    for length in [*range(0, 400), *range(400, len(raw) - 1, 97)]:
        with pytest.raises(Refusal):
            without_place(raw[:length])


@pytest.mark.parametrize("kind", KINDS)
def test_a_flipped_byte_is_a_sentence_or_a_picture(kind: str) -> None:
    """Never another error, and never the place."""
    raw = taken(kind)
    for at in [*range(len(raw) if len(raw) < 900 else 900), *range(900, len(raw), 61)]:
        try:
            found = without_place(raw[:at] + bytes([raw[at] ^ 0x41]) + raw[at + 1 :])
        except Refusal as refusal:
            assert refusal.say.endswith(".")
        else:
            assert SECRET not in found.data


def chunk(name: bytes, body: bytes) -> bytes:
    """A PNG chunk with its sum."""
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def png_of(width: int, height: int, *chunks: bytes, depth: int = 8) -> bytes:
    """A PNG that says how large it is, and holds these chunks and no pixels."""
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, depth, 2, 0, 0, 0))
    return pictures.PNG_START + head + b"".join(chunks) + chunk(b"IEND", b"")


def webp_of(width: int, height: int) -> bytes:
    """A WebP that says how large it is, in the header of its lossless form."""
    pixels = b"\x2f" + struct.pack("<I", (width - 1) | (height - 1) << 14)
    part = struct.pack("<4sI", b"VP8L", len(pixels)) + pixels + b"\0" * (len(pixels) % 2)
    return b"RIFF" + struct.pack("<I", 4 + len(part)) + b"WEBP" + part


def jpeg_of(width: int, height: int, scan: bytes = b"\x11\x22") -> bytes:
    """A JPEG that says how large it is, with a scan of these bytes."""
    frame = struct.pack(">BHHB", 8, height, width, 1) + b"\x01\x11\x00"
    begin = b"\x01\x01\x00\x00\x3f\x00"
    marked = [(0xC0, frame, b""), (0xDA, begin, scan)]
    parts = [bytes([0xFF, mark]) + struct.pack(">H", len(body) + 2) + body + more for mark, body, more in marked]
    return b"\xff\xd8" + b"".join(parts) + b"\xff\xd9"


def packed_profile(size: int) -> bytes:
    """The chunk of a colour profile of so many noughts, which packs to a thousandth."""
    return chunk(b"iCCP", b"icc\0\0" + zlib.compress(bytes(size), 9))


def test_a_colour_profile_that_unpacks_without_end_is_refused_and_not_unpacked() -> None:
    """250 MB of noughts pack to 250 kB; reading them may take no more memory than the bound."""
    bomb = png_of(5, 5, packed_profile(250_000_000), chunk(b"IDAT", zlib.compress(bytes(80))))
    assert len(bomb) < 300_000
    tracemalloc.start()
    with pytest.raises(Refusal, match="colour profile is too large"):
        without_place(bomb)
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert most < 4 * pictures.MOST_PROFILE


@pytest.mark.parametrize("size", [0, 1, pictures.MOST_PROFILE])
def test_a_profile_up_to_the_bound_stays(size: int) -> None:
    raw = png_of(5, 5, packed_profile(size), chunk(b"IDAT", zlib.compress(bytes(80))))
    assert without_place(raw).data == raw


def test_one_byte_of_profile_more_is_refused() -> None:
    raw = png_of(5, 5, packed_profile(pictures.MOST_PROFILE + 1), chunk(b"IDAT", zlib.compress(bytes(80))))
    with pytest.raises(Refusal, match="profile"):
        without_place(raw)
    with pytest.raises(Refusal, match="profile"):
        without_place(png_of(5, 5, chunk(b"iCCP", b"icc\0\0not packed"), chunk(b"IDAT", zlib.compress(bytes(80)))))


def test_the_bounds_themselves_are_kept() -> None:
    """The largest that is taken, by its header: 40 million pixels of four bytes, or 100 million of a JPEG."""
    pixels = chunk(b"IDAT", b"\0")
    four_bytes = 40_000_000 * 4 // 3 // 10_000  # of three bytes a pixel
    assert without_place(png_of(10_000, four_bytes, pixels)).height == four_bytes
    with pytest.raises(Refusal, match="too many"):
        without_place(png_of(10_000, four_bytes + 1, pixels))
    assert without_place(jpeg_of(10_000, 10_000)).width == 10_000
    with pytest.raises(Refusal, match="too many"):
        without_place(jpeg_of(10_000, 10_001))


def test_no_refusal_recommends_what_is_refused() -> None:
    """What a sentence tells a person to choose is taken."""
    for name in re.findall(r"JPEG|PNG|WebP|HEIC|AVIF", pictures.FOREIGN.split("Choose")[1]):
        assert without_place(taken(name.upper())).ending in pictures.KINDS


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "cannot keep this picture"),
        (b"hello", "cannot keep this picture"),
        (b"GIF89a" + b"\0" * 40, "cannot keep this picture"),
        (b"\0\0\0\x18ftypheic" + b"\0" * 40, "HEIC"),
        (png_of(20_000, 20_000), "too many pixels"),
        (png_of(10_000, 10_000, depth=16), "too many pixels"),
        (png_of(5, 5), "damaged"),
        (png_of(5, 5, chunk(b"IDAT", b"")), "damaged"),
        (webp_of(7_000, 7_000), "too many pixels"),
        (jpeg_of(11_000, 11_000), "too many pixels"),
        (jpeg_of(50, 50, b""), "damaged"),
        (png_of(0, 5), "damaged"),
        (pictures.PNG_START + chunk(b"IEND", b""), "damaged"),
        (pictures.PNG_START + chunk(b"acTL", b"\0" * 8), "moving"),
        (b"\xff\xd8\xff\xd9", "damaged"),
        (b"RIFF\x04\0\0\0WEBP", "damaged"),
        (b"\xff\xd8\xff" + b"\0" * (26 * 1024 * 1024), "larger than 25 MB"),
    ],
)
def test_what_is_not_kept(data: bytes, words: str) -> None:
    """A plain sentence each."""
    with pytest.raises(Refusal) as refused:
        without_place(data)
    assert words in refused.value.say and refused.value.field == "photo"


def test_moving_pictures_are_not_photos() -> None:
    """Animated WebP and PNG are refused."""
    frames = [speckled(side=20), speckled(side=20).rotate(90)]
    for kind in ("WEBP", "PNG"):
        out = io.BytesIO()
        frames[0].save(out, kind, save_all=True, append_images=frames[1:])
        with pytest.raises(Refusal, match="moving"):
            without_place(out.getvalue())


@pytest.mark.parametrize("order", ["<", ">"])
def test_notes_in_either_order_of_bytes(order: str) -> None:
    """A structure from its parts: the turning is read, a folder that points at itself or outside is nothing."""
    mark = b"II*\0" if order == "<" else b"MM\0*"
    turned = mark + struct.pack(order + "IHHHIHHI", 8, 1, ORIENTATION, 3, 1, 8, 0, 0)
    assert kept(turned)[8:] == struct.pack("<HHHIII", 1, ORIENTATION, 3, 1, 8, 0)
    endless = mark + struct.pack(order + "IHHHIII", 8, 1, EXIF, 4, 1, 8, 0)
    outside = mark + struct.pack(order + "IHHHIII", 8, 1, EXIF, 4, 1, 9_999, 0)
    assert kept(endless) == b"" and kept(outside) == b"" and kept(mark) == b"" and kept(b"") == b""


def test_a_photo_is_kept_whole_or_not_at_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The hash is that of the stored file; a disk that refuses leaves nothing behind."""
    name = "01K9V0000000000000000000P1"
    digest = keep_photo(tmp_path / "photos", name, without_place(taken("JPEG")))
    [path] = (tmp_path / "photos").iterdir()
    assert path.name == f"{name}.jpg" and sha256_of(path) == digest

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("bench.journal.photos.replace_file", full)
    with pytest.raises(NotKept, match="No space left"):
        keep_photo(tmp_path / "photos", "01K9V0000000000000000000P2", without_place(taken("PNG")))
    assert len(list((tmp_path / "photos").iterdir())) == 1


@pytest.mark.parametrize(("ours", "theirs"), [(b"one", b"two"), (b"two", b"one")])
def test_another_photo_under_a_name_that_is_taken_is_kept_beside_it(tmp_path: Path, ours: bytes, theirs: bytes) -> None:
    source, target = tmp_path / "stick", tmp_path / "photos"
    for folder, data in ((source, theirs), (target, ours)):
        folder.mkdir()
        (folder / "a.jpg").write_bytes(data)
    (source / "b.jpg").write_bytes(b"new")
    said: list[str] = []
    assert [copy_photos(source, target, said) for _ in range(2)] == [2, 0] and not said
    kept = sorted(path.read_bytes() for path in target.iterdir())
    assert kept == sorted([b"new", b"one", b"two"]) and (target / "a.jpg").read_bytes() == ours
