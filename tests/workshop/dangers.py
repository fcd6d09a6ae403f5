"""A bench for dangerous situations: real records, and the gate of the step at which a maker would be."""

from collections.abc import Mapping
from typing import Any

from bench.reckoning.rules import Finding
from bench.records.kinds import Source
from bench.records.record import BENCH
from bench.reference import load_library
from bench.workshop.alarms import alarms
from bench.workshop.gates import gate_batch, gate_dry, gate_load, gate_out, gate_pigment, gate_plan
from bench.workshop.light_gate import gate_light
from bench.workshop.things.firings import firing as firing_of
from bench.workshop.waste_gate import gate_waste
from bench.workshop.watching import gate_fire, gate_leave
from tests.workshop.builder import Builder, lines

LIBRARY = load_library()
GAS = {"fuel": "gas", "layout": "ring", "places": 6, "place": "outdoors", "lining_rated_c": 1400.0}
BLUE = (("Co3O4", 4.0), ("Al(OH)3", 8.0))
CHALK = (("CaCO3", 5.0),)
Found = dict[str, Finding]


class Dangers(Builder):
    """A builder that asks the gates. Everything is careful unless it is told otherwise."""

    def __init__(self) -> None:
        super().__init__()
        self.setting("emergency_number", "000")

    def setting(self, name: str, value: Any) -> None:
        self.add("setting.changed", {"name": name, "value": value}, BENCH)

    @staticmethod
    def by_rule(found: list[Finding]) -> Found:
        return {finding.rule: finding for finding in found}

    def at_plan(self, *parts: tuple[str, float], **plan: Any) -> Found:
        thing = self.batch(lines(*parts), **plan)
        return self.by_rule(gate_plan(self.state.slot(thing, "batch.planned").body, self.state, LIBRARY))

    def at_batch(
        self, step: str, *parts: tuple[str, float], more: Mapping[str, Any] | None = None, **plan: Any
    ) -> Found:
        """Weighing, mixing, grinding or drying a batch whose lines are weighed."""
        thing = self.batch(lines(*parts), **plan)
        if step != "weigh":
            self.weigh(thing, *(g for _, g in parts))
        return self.by_rule(gate_batch(self.state, step, thing, LIBRARY, **(more or {})))

    def at_load(
        self,
        *parts: tuple[str, float],
        ware: str = "alumina-99",
        rated_c: float | None = 1650.0,
        vessel: str | None = None,
        lid: str = "vented",
        packing: str | None = None,
        more: Mapping[str, Any] | None = None,
        **plan: Any,
    ) -> Found:
        thing = self.ready_batch(lines(*parts), **plan)
        pot = vessel or self.crucible(ware=ware, rated_c=rated_c)
        sources = (Source(g=sum(g for _, g in parts), batch=thing),)
        return self.by_rule(gate_load(self.state, pot, sources, lid, LIBRARY, packing=packing, **(more or {})))

    def loaded(
        self, *parts: tuple[str, float], dry: bool = True, furnace: Mapping[str, Any] = GAS, peak_c: float = 1000.0,
        pots: int = 1, lid: str = "vented", vessel: Mapping[str, Any] | None = None, **plan: Any,
    ) -> str:  # fmt: skip
        """A firing, planned and checked, with a batch parted over its crucibles."""
        told = {"schedule": [{"to_c": peak_c, "hold_min": 60}], **plan}
        thing = self.ready_batch(lines(*parts), **told) if dry else self.batch(lines(*parts), **told)
        if not dry:
            self.weigh(thing, *(g for _, g in parts))
            self.mixed(thing)
        firing = self.firing(self.furnace(**furnace), peak_c=peak_c)
        share = sum(g for _, g in parts) / pots
        for n in range(pots):
            pot = self.crucible(**{"ware": "alumina-99", "rated_c": 1650.0, **(vessel or {})})
            charge = self.charge({"batch": thing, "g": share}, crucible=pot, lid=lid)
            self.placed(charge, firing, column=n + 1)
        return firing

    def ticked(self, firing: str, phase: str = "before-lighting", fuel: str = "gas", but: tuple[str, ...] = ()) -> None:
        """Every item of a list answered done, save those named."""
        slugs = [item.slug for item in LIBRARY.asked_items(phase, fuel)]
        assert set(but) <= set(slugs), "an item that is not on the list cannot be left out"
        for slug in slugs:
            if slug not in but:
                self.check(firing, slug, "done", phase)

    def at_light(self, *parts: tuple[str, float], but: tuple[str, ...] = (), **more: Any) -> Found:
        firing = self.loaded(*(parts or BLUE), **more)
        self.ticked(firing, fuel=more.get("furnace", GAS)["fuel"], but=but)
        return self.lighting(firing)

    def lighting(self, firing: str) -> Found:
        return self.by_rule(gate_light(self.state, firing, LIBRARY))

    def burning(self, c: float = 700.0, **more: Any) -> tuple[str, str]:
        """A fire with one charge in it, at a reading: the firing and the charge."""
        firing = self.loaded(*BLUE, **more)
        self.ticked(firing)
        self.lit(firing)
        self.wait(60)
        self.reading(firing, c)
        return firing, self.state.things("charge")[-1]

    def at_open(self, charge: str) -> Found:
        return self.by_rule(gate_out(self.state, charge, LIBRARY))

    def at_hot_pull(self, *parts: tuple[str, float], **plan: Any) -> Found:
        """A charge of these to be pulled hot, with everything checked."""
        firing = self.loaded(*parts, peak_c=900.0, **plan)
        self.ticked(firing)
        self.ticked(firing, "before-opening")
        self.lit(firing)
        self.wait(60)
        self.reading(firing, 850.0)
        return self.at_open(self.state.things("charge")[-1])

    def at_oven(self, charge: str, **more: Any) -> Found:
        return self.by_rule(gate_dry(self.state, charge, LIBRARY, **more))

    def powder(self, *parts: tuple[str, float], **plan: Any) -> str:
        """A fired powder, cold and opened."""
        thing = self.ready_batch(lines(*parts), **plan)
        charge = self.charge({"batch": thing, "g": sum(g for _, g in parts)}, lid="vented")
        self.fired(charge)
        return self.opened(charge)

    def at_powder(self, step: str, powder: str, **more: Any) -> Found:
        return self.by_rule(gate_pigment(self.state, step, powder, LIBRARY, **more))

    def container(self, contents: str, *more: str, **told: Any) -> str:
        """A waste container that was set up for something, with more in it."""
        thing = self.new_id()
        for words in (contents, *more):
            self.add("waste.added", {"container": thing, "contents": words, **told}, thing)
        return thing

    def at_waste(self, container: str, contents: str, **more: Any) -> Found:
        return self.by_rule(gate_waste(self.state, container, contents, LIBRARY, **more))

    def at_fire(self, *parts: tuple[str, float], **more: Any) -> Found:
        """A burning fire with a charge in it."""
        firing = self.loaded(*parts, **more)
        self.ticked(firing)
        self.lit(firing)
        return self.by_rule(gate_fire(self.state, firing, LIBRARY))

    def leaving(self, handed_to: str | None = None, off: bool = False) -> Found:
        """A fire that its maker wants to leave, or has handed over, or put out first."""
        firing, _ = self.burning(700.0)
        if handed_to is not None:
            self.add("noted", {"what": "watch", "value": f"with {handed_to}"}, firing)
            fire = firing_of(self.state, firing)
            assert fire is not None
            raised = {one.rule for one in alarms(self.state, fire, self.now, LIBRARY)}
            return {rule: found for rule, found in self._wish(firing).items() if rule in raised}
        if off:
            self.off(firing)
        return self._wish(firing)

    def _wish(self, firing: str) -> Found:
        return self.by_rule(gate_leave(self.state, firing, LIBRARY))
