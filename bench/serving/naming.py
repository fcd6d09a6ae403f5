"""The bench's name on the network: `bench.local` by multicast DNS, kept right while the address changes."""

import ipaddress
import logging
import threading
from collections.abc import Callable, Sequence

from zeroconf import NonUniqueNameException, ServiceInfo, Zeroconf

from bench.serving.addresses import is_joined, own_addresses
from bench.serving.authority import NAME
from bench.translation import _

EVERY_S = 30.0
NO_NETWORK = _("This computer has no network, so no phone can find it.")
NOT_AT_HOME = _("No phone can connect over this public network. Join the workshop’s own Wi-Fi.")
KIND = "_https._tcp.local."

log = logging.getLogger("bench")


class Nameplate:
    """Says on the network that `bench.local` is here. Every failure is kept as a sentence: without it, addresses do."""

    def __init__(self, port: int) -> None:
        self._port = port
        self._zeroconf: Zeroconf | None = None
        self.trouble: str | None = None

    def hang(self, addresses: Sequence[str]) -> None:
        """Answer to the name with these addresses from now on."""
        self.take_down()
        shown = [address for address in addresses if ":" not in address]
        if not shown:
            self.trouble = NOT_AT_HOME if is_joined() else NO_NETWORK
            return
        try:
            self._zeroconf = Zeroconf(interfaces=shown)
            self._zeroconf.register_service(self._info(shown))
            self.trouble = None
        except NonUniqueNameException:
            self.trouble = _(
                "Another computer on this network already answers to {name}. Close the bench there.", name=NAME
            )
        except OSError as error:
            self.trouble = _(
                "The name {name} cannot be announced on this network: {why}.",
                name=NAME,
                why=error.strerror or error,
            )
        if self.trouble:
            log.warning("%s", self.trouble)
            self.take_down()

    def take_down(self) -> None:
        """Answer no more."""
        if self._zeroconf is not None:
            self._zeroconf.close()
            self._zeroconf = None

    def _info(self, addresses: Sequence[str]) -> ServiceInfo:
        packed = [ipaddress.ip_address(address).packed for address in addresses]
        return ServiceInfo(KIND, f"bench.{KIND}", addresses=packed, port=self._port, server=f"{NAME}.")


class Watch:
    """Looks every half minute whether this computer's addresses changed, and says so to whoever has to act."""

    def __init__(self, changed: Callable[[list[str]], None], look: Callable[[], list[str]] = own_addresses) -> None:
        self._changed, self._look = changed, look
        self._last: list[str] | None = None
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, name="bench-addresses", daemon=True)

    def start(self) -> None:
        """Begin; the first look is now."""
        self._thread.start()

    def stop(self) -> None:
        """End, and wait for a change that is being dealt with."""
        self._stop.set()
        self._thread.join(timeout=15)

    def look_once(self) -> None:
        """One look: what is new is handed on."""
        now = self._look()
        if now == self._last:
            return
        try:
            self._changed(now)
            self._last = now
        except Exception:
            log.exception("the change of address could not be dealt with; it is tried again")

    def _run(self) -> None:
        self.look_once()
        while not self._stop.wait(EVERY_S):
            self.look_once()
