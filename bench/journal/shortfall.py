"""What the data file does not hold although it was here once, and what brings it back: asked until it is settled."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

from bench.journal.backups import Backups, Ground, Offer
from bench.journal.damage import Gone, many, say_gaps, say_gone
from bench.journal.refilling import DOUBTFUL
from bench.records.moments import utc_text


@dataclass(frozen=True)
class Shortfall:
    """The question: `offers` hold what the file does not, `doubtful` are records whose sum did not fit.

    `lacking` are numbers that were kept here once; `new` says that there was no file, `held` how many records it has.
    `gaps` are numbers in between that no record has.
    """

    offers: tuple[Offer, ...]
    doubtful: tuple[Offer, ...]
    lacking: tuple[Gone, ...]
    new: bool
    held: int
    gaps: tuple[Gone, ...] = ()

    @property
    def sentences(self) -> list[str]:
        """What a person is told; each names what it is about, so that they can stand alone."""
        told = ["There was no data file, so the bench began an empty one."] if self.new else []
        told += [self._told_of(self.offers[0])] if self.offers else []
        told += self._told_of_numbers()
        told += [say_gaps(list(self.gaps))] if self.gaps else []
        for one in self.doubtful:
            told.append(
                f"{many(one.gains, 'record')} could be read, but the check sum did not fit: "
                "take them in, marked, or leave them."
            )
        return told

    def _told_of_numbers(self) -> list[str]:
        highs = self.offers[0].highs if self.offers else {}
        rest = [replace(one, first=max(one.first, highs.get(one.device, 0) + 1)) for one in self.lacking]
        rest = [one for one in rest if one.count > 0]
        if not rest:
            return []
        return [f"{'No backup holds all of it. ' if self.offers else ''}{say_gone(rest)}"]

    def _told_of(self, offer: Offer) -> str:
        where = offer.path.name if offer.path.parent.name == "backups" else offer.path  # else in the second folder
        kept = f"the backup {where} holds {many(offer.records, 'record')}, the newest of {day_of(offer)}"
        there = "none of them is" if offer.gains == offer.records else f"{offer.gains:,} of them are not"
        return f"{kept[0].upper()}{kept[1:]}; {there} in the data file."


def day_of(offer: Offer) -> str:
    """The day of the newest record of an offer, in UTC."""
    return utc_text(offer.newest_ms)[:10]


def look(
    backups: Backups,
    ground: Ground,
    lacking: list[Gone],
    new: bool,
    elsewhere: Iterable[Path] = (),
    gaps: Iterable[Gone] = (),
) -> Shortfall | None:
    """The question as it stands; None where the file holds all that was ever here. `elsewhere`: further backups."""
    found = [*backups.offers(ground), *filter(None, (backups.offer(path, ground) for path in elsewhere))]
    offers = sorted(found, key=lambda offer: (offer.gains, offer.records), reverse=True)
    files = sorted(backups.folder.glob(f"*{DOUBTFUL}"))
    doubtful = [offer for path in files if (offer := backups.offer(path, ground)) is not None]
    between = tuple(gaps)
    if not (offers or doubtful or lacking or between):
        return None
    return Shortfall(tuple(offers), tuple(doubtful), tuple(lacking), new, len(ground.places), between)
