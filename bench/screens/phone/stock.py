"""The codes that lie ready on each phone, for what is made out of the laptop's reach. None is ever given twice.

They are issued like all codes, and kept for the phone in a setting of its own name. What is used comes back with its
record; what is not used stays with the phone. A phone that is removed gives its codes back to the spare ones.
"""

from typing import Any

from flask import Blueprint, Response, abort, jsonify

from bench.journal.receipts import Draft
from bench.records.record import BENCH
from bench.screens.kit.issuing import free_codes, in_stock, stock_name
from bench.web.channel import device
from bench.web.current import current_bench
from bench.web.words import _

blueprint = Blueprint("stock", __name__)

FULL = 8


@blueprint.post("/outbox/codes")
def give() -> Response:
    """The codes of the phone that asks, made up to a full stock."""
    here: Any = device()
    if here is None:
        abort(403, _("Codes are kept on paired phones only."))
    state = current_bench().state
    kept = in_stock(state, here.id)
    fresh = free_codes(FULL - len(kept)) if len(kept) < FULL else []
    if fresh:
        setting = {"name": stock_name(here.id), "value": [*kept, *fresh]}
        drafts = [Draft("code.issued", BENCH, {"codes": fresh}), Draft("setting.changed", BENCH, setting)]
        current_bench().journal.write_all(drafts)
    return jsonify(codes=[*kept, *fresh])
