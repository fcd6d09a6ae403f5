"""A bench on a network of its own: both doors on this computer, and requests that go through them."""

import http.client
import os
import re
import shutil
import socket
import ssl
import subprocess
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest
from flask import Flask

from bench.serving import network as networks
from bench.serving.network import Workshop
from bench.settings import Settings

NAME = "bench.local"
ARGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]  # fmt: skip
TOKEN = re.compile(r'name="bench-token" content="([0-9a-f]{64})"')


@dataclass
class Answer:
    """What came back."""

    status: int
    headers: dict[str, str]
    text: str


@dataclass
class Visitor:
    """A browser without JavaScript that comes in through one door and keeps its cookies."""

    port: int
    trusts: ssl.SSLContext | None
    jar: dict[str, str] = field(default_factory=dict)
    host: str = NAME

    def ask(self, path: str, fields: dict[str, str] | None = None, headers: dict[str, str] | None = None) -> Answer:
        """One request; a post where fields are given."""
        with closing(self._open()) as line:
            sent = {"Host": f"{self.host}:{self.port}", **(headers or {})}
            if self.jar:
                sent["Cookie"] = "; ".join(f"{name}={value}" for name, value in self.jar.items())
            body = None if fields is None else urlencode(fields)
            if body is not None:
                sent["Content-Type"] = "application/x-www-form-urlencoded"
            line.request("GET" if fields is None else "POST", path, body, sent)
            answer = line.getresponse()
            for cookie in answer.msg.get_all("Set-Cookie") or []:
                name, _, value = cookie.partition(";")[0].partition("=")
                self.jar[name] = value
            return Answer(answer.status, dict(answer.getheaders()), answer.read().decode("utf-8", "replace"))

    def _open(self) -> http.client.HTTPConnection:
        if self.trusts is None:
            return http.client.HTTPConnection("127.0.0.1", self.port, timeout=20)
        line = http.client.HTTPSConnection("127.0.0.1", self.port, timeout=20, context=self.trusts)
        line.connect = lambda: _connect(line, self.trusts, self.port)  # type: ignore[method-assign,arg-type]
        return line

    def token(self) -> str:
        """The token of this browser's forms."""
        found = TOKEN.search(self.ask("/pair").text)
        assert found
        return found[1]

    def pair(self, app: Flask, name: str = "kiln") -> Answer:
        """Come in with a good code."""
        code = app.extensions["pairing"].offer()
        return self.ask("/pair", {"token": self.token(), "code": code, "name": name})


def _connect(line: Any, trusts: ssl.SSLContext, port: int) -> None:
    raw = socket.create_connection(("127.0.0.1", port), timeout=20)
    line.sock = trusts.wrap_socket(raw, server_hostname=NAME)


@dataclass
class Open:
    """The opened network, and who may come."""

    app: Flask
    workshop: Workshop

    def trusting(self) -> ssl.SSLContext:
        """What a phone believes that installed the certificate, and nothing else."""
        authority = self.workshop.network.authority
        assert authority is not None
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
        context.load_verify_locations(cadata=authority.pem.decode())
        return context

    def visitor(self, door: str = "tls") -> Visitor:
        """A new browser at a door."""
        network = self.workshop.network
        return Visitor(network.tls_port, self.trusting()) if door == "tls" else Visitor(network.yard_port, None)


@pytest.fixture
def settings(settings: Settings) -> Settings:
    """The same, for any free ports of the network's doors."""
    return replace(settings, plain=False, tls_port=0, yard_port=0)


@pytest.fixture
def opened(app: Flask, settings: Settings, monkeypatch: pytest.MonkeyPatch) -> Iterator[Open]:
    """Both doors open; nothing is said on the real network."""
    monkeypatch.setattr(networks, "own_addresses", lambda: ["192.168.77.5"])
    workshop = Workshop(app, settings, app.extensions["bench"].now_ms)
    workshop.open(announce=False)
    assert not workshop.network.troubles
    yield Open(app, workshop)
    workshop.close()


@dataclass
class Handset:
    """A phone: a real Chromium that trusts this bench alone, and keeps its storage between two starts."""

    driver: Any
    path: str
    home: Path
    port: int
    more: list[str] = field(default_factory=list)
    context: Any = None

    @property
    def origin(self) -> str:
        """The bench's one address."""
        return f"https://{NAME}:{self.port}"

    def start(self) -> Any:
        """Open the browser; its page."""
        self.context = self.driver.chromium.launch_persistent_context(
            str(self.home / "profile"),
            executable_path=self.path,
            env={**os.environ, "HOME": str(self.home)},
            args=[*ARGS, f"--host-resolver-rules=MAP {NAME} 127.0.0.1", *self.more],
            viewport={"width": 360, "height": 740},
            base_url=self.origin,
        )
        return self.context.pages[0]

    def stop(self) -> None:
        """Close the browser, as a phone that is switched off."""
        if self.context is not None:
            self.context.close()
            self.context = None

    def pair(self, app: Flask, page: Any, name: str = "kiln") -> None:
        """Come in with a good code, by the screens."""
        page.goto(f"/pair?code={app.extensions['pairing'].offer()}")
        page.fill("#name", name)
        page.click("button.plate")
        page.wait_for_url(f"{self.origin}/")


def trusting_home(home: Path, certificate: Path) -> Path:
    """A home folder for a browser that trusts one certificate. Skipped where certutil is missing."""
    if shutil.which("certutil") is None:
        pytest.skip("certutil is not installed: the package is called libnss3-tools.")
    store = home / ".pki" / "nssdb"
    store.mkdir(parents=True)
    for call in (["-N", "--empty-password"], ["-A", "-t", "C,,", "-n", "bench", "-i", str(certificate)]):
        subprocess.run(["certutil", "-d", f"sql:{store}", *call], check=True, capture_output=True)
    return home


@pytest.fixture
def phone_of(driver: Any, chromium_path: str, tmp_path: Path) -> Iterator[Any]:
    """Makes phones that trust one certificate."""
    made: list[Handset] = []

    def make(certificate: Path, port: int, more: list[str] | None = None) -> Handset:
        home = trusting_home(tmp_path / f"phone-{len(made)}", certificate)
        made.append(Handset(driver, chromium_path, home, port, more or []))
        return made[-1]

    yield make
    for phone in made:
        phone.stop()


@pytest.fixture
def handset(opened: Open, settings: Settings, phone_of: Any) -> Handset:
    """A phone that trusts the opened bench."""
    made: Handset = phone_of(settings.keys / "authority.crt", opened.workshop.network.tls_port)
    return made
