"""A whole firing at a simulated burner by the forms of its screens: what they say against what the furnace did.

The furnace goes at two heat rates, is read with scatter to whole degrees, stalls, is turned up, gets too hot, loses its
flame for some minutes, and holds. A reading stands for about ±3 °C, and comes every five to eight minutes; between two
readings the screens go straight. From that follow the tolerances below, each stated where it is used.
"""

import re

import pytest

from bench.workshop.heat import heats
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import firing
from tests.acceptance.burner import Burner
from tests.acceptance.by_forms import ByForms
from tests.acceptance.loads import CODES, batch_of, filled, load_of

TARGET_C, HOLD_MIN, BAND_C = 900, 60, 890
CLIMB_STEP, SOAK_STEP = 8, 5
HEAT_WITHIN = 0.06
"""Heat work: 3 °C on every reading the same way would be 8 % at 300 kJ/mol; scatter over twenty of them is far less."""
CROSSED_WITHIN_MIN = 4.0
"""Minutes over a mark: at each crossing the furnace moves 1 to 2 °C a minute, so ±3 °C are about ±2 min."""


class Fire:
    """The maker at this fire: time passes in the furnace and on the clock together."""

    def __init__(self, maker: ByForms, burner: Burner) -> None:
        self.maker, self.burner, self.id = maker, burner, ""
        self.by_keypad = self.typed = 0

    def go(self, minutes: float) -> None:
        self.maker.live.keeper.turn(minutes)
        self.burner.burn(minutes)

    def read(self) -> int:
        """A reading by three taps where the keypad offers its tens, else typed."""
        c, maker = self.burner.read(), self.maker
        maker.at(f"/firing/{self.id}/reading")
        if maker.offers("tens", c // 10):
            self.by_keypad += 1
            maker.fill(tens=c // 10)
            maker.press_value("digit", c % 10)
        else:
            self.typed += 1
            maker.at(f"/firing/{self.id}/reading?other=1")
            maker.fill(c=c, unit="C")
            maker.press()
        assert maker.path.endswith(f"/firing/{self.id}")
        return c

    def note(self, words: str) -> None:
        """One tap under *Note now*."""
        self.maker.at(f"/firing/{self.id}")
        self.maker.press(words)

    @property
    def text(self) -> str:
        return self.maker.text

    @property
    def minute(self) -> float:
        return self.burner.second / 60


def test_a_whole_firing(form_maker: ByForms) -> None:
    maker = form_maker
    app = maker.live.app
    load = load_of(app, (48.21, 47.63))
    fast = filled(app, batch_of(app, [("ZnO", 10.0)], "Quick", cooling_mode="fast", hot_pull=True), CODES[2], 49.02)
    charges = [*load.charges, fast]
    fire = Fire(maker, Burner(790))
    plan_and_light(fire, load.furnace, charges)
    stall(fire)
    climb(fire)
    start_min = fire.minute
    too_hot(fire)
    out_min = hot_pull(fire, fast)
    lose_the_flame(fire)
    hold_to_the_end(fire)
    finish(fire)
    said = soak_as_said(fire)
    truth = fire.burner.min_over(BAND_C, start_min - SOAK_STEP)
    assert said == pytest.approx(truth, abs=2 * CROSSED_WITHIN_MIN)  # it was entered twice and left twice
    each_crucible(fire, charges, fast, out_min)
    assert fire.by_keypad >= 2 * fire.typed  # typed are the first climb, and what follows each turn of the burner


def plan_and_light(fire: Fire, furnace: str, charges: list[str]) -> None:
    maker = fire.maker
    maker.at(f"/firings/new?charge={charges[0]}")
    maker.fill(furnace=furnace, rate__0="450", to_c__0=TARGET_C, hold_min__0=HOLD_MIN)
    found = re.search(r"firing=(\w{26})", maker.press("Save firing"))
    assert found, fire.text
    fire.id = found[1]
    for thing, hour in zip(charges, (12, 2, 4), strict=True):
        maker.at(f"/charge/{thing}/place?firing={fire.id}")
        maker.fill(place=f"c.{hour}")
        maker.press()
    maker.at(f"/firing/{fire.id}")
    assert not maker.has_key("Record lit")  # not before its checks
    maker.at(f"/firing/{fire.id}/checks/before-lighting")
    maker.ticks_all()
    maker.at(f"/firing/{fire.id}")
    maker.press("Record lit")
    assert maker.state.own(fire.id, "lit")[0].body.deviations == ()
    fire.read()


def stall(fire: Fire) -> None:
    """It is called before three hours and a half are over; nothing is called that is not so."""
    while "It will not get there." not in fire.text:
        assert "It should get there." not in fire.text and fire.minute < 210, fire.text
        fire.go(CLIMB_STEP)
        fire.read()
    most = re.search(r"reaches (\d+) °C at most", fire.text)
    assert most and int(most[1]) >= fire.burner.goes_to_c  # no furnace like this one beats the bound
    assert fire.burner.goes_to_c < TARGET_C


def climb(fire: Fire) -> None:
    """The burner is turned up: the forecast begins anew, and its times hold what the furnace then does."""
    fire.note("Turned up")
    assert "It will not get there." not in fire.text
    fire.burner.goes_to_c = 940
    truth = fire.burner.minute_reached(TARGET_C)
    told = []
    while "Holding." not in fire.text:
        assert fire.minute < 320 and "It will not get there." not in fire.text
        fire.go(SOAK_STEP)
        fire.read()
        told += [(int(one[1]), int(one[2])) for one in [re.search(r"eading for (\d+) to (\d+)", fire.text)] if one]
    # Where an interval is said, it holds where the flame would have brought it.
    assert all(low - 10 <= 940 <= high + 25 for low, high in told)
    assert truth == pytest.approx(fire.minute, abs=15)
    assert "of soak left" in fire.text


def too_hot(fire: Fire) -> None:
    fire.burner.goes_to_c = 1060
    while "over the plan: turn it down" not in fire.text:
        fire.go(SOAK_STEP)
        c = fire.read()
        assert c <= TARGET_C + 20 or "over the plan" in fire.text
        assert fire.minute < 380
    assert fire.burner.c > TARGET_C + 20 - 3 * fire.burner.scatter_c
    fire.note("Turned down")
    fire.burner.goes_to_c = 850
    while fire.burner.c > TARGET_C + 10:
        fire.go(SOAK_STEP)
        fire.read()
    fire.burner.goes_to_c = TARGET_C + 8
    assert "over the plan" not in fire.text


def hot_pull(fire: Fire, thing: str) -> float:
    """One is planned to cool fast: its cooling stands first, and it is not let out before its protection is checked."""
    maker = fire.maker
    maker.at(f"/firing/{fire.id}/out?charge={thing}")
    assert fire.text.index("Fast") < fire.text.index("Put where") and "°C inside" in fire.text
    maker.fill(rest_place="brick")
    maker.press()
    assert "Not recorded: see the reasons below" in fire.text
    maker.at(f"/firing/{fire.id}/checks/before-opening")
    maker.ticks_all()
    maker.at(f"/firing/{fire.id}/out?charge={thing}")
    maker.fill(rest_place="brick")
    assert maker.press() == f"/charge/{thing}/cool", fire.text
    assert "Too hot to touch" in maker.whole_text
    assert [r.body.purpose for r in maker.state.own(thing, "timer.set")] == ["Read the surface of 9QH2F-B"]
    return fire.minute


def lose_the_flame(fire: Fire) -> None:
    """The flame goes out for four minutes: said by the note and by the next reading; the soak's clock waits."""
    fire.note("Lost")
    assert "gas off" in fire.text.lower()
    fire.burner.goes_to_c = 20
    fire.go(4)
    assert fire.read() < BAND_C
    assert "Below the soak" in fire.text and "Not holding." in fire.text
    fire.burner.goes_to_c = 960
    fire.note("Clear")
    while "Holding." not in fire.text:
        fire.go(SOAK_STEP)
        fire.read()
        assert fire.minute < 480
    fire.burner.goes_to_c = TARGET_C + 5


def hold_to_the_end(fire: Fire) -> None:
    fire.go(9)
    fire.maker.at(f"/firing/{fire.id}")
    assert "No reading for 9 min: one is due every 5 min." in fire.text
    while "Held." not in fire.text:
        fire.go(SOAK_STEP)
        fire.read()
        assert fire.minute < 560


def finish(fire: Fire) -> None:
    """Off; and not closed before the looks at 30 and 60 minutes."""
    maker = fire.maker
    maker.at(f"/firing/{fire.id}/off")
    maker.fill(reason="reached")
    maker.press()
    fire.burner.goes_to_c = 20
    maker.at(f"/firing/{fire.id}/close")
    assert not maker.has_key("Close firing") and "up to 60 minutes" in fire.text
    for _ in range(6):
        fire.go(10)
        fire.read()
    fire.go(5)
    maker.at(f"/firing/{fire.id}/checks/after-shutdown")
    maker.ticks_all()
    maker.at(f"/firing/{fire.id}/close")
    maker.press("Close firing")
    view = firing(maker.state, fire.id)
    assert view is not None and view.closed


def soak_as_said(fire: Fire) -> float:
    fire.maker.at(f"/firing/{fire.id}/heat")
    found = re.search(rf"Held at or over {BAND_C} °C\s+(\d+) min", fire.text)
    assert found, fire.text
    return float(found[1])


def each_crucible(fire: Fire, charges: list[str], early: str, out_min: float) -> None:
    """Minutes over the band, peak and heat work of each crucible, against every second that it was in."""
    state = fire.maker.state
    view = firing(state, fire.id)
    assert view is not None
    told = {one.charge: one for one in heats(state, view, view.readings[-1].when)}
    assert set(told) == set(charges)
    for thing in charges:
        one, until = told[thing], out_min if thing == early else fire.minute
        assert one.above_min == pytest.approx(fire.burner.min_over(BAND_C, 0, until), abs=2 * CROSSED_WITHIN_MIN)
        assert one.peak_c == pytest.approx(fire.burner.peak_c(0, until), abs=3 * fire.burner.scatter_c + 1)
        assert one.work_min == pytest.approx(fire.burner.work_min(TARGET_C, 300, 0, until), rel=HEAT_WITHIN)
        low, high = one.work_spread or (0.0, 0.0)
        assert low <= one.work_min <= high
        work = rf"{one.work_min:.0f} min \({low:.0f}–{high:.0f}\)"
        shown = rf"{one.above_min:.0f} min[\s\S]*?{one.peak_c:.0f} °C[\s\S]*?{work}"
        assert re.search(shown, fire.text), (shown, fire.text)
    assert told[early].work_min < 0.8 * told[charges[0]].work_min
    out = charge(state, early)
    assert out is not None and out.stay is not None and out.stay.came_out is not None
