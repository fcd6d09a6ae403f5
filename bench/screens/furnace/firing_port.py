"""A meter on the laptop's serial port: which port and which number of a line, how it goes, and its end."""

import re
from typing import Any

from flask import Blueprint, Response, current_app

from bench.science.refusal import Refusal
from bench.screens.kit.found import firing_or_404
from bench.web.channel import door
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.words import _
from bench.workshop.logger.lines import numbers_in
from bench.workshop.things.firings import Firing

blueprint = Blueprint("firing_port", __name__)

BAUDS = ("9600", "19200", "38400", "57600", "115200", "4800", "2400", "1200")
NAME = re.compile(r"(/dev/[\w./-]{1,80}|COM\d{1,3})")
MOST_NUMBERS = 12
LEAST_S, MOST_S = 1, 900


def listening() -> Any:
    """What listens to a port of this computer: `ports()`, `start(…)`, `stop()`, `heard`."""
    return current_app.extensions["listening"]


@blueprint.get("/firing/<thing>/port")
def show(thing: str) -> Response:
    """The port that is listened to, or the form to choose one."""
    return _show(firing_or_404(thing), blank(baud="9600", at="1", unit="C", every_s="30"))


def _show(fire: Firing, form: Form) -> Response:
    heard = listening().heard
    mine = heard if heard is not None and heard.asked.firing == fire.id else None
    return page(
        "firing/port.html",
        form=form,
        fire=fire,
        heard=mine,
        busy=heard is not None and heard.running and mine is None,
        numbers=list(enumerate(numbers_in(mine.line), 1)) if mine is not None else [],
        ports=[name for name, _words in listening().ports()],
        bauds=[(one, one) for one in BAUDS],
        here=door() == "local",
    )


@blueprint.post("/firing/<thing>/port")
def start(thing: str) -> Response:
    """Begin to listen, or stop. Only at the laptop itself, whose port it is."""
    fire, form = firing_or_404(thing), read_form()
    if door() != "local":
        form.refuse(_("The port is on the laptop: start it there."))
        return _show(fire, form)
    if form.typed.get("stop"):
        listening().stop()
        return go("firing_port.show", thing=thing)
    port = form.text("port", max_len=90, required=True)
    if port is not None and not NAME.fullmatch(port):
        form.refuse(_("Type the port, such as /dev/ttyUSB0 or COM3."), "port")
    baud = form.choice("baud", BAUDS)
    at = form.whole("at", low=1, high=MOST_NUMBERS)
    unit = form.choice("unit", ("C", "F"))
    every_s = form.whole("every_s", low=LEAST_S, high=MOST_S, unit="s")
    if fire.closed:
        form.refuse(_("This firing is closed."))
    if not form.ok:
        return _show(fire, form)
    try:
        listening().start(thing, port, int(baud or 0), at, unit, every_s)
    except Refusal as refusal:
        form.refuse(refusal.say, "port")
        return _show(fire, form)
    return go("firing_port.show", thing=thing)
