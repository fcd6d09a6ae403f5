"""What a maker asks afterwards, each asked of the screens from the first page on, by a hand whose taps are counted.

A tap is one on the bench's own page: the camera's shutter is the phone's. A frame that is dragged is no tap.
"""

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

import numpy as np

from tests.measure.figure import Figure
from tests.measure.pace_hand import Hand
from tests.science import simulated_camera as camera

MOST_TAPS: Final = 4
CARD: Final = [{"name": f"patch {n}", "lab": list(lab)} for n, lab in enumerate(camera.CARD, 1)]


def ready(bench: Any, folder: Path) -> Path:
    """The demo's bench with a colour card and a swatch of which there is no photo yet; and the photo that is taken."""
    from bench.demo import fill

    fill(bench)
    write = bench.journal.write
    write("colour.card", None, {"name": "own card", "patches": CARD, "columns": 4, "white": "D65"})
    pigment = bench.state.things("pigment")[-1]
    write("swatch.made", None, {"pigment": pigment, "binder": "linseed oil"})
    photo = folder / "photo.jpg"
    photo.write_bytes(camera.shot(np.random.default_rng(3), camera.CARD, 4).data)
    return photo


def figures(page: Any, bench: Any, photo: Path) -> list[Figure]:
    """The taps to each answer."""
    return [_figure(page, bench, photo, words, ask) for words, ask in QUESTIONS.items()]


def _figure(page: Any, bench: Any, photo: Path, words: str, ask: "Ask") -> Figure:
    hand = Hand(page)
    page.goto("/")
    ask(hand, bench, photo)
    took = hand.total()
    note = f"{took.characters} characters, {took.scrolls} scrolls"
    return Figure(f"taps: {words}", took.taps, "", f"at most {MOST_TAPS}", took.taps <= MOST_TAPS, note)


def _says(hand: Hand, *words: str) -> None:
    text = hand.page.locator("body").inner_text()
    missing = [one for one in words if one not in text]
    assert not missing, f"{hand.page.url}: nothing says {missing}"


def _go(hand: Hand, *paths: str) -> None:
    for path in paths:
        hand.tap(f"main a[href^='{path}'], header a[href^='{path}'], nav a[href^='{path}']")


def which_went_wrong(hand: Hand, _bench: Any, _photo: Path) -> None:
    """Which show a sign, and what goes with it."""
    _go(hand, "/swatches", "/signs", "/signs?sign=")
    _says(hand, "These show it", "Cannot tell")


def what_differed(hand: Hand, _bench: Any, _photo: Path) -> None:
    """What differs between two swatches, and how far their colours lie apart."""
    _go(hand, "/swatches")
    for n in (0, 2):
        hand.tap(f"label:has(input[name^='pick.']) >> nth={n}")
    hand.plate("Compare")
    _says(hand, "What differed")


def make_it_again(hand: Hand, bench: Any, _photo: Path) -> None:
    """The last one again, with today's jars, kept as a plan."""
    before = len(bench.state.things("batch"))
    _go(hand, "/plan")
    hand.tap("main a[href$='/again'] >> nth=2")
    hand.main()
    assert len(bench.state.things("batch")) == before + 1, hand.page.url


def how_much_is_left(hand: Hand, _bench: Any, _photo: Path) -> None:
    """Grams of an element over all jars."""
    _go(hand, "/shelf", "/shelf/elements")
    _says(hand, "zinc", "172.49 g")


def what_it_cost(hand: Hand, _bench: Any, _photo: Path) -> None:
    """What a batch cost, and a gram of it."""
    _go(hand, "/batches")
    hand.tap("main a[href^='/batch/'] >> nth=3")
    _says(hand, "Reagents cost", "a gram")


def show_a_friend(hand: Hand, _bench: Any, _photo: Path) -> None:
    """A swatch as a picture to send."""
    _go(hand, "/swatches", "/swatch/", "/show?pick.")
    with hand.page.expect_event("response", lambda one: "/show/sheet.png" in one.url):
        hand.tap(".actionbar button[formaction='/show/sheet.png']")


def everything_as_csv(hand: Hand, _bench: Any, _photo: Path) -> None:
    """The batches as a table."""
    _go(hand, "/settings", "/take")
    with hand.page.expect_download() as taken:
        _go(hand, "/take/batches.csv")
    assert b"weighed [g]" in Path(taken.value.path()).read_bytes()


def what_next(hand: Hand, _bench: Any, _photo: Path) -> None:
    """What to try with a powder that was judged."""
    _go(hand, "/pigment/")
    if "What to try next" not in hand.page.locator("body").inner_text():
        _go(hand, "/")
    _says(hand, "What to try next")


def what_colour(hand: Hand, bench: Any, photo: Path) -> None:
    """The colour of a swatch by a photo that is taken now, kept."""
    thing = bench.state.things("swatch")[-1]
    _go(hand, "/swatches", f"/swatch/{thing}")
    with hand.page.expect_file_chooser() as asked:
        hand.tap(".actionbar label.plate")
    asked.value.set_files(photo)
    hand.page.wait_for_url(f"**/swatch/{thing}/colour")
    for what, box in (("card", camera.CARD_BOX), ("swatch", camera.SWATCH_BOX)):
        drag(hand.page, what, [(1000 * x / camera.WIDE, 1000 * y / camera.WIDE) for x, y in camera.corners(box)])
    hand.plate("Save the colour")
    assert bench.state.own(thing, "swatch.measured"), hand.page.url


def drag(page: Any, what: str, corners: list[tuple[float, float]]) -> None:
    """Each corner of a frame to its place; then the colour is worked out."""
    drawing = page.locator("[data-marking]")
    for n, (x, y) in enumerate(corners):
        handle = page.locator(f"[data-mark='{what}'] circle >> nth={n}")
        handle.scroll_into_view_if_needed()
        box, at = drawing.bounding_box(), handle.bounding_box()
        scale = box["width"] / 1000
        with page.expect_response(lambda one: one.request.method == "POST" and one.url.endswith("/colour")):
            page.mouse.move(at["x"] + at["width"] / 2, at["y"] + at["height"] / 2)
            page.mouse.down()
            page.mouse.move(box["x"] + x * scale, box["y"] + y * scale, steps=3)
            page.mouse.up()
    page.wait_for_timeout(300)


def what_grams_become(hand: Hand, _bench: Any, _photo: Path) -> None:
    """What these grams can become."""
    _go(hand, "/plan", "/plan/grams")
    hand.type("mixture", "ZnO 8; Fe2O3 16")
    hand.plate("Calculate")
    _says(hand, "can become")


Ask = Callable[[Hand, Any, Path], None]
QUESTIONS: Final[Mapping[str, Ask]] = {
    "which went wrong, and what goes with it": which_went_wrong,
    "what differed between two": what_differed,
    "make it again with today's jars": make_it_again,
    "how much of an element is left": how_much_is_left,
    "what a batch cost": what_it_cost,
    "show a friend": show_a_friend,
    "everything as CSV": everything_as_csv,
    "what next": what_next,
    "the colour by a photo taken now": what_colour,
    "what these grams become": what_grams_become,
}
