"""What the bench prints: tags, load cards and run sheets, for the browser's printer and as PDF."""

from flask import Blueprint, Response, abort, request

from bench.printing.calibrating import MOST_MM, moved
from bench.printing.card_sheets import CARDS, LETTER_CARDS, card_content, fitted
from bench.printing.load_cards import load_card
from bench.printing.paper import LETTER
from bench.printing.run_sheets import run_sheet, run_sheet_page
from bench.printing.sheet_head import sheet_head
from bench.printing.sheets import Sheet, load_sheets
from bench.printing.tags import tag_layout, tag_pages
from bench.records.record import BENCH
from bench.science.refusal import Refusal
from bench.screens.kit.issuing import free_codes, spare_codes
from bench.screens.kit.steps import thing_path
from bench.screens.paper.paper_screen import Choice, document, paper, paper_size, papers, set_apart, templates
from bench.screens.paper.sheet import sections_of
from bench.settings import asset_folder
from bench.web import preferences
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.paging import paged
from bench.web.recording import Entry, record_all
from bench.web.turns import out_of_turn
from bench.web.words import _, many
from bench.workshop.things.firings import firing

blueprint = Blueprint("printing", __name__, url_prefix="/print")

MOST_TAGS = 240
USUAL = {
    "a4": {"tag": "a4-24", "label": "a4-8"},
    "letter": {"tag": "letter-24", "label": "letter-6"},
}


def plain_sheets() -> dict[str, Sheet]:
    """The sheets of labels that the bench knows, as they are sold."""
    return load_sheets(asset_folder("labels"))


def sheets() -> dict[str, Sheet]:
    """The same as this printer must be told to print them: moved by the offset that is kept for each."""
    return {slug: moved(sheet, *offset_mm(slug)) for slug, sheet in plain_sheets().items()}


def usual_sheet(use: str) -> str:
    """The sheet that tags and labels go on until another is chosen: of the paper that was used last."""
    return USUAL[preferences.paper()][use]


def choice(sheet: Sheet) -> Choice:
    """All sheets to choose from on the screen of a page, with this one chosen."""
    return Choice(sheet.slug, [(one.slug, _(one.words)) for one in sheets().values()])


def offset_mm(slug: str) -> tuple[float, float]:
    """The offset that is kept for a sheet, in mm to the right and down; none where none is kept that makes sense."""
    kept = current_bench().state.setting(f"print_offset_mm.{slug}")
    if not isinstance(kept, list | tuple) or len(kept) != 2:
        return 0.0, 0.0
    known = [n for n in kept if isinstance(n, int | float) and not isinstance(n, bool) and abs(n) <= MOST_MM]
    return (float(known[0]), float(known[1])) if len(known) == 2 else (0.0, 0.0)


@blueprint.get("")
def home() -> Response:
    """What can be printed now."""
    return _home(blank(sheet=usual_sheet("tag"), start="1", count="24"))


def _home(form: Form) -> Response:
    state = current_bench().state
    open_ones = {sort: state.open_things(sort) for sort in ("charge", "batch", "firing")}
    part = paged([(sort, t) for sort, things in open_ones.items() for t in reversed(things)])
    shown = {sort: [t for s, t in part.found if s == sort] for sort in open_ones}
    return page(
        "print/home.html",
        form=form,
        sheets=[(s.slug, _(s.words)) for s in sheets().values()],
        filled=len(open_ones["charge"]),
        charges=[(t, _crucible_code(t)) for t in shown["charge"]],
        codes=[code for t in state.open_things("crucible") if (code := state.code_of(t))],
        batches=[(t, state.slot(t, "batch.planned").body.name) for t in shown["batch"]],
        firings=[(t, state.code_of(t)) for t in shown["firing"]],
        part=part,
        spares=spare_codes(),
        jars=len(state.open_things("jar")),
    )


def _crucible_code(charge: str) -> str | None:
    state = current_bench().state
    filled = state.slot(charge, "charged").body
    return state.code_of(filled.crucible) if filled is not None else None


@blueprint.post("/tags")
def issue() -> Response:
    """Issue spare codes, on the disk before they are printed, and go to their sheet."""
    form = read_form()
    count = form.whole("count", low=1, high=MOST_TAGS)
    sheet = form.choice("sheet", sheets())
    start = form.whole("start", low=1, high=sheets()[sheet].places if sheet else 1)
    if not form.ok or count is None:
        return _home(form)
    codes = fresh_codes(form.record_id, count)
    say = many("One spare code issued", "{n} spare codes issued", count)
    if not record_all([Entry("code.issued", BENCH, {"codes": codes})], form=form, say=say):
        return _home(form)
    return go("printing.tags", sheet=sheet, start=start, issue=form.record_id)


def fresh_codes(record_id: str, count: int) -> list[str]:
    """New codes for a submit; the same codes when the same submit comes again."""
    standing = current_bench().state.record(record_id)
    if standing is not None and standing.kind == "code.issued":
        return list(standing.data["codes"])
    return free_codes(count)


@blueprint.get("/tags")
def tags() -> Response:
    """A sheet of tags: those of one issue, of all spare codes, or of the crucibles that are named."""
    state = current_bench().state
    issue_id = request.args.get("issue", "")
    record = state.record(issue_id)
    codes = list(record.data["codes"]) if record is not None and record.kind == "code.issued" else []
    named = [c for c in request.args.getlist("code") if c in state.codes]
    codes = codes or named or spare_codes()
    sheet = sheets().get(request.args.get("sheet", usual_sheet("tag")))
    if not codes or sheet is None:
        abort(404)
    start = request.args.get("start", "1")
    if not start.isdecimal() or not 1 <= int(start) <= sheet.places:
        form = blank(sheet=sheet.slug, start=start, count="24")
        form.refuse(_("This sheet has {n} places: start at one of them.", n=sheet.places), "start")
        return _home(form)
    with out_of_turn():  # a symbol takes milliseconds, and there may be hundreds
        pages = tag_pages(codes[:MOST_TAGS], sheet, int(start))
    carriers = state.things_with(codes[0]) if len(codes) == 1 else []
    back = thing_path(state.sort_of(carriers[0]), carriers[0]) if carriers else "/print"
    content = {"title": _("Tags"), "sheet": sheet, "pages": pages, "layout": tag_layout(sheet)}
    return paper("tags.html", "tags", back=back, choice=choice(sheet), **content)


@blueprint.get("/load-cards")
def load_cards() -> Response:
    """The load cards of the charges that are named, or of all that are open."""
    here = current_bench()
    state = here.state
    named = [t for t in request.args.getlist("charge") if state.sort_of(t) == "charge"]
    cards = [load_card(state, thing, here.library) for thing in named or state.open_things("charge")]
    found = [card for card in cards if card is not None]
    if not found:
        abort(404)
    sprite = asset_folder("static") / "icons" / "sprite.svg"
    try:
        found = set_apart(fitted, found, templates(), sprite)
    except Refusal as refusal:
        return too_small(refusal.say)
    on = LETTER_CARDS if paper_size() == LETTER else CARDS
    return paper("load_cards.html", "load-cards", choice=papers(), **card_content(found, sprite, on))


def too_small(say: str, fitting: Sheet | None = None, query: str = "/print", several: bool = False) -> Response:
    """Text does not fit: nothing is cut off. The size that fits, if any, is named, and one tap away."""
    about = {"say": say, "fitting": fitting, "query": query, "several": several}
    return page("print/too_small.html", form=blank(), status=422, **about)


@blueprint.get("/sheet/<any(batch, firing):what>/<thing>")
def sheet(what: str, thing: str) -> Response:
    """The run sheet of a batch or a firing, one page to fill by pencil."""
    name, sections = sections_of(what, thing)
    state = current_bench().state
    steps = ("weigh", "grind", "load") if what == "batch" else ("light", "fire", "open")
    number = str(state.setting("emergency_number", ""))
    fire = firing(state, thing)
    fuel = fire.fuel if fire is not None else "any"
    made = run_sheet(name, state.code_of(thing), sections, steps, number, sheet_head(state, thing), fuel)
    drawn = set_apart(run_sheet_page, templates(), made)
    return document(drawn, f"run-sheet-{what}", back=f"/{what}/{thing}")
