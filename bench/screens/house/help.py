"""Help: a batch in pictures, the signs, and how the data is kept safe. It is on a phone too when the laptop is away."""

from flask import Blueprint, Response

from bench.web.page import page
from bench.web.words import _

blueprint = Blueprint("help", __name__)

STEPS = (
    ("plan", _("Plan"), _("Name a target or type the grams. The bench works out what to weigh."), "/plan"),
    ("balance", _("Weigh"), _("One reagent a screen. Type what the balance shows."), "/batches?show=open"),
    ("mortar", _("Grind and mix"), _("Record what you grind in, and how the streak looks."), "/batches?show=open"),
    ("dish", _("Dry"), _("It is dry when two weighings an hour apart agree."), "/batches?show=open"),
    ("load", _("Fill crucibles"), _("Scan or tap the crucible, then record how much goes in."), "/batches?show=open"),
    ("flame", _("Fire"), _("Plan the firing, answer the checks, light, read the probe."), "/firings"),
    ("cool", _("Cool"), _("Cool as planned. Touch a crucible only when its own surface reads below 40 °C."), "/"),
    ("open", _("Open and weigh out"), _("Take a photo first. Weigh the crucible full, then empty."), "/"),
    ("brush", _("Brush out a swatch"), _("Same binder, same film, same light each time."), "/swatches"),
    ("judge", _("Judge"), _("Keep, fire again, make up, tint stock or throw away."), "/batches"),
)
SIGNS = (
    "w-hot", "w-fire", "w-gas", "w-toxic", "m-mask", "m-gloves", "m-eyes", "m-face", "m-wet", "m-read",
    "GHS01", "GHS02", "GHS03", "GHS04", "GHS05", "GHS06", "GHS07", "GHS08", "GHS09",
)  # fmt: skip
SAFE = (
    (
        _("Back up"),
        _("The records are copied every day; Settings, Backups does it now. For photos, copy the data folder."),
    ),
    (_("Restore"), _("Open Settings, Backups. Choose a copy, see what it would change, then restore it.")),
    (
        _("Move to another computer"),
        _("Close the bench. Copy the data folder that Settings names. Start Saggar there with --data."),
    ),
    (
        _("Uninstall"),
        _("Remove the bench’s certificate from each phone. Delete the program folder. The data stays in its folder."),
    ),
)


@blueprint.get("/help")
def show() -> Response:
    """The page."""
    return page("help/show.html", steps=STEPS, signs=SIGNS, safe=SAFE)
