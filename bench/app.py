"""The joining place: settings, library, journal and screens become one app."""

import importlib
import pkgutil
from collections.abc import Callable
from datetime import timedelta
from typing import Any

from flask import Blueprint, Flask

from bench import clock, screens
from bench.journal.journal import Journal
from bench.journal.scanning import Heard, unheard
from bench.launching.words import version
from bench.reference import load_library
from bench.screens.phone import marks, offline
from bench.serving import gatekeeper, onboarding
from bench.serving.balance import Balance
from bench.serving.listening import Listening
from bench.serving.pairing import Pairing
from bench.settings import Settings, asset_folder, make_folders, session_key
from bench.web import compressing as packed
from bench.web import faults, guard, modules, page, sending, styles, words
from bench.web.channel import DoorSessions
from bench.web.current import Bench, hold_still
from bench.workshop.things.firings import firing

SESSION_LIFE = timedelta(days=400)


class Clock:
    """The computer's clock, handed to the rooms that may not read it."""

    def now_ms(self) -> int:
        """Milliseconds since 1970, UTC."""
        return clock.now_ms()

    def zone_min(self) -> int:
        """Minutes that the local time is ahead of UTC."""
        return clock.zone_min()


def create_app(settings: Settings, *, keeper: Any = None, heard: Heard = unheard) -> Flask:
    """The whole bench over one data folder. `keeper` tells the time instead of the computer's clock, for tests.
    `heard` is told how far the opening has come.

    Errors: bench.journal's Held when another process has the folder open, Unusable when it cannot be opened.
    """
    make_folders(settings)
    app = Flask("bench", template_folder=str(asset_folder("templates")), static_folder=str(asset_folder("static")))
    time = keeper or Clock()
    app.secret_key = session_key(settings)
    app.config.update(
        SESSION_COOKIE_HTTPONLY=True,
        SESSION_COOKIE_SAMESITE="Lax",
        PERMANENT_SESSION_LIFETIME=SESSION_LIFE,
        VERSION=version(),
    )
    app.extensions["bench"] = Bench(
        files=load_library(),
        journal=Journal.open(settings.data, clock=time, heard=heard),
        settings=settings,
        now_ms=time.now_ms,
        zone_min=time.zone_min,
    )
    app.extensions["pairing"] = Pairing(settings.keys, time.now_ms)
    app.extensions["listening"] = Listening(keep_reading(app.extensions["bench"]), clock.tick_s)
    app.extensions["balance"] = Balance(clock.tick_s)
    app.session_interface = DoorSessions()
    gatekeeper.init_access_control(app)
    guard.init_guard(app)
    hold_still(app)
    words.follow(app)
    marks.mark_pages(app, offline.version)
    styles.gather(app)
    modules.gather(app)
    packed.pack(app)
    page.prepare(app)
    faults.catch_faults(app)
    sending.answer_outbox(app)
    app.register_blueprint(onboarding.blueprint)
    for blueprint in find_blueprints():
        app.register_blueprint(blueprint)
    return app


def keep_reading(bench: Bench) -> Callable[[str, float, float, str], bool]:
    """What is done with a reading that a meter sent: a record, as long as the firing is not closed."""

    def keep(thing: str, c: float, raw: float, unit: str) -> bool:
        with bench.journal.reading():
            fire = firing(bench.state, thing)
        if fire is None or fire.closed:
            return False
        bench.journal.write("reading", thing, {"c": c, "raw": raw, "raw_unit": unit})
        return True

    return keep


def find_blueprints() -> list[Blueprint]:
    """The `blueprint` of every module in `bench/screens/` that has one, in the order of their names."""
    found = []
    for module in pkgutil.walk_packages(screens.__path__, f"{screens.__name__}."):
        blueprint = getattr(importlib.import_module(module.name), "blueprint", None)
        if isinstance(blueprint, Blueprint):
            found.append(blueprint)
    return found
