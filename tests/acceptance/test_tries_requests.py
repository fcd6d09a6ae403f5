"""Requests that no form would send, over the wire to a bench that serves: a share of `saggar measure --fuzz`."""

import pytest

from tests.acceptance.addresses import addresses, few
from tests.acceptance.desk import Desk, all_forms
from tests.measure.fuzz import at_the_doors, grounds_of, ids_of, sent
from tests.measure.fuzz_requests import drawn

COUNT = 300


@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")  # half a file: its reader lets it go
def test_none_breaks_the_bench_or_loses_a_record(here: Desk) -> None:
    paths = [path for some in addresses(here.app).values() for path in few(some, 2)]
    forms = [form for some in all_forms(here).values() for form in some]
    with at_the_doors(here.app, grounds_of(here.app, paths, forms)) as doors:
        before = set(ids_of(doors.journal))
        found = sent(doors, range(COUNT), seed=77)
        assert [(number, why, asked.raw[:300]) for number, why, asked in found.fallen] == []
        assert before <= set(ids_of(doors.journal))
    taken = sum(count for status, count in found.statuses.items() if 200 <= status < 400)
    refused = sum(count for status, count in found.statuses.items() if 400 <= status < 500)
    assert sum(found.statuses.values()) == COUNT and taken > 20 and refused > 100


def test_the_same_number_draws_the_same_request(here: Desk) -> None:
    forms = [form for some in all_forms(here).values() for form in some]
    grounds = grounds_of(here.app, ["/", "/batches"], forms)
    assert [drawn(grounds, n, 5).raw for n in range(50)] == [drawn(grounds, n, 5).raw for n in range(50)]
    assert drawn(grounds, 1, 5).raw != drawn(grounds, 1, 6).raw
