"""The crash measurement: a few cuts and kills of each way, controls that must lose, plain words where it cannot run."""

import os

import pytest

from tests.measure import crash, crash_disk
from tests.measure.crash_disk import NotPossible, cut_the_power, why_not
from tests.measure.figure import Figure


def test_sector_cuts_lose_nothing_and_their_control_does() -> None:
    figures = {figure.name: figure for figure in crash.sector_figures(300)}
    assert figures["sectors: acknowledged records looked for"].value > 1000
    assert all(figure.met in (True, None) for figure in figures.values()), figures
    assert figures["sectors: without the sync, lost"].value > 0


@pytest.mark.skipif(not hasattr(os, "fork"), reason="kills need fork")
def test_kills_are_counted() -> None:
    figures = {figure.name: figure for figure in crash.kill_figures(10)}
    assert figures["kills: acknowledged records"].value > 5
    assert all(figure.met in (True, None) for figure in figures.values()), figures


def test_a_real_file_system_loses_nothing_that_was_acknowledged() -> None:
    if why_not():
        pytest.skip(f"no image can be mounted here: {why_not()}")
    try:
        found, control = cut_the_power(6), cut_the_power(3, syncs=False)
    except NotPossible as why:
        pytest.skip(f"no image can be mounted here: {why}")
    assert found.cuts == 6 and found.acks > 6
    assert (found.lost, found.wrong, found.doubled) == (0, 0, 0)
    assert control.lost > 0


def test_where_it_is_not_possible_it_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(crash_disk, "why_not", lambda: "only root may mount an image")
    (figure,) = crash.disk_figures(5)
    assert figure.met is None and figure.note == "not possible here: only root may mount an image"


def test_harm_done_to_the_open_file_loses_nothing() -> None:
    figures = crash.harm_figures(6, seed=3)
    assert sum(figure.value or 0 for figure in figures if figure.name.endswith("times")) == 6
    assert [figure for figure in figures if figure.met is False] == []


def test_a_run_goes_on_from_a_slice_and_sums_up(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    made: list[int] = []

    def part(number: int) -> list[Figure]:
        made.append(number)
        bad = number == 24
        return [
            Figure("cuts", 3, "cuts"),
            Figure("lost", bad, "records", "0", not bad),
            Figure("control", 1, "", crash.MORE, True),
        ]

    monkeypatch.setattr(crash, "one_slice", part)
    cuts, lost, control = crash.run(seed=23)
    assert made == [23, 24, 25] and (cuts.value, lost.value, lost.met, control.met) == (9, 1, False, True)
    assert "slice 23 of 25: nothing lost" in capsys.readouterr().err
    monkeypatch.setattr(crash, "MOST_S", -1)
    crash.run(seed=7)
    assert made[3:] == [7] and "--seed 8 goes on" in capsys.readouterr().err
