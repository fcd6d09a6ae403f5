"""Lines as meters print them: which number is the temperature."""

import pytest

from bench.science.refusal import Refusal
from bench.workshop.logger.lines import line_temperature, numbers_in


@pytest.mark.parametrize(
    ("line", "numbers"),
    [
        ("853.2", [853.2]),
        ("T1=853.2 C; T2=23.1 C", [853.2, 23.1]),
        ("12:03:01 853,2", [12, 3, 1, 853.2]),
        ("+0853.2\tC", [853.2]),
        ("$K,0853.2,OK", [853.2]),
        ("-5 °C", [-5]),
        ("OL", []),
        ("nan", []),
        ("1.2.3", []),
        ("", []),
    ],
)
def test_what_is_a_number(line: str, numbers: list[float]) -> None:
    assert numbers_in(line) == numbers


def test_the_number_that_is_asked_for_in_its_unit() -> None:
    assert line_temperature("T1=853.2 C; T2=23.1 C", 2) == (23.1, 23.1)
    c, raw = line_temperature("T 1652 F", 1, "F")
    assert raw == 1652 and c == pytest.approx(900.0)


@pytest.mark.parametrize(("line", "at"), [("OL", 1), ("853", 2), ("853", 0), ("9999", 1), ("-200", 1), ("1e400", 1)])
def test_what_is_no_temperature_is_refused(line: str, at: int) -> None:
    with pytest.raises(Refusal):
        line_temperature(line, at)
