"""An empty bench leads to its first weighed batch; the emergency number is asked where it is missed; Help is there."""

from typing import Any

from flask import Flask
from flask.testing import FlaskClient

from tests.screens.making import Making
from tests.workshop.builder import lines


def done(page: str) -> list[bool]:
    """Which of the first steps are ticked."""
    return ["#done" in part.split("</a>")[0] for part in page.split('class="first-step')[1:]]


def test_the_first_steps_are_ticked_one_by_one_and_go(app: Flask, keeper: Any, client: FlaskClient, send: Any) -> None:
    make = Making(app, keeper)
    assert done(client.get("/").text) == [False] * 5 and ">Set the emergency number</span>" in client.get("/").text
    assert (
        'href="/settings#emergency_number"' in client.get("/").text
        and 'id="emergency_number"' in client.get("/settings").text
    )
    assert send("/settings/emergency-number", emergency_number="no", back="/").status_code == 422
    assert send("/settings/emergency-number", emergency_number="", back="/").status_code == 422
    assert send("/settings/emergency-number", emergency_number="555 0100", back="/emergency").location == "/emergency"
    assert "Call 555 0100" in client.get("/emergency").text
    jar = make.jar("ZnO", "zinc-oxide")
    pages = [client.get(page).text for page in (f"/jar/{jar}", "/settings")]
    leads = [page.split('<footer class="actionbar"')[1] for page in pages]
    assert all("Add a crucible" in keys for keys in leads) and "Add another jar" in leads[0]
    assert "Plan a batch" in client.get(f"/crucible/{make.crucible()}").text
    assert done(client.get("/").text) == [True, True, True, False, False]
    thing = make.batch(lines(("ZnO", 5.0)), name="first")
    make.coded(thing, "8W95X0")
    page = client.get("/").text
    assert done(page) == [True] * 4 + [False] and "/print/tags?code=8W95X0" in page
    make.weigh(thing, 5.0)
    assert done(client.get("/").text) == []
    assert "Add a" not in client.get(f"/jar/{jar}").text


def test_the_number_is_asked_on_the_emergency_page_and_before_lighting_until_it_is_set(
    app: Flask, keeper: Any, client: FlaskClient
) -> None:
    make = Making(app, keeper)
    fire = make.firing(make.furnace())
    pages = ("/emergency", f"/firing/{fire}")
    assert all('name="emergency_number"' in client.get(page).text for page in pages)
    make.add("setting.changed", {"name": "emergency_number", "value": "555 0100"}, "0" * 26)
    assert not any('name="emergency_number"' in client.get(page).text for page in pages)


def test_help_leads_to_every_step_and_says_how_the_data_is_kept(client: FlaskClient) -> None:
    page = client.get("/help").text
    for words in ("Weigh", "Judge", "Back up", "Restore", "Uninstall", "certificate from each phone", "Hot surface"):
        assert words in page
    links = {part.split('"')[0] for part in page.split('class="due-row" href="')[1:]}
    assert len(links) >= 6 and all(client.get(link).status_code == 200 for link in links)
