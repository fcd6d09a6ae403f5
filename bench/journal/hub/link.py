"""One connection to a hub: opened when it is needed, with a deadline for each call, and every failure in a sentence."""

import socket
from collections.abc import Mapping, Sequence
from contextlib import suppress
from threading import Timer
from typing import TYPE_CHECKING, Any

from bench.journal.trouble import Trouble
from bench.translation import _

if TYPE_CHECKING:
    import psycopg

DEADLINE_S, CONNECT_S = 15.0, 5
STAYS = _("What was recorded here is kept and goes over next time.")
NO_PSYCOPG = _("A hub needs the package psycopg beside the bench. Install it with: pip install “psycopg[binary]”.")
AWAY = _("The hub does not answer. Check that it runs, and check its address. {stays}", stays=STAYS)
SILENT = _("The hub did not answer in time. {stays}", stays=STAYS)
BROKE = _("The connection to the hub broke off. {stays}", stays=STAYS)
WRONG = _("The hub does not know this login or this password. Ask whoever keeps the hub, and connect again.")
NO_NAME = _("The hub has no database of this name. Check the address.")
UNPROVEN = _("The hub has no valid certificate, so nothing was sent. Add its certificate, or type its full name.")
CLEAR = _("The hub asked for the password itself, so nothing was sent. Its keeper must set scram-sha-256.")
NO_HUB = _("This database is no hub yet. Whoever keeps it runs: saggar hub --keeper DATABASE --setup.")
NOT_ALLOWED = _("The hub does not allow that to this login. Ask whoever keeps the hub.")
NO_ROOM = _("The hub’s disk is full. Tell whoever keeps it. {stays}", stays=STAYS)
BUSY = _("The hub is busy. {stays}", stays=STAYS)

WHILE_CONNECTING = (
    (("method requirement", "cleartext"), CLEAR),
    (("too many", "remaining connection", "starting up", "shutting down"), BUSY),
    (("password", "authentication", "role "), WRONG),
    (("database",), NO_NAME),
    (("certificate", "ssl"), UNPROVEN),
)
"""What the server or its library says while connecting, in parts of it; there is no code to go by then."""
BY_CODE = {
    "3F000": NO_HUB, "42P01": NO_HUB, "42883": NO_HUB, "42703": NO_HUB, "42501": NOT_ALLOWED,
    "53100": NO_ROOM, "53300": BUSY, "53200": BUSY, "57014": SILENT, "55P03": BUSY, "40001": BUSY, "40P01": BUSY,
}  # fmt: skip


class HubTrouble(Trouble):
    """A hub cannot be used now. Nothing that was recorded is touched by it."""


class Link:
    """A connection with `options`. One thread uses it; any other may `abort` it."""

    def __init__(self, options: Mapping[str, Any], deadline_s: float = DEADLINE_S) -> None:
        self._options, self._deadline_s = options, deadline_s
        self._db: psycopg.Connection[tuple[Any, ...]] | None = None
        self._aborted = False
        self._late = False

    def ask(self, query: str, values: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
        """The rows of a query, each a commit of its own. HubTrouble."""
        db = self._connected()
        import psycopg

        self._late = False
        timer = Timer(self._deadline_s, self._give_up)
        timer.daemon = True
        timer.start()
        try:
            done = db.execute(query, values, binary=True)
            return done.fetchall() if done.description is not None else []
        except psycopg.Error as error:
            say = SILENT if self._late else _told(error)
            if db.closed or db.broken or self._late:
                self.close()
            raise HubTrouble(say) from None
        finally:
            timer.cancel()
            timer.join()

    def abort(self) -> None:
        """Ends the call under way, and every later one."""
        self._aborted = True
        self._hang_up()

    def close(self) -> None:
        """Ends the connection; the next call opens another one."""
        if self._db is not None:
            with suppress(Exception):
                self._db.close()
        self._db = None

    def _connected(self) -> "psycopg.Connection[tuple[Any, ...]]":
        if self._aborted:
            raise HubTrouble(BROKE)
        if self._db is None:
            made = connected(self._options)
            if self._aborted:
                made.close()
                raise HubTrouble(BROKE)
            self._db = made
        return self._db

    def _give_up(self) -> None:
        self._late = True
        self._hang_up()

    def _hang_up(self) -> None:
        """Lets whoever waits for an answer go: a server that is frozen, not gone, would never end its wait."""
        db = self._db
        with suppress(Exception):
            if db is not None:
                borrowed = socket.socket(fileno=db.fileno())
                try:
                    borrowed.shutdown(socket.SHUT_RDWR)
                finally:
                    borrowed.detach()


def connected(options: Mapping[str, Any]) -> "psycopg.Connection[tuple[Any, ...]]":
    """An open connection. HubTrouble with a sentence that names neither address nor login."""
    try:
        import psycopg
    except ImportError:
        raise HubTrouble(NO_PSYCOPG) from None
    try:
        return psycopg.connect(**{"connect_timeout": CONNECT_S, **options}, autocommit=True)
    except psycopg.Error as error:
        raise HubTrouble(_told_connecting(str(error).lower())) from None


def _told_connecting(said: str) -> str:
    for parts, say in WHILE_CONNECTING:
        if any(part in said for part in parts):
            return say
    return AWAY


def _told(error: "psycopg.Error") -> str:
    code = error.sqlstate or ""
    if code in BY_CODE:
        return BY_CODE[code]
    if not code or code[:2] in ("08", "57"):
        return BROKE
    return _("The hub refused this (code {code}). Tell whoever keeps it. {stays}", code=code, stays=STAYS)
