"""Records beside the demo's, so that a bench holds one of each kind and of each choice that is written with hyphens."""

from bench.records.record import BENCH
from bench.web.current import Bench


def more(bench: Bench) -> None:
    """Write what the demo's story has no turn for."""
    write, things = bench.journal.write, bench.state.things
    batch, charge, firing, waste = (things(sort)[-1] for sort in ("batch", "charge", "firing", "waste"))
    pot, pigment = things("crucible")[-1], things("pigment")[-1]
    for what, value in (("burner-change", "turned up"), ("gas-change", "new bottle"), ("co", "0"), ("smell", "none")):
        write("noted", firing, {"what": what, "value": value})
    write("went.in", charge, {"firing": firing, "charge": charge})
    write("lost", batch, {"from": batch, "how": "breakage", "g": 0.4})
    write("gathered", None, {"sources": [{"pigment": pigment, "g": 1.0}]})
    write("rescaled", batch, {"product_factor": 1.1, "targets_g": [8.88, 9.8, 21.2, 0.99]})
    write("crucible.seen", pot, {"condition": "cracked"})
    write(
        "check.answered",
        firing,
        {"list": "before-opening", "item": "Look first", "answer": "not-done", "reason": "dark"},
    )
    write("rule.overridden", charge, {"rule": "hot-pull", "step": "open", "who": "me", "why": "a test pull"})
    for rule in list(bench.library.rules)[:3]:
        write("rule.overridden", batch, {"rule": rule, "step": "weigh", "who": "me", "why": "a trial"})
    write("waste.collected", waste, {"by": "the carrier", "date": "2026-11-01"})
    row = {"name": "Shed red", "formula": "Fe2O3", "cooling_mode": "in-furnace", "soak_low_c": 900.0}
    write("card.changed", None, {"table": "targets", "slug": "shed-red", "row": row, "basis": "own"})
    write("jar.opened", None, {"reagent": "zinc-sulfate-heptahydrate", "formula": "ZnSO4", "hydrate_known": False})
    write("setting.changed", BENCH, {"name": "place", "value": "indoors"})
