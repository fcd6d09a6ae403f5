"""Requests that no form would send, drawn from a number: every address, method and form of the product, spoiled.

What is drawn follows from what the bench itself declares: its addresses, the forms that stand on its pages, their
fields. One thing in four is left as a form would send it, so that what is behind the first check is reached too.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from random import Random
from urllib.parse import quote, quote_plus

from tests.acceptance.forms_of import PostForm

METHODS = ("GET", "POST", "HEAD", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "PROPFIND", "get", "P OST")
TYPES = (
    "application/x-www-form-urlencoded", "multipart/form-data; boundary=b", "multipart/form-data", "application/json",
    "text/plain", "application/x-www-form-urlencoded; charset=utf-16", "multipart/form-data; boundary=" + "b" * 300,
    "application/octet-stream", "", "x", "text/html; charset=\x80", "application/json; charset=klingon",
)  # fmt: skip
WORDS = (
    "", " ", "0", "-0", "-1", "1e309", "-1e309", "1e-400", "NaN", "inf", "9" * 400, "0x1F", "1_000", "1,5", "1.2.3",
    "½", "٣", "²", "1e3", "true", "null", "[]", "{}", "\x00", "a\x00b", "\ud800", "\udcff", "\u202e", "\ufeff",
    "🝰" * 50,
    "é" * 3000, "<script>alert(1)</script>", "{{ 7*7 }}", "' OR 1=1 --", "../../../etc/passwd", "C:\\con", "%", "%zz",
    "%00", "\r\nX: y", "Fe2O3", "Fe" * 200, "(" * 500, "Fe2O3·" * 90, "Xx99", "2026-02-30", "9999-99-99T99:99",
    "0000-01-01", "25:61", "01KJM6JM00000000000000ABCD", "01kjm6jm00000000000000abcd", "7ZZZZZZZZZZZZZZZZZZZZZZZZZ",
    "8" + "Z" * 25, "x" * 70_000,
)  # fmt: skip
DEEP = (
    "[" * 5000, '{"a":' * 3000, json.dumps({"records": [{"id": 1}]}), "[1e999]", '{"a":"\\ud800"}', "nul",
    "[" * 20 + "]" * 20,
)  # fmt: skip
ENDINGS = (
    "", "", "", "", "?", "?from=-1", "?from=" + "9" * 30, "?%", "?a=%zz&a=%00", "?pdf=1", "/", "//", "/..", "%2e%2e",
    "#x", ";x",
)  # fmt: skip


@dataclass(frozen=True)
class Grounds:
    """What requests are drawn from: addresses, forms, tokens (our own and strange ones) and cookies by their names."""

    addresses: Sequence[str]
    forms: Sequence[PostForm]
    tokens: Sequence[str]
    cookies: Sequence[str]
    host: str


@dataclass(frozen=True)
class Asked:
    """One request: its first line, its headers as they go over the wire, its body."""

    method: str
    target: str
    headers: tuple[tuple[str, str], ...]
    body: bytes

    @property
    def raw(self) -> bytes:
        """The bytes that are sent."""
        head = [f"{self.method} {self.target} HTTP/1.1", *(f"{name}: {value}" for name, value in self.headers), "", ""]
        return "\r\n".join(head).encode("utf-8", "surrogatepass") + self.body


def drawn(grounds: Grounds, number: int, seed: int) -> Asked:
    """The request of a number."""
    draw = Random(seed * 1_000_003 + number)
    form = draw.choice(grounds.forms) if draw.random() < 0.6 else None
    target = form.action.partition("#")[0] if form else draw.choice(grounds.addresses)
    method = "POST" if form and draw.random() < 0.9 else draw.choice(METHODS[:4] if draw.random() < 0.8 else METHODS)
    kind, body = _body(grounds, form, draw) if method not in ("GET", "HEAD") or draw.random() < 0.1 else ("", b"")
    headers = _headers(grounds, draw, kind, body)
    return Asked(method, _target(target, draw), tuple(headers.items()), body)


def _target(path: str, draw: Random) -> str:
    if draw.random() < 0.7:
        return path
    parts = path.split("/")
    if draw.random() < 0.6 and len(parts) > 1:
        parts[draw.randrange(1, len(parts))] = quote(draw.choice(WORDS)[:2000], errors="surrogatepass")
    return "/".join(parts) + draw.choice(ENDINGS)


def _fields(grounds: Grounds, form: PostForm | None, draw: Random) -> list[tuple[str, str]]:
    sent = dict(form.usual()) if form else {}
    if form and form.buttons and draw.random() < 0.5:
        sent |= [draw.choice(form.buttons)]
    pairs = [(name, value) for name, value in sent.items() if name != "token"]
    if draw.random() < 0.75:
        for _ in range(draw.randrange(1, 4)):
            names = [name for name, _ in pairs] or ["x"]
            name = draw.choice([*names, draw.choice(names) + ".x", "record_id", "photo", "x"])
            pairs = [pair for pair in pairs if pair[0] != name or draw.random() < 0.3]
            pairs += [(name, draw.choice(WORDS))] * draw.choice((1, 1, 1, 2, 40))
    return [("token", draw.choice(grounds.tokens) if draw.random() < 0.15 else grounds.tokens[0]), *pairs]


def _body(grounds: Grounds, form: PostForm | None, draw: Random) -> tuple[str, bytes]:
    way = draw.random()
    if way < 0.08:
        return draw.choice(TYPES), draw.choice(DEEP).encode()
    if way < 0.12:
        return draw.choice(TYPES), draw.randbytes(draw.randrange(400))
    fields = _fields(grounds, form, draw)
    if way < 0.3:
        return "multipart/form-data; boundary=b", _multipart(fields, draw)
    kind = draw.choice(TYPES) if way < 0.36 else TYPES[0]
    text = "&".join(f"{quote_plus(name)}={quote_plus(value, errors='surrogatepass')}" for name, value in fields)
    return kind, (text + draw.choice(("", "", "", "&%", "&=&=", "&a=%zz", "&\x00"))).encode()


def _multipart(fields: list[tuple[str, str]], draw: Random) -> bytes:
    parts = []
    for name, value in fields:
        file = draw.choice(("", "", '; filename="a.jpg"', '; filename="../\x00.png"', "; filename*=utf-8''%zz"))
        about = f'Content-Disposition: form-data; name="{name}"{file}'
        parts.append(f"--b\r\n{about}\r\n\r\n{value}\r\n".encode("utf-8", "surrogatepass"))
    whole = b"".join(parts) + b"--b--\r\n"
    return whole[: draw.randrange(len(whole))] if draw.random() < 0.1 else whole


def _headers(grounds: Grounds, draw: Random, kind: str, body: bytes) -> Mapping[str, str]:
    headers = {"Host": grounds.host, "Cookie": grounds.cookies[0], "Connection": "close"}
    if kind or body:
        headers |= {"Content-Type": kind, "Content-Length": str(len(body))}
    strange = {
        "Host": ("", "evil.example", "localhost:80@evil.example", "[", "localhost:99999", "\x80"),
        "Cookie": (*grounds.cookies[1:], "", "session=x; session=y", "=" * 50, "session=" + "A" * 3000),
        "Origin": ("null", "http://evil.example", "http://[", "x", f"http://{grounds.host}"),
        "Referer": ("http://[", "\x00x", f"http://{grounds.host}/x", "//"),
        "Content-Length": ("-1", "x", str(len(body) + 5), "99999999999999999999", ""),
        "Transfer-Encoding": ("chunked", "x"),
        "If-None-Match": ('"x"', "*", 'W/"', "x" * 500),
        "If-Modified-Since": ("x", "Thu, 99 Foo 2026 99:99:99 GMT"),
        "Range": ("bytes=0-1", "bytes=9-1", "bytes=-" + "9" * 30, "x"),
        "Accept-Language": ("xx;q=9", "\x00", "de"),
        "Accept-Encoding": ("gzip;q=x", "br, gzip", "*;q=0"),
        "Sec-Fetch-Site": ("cross-site", "same-origin", "x"),
        "HX-Request": ("true", "x"),
        "X-Bench-Token": (grounds.tokens[-1], "x", "\x80"),
        "X-Bench-Pin": ("/", "x", "//evil.example", "/%zz", "http://["),
        "X-Bench-Outbox": ("hello", "entry", "x"),
        "X-Bench-Ahead": ("1", "x", "[", '{"a":1}'),
        "Expect": ("100-continue", "x"),
    }
    for name in draw.sample(sorted(strange), draw.choice((0, 0, 0, 1, 1, 2))):
        headers[name] = draw.choice(strange[name])
    return headers
