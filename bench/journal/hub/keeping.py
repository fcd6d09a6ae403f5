"""What whoever keeps a hub does with its database: set it up, let benches in, shut one out, see what it holds."""

import re
import secrets
from pathlib import Path
from typing import NamedTuple

from bench.journal.hub.link import BY_CODE, HubTrouble, Link, connected
from bench.journal.hub.place import NEWER, VERSION
from bench.translation import _

TABLES = Path(__file__).with_name("tables.sql")
LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"
NOT_OWNER = _("This login may not do that. Use the database’s owner, who may make roles too.")


class Workshop(NamedTuple):
    """What a workshop has in the hub. `shared`: how many of its records all workshops read."""

    name: str
    benches: int
    records: int
    shared: int
    photos: int
    bytes: int


class Keeper:
    """A hub's database as its keeper sees it. `database`: a name, an address or settings as libpq takes them."""

    def __init__(self, database: str) -> None:
        named = "=" in database or "://" in database
        self._options = {"conninfo": database} if named else {"dbname": database}
        self._link = Link(self._options, deadline_s=120.0)

    def set_up(self) -> bool:
        """Makes the tables, or finds them made already. HubTrouble."""
        if self._version() is not None:
            return False
        import psycopg

        try:
            with connected(self._options) as db, db.transaction():
                db.execute(TABLES.read_bytes())
        except psycopg.Error as error:
            code = error.sqlstate or ""
            raise HubTrouble(
                NOT_OWNER if code == "42501" else BY_CODE.get(code, f"The database refused: {error}")
            ) from None
        return True

    def admit(self, workshop: str, login: str | None = None) -> tuple[str, str]:
        """Lets one more bench of a workshop in, and tells its login and its password. HubTrouble."""
        name = workshop.strip()
        if not 0 < len(name) <= 80 or not name.isprintable():
            raise HubTrouble(_("Name the workshop in up to 80 characters."))
        login = login or f"{_plain(name)}_{''.join(secrets.choice(LETTERS) for _ in range(4))}"
        if not re.fullmatch(r"[a-z][a-z0-9_-]{0,62}", login):
            raise HubTrouble(_("A login has small letters, figures, - and _, and begins with a letter."))
        password = "-".join("".join(secrets.choice(LETTERS) for _ in range(5)) for _ in range(5))
        self._ready()
        if self._link.ask("select 1 from pg_roles where rolname = %s", (login,)):
            raise HubTrouble(_("There is a login {login} already. Choose another one.", login=login))
        self._link.ask("select saggar.admit(%s, %s::name, %s)", (name, login, self._sum(login, password)))
        return login, password

    def shut_out(self, login: str) -> bool:
        """Lets a bench in no more; what it gave stays. False where there is none of that login. HubTrouble."""
        self._ready()
        return bool(self._link.ask("select saggar.shut_out(%s::name)", (login,))[0][0])

    def holds(self) -> list[Workshop]:
        """What each workshop has there, by name. HubTrouble."""
        self._ready()
        rows = self._link.ask(
            "select w.name, (select count(*) from saggar.bench b where b.workshop = w.id), "
            "coalesce(sum(s.last) filter (where not s.open), 0)::bigint, "
            "coalesce(sum(s.last) filter (where s.open), 0)::bigint, "
            "(select count(*) from saggar.photo p join saggar.shelf t on t.id = p.shelf where t.workshop = w.id), "
            "(select coalesce(sum(length(p.data)), 0) from saggar.photo p join saggar.shelf t on t.id = p.shelf "
            "where t.workshop = w.id)::bigint "
            "from saggar.workshop w left join saggar.shelf s on s.workshop = w.id group by w.id, w.name order by w.name"
        )
        return [Workshop(*row) for row in rows]

    def close(self) -> None:
        """Ends the connection."""
        self._link.close()

    def _version(self) -> int | None:
        if self._link.ask("select to_regclass('saggar.made') is null")[0][0]:
            return None
        return int(self._link.ask("select max(version) from saggar.made")[0][0])

    def _ready(self) -> None:
        version = self._version()
        if version is None:
            raise HubTrouble(BY_CODE["3F000"])
        if version > VERSION:
            raise HubTrouble(NEWER)

    def _sum(self, login: str, password: str) -> str:
        """What the server stores of a password, worked out here: the password itself never goes over the wire."""
        with connected(self._options) as db:
            made = db.pgconn.encrypt_password(password.encode(), login.encode(), b"scram-sha-256")
            return bytes(made).decode()


def _plain(name: str) -> str:
    plain = re.sub(r"[^a-z0-9]+", "_", name.lower()).strip("_")
    return plain[:40] if re.match("[a-z]", plain) else f"bench_{plain}"[:40].rstrip("_")
