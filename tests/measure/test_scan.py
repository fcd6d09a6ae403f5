"""The figures of the scanner: what is read rightly, wrongly and not at all, and how a lens sees a label."""

from random import Random

from PIL import Image

from tests.measure.scan import Tried, figures
from tests.measure.scan_camera import FOCAL, Held, frame
from tests.measure.scan_tags import DOTS


def test_a_wrong_code_misses_the_goal_and_is_no_success() -> None:
    tried = [
        Tried("17 mm once", "soot", "7K3MQX", read, film)
        for read in ("7K3MQX", None, "T5C7HJ")
        for film in (False, True)
    ]
    found = {one.name: one for one in figures(tried)}
    assert round(found["single frames read"].value or 0, 1) == 33.3 and found["single frames read"].met is False
    assert found["read wrongly"].value == 2 and found["read wrongly"].met is False
    assert found["  soot"].note == "films 1 of 3"


def test_a_label_is_as_large_on_the_frame_as_the_lens_makes_it() -> None:
    """30 mm straight before the lens at 150 mm cover FOCAL · 30 / 150 dots."""
    label = Image.new("L", (round(30 * DOTS), round(30 * DOTS)), 255)
    how = Held(150, 0, 0, 0, (0, 0), 0, 0, paper=250, ink=0, shade=0, noise=0)
    seen = frame(label, how, Random(1)).point([0 if v < 220 else 255 for v in range(256)])
    left, _top, right, _bottom = seen.getbbox() or (0, 0, 0, 0)
    assert abs((right - left) - FOCAL * 30 / 150) <= 2
