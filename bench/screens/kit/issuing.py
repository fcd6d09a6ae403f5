"""Codes for new things: only the laptop issues them, and each is on the disk before it is printed."""

import secrets

from bench.science.codes import BODIES, new_codes
from bench.screens.kit.forms import Form
from bench.screens.kit.recording import Entry, entry_id
from bench.workshop.records import BENCH
from bench.workshop.state import State


def free_code(state: State) -> str:
    """A code that was never issued here."""
    return free_codes(state, 1)[0]


def free_codes(state: State, count: int) -> list[str]:
    """Codes that were never issued here, each once."""
    return new_codes(count, lambda: secrets.randbelow(BODIES), state.all_issued())


def spare_codes(state: State) -> list[str]:
    """Codes that were issued and stand on no thing yet: tags that wait for their crucible."""
    return sorted(code for code in state.all_issued() if not state.things_with(code))


def code_entries(state: State, form: Form, thing: str | None = None, code: str | None = None) -> list[Entry]:
    """The records that give a thing its code, to be kept in the same submit as the record that makes the thing.

    `thing` None: the thing that this form's first record makes. `code` None: a fresh one is issued. A repeat of the
    submit gives the same entries, so that every record of it is found to be the same.
    """
    owner = thing or entry_id(form, 0)
    chosen = code or state.code_of(owner) or free_code(state)
    return [
        Entry("code.issued", BENCH, {"codes": [chosen]}),
        Entry("code.assigned", owner, {"code": chosen, "thing": owner}),
    ]
