"""Thin Flask blueprints, one per bench verb, in a folder for each part of the day.

What every page goes through is in `bench/web/`, what many of them show in `kit`.

How to write a screen
=====================
One verb, three files: `bench/screens/weighing/grind.py`, `templates/grind/ask.html`, `tests/screens/test_grind.py`.
A module here that has a `blueprint` is registered by itself. A GET asks; a POST to the same address records and answers
303, so *Back* and *Reload* record nothing. Rules are asked *before* the act (the gates of `bench.workshop`); facts are
never refused. ::

    blueprint = Blueprint("grind", __name__, url_prefix="/grind")

    @blueprint.get("/<batch>")
    def ask(batch: str) -> Response:
        return show(batch, blank(medium="dry"))

    @blueprint.post("/<batch>")
    def keep(batch: str) -> Response:
        form = read_form()
        data = {
            "medium": form.choice("medium", MEDIA),
            "minutes": form.number("minutes", low=0.5, high=600, unit="min"),
            "streak": form.text("streak", max_len=200),
        }
        said = _("Ground {n} min", n=form.typed.get("minutes"))
        if form.ok and record("mixed", batch, data, form=form, say=said):
            return go("today.show")
        return show(batch, form)

    def show(batch: str, form: Form) -> Response:
        reasons = ...                                   # [] or [{"say": "…", "source": "…", "href": "…"}]
        return page("grind/ask.html", form=form, batch=find(batch), reasons=reasons)

and its template, where `ui` holds every macro of `templates/parts/` (the gallery at `/look` shows them all)::

    {% extends "base.html" %}
    {% block title %}{{ _("Grind") }}{% endblock %}
    {% block head %}{{ ui.head(_("Grind"), batch.code|code, back=url_for("today.show")) }}{% endblock %}
    {% block main %}
    {{ ui.gate(reasons) }}
    {% call ui.ask(form=form) %}
    {{ ui.choice(form, "medium", _("Medium"), [("dry", _("Dry")), ("water", _("Water"), _("dry it after"))]) }}
    {{ ui.number(form, "minutes", _("Minutes"), unit="min", keypad=true) }}
    {{ ui.words(form, "streak", _("Streak"), hint=_("What the smear on paper looks like.")) }}
    {{ ui.earlier(form) }}
    {% endcall %}
    {{ ui.caution_line(["m-mask"], _("Dust. Mask on until the mortar is covered.")) }}
    {% endblock %}
    {% block bar %}{{ ui.plate(_("Record grinding"), form="ask") }}{% endblock %}

What to remember
----------------
- Read all fields first, then ask `form.ok`: every error shows at once, beside its field, with what was typed.
- `record(kind, subject, data, form=form, say=…)` is true when it is on the disk. `subject=None` makes a new thing,
  whose id is `form.record_id`. Several records of one submit: `record_all([Entry(…), Entry(…)], form=form, say=…)`;
  `entry_id(form, n)` is the id of the nth. A value of None is left out of the data.
- `ui.earlier(form)` lets it be entered late; `record` then marks it late by itself. Nothing else is needed for it.
- `ui.ask` brings the session's token and the record id. A form without them is turned away.
- `say` is the value as it was read: the next screen shows it with *Undo*.
- One plate a screen, in the block `bar`. `ui.stop()` beside it while a fire may be lit.
- A picture: `ui.photo(form)` in an `ui.ask(files=true)`, then `read_photo(form)` of `bench.web.uploads`.
- Every text in `_("…")`, values in braces: `_("{n} of {total}", n=2, total=4)`. Codes through the filter `code`.
- Pictures: `bench.web.drawing` works them out, `ui.gauge`, `ui.curve`, `ui.furnace` … draw them.
- No inline style or script, no `hx-on`. Blocks of base.html: title, kind (body class), statusline, head, steps,
  main_class, recorded, main, bar, scripts, body_attributes (write ` data-wake` there to keep the screen lit).
- In tests: the fixtures of `tests/conftest.py`: `app`, `client`, `send` (a post as the page would send it), `keeper`
  (turn the clock), `live` (a real server) and `browser_page` (a phone-sized page on it).
"""
