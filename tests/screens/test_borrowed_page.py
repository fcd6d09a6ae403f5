"""What other workshops share: listed, looked at first, read into a folder apart, said to be theirs, and undone."""

import hashlib
import re
from pathlib import Path
from typing import Any

import pytest

from bench.exporting.shared import shared_ids
from bench.journal import Journal
from bench.journal.hub.borrowed import Reading, key_of
from bench.journal.hub.desk import HubDesk, Told
from bench.journal.shared_folder import SharedFolder
from bench.journal.syncing import Difference
from tests.journal.helpers import ulid
from tests.measure import bulk
from tests.measure.hand import open_journal
from tests.screens.test_hub_page import connect, post

BARN, PLACE = "Barn <b> & Sons", f"/backups/hub/shared/{key_of('Barn <b> & Sons')}"


@pytest.fixture
def barn(tmp_path: Path) -> Any:
    """The open shelf of another workshop, as a folder; and that workshop's bench with its batches."""
    shelf = tmp_path / "shelf"
    shelf.mkdir()
    with open_journal(tmp_path / "barn", device="barn") as theirs:
        theirs.merge({"id": identity, **doc} for identity, doc in bulk.records(160))
        yield theirs, SharedFolder(shelf, "hub")


def batches(journal: Journal) -> list[tuple[str, str]]:
    things = ((code, thing) for code in journal.state.codes for thing in journal.state.things_with(code))
    return [(code, thing) for code, thing in things if journal.state.kind_of[thing] == "batch"]


@pytest.fixture
def asked(client: Any, barn: Any, monkeypatch: pytest.MonkeyPatch) -> HubDesk:
    """The bench with a hub on which the barn has an open shelf."""
    hub: HubDesk = client.application.extensions["bench"].journal.hub
    shelf = barn[1]

    def answer(_: object, what: str, __: object, about: tuple[str, ...]) -> Told:
        if what == "look":
            return Told(seen=Difference(), at_ms=0, others={BARN: len(shelf.outline()), "Yard": 3}, own="Yard")
        seen = hub.borrowed.preview(*about, shelf) if what == "peek" else None
        return Told(reading=Reading(*about, seen, hub.borrowed.take(*about, shelf) if seen is None else None), at_ms=0)

    monkeypatch.setattr(HubDesk, "_answer", answer)
    return hub


def test_what_others_share_is_looked_at_read_apart_and_undone(client: Any, barn: Any, asked: HubDesk) -> None:
    theirs, shelf = barn
    journal = client.application.extensions["bench"].journal
    (first, thing), (second, _) = batches(theirs)[:2]
    photo = hashlib.sha256(b"a photo").hexdigest()
    theirs.photos.mkdir(exist_ok=True)
    (theirs.photos / f"{ulid(6_999)}.jpg").write_bytes(b"a photo")
    theirs.write("photo.kept", thing, {"of": thing, "photo": ulid(6_999), "sha256": photo})
    theirs.syncing.share(shelf, shared_ids(theirs.state, first))
    before = len(journal.state.records)
    connect(client)
    asked.wait(20)

    assert "Shared by others" in client.get("/backups/hub").text
    page = client.get("/backups/hub/shared").text
    assert "Barn &lt;b&gt; &amp; Sons" in page and "none read here" in page and "Yard</b>" not in page
    assert "Your own workshop shares 3 records." in page
    assert client.get(f"/backups/hub/shared/{key_of('Yard')}").status_code == 404, "one's own is not another's"
    assert client.get(f"{PLACE}/{thing}").status_code == 404, "nothing was read yet"

    post(client, f"{PLACE}/peek")
    seen = asked.wait(20).reading
    page = client.get(PLACE).text
    assert seen is not None and seen.seen is not None and len(seen.seen.photos_here) == 1
    assert f"<dd>{len(seen.seen.new_here)}</dd>" in page and "Read what is new" in page and "Their batches" not in page
    post(client, f"{PLACE}/read")
    asked.wait(20)
    page = client.get(PLACE).text
    name = theirs.state.slot(thing, "batch.planned").body.name
    assert f"{len(seen.seen.new_here)} records were read" in page and name in page
    assert "in no copy yet" not in page, "they share a part, so numbers between belong to what they keep"
    assert "Made and measured by" in page and "Nothing here counts as your own." in page

    page = client.get(f"{PLACE}/{thing}").text
    assert "Made and measured by" in page and "Weighed by them" in page and "g planned" in page
    assert client.get(f"{PLACE}/photo/{ulid(6_999)}").data == b"a photo"
    recipe = re.search(r'href="(/recipe\?text=[^"]+)"', page)
    assert recipe and "Not measured here." in client.get(recipe[1].replace("&amp;", "&")).text
    # None of it is the bench's own: no record, no batch, and nothing that the list or a search would find.
    assert len(journal.state.records) == before and not journal.state.exists(thing)
    assert client.get(f"/batch/{thing}").status_code == 404 and name not in client.get(f"/batches?q={first}").text
    assert asked.borrowed.workshops() == [BARN] and journal.safe.shortfall is None

    theirs.syncing.share(shelf, shared_ids(theirs.state, second))
    post(client, f"{PLACE}/read")
    asked.wait(20)
    both = asked.borrowed.count(BARN)
    assert both > len(seen.seen.new_here)
    assert "Undone." in post(client, f"{PLACE}/undo").text
    assert asked.borrowed.count(BARN) == len(seen.seen.new_here)
    post(client, f"{PLACE}/undo")
    assert asked.borrowed.count(BARN) == both, "undoing is undone in the same way"


def test_the_first_reading_is_undone_too(client: Any, barn: Any, asked: HubDesk) -> None:
    theirs, shelf = barn
    theirs.syncing.share(shelf, shared_ids(theirs.state, batches(theirs)[0][0]))
    asked.borrowed.take(BARN, shelf)
    assert asked.borrowed.count(BARN) and "Shared by others" in client.get("/backups/hub").text
    assert "Undone." in post(client, f"{PLACE}/undo").text, "without a hub too"
    assert asked.borrowed.workshops() == [] and client.get(PLACE).status_code == 404
    assert len(list((asked.borrowed.folder / "left").glob("*/saggar.json"))) == 1
    connect(client)
    asked.wait(20)
    assert "<h1>Shared by others</h1>" in post(client, "/backups/hub/shared/look").text
    asked.wait(20)
    assert client.get(PLACE).status_code == 200, "it shares, though nothing was read"
    assert "Nothing was read from there." in post(client, f"{PLACE}/undo").text


def test_only_the_laptop_reads_there(client: Any) -> None:
    answer = client.get("/backups/hub/shared", environ_overrides={"bench.door": "yard"})
    assert answer.status_code in (302, 403)
