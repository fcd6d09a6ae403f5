"""Servers for the workshop's network, encrypted and plain, that no silent or stalled client can hold up."""

import os
import socket
import ssl
from pathlib import Path
from typing import Any
from wsgiref.types import WSGIApplication

from cheroot.ssl.builtin import BuiltinSSLAdapter

from bench.serving.heads import PatientServer
from bench.serving.plain import BODY_MAX, HEAD_MAX

THREADS = 24
TIMEOUT_S = 10
EVERYWHERE = "0.0.0.0"


class LateHandshake(BuiltinSSLAdapter):
    """TLS whose handshake is done piece by piece, as it comes, and never waited for where others are let in."""

    def __init__(self, pem: Path) -> None:
        super().__init__(str(pem), str(pem))
        self.context.minimum_version = ssl.TLSVersion.TLSv1_2

    def wrap(self, sock: Any) -> tuple[Any, dict[str, str]]:
        """The socket, its handshake yet to be done."""
        wrapped = self.context.wrap_socket(sock, server_side=True, do_handshake_on_connect=False)
        return wrapped, {"wsgi.url_scheme": "https", "HTTPS": "on"}

    def renew(self, pem: Path) -> None:
        """Show another certificate from the next connection on; those that are open stay."""
        self.context.load_cert_chain(str(pem), str(pem))


def make_server(app: WSGIApplication, port: int, pem: Path | None = None, host: str = EVERYWHERE) -> PatientServer:
    """A server that listens on the workshop's network; with `pem`, the key and certificate to encrypt with.

    Errors: OSError when the port is taken, or the file is no key with its certificate.
    """
    server = PatientServer((host, port), app, numthreads=THREADS, server_name="bench", timeout=TIMEOUT_S)
    server.max_request_header_size = HEAD_MAX
    server.max_request_body_size = BODY_MAX
    if pem is not None:
        server.ssl_adapter = LateHandshake(pem)
    probe(host, port)
    server.prepare()
    return server


def probe(host: str, port: int) -> None:
    """Whether the port is to be had, asked before the server asks: it leaves a socket open where it is not.

    Errors: OSError when another program has the port.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as first:
        if os.name != "nt":
            first.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        first.bind((host, port))
        first.listen(1)
