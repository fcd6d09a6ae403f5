"""What a phone says of a firing on the pages that it draws, by name, in the words of the laptop's own pages."""

from bench.screens.furnace.firing import BEFORE_ON, PHASES
from bench.screens.furnace.firing_end import AS_PLANNED
from bench.screens.furnace.firing_reading import IT_IS_RIGHT, SLIPPED, TOO_FAST
from bench.web.current import current_bench
from bench.web.words import _, many
from bench.workshop.alarms import BY_NOTES


def fire_words() -> dict[str, str]:
    """The words, in the bench's language; what stands in braces the phone fills in."""
    rules = current_bench().library.rules
    said = {f"alarm-{rule}": _(rules[rule].reason) for rule in BY_NOTES} | PHASES
    return said | _alarms() | _page() | _reading() | _steps()


def _alarms() -> dict[str, str]:
    slip = _("{c} °C is {words} the {before} °C before. Typed wrong? Undo that reading.")
    return {
        "danger": _("Danger."),
        "alarm-slipped-up": slip.replace("{words}", _("ten times")),
        "alarm-slipped-down": slip.replace("{words}", _("a tenth of")),
        "alarm-leaps": _("{c} °C came {n} min after {before} °C. Read the probe again."),
        "alarm-over-plan": _("{c} °C over the plan: turn it down."),
        "alarm-over-furnace": _("{c} °C: this furnace goes to {limit} °C. Turn it down."),
        "alarm-over-rating": _("Over the rating of {code}: {rated_c} °C."),
        "a-crucible": _("a crucible"),
        "alarm-left-soak": _("Below the soak: {c} °C, under {low}. The soak clock is stopped."),
        "alarm-falling": _("It is falling by {rate} °C a minute."),
        "alarm-too-fast": _("It climbs {rate} °C a minute; {ware} takes {limit} at most here (from memory)."),
        "alarm-no-reading": _("No reading for {age}: one is due every {every} min."),
    }


def _page() -> dict[str, str]:
    return {
        "due": _("next"),
        "before-on": BEFORE_ON,
        "on-at": _("Switched on {clock}."),
        "lit-at": _("Lit {clock}."),
        "off-at": _("Off {clock}."),
        "in-at": _("in {clock}"),
        "came-out-at": _("out {clock}"),
        "latest": _("The latest readings"),
        "crucibles": _("Crucibles"),
        "put-in": _("Load"),
        "take-out": _("Unload"),
        "map": _("Furnace map"),
        "none-placed": _("Nothing is placed here yet."),
        "all-out": _("All out now, identify later"),
        "note-now": _("Note now"),
        "note-more": _("More to note"),
        "done-of": _("{n} of {total} done"),
        "keep-one": many("one to keep in mind", "{n} to keep in mind", 1),
        "keep-more": _("{n} to keep in mind"),
        "item-not-done": _("Not done: {item}"),
        "leave-fire": _("Leave the fire"),
        "close-fire": _("Close this firing"),
        "unlit": _("Did not light"),
        "today": _("Today"),
        "back-to-firing": _("Back to the firing"),
    }


def _reading() -> dict[str, str]:
    return {
        "tens": _("Tens"),
        "last-digit": _("Last digit, records"),
        "tap-tens": _("Tap the tens, then the last digit."),
        "last-read": _("Last {c} °C at {clock}."),
        "same": _("Same"),
        "other": _("Other"),
        "no-reading": _("No reading"),
        "as-read": _("As read"),
        "in-unit": _("In"),
        "leap-asked": _("{c} °C?"),
        "leap-last": _("Last: {c} °C, {span} ago."),
        "leap-fell": _(TOO_FAST[True]),
        "leap-rose": _(TOO_FAST[False]),
        "slip-low": _(SLIPPED[True]),
        "slip-high": _(SLIPPED[False]),
        "it-is-right": IT_IS_RIGHT,
        "mv-as": _("Millivolts are read as type {letter}."),
    }


def _steps() -> dict[str, str]:
    return {
        "co-reading": _("CO reading"),
        "note-co": _("Note the CO"),
        "note": _("Note"),
        "co-until": _("CO alarm: replace it by"),
        "co-until-hint": _("The date on its back. Its test key proves the sounder, not the sensor."),
        "fire-out": _("This fire is out. Leave the hot signs up until all reads below 40 °C."),
        "is-with": _("{name} is with it."),
        "left-alone": _("Recorded as left unattended."),
        "hand-over": _("Hand the fire over"),
        "who-takes": _("Who takes over?"),
        "who-hint": _("A person who can shut it down, and knows how."),
        "stands-here": _("That person is at the fire now"),
        "stands-hint": _("and know the plan, the gas tap, the way out and the emergency number"),
        "tick-stands": _("Tick this once that person is at the fire and ready."),
        "was-left": _("It was left unattended"),
        "was-left-why": _("Recorded as it happened, and flagged for good."),
        "record-that": _("Record that"),
        "what-at": _("What is at {place}?"),
        "empty-place": _("empty"),
        "place-here": _("Place here"),
        "hands-full": _("Hands full"),
        "hands-each": _("Hands full: one touch each"),
        "hands-first": _("Next to come out"),
        "hands-touch": _("Touch anywhere, or press space: it is out."),
        "hands-out": _("{code} out."),
        "hands-next": _("Next {code}."),
        "hands-last": _("All that may come out is out."),
        "hands-none": _("Nothing may come out now."),
        "hands-lost": _("Not recorded: the laptop did not answer. Touch again."),
        "hands-order": _("Order of unloading"),
        "stays-in": _("Stays in"),
        "undo-last": _("Undo the last one"),
        "am-back": _("I am back at the fire"),
        "in": _("In"),
        "or-clock": _("or at a clock time"),
        "or-clock-hint": _("Such as 16:04."),
        "what-for": _("What for?"),
        "set-timer": _("Set timer"),
        "soak-end": _("At the soak’s end, {clock}"),
        "stay-with": _("Stay with it."),
        "timer-known": _("The laptop knows this timer. Each screen rings only while it is on."),
        "timer-unknown": _("The laptop does not know this timer yet. It rings only while this screen is on."),
        "timer-calendar": _("Add to the phone’s calendar, with an alarm"),
        "timer-rings": _("Rings only while this screen is on. A timer does not watch a fire: stay."),
        "timer-stay": _("A timer does not watch a fire: stay."),
        "timer-right": _("The countdown is always right. A locked phone is silent, but its calendar rings."),
        "sound-on": _("Sound is on here."),
        "sound-off": _("Sound is off here until you tap."),
        "close-firing": _("Close firing"),
        "ended-early": _("At heat for at most {most} of {hold} min."),
        "hot-pull": _(current_bench().library.rules["hot-pull-unplanned"].reason),
        "ended-low": _("Highest reading {c} of {peak} °C."),
        "as-planned": AS_PLANNED,
        "never-lit": _("The fire never began."),
        "laptop-alone": _("On the laptop alone: check by scan, carry over, gas, heat, the curve’s table."),
        "all-ticked": _("All checks after the fire are done."),
    }  # fmt: skip
