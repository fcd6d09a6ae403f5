"""What is made once for all apps of a run: most of what making an app takes, and of what stopping its server does."""

from typing import Any

from cheroot.server import HTTPServer
from flask import Flask
from jinja2 import FileSystemBytecodeCache
from jinja2.bccache import Bucket
from werkzeug.routing import Rule

STOPS_WITHIN_S = 0.05
"""A server looks whether it is to stop as often as it looks for connections that are over: half a second by default."""


class KnownRule(Rule):
    """An address whose builders are compiled for the first app alone: they depend on nothing else of it."""

    known: dict[tuple[object, ...], Any] = {}  # noqa: RUF012 - shared by all

    def _compile_builder(self, append_unknown: bool = True) -> Any:
        key = (self.rule, self.subdomain, self.host, str(self.defaults), append_unknown)
        if key not in self.known:
            self.known[key] = super()._compile_builder(append_unknown)
        return self.known[key]


class Remembered(FileSystemBytecodeCache):
    """What templates come to: in the system's folder for passing files, and read from there once."""

    def __init__(self) -> None:
        super().__init__()
        self._known: dict[tuple[str, str], Any] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        bucket.code = self._known.get((bucket.key, bucket.checksum))
        if bucket.code is None:
            super().load_bytecode(bucket)
        if bucket.code is not None:
            self._known[bucket.key, bucket.checksum] = bucket.code


COMPILED = Remembered()


def make_ready() -> None:
    """Make every app from now on in this way."""
    Flask.url_rule_class = KnownRule
    HTTPServer.expiration_interval = STOPS_WITHIN_S
