"""The scanner in a real browser: a tag before the camera, with the laptop and without; hundreds of damaged tags."""

import base64
import io
import math
import random
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageDraw, ImageFilter
from playwright.sync_api import expect
from qrcode.constants import ERROR_CORRECT_H
from qrcode.main import QRCode

from bench.records.moments import to_ms, utc_text
from bench.science.codes import code_of

CODE = "7K3MQX"


def tag(code: str, module: int = 8, version: int = 2) -> Image.Image:
    """A tag's symbol with its quiet zone."""
    qr = QRCode(version=version, error_correction=ERROR_CORRECT_H, border=4, box_size=module)
    qr.add_data(code)
    qr.make(fit=False)
    return qr.make_image().get_image().convert("L")


def film(path: Path, code: str) -> Path:
    """A short film of a tag that is held before a camera: JPEG pictures one after the other."""
    picture = Image.new("L", (640, 480), 150)
    symbol = tag(code, 7)
    picture.paste(symbol, ((640 - symbol.width) // 2, (480 - symbol.height) // 2))
    out = io.BytesIO()
    for n in range(30):
        picture.rotate(n % 5 - 2, fillcolor=150).convert("RGB").save(out, "JPEG", quality=80)
    path.write_bytes(out.getvalue())
    return path


def a_code(n: int) -> str:
    """The nth code that can be issued."""
    while True:
        found = code_of(n * 7919 % 32**5)
        if found:
            return found
        n += 1


def camera(path: Path) -> list[str]:
    return [
        "--use-fake-ui-for-media-stream",
        "--use-fake-device-for-media-stream",
        f"--use-file-for-fake-video-capture={path}",
    ]


@pytest.fixture
def phone(opened: Any, settings: Any, phone_of: Any, tmp_path: Path) -> Any:
    """A paired phone before whose camera a tag is held that a jar bears."""
    made = before_the_camera(opened, settings, phone_of, tmp_path)
    made.jar = bear(opened, made.code, "jar.opened", {"reagent": "zinc-oxide", "formula": "ZnO", "net_g": 500.0})
    return made


@pytest.fixture
def at_the_fire(opened: Any, settings: Any, phone_of: Any, tmp_path: Path) -> Any:
    """As `phone`, but a crucible bears the tag; it tells when it sounded and when it shook."""
    made = before_the_camera(opened, settings, phone_of, tmp_path)
    made.pot = bear(opened, made.code, "crucible.added", {"ware": "alumina-99", "volume_ml": 40, "rated_c": 1650})
    made.context.add_init_script(
        "const tell = (what) => sessionStorage.setItem(what, Number(sessionStorage.getItem(what)) + 1);"
        "navigator.vibrate = () => { tell('shaken'); return true; };"
        "const start = OscillatorNode.prototype.start;"
        "OscillatorNode.prototype.start = function (...at) { tell('sounded'); return start.apply(this, at); };"
    )
    return made


def before_the_camera(opened: Any, settings: Any, phone_of: Any, tmp_path: Path) -> Any:
    """A paired phone with a tag before its camera that nothing bears yet."""
    code = a_code(41)
    port = opened.workshop.network.tls_port
    made = phone_of(settings.keys / "authority.crt", port, camera(film(tmp_path / "tag.mjpeg", code)))
    page = made.start()
    made.pair(opened.app, page)
    made.page, made.code = page, code
    return made


def bear(opened: Any, code: str, kind: str, data: dict[str, Any]) -> str:
    """A new thing that bears a code."""
    journal = opened.app.extensions["bench"].journal
    thing: str = journal.write(kind, None, data).id
    journal.write("code.assigned", thing, {"code": code, "thing": thing})
    return thing


def test_a_tag_before_the_camera_opens_its_thing_near_and_away(phone: Any) -> None:
    page = phone.page
    blocked: list[str] = []
    page.on("console", lambda said: blocked.append(said.text) if "Content Security" in said.text else None)
    expect(page.locator("[data-ready]")).to_contain_text("Ready offline", timeout=20_000)
    page.goto("/find")
    page.click("[data-scan-start]")
    page.wait_for_url(f"**/jar/{phone.jar}", timeout=15_000)
    phone.context.set_offline(True)
    page.goto("/find")
    page.click("[data-scan-start]")
    page.wait_for_url(f"**/jar/{phone.jar}", timeout=15_000)
    expect(page.locator("h1")).to_have_text("zinc oxide")
    expect(page.locator(".stored-copy")).to_be_visible()
    assert not blocked


def test_a_photo_is_read_on_the_phone(phone: Any, tmp_path: Path) -> None:
    page = phone.page
    picture = Image.new("L", (2000, 1500), 180)
    picture.paste(tag(phone.code, 14), (500, 300))
    picture.save(tmp_path / "photo.png")
    page.goto("/find")
    if page.locator("#by-photo").count() == 0:
        pytest.skip("The laptop's own reader of photos is not installed here.")
    page.set_input_files("#by-photo input[type=file]", str(tmp_path / "photo.png"))
    page.wait_for_url(f"**/jar/{phone.jar}", timeout=15_000)


def damaged(n: int, chance: random.Random) -> tuple[str, Image.Image]:
    """A tag as it comes back from a furnace's yard, photographed in a hurry: a single frame."""
    code = a_code(n)
    width = chance.choice((100, 130, 170))  # of the frame's 480: held a hand's breadth too far off, as tags are
    symbol = tag(code, 8, chance.choice((1, 2))).resize((width, width), Image.Resampling.BOX)
    pen = ImageDraw.Draw(symbol)
    side = symbol.width
    for _ in range(chance.randint(0, 2)):
        share = math.sqrt(chance.uniform(0, 0.06) / 2)
        x, y = chance.uniform(0.15, 0.8) * side, chance.uniform(0.15, 0.8) * side
        pen.ellipse((x, y, x + share * side, y + share * side), fill=chance.choice((40, 90, 200)))
    scorch = Image.linear_gradient("L").resize(symbol.size).rotate(chance.choice((0, 90, 180, 270)))
    symbol = Image.blend(
        symbol, Image.composite(symbol, Image.new("L", symbol.size, 90), scorch), chance.uniform(0, 0.6)
    )
    frame = Image.new("L", (480, 480), chance.randint(110, 200))
    frame.paste(symbol, ((480 - side) // 2, (480 - side) // 2))
    frame = frame.rotate(chance.uniform(0, 360), Image.Resampling.BILINEAR, fillcolor=150)
    tilt = math.cos(math.radians(chance.uniform(0, 42)))
    frame = frame.transform(
        (480, 480), Image.Transform.PERSPECTIVE, tilted(tilt), Image.Resampling.BILINEAR, fillcolor=150
    )
    frame = frame.filter(ImageFilter.GaussianBlur(chance.uniform(0.4, 2.2)))
    low, high = chance.uniform(0, 60), chance.uniform(140, 255)
    frame = frame.point([round(low + (high - low) * v / 255) for v in range(256)])
    return code, frame


def tilted(share: float) -> tuple[float, ...]:
    """Coefficients of a tilt about the upright axis: the far side is smaller, and all is narrower."""
    lean = (1 - share) * 0.0012
    return (1 / share + lean * 240, 0, -240 * (1 / share - 1) - lean * 240 * 240, lean * 240, 1, -lean * 240 * 240,
            lean, 0, 1 - lean * 240)  # fmt: skip


def as_data(frame: Image.Image, quality: int) -> str:
    out = io.BytesIO()
    frame.save(out, "JPEG", quality=quality)
    return "data:image/jpeg;base64," + base64.b64encode(out.getvalue()).decode()


READ = """async (frames) => {
  const { decode, FOREIGN } = await import('/static/decode.js');
  const found = [];
  for (const data of frames) {
    const image = new Image();
    image.src = data;
    await image.decode();
    const one = await decode(image, image.width, image.height, false, ['whole']);
    const all = one && one !== FOREIGN ? one : await decode(image, image.width, image.height, true);
    found.push([one, all]);
  }
  return found;
}"""


@pytest.mark.parametrize("count", [96, pytest.param(320, marks=pytest.mark.long)])
def test_all_readers_together_read_more_damaged_tags_than_one_and_none_wrongly(phone: Any, count: int) -> None:
    """Single frames: rotation, tilt to 42 degrees, blur, scorch, smear to 6 %, weak light, JPEG."""
    chance = random.Random(20260301)
    made = [damaged(n, chance) for n in range(count)]
    frames = [as_data(frame, chance.randint(30, 90)) for _, frame in made]
    phone.page.goto("/find")
    found = []
    for start in range(0, len(frames), 40):
        found += phone.page.evaluate(READ, frames[start : start + 40])
    one = sum(a == code for (code, _), (a, _b) in zip(made, found, strict=True))
    every = sum(b == code for (code, _), (_a, b) in zip(made, found, strict=True))
    for (code, _), read in zip(made, found, strict=True):
        assert set(read) <= {None, "foreign", code}, "nothing may ever be read wrongly"
    assert (every - one) / len(made) >= 0.15, (one, every)


def test_a_scan_at_a_step_answers_by_what_is_asked_for_there(phone: Any, opened: Any) -> None:
    """At another jar's weighing it says so; at its own it fills the field, and the plate is next."""
    page = phone.page
    journal = opened.app.extensions["bench"].journal
    other = a_code(77)
    jar = journal.write("jar.opened", None, {"reagent": "quartz", "formula": "SiO2", "net_g": 500.0}).id
    journal.write("code.assigned", jar, {"code": other, "thing": jar})
    lines = [
        {"line": 1, "formula": "ZnO", "target_g": 5.0, "jar": phone.jar},
        {"line": 2, "formula": "SiO2", "target_g": 5.0, "jar": jar},
    ]
    batch = journal.write("batch.planned", None, {"name": "White", "from": "grams", "lines": lines}).id
    page.goto("/")
    expect(page.locator("[data-ready]")).to_contain_text("Ready offline", timeout=30_000)
    phone.context.add_init_script(
        "globalThis.shaken = 0; navigator.vibrate = () => { sessionStorage.setItem('shaken', '1'); return true; };"
    )
    for line, right in ((1, True), (2, False)):
        page.goto(f"/batch/{batch}/weigh/{line}?late=1")
        page.locator(".jar-fold > summary").click()
        page.locator(".scan-key").first.click()
        page.wait_for_url("**/find#**")
        page.click("[data-scan-start]")
        page.wait_for_url(f"**/weigh/{line}?late=1", timeout=20_000)
        expect(page.locator("[name=jar]")).to_have_value(phone.code)
        said = page.locator(".complaint[role=alert]")
        if right:
            expect(said).to_have_count(0)
            expect(page.locator(".actionbar .plate")).to_be_focused()
        else:
            expect(said).to_contain_text("is not asked for here")
            expect(said).to_contain_text(f"{phone.code[:5]}\u2011{phone.code[5]}")
    assert page.evaluate("() => sessionStorage.getItem('shaken')") == "1"


def test_a_scan_at_loading_and_on_the_way_in_answers_at_once(at_the_fire: Any, opened: Any) -> None:
    """The crucible to fill, and the one that goes in: with a sound and a shake, and the plate is next."""
    page, code = at_the_fire.page, at_the_fire.code
    journal = opened.app.extensions["bench"].journal
    write = journal.write
    lines = [{"line": 1, "formula": "ZnO", "target_g": 5.0}]
    batch = write("batch.planned", None, {"name": "White", "from": "grams", "lines": lines}).id
    write("weighed", batch, {"line": 1, "net_g": 5.0})
    box = {"name": "Box", "fuel": "electric", "layout": "grid", "tiers": 1, "rows": 2, "columns": 2}
    furnace = write("furnace.described", None, {**box, "volume_l": 8, "place": "roofed"}).id
    plan = {"furnace": furnace, "segments": [{"to_c": 900, "rate_c_per_h": 300, "hold_min": 60}]}
    fire = write("firing.planned", None, plan).id

    scan(at_the_fire, f"/batch/{batch}/load?late=1")
    expect(page.locator("[name=code]")).to_have_value(code)
    expect(page.locator(".complaint[role=alert]")).to_have_count(0)

    filled(write, batch, at_the_fire.pot, fire, 1)
    write("lit", fire, {"deviations": []})
    scan(at_the_fire, f"/firing/{fire}/in")
    expect(page.locator("[name=code]")).to_have_value(code)
    expect(page.locator(".complaint[role=alert]")).to_have_count(0)
    expect(page.locator(".actionbar .plate")).to_be_focused()

    told = page.evaluate("() => [sessionStorage.getItem('sounded'), sessionStorage.getItem('shaken')].map(Number)")
    assert told[0] == 2 and told[1] >= 2, "the overdue reading of the fire shakes too"


def scan(phone: Any, path: str, then: str | None = None) -> None:
    """From a step to the scanner and back, or on to `then`."""
    phone.page.goto(path)
    phone.page.locator(".scan-key").first.click()
    phone.page.wait_for_url("**/find#**")
    phone.page.click("[data-scan-start]")
    phone.page.wait_for_url(f"**{then or path}", timeout=20_000)


def filled(write: Any, batch: str, pot: str, fire: str, place: int) -> str:
    """A charge of the batch in a crucible, dried for an hour between two weighings, placed in a firing."""
    data = {"crucible": pot, "sources": [{"batch": batch, "g": 1.0}], "lid": "loose"}
    ago = [utc_text(to_ms(datetime.now(UTC)) - hours * 3_600_000) for hours in (4, 2, 1)]
    charge: str = write("charged", None, data, happened_at=ago[0]).id
    for weighed in ago[1:]:
        write("dried", charge, {"where": "crucible", "c": 110.0, "mass_g": 1.0}, happened_at=weighed)
    write("placed", charge, {"firing": fire, "tier": 1, "row": 1, "column": place})
    return charge


def two_batches(write: Any, jar: str, pot: str) -> dict[str, str]:
    """A fire that burns with a charge of Blue in it, and the tag's crucible filled from White for another firing."""
    box = {"name": "Box", "fuel": "electric", "layout": "grid", "tiers": 1, "rows": 2, "columns": 2}
    furnace = write("furnace.described", None, {**box, "volume_l": 8, "place": "roofed"}).id
    plan = {"furnace": furnace, "segments": [{"to_c": 900, "rate_c_per_h": 300, "hold_min": 60}]}
    made = {name: write("firing.planned", None, plan).id for name in ("fire", "later")}
    for name in ("Blue", "White", "Green"):
        lines = [{"line": 1, "formula": "ZnO", "target_g": 5.0, "jar": jar}]
        made[name] = write("batch.planned", None, {"name": name, "from": "grams", "lines": lines}).id
    for name in ("Blue", "White"):
        write("weighed", made[name], {"line": 1, "net_g": 5.0})
    other = write("crucible.added", None, {"ware": "alumina-99", "volume_ml": 40, "rated_c": 1650}).id
    write("code.assigned", other, {"code": a_code(5), "thing": other})
    made["blue"] = filled(write, made["Blue"], other, made["fire"], 1)
    made["white"] = filled(write, made["White"], pot, made["later"], 1)
    write("lit", made["fire"], {"deviations": []})
    return made


def taken_in(page: Any) -> None:
    """The phone takes in how things stand now."""
    page.goto("/")
    expect(page.locator("[data-ready]")).to_contain_text("Ready offline", timeout=30_000)
    page.evaluate("async () => (await import('/static/pin.js')).ready(true)")
    assert page.evaluate("() => document.documentElement.dataset.pinTrouble") is None


def test_another_batch_s_tag_is_told_at_once_and_a_right_one_leads_on(at_the_fire: Any, opened: Any) -> None:
    """At *in* by name, with the laptop and without; at *out* the scan leads to that crucible's own page."""
    page, context = at_the_fire.page, at_the_fire.context
    write = opened.app.extensions["bench"].journal.write
    jar = bear(opened, a_code(9), "jar.opened", {"reagent": "zinc-oxide", "formula": "ZnO", "net_g": 500.0})
    made = two_batches(write, jar, at_the_fire.pot)
    fire, said = made["fire"], page.locator(".complaint[role=alert]")
    taken_in(page)
    for away in (False, True):
        context.set_offline(away)
        scan(at_the_fire, f"/firing/{fire}/in")
        expect(said).to_contain_text("holds White, which was not placed in this firing")
        scan(at_the_fire, f"/firing/{fire}/out")
        expect(said).to_contain_text("holds White, which is not in this furnace")
        scan(at_the_fire, f"/batch/{made['Blue']}/load?late=1")
        expect(said).to_contain_text("holds White already")
    page.goto(f"/firing/{fire}/in")
    page.fill("[name=code]", "T5C7HX")
    page.locator("[name=code]").blur()
    expect(said).to_contain_text("One character is wrong")
    page.fill("[name=code]", a_code(5))
    page.locator("[name=code]").blur()
    expect(said).to_contain_text("holds Blue and is already in the furnace")

    context.set_offline(False)
    write("placed", made["white"], {"firing": fire, "tier": 1, "row": 1, "column": 2})
    write("went.in", made["white"], {"firing": fire, "charge": made["white"]})
    taken_in(page)
    context.set_offline(True)
    scan(at_the_fire, f"/firing/{fire}/out")
    expect(page.locator(".stored-copy")).to_be_visible()
    expect(page.locator("[name=code]")).to_have_value(at_the_fire.code)
    expect(page.locator(".order-of-day")).to_be_visible()
    expect(page.get_by_role("button", name="Record taking out")).to_be_visible()
    scan(at_the_fire, f"/firing/{fire}/out?charge={made['blue']}")
    expect(said).to_contain_text("holds White. This page is for another one")
    page.goto("/find")
    page.click("[data-scan-start]")
    page.wait_for_url(f"**/firing/{fire}/out?charge={made['white']}", timeout=20_000)


def test_a_typed_code_is_answered_while_the_laptop_is_away(at_the_fire: Any, opened: Any) -> None:
    """By what is due now; a slip, and what the phone does not know, in plain sentences; taken back with the network."""
    page, context = at_the_fire.page, at_the_fire.context
    write = opened.app.extensions["bench"].journal.write
    codes = {"jar": a_code(9), "free": a_code(11)}
    jar = bear(opened, codes["jar"], "jar.opened", {"reagent": "zinc-oxide", "formula": "ZnO", "net_g": 500.0})
    bear(opened, codes["free"], "crucible.added", {"ware": "alumina-99", "volume_ml": 40, "rated_c": 1650})
    made = two_batches(write, jar, at_the_fire.pot)
    for name in ("White", "Blue"):
        write("mixed", made[name], {"medium": "dry", "streak": "even"})
    taken_in(page)
    context.set_offline(True)

    typed(page, a_code(5))
    page.wait_for_url(f"**/firing/{made['fire']}/out?charge={made['blue']}")
    expect(page.locator(".stored-copy")).to_be_visible()
    typed(page, at_the_fire.code)
    page.wait_for_url(f"**/charge/{made['white']}")
    typed(page, at_the_fire.code, f"/find#for=/firing/{made['fire']}/in&field=code")
    page.wait_for_url(f"**/firing/{made['fire']}/in")
    expect(page.locator(".complaint[role=alert]")).to_contain_text("holds White")
    typed(page, codes["jar"])
    page.wait_for_url(f"**/batch/{made['Green']}/weigh**")
    answer_all(page)
    page.wait_for_url(f"**/batch/{made['Green']}/weigh/1")
    expect(page.locator("[name=jar]")).to_have_value(codes["jar"])
    typed(page, codes["free"])
    ways = page.locator("[data-scan-ways]")
    expect(ways.get_by_role("button")).to_have_text(["Blue", "White"])
    ways.get_by_role("button", name="White").click()
    page.wait_for_url(f"**/batch/{made['White']}/load")
    answer_all(page)
    expect(page.locator("[name=code]")).to_have_value(codes["free"])

    said = page.locator(".complaint[role=alert]")
    right = a_code(21)
    for code, words in (
        (right[:5] + ("7" if right[5] != "7" else "8"), "One character is wrong"),
        (right[:4], "A code has six characters; this one has 4."),
        (right, f"{right[:5]}\u2011{right[5]} is not on this phone"),
    ):
        typed(page, code)
        expect(said).to_contain_text(words)
        assert page.url.endswith("/find")
    context.set_offline(False)
    expect(said).to_have_count(0, timeout=10_000)
    typed(page, right)
    expect(page.locator("main")).to_contain_text("never issued that code")


def answer_all(page: Any) -> None:
    """Every item of the list that comes first, with *Done*."""
    expect(page.locator("body[data-brought] .check").first).to_be_visible()
    page.evaluate("() => document.querySelectorAll('input[type=radio][value=done]').forEach((one) => one.click())")
    with page.expect_navigation():
        page.locator(".actionbar .plate").click()


def typed(page: Any, code: str, address: str = "/find") -> None:
    """A code on the large keypad of the page that finds things."""
    page.goto(address)
    for character in code:
        page.locator(f".code-keys [data-key='{character}']").click()
    page.locator(".actionbar .plate").click()
