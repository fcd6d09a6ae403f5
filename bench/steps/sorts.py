"""The things that steps are done on: their facts by name, what is worked out from them, and the sentences about them.

The laptop works the facts out of the records (`bench/workshop/facts.py`); a phone has them as it was last told, with
what waits in its outbox folded over. A name that stands in no table here stops the program when it starts.
"""

from collections.abc import Iterable
from dataclasses import replace

from bench.steps.declare import Derived, Fact, Say, Sort, Step
from bench.steps.wording import _

FLAG, NUMBER, TEXT, LIST, ROWS = Fact("flag"), Fact("number"), Fact("text"), Fact("list"), Fact("rows")

LEAST_SHARE = 0.3
"""Less than this of what went in is asked again: washing soda, rich in water as few are, leaves 37 % (computed)."""
BATCH = Sort(
    "batch",
    "{batch.name}",
    facts={
        "name": TEXT,
        "ended": FLAG,
        "lines": ROWS,
        "mixed": FLAG,
        "mixed_ms": Fact("number", words="when it was first ground or mixed; none while it was not"),
        "masses_g": Fact("list", words="masses at the dryings since it was last wetted, oldest first"),
        "masses_ms": Fact("list", words="when each of them was taken"),
        "tare_g": Fact("number", words="of the dish in which it was weighed since then; none while that was not typed"),
        "keeps_dry": Fact("flag", words="whether nothing in it takes up water from air"),
        "most_share": Fact("number", words="the most that a gram of it can leave in the fire"),
        "charges": Fact("number", words="crucibles that hold some of it"),
        "gone_g": Fact("number", words="loaded or lost"),
        "liquid": Fact("text", words="what the plan says to grind it in"),
        "medium": Fact("text", words="the liquid that it was wetted with last; none while it was not"),
        "salty": Fact("flag", words="a flux is to be washed out of what comes of it"),
    },
    derived={
        "missing": Derived("list", "open_rows", (".lines", "weighed_g", "name")),
        "lines_n": Derived("number", "size", (".lines",)),
        "next_line_n": Derived("number", "minus", (".lines_n", ".missing_n", -1)),
        "first_missing": Derived("text", "first", (".missing",)),
        "missing_n": Derived("number", "size", (".missing",)),
        "weighed_g": Derived("number", "total", (".lines", "weighed_g")),
        "left_g": Derived("number", "minus", (".weighed_g", ".gone_g")),
        "dry": Derived("flag", "steady", (".masses_g", ".masses_ms")),
        "again_ms": Derived("number", "again_ms", (".masses_g", ".masses_ms")),
        "before_g": Derived("number", "last", (".masses_g",)),
        "like_g": Derived("number", "either", (".before_g", ".left_g")),
        "dry_most_g": Derived("number", "most", (".before_g",)),
        "dry_g": Derived("number", "either", (".left_g",)),
        "full_dry_g": Derived("number", "most", (".left_g",)),
        "dry_least_g": Derived("number", "most", (".left_g", LEAST_SHARE)),
        "masses_n": Derived("number", "size", (".masses_g",)),
        "mixed_dry": "batch.mixed & !?batch.medium & batch.keeps_dry & batch.masses_n<2",
        "damp": "!batch.dry & !batch.mixed_dry",
        "little": Derived("flag", "is_little", (".left_g", ".weighed_g")),
        "used_up": "batch.missing_n=0 & batch.gone_g>0 & batch.little",
    },
    says=(
        Say(_("{batch.weighed_g:mass} g weighed"), "batch.weighed_g>0"),
        Say(_("Still to weigh: {batch.missing}"), "batch.missing_n>0"),
        Say(_("{batch.left_g:mass} g left"), "batch.missing_n=0"),
        Say(_("Counts as damp until two masses agree"), "batch.mixed & batch.damp", "", "warn"),
        Say(_("Counts as dry: ground without a liquid"), "batch.mixed_dry & !batch.dry"),
        Say(_("Dry: two masses agree"), "batch.mixed & batch.dry"),
        Say(_("This batch is closed"), "batch.ended"),
    ),
)
CHARGE_WORDS = {
    "damp": _("Damp"),
    "dry": _("Dry, waiting for a firing"),
    "placed": _("Placed, not fired yet"),
    "in-heat": _("In the furnace"),
    "out-hot": _("Out, hot"),
    "cool": _("Cool"),
}
"""A charge in its crucible, by where it stands."""
SUDDEN = "!charge.ended & charge.out & charge.sudden"
_WAITS = "!charge.ended & !charge.in_heat & !charge.out"
CHARGE = Sort(
    "charge",
    "{charge.of}",
    facts={
        "of": Fact("text", words="the batches that it holds"),
        "code": TEXT,
        "ended": FLAG,
        "in_heat": FLAG,
        "source_damp": Fact("flag", words="damp when it was filled"),
        "salty": Fact("flag", words="a flux is to be washed out of what comes of it"),
        "masses_g": LIST,
        "masses_ms": Fact("list", words="when each of its masses was taken"),
        "g": Fact("number", words="what went in, as dry powder"),
        "wet_g": Fact("number", words="of the paste that went in; none where it was not weighed"),
        "gross_g": Fact("number", words="full, at filling; none where it was not weighed"),
        "tare_g": Fact("number", words="of its crucible; none where that is not known, or more lies round it"),
        "most_share": Fact("number", words="the most that a gram of it can leave in the fire"),
        "firing": Fact("thing", "firing", "where it was placed last; none while it was not"),
        "firings": Fact("list", words="every firing in which it has a place or was"),
        "rated_c": Fact("number", words="of its crucible; none where that is not known"),
        "was_hot": FLAG,
        "out": Fact("flag", words="out of the heat, and not opened yet"),
        "in_ms": Fact("number", words="when it went into the heat of its firing; none while it did not"),
        "out_ms": Fact("number", words="when it came out of it; none while it did not"),
        "surface_c": Fact("number", words="read on itself since it was last in the heat; none while it was not"),
        "read_ms": Fact("number", words="when that was read"),
        "before_c": Fact("number", words="read on it just before that, since it was last in the heat"),
        "before_ms": Fact("number", words="when that was read"),
    },
    derived={
        "dry": Derived("flag", "steady", (".masses_g", ".masses_ms")),
        "again_ms": Derived("number", "again_ms", (".masses_g", ".masses_ms")),
        "last_g": Derived("number", "last", (".masses_g",)),
        "inside_g": Derived("number", "less", (".gross_g", ".tare_g")),
        "before_g": Derived("number", "either", (".last_g", ".wet_g", ".inside_g")),
        "like_g": Derived("number", "either", (".before_g", ".g")),
        "dry_most_g": Derived("number", "most", (".before_g",)),
        "dry_g": Derived("number", "either", (".g",)),
        "full_dry_g": Derived("number", "most", (".g",)),
        "dry_least_g": Derived("number", "most", (".g", LEAST_SHARE)),
        "out_most_g": Derived("number", "most", (".g", ".most_share")),
        "full_g": Derived("number", "plus", (".tare_g", ".g")),
        "full_most_g": Derived("number", "plus", (".tare_g", ".out_most_g")),
        "damp": "charge.source_damp & !charge.dry",
        "since_ms": Derived("number", "minus", (".read_ms", ".before_ms")),
        "sudden": "?charge.before_c & charge.surface_c<40 & charge.before_c>=150 & charge.since_ms<300000",
        "hot": "charge.was_hot & (!charge.surface_c<40 | charge.sudden)",
    },
    says=(
        Say(CHARGE_WORDS["damp"], f"{_WAITS} & charge.damp", "", "warn"),
        Say(CHARGE_WORDS["dry"], f"{_WAITS} & !charge.damp & !?charge.firing"),
        Say(CHARGE_WORDS["placed"], f"{_WAITS} & ?charge.firing"),
        Say(CHARGE_WORDS["in-heat"], "!charge.ended & charge.in_heat"),
        Say(CHARGE_WORDS["out-hot"], "!charge.ended & charge.out & charge.hot"),
        Say(_("{charge.before_c} °C was read minutes before. Read its surface again."), SUDDEN, "", "warn"),
        Say(CHARGE_WORDS["cool"], "!charge.ended & charge.out & !charge.hot"),
        Say(_("No longer in its crucible"), "charge.ended"),
    ),
)
FIRING_WORDS = {
    "planned": _("planned"),
    "checked": _("checked"),
    "lit": _("lit"),
    "soaking": _("in its soak"),
    "off": _("the fire is off"),
    "closed": _("closed"),
}
"""A firing by where it stands."""
SWITCHED_ON = _("switched on")
"""What is said of an electric furnace in the place of *lit*."""
_COLD = "!firing.closed & !?firing.lit_ms & !?firing.off_ms"
FIRING = Sort(
    "firing",
    "{firing.name}",
    facts={
        "name": TEXT,
        "lit_ms": NUMBER,
        "off_ms": NUMBER,
        "closed": FLAG,
        "last_c": NUMBER,
        "fuel": Fact("text", words="what heats its furnace"),
        "loaded": Fact("flag", words="a charge has a place in it, or was in it"),
        "checked": Fact("flag", words="its checks before lighting are answered, none with not done"),
        "soaking": Fact("flag", words="a reading holds in the band of its soak"),
        "after_done": Fact("flag", words="the looks after the fire that hold its closing are answered as they should"),
        "looked_ms": Fact("number", words="when the look an hour after it was answered with done; none while not"),
    },
    derived={
        "burns": "?firing.lit_ms & !?firing.off_ms",
        "looked_min": Derived("number", "minutes", (".off_ms", ".looked_ms")),
    },
    says=(
        Say(FIRING_WORDS["planned"], f"{_COLD} & !firing.checked"),
        Say(FIRING_WORDS["checked"], f"{_COLD} & firing.checked"),
        Say(SWITCHED_ON, "!firing.closed & firing.burns & !firing.soaking & firing.fuel=electric"),
        Say(
            FIRING_WORDS["lit"],
            "!firing.closed & firing.burns & !firing.soaking",
            "!firing.closed & firing.burns & !firing.soaking & firing.fuel=electric",
        ),
        Say(FIRING_WORDS["soaking"], "!firing.closed & firing.burns & firing.soaking"),
        Say(FIRING_WORDS["off"], "!firing.closed & ?firing.off_ms"),
        Say(FIRING_WORDS["closed"], "firing.closed"),
    ),
)
SWATCH = Sort(
    "swatch", "{swatch.pigment.of}", facts={"pigment": Fact("thing", "pigment"), "binder": TEXT, "judged": FLAG}
)
CRUCIBLE = Sort(
    "crucible",
    "{crucible.code:code}",
    facts={
        "code": TEXT,
        "condition": TEXT,
        "standing": Fact("text", values=("free", "holding", "to-clean", "ended")),
        "tare_g": Fact("number", words="as last weighed empty; none while it was not"),
    },
)
JAR = Sort("jar", "{jar.name}", facts={"name": TEXT, "formula": TEXT})
PIGMENT = Sort(
    "pigment",
    "{pigment.of}",
    facts={
        "of": Fact("text", words="the batches that it came from"),
        "code": TEXT,
        "state": Fact("text", values=("raw", "washed", "ground", "dry", "kept", "refire", "make-up", "tint", "waste")),
        "rinses": NUMBER,
        "salty": Fact("flag", words="a flux is to be washed out of it"),
        "wet": Fact("flag", words="washed or ground wet, and not dried since"),
        "medium": Fact("text", words="the liquid that it is wet with; none while it is dry"),
        "net_g": Fact("number", words="weighed dry; none while it was not"),
        "most_g": Fact("number", words="the most that can have come out of its crucibles"),
        "mass_g": Fact("number", words="as last weighed: dry, else as it came out; none while it was not"),
        "gone_g": Fact("number", words="used, gathered into others, or lost"),
        "taken_g": Fact("number", words="taken off by a step since it was last weighed"),
        "swatches": NUMBER,
        "used_up": Fact("flag", words="nothing worth loading is left of it"),
    },
    derived={
        "next_rinse": Derived("number", "minus", (".rinses", -1)),
        "left_g": Derived("number", "minus", (".mass_g", ".gone_g", ".taken_g")),
        "left_most_g": Derived("number", "most", (".left_g",)),
        "dry_most_g": Derived("number", "either", (".left_most_g", ".most_g")),
        "damp": "pigment.wet",
    },
    says=(
        Say(_("Rinsed {pigment.rinses} times"), "pigment.rinses>1"),
        Say(_("Rinsed once"), "pigment.rinses=1"),
        Say(_("Damp: weigh it dry first"), "pigment.damp", "", "warn"),
        Say(_("{pigment.left_g:mass} g dry"), "?pigment.net_g & !pigment.damp"),
    ),
)
WASTE = Sort(
    "waste",
    "{waste.contents}",
    facts={"contents": TEXT, "volume_ml": NUMBER, "capacity_ml": NUMBER},
    derived={"room_ml": Derived("number", "minus", (".capacity_ml", ".volume_ml"))},
)
NAMED = ("furnace", "burner", "series")
"""Things that a field may name, and on which no step is done."""
PLAIN_SORTS = (BATCH, CHARGE, FIRING, PIGMENT, SWATCH, WASTE, JAR, CRUCIBLE)


def with_brought(sort: Sort, steps: Iterable[Step]) -> Sort:
    """A sort with the facts and sentences that single steps bring to it."""
    own = [step for step in steps if sort.sort in step.on]
    brought = {name: fact for step in own for name, fact in step.facts.items()}
    return replace(sort, facts=sort.facts | brought, says=(*sort.says, *(say for step in own for say in step.says)))
