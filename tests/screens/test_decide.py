"""Going on in spite of a rule: only where the rule allows it, with a name and a reason, and undone like all else."""

from dataclasses import dataclass, field

import pytest
from flask import Flask, render_template_string

from bench.reckoning.rules import Finding
from bench.screens.kit.deciding import NOBODY, decided
from bench.web.forms import Form
from bench.workshop.gates import decisions

MADE = "01K9V0000000000000000000B1"


@pytest.fixture
def thing(app: Flask) -> str:
    """A crucible on the bench."""
    data = {"ware": "alumina-99", "volume_ml": 30.0}
    receipt = app.extensions["bench"].journal.write("crucible.added", None, data, id=MADE)
    assert receipt.status == "new"
    return MADE


def finding(rule: str, effect: str = "block", override: str = "recorded-decision", **more: object) -> Finding:
    """A finding as a gate gives it."""
    told = {"say": f"{rule} says", "sources": ("own-refusals",), "basis": "memory", "because": ("CuO",), "step": "load"}
    return Finding(rule=rule, effect=effect, override=override, **(told | more))  # type: ignore[arg-type]


@dataclass
class Decide:
    """What is posted to decide on one rule."""

    rule: str = "oxide-fuel"
    step: str = "load"
    who: str = "Asha"
    why: str = "outside, one gram, behind a shield"
    more: dict[str, str] = field(default_factory=dict)

    @property
    def fields(self) -> dict[str, str]:
        """The form as its page sends it."""
        named = {f"who.{self.rule}": self.who, f"why.{self.rule}": self.why}
        return {"rule": self.rule, "step": self.step, "back": "/looks/", **named, **self.more}


def test_a_decision_is_recorded_with_name_and_reason(app: Flask, send, thing: str) -> None:  # type: ignore[no-untyped-def]
    """It is kept on the thing and lifts the rule there."""
    answer = send(f"/thing/{thing}/decide", Decide().fields)
    assert answer.status_code == 303 and answer.location == "/looks/"
    [made] = decisions(app.extensions["bench"].state, thing)
    assert (made.rule, made.step, made.who, made.why) == ("oxide-fuel", "load", "Asha", Decide.why)


def test_sent_twice_it_is_one(app: Flask, send, thing: str) -> None:  # type: ignore[no-untyped-def]
    """The same submit delivered again is the same record."""
    fields = Decide(more={"record_id": "01K9V0000000000000000000B2"}).fields
    assert [send(f"/thing/{thing}/decide", fields).status_code for _ in range(3)] == [303] * 3
    assert len(app.extensions["bench"].journal.by("kind", "rule.overridden")) == 1


@pytest.mark.parametrize(
    ("ask", "say"),
    [
        (Decide(who=""), "Type who decides"),
        (Decide(why=""), "Type why this is right here"),
        (Decide(why="x" * 100_000), "at most 400 fit here"),
        (Decide(who="a\x07b"), "control character"),
        (Decide(rule="toxic-element"), "This rule cannot be overridden here"),
        (Decide(rule="crucible-rating"), "This rule cannot be overridden here"),
        (Decide(step="wash"), "This rule cannot be overridden here"),
        (Decide(rule="<b>none</b>"), "There is no such rule"),
    ],
)
def test_what_is_no_decision(app: Flask, send, thing: str, ask: Decide, say: str) -> None:  # type: ignore[no-untyped-def]
    """A plain sentence, what was typed kept, nothing recorded."""
    answer = send(f"/thing/{thing}/decide", ask.fields)
    assert answer.status_code == 422 and say in answer.get_data(as_text=True)
    assert not app.extensions["bench"].journal.by("kind", "rule.overridden")


def test_the_typed_reason_is_kept(send, thing: str) -> None:  # type: ignore[no-untyped-def]
    """A refused decision shows again what was typed."""
    said = send(f"/thing/{thing}/decide", Decide(who="").fields).get_data(as_text=True)
    assert Decide.why in said and "can flash" in said


def test_no_name_is_kept_with_the_rule_about_a_persons_body(app: Flask, send, thing: str) -> None:  # type: ignore[no-untyped-def]
    """Even a name that was sent along is not kept."""
    send(f"/thing/{thing}/decide", Decide(rule="reproductive", who="Asha").fields)
    [made] = decisions(app.extensions["bench"].state, thing)
    assert made.who == NOBODY


@pytest.mark.parametrize("unknown", ["nothing", "01K9V0000000000000000000ZZ", "..", "%00"])
def test_an_unknown_thing(client, send, unknown: str) -> None:  # type: ignore[no-untyped-def]
    """The calm page, and only a post decides."""
    assert send(f"/thing/{unknown}/decide", Decide().fields).status_code == 404
    assert client.get(f"/thing/{unknown}/decide").status_code in (404, 405)


def test_findings_are_shown_with_reason_source_and_form(app: Flask) -> None:
    """Stops before flags, each with what set it off and its ground; a form only where a decision may lift it."""
    found = [
        finding("oxide-fuel"),
        finding("crucible-rating", override="none", sure=False),
        finding("no-drain", "flag"),
    ]
    with app.test_request_context("/batch/x"):
        html = render_template_string("{{ ui.findings(found, thing=thing) }}", found=found, thing=MADE)
    assert html.index("oxide-fuel says") < html.index("no-drain says")
    assert html.count('action="/thing/') == 2 and 'name="rule" value="crucible-rating"' not in html
    assert "from memory" in html and "CuO" in html and "the worst is assumed" in html and "own-refusals" not in html


def test_decisions_of_a_thing_that_is_only_being_made(app: Flask) -> None:
    """The step's own form brings them; one that lacks its name lifts nothing."""
    found = [finding("oxide-fuel"), finding("froth-fill"), finding("toxic-element", "refuse")]
    with app.test_request_context("/x", method="POST"):
        fields = {
            "who.oxide-fuel": "Asha",
            "why.oxide-fuel": "tiny",
            "why.toxic-element": "please",
            "why.froth-fill": "b",
        }
        form = Form(fields)
        made = decided(form, found, form.record_id)
        html = render_template_string("{{ ui.findings(found, form=form) }}", found=found, form=form)
    assert [each.rule for each in made.still] == ["froth-fill", "toxic-element"]
    assert [entry.data["rule"] for entry in made.entries] == ["oxide-fuel"]
    assert "Type who decides" in form.errors["who.froth-fill"] and 'name="why.oxide-fuel"' in html
    assert "<form" not in html
