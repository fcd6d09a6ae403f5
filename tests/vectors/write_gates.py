"""Writes gates.json: what a phone was told, what waits in its outbox, and what comes next by the laptop.

python -m tests.vectors.write_gates. Each story is sent, form by form, to the screens of a real bench, as the outbox
sends it; after each form the bench says which steps come next and what of the work's order stands against each.
"""

import json
import re
import tempfile
from pathlib import Path
from typing import Any

from bench.app import create_app
from bench.screens.furnace.firing_end import against_closing
from bench.settings import Settings
from bench.web.ids import fresh
from bench.workshop import next_steps
from bench.workshop.gates import gate_batch, gate_dry
from bench.workshop.going_in import gate_in
from bench.workshop.light_gate import gate_light
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import firing
from tests.conftest import START_MS, Keeper
from tests.screens.test_outbox import AHEAD_MS, Phone
from tests.vectors.files import write

ULID = re.compile(r"\b[0-7][0-9A-HJKMNP-TV-Z]{25}\b")
RULES = {"batch-closed", "weigh-first", "charge-ended", "in-heat", "already-lit", "check-says-stop",
         "checks-before-lighting", "damp-charge", "still-lit", "after-checks", "looked-early"}  # fmt: skip
RULES_IN = {"charge-ended", "in-heat", "damp", "not-placed"}
CODE = "T5C7HJ"
Form = tuple[str, dict[str, str]]


class Story:
    """A bench with a batch and a firing planned, and the phone on which the rest is done."""

    def __init__(self, folder: Path, fuel: str = "electric") -> None:
        self.fuel = fuel
        self.keeper = Keeper()
        self.app = create_app(Settings(data=folder, open_browser=False), keeper=self.keeper)
        journal = self.app.extensions["bench"].journal
        journal.write("setting.changed", "0" * 26, {"name": "emergency_number", "value": "000"})
        pot = journal.write("crucible.added", None, {"ware": "alumina-99", "volume_ml": 40, "rated_c": 1650}).id
        journal.write("crucible.seen", pot, {"condition": "clean", "tare_g": 50.0})
        journal.write("code.assigned", pot, {"code": CODE, "thing": pot})
        told = {"name": "Box", "fuel": fuel, "layout": "grid", "tiers": 1, "rows": 2, "columns": 2}
        furnace = journal.write("furnace.described", None, told | {"volume_l": 8, "place": "roofed"}).id
        lines = [{"line": 1, "formula": "CuO", "target_g": 4.0}, {"line": 2, "formula": "SiO2", "target_g": 10.0}]
        plan = {"name": "Yard blue", "from": "grams", "lines": lines, "cooling_mode": "in-furnace"}
        self.batch = journal.write("batch.planned", None, plan).id
        segments = [{"to_c": 950, "rate_c_per_h": 300, "hold_min": 30}]
        self.firing = journal.write("firing.planned", None, {"furnace": furnace, "segments": segments}).id
        self.phone = Phone(self.app)
        self.entries: list[dict[str, Any]] = []
        self.told = self.tell()
        self.charge = fresh(START_MS)

    @property
    def state(self) -> Any:
        return self.app.extensions["bench"].state

    def tell(self) -> dict[str, Any]:
        """What the lists for the phone say of how things stand."""
        lists = [f"/batch/{self.batch}/offline.json", f"/firing/{self.firing}/offline.json"]
        found = {thing: told for one in lists for thing, told in self.phone.get(one).json["told"].items()}
        # What a list asks, in words, decides nothing.
        return {thing: {name: fact for name, fact in told.items() if name != "lists"} for thing, told in found.items()}

    def does(self, path: str, identity: str | None = None, **fields: str) -> None:
        """One form, as the outbox keeps it and sends it."""
        self.keeper.turn(1)
        at_ms = self.keeper.ms + AHEAD_MS
        record_id = identity or fresh(at_ms)
        answer = self.phone.send(path, fields, at_ms, record_id, waited=True)
        assert answer.json["status"] in ("kept", "done"), (path, answer.json)
        sent = [[name, value] for name, value in fields.items()] + [["record_id", record_id]]
        times = {"at_ms": at_ms, "offset_ms": -AHEAD_MS, "tz_min": 60}
        self.entries.append({"id": record_id, "action": path, "fields": sent, **times})

    def answers(self, path: str, phase: str, answer: str = "done", **more: str) -> None:
        library = self.app.extensions["bench"].library
        fuel = self.fuel if path.startswith("/firing") else "any"
        self.does(path, **{f"answer.{one.slug}": answer for one in library.asked_items(phase, fuel)}, **more)

    def case(self, name: str) -> dict[str, Any]:
        """How things stand now, by the laptop."""
        state, library = self.state, self.app.extensions["bench"].library
        things = {self.batch: "batch", self.firing: "firing"}
        things |= {self.charge: "charge"} if state.exists(self.charge) else {}
        steps = {thing: getattr(next_steps, f"{what}_step")(state, thing) for thing, what in things.items()}
        found = {
            "grind": _names(gate_batch(state, "grind", self.batch, library)),
            "light": _names(gate_light(state, self.firing, library)),
        }
        if self.charge in things:
            found["dry"] = _names(gate_dry(state, self.charge, library))
        with self.app.test_request_context("/"):
            found["close"] = _names(against_closing(firing(state, self.firing)))
        return {
            "name": name,
            "told": self.told,
            "entries": list(self.entries),
            "next": {thing: step.verb if step else None for thing, step in steps.items()},
            "of": {"grind": self.batch, "light": self.firing, "dry": self.charge, "close": self.firing},
            "against": found,
            "in_heat": {self.charge: charge(state, self.charge).state == "in-heat"} if self.charge in things else {},
            "going_in": self.going_in() if self.charge in things else None,
        }

    def going_in(self) -> list[str]:
        """What stands against putting the charge into the furnace now, of what a phone can know too."""
        found = gate_in(self.state, self.charge, self.firing, self.app.extensions["bench"].library)
        return sorted({one.rule for one in found} & RULES_IN)


def _names(findings: Any) -> list[str]:
    return sorted({one.rule for one in findings} & RULES)


def straight(story: Story) -> list[Any]:
    """From weighing, with an overshoot, to weigh-out."""
    batch, fire, charge = f"/batch/{story.batch}", f"/firing/{story.firing}", f"/charge/{story.charge}"
    found = [story.case("nothing done")]

    def then(name: str, path: str, identity: str | None = None, **fields: str) -> None:
        story.does(path, identity, **fields)
        found.append(story.case(name))

    story.answers(f"{batch}/weigh", "before-weighing")
    then("one weighed", f"{batch}/weigh/1", net_g="4,00")
    then("the second over, the batch grown", f"{batch}/weigh/2", before_g="110.50", after_g="100.00", do="scale")
    then("the first topped up", f"{batch}/weigh/1", adding="1", added_g="0.20", corrects=story.entries[1]["id"])
    then("ground in water", f"{batch}/grind", medium="water", streak="even")
    then("dried once", f"{batch}/dry", way="oven", c="110", gross_g="64.70", tare_g="50")
    then("dried, the same too soon", f"{batch}/dry", way="oven", c="110", gross_g="64.69", tare_g="50")
    story.keeper.turn(58)
    then("dried, steady an hour later", f"{batch}/dry", way="oven", c="110", gross_g="64.69", tare_g="50")
    then("filled", f"{batch}/load", story.charge, code=CODE, g="14.5", lid="loose")
    then("placed", f"{charge}/place", firing=story.firing, place="1.1.1")
    story.answers(f"{fire}/checks/before-lighting", "before-lighting")
    found.append(story.case("checked"))
    then("lit", f"{fire}/light")
    then("read", f"{fire}/reading", tens="94", digit="5")
    then("off", f"{fire}/off", reason="reached")
    then("out", f"{fire}/out", code=f"{CODE[:5]}-{CODE[5]}".lower(), rest_place="brick")
    then("read hot on itself", f"{charge}/cool", surface_c="80")
    then("read cold on itself", f"{charge}/cool", surface_c="22")
    then("opened", f"{charge}/open", gross_g="62", tare_after_g="50", fate="clean")
    story.answers(f"{fire}/checks/after-shutdown", "after-shutdown")
    found.append(story.case("looked long before the hour"))
    story.keeper.turn(60)
    then("looked, not well", f"{fire}/checks/after-shutdown", **{"answer.off-recheck": "not-done"})
    then("looked after the hour", f"{fire}/checks/after-shutdown", **{"answer.off-recheck": "done"})
    then("closed", f"{fire}/close")
    return found


def damp(story: Story) -> list[Any]:
    """Placed damp, with a check that says stop; then dried in the crucible and answered anew."""
    batch, fire, charge = f"/batch/{story.batch}", f"/firing/{story.firing}", f"/charge/{story.charge}"
    story.does(f"{batch}/weigh/1", net_g="4")
    story.does(f"{batch}/weigh/2", net_g="10")
    story.does(f"{batch}/grind", medium="dry", streak="even")
    story.told, story.entries = story.tell(), []
    found = [story.case("mixed, as told")]
    story.does(f"{batch}/load", story.charge, code=CODE, g="7", lid="loose")
    found.append(story.case("filled damp"))
    story.does(f"{charge}/place", firing=story.firing, place="1.2.2")
    story.answers(f"{fire}/checks/before-lighting", "before-lighting", "not-done")
    found.append(story.case("placed damp, checks say stop"))
    for mass in ("57.00", "57.00"):
        story.does(f"{charge}/dry", way="oven", c="110", gross_g=mass, tare_g="50")
        story.keeper.turn(60)
    found.append(story.case("dried in the crucible"))
    story.answers(f"{fire}/checks/before-lighting", "before-lighting")
    found.append(story.case("answered anew"))
    story.does("/undo", ids=story.entries[-1]["id"], back="/")
    found.append(story.case("and taken back"))
    story.does(f"{fire}/light")
    found.append(story.case("lit in spite of it"))
    story.does(f"{fire}/all-out")
    found.append(story.case("all out"))
    story.told, story.entries = story.tell(), []
    found.append(story.case("all of it told"))
    story.does(f"/thing/{story.batch}/close", outcome="failed")
    found.append(story.case("the batch closed"))
    return found


def hot(story: Story) -> list[Any]:
    """A fire that burns, and a damp charge that gets a place in it; then it is taken out, and told of."""
    batch, fire, charge = f"/batch/{story.batch}", f"/firing/{story.firing}", f"/charge/{story.charge}"
    story.does(f"{batch}/weigh/1", net_g="4")
    story.does(f"{batch}/weigh/2", net_g="10")
    story.does(f"{batch}/grind", medium="water", streak="even")
    story.does(f"{fire}/light", in_fact="1")
    story.told, story.entries = story.tell(), []
    story.does(f"{batch}/load", story.charge, code=CODE, g="7", lid="loose")
    found = [story.case("filled damp beside a fire that burns")]
    story.does(f"{charge}/place", firing=story.firing, place="1.1.2")
    found.append(story.case("placed damp in a fire that burns"))
    story.does(f"{fire}/out", charge=story.charge, rest_place="brick")
    found.append(story.case("out again"))
    story.does(f"{fire}/in", charge=story.charge)
    found.append(story.case("and in"))
    story.told, story.entries = story.tell(), []
    found.append(story.case("as told"))
    return found


def missed(story: Story) -> list[Any]:
    """A gas burner that does not light: its purge counts again five minutes later."""
    fire = f"/firing/{story.firing}"
    found = []
    story.answers(f"{fire}/checks/before-lighting", "before-lighting")
    found.append(story.case("a gas fire, all checked"))
    story.does(f"{fire}/unlit")
    found.append(story.case("it did not light"))
    for words, wait_min in (("purged too early", 1), ("purged after the wait", 6)):
        story.keeper.turn(wait_min)
        story.does(f"{fire}/checks/before-lighting", **{"answer.light-purge": "done"})
        found.append(story.case(words))
    return found


def cases() -> list[Any]:
    """All stories, their ids put in the order in which they appear."""
    found = []
    for tell, fuel in ((straight, "electric"), (damp, "electric"), (hot, "electric"), (missed, "gas")):
        with tempfile.TemporaryDirectory() as folder:
            story = Story(Path(folder), fuel)
            found += tell(story)
            story.app.extensions["bench"].journal.close()
    return list(_renamed(found))


def _renamed(found: list[Any]) -> list[Any]:
    names: dict[str, str] = {}
    text = ULID.sub(lambda one: names.setdefault(one[0], f"{len(names) + 1:026d}"), json.dumps(found))
    plain: list[Any] = json.loads(text)
    return plain


if __name__ == "__main__":
    write("gates", cases())
