"""A whole batch on a laptop, from the plan to the verdict, by the keyboard alone."""

from pathlib import Path
from typing import Any

import pytest

from tests.measure.keyboard_hand import KeyboardHand
from tests.measure.pace import SLOW_MS, START_MS, Standing, served
from tests.measure.pace_walk import Walk, furnish

LAPTOP = {"width": 1366, "height": 768}
MOST_TABS = 180
"""In a whole batch; most of them are on its checks, where no answer has the focus before it was read."""


@pytest.mark.long
def test_a_batch_is_done_without_a_mouse(chromium: Any, tmp_path: Path) -> None:
    clock = Standing(START_MS)
    with served(tmp_path, clock) as (url, bench):
        page = chromium.new_context(viewport=LAPTOP, base_url=url).new_page()
        page.set_default_timeout(SLOW_MS)
        hand = KeyboardHand(page)
        Walk(hand, clock, bench, furnish(bench)[0], wet=True).go()
        judged = bench.state.rows(bench.state.things("pigment")[0], "judged")
        page.context.close()
    assert [one.body.verdict for one in judged] == ["keep"]
    assert 100 < hand.tabs < MOST_TABS and not hand.unseen, (hand.tabs, hand.unseen)
