"""Forms that no page of the demo shows, because nothing stands at their step just then: their fields by hand."""

from flask import Flask

from tests.acceptance.forms_of import Field, PostForm


def _form(action: str, **sorts: str) -> PostForm:
    fields = {"token": "hidden", "record_id": "hidden"} | sorts
    return PostForm(action, {name: Field(name, sort) for name, sort in fields.items()})


def unshown(app: Flask) -> dict[str, PostForm]:
    """One form for each view that the pages of the demo lead nobody to, by its name."""
    here = app.extensions["bench"]
    firing, charge, batch = (here.state.things(sort)[-1] for sort in ("firing", "charge", "batch"))
    rule = next(one for one in here.library.rules.values() if one.override == "recorded-decision")
    decide = _form(f"/thing/{batch}/decide", rule="hidden", step="hidden", back="hidden")
    decide.fields["rule"].value, decide.fields["step"].value = rule.slug, rule.steps[0]
    for name in ("who", "why"):
        decide.fields[f"{name}.{rule.slug}"] = Field(f"{name}.{rule.slug}", "words")
    apart = _form(f"/firing/{firing}/apart")
    apart.fields[f"rest_place.{charge}"] = Field(f"rest_place.{charge}", "words")
    return {
        "decide.keep": decide,
        "firing_move.apart": apart,
        "firing_checks.light": _form(f"/firing/{firing}/light", in_fact="checkbox", happened="time"),
        "pair.enter": _form("/pair", code="words", name="words"),
        "pair.shut_out": _form("/pair/out", device="hidden"),
    }
