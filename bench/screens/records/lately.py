"""What was recorded last of the thing that a form is about: it stands beside the form on a laptop."""

from flask import Blueprint, request

from bench.records.listed import part_of
from bench.screens.kit.record_view import RecordView, describe_record
from bench.web.channel import device
from bench.web.current import current_bench

blueprint = Blueprint("lately", __name__)

MOST = 5
BESIDE_THE_POINT = frozenset({"code.assigned", "check.answered", "withdrawn"})
"""What a list has a page of its own for, and what says nothing of the thing itself."""


@blueprint.app_template_global()
def lately() -> list[RecordView]:
    """The last records of this page's thing, newest first. A phone has no room for them, and does not wait for them."""
    thing = (request.view_args or {}).get("thing", "")
    state = current_bench().state
    if device() or not thing or not state.exists(thing):
        return []
    lists = [state.listed(thing, kind) for kind in state.kinds_about(thing) if kind not in BESIDE_THE_POINT]
    total = sum(len(each) for each in lists)
    last = part_of(lists, max(0, total - MOST), MOST)
    return [describe_record(one) for one in reversed(last) if state.is_effective(one.id)]
