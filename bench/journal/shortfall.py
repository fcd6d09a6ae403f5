"""What the data file does not hold although it was here once, and what brings it back: asked until it is settled."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

from bench.journal.backups import Backups, Ground, Offer
from bench.journal.damage import Gone, records_in_words, say_gaps, say_gone
from bench.journal.refilling import DOUBTFUL
from bench.records.moments import utc_text
from bench.translation import _


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
        told = [_("There was no data file, so the bench began an empty one.")] if self.new else []
        told += [self._told_of(self.offers[0])] if self.offers else []
        told += self._told_of_numbers()
        told += [say_gaps(list(self.gaps))] if self.gaps else []
        for one in self.doubtful:
            told.append(
                _(
                    "{gains} could be read, but the check sum is wrong. Import them, marked, or leave them out.",
                    gains=records_in_words(one.gains),
                )
            )
        return told

    def _told_of_numbers(self) -> list[str]:
        highs = self.offers[0].highs if self.offers else {}
        rest = [replace(one, first=max(one.first, highs.get(one.device, 0) + 1)) for one in self.lacking]
        rest = [one for one in rest if one.count > 0]
        if not rest:
            return []
        said = say_gone(rest)
        return [_("No backup holds all of it. {missing}", missing=said) if self.offers else said]

    def _told_of(self, offer: Offer) -> str:
        where = offer.path.name if offer.path.parent.name == "backups" else offer.path  # else in the second folder
        named = {"where": where, "records": records_in_words(offer.records), "day": day_of(offer), "n": offer.gains}
        if offer.gains == offer.records:
            return _(
                "The backup {where} holds {records}, the newest of {day}. None of them is in the data file.", **named
            )
        return _(
            "The backup {where} holds {records}, the newest of {day}. Of these, {n:,} are not in the data file.",
            **named,
        )


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
