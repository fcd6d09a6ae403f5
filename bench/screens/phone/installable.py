"""What makes the bench an app on a phone's start screen: the manifest, the worker, the icon."""

import json
from typing import Any

from flask import Blueprint, Response, current_app, jsonify, make_response, redirect
from werkzeug.wrappers import Response as Sent

from bench.screens.phone.offline import version
from bench.settings import asset_folder
from bench.web.page import static_url
from bench.web.words import _

blueprint = Blueprint("installable", __name__)


@blueprint.get("/worker.js")
def worker() -> Response:
    """The worker of the phone's pages, with the mark of this version in it: a new version is a new worker."""
    source = (asset_folder("static") / "worker" / "worker.js").read_text(encoding="utf-8")
    front = f'const VERSION = "{version()}";\nconst WORDS = {json.dumps(_alone())};\n'
    answer = make_response(front + source)
    answer.headers["Content-Type"] = "text/javascript; charset=utf-8"
    answer.headers["Cache-Control"] = "no-cache"
    return answer


def _alone() -> dict[str, str]:
    """What the worker says by itself, where the browser keeps no page any more."""
    return {
        "title": _("The laptop is out of reach"),
        "safe": _("{n} waiting. They are safe on this phone."),
        "all": _("No record waits on this phone. All are on the laptop."),
        "none": _("No record was found on this phone."),
        "why": _("The browser removed the stored pages. Write on paper until the laptop answers."),
        "again": _("Try again"),
    }


@blueprint.get("/app.webmanifest")
def manifest() -> Response:
    """What makes the bench an app on the phone's start screen."""
    app: Any = current_app
    icons = [
        {"src": static_url(app, f"icons/app-{size}{look}.png"), "sizes": f"{size}x{size}", "type": "image/png"}
        | {"purpose": "maskable" if look else "any"}
        for size in (192, 512)
        for look in ("", "-maskable")
    ]
    answer = jsonify(
        id="/",
        name=_("Saggar: the bench"),
        short_name="Saggar",
        lang="en",
        start_url="/",
        scope="/",
        display="standalone",
        orientation="any",
        background_color="#f6f2e8",
        theme_color="#26221d",
        icons=icons,
    )
    answer.headers["Content-Type"] = "application/manifest+json"
    return answer


@blueprint.get("/favicon.ico")
def icon() -> Sent:
    """A browser asks for it on pages that name no icon, as the sheets for the printer."""
    return redirect(static_url(current_app, "icons/saggar.svg"), 301)
