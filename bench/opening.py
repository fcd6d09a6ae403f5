"""Opens the bench: reads how it was asked for, joins the data with the app, and serves it until Ctrl-C."""

import gc
import logging
import os
import sys
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path

from flask import Flask

from bench.journal import Trouble
from bench.journal.lock import is_held, note_address, running_at
from bench.journal.tending import Tending
from bench.journal.trouble import Held
from bench.launching.words import version
from bench.logbook import written
from bench.science.refusal import Refusal
from bench.serving import plain
from bench.serving.network import Network, Workshop
from bench.serving.waiting import Waiting
from bench.settings import DEFAULT_PORT, Settings, default_data_folder, make_folders
from bench.web.current import Bench

log = logging.getLogger("bench")


@dataclass(frozen=True)
class Asked:
    """How the bench is to be opened, as it was typed."""

    data: str | None = None
    port: str | None = None
    no_browser: bool = False
    plain: bool = False
    demo: bool = False


def open_bench(asked: Asked) -> int:
    """Open, serve and close; 0 after a clean stop, 1 where it cannot open, 2 where it was asked wrongly."""
    try:
        port = None if asked.port is None else read_port(asked.port)
    except Refusal as refusal:
        print(refusal.say, file=sys.stderr)
        return 2
    try:
        with data_folder(None if asked.data is None else Path(asked.data), asked.demo) as data:
            try:
                return run(asked, data, port)
            except (Held, Refusal) as problem:
                # A second start with the same port finds it taken, by the very bench that it means.
                runs = isinstance(problem, Held) or (problem.field == "port" and is_held(data))
                if not (runs and shown_where_it_runs(asked, data)):
                    raise
                return 0
    except (Refusal, Trouble) as problem:
        print(problem.say, file=sys.stderr)
        return 1


def shown_where_it_runs(asked: Asked, data: Path) -> bool:
    """Whether the bench that holds this folder answers; it is then shown, as a second start means to."""
    address = running_at(data)
    if not address:
        return False
    print(f"Saggar is open already at {address}", flush=True)
    if not asked.no_browser:
        plain.show_in_browser(address)
    return True


def read_port(text: str) -> int:
    """A port as typed. Errors: Refusal."""
    if not (text.isascii() and text.isdecimal() and len(text) <= 5 and int(text) <= 65_535):
        raise Refusal(f"--port takes a whole number from 0 to 65535; this was {text[:40]!r}.", "port")
    return int(text)


@contextmanager
def data_folder(asked: Path | None, demo: bool) -> Iterator[Path]:
    """The folder of the data while the bench is open. Errors: Refusal for one that the demo may not write into."""
    if not demo:
        yield (asked or default_data_folder()).expanduser().absolute()
    elif asked is None:
        with tempfile.TemporaryDirectory(prefix="saggar-demo-", ignore_cleanup_errors=True) as folder:
            yield Path(folder)
    else:
        if asked.is_dir() and any(asked.iterdir()):
            raise Refusal(f"The demo goes into an empty folder only, and {asked} has something in it.", "data")
        yield asked.expanduser().absolute()


def run(asked: Asked, data: Path, wanted: int | None) -> int:
    """Join and serve. Errors: Refusal where the wanted port or the folder is not available."""
    port = plain.free_port(DEFAULT_PORT if wanted is None else wanted, only=wanted is not None)
    settings = Settings(data=data, port=port, plain=asked.plain, open_browser=not asked.no_browser, demo=asked.demo)
    prepare(settings)
    waiting = Waiting(lambda: tell_long(settings, plain.address_of(server)))
    try:
        server = plain.make_server(waiting, port)
    except OSError:
        raise Refusal(f"Port {port} was taken by another program just now. Start Saggar again.", "port") from None
    with written(settings.data), plain.until_asked(), plain.serving(server) as served, joined(settings, waiting) as app:
        if wanted is None and port != DEFAULT_PORT:
            print(f"Port {DEFAULT_PORT} is in use, so this bench is on port {port}.")
        with phones(app, settings) as network:
            gc.freeze()  # what is there stays: looking through it for rings would take a tenth of a second in a page
            waiting.ready(app)
            try:
                tell(settings, plain.address_of(server), network, shown=waiting.is_long)
                plain.wait(served)
            finally:
                server.stop()  # before the data file is closed under its pages
    print("Saggar is closed. Everything recorded is on the disk.", flush=True)
    return 0


def prepare(settings: Settings) -> None:
    """Make the folders, and fill them for the demo. Errors: Refusal where the disk does not allow it."""
    try:
        make_folders(settings)
    except OSError as error:
        raise Refusal(
            f"The folder {settings.data} cannot be used for the data: {error.strerror}. Name another one with --data.",
            "data",
        ) from error
    shut = lacks_rights(settings)
    if shut is not None:
        raise Refusal(
            f"The data in {settings.data} cannot be written: {shut.name} is read-only for you. "
            "Give yourself the right to write there, or name another folder with --data.",
            "data",
        )


def lacks_rights(settings: Settings) -> Path | None:
    """The first folder or file of the data that may not be written; None where all may."""
    folders = (settings.data, settings.photos, settings.backups, settings.keys)
    files = [one for one in (settings.file, settings.keys / "session.key") if one.exists()]
    shut = [one for one in folders if not os.access(one, os.W_OK | os.X_OK)]
    shut += [one for one in files if not os.access(one, os.R_OK | os.W_OK)]
    return shut[0] if shut else None


@contextmanager
def phones(app: Flask, settings: Settings) -> Iterator[Network | None]:
    """The doors of the workshop's network, open while the block runs; None where the bench was opened without them."""
    if settings.plain:
        yield None
        return
    workshop = Workshop(app, settings, app.extensions["bench"].now_ms)
    workshop.open()
    try:
        yield workshop.network
    finally:
        workshop.close()


@contextmanager
def joined(settings: Settings, waiting: Waiting) -> Iterator[Flask]:
    """The app over the opened data; the data file is closed at the end."""
    from bench.app import create_app

    log.info("Saggar " + version() + " opens")
    app = create_app(settings, heard=waiting.heard)
    bench = app.extensions["bench"]
    try:
        question = bench.journal.safe.shortfall
        for sentence in [*bench.journal.report, *(question.sentences if question else ())]:
            print(f"Note: {sentence}", file=sys.stderr, flush=True)
        if settings.demo:
            fill_demo(bench)
        tending = Tending(bench.journal)
        try:
            yield app
        finally:
            tending.stop()
    finally:
        app.extensions["listening"].stop()
        app.extensions["balance"].stop()
        bench.journal.close()
        log.info("closed")


def fill_demo(bench: Bench) -> None:
    """Write the demo's records into the opened folder, at times that end now."""
    import_module("bench.demo").fill(bench)


def tell_long(settings: Settings, address: str) -> None:
    """Say that the records are being read, and show how far that has come."""
    print(f"Saggar reads its records. {address} shows how far it has come.", flush=True)
    show(settings, address)


def tell(settings: Settings, address: str, network: Network | None = None, shown: bool = False) -> None:
    """Say where the bench is and where its data lies, and show it in the browser where that was not declined."""
    note_address(settings.data, address)
    print(f"Saggar is open at {address}")
    print(f"Throwaway demo data in {settings.data}" if settings.demo else f"The data is in {settings.data}")
    if network is not None:
        for sentence in network.troubles:
            print(f"Note: {sentence}", file=sys.stderr, flush=True)
        if network.shown and (network.yard_urls or network.origin):
            print(f"Pair a phone at {address}pair")
    print("Ctrl-C closes it.", flush=True)
    if not shown:
        show(settings, address)


def show(settings: Settings, address: str) -> None:
    """Open the browser, where that was not declined."""
    if settings.open_browser:
        threading.Thread(target=plain.show_in_browser, args=(address,), daemon=True).start()
