"""The way of a plain batch by the screens: what is tapped, typed and read at each step."""

from pathlib import Path
from typing import Any

from tests.measure.pace_hand import Hand

STEPS = (
    "plan", "weigh", "grind", "fill", "dry", "firing", "light", "reading", "off", "after the fire", "cold", "out",
    "open", "grind again", "weigh dry", "swatch", "judge",
)  # fmt: skip
CODES = ("T5C7HJ", "8W95X0", "EQVPQW")
PHOTO = Path(__file__).resolve().parents[2] / "static" / "pictures" / "weigh-day.png"
TARGET = "zinc ferrite tan"
NIGHT_MIN = 12 * 60


def furnish(bench: Any) -> list[str]:
    """Jars, crucibles, a furnace outdoors and the settings of a bench in use; the crucibles' ids."""
    write = bench.journal.write
    write("setting.changed", "0" * 26, {"name": "emergency_number", "value": "0000 (made up)"})
    for slug, formula, code in (("zinc-oxide", "ZnO", "1SH2GB"), ("iron-iii-oxide", "Fe2O3", "0X5RPF")):
        jar = write("jar.opened", None, {"reagent": slug, "formula": formula, "net_g": 500.0}).id
        write("code.assigned", jar, {"code": code, "thing": jar})
    told = {"name": "Yard ring", "fuel": "gas", "layout": "ring", "places": 6, "place": "outdoors"}
    told |= {"lining_rated_c": 1300, "volume_l": 20, "blower": True, "blower_l_per_s": 2}
    write("furnace.described", None, told)
    pots = []
    for code in CODES:
        pot = write("crucible.added", None, {"ware": "alumina-99", "volume_ml": 50, "rated_c": 1650}).id
        write("crucible.seen", pot, {"tare_g": 48.2, "condition": "clean"})
        write("code.assigned", pot, {"code": code, "thing": pot})
        pots.append(pot)
    return pots


class Walk:
    """One batch from the plan to its verdict. `wet`: it is ground in water, and dried in its crucible."""

    def __init__(self, hand: Hand, clock: Any, bench: Any, pot: str, wet: bool = False) -> None:
        self.hand, self.clock, self.bench, self.pot, self.wet = hand, clock, bench, pot, wet

    def go(self) -> None:
        """All steps in their order."""
        self.hand.page.goto("/")
        for step in STEPS:
            self.hand.step = step
            getattr(self, step.replace(" ", "_"))()

    def plan(self) -> None:
        """From the last one like it, where there is one; else from the target."""
        hand = self.hand
        if hand.there("a[href$='/again']"):
            hand.tap("a[href$='/again']")
            hand.key("Save and weigh")
            return
        hand.tap("nav.rooms a[href='/plan']")
        hand.plate("From a target")
        hand.type("target", TARGET)
        hand.pick("jar.0", "inc oxide")
        hand.pick("jar.1", "ron(III) oxide")
        hand.tap("summary:has-text('Heat and cooling')")
        hand.type("to_c.0", "1000")
        hand.type("hold_min.0", "60")
        hand.pick("cooling", "urnace")
        hand.type("name", "Tan")
        hand.plate("alculate" if hand.there(".plate:has-text('alculate')") else "Calculate")
        hand.plate("plan")

    def weigh(self) -> None:
        """Two reagents, typed off the balance."""
        self.hand.onward("Weigh", "/weigh")
        self.hand.checks()
        for grams in ("3.38", "6.62"):
            self.hand.number("net_g", grams)
            self.hand.plate("Record")

    def grind(self) -> None:
        """The streak is looked at; how long, by the clock."""
        self.clock.turn(20)
        self.hand.onward("rind", "/grind")
        self.hand.choose("medium", "water" if self.wet else "dry")
        self.hand.number("minutes", "20")
        self.hand.key("Streak even")

    def fill(self) -> None:
        """All of it into one crucible."""
        hand = self.hand
        if not hand.page.url.endswith("/load"):
            hand.row("Fill damp") if self.wet else hand.main()
        hand.checks()
        hand.choose("crucible", self.pot)
        hand.read.append(10.0)
        hand.key("All of it")

    def dry(self) -> None:
        """Two weighings, an hour or more between them."""
        if not self.wet:
            return
        self.hand.onward("Dry", "/dry")
        for wait in (180, 70):
            self.clock.turn(wait)
            self.hand.wait(wait)
            self.hand.choose("way", "oven")
            self.hand.read.append(10.0)
            if self.hand.there("button[name=same]"):
                self.hand.tap("button[name=same]")
                continue
            self.hand.number("gross_g", "58.20")
            if not self.hand.says("tare_g"):
                self.hand.type("tare_g", "48.20")
            self.hand.plate("ecord")

    def firing(self) -> None:
        """A firing as the batch was planned, and a place in it."""
        hand = self.hand
        if "/firings/new" not in hand.page.url and "/place" not in hand.page.url:
            hand.plate("lace for a firing")
        if hand.there(".plate:has-text('Plan a firing')"):
            hand.plate("Plan a firing")
        hand.plate("place")

    def light(self) -> None:
        """Every check in its turn."""
        hand = self.hand
        hand.onward("To the firing", "/firing/")
        hand.onward("Check", "/checks/")
        hand.checks()
        hand.plate("lit")

    def reading(self) -> None:
        """One reading in the soak."""
        self.clock.turn(230)
        self.hand.plate("Reading")
        self.hand.reading(1001)

    def off(self) -> None:
        """The soak is over."""
        self.clock.turn(65)
        if not self.hand.there(".actionbar .plate:has-text('off')"):
            self.hand.page.reload()
        self.hand.plate("Record fire off")

    def after_the_fire(self) -> None:
        """An hour later."""
        self.clock.turn(65)
        self.hand.checks()

    def cold(self) -> None:
        """On the next morning the furnace is read."""
        self.clock.turn(NIGHT_MIN)
        fire = "/firing/" + self.bench.state.things("firing")[-1]
        self.hand.page.goto(fire)
        if self.hand.there(".actionbar .plate:has-text('Reading')"):
            self.hand.plate("Reading")
        else:
            self.hand.page.goto(fire + "/reading")
        self.hand.reading(24)

    def out(self) -> None:
        """It is taken out, and read on its own surface."""
        hand = self.hand
        hand.onward("Unload", "/out")
        if not hand.there("input[name=rest_place]"):
            hand.tap("main a[href*='/out?charge=']")
        hand.type("rest_place", "brick")
        hand.reading(22)

    def open(self) -> None:
        """The crucible is weighed full and empty."""
        self.hand.onward("Open and weigh out", "/open")
        self.hand.number("gross_g", "58.20")
        self.hand.number("tare_after_g", "48.25")
        self.hand.choose("fate", "clean")
        self.hand.main()

    def grind_again(self) -> None:
        """Some minutes more, dry."""
        self.hand.onward("rind", "/grind")
        self.hand.choose("medium", "dry")
        self.hand.number("minutes", "10")
        self.hand.main()

    def weigh_dry(self) -> None:
        """What there is of it."""
        self.clock.turn(10)
        self.hand.onward("eigh", "/dry")
        self.hand.number("net_g", "9.60")
        self.hand.main()

    def swatch(self) -> None:
        """Painted out, photographed."""
        self.hand.onward("Brush", "/swatch")
        self.hand.type("binder", "linseed oil")
        self.hand.photo("photo", PHOTO)
        self.hand.main()

    def judge(self) -> None:
        """Kept."""
        self.hand.onward("Judge", "/judge")
        self.hand.key("Keep the pigment")
