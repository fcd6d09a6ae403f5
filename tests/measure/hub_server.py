"""A PostgreSQL of our own from the system's packages, for a while: what hubs are tried and measured with."""

import os
import pwd
import shutil
import signal
import socket
import subprocess
import tempfile
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec

from bench.journal.hub.address import Address, read_address
from bench.journal.hub.keeping import Keeper
from bench.journal.hub.link import HubTrouble

PLACES = "/usr/lib/postgresql"
WHY_NOT = "PostgreSQL is not installed: on Debian it is the package postgresql"
START_S = 30.0
LOCAL = "local all postgres,keeper trust\nlocal all all reject\n"
RULE = "host all all 127.0.0.1/32 scram-sha-256"


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

    def prove(self, name: str) -> bytes:
        """Lets it encrypt, under a certificate of its own for a name, and tells the certificate."""
        certificate, key = certificate_for(name)
        for file, data in (("server.crt", certificate), ("server.key", key)):
            path = self.data / file
            path.write_bytes(data)
            path.chmod(0o600)
            os.chown(path, self.data.stat().st_uid, self.data.stat().st_gid)
        self.allow("hostssl all all 127.0.0.1/32 scram-sha-256", ssl=True)
        return certificate

    def allow(self, rule: str = RULE, ssl: bool = False) -> None:
        """Lets logins in by another rule."""
        (self.data / "pg_hba.conf").write_text(f"{LOCAL}{rule}\n")
        with self.superuser() as db:
            db.ask(f"alter system set ssl = {'on' if ssl else 'off'}")
            db.ask("select pg_reload_conf()")
            until = time.monotonic() + START_S
            while self._rules(db) != [rule.split()[-1]] or db.ask("show ssl") != [("on" if ssl else "off",)]:
                assert time.monotonic() < until, "the server does not take the new rules"
                time.sleep(0.02)

    def _rules(self, db: Any) -> list[str]:
        db.close()  # a connection keeps the rules that it began with
        rows = db.ask("select auth_method from pg_hba_file_rules where type like 'host%%'")
        return [str(method) for (method,) in rows]

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
        (self.data / "pg_hba.conf").write_text(f"{LOCAL}{RULE}\n")
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


def certificate_for(name: str) -> tuple[bytes, bytes]:
    """A certificate for a name that vouches for itself, and its key."""
    key, now = ec.generate_private_key(ec.SECP256R1()), datetime.now(UTC)
    itself = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "hub")])
    made = (
        x509.CertificateBuilder()
        .subject_name(itself)
        .issuer_name(itself)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=30))
        .add_extension(x509.SubjectAlternativeName([x509.DNSName(name)]), critical=False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .sign(key, hashes.SHA256())
    )
    form = (serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    return made.public_bytes(serialization.Encoding.PEM), key.private_bytes(*form)


def free_port() -> int:
    """A port that nobody listens at."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _unprivileged() -> str:
    names = {entry.pw_name for entry in pwd.getpwall()}
    return "postgres" if "postgres" in names else "nobody"
