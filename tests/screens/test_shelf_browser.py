"""The shelf, the vessels and the pages of things, as few benches have them, in a real Chromium: audited by day.

By night, and as they are at first, every page is audited on the demo's records, and every part in the gallery.
"""

from typing import Any

from tests.journal.test_pictures import taken
from tests.screens import looking
from tests.screens.making import Making
from tests.workshop.builder import lines

WALNUT = lines(("ZnO", 8.0), ("Fe2O3", 16.0))
TO_GO_TO = frozenset({"swatch", "photo"})
"""Where other tests begin: the demo has such pages too."""
BLOCKED = "/shelf/new?reagent=Rare&formula=Os2O3"


def bench_with_everything(make: Making) -> dict[str, str]:
    """A bench with a jar, a vessel, a furnace and a fired charge, and the address of each page."""
    jar = make.jar("CoCO3", "cobalt-ii-carbonate", net_g=100.0, hydrate_known=False, assay_pct=81.8, assay_sd_pct=17.0)
    make.coded(jar, "T5C7HJ")
    make.add("jar.assayed", {"before_g": 1.0, "after_g": 0.58, "at_c": 1000.0}, jar)
    make.add("jar.assayed", {"before_g": 1.0, "after_g": 0.9, "at_c": 300.0}, jar)
    vessel, other = make.crucible(mark="stamped 7"), make.crucible()
    make.coded(vessel, "7K3MQX")
    make.coded(other, "7K3MQX")
    batch = make.batch(WALNUT, name="Walnut")
    [first, _second] = make.weigh(batch, 8.0, 16.0)
    make.correct(first, net_g=8.04)
    twin = make.add("weighed", {"line": 2, "net_g": 16.4}, batch)
    charge = make.charge({"batch": batch, "g": 12.5}, crucible=vessel)
    furnace = make.furnace(layout="ring", places=6, lining_rated_c=800.0, name="Yard furnace")
    fire = make.firing(furnace, name="First brown")
    make.placed(charge, fire)
    make.add("lit", {"deviations": ["No CO alarm was tested."]}, fire)
    make.reading(fire, 903.0)
    make.lost(charge, 0.5)
    swatch = make.swatch(make.opened(charge))
    return {
        "which jar": "/shelf/new?reagent=cobalt",
        "a known jar": "/shelf/new?reagent=cobalt-ii-carbonate",
        "a blocked jar": BLOCKED,
        "a refused jar": "/shelf/new?reagent=K2Cr2O7",
        "jar": f"/jar/{jar}",
        "furnace": f"/furnace/{furnace}",
        "two things": "/find?code=7K3MQX",
        "swatch": f"/thing/{swatch}",
        "batch": f"/thing/{batch}",
        "firing": f"/thing/{fire}",
        "settle": f"/thing/{batch}/correct/{twin.id}",
        "correct a furnace": f"/thing/{furnace}/correct/{furnace}",
        "photo": f"/thing/{swatch}/photo",
    }


def test_every_page_can_be_read_and_hit(browser_page: Any, live: Any) -> None:
    """No finding of the audit, keys of 60 px, text of 18 px, nothing that sticks out."""
    paths = bench_with_everything(Making(live.app, live.keeper))
    found: list[str] = []
    for name, path in paths.items():
        if name in TO_GO_TO:
            continue
        browser_page.goto(path)
        wrong = [*looking.audit(browser_page), *map(str, looking.small_keys(browser_page, 60.0))]
        wrong += [*map(str, looking.small_text(browser_page)), *looking.overflow(browser_page)]
        found += [f"{name}: {one}" for one in wrong]
    assert not found, "\n".join(found)


def test_a_code_is_typed_on_the_keys(browser_page: Any, live: Any) -> None:
    """The keys hold only what a code can hold, and lead to the jar."""
    paths = bench_with_everything(Making(live.app, live.keeper))
    browser_page.goto("/find")
    for key in "T5C7HX":
        browser_page.locator(f"[data-key='{key}']").click()
    browser_page.locator("[data-key='del']").click()
    browser_page.locator("[data-key='J']").click()
    browser_page.locator(".plate").click()
    browser_page.wait_for_url(f"**{paths['jar']}")


def test_a_photo_is_taken_in(browser_page: Any, live: Any) -> None:
    """Chosen in the browser, kept, and shown on the page of its thing."""
    paths = bench_with_everything(Making(live.app, live.keeper))
    browser_page.goto(paths["photo"])
    browser_page.locator("#photo").set_input_files({"name": "a.jpg", "mimeType": "image/jpeg", "buffer": taken("JPEG")})
    browser_page.locator(".plate").click()
    browser_page.wait_for_url(f"**{paths['swatch']}")
    picture = browser_page.locator(".photos img")
    assert picture.evaluate("(e) => e.decode().then(() => e.naturalWidth)") == 61


def test_a_disagreement_is_settled_by_one_tap(browser_page: Any, live: Any) -> None:
    """From the page of the batch to the side that is right."""
    make = Making(live.app, live.keeper)
    paths = bench_with_everything(make)
    browser_page.goto(paths["batch"])
    browser_page.get_by_role("link", name="Resolve").click()
    browser_page.get_by_role("button", name="Take this one").nth(1).click()
    browser_page.wait_for_url(f"**{paths['batch']}")
    batch = paths["batch"].split("/")[2]
    assert make.state.slot(batch, "weighed", 2).body.net_g == 16.4 and not make.state.disagreements(batch)
