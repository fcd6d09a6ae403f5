"""How much oxygen the furnaces of this bench have over the charge."""

from bench.records.state import State
from bench.reference.surroundings import AIR_O2_PCT, GAS_FURNACE_O2_PCT


def furnace_o2_pct(state: State) -> float:
    """Oxygen in per cent while no furnace is chosen yet: that of a gas furnace where only such stand here, else air."""
    fuels = {state.slot(thing, "furnace.described").body.fuel for thing in state.open_things("furnace")}
    return GAS_FURNACE_O2_PCT if fuels == {"gas"} else AIR_O2_PCT
