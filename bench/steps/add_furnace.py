"""Describe a furnace: what heats it, where it stands and breathes, how hot it may get, what guards it has."""

from bench.steps.declare import Say, Step
from bench.steps.fields import Option, choice, flag, number, text, whole
from bench.steps.wording import _

FUELS = (Option("gas", _("Gas")), Option("electric", _("Electric")))
PLACES = (
    Option("outdoors", _("Outdoors")),
    Option("roofed", _("Under a roof, open on two sides or more")),
    Option("indoors", _("Indoors")),
    Option("unknown", _("Place not known: counts as indoors")),
)
LAYOUTS = (
    Option("grid", _("In rows"), _("a box, counted from the back left")),
    Option("ring", _("In a ring"), _("round, counted like a clock, 6 at the front")),
)
CLASSES = (
    Option("1", _("Class 1")),
    Option("2", _("Class 2")),
    Option("3", _("Class 3")),
    Option("unknown", _("Not known")),
)
HOURS = 12
"""A ring is read as a clock: a place an hour at the most."""
HOTTEST_C = 2000.0
PROBES = (
    Option("none", _("none, or not known")),
    Option("K", _("type K")),
    Option("N", _("type N")),
    Option("S", _("type S")),
    Option("R", _("type R")),
    Option("B", _("type B")),
    Option("J", _("type J")),
    Option("E", _("type E")),
    Option("T", _("type T")),
)
STEP = Step(
    "add-furnace",
    on=(),
    record="furnace.described",
    makes="furnace",
    single="-",
    title=_("Add a furnace"),
    past=(Say(_("Furnace described")),),
    kind_words=_("Furnace described"),
    glyph="flame",
    address=("/furnaces/new",),
    away=False,
    fields=(
        text("name", _("Name"), 80, hint=_("Such as yard furnace.")),
        choice("fuel", _("What heats it?"), FUELS),
        choice("layout", _("Layout of the crucibles"), LAYOUTS, default="grid"),
        whole("tiers", _("Tiers, one above the other"), 1, 20, required=False, default=1),
        whole("rows", _("Rows"), 1, 10, required=False),
        whole("columns", _("Places in a row"), 1, 10, required=False),
        whole(
            "places", _("Places in the ring"), 1, HOURS, required=False, hint=_("Rows for a box, places for a ring.")
        ),
        number(
            "volume_l",
            _("Chamber"),
            "L",
            0.1,
            10_000,
            required=False,
            hint=_("A gas furnace is purged with four chamber volumes."),
        ),
        number("ceiling_c", _("Highest temperature"), "°C", 100, HOTTEST_C, required=False),
        number("lining_rated_c", _("Lining rating"), "°C", 100, HOTTEST_C, required=False),
        choice(
            "place",
            _("Place of the furnace"),
            PLACES,
            default="unknown",
            hint=_("A garage or a shed with its door open is indoors."),
        ),
        number("room_m3", _("Room"), "m³", 1, 100_000, required=False),
        number(
            "air_changes_per_h",
            _("Air changes"),
            _("/h"),
            0,
            1000,
            required=False,
            hint=_("Measured or rated, for a furnace under a roof. Left empty, a charge with gas is not lit indoors."),
        ),
        flag("flue", _("Flue draws"), place="data"),
        choice("probe_type", _("Probe type"), PROBES, required=False, default="none", place="data"),
        choice("probe_class", _("Probe class"), CLASSES, required=False, default="unknown"),
        text(
            "probe_place",
            _("Probe position"),
            120,
            required=False,
            hint=_("Such as back wall, half up. What it shows is the heat there."),
        ),
        flag("blower", _("Blower"), place="data"),
        number(
            "blower_l_per_s",
            _("Blower flow"),
            "L/s",
            0.1,
            10_000,
            required=False,
            hint=_("With the chamber volume, this gives the purge time."),
        ),
        flag("lid_switch", _("Lid switch"), place="data"),
        flag("cut_out", _("Cut-out"), place="data"),
        flag("rcd", _("RCD"), place="data"),
        text("notes", _("Notes"), lines=True, required=False),
    ),
)
