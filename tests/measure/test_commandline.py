"""`saggar measure`: parts by name, figures beside their goals, and plain words for what is asked wrongly."""

import json
from pathlib import Path

import pytest

from tests.measure import commandline, forecast, reckon
from tests.measure.figure import Figure

FIGURES = [
    Figure("a call", 0.21, "s", "at most 0.5", True),
    Figure("lost records", 3, "records", "0", False, "of 400"),
    Figure("a ratio without a goal", 1234.5, "×"),
]


class Part:
    """A part that is done at once."""

    NAME = "reckon"

    @staticmethod
    def run() -> list[Figure]:
        """The figures above."""
        return FIGURES


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every part is the quick one."""
    monkeypatch.setattr(commandline, "import_module", lambda name: Part)


def test_every_part_is_a_module_of_its_name() -> None:
    for part in commandline.PARTS:
        module = commandline.import_module(f"tests.measure.{part}")
        assert part == module.NAME
        assert callable(module.run)


def test_no_option_means_all_parts() -> None:
    assert commandline.read([]) == commandline.Asked(commandline.PARTS, count=commandline.FEW)
    assert commandline.read(["--reckon", "--store"]).parts == ("store", "reckon")
    asked = commandline.read(["--json", "out.json", "--forecast", "--against", "old.json"])
    assert asked == commandline.Asked(("forecast",), Path("out.json"), Path("old.json"))
    assert commandline.read(["--long", "--store"]) == commandline.Asked(("store",), long=True)
    assert commandline.read(["--mutants"]) == commandline.Asked(("mutants",))
    asked = commandline.read(["--mutants", "60", "--seed", "3"])
    assert asked == commandline.Asked(("mutants",), count=60, seed=3)


def test_so_many_mistakes_of_that_seed_are_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    called: list[dict[str, int]] = []

    class Mutants(Part):
        @staticmethod
        def run(**more: int) -> list[Figure]:
            called.append(more)
            return []

    monkeypatch.setattr(commandline, "import_module", lambda name: Mutants)
    assert commandline.main(["--mutants", "60", "--seed", "3"]) == commandline.main(["--mutants"]) == 0
    assert called == [{"count": 60, "seed": 3}, {}]


@pytest.mark.parametrize(
    "argv", [["--speed"], ["reckon"], ["--json"], ["--json", "--store"], ["--against"], ["--mutants", "x"]]
)
def test_what_is_asked_wrongly_gets_a_sentence(argv: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert commandline.main(argv) == 2
    assert "`saggar measure --help` shows what can be given" in capsys.readouterr().err


@pytest.mark.usefixtures("quick")
def test_figures_stand_beside_their_goals(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    file = tmp_path / "figures.json"
    assert commandline.main(["--reckon", "--json", str(file)]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert "0.21 s  goal at most 0.5: met" in lines[1]
    assert "3 records  goal 0: MISSED  (of 400)" in lines[2]
    assert lines[3].endswith("1,234 ×")
    assert lines[-1] == "Goals missed: 1."
    assert json.loads(file.read_text(encoding="utf-8"))["reckon"][0]["value"] == 0.21


@pytest.mark.usefixtures("quick")
def test_a_file_that_cannot_be_written_is_said(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert commandline.main(["--reckon", "--json", str(tmp_path / "none" / "x.json")]) == 1
    assert "could not be written" in capsys.readouterr().err


@pytest.mark.usefixtures("quick")
def test_a_later_run_is_set_beside_an_earlier_one(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "figures.json"
    commandline.main(["--reckon", "--json", str(file)])
    assert json.loads(file.read_text(encoding="utf-8"))["machine"]["processors"] >= 1
    later = [Figure("a call", 0.42, "s", "at most 0.5", True), Figure("lost records", 0, "records", "0", True)]
    monkeypatch.setattr(Part, "run", staticmethod(lambda: [*later, Figure("a new one", 7, "s")]))
    capsys.readouterr()
    assert commandline.main(["--reckon", "--against", str(file)]) == 0
    said = capsys.readouterr().out
    assert "reckon: a call: 0.21 before, 0.42 now, × 2\n" in said
    assert "reckon: lost records: 3 before, 0 now, × 0; the goal is met now" in said
    assert "reckon: a new one: new, 7 s" in said
    assert "reckon: a ratio without a goal: only in the earlier run" in said


@pytest.mark.parametrize("text", ["", "[]", '{"reckon": 1}', '{"reckon": [{"name": "x"}]}', "\x00"])
def test_a_file_without_figures_is_said_before_anything_is_measured(
    text: str, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    file = tmp_path / "old.json"
    file.write_text(text, encoding="utf-8")
    assert commandline.main(["--against", str(file)]) == 2
    assert "no figures" in capsys.readouterr().err
    assert commandline.main(["--against", str(tmp_path / "none.json")]) == 2
    assert "could not be read" in capsys.readouterr().err


def test_help_names_the_parts(capsys: pytest.CaptureFixture[str]) -> None:
    assert commandline.main(["--help"]) == 0
    assert "--forecast" in capsys.readouterr().out


def test_reckon_measures_real_answers() -> None:
    """Five figures with a goal each. Whether they are met depends on the computer and is no test."""
    figures = reckon.run(tries=1)
    assert [figure.unit for figure in figures] == ["s", "ms", "ms", "ms", "ms"]
    assert all(figure.value > 0 and figure.goal for figure in figures)


def test_forecast_is_measured_on_firings_that_set_nothing() -> None:
    """Eight families; its seed is none of those that tests and vectors draw from."""
    assert len(forecast.FAMILIES) == 8 and forecast.SEED == 20_261_202
