"""A paired phone over the encrypted door, without a browser: one connection that stays, its cookies, its pages."""

import http.client
import re
import socket
import ssl
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlencode

import orjson
from ulid import ULID

from bench.clock import tick_s
from bench.serving.authority import NAME
from tests.measure.phone_laptop import Laptop

TOKEN = re.compile(r'name="bench-token" content="([0-9a-f]{64})"')
BENCH_LIST = "/bench/offline.json"


class Line(http.client.HTTPSConnection):
    """A connection to this computer that is spoken to by the bench's name."""

    def __init__(self, port: int, trusts: ssl.SSLContext, host: str = "127.0.0.1") -> None:
        super().__init__(NAME, port, timeout=120, context=trusts)
        self._to, self._trusts = (host, port), trusts

    def connect(self) -> None:
        """Connects without asking anybody where the name is."""
        self.sock = self._trusts.wrap_socket(socket.create_connection(self._to, timeout=120), server_hostname=NAME)
        self.sock.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)


@dataclass(frozen=True)
class Answer:
    """What came back, and how long that took."""

    status: int
    headers: dict[str, str]
    body: bytes
    seconds: float


@dataclass
class Phone:
    """One phone and what it keeps: `pages` are the marks of the pages that it took in, `lists` those of the lists."""

    port: int
    trusts: ssl.SSLContext
    jar: dict[str, str] = field(default_factory=dict)
    token: str = ""
    pages: dict[str, str] = field(default_factory=dict)
    lists: dict[str, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._line = Line(self.port, self.trusts)

    def ask(
        self, path: str, body: bytes | None = None, kind: str = "", headers: dict[str, str] | None = None
    ) -> Answer:
        """One request; a post where there is a body."""
        sent = {"Host": f"{NAME}:{self.port}", **(headers or {})}
        if self.jar:
            sent["Cookie"] = "; ".join(f"{name}={value}" for name, value in self.jar.items())
        if body is not None:
            sent["Content-Type"] = kind or "application/x-www-form-urlencoded"
        began = tick_s()
        try:
            answer, read = self._once(path, body, sent)
        except (http.client.BadStatusLine, ssl.SSLError, ConnectionError):
            # A connection that rested was closed by the bench; the same request comes again, as a browser sends it.
            self._line.close()
            answer, read = self._once(path, body, sent)
        took = tick_s() - began
        for cookie in answer.msg.get_all("Set-Cookie") or []:
            name, _, value = cookie.partition(";")[0].partition("=")
            self.jar[name] = value
        return Answer(answer.status, dict(answer.getheaders()), read, took)

    def _once(self, path: str, body: bytes | None, sent: dict[str, str]) -> tuple[http.client.HTTPResponse, bytes]:
        self._line.request("GET" if body is None else "POST", path, body, sent)
        answer = self._line.getresponse()
        return answer, answer.read()

    def post(self, path: str, **fields: str) -> Answer:
        """A form of its own, under a fresh id."""
        return self.ask(path, urlencode({"token": self.token, "record_id": str(ULID()), **fields}).encode())

    def pair(self, laptop: Laptop, name: str) -> "Phone":
        """Comes in with a fresh code."""
        self._take_token("/pair")
        answer = self.post("/pair", code=laptop.another_code(), name=name)
        if answer.status != 303:
            raise RuntimeError(f"the phone was not paired: {answer.status}")
        self._take_token("/")
        return self

    def _take_token(self, path: str) -> None:
        found = TOKEN.search(self.ask(path).body.decode())
        if found is None:
            raise RuntimeError(f"no token on {path}")
        self.token = found[1]

    def take_in(self) -> int:
        """Takes in each page that has changed, as its worker does; how many pages were fetched."""
        bench = self._listed(BENCH_LIST)
        named = [BENCH_LIST, *bench["more"]]
        items = [one for address in named for one in self._listed(address)["items"]]
        wanted = {address for address, mark in items if not mark or self.pages.get(address) != mark}
        wanted = {one for one in wanted if not one.startswith(("/static/", "/steps.json"))}
        for address in wanted:
            answer, headers = Answer(303, {"Location": address}, b"", 0.0), {"X-Bench-Pin": address}
            while answer.status in (302, 303):
                answer = self.ask(answer.headers["Location"], headers=headers)
            self.pages[address] = answer.headers.get("X-Bench-Mark", "")
        return len(wanted)

    def _listed(self, address: str) -> Any:
        known = self.lists.get(address)
        answer = self.ask(address, headers={"If-None-Match": f'"{known["rev"]}"'} if known else None)
        if answer.status == 200:
            self.lists[address] = orjson.loads(answer.body)
        return self.lists[address]

    def close(self) -> None:
        """Out of range."""
        self._line.close()
