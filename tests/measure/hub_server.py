"""A PostgreSQL of our own from the system's packages, for a while: what hubs are tried and measured with."""

import os
import pwd
import shutil
import signal
import socket
import subprocess
import tempfile
import time
from pathlib import Path
from typing import Any

from bench.journal.hub.address import Address, read_address
from bench.journal.hub.keeping import Keeper
from bench.journal.hub.link import HubTrouble

PLACES = "/usr/lib/postgresql"
WHY_NOT = "PostgreSQL is not installed: on Debian it is the package postgresql"
START_S = 30.0
RULES = "local all postgres,keeper trust\nlocal all all reject\nhost all all 127.0.0.1/32 scram-sha-256\n"


def programs() -> Path | None:
    """The folder of the server's programs, of the newest version that is installed."""
    found = sorted(Path(PLACES).glob("*/bin/initdb"), key=lambda path: int(path.parts[-3]))
    at_hand = shutil.which("initdb")
    return found[-1].parent if found else Path(at_hand).parent if at_hand else None


class HubServer:
    """A server that runs until `stop`. `lasting`: it asks the disk at each commit, as a real one does."""

    def __init__(self, lasting: bool = False, settings: str = "") -> None:
        found = programs()
        if found is None:
            raise FileNotFoundError(WHY_NOT)
        self._bin, self._process = found, None
        self.folder = Path(tempfile.mkdtemp(prefix="saggar-hub-"))
        self._as: dict[str, Any] = {}
        if os.getuid() == 0:  # the server refuses to run as root
            self._as = {"user": _unprivileged(), "group": pwd.getpwnam(_unprivileged()).pw_gid, "extra_groups": []}
            os.chown(self.folder, pwd.getpwnam(_unprivileged()).pw_uid, self._as["group"])
        self.port = free_port()
        self._make(lasting, settings)
        self.start()
        with self.superuser("postgres") as db:
            db.ask("create role keeper login createrole")
            db.ask("create database saggar owner keeper")
        keeper = Keeper(self.database)
        keeper.set_up()
        keeper.close()

    _process: "subprocess.Popen[bytes] | None"

    @property
    def database(self) -> str:
        """The hub's database as its keeper names it."""
        return f"host={self.folder} port={self.port} user=keeper dbname=saggar"

    @property
    def data(self) -> Path:
        """The server's own files."""
        return self.folder / "data"

    @property
    def above(self) -> str:
        """The database as the server's superuser names it, who may do anything there."""
        return self.database.replace("user=keeper", "user=postgres")

    def superuser(self, name: str = "saggar") -> "Asked":
        """A connection as the server's superuser, for what only a test does."""
        return Asked(self.above.replace("dbname=saggar", f"dbname={name}"))

    def admit(self, workshop: str, login: str | None = None) -> Address:
        """A new bench of a workshop, and its way in."""
        keeper = Keeper(self.database)
        known, password = keeper.admit(workshop, login)
        keeper.close()
        return self.address(known, password)

    def address(self, login: str, password: str, port: int | None = None) -> Address:
        """The way in of a login."""
        return read_address(f"127.0.0.1:{port or self.port}/saggar", login, password)

    @property
    def stopped(self) -> bool:
        """Whether it does not run now."""
        return self._process is None

    def start(self) -> None:
        """Runs it, and waits until it answers."""
        call = [str(self._bin / "postgres"), "-D", str(self.data)]
        with (self.folder / "log").open("ab") as log:
            self._process = subprocess.Popen(call, stdout=log, stderr=log, cwd=self.folder, **self._as)
        until = time.monotonic() + START_S
        while True:
            try:
                with self.superuser("postgres") as db:
                    db.ask("select 1")
                return
            except HubTrouble:
                if time.monotonic() > until:
                    raise
                time.sleep(0.02)

    def stop(self, how: signal.Signals = signal.SIGINT) -> None:
        """Ends it; with SIGQUIT as a kill does: no goodbye, and recovery at the next start."""
        if self._process is not None:
            self._process.send_signal(how)
            self._process.wait(START_S)
        self._process = None

    def remove(self) -> None:
        """Ends it and removes all of it."""
        self.stop()
        shutil.rmtree(self.folder, ignore_errors=True)

    def _make(self, lasting: bool, settings: str) -> None:
        call = [
            self._bin / "initdb",
            "-D",
            self.data,
            "-U",
            "postgres",
            "-A",
            "trust",
            "-N",
            "-E",
            "UTF8",
            "--locale=C",
        ]
        subprocess.run(list(map(str, call)), check=True, stdout=subprocess.DEVNULL, cwd=self.folder, **self._as)
        (self.data / "pg_hba.conf").write_text(RULES)
        with (self.data / "postgresql.conf").open("a") as file:
            file.write(
                f"listen_addresses = '127.0.0.1'\nport = {self.port}\nunix_socket_directories = '{self.folder}'\n"
                f"max_connections = 60\nfsync = {'on' if lasting else 'off'}\n{settings}\n"
            )


class Asked:
    """A connection that is closed behind a block."""

    def __init__(self, settings: str) -> None:
        from bench.journal.hub.link import Link

        self._link = Link({"conninfo": settings})

    def __enter__(self) -> Any:
        return self._link

    def __exit__(self, *_: object) -> None:
        self._link.close()


def free_port() -> int:
    """A port that nobody listens at."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _unprivileged() -> str:
    names = {entry.pw_name for entry in pwd.getpwall()}
    return "postgres" if "postgres" in names else "nobody"
