"""What a person does with a hub by command: connect, look, bring together, share, read; and keep the hub itself."""

import getpass
import sys
from pathlib import Path

from bench import clock
from bench.by_hand import left, may_come_together, pictures_and_files, tell, told_of_sync
from bench.exporting.shared import shared_ids
from bench.journal.damage import records_in_words
from bench.journal.hub.address import Address, read_address, read_certificate
from bench.journal.hub.keeping import Keeper, Workshop
from bench.journal.hub.link import HubTrouble, Link
from bench.journal.hub.place import HubPlace, others
from bench.journal.journal import Journal
from bench.journal.marks import note_of_others, of_others
from bench.journal.trouble import Unusable
from bench.science.refusal import Refusal
from bench.translation import many

NO_HUB = "This bench has no hub. Connect it with --connect ADDRESS --login NAME."


def connect(journal: Journal, typed: str, login: str, certificate: str | None) -> int:
    """Keeps a hub for this bench, once it lets the bench in."""
    try:
        proof = read_certificate(certificate) if certificate else None
        path = str(Path(certificate).expanduser().absolute()) if certificate else None
        address = read_address(typed, login, _password(), path)
    except Refusal as refusal:
        raise Unusable(refusal.say) from refusal
    link = Link(address.options())
    try:
        tell(*_told(HubPlace(link)))
    finally:
        link.close()
    journal.hub.connect(address, proof)
    tell("This bench has a hub now. Look at what each side lacks with: saggar hub.")
    return 0


def disconnect(journal: Journal) -> int:
    """Forgets the hub of this bench."""
    journal.hub.disconnect()
    tell("This bench has no hub any more. What was brought here and there stays.")
    return 0


def bring_together(journal: Journal, yes: bool, join: bool) -> int:
    """Says what the hub and the bench lack, and brings it there where asked."""
    link = Link(_hub_of(journal).options())
    try:
        place = HubPlace(link)
        tell(*_told(place))
        code = may_come_together(journal, place, join)
        if code or not yes:
            return code or left()
        done = journal.syncing.sync(place)
        journal.hub.belongs()
        tell(*told_of_sync(done))
        return 0
    finally:
        link.close()


def share(journal: Journal, code: str, yes: bool) -> int:
    """Lets all workshops of the hub read one batch: its records and its photos go on the open shelf, for good."""
    try:
        found = shared_ids(journal.state, code)
    except Refusal as refusal:
        raise Unusable(refusal.say) from refusal
    address = _hub_of(journal)
    tell(f"{records_in_words(len(found))} on this batch and on what it was made in and of, notes and photos included.")
    if not yes:
        return left()
    link = Link(address.options())
    try:
        photos = journal.syncing.share(HubPlace(link, opened=True), found)
        tell(f"All workshops of the hub read them now, and {pictures_and_files(photos)}. That cannot be taken back.")
        return 0
    finally:
        link.close()


def read_shared(journal: Journal, workshop: str, into: Path) -> int:
    """Brings what another workshop shares into a folder of its own, which is then looked at like a bench."""
    if into.resolve() == journal.folder.resolve():
        raise Unusable("Name another folder with --into: what others share is never mixed into your own records.")
    link = Link(_hub_of(journal).options())
    try:
        shelves = others(link)
        if workshop not in shelves:
            tell("These workshops share something:", *_sharing(shelves))
            return 1
        with Journal.open(into, clock=clock) as theirs:
            if theirs.state.records and not of_others(into):
                raise Unusable(f"There are other records in {into}. Name an empty folder with --into.")
            note_of_others(into, workshop)
            done = theirs.syncing.fetch(HubPlace(link, of=shelves[workshop][0]))
            tell(*told_of_sync(done), f"Look at it with: saggar --data {into}")
        return 0
    finally:
        link.close()


def keep(database: str, setup: bool, add: str | None, login: str | None, shut_out: str | None) -> int:
    """What whoever keeps a hub does with its database. 1, with a sentence, where that cannot be done."""
    keeper = Keeper(database)
    try:
        if setup:
            made = keeper.set_up()
            tell("The hub is set up. Let a bench in with --add WORKSHOP." if made else "The hub was set up already.")
        if add is not None:
            known, password = keeper.admit(add, login)
            tell(f"A bench of {add.strip()} comes in with this login and password, shown this once:", known, password)
        if shut_out is not None:
            out = keeper.shut_out(shut_out)
            tell(f"{shut_out} comes in no more. What it gave stays." if out else f"There is no login {shut_out}.")
        if not (setup or add or shut_out):
            tell(*_held(keeper.holds()))
        return 0
    except HubTrouble as trouble:
        print(trouble.say, file=sys.stderr)
        return 1
    finally:
        keeper.close()


def _held(workshops: list[Workshop]) -> list[str]:
    total = sum(one.records for one in workshops)
    told = [f"{many('{n:,} workshop', '{n:,} workshops', len(workshops))}, {records_in_words(total)}."]
    for one in workshops:
        photos = f"{many('{n:,} photo', '{n:,} photos', one.photos)} of {one.bytes / 1e6:,.1f} MB"
        told.append(
            f"{one.name}: {one.benches} bench{'' if one.benches == 1 else 'es'}, {records_in_words(one.records)}, "
            f"{one.shared:,} of them shared, {photos}."
        )
    return told


def _sharing(shelves: dict[str, tuple[int, int]]) -> list[str]:
    return [f"{name}: {records_in_words(count)}" for name, (_, count) in sorted(shelves.items()) if count] or [
        "none yet"
    ]


def _told(place: HubPlace) -> list[str]:
    standing = place.standing()
    return [f"The hub holds {records_in_words(standing.position)} of this workshop.", *place.clock(clock.now_ms())]


def _hub_of(journal: Journal) -> Address:
    address = journal.hub.address
    if address is None:
        raise Unusable(NO_HUB)
    return address


def _password() -> str:
    """Asked for at the keyboard, or read from what is piped in: never a word of the command, which others can see."""
    return getpass.getpass("Password of the login: ") if sys.stdin.isatty() else sys.stdin.readline().strip("\r\n")
