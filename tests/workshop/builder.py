"""Makes valid records the way a bench would: rising order marks, dense numbers, ids of their own. For any test.

Time stands until `wait` moves it, save for one second a record. A method that makes a thing gives back its ULID;
every other one gives back the record, so that it can be corrected or withdrawn.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

from bench.records.filing import fold_all
from bench.records.kinds import KINDS
from bench.records.moments import to_ms, utc_text
from bench.records.record import BENCH, Record
from bench.records.state import State

START = datetime(2026, 3, 1, 8, 0, tzinfo=UTC)
FIGURES = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
SHA256 = "ab" * 32


def ulid(n: int) -> str:
    """The ULID that says the number `n`, from 0 to 2¹²⁸ − 1."""
    return "".join(FIGURES[(n >> 5 * place) & 31] for place in reversed(range(26)))


def moment(minutes: float) -> datetime:
    """The moment so many minutes after every builder's start."""
    return START + timedelta(minutes=minutes)


def text(minutes: float) -> str:
    """That moment as the records write it."""
    return utc_text(to_ms(moment(minutes)))


def lines(*parts: tuple[str, float] | tuple[str, float, str]) -> list[dict[str, Any]]:
    """The lines of a batch from (formula, grams) or (formula, grams, fate)."""
    found = []
    for n, part in enumerate(parts, 1):
        line: dict[str, Any] = {"line": n, "formula": part[0], "target_g": part[1]}
        found.append(line | ({"fate": part[2]} if len(part) == 3 else {}))
    return found


BLUE = lines(("Co3O4", 8.0), ("Al(OH)3", 12.0))


class Builder:
    """Writes records down in order; `state` is what they fold to."""

    def __init__(self, device: str = "laptop", first: int = 1) -> None:
        self.device = device
        self.records: list[Record] = []
        self.now = START
        self._next = first
        self._seq: dict[str, int] = defaultdict(int)

    @property
    def state(self) -> State:
        return fold_all(self.records)

    @property
    def minutes(self) -> float:
        """Minutes since START, for `happened`."""
        return (self.now - START).total_seconds() / 60

    def wait(self, minutes: float) -> None:
        self.now += timedelta(minutes=minutes)

    def new_id(self) -> str:
        self._next += 1
        return ulid((to_ms(START) << 80) + self._next)

    def add(
        self,
        kind: str,
        data: Mapping[str, Any],
        subject: str | None = None,
        *,
        happened: float | None = None,
        also: Mapping[str, str] | None = None,
        corrects: Sequence[str] = (),
        device: str | None = None,
    ) -> Record:
        """One record. Without a subject it makes a thing; `happened` (minutes after START) enters it late."""
        who, identity, ms = device or self.device, self.new_id(), to_ms(self.now)
        self._seq[who] += 1
        raw: dict[str, Any] = {
            "id": identity,
            "v": KINDS[kind].version,
            "kind": kind,
            "device": who,
            "seq": self._seq[who],
            "hlc": [ms, 0, who],
            "at": utc_text(ms),
            "offset_ms": 0,
            "tz_min": 60,
            "how": "live" if happened is None else "late",
            "subject": subject or identity,
            "also": dict(also or {}),
            "corrects": list(corrects),
            "data": dict(data),
        }
        if happened is not None:
            raw["happened_at"] = text(happened)
        record = Record.from_dict(raw)
        self.records.append(record)
        self.now += timedelta(seconds=1)
        return record

    def correct(self, record: Record, *others: Record, **changes: Any) -> Record:
        """The same record with some of its data changed. It happened when the first one did."""
        when = (record.when - START).total_seconds() / 60
        ids = [record.id, *(other.id for other in others)]
        data = {name.rstrip("_"): value for name, value in changes.items()}
        return self.add(
            record.kind, {**record.data, **data}, record.subject, happened=when, also=record.also, corrects=ids
        )

    def withdraw(self, *records: Record | str, subject: str = BENCH) -> Record:
        ids = [r if isinstance(r, str) else r.id for r in records]
        return self.add("withdrawn", {"ids": ids, "why": "a slip"}, subject)

    # Things ----------------------------------------------------------------------------------------------------

    def jar(self, formula: str = "Co3O4", reagent: str = "cobalt oxide", **data: Any) -> str:
        return self.add("jar.opened", {"reagent": reagent, "formula": formula, **data}).id

    def crucible(self, tare_g: float | None = 40.0, **data: Any) -> str:
        thing = self.add("crucible.added", {"ware": "alumina", "volume_ml": 30.0, "rated_c": 1500.0, **data}).id
        if tare_g is not None:
            self.seen(thing, tare_g=tare_g)
        return thing

    def seen(self, crucible: str, condition: str = "clean", **data: Any) -> Record:
        return self.add("crucible.seen", {"condition": condition, **data}, crucible)

    def furnace(self, fuel: str = "gas", **data: Any) -> str:
        return self.add("furnace.described", {"name": "forge", "fuel": fuel, "tiers": 1, **data}).id

    def batch(self, planned: Sequence[Mapping[str, Any]] = BLUE, name: str = "blue", **data: Any) -> str:
        body = {"name": name, "from": "grams", "lines": [dict(line) for line in planned], **data}
        return self.add("batch.planned", body).id

    def weigh(self, batch: str, *net_g: float, first: int = 1, jar: str | None = None) -> list[Record]:
        """The weighings of a batch's lines, in order from line `first`."""
        jars = {"jar": jar} if jar else {}
        return [self.add("weighed", {"line": n, "net_g": g, **jars}, batch) for n, g in enumerate(net_g, first)]

    def mixed(self, batch: str, medium: str = "water", **more: Any) -> Record:
        return self.add("mixed", {"medium": medium, "minutes": 10}, batch, **more)

    def dried(self, thing: str, *masses_g: float, where: str = "dish") -> list[Record]:
        """Dryings an hour apart, each with its mass."""
        found = []
        for mass in masses_g:
            self.wait(60)
            found.append(self.add("dried", {"where": where, "c": 110.0, "mass_g": mass}, thing))
        return found

    def ready_batch(self, planned: Sequence[Mapping[str, Any]] = BLUE, **data: Any) -> str:
        """A batch that is weighed to the plan, ground wet and dried to steady mass."""
        thing = self.batch(planned, **data)
        self.weigh(thing, *(line["target_g"] for line in planned))
        self.mixed(thing)
        total = sum(line["target_g"] for line in planned)
        self.dried(thing, total, total)
        return thing

    def charge(self, *sources: Mapping[str, Any], crucible: str | None = None, **data: Any) -> str:
        body = {"crucible": crucible or self.crucible(), "sources": [dict(s) for s in sources], **data}
        return self.add("charged", body).id

    def firing(self, furnace: str | None = None, peak_c: float = 1200.0, **data: Any) -> str:
        segments = [{"to_c": peak_c, "rate_c_per_h": 300.0, "hold_min": 60.0}]
        return self.add("firing.planned", {"furnace": furnace or self.furnace(), "segments": segments, **data}).id

    def opened(self, charge: str, gross_g: float | None = 58.0, **data: Any) -> str:
        return self.add("opened", {"gross_g": gross_g, **data}, charge).id

    def gathered(self, *sources: Mapping[str, Any]) -> str:
        return self.add("gathered", {"sources": [dict(s) for s in sources]}).id

    def swatch(self, pigment: str, **data: Any) -> str:
        return self.add("swatch.made", {"pigment": pigment, "binder": "linseed oil", **data}).id

    # The fire --------------------------------------------------------------------------------------------------

    def placed(self, charge: str, firing: str, **more: Any) -> Record:
        happened = more.pop("happened", None)
        spot = {"tier": 1, "row": 1, "column": 1, **more}
        return self.add("placed", {"firing": firing, **spot}, charge, happened=happened)

    def check(
        self, firing: str, item: str = "light-zone", answer: str = "done", phase: str = "before-lighting"
    ) -> Record:
        return self.add("check.answered", {"list": phase, "item": item, "answer": answer}, firing)

    def lit(self, firing: str, **more: Any) -> Record:
        return self.add("lit", {}, firing, **more)

    def off(self, firing: str, reason: str = "reached", **more: Any) -> Record:
        return self.add("fire.off", {"reason": reason}, firing, **more)

    def reading(self, firing: str, c: float, **more: Any) -> Record:
        return self.add("reading", {"c": c}, firing, **more)

    def went_in(self, firing: str, charge: str, **more: Any) -> Record:
        return self.add("went.in", {"firing": firing, "charge": charge}, firing, **more)

    def came_out(self, firing: str, charge: str, rest_place: str = "brick", **more: Any) -> Record:
        return self.add("came.out", {"firing": firing, "charge": charge, "rest_place": rest_place}, firing, **more)

    def all_out(self, firing: str, rest_place: str = "sand", **more: Any) -> Record:
        return self.add("came.out", {"firing": firing, "all": True, "rest_place": rest_place}, firing, **more)

    def touched(self, thing: str, surface_c: float, **more: Any) -> Record:
        return self.add("touched", {"thing": thing, "surface_c": surface_c}, thing, **more)

    def fired(self, *charges: str, firing: str | None = None) -> str:
        """Places charges, fires them for three hours, takes each out and lets it cool to the hand."""
        fire = firing or self.firing()
        for charge in charges:
            self.placed(charge, fire)
        self.lit(fire)
        self.wait(180)
        self.reading(fire, 1200.0)
        self.off(fire)
        self.wait(300)
        for charge in charges:
            self.came_out(fire, charge)
        self.wait(120)
        for charge in charges:
            self.touched(charge, 22.0)
        return fire

    # The powder ------------------------------------------------------------------------------------------------

    def washed(self, pigment: str, round_: int = 1, **more: Any) -> Record:
        return self.add("washed", {"round": round_, "water_ml": 200.0}, pigment, **more)

    def ground(self, pigment: str, medium: str = "water", **more: Any) -> Record:
        return self.add("ground", {"medium": medium, "minutes": 5}, pigment, **more)

    def dry_weighed(self, pigment: str, net_g: float, **more: Any) -> Record:
        return self.add("dry.weighed", {"net_g": net_g}, pigment, **more)

    def judged(self, thing: str, verdict: str = "keep", **more: Any) -> Record:
        return self.add("judged", {"verdict": verdict}, thing, **more)

    def lost(self, thing: str, g: float | None, how: str = "spill") -> Record:
        return self.add("lost", {"from": thing, "g": g, "how": how}, thing)

    def closed(self, thing: str, outcome: str = "done", **more: Any) -> Record:
        return self.add("closed", {"outcome": outcome}, thing, **more)

    def coded(self, thing: str, code: str) -> Record:
        return self.add("code.assigned", {"code": code, "thing": thing}, thing)
