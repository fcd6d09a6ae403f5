"""Where a bench’s hub is and how it comes in: kept in `keys/` for its owner alone, never shown and never logged."""

import ipaddress
import re
from contextlib import suppress
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

import orjson

from bench.journal.disk import replace_file
from bench.science.refusal import Refusal
from bench.translation import _

FILE, CERTIFICATE = "hub.json", "hub-certificate.pem"
PORT, DATABASE = 5432, "saggar"
ADDRESS = re.compile(
    r"(?P<host>\[[0-9A-Fa-f:.]+\]|[A-Za-z0-9._-]{1,253})(?::(?P<port>\d{1,5}))?(?:/(?P<name>[\w-]{1,63}))?"
)
PEM = "-----BEGIN CERTIFICATE-----"


@dataclass(frozen=True)
class Address:
    """A hub, and one bench's way into it. The password is never part of what this is printed as."""

    host: str
    port: int
    database: str
    login: str
    password: str = field(repr=False)
    certificate: str | None = None

    @property
    def beside(self) -> bool:
        """Whether the hub runs on this very computer."""
        if self.host == "localhost":
            return True
        with suppress(ValueError):
            return ipaddress.ip_address(self.host).is_loopback
        return False

    def options(self) -> dict[str, Any]:
        """What the connection is opened with. Over a network only to a hub that proves its name by a certificate."""
        proof = {"sslmode": "verify-full", "sslrootcert": self.certificate or "system"}
        return {
            "host": self.host,
            "port": self.port,
            "dbname": self.database,
            "user": self.login,
            "password": self.password,
            "require_auth": "scram-sha-256",  # the password itself never leaves this computer
            "application_name": "saggar",
            **({"sslmode": "prefer"} if self.beside else proof),
        }


def read_address(typed: str, login: str, password: str, certificate: str | None = None) -> Address:
    """An address as it was typed: `host`, `host:port` or `host:port/database`. Refusal with the field's name."""
    found = ADDRESS.fullmatch(typed.strip())
    if found is None or not 0 < int(found["port"] or PORT) < 65_536:
        raise Refusal(_("Type the hub’s address like hub.school.example:5432/saggar."), "address")
    if not re.fullmatch(r"[^\s\0]{1,63}", login):
        raise Refusal(_("Type the login that the hub’s keeper gave you. It has no spaces."), "login")
    if not 0 < len(password) <= 200 or "\0" in password:
        raise Refusal(_("Type the password that the hub’s keeper gave you."), "password")
    host = found["host"].strip("[]")
    return Address(host, int(found["port"] or PORT), found["name"] or DATABASE, login, password, certificate)


def read_certificate(typed: str) -> str:
    """The text of a certificate file. Refusal where there is none."""
    try:
        text = Path(typed).expanduser().read_text("ascii")
    except (OSError, ValueError):
        text = ""
    if PEM not in text or len(text) > 200_000:
        raise Refusal(_("There is no certificate in that file. It begins with BEGIN CERTIFICATE."), "certificate")
    return text


def keep_address(keys: Path, address: Address, certificate: str | None = None) -> None:
    """Keeps an address, with the certificate's text where the hub has its own. OSError when the disk refuses."""
    keys.mkdir(mode=0o700, parents=True, exist_ok=True)
    if certificate is not None:
        replace_file(keys / CERTIFICATE, certificate.encode())
    told = {name: value for name, value in asdict(address).items() if name != "certificate"}
    replace_file(keys / FILE, orjson.dumps(told | {"own_certificate": certificate is not None}))


def kept_address(keys: Path) -> Address | None:
    """The address that was kept; None where the bench has no hub, or the file cannot be read."""
    try:
        told = orjson.loads((keys / FILE).read_bytes())
        own = told.pop("own_certificate")
        return Address(**told, certificate=str(keys / CERTIFICATE) if own else None)
    except (OSError, ValueError, TypeError, KeyError, AttributeError):
        return None


def forget_address(keys: Path) -> None:
    """The bench has no hub any more. What was brought here stays."""
    for name in (FILE, CERTIFICATE):
        (keys / name).unlink(missing_ok=True)
