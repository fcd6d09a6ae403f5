"""The vendored files are the ones that the manifest names, to the last bit."""

import base64
import hashlib
import json
from pathlib import Path

from bench.settings import asset_folder

VENDOR = asset_folder("static") / "vendor"
MANIFEST = json.loads((VENDOR / "manifest.json").read_text())


def sha384(path: Path) -> str:
    """The digest as it is written for subresource integrity."""
    return base64.b64encode(hashlib.sha384(path.read_bytes()).digest()).decode()


def test_every_file_is_as_it_was_taken_in() -> None:
    """Digest, version, licence and its text for each."""
    for entry in MANIFEST:
        assert sha384(VENDOR / entry["file"]) == entry["sha384"]
        assert entry["version"] and entry["licence"] and (VENDOR / entry["licence_file"]).read_text().strip()


def test_nothing_else_lies_there() -> None:
    """A file that the manifest does not name has no business there."""
    named = {"manifest.json"} | {entry[key] for entry in MANIFEST for key in ("file", "licence_file")}
    assert {path.relative_to(VENDOR).as_posix() for path in VENDOR.rglob("*") if path.is_file()} == named
