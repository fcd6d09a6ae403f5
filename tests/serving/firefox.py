"""Drives a real Firefox by the remote protocol that it ships with (Marionette): length, colon, JSON, over TCP.

The commands are those of the W3C's WebDriver recommendation.
"""

import json
import os
import shutil
import socket
import subprocess
import time
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tests.serving.away import free_port

BROWSERS = ("firefox-esr", "firefox")
ELEMENT = "element-6066-11e4-a52e-4f735466cecf"
"""The key under which an element is named (WebDriver, section 12.2)."""

PATIENCE_S = 30.0
QUIET = {
    "app.update.enabled": False,
    "browser.safebrowsing.malware.enabled": False,
    "browser.safebrowsing.phishing.enabled": False,
    "browser.shell.checkDefaultBrowser": False,
    "datareporting.policy.dataSubmissionEnabled": False,
    "extensions.update.enabled": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
    "services.settings.server": "data:,",
    "toolkit.telemetry.enabled": False,
}
"""A browser that calls nobody."""


def firefox_path() -> str | None:
    """Where Firefox is, if it is here."""
    return next((found for name in BROWSERS if (found := shutil.which(name))), None)


@dataclass
class Firefox:
    """A phone-sized Firefox with a profile of its own, that trusts one certificate and finds one name here."""

    path: str
    profile: Path
    origin: str
    name: str
    _process: Any = None
    _line: Any = None
    _number: int = 0
    _rest: bytes = field(default=b"")

    def trust(self, certificate: Path) -> None:
        """Make the profile, in which that authority is trusted for sites."""
        self.profile.mkdir(parents=True)
        store = f"sql:{self.profile}"
        for call in (["-N", "--empty-password"], ["-A", "-t", "C,,", "-n", "bench", "-i", str(certificate)]):
            subprocess.run(["certutil", "-d", store, *call], check=True, capture_output=True)

    def start(self) -> None:
        """Open it. OSError where it does not answer in time."""
        port = free_port()
        told = {**QUIET, "marionette.port": port, "network.dns.localDomains": self.name}
        lines = [f"user_pref({json.dumps(name)}, {json.dumps(value)});" for name, value in told.items()]
        (self.profile / "user.js").write_text("\n".join(lines), encoding="utf-8")
        self._process = subprocess.Popen(
            [self.path, "--marionette", "--headless", "--no-remote", "--profile", str(self.profile)],
            env={**os.environ, "HOME": str(self.profile.parent), "MOZ_CRASHREPORTER_DISABLE": "1"},
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        self._line, self._rest = _connected(port), b""
        self._told()
        self.ask("WebDriver:NewSession", {"capabilities": {"alwaysMatch": {"acceptInsecureCerts": False}}})
        self.ask("WebDriver:SetWindowRect", {"width": 450, "height": 800})

    def stop(self) -> None:
        """Close it, as a phone that is switched off; its storage stays."""
        if self._process is None:
            return
        with suppress(OSError, AssertionError):
            self.ask("Marionette:Quit", {"flags": ["eForceQuit"]})
        self._line.close()
        try:
            self._process.wait(20)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait(20)
        self._process = None

    def ask(self, command: str, given: dict[str, Any] | None = None) -> Any:
        """One command and what came of it; AssertionError with the browser's own words where it failed."""
        self._number += 1
        body = json.dumps([0, self._number, command, given or {}]).encode()
        self._line.sendall(str(len(body)).encode() + b":" + body)
        _, number, error, result = self._told()
        assert number == self._number and error is None, error
        return result["value"] if isinstance(result, dict) and set(result) == {"value"} else result

    def go(self, path: str) -> None:
        """Open a page."""
        self.ask("WebDriver:Navigate", {"url": self.origin + path})

    def say(self, script: str) -> Any:
        """What a script gives, its promise awaited."""
        return self.ask("WebDriver:ExecuteScript", {"script": script, "args": []})

    def type_in(self, field_css: str, text: str) -> None:
        """Type into a field."""
        self.ask("WebDriver:ElementSendKeys", {"id": self._found(field_css), "text": text})

    def tap(self, css: str) -> None:
        """Tap what is there, scrolled out from behind the bar at the foot."""
        self.say(f"document.querySelector({json.dumps(css)})?.scrollIntoView({{block: 'center'}})")
        self.ask("WebDriver:ElementClick", {"id": self._found(css)})

    def until(self, script: str) -> Any:
        """What a script gives as soon as that is something; AssertionError, with the page, where it never is."""
        end = time.monotonic() + PATIENCE_S
        while True:
            with suppress(AssertionError):  # the page may be changing just now
                if found := self.say(script):
                    return found
            assert time.monotonic() < end, (script, self.say("return [location.href, document.body.innerText]"))
            time.sleep(0.1)

    def _found(self, css: str) -> str:
        found = self.ask("WebDriver:FindElement", {"using": "css selector", "value": css})
        return str(found[ELEMENT])

    def _told(self) -> Any:
        while b":" not in self._rest:
            self._rest += self._more()
        length, _, self._rest = self._rest.partition(b":")
        while len(self._rest) < int(length):
            self._rest += self._more()
        told, self._rest = self._rest[: int(length)], self._rest[int(length) :]
        return json.loads(told)

    def _more(self) -> bytes:
        found: bytes = self._line.recv(65_536)
        if not found:
            raise OSError("Firefox has ended")
        return found


def _connected(port: int) -> socket.socket:
    end = time.monotonic() + PATIENCE_S
    while True:
        try:
            line = socket.create_connection(("127.0.0.1", port), timeout=5)
        except OSError:
            if time.monotonic() > end:
                raise
            time.sleep(0.1)
        else:
            line.settimeout(60)
            return line
