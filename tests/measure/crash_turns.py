"""Cuts by name: between each two steps of a disk, in five ways, while eight requests at a time have their turns.

A record is read as soon as it is queued, so what was shown counts as much as what was acknowledged: a turn that was not
called off has seen nothing that a cut then takes away.
"""

import threading
from pathlib import Path
from random import Random
from typing import Any

from bench.journal import FILE, Journal, NotKept
from bench.journal.lines import doc_of
from bench.journal.survey import survey
from bench.web.turns import TRIES
from tests.measure.crash_cuts import Cuts, Recorder, power_cut
from tests.measure.hand import assay, open_journal, ulid

JAR = ulid(9_000_000)
WRITERS, RECORDS = 8, 96
WAYS = ("all", "none", "front", "any", "any")


def cut_by_name(folder: Path, seed: int, refuse: float = 0.1) -> Cuts:
    """Writes once in turns of eight threads, then cuts before every step in every way."""
    recorder = Recorder(Random(seed), refuse)
    with open_journal(folder, disk=recorder.disk()) as journal:
        start = (folder / FILE).read_bytes()
        _in_turns(journal, recorder)
    rng, found = Random(seed), Cuts()
    for at in range(1, len(recorder.steps) + 1):
        shown = {key for kind, _, told in recorder.steps[:at] if kind == "confirmed" for key in told.decode().split()}
        for way in WAYS:
            seen = survey(power_cut(start, recorder.steps, at, rng, way)).lines
            found.cuts += 1
            found.acks += len(shown)
            found.lost += len(shown - set(seen))
            found.wrong += sum(not _is_ours(key, doc_of(line)) for key, line in seen.items())
    return found


def _in_turns(journal: Journal, recorder: Recorder) -> None:
    def work(first: int) -> None:
        for number in range(first, RECORDS, WRITERS):
            shown = answered(journal, number)
            recorder.steps.append(("confirmed", 0, " ".join(shown).encode()))

    threads = [threading.Thread(target=work, args=(n,)) for n in range(WRITERS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


def answered(journal: Journal, number: int) -> list[str]:
    """What one request is shown in the end: as the bench answers, it is done again where its state was not kept."""
    for attempt in range(TRIES):
        turn, shown = journal.turn(at_once=attempt > 0), list[str]()
        turn.begin()
        broke: Exception | None = None
        try:
            shown = _page(journal, number)
        except Exception as error:  # it reads what is no longer there, and its page is thrown away
            broke = error
        finally:
            turn.leave()
        if not turn.failed:
            if broke is not None:
                raise broke
            return shown
    return []


def _page(journal: Journal, number: int) -> list[str]:
    before = [record.id for record in journal.by("kind", "jar.assayed")]
    try:
        journal.write("jar.assayed", JAR, assay(number), id=ulid(number))
        return [*before, ulid(number)]
    except NotKept:  # the page that says so is drawn from what stands now
        return [record.id for record in journal.by("kind", "jar.assayed")]


def _is_ours(key: str, doc: dict[str, Any]) -> bool:
    number = int(doc["data"]["before_g"])
    return key == ulid(number) and doc["data"] == assay(number)
