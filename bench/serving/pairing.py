"""Who is let in besides this computer: devices that were paired, each with a name, each to be shut out again.

What a new device shows is a code that this computer's screen gave: good once and for five minutes. Whoever tries wrong
codes waits longer and longer. A device that came in over the encrypted door stays until it is shut out; over the plain
one, where others on the network could read along, its grant ends with the day.
"""

import logging
import secrets
import threading
from collections.abc import Callable
from dataclasses import asdict, dataclass, replace
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import orjson

from bench.science.codes import ALPHABET
from bench.science.refusal import Refusal
from bench.settings import write_secret
from bench.translation import _

FILE = "devices.json"
CODE_LENGTH = 8
GOOD_FOR_MS = 5 * 60_000
MOST_OFFERS = 4
FREE_TRIES = 3
LONGEST_WAIT_MS = 15 * 60_000
MOST_WRONG = 100
MOST_WAITING = 1000
DAY_ENDS_H = 4
NAME_MAX = 40
MOST_DEVICES = 100

NOT_KEPT = _("Not paired: the disk refused ({why}). Free some space, then send the same code again.")
WRONG = _("This code was used or has expired. Take a new one.")

log = logging.getLogger("bench")


@dataclass(frozen=True)
class Device:
    """A device that was let in. `ends_ms` is None for a grant that lasts; `shut_ms` is when it was shut out."""

    id: str
    name: str
    label: str
    paired_ms: int
    door: str
    ends_ms: int | None = None
    shut_ms: int | None = None

    def let_in(self, door: str, now_ms: int) -> bool:
        """Whether it may come in through this door now."""
        return door == self.door and self.shut_ms is None and (self.ends_ms is None or now_ms < self.ends_ms)


class Slowed(Refusal):
    """Too many wrong codes: nobody's code is looked at for a while."""

    def __init__(self, wait_ms: int) -> None:
        self.wait_s = max(1, round(wait_ms / 1000))
        wait = _("1 second") if self.wait_s == 1 else _("{n} seconds", n=self.wait_s)
        super().__init__(_("Too many wrong codes. Wait {wait}, then take a new code.", wait=wait), "code")


class Pairing:
    """The register of devices, in the folder of keys, and the codes that are good now, in memory alone."""

    def __init__(self, keys: Path, now_ms: Callable[[], int]) -> None:
        self._path, self._now_ms = keys / FILE, now_ms
        self._lock = threading.Lock()
        self._offers: dict[str, int] = {}
        self._wrong: dict[str, tuple[int, int]] = {}  # who -> how often in a row, and until when they wait
        self._wrong_in_all = 0
        self._devices = {device.id: device for device in _read(self._path)}

    @property
    def devices(self) -> list[Device]:
        """Every device that was ever let in, the newest first."""
        with self._lock:
            return sorted(self._devices.values(), key=lambda device: -device.paired_ms)

    def offer(self) -> str:
        """A new code. The newest few that are not yet used or too old are good."""
        code = "".join(secrets.choice(ALPHABET) for _ in range(CODE_LENGTH))
        with self._lock:
            self._forget_old()
            self._offers[code] = self._now_ms() + GOOD_FOR_MS
            for old in list(self._offers)[:-MOST_OFFERS]:
                del self._offers[old]
        return code

    def admit(self, code: str, name: str, door: str, zone_min: int = 0, who: str = "") -> Device:
        """Let a device in for a code, used up once the device is on the disk. `who` is the address, for the log.

        Errors: Slowed after wrong codes; Refusal on `code`, on `name` where it is empty or holds no letter, or when
        the disk refuses.
        """
        with self._lock:
            label = _label(name)
            offer = self._offered(code, who)
            device = self._new(name.strip(), label, door, zone_min)
            try:
                self._keep(device)
            except OSError as error:
                raise Refusal(NOT_KEPT.format(why=error.strerror)) from error
            del self._offers[offer]
        log.info("let in %s through the door %s", device.label, door)
        return device

    def admitted(self, identity: object, door: str) -> Device | None:
        """The device with this id, if it may come in through this door now."""
        device = self._devices.get(identity) if isinstance(identity, str) else None
        return device if device is not None and device.let_in(door, self._now_ms()) else None

    def shut_out(self, identity: str) -> bool:
        """Shut a device out from the next request on; false when there is none of this id."""
        with self._lock:
            device = self._devices.get(identity)
            if device is None:
                return False
            if device.shut_ms is None:
                self._keep(replace(device, shut_ms=self._now_ms()))
            return True

    def _offered(self, code: str, who: str) -> str:
        now = self._now_ms()
        times, until = self._wrong.get(who, (0, 0))
        if now < until:
            raise Slowed(until - now)
        self._forget_old()
        given = "".join(code.upper().split()).replace("-", "")
        # Every offer is compared, and each in the same time, so that nothing is learned from how long it takes.
        found = [offer for offer in self._offers if secrets.compare_digest(offer.encode(), given.encode())]
        if found:
            self._wrong.pop(who, None)
            return found[0]
        self._count_wrong(who, times + 1, now)
        raise Refusal(WRONG, "code")

    def _count_wrong(self, who: str, times: int, now: int) -> None:
        wait = 0 if times < FREE_TRIES else min(1000 * 2 ** (times - FREE_TRIES + 1), LONGEST_WAIT_MS)
        if len(self._wrong) >= MOST_WAITING:
            self._wrong.clear()
        self._wrong[who] = (times, now + wait)
        self._wrong_in_all += 1
        if self._wrong_in_all >= MOST_WRONG:
            # Somebody guesses from many addresses: nothing that could be hit stays, and the laptop shows a new code.
            self._offers, self._wrong_in_all = {}, 0
        log.warning("a wrong pairing code from %s, number %d in a row", who or "somebody", times)

    def _new(self, name: str, label: str, door: str, zone_min: int) -> Device:
        if len(self._devices) >= MOST_DEVICES:
            oldest = min(self._devices.values(), key=lambda d: (d.let_in(d.door, self._now_ms()), d.paired_ms))
            del self._devices[oldest.id]
        taken = {device.label for device in self._devices.values()}
        n, free = 2, label
        while free in taken:
            free, n = f"{label}-{n}", n + 1
        now = self._now_ms()
        ends = None if door == "tls" else end_of_day(now, zone_min)
        return Device(secrets.token_urlsafe(16), name, free, now, door, ends)

    def _keep(self, device: Device) -> None:
        devices = {**self._devices, device.id: device}
        write_secret(self._path, orjson.dumps([asdict(one) for one in devices.values()], option=orjson.OPT_INDENT_2))
        self._devices = devices

    def _forget_old(self) -> None:
        now = self._now_ms()
        self._offers = {code: end for code, end in self._offers.items() if now < end}


def end_of_day(now_ms: int, zone_min: int) -> int:
    """The next four o'clock in the morning of the zone: a firing that goes past midnight is not cut off."""
    zone = timezone(timedelta(minutes=zone_min))
    now = datetime.fromtimestamp(now_ms / 1000, UTC).astimezone(zone)
    end = now.replace(hour=DAY_ENDS_H, minute=0, second=0, microsecond=0)
    return round((end if end > now else end + timedelta(days=1)).timestamp() * 1000)


def _label(name: str) -> str:
    """The name under which a device's records stand: letters and digits of what it is called."""
    if len(name.strip()) > NAME_MAX:
        raise Refusal(_("At most {n} characters fit here. Shorten it.", n=NAME_MAX), "name")
    kept = "".join(char if char.isascii() and char.isalnum() else "-" for char in name.strip().lower())
    label = "-".join(part for part in kept.split("-") if part)
    if not label:
        raise Refusal(_("Name the phone with at least one plain letter or digit, such as shed."), "name")
    return f"phone-{label}"[:48]


def _read(path: Path) -> list[Device]:
    try:
        return [Device(**one) for one in orjson.loads(path.read_bytes())]
    except FileNotFoundError:
        return []
    except (ValueError, TypeError):
        log.warning("the list of paired devices cannot be read: every phone has to be paired again")
        return []
