"""The command line: JSON in and out, JSON Lines, help with examples that run, and clean refusals."""

import io
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from bench.reckoning import KINDS
from bench.reckoning.commandline import main
from bench.reference.library import Library

ROOT = Path(__file__).parents[2]


class Terminal(io.StringIO):
    """An input that nobody has piped anything into."""

    def isatty(self) -> bool:
        """Always a terminal."""
        return True


def run(*argv: str, typed: str = "") -> tuple[int, list[Any]]:
    out = io.StringIO()
    code = main(argv, io.StringIO(typed), out)
    return code, [json.loads(line) for line in out.getvalue().splitlines()]


def text(*argv: str) -> str:
    out = io.StringIO()
    assert main(argv, Terminal(), out) == 0
    return out.getvalue()


def test_an_argument_and_the_input_give_the_same_answer() -> None:
    asked = '{"formula": "CuSO4*5H2O"}'
    code, answers = run("molar-mass", asked)
    assert (code, answers) == run("molar-mass", typed=asked)
    assert code == 0
    assert answers[0]["molar_mass_g_mol"] == pytest.approx(249.677, abs=0.005)  # CIAAW, abridged
    assert answers[0]["elements"] == {"Cu": 1, "S": 1, "O": 9, "H": 10}


def test_one_object_over_several_lines() -> None:
    code, answers = run("molar-mass", typed='\ufeff{\n "formula":\n "ZnO"\n}\n')
    assert code == 0
    assert len(answers) == 1


def test_lines_give_lines_with_an_error_among_them() -> None:
    typed = '{"formula": "ZnO"}\n{"formula": "Xx"}\n\n{"formula": \n{"formula": "CoO"}\n'
    code, answers = run("molar-mass", typed=typed)
    assert code == 0
    assert ["error" in answer for answer in answers] == [False, True, True, False]
    assert answers[1]["field"] == "formula"
    assert run("molar-mass", "--strict", typed=typed) == (2, answers)
    assert run("molar-mass", "--strict", typed='{"formula": "ZnO"}')[0] == 0


def test_a_bare_formula_is_answered_with_how_to_write_it() -> None:
    code, answers = run("molar-mass", "CoAl2O4")
    assert code == 2 and "'CoAl2O4' is not JSON" in answers[0]["error"]
    shown = answers[0]["error"].split("saggar reckon molar-mass '")[1].rstrip("'")
    assert run("molar-mass", shown)[0] == 0


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ("", "json"),
        ("not json", "json"),
        ("[1, 2]", None),
        ('{"formula": }', "json"),
        ('{"formula": "ZnO", "formula": "CoO"}', "formula"),
        ('{"formula": ' + "9" * 5000 + "}", "json"),
        ("[" * 100_000, "json"),
        ('{"formula": NaN}', "formula"),
        ('{"formula": "Xx2O3"}', "formula"),
        ('{\n"target": "x" "g": 1,\n"a": [\n{"b": 1},\n{"c": 2}\n]}', "json"),
    ],
)
def test_what_cannot_be_used_is_one_error_and_exit_2(typed: str, field: str | None) -> None:
    code, answers = run("molar-mass", typed=typed)
    assert code == 2
    assert len(answers) == 1
    assert set(answers[0]) == {"error", "field"}
    assert answers[0]["field"] == field


def test_an_unknown_kind() -> None:
    code, answers = run("nonsense", "{}")
    assert code == 2
    assert answers[0]["field"] == "kind"


def test_a_misspelt_kind_is_asked_about() -> None:
    assert "Did you mean weigh-up?" in run("weighup", "{}")[1][0]["error"]
    assert "Did you mean" not in run("nonsense", "{}")[1][0]["error"]


def test_json_torn_into_words_by_the_shell() -> None:
    code, answers = run("molar-mass", '{"formula":', '"ZnO"}')
    assert code == 2
    assert "quotation" in answers[0]["error"]


def test_a_typing_error_in_a_field_is_not_passed_over() -> None:
    asked = {"target": "ZnO", "product_g": 1, "reagents": [{"formula": "ZnO", "asay_pct": 50}]}
    code, answers = run("weigh-up", json.dumps(asked))
    assert code == 2
    assert answers[0]["field"] == "reagents[0].asay_pct"
    assert "assay_pct" in answers[0]["error"]


def test_an_unknown_field_is_said_not_to_count() -> None:
    code, answers = run("molar-mass", '{"formula": "ZnO", "remark": 1}')
    assert code == 0
    assert any("remark" in step["say"] for step in answers[0]["working"])


def test_the_list_names_every_kind() -> None:
    listed = text()
    for name, kind in KINDS.items():
        assert f"  {name} " in listed
        assert kind.summary in listed
        assert kind.name == name


@pytest.mark.parametrize("name", list(KINDS))
def test_help_prints_fields_and_an_example_that_runs(name: str, library: Library) -> None:
    said = text(name, "--help")
    for field in KINDS[name].fields:
        assert field.name in said
        assert field.unit in said
    example = said.splitlines()[-1].split("'", 1)[1].rsplit("'", 1)[0]
    code, answers = run(name, example)
    assert code == 0, answers
    assert_working(answers[0], library)


def assert_working(answer: dict[str, Any], library: Library) -> None:
    """Every result carries its working, and each source that it names is known."""
    assert answer["working"]
    for step in answer["working"]:
        assert set(step) == {"say", "value", "unit", "source"}
        assert step["say"].strip()
        assert step["source"] is None or step["source"] in library.sources, step


def test_a_terminal_without_an_ask_gets_the_help() -> None:
    assert "Fields:" in text("oil")


def test_an_output_that_cannot_show_all_letters_gets_escapes() -> None:
    raw = io.BytesIO()
    out = io.TextIOWrapper(raw, encoding="ascii", write_through=True)
    assert main(["molar-mass", '{"formula": "CuSO4*5H2O"}'], io.StringIO(), out) == 0
    assert json.loads(raw.getvalue())["read_as"] == "CuSO₄·5H₂O"


def test_bytes_that_are_no_text_are_refused() -> None:
    out = io.StringIO()
    broken = io.TextIOWrapper(io.BytesIO(b'{"formula": "\xff\xfe"}'), encoding="utf-8")
    assert main(["molar-mass"], broken, out) == 2
    assert json.loads(out.getvalue())["field"] == "json"


def test_a_call_brings_in_only_what_it_needs() -> None:
    """A fresh process: scipy and the web are never loaded."""
    script = (
        "import sys; from bench.reckoning.commandline import main; "
        "code = main(['weigh-up', sys.argv[1]], sys.stdin, sys.stdout); "
        "print([name for name in ('scipy', 'flask', 'coloraide', 'weasyprint') if name in sys.modules]); sys.exit(code)"
    )
    asked = json.dumps(KINDS["weigh-up"].example)
    done = subprocess.run([sys.executable, "-c", script, asked], cwd=ROOT, capture_output=True, text=True, timeout=60)
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines()[-1] == "[]"
