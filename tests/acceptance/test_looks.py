"""Every page on the demo's records, looked at in a real browser 360 px wide, by day and by night.

No finding of the accessibility audit, keys that a gloved finger hits, texts that can be read, nothing that sticks out
sideways, and nothing that the policy had to block.
"""

import time
from collections.abc import Iterator
from typing import Any

import pytest
from flask import Flask

from bench.demo import fill
from tests.acceptance.addresses import addresses, few
from tests.screens import looking

STEPS = {
    *("weigh", "weigh_jar", "grind", "dry", "load", "place", "cool", "opening", "washing", "regrinding", "swatching"),
    *("firing", "firing_checks", "firing_end", "firing_heat", "firing_map", "firing_move", "firing_new", "firing_note"),
    *("firing_reading", "judging"),
}
STEP_PX, KEY_PX, TALL_PX = 64.0, 60.0, 1600
TALL: dict[str, int] = {
    # all of it is done in an emergency, and stands open under an index
    "first_aid.show": 4100,
    # checks and cautions of the powder stand open beside the form
    "swatching.ask": 2000, "regrinding.ask_grind": 2050, "stepping.ask_sieve_pigment": 2250, "washing.ask": 2100,
    "judging.ask": 2050, "firing_checks.check_list": 1800, "grind.ask": 1800, "dry.ask_dish": 1800,
    "weigh_jar.ask": 1750,
    # a form with many answers at once
    "plan.ask": 2100, "correct.ask": 2100, "settings.show": 1700,
    # a thing or a list with all that leads on from it
    "batch.show": 2150, "charge.show": 1750, "firing.show": 2300, "furnaces.one": 1750, "help.show": 1750,
    "jar.show": 1700, "known.card": 1700, "known.gases": 2000, "known.reagent": 1800, "known.target": 2000,
    "pigment.show": 1750, "series.show": 2100, "series_sheet.show": 2100,
    "swatches.home": 1850, "thing.show": 1700, "today.home": 1950,
}  # fmt: skip
"""Pages taller than two phone screens, each with its bound in px: it may shrink, and grows only with a reason. Whatever
is taller folds what is secondary, or lets one search."""
FOLDED = "main details:not([open]), main input[type=search], main .seekbar"
MANY = frozenset(
    {"batch.show", "charge.show", "firing.show", "pigment.show", "thing.show", "known.target", "find.show"}
)
"""Pages that look different in each state of their thing; of the others, one is enough."""
AT_WORK = frozenset({"dry.ask_dish", "grind.ask", "weigh_jar.ask"})
"""Forms of the batch that the demo began last; those before it only show what was done."""
PAPER = (
    "/print/tags",
    "/print/calibrate/page",
    "/print/load-cards",
    "/print/labels",
    "/print/shelf",
    "/print/sheet",
    "/print/record",
)
"""Sheets in their true size, for the printer: no finger and no small screen."""
BARE = "page-has-heading-one"
"""A sheet of tags has no words but its codes."""
BEYOND = (
    "() => [...document.querySelectorAll('.paper-keys :is(a, button, select)')]"
    ".filter((key) => key.getBoundingClientRect().right > innerWidth).map((key) => key.textContent.trim())"
)
"""The keys of a printed page that lie outside the window."""


@pytest.mark.parametrize("half", [0, 1])
def test_every_page_can_be_read_and_hit(browser_page: Any, live: Any, half: int) -> None:
    fill(live.app.extensions["bench"])
    browser_page.add_init_script(looking.AUDITOR)  # once for all pages
    browser_page.add_init_script(looking.SHIFTS)
    complaints: list[str] = []
    browser_page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
    browser_page.on("pageerror", lambda error: complaints.append(str(error)))
    found: list[str] = []
    for endpoint, paths in sorted(addresses(live.app).items())[half::2]:
        for path in few(paths, 2) if endpoint in MANY else paths[-1:] if endpoint in AT_WORK else paths[:1]:
            if live.app.test_client().get(path, follow_redirects=True).mimetype != "text/html":
                continue
            answer = browser_page.goto(path)
            if answer.status == 404 and path.endswith(("/lost", "/close")):
                complaints.clear()
                continue
            least = STEP_PX if endpoint.split(".")[0] in STEPS else KEY_PX
            wrong = on_paper(browser_page) if path.startswith(PAPER) else on_screen(browser_page, endpoint, least)
            wrong += [f"status {answer.status}"] if answer.status != 200 else []
            found += [f"{path}: {one}" for one in (*wrong, *complaints)]
            complaints.clear()
    assert not found, "\n".join(found)


def on_screen(page: Any, endpoint: str, least: float) -> list[str]:
    """How tall the page is as it opens, and what is wrong with it when all is unfolded."""
    tall, folds = looking.height(page), page.locator(FOLDED).count()
    wrong = [f"{tall} px tall"] if tall > TALL.get(endpoint, TALL_PX) else []
    wrong += ["tall, with nothing folded"] if tall > TALL_PX and not folds else []
    wrong += [*looking.half_hidden(page), *looking.broken_words(page), *looking.bar_sideways(page)]
    if endpoint != "find.show" and moved(page):  # there the camera's picture comes
        page.reload()  # on a busy computer a page may be painted before its scripts: what moves by itself moves again
        wrong += moved(page)
    page.evaluate(looking.UNFOLD)
    return wrong + looking.findings(page, (360,), least)


def test_nothing_is_painted_before_the_whole_page_has_come(browser_page: Any, live: Any) -> None:
    """Else what stands at the foot is seen at once, and moves away as the rest comes: half of *Today* is held back."""
    fill(live.app.extensions["bench"])
    whole = live.app.wsgi_app

    def halves(body: bytes) -> Iterator[bytes]:
        yield body[: len(body) // 2]
        time.sleep(0.4)
        yield body[len(body) // 2 :]

    def in_two(environ: Any, start: Any) -> Any:
        answer = whole(environ, start)
        return answer if environ["PATH_INFO"] != "/" else halves(b"".join(answer))

    live.app.wsgi_app = in_two
    browser_page.add_init_script(looking.SHIFTS)
    browser_page.goto("/")
    browser_page.wait_for_function("performance.getEntriesByName('first-contentful-paint').length")
    came, ended, painted = browser_page.evaluate(CAME_AND_PAINTED)
    assert ended - came > 300, "it came in one"
    assert painted > ended
    assert not moved(browser_page)


CAME_AND_PAINTED = """() => {
  const [page] = performance.getEntriesByType('navigation');
  return [page.responseStart, page.responseEnd, performance.getEntriesByName('first-contentful-paint')[0].startTime];
}"""
"""When a page began to come, when it had come, and when it was first painted, in ms."""


def on_paper(page: Any) -> list[str]:
    """What the audit finds on a printed sheet as a browser shows it."""
    found = [one for one in looking.audit(page) if not one.startswith(BARE)]
    page.set_viewport_size({"width": 360, "height": 740})
    return found + [f"outside the window: {key}" for key in page.evaluate(BEYOND)]


def keypads(app: Flask) -> dict[str, str]:
    """A page of each sort that has a keypad, by its endpoint; not the one that the camera's picture stands over."""
    found: dict[str, str] = {}
    for endpoint, paths in addresses(app).items():
        for path in few(paths, 4):
            if (
                endpoint.startswith(("look", "find"))
                or path.startswith(("/print", "/take", "/photo"))
                or endpoint in found
            ):
                continue
            if "data-keypad" in app.test_client().get(path, follow_redirects=True).text:
                found[endpoint] = path
    return found


@pytest.mark.long
@pytest.mark.parametrize("size", [(360, 740), (360, 640), (740, 360)])
def test_a_keypad_stays_put_also_where_its_field_was_refused(
    browser_page: Any, live: Any, size: tuple[int, int]
) -> None:
    """As it opens and as it is refused: no key half under the bar, and nothing moves by more than 0.02 of a glass."""
    page, found = browser_page, []
    fill(live.app.extensions["bench"])
    page.set_viewport_size(dict(zip(("width", "height"), size, strict=True)))
    page.add_init_script(looking.SHIFTS)
    pages = keypads(live.app)
    assert {"weigh.line", "dry.ask_dish", "firing_note.ask_timer", "checking_balance.ask"} <= pages.keys()
    for endpoint, path in pages.items():
        page.goto(path)
        page.wait_for_load_state("networkidle")
        found += [f"{endpoint}: {one}" for one in (*looking.half_hidden(page), *moved(page))]
        if page.evaluate(REFUSE):
            page.wait_for_selector("body[data-refused]")
            page.wait_for_load_state("networkidle")
            hidden = [] if (endpoint, size) in CUT_STILL else looking.half_hidden(page)
            found += [f"{endpoint}, refused: {one}" for one in (*hidden, *moved(page))]
    assert not found, "\n".join(found)


CUT_STILL = {("stepping.ask_sieve_pigment", (740, 360))}
"""Two fields of which the other one was refused: its sentence leaves a row of the keypad cut."""

REFUSE = """() => {
  const field = [...document.querySelectorAll('main input[data-keypad]')].find((one) => one.offsetParent);
  if (!field) return false;
  field.value = 'seven';
  const key = document.querySelector('footer .plate');
  field.form.requestSubmit(key && key.form === field.form ? key : null);
  return true;
}"""
"""Sends the form of a keypad with a word in its field."""


def moved(page: Any, most: float = 0.02) -> list[str]:
    """How far the page moved by itself, where that is too far."""
    shifted = float(page.evaluate("window.shifted"))
    return [f"moved by {shifted:.3f}"] if shifted > most else []
