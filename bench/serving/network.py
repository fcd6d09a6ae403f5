"""The bench on the workshop's network: both doors, the certificate, the name, and what is to be said about them."""

import logging
import threading
from dataclasses import dataclass, field
from typing import Any

from bench.serving import leaf, tls
from bench.serving.addresses import own_addresses
from bench.serving.authority import NAME, Authority, open_authority
from bench.serving.doors import App, Door, through
from bench.serving.naming import Nameplate, Watch
from bench.serving.plain import QuietServer
from bench.settings import Settings
from bench.translation import _

log = logging.getLogger("bench")


@dataclass
class Network:
    """What the pages know of the network. `troubles` are sentences for a person."""

    tls_port: int = 0
    yard_port: int = 0
    addresses: list[str] = field(default_factory=list)
    authority: Authority | None = None
    troubles: list[str] = field(default_factory=list)

    @property
    def origin(self) -> str:
        """The one address of the app, under which a phone keeps what waits to be sent."""
        return f"https://{NAME}:{self.tls_port}" if self.tls_port else ""

    @property
    def shown(self) -> list[str]:
        """The addresses that a phone on the same network can reach."""
        return [address for address in self.addresses if ":" not in address]

    @property
    def yard_urls(self) -> list[str]:
        """The plain addresses, by number: they need no name and no trust."""
        return [f"http://{address}:{self.yard_port}" for address in self.shown] if self.yard_port else []

    @property
    def by_address(self) -> list[str]:
        """The encrypted addresses by number, for networks where the name is not found."""
        return [f"https://{address}:{self.tls_port}" for address in self.shown] if self.tls_port else []


class Workshop:
    """Runs the two servers of the network beside the one of this computer."""

    def __init__(self, app: Any, settings: Settings, now_ms: Any) -> None:
        self.network = Network()
        app.extensions["network"] = self.network
        self._wsgi: App = app
        self._settings, self._now_ms = settings, now_ms
        self._servers: list[QuietServer] = []
        self._threads: list[threading.Thread] = []
        self._plate: Nameplate | None = None
        self._watch: Watch | None = None

    def open(self, announce: bool = True) -> None:
        """Open both doors. What cannot be opened is said in `network.troubles`; this computer's own door stays open."""
        self.network.addresses = own_addresses()
        try:
            authority = open_authority(self._settings.keys, self._now_ms())
            pem, _key = leaf.ready_leaf(self._settings.keys, authority, self.network.addresses, self._now_ms())
        except (OSError, ValueError) as error:
            self.network.troubles.append(
                _("The bench has no certificate: {error}. Phones connect without encryption.", error=error)
            )
        else:
            self.network.authority = authority
            self.network.tls_port = self._listen("tls", self._settings.tls_port, pem)
        self.network.yard_port = self._listen("yard", self._settings.yard_port)
        if announce:
            self._plate = Nameplate(self.network.tls_port or self.network.yard_port)
            if not self.network.shown:
                self._plate.hang([])  # said at once, not when the watch happens to look
                self.network.troubles += [self._plate.trouble] if self._plate.trouble else []
            self._watch = Watch(self._moved)
            self._watch.start()

    def close(self) -> None:
        """Close both doors and answer to the name no more."""
        if self._watch is not None:
            self._watch.stop()
        if self._plate is not None:
            self._plate.take_down()
        for server in self._servers:
            server.stop()
        for thread in self._threads:
            thread.join(timeout=10)

    def renew(self, addresses: list[str]) -> bool:
        """Take note of other addresses; whether a new certificate was made, which the next connection is shown."""
        self.network.addresses = addresses
        if self.network.authority is None:
            return False
        pem, made = leaf.ready_leaf(self._settings.keys, self.network.authority, addresses, self._now_ms())
        for server in self._servers if made else ():
            if isinstance(server.ssl_adapter, tls.LateHandshake):
                server.ssl_adapter.renew(pem)
        return made

    def _moved(self, addresses: list[str]) -> None:
        self.renew(addresses)
        if self._plate is not None:
            before = self._plate.trouble
            self._plate.hang(addresses)
            # What was said of the network before this one holds no more.
            still = [said for said in self.network.troubles if said != before]
            self.network.troubles = still + [said for said in [self._plate.trouble] if said]

    def _listen(self, door: Door, port: int, pem: Any = None) -> int:
        try:
            server = tls.make_server(through(self._wsgi, door), port, pem)
        except OSError as error:
            self.network.troubles.append(
                _(
                    "Port {port} is not available ({why}), so phones cannot use it.",
                    port=port,
                    why=error.strerror or error,
                )
            )
            return 0
        thread = threading.Thread(target=self._serve, args=(server,), name=f"bench-{door}", daemon=True)
        self._servers.append(server)
        self._threads.append(thread)
        thread.start()
        return int(server.bind_addr[1])

    @staticmethod
    def _serve(server: QuietServer) -> None:
        try:
            server.serve()
        except Exception:
            log.exception("a server of the network ended")
