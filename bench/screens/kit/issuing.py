"""Codes for new things: only the laptop issues them, and each is on the disk before it is printed."""

import secrets

from bench.records.record import BENCH
from bench.records.state import State
from bench.science.codes import BODIES, is_valid, new_codes, normalised
from bench.science.refusal import Refusal
from bench.web.channel import pairing
from bench.web.current import current_bench
from bench.web.forms import Form
from bench.web.recording import Entry, entry_id


def free_code() -> str:
    """A code that was never issued here."""
    return free_codes(1)[0]


def free_codes(count: int) -> list[str]:
    """Codes that were never issued here, each once."""
    return new_codes(count, lambda: secrets.randbelow(BODIES), current_bench().state.all_issued())


def spare_codes() -> list[str]:
    """Codes that were issued and stand on no thing yet: tags that wait for their crucible. Phones' own are left out."""
    state = current_bench().state
    kept = {code for one in pairing().devices if one.shut_ms is None for code in in_stock(state, one.id)}
    return [code for code in state.memoize("codes-on-nothing", lambda: _on_nothing(state)) if code not in kept]


def _on_nothing(state: State) -> list[str]:
    return sorted(code for code in state.all_issued() if not state.things_with(code))


def stock_name(phone: str) -> str:
    """The setting in which the codes of a phone are kept."""
    return f"codes of {phone}"


def in_stock(state: State, phone: str) -> list[str]:
    """The codes that lie ready on a phone: those of its stock that stand on no thing yet."""
    kept = state.setting(stock_name(phone), [])
    return [code for code in kept if not state.things_with(code)] if isinstance(kept, list) else []


def brought_code(form: Form, owner: str) -> str | None:
    """The code that a phone gave to what was made out of reach, from its stock; None where it gave none of ours."""
    try:
        typed = normalised(form.typed.get("new_code", "")[:16])
    except Refusal:
        return None
    state = current_bench().state
    free = typed in state.all_issued() and not set(state.things_with(typed)) - {owner}
    return typed if is_valid(typed) and free else None


def code_entries(form: Form, thing: str | None = None, code: str | None = None) -> list[Entry]:
    """The records that give a thing its code, to be kept in the same submit as the record that makes the thing.

    `thing` None: the thing that this form's first record makes. `code` None: a fresh one is issued. A repeat of the
    submit gives the same entries, so that every record of it is found to be the same.
    """
    owner = thing or entry_id(form, 0)
    chosen = code or current_bench().state.code_of(owner) or brought_code(form, owner) or free_code()
    return [
        Entry("code.issued", BENCH, {"codes": [chosen]}),
        Entry("code.assigned", owner, {"code": chosen, "thing": owner}),
    ]
