"""The head of a run sheet: the schedule with times counted by hand."""

from bench.printing.sheet_head import legs
from bench.records.kinds import Segment


def test_a_schedule_counts_its_times_from_the_lighting() -> None:
    up = Segment(to_c=920.0, rate_c_per_h=450.0, hold_min=150.0)  # 900 °C at 450 °C/h: two hours
    down = Segment(to_c=620.0, rate_c_per_h=100.0, hold_min=0.0)
    found = [(leg.target, leg.hold, leg.starts, leg.ends) for leg in legs([up, down])]
    assert found == [("920", "2.5 h", "0:00", "4:30"), ("620", "", "4:30", "7:30")]


def test_nothing_is_promised_after_a_segment_without_a_rate() -> None:
    free = Segment(to_c=500.0, rate_c_per_h=None, hold_min=30.0)
    last = Segment(to_c=800.0, rate_c_per_h=300.0, hold_min=0.0)
    found = [(leg.rate, leg.hold, leg.starts, leg.ends) for leg in legs([free, last])]
    assert found == [("as it goes", "30 min", "0:00", "–"), ("300", "", "–", "–")]
