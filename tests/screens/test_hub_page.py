"""The page of the hub: connects, says what is known so far, shows no address and no password, and waits for nobody."""

import threading
from typing import Any

import pytest

from bench.journal.hub.desk import HubDesk, Told
from bench.journal.hub.link import AWAY
from bench.journal.syncing import Difference, Synced
from tests.measure import bulk
from tests.measure.hub_server import free_port

SECRET = "between us 7"


def post(client: Any, path: str, **fields: str) -> Any:
    from tests.conftest import TOKEN

    token = TOKEN.search(client.get("/").text)
    assert token
    return client.post(path, data={"token": token[1], **fields}, follow_redirects=True)


def connect(client: Any, **other: str) -> Any:
    fields = {"address": f"127.0.0.1:{free_port()}", "login": "yard_1", "password": SECRET, "certificate": ""}
    return post(client, "/backups/hub", **{**fields, **other})


@pytest.mark.parametrize(
    ("field", "value", "say"),
    [
        ("address", "", "Type the hub’s address like"),
        ("address", "https://hub.example/", "Type the hub’s address like"),
        ("address", "hub.example:99999", "Type the hub’s address like"),
        ("login", "", "Type the login that"),
        ("login", "two words", "It has no spaces"),
        ("password", "", "Type the password that"),
        ("password", "x" * 201, "at most 200 fit here"),
        ("password", "a\x07b", "The text has a control character"),
        ("certificate", "no/such/file", "There is no certificate in that file"),
    ],
)
def test_what_cannot_be_a_hub_is_refused_beside_its_field(client: Any, field: str, value: str, say: str) -> None:
    answer = connect(client, **{field: value})
    assert answer.status_code == 422 and f'id="{field}-no"' in answer.text and say in answer.text
    assert SECRET not in answer.text and ("yard_1" in answer.text) == (field != "login")
    assert client.application.extensions["bench"].journal.hub.address is None


def test_a_hub_is_connected_its_secrets_are_never_shown_and_it_is_removed(client: Any) -> None:
    hub = client.application.extensions["bench"].journal.hub
    page = connect(client).text
    assert "Hub saved" in page and hub.address is not None and SECRET not in repr(hub.address)
    hub.wait(20)
    page = client.get("/backups/hub").text
    assert AWAY in page and "http-equiv" not in page
    assert SECRET not in page and "yard_1" not in page and "127.0.0.1" not in page
    assert post(client, "/backups/hub/without").status_code == 200 and hub.address is None
    assert 'name="password"' in client.get("/backups/hub").text


def test_what_each_side_lacks_and_what_was_brought_is_said(client: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    hub = client.application.extensions["bench"].journal.hub
    seen = Difference({b"1", b"2"}, {b"3"}, 1, [("a", "b")])
    answers = {
        "look": Told(seen=seen, at_ms=0, sentences=("This computer’s clock is 9 hours behind the hub’s.",)),
        "bring": Told(done=Synced(2, 1, 1, sentences=["Of bench-2 numbers 1 to 3 are in no copy yet."]), at_ms=0),
    }
    monkeypatch.setattr(HubDesk, "_answer", lambda _, what, *__: answers[what])
    connect(client)
    hub.wait(20)
    page = client.get("/backups/hub").text
    assert "New here, records" in page and "No record is on both sides" in page and "9 hours behind" in page
    assert "Both records of a disagreement are kept" in page
    post(client, "/backups/hub/now")
    hub.wait(20)
    page = client.get("/backups/hub").text
    assert "Here: 2 records, 1 photos or files. There: 1 records, 0 photos or files." in page
    assert "are in no copy yet" in page


def test_a_batch_is_shared_by_its_code_after_its_words(client: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    journal = client.application.extensions["bench"].journal
    given: list[tuple[str, ...]] = []

    def shares(_: object, what: str, __: object, ids: tuple[str, ...]) -> Told:
        given.append(ids)
        return Told(shared=len(ids), at_ms=0) if what == "share" else Told(others={"Barn": 7}, seen=Difference())

    monkeypatch.setattr(HubDesk, "_answer", shares)
    assert post(client, "/backups/hub/share", code="ABC").status_code == 200, "without a hub there is nothing to do"
    connect(client)
    journal.hub.wait(20)
    page = client.get("/backups/hub").text
    assert "Shared by others" in page and "You cannot take it back." in page and given == [()]
    assert "Barn" in client.get("/backups/hub/shared").text
    answer = post(client, "/backups/hub/share", code="ABC")
    assert answer.status_code == 422 and 'id="code-no"' in answer.text and "6 characters" in answer.text
    assert "No batch has this code" in post(client, "/backups/hub/share", code=bulk.code(99_999)).text
    journal.merge({"id": identity, **doc} for identity, doc in bulk.records(120))
    things = ((code, thing) for code in journal.state.codes for thing in journal.state.things_with(code))
    code, batch = next((code, thing) for code, thing in things if journal.state.kind_of[thing] == "batch")
    post(client, "/backups/hub/share", code=code)
    journal.hub.wait(20)
    assert {record.id for record in journal.records(batch)} <= set(given[-1])
    assert f"{len(given[-1])} records" in client.get("/backups/hub").text


def test_while_the_hub_is_silent_the_page_says_so_and_looks_again_by_itself(
    client: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    answered = threading.Event()

    def silent(*_: object) -> Told:
        answered.wait(20)
        return Told(trouble="of the hub that was removed")

    monkeypatch.setattr(HubDesk, "_answer", silent)
    page = connect(client).text
    assert "Asking the hub" in page and 'http-equiv="refresh"' in page
    assert client.get("/").status_code == 200
    post(client, "/backups/hub/without")
    answered.set()
    hub = client.application.extensions["bench"].journal.hub
    hub.stop()
    for thread in threading.enumerate():
        if thread.name == "bench-hub":
            thread.join(20)
    assert hub.told == Told(), "what comes late from a hub that was removed is not shown"


def test_only_the_laptop_speaks_with_the_hub(client: Any) -> None:
    assert client.get("/backups/hub", environ_overrides={"bench.door": "yard"}).status_code in (302, 403)
