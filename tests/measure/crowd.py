"""`--crowd`: forty phones for five minutes among strangers and print; a page beside a PDF, a photo and strangers.

The phones are paired with a bench in another process and speak to its encrypted door. All run on this computer, so they
take a part of its processors themselves; what counts are the ratios.
"""

import random
import ssl
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, field
from http.client import HTTPException
from pathlib import Path
from statistics import median, quantiles

from ulid import ULID

from tests.measure.crowd_phone import Phone
from tests.measure.crowd_strangers import crowding, dribbled, meanwhile, photo, send_photo
from tests.measure.figure import Figure
from tests.measure.phone import _free_port
from tests.measure.phone_laptop import Laptop, started

NAME = "crowd"
PHONES, PACE_S, CROWD_S = 40, 3.0, 300.0
"""Each phone opens a page about every three seconds, and each fifth time it keeps a reading."""
PAGES, PAUSE_S, ROUNDS = 40, 0.02, 3
TAGS = 96
STRANGERS = 30

Beside = Callable[[], AbstractContextManager[None]]


@dataclass(frozen=True)
class Yard:
    """A bench that serves, and the certificate by which its phones know it."""

    laptop: Laptop
    trusts: ssl.SSLContext

    def phone(self, name: str) -> Phone:
        """One more phone, paired."""
        return Phone(self.laptop.port, self.trusts).pair(self.laptop, name)


@contextmanager
def yard() -> Iterator[Yard]:
    """A bench with the demo's records at its encrypted door."""
    with tempfile.TemporaryDirectory(prefix="saggar-measure-", ignore_cleanup_errors=True) as root:
        laptop = started(Path(root) / "bench", _free_port())
        try:
            yield Yard(laptop, ssl.create_default_context(cafile=str(laptop.certificate)))
        finally:
            laptop.end()


def run() -> list[Figure]:
    """Measures the crowd; about seven minutes."""
    with yard() as here:
        fetched = after_a_reading(here)
        return [*crowd_figures(here), *pdf_figures(here), *photo_figures(here), *stranger_figures(here), fetched]


def pages_of(laptop: Laptop) -> tuple[str, ...]:
    """The pages that are opened most while a fire burns."""
    return ("/", f"/firing/{laptop.firing}", f"/batch/{laptop.batch}", f"/firing/{laptop.firing}/reading")


@dataclass
class Told:
    """What phones were answered: the seconds of each, the readings that were acknowledged, and what was no answer."""

    seconds: list[float] = field(default_factory=list)
    kept: list[str] = field(default_factory=list)
    failed: list[str] = field(default_factory=list)


def crowd_figures(here: Yard, seconds: float = CROWD_S) -> list[Figure]:
    """Forty phones while strangers stand at the door and a sheet is set, against one phone alone."""
    only, alone, told = here.phone("alone"), Told(), Told()
    for n in range(5 * PAGES):
        _one_step(only, here.laptop, n, alone)
        time.sleep(PAUSE_S)

    def use(phone: Phone, seed: int) -> None:
        draw, ends = random.Random(seed), time.monotonic() + seconds
        time.sleep(draw.uniform(0, PACE_S))
        n = seed
        while time.monotonic() < ends:
            _one_step(phone, here.laptop, n, told)
            n += 1
            time.sleep(draw.uniform(0.5, 1.5) * PACE_S)

    phones = [here.phone(f"phone {n}") for n in range(PHONES)]
    printer = _printer(here)
    threads = [threading.Thread(target=use, args=(phone, n)) for n, phone in enumerate(phones)]
    with crowding(here.laptop.port, here.trusts, STRANGERS), meanwhile(printer):
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    file = (here.laptop.certificate.parent.parent / "saggar.json").read_bytes()
    lost = sum(b'"%s"' % one.encode() not in file for one in told.kept)
    return [_slower(told, alone), *_kept(told, lost)]


def _slower(told: Told, alone: Told) -> Figure:
    slow, quick = _p(told.seconds, 99), _p(alone.seconds, 99)
    note = f"{slow * 1000:.0f} ms against {quick * 1000:.0f} ms; {len(told.seconds)} pages and readings"
    name = f"{PHONES} phones, {STRANGERS} strangers and a sheet against one phone: p99"
    return Figure(name, slow / quick, "×", "at most 5", slow <= 5 * quick, note)


def _kept(told: Told, lost: int) -> list[Figure]:
    fell = len(told.failed)
    return [
        Figure("crowd: answers that were none", fell, "", "0", fell == 0, "; ".join(sorted(set(told.failed))[:3])),
        Figure("crowd: readings lost", lost, "", "0", lost == 0, f"of {len(told.kept)} that were acknowledged"),
    ]


def _one_step(phone: Phone, laptop: Laptop, n: int, told: Told) -> None:
    wanted, made = 200, str(ULID())
    try:
        if n % 5 == 4:
            fields = {"c": str(700 + n % 40), "unit": "C", "record_id": made}
            wanted, answer = 303, phone.post(f"/firing/{laptop.firing}/reading", **fields)
        else:
            answer = phone.ask(pages_of(laptop)[n % 5])
    except (OSError, HTTPException) as error:
        told.failed.append(type(error).__name__)
        return
    told.seconds.append(answer.seconds)
    if answer.status != wanted:
        told.failed.append(str(answer.status))
    elif wanted == 303:
        told.kept.append(made)


def _printer(here: Yard) -> Callable[[], None]:
    """Sets a sheet of tags as PDF each time it is called; once already."""
    printer = here.phone("printer")
    issued = printer.post("/print/tags", count=str(TAGS), sheet="a4-24", start="1").headers["Location"]

    def set_sheet() -> None:
        if not printer.ask(f"{issued}&pdf=1").body.startswith(b"%PDF"):
            raise RuntimeError("no PDF came")

    set_sheet()
    return set_sheet


def beside(here: Yard, other: Beside) -> tuple[float, float, str]:
    """A page beside something else against alone: the ratio of the medians, that of the p95, and both in words."""
    phone, alone, busy = here.phone("beside"), [], []
    for _ in range(ROUNDS):
        alone += _opened(phone)
        with other():
            time.sleep(0.3)
            busy += _opened(phone)
    phone.close()
    note = f"median {median(busy) * 1000:.0f} ms against {median(alone) * 1000:.0f} ms"
    return median(busy) / median(alone), _p95(busy) / _p95(alone), note


def _opened(phone: Phone) -> list[float]:
    found = []
    for _ in range(PAGES):
        found.append(phone.ask("/").seconds)
        time.sleep(PAUSE_S)
    return found


def _p95(seconds: list[float]) -> float:
    return _p(seconds, 95)


def _p(seconds: list[float], percent: int) -> float:
    return quantiles(seconds, n=100)[percent - 1]


def pdf_figures(here: Yard) -> list[Figure]:
    """A page beside a sheet of tags that is set as PDF, again and again."""
    printer = _printer(here)
    middle, slow, note = beside(here, lambda: meanwhile(printer))
    what = f"a page beside a PDF of {TAGS} tags"
    return [
        Figure(f"{what}: median", middle, "×", "at most 2", middle <= 2, note),
        Figure(f"{what}: p95", slow, "×", "at most 10", slow <= 10),
    ]


def photo_figures(here: Yard) -> list[Figure]:
    """A page beside a photo of two megabytes that is sent and kept, again and again."""
    sender, picture = here.phone("camera"), photo()
    middle, slow, note = beside(here, lambda: meanwhile(lambda: send_photo(sender, here.laptop.batch, picture)))
    what = f"a page beside a photo of {len(picture) / 1e6:.1f} MB"
    return [
        Figure(f"{what}: median", middle, "×", "at most 5", middle <= 5, note),
        Figure(f"{what}: p95", slow, "×"),
    ]


def stranger_figures(here: Yard) -> list[Figure]:
    """A page beside one stranger who dribbles a body, and beside many who do what they can."""
    port, trusts, figures = here.laptop.port, here.trusts, []
    kinds: list[tuple[str, Beside]] = [
        ("a page beside a dribbled body", lambda: dribbled(port, trusts, 1)),
        (f"a page beside {STRANGERS} strangers", lambda: crowding(port, trusts, STRANGERS)),
    ]
    for what, other in kinds:
        middle, slow, note = beside(here, other)
        figures.append(Figure(f"{what}: median", middle, "×", "at most 5", middle <= 5, note))
        figures.append(Figure(f"{what}: p95", slow, "×"))
    return figures


def after_a_reading(here: Yard) -> Figure:
    """The pages that a phone fetches again after one reading, once it has all."""
    phone, other = here.phone("keeper"), here.phone("reader")
    first = phone.take_in()
    phone.take_in()
    settled = phone.take_in()
    answer = other.post(f"/firing/{here.laptop.firing}/reading", c="703", unit="C")
    if answer.status != 303:
        raise RuntimeError(f"the reading was answered {answer.status}")
    fetched = phone.take_in()
    note = f"of {first} pages; with nothing new it fetches {settled}"
    return Figure("pages fetched after one reading", fetched, "", "at most 1", fetched <= 1, note)
