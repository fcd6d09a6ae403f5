"""The same submit sent again says the same again, also where it counts from now."""

from bench.records.moments import instant, to_ms, utc_text
from bench.web.current import current_bench
from bench.web.forms import Form
from bench.web.recording import entry_id

MINUTE_MS = 60_000
NEAR_MS = 5_000
"""Between reading a form and keeping its record there is never more than this."""


def from_now(form: Form, minutes: float, name: str, n: int = 0) -> str:
    """The moment so many minutes from now, UTC, for the field `name` of the form's nth record.

    A submit that comes a second time, because its answer was lost, gets the moment that it got the first time; one
    with other minutes in it does not.
    """
    record = current_bench().state.record(entry_id(form, n))
    said = record.data.get(name) if record is not None else None
    if record is not None and isinstance(said, str):
        counted = to_ms(instant(said)) - to_ms(instant(record.at))
        if abs(counted - minutes * MINUTE_MS) < NEAR_MS:
            return said
    return utc_text(form.now_ms + round(minutes * MINUTE_MS))
