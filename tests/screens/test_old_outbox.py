"""A phone that was out with pages from before the steps were declared, its outbox full: all of it arrives, each once.

The forms were kept from that program, which took them too: from the checks before weighing to the verdict, and a loss.
BATCH, FIRING and CHARGE are things of this bench, ENTRYn the id of the nth form.
"""

import json
from collections import Counter
from pathlib import Path
from typing import Any

from bench.web.ids import fresh
from bench.workshop.things.batches import batch
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import firing
from bench.workshop.things.pigments import pigment
from tests.screens.test_outbox import AHEAD_MS
from tests.vectors.write_gates import Story

KEPT = Path(__file__).parents[1] / "data" / "outbox_before_steps.json"


def entries(story: Story) -> list[dict[str, Any]]:
    """The forms as they wait, with this bench's things in them."""
    text = KEPT.read_text(encoding="utf-8")
    rows = json.loads(text)
    names = {"BATCH": story.batch, "FIRING": story.firing, "CHARGE": story.charge}
    names |= {row["id"]: fresh(story.keeper.ms + n) for n, row in enumerate(rows) if row["id"].startswith("ENTRY")}
    for name in sorted(names, key=len, reverse=True):
        text = text.replace(name, names[name])
    found: list[dict[str, Any]] = json.loads(text)
    return found


def test_a_full_outbox_of_before_is_delivered_whole_and_once(tmp_path: Path) -> None:
    story = Story(tmp_path / "bench")
    waiting, made_ms = entries(story), story.keeper.ms
    story.keeper.turn(600)
    for n, one in enumerate(waiting, 1):
        at_ms = made_ms + 60_000 * n + AHEAD_MS
        for _time in range(2):  # the first answer is lost on its way
            answer = story.phone.send(one["action"], dict(one["fields"]), at_ms, one["id"], waited=True)
            assert answer.status_code == 200 and answer.json["status"] in ("kept", "done"), (one, answer.json)
    kinds = Counter(r.kind for r in story.phone.records() if r.kind not in ("check.answered", "code.issued"))
    assert kinds == {
        "weighed": 3, "rescaled": 1, "mixed": 1, "dried": 2, "charged": 1, "placed": 1, "lit": 1, "reading": 1,
        "fire.off": 1, "came.out": 1, "touched": 2, "opened": 1, "crucible.seen": 1, "code.assigned": 2, "washed": 1,
        "ground": 1, "dry.weighed": 1, "swatch.made": 1, "judged": 1, "lost": 1,
    }  # fmt: skip
    seen = batch(story.state, story.batch)
    assert (
        seen is not None and [line.weighed_g for line in seen.lines] == [4.2, 10.5] and seen.damp
    )  # dried minutes apart
    held, fire = charge(story.state, story.charge), firing(story.state, story.firing)
    assert held is not None and held.state == "opened" and held.dry_g == 14.5
    assert (
        fire is not None and fire.off is not None and fire.last_reading is not None and fire.last_reading.body.c == 945
    )
    powder = pigment(story.state, story.state.things("pigment")[0])
    assert powder is not None and (powder.washes, powder.dry_g, len(powder.swatches)) == (1, 11.85, 1)
    assert powder.judged is not None and powder.judged.verdict == "keep" and powder.lost_g == 0.1
    assert not story.app.extensions["bench"].journal.conflicts
