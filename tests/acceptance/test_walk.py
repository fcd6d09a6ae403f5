"""Every page of the bench on the demo data: none fails, and none asks anything of another server."""

from typing import Any

from flask import Flask
from flask.testing import FlaskClient

from bench.demo import fill


def paths_of(app: Flask) -> list[str]:
    """Every GET address of the URL map, filled with things of the demo."""
    state = app.extensions["bench"].state
    found = []
    for rule in app.url_map.iter_rules():
        if "GET" not in (rule.methods or ()) or rule.endpoint == "static":
            continue
        prefix = str(rule).split("/")[1]
        things = state.things(prefix) if prefix in state.of_kind else [next(iter(state.kind_of))]
        values: dict[str, Any] = {"thing": things[-1] if things else "x", "line": 1, "phase": "before-lighting"}
        values |= {
            "way": "target",
            "what": "batch",
            "slug": "egyptian-blue",
            "sheet": "today",
            "series": state.things("series")[0],
        }
        if "any(batch" in str(rule):
            values["thing"] = state.things("batch")[0]
        try:
            with app.test_request_context():
                found.append(
                    app.url_map.bind("localhost").build(rule.endpoint, {k: values.get(k, "x") for k in rule.arguments})
                )
        except Exception:  # an address that needs what the demo lacks
            continue
    return found


def test_no_page_fails(app: Flask, client: FlaskClient) -> None:
    fill(app.extensions["bench"])
    paths = paths_of(app)
    assert len(paths) > 60
    for path in paths:
        answer = client.get(path)
        assert answer.status_code < 500, path
        text = answer.get_data(as_text=True) if answer.mimetype == "text/html" else ""
        assert "http://" not in text.replace("http://www.w3.org", "") and "https://" not in text, path
        assert "<script>" not in text and "onclick" not in text, path


def test_posting_rubbish_to_every_form_never_fails(app: Flask, client: FlaskClient, send: Any) -> None:
    fill(app.extensions["bench"])
    state = app.extensions["bench"].state
    before = len(state.records)
    rubbish = ["", "x", "-1", "9" * 400, "1,2.3", "\x00\x07", "T5C7HK", "a" * 100_000, "NaN", "<script>"]
    names = (
        "net_g",
        "g",
        "c",
        "name",
        "code",
        "happened",
        "medium",
        "answer",
        "verdict",
        "formula.0",
        "level.0",
        "round",
        "reason",
    )
    for rule in app.url_map.iter_rules():
        if "POST" not in (rule.methods or ()):
            continue
        prefix = str(rule).split("/")[1]
        things = state.things(prefix) if prefix in state.of_kind else [next(iter(state.kind_of))]
        numbers = dict.fromkeys(rule.arguments, 1)
        values = numbers | {
            "thing": things[-1] if things else "x",
            "line": 3,
            "phase": "firing",
            "way": "grams",
            "what": "batch",
        }
        with app.test_request_context():
            path = app.url_map.bind("localhost").build(
                rule.endpoint, {k: values[k] for k in rule.arguments}, method="POST"
            )
        for value in rubbish[:4] if "photo" in path else rubbish:
            answer = send(path, dict.fromkeys(names, value))
            assert answer.status_code < 500, (path, value[:20])
    assert len(state.records) >= before
