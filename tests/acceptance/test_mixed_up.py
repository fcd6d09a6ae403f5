"""Two crucibles of six are taken for one another after a fire: found by what they weigh empty, at the weighing itself.

The six were tared before they were filled. The fourth and the second changed places on the cooling rack, where their
marks could no longer be read; each is weighed out under the other's code. A bench balance reads to 0.01 g.
"""

import re
from html import unescape
from random import Random
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.acceptance.loads import Load, load_of, planned
from tests.conftest import Keeper

TARES_G = (48.21, 47.63, 49.02, 48.77, 47.10, 49.55)
LEFT_G = 4.97
"""What a charge of 5 g of dry oxides leaves: nothing but a little on the wall."""
CODES = ("T5C7H-J", "7K3MQ-X", "9QH2F-B", "2NHV6-0", "K48TW-F", "M2G9X-Y")


class Rack:
    """Six crucibles that came out of a fire and are cold, and the one who weighs them out."""

    def __init__(self, app: Flask, client: FlaskClient, send: Any, keeper: Keeper) -> None:
        self.client, self.send, self.random = client, send, Random(4)
        self.load: Load = load_of(app, TARES_G)
        self.firing = planned(app, self.load, [{"to_c": 900, "hold_min": 60}])
        keeper.turn(5)
        send(f"/firing/{self.firing}/light", in_fact="1")
        keeper.turn(180)
        send(f"/firing/{self.firing}/off", reason="reached")
        keeper.turn(600)
        send(f"/firing/{self.firing}/all-out")
        for thing in self.load.charges:
            assert send(f"/charge/{thing}/cool", surface_c="21").status_code == 303

    def weigh_out(self, code: int, really: int) -> str:
        """Weighs out what is taken for crucible `code` and is `really` another; the page that it leads to."""
        empty = TARES_G[really] + self.random.choice((-0.01, 0.0, 0.01, 0.02))
        fields = {"gross_g": f"{empty + LEFT_G:.2f}", "tare_after_g": f"{empty:.2f}", "fate": "clean"}
        answer = self.send(f"/charge/{self.load.charges[code]}/open", fields)
        assert answer.status_code == 303, answer.get_data(as_text=True)
        return str(answer.headers["Location"])

    def page(self, path: str) -> str:
        answer = self.client.get(path)
        assert answer.status_code == 200
        return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", answer.get_data(as_text=True))))


@pytest.fixture
def rack(app: Flask, client: FlaskClient, send: Any, keeper: Keeper) -> Rack:
    return Rack(app, client, send, keeper)


def test_two_of_six_are_pointed_out_when_they_are_weighed_out(rack: Rack) -> None:
    really = [0, 3, 2, 1, 4, 5]
    assert "/pigment/" in rack.weigh_out(0, really[0])

    # The first of the two: its mass is another's, and it is said which; nothing is swapped by itself.
    first = rack.weigh_out(1, really[1])
    assert f"/firing/{rack.firing}/mixed-up" in first
    said = rack.page(first)
    assert f"It weighs what {CODES[3]} weighed before. Perhaps it is that one." in said
    assert "47.63 g" in said and "Open the pigment" in said

    assert "/pigment/" in rack.weigh_out(2, really[2])

    # The second: now one exchange explains every mass.
    said = rack.page(rack.weigh_out(3, really[3]))
    assert "Swapping two crucibles explains all the masses." in said
    assert f"The crucible recorded as {CODES[1]} is really {CODES[3]}." in said
    assert f"The crucible recorded as {CODES[3]} is really {CODES[1]}." in said
    assert f"This one and {CODES[1]} weigh what the other did: probably swapped." in said

    assert all("/pigment/" in rack.weigh_out(n, really[n]) for n in (4, 5))
    assert "2 empty masses do not match." in rack.page(f"/firing/{rack.firing}")


def test_six_that_are_themselves_are_no_mix_up(rack: Rack) -> None:
    assert all("/pigment/" in rack.weigh_out(n, n) for n in range(6))
    assert "taken for one another" not in rack.page(f"/firing/{rack.firing}")
    assert "Every crucible that was weighed empty weighs what it did before." in rack.page(
        f"/firing/{rack.firing}/mixed-up"
    )
