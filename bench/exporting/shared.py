"""Which records go along when one batch is shared with other workshops."""

from bench.exporting.crate import records_of, relatives
from bench.records.state import State
from bench.science.codes import normalised
from bench.science.refusal import Refusal
from bench.translation import _


def shared_ids(state: State, code: str) -> list[str]:
    """The records of the batch with a code, of what it was made in and of and of all that came of it; Refusal.

    What withdraws one of them goes along: else it would stand again where others read it.
    """
    things = state.things_with(normalised(code))
    thing = next((one for one in things if state.kind_of.get(one) == "batch"), None)
    if thing is None:
        raise Refusal(_("No batch has this code."), "code")
    found = [record.id for record in records_of(state, relatives(state, thing))]
    undone = [one for identity in found for one in state.withdrawn_by.get(identity, ())]
    return list(dict.fromkeys([*found, *undone]))
