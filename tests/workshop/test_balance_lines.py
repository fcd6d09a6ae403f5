"""Lines of balances: what is taken, and what is refused with a sentence. The lines are made up, of the usual forms."""

import pytest

from bench.science.refusal import Refusal
from bench.workshop.logger.balance_lines import Printing, check_pattern, read_line

MARKED = Printing("# g", steady="ST", moving="US")


@pytest.mark.parametrize(
    ("line", "how", "shown", "steady"),
    [
        ("12.345 g", Printing(), "12.345", None),
        ("+   12.340 g", Printing(), "12.340", None),
        ("12,34 g", Printing(), "12.34", None),
        ("ST,GS,+  8.46 g", MARKED, "8.46", True),
        ("US,GS,+  8.46 g", MARKED, "8.46", False),
        ("S S     100.00 g", Printing("# g", steady="S S", moving="S D"), "100.00", True),
        ("S D     100.02 g", Printing("# g", steady="S S", moving="S D"), "100.02", False),
        ("8.46 g", Printing("# g", moving="?"), "8.46", True),
        ("8.46 g ?", Printing("# g", moving="?"), "8.46", False),
        ("8.46 g", Printing(steady_only=True), "8.46", True),
        ("Gross 20.1 g Net 8.46 g", Printing("Net # g"), "8.46", None),
        ("12:03:01 8.46 g", Printing(), "8.46", None),
        ("-0.00 g", Printing(), "0.00", None),
        ("0008.46g", Printing(), "0008.46", None),
    ],
)
def test_a_weight_is_taken_with_all_its_digits(line: str, how: Printing, shown: str, steady: bool | None) -> None:
    found = read_line(line, how)
    assert (found.shown, found.steady) == (shown, steady)
    assert found.g == float(shown)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("0.300 oz", "shows oz"),
        ("42.3 ct", "shows ct"),
        ("0.00846 kg", "shows kg"),
        ("8460 mg", "shows mg"),
        ("12 pcs", "shows pcs"),
        ("8.46", "No g follows"),
        ("8.46 gn", "shows gn"),
        ("ST,GS,-  8.46 g", "less than zero"),
        ("- 8.46 g", "less than zero"),
        ("OL", "overload"),
        ("ST,OL,  0.00 g", "overload"),
        ("- - - -".replace(" ", ""), "overload"),
        ("H", "overload"),
        ("Err 4", "overload"),
        ("TR 20.10 g", "a tare"),
        ("PT,20.10 g", "a tare"),
        ("1 234.5 g", "side by side"),
        ("1,234.5 g", "does not fit the pattern"),
        ("\ufffd\ufffd8\x02.", "same baud"),
        ("ready", "no number"),
        ("8..46 g", "does not fit"),
        ("8.46e2 g", "does not fit"),
        (".46 g", "does not fit"),
        ("\u2212 8.46 g", "less than zero"),
        ("999999 g", "not a possible weight"),
        ("", "no number"),
    ],
)
def test_what_is_no_weight_in_g_is_said(line: str, says: str) -> None:
    with pytest.raises(Refusal) as refused:
        read_line(line, MARKED)
    assert says in refused.value.say


def test_a_pattern_names_the_number_and_its_unit() -> None:
    assert check_pattern("  ") == "# g" and check_pattern("N # g") == "N # g"
    for wrong, says in (("g", "one #"), ("# # g", "one #"), ("#", "Put g"), ("# gn", "Put g"), ("g #", "Put g")):
        with pytest.raises(Refusal) as refused:
            check_pattern(wrong)
        assert says in refused.value.say and refused.value.field == "pattern"


def test_a_long_line_of_digits_takes_no_time_worth_telling() -> None:
    """No pattern runs away on a line: it is judged in steps that grow with its length, not with its square."""
    for line in ("1" * 400, "1 " * 200, "-" * 400, "# g" * 130, "1." * 200):
        with pytest.raises(Refusal):
            read_line(line, MARKED)
