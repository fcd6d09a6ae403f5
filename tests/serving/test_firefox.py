"""The phone out of reach in a second browser: Firefox, over a connection that it trusts."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.serving.away import Laptop, free_port
from tests.serving.conftest import NAME
from tests.serving.firefox import Firefox, firefox_path

WAITS = "return document.querySelector('[data-outbox-words]')?.textContent.includes('{} waiting')"
READY = "return document.querySelector('[data-ready]')?.textContent.includes('Ready offline')"
DONE = "return document.querySelector('[data-outbox-words]')?.textContent === 'All on the laptop'"


@pytest.fixture
def laptop(tmp_path: Path) -> Iterator[Laptop]:
    made = Laptop(tmp_path / "killable", free_port())
    made.start()
    yield made
    made.kill()


@pytest.fixture
def firefox(laptop: Laptop, tmp_path: Path) -> Iterator[Firefox]:
    """A Firefox that trusts the laptop's bench."""
    path = firefox_path()
    if path is None or shutil.which("certutil") is None:
        pytest.skip("Firefox (package firefox-esr) or certutil (package libnss3-tools) is not installed.")
    made = Firefox(path, tmp_path / "home" / "profile", f"https://{NAME}:{laptop.port}", NAME)
    made.trust(laptop.data / "keys" / "authority.crt")
    made.start()
    yield made
    made.stop()


def test_readings_of_a_fire_with_the_laptop_off_are_each_on_it_once_afterwards(
    laptop: Laptop, firefox: Firefox
) -> None:
    firefox.go(f"/pair?code={laptop.code}")
    firefox.type_in("#name", "kiln")
    firefox.tap("button.plate")
    firefox.until(READY)
    laptop.kill()

    for n, c in enumerate(("410", "455", "498"), 1):
        firefox.go(f"/firing/{laptop.firing}/reading?other=1")
        assert firefox.say("return document.body.dataset.stored"), "the page is the phone's own"
        firefox.type_in("#c", c)
        firefox.tap("label:has([name=unit][value=C])")
        firefox.tap(".actionbar .plate")
        # It counts on the page of the form already: what is opened before the next page is there would lose to it.
        firefox.until(f"return location.pathname === '/firing/{laptop.firing}'")
        firefox.until(WAITS.format(n))
    firefox.until(f"return location.pathname === '/firing/{laptop.firing}' && document.body.innerText.includes('498')")
    firefox.stop()
    firefox.start()
    firefox.go("/outbox")
    firefox.until(WAITS.format(3))

    laptop.start()
    firefox.until(DONE)
    assert [r["data"]["c"] for r in laptop.records() if r["kind"] == "reading"] == [410, 455, 498]
