"""Today: what burns, what is hot, what counts down, and the next step of everything that is under way."""

import pytest

from bench.records.record import BENCH, Record
from bench.workshop.today import Today, timers, today
from tests.workshop.builder import Builder, text


@pytest.fixture
def b() -> Builder:
    return Builder()


def now(b: Builder) -> Today:
    return today(b.state, b.now)


def steps(b: Builder) -> list[tuple[str, str]]:
    return [(s.verb, s.thing) for s in now(b).steps]


def charged(b: Builder) -> str:
    return b.charge({"batch": b.ready_batch(), "g": 20.0})


def test_an_empty_bench_has_nothing_to_do(b: Builder) -> None:
    assert now(b) == Today((), (), (), ())


def test_every_thing_under_way_shows_its_one_next_step(b: Builder) -> None:
    fresh, damp = b.batch(), b.batch()
    b.weigh(damp, 8.0, 12.0)
    b.mixed(damp)
    ready = charged(b)
    done = charged(b)
    b.fired(done)
    powder = b.opened(done)
    assert steps(b) == [
        ("weigh", fresh),
        ("dry", damp),
        ("place", ready),
        ("grind-again", powder),
        ("after-checks", now(b).steps[-1].thing),
    ]
    b.judged(powder, "discard")
    b.closed(fresh, "failed")
    assert ("weigh", fresh) not in steps(b) and powder not in [thing for _, thing in steps(b)]


def test_what_is_placed_is_shown_by_its_firing_once(b: Builder) -> None:
    one, two = charged(b), charged(b)
    firing = b.firing()
    b.placed(one, firing)
    b.placed(two, firing, column=2)
    assert steps(b) == [("fire", firing)]
    b.lit(firing)
    found = now(b)
    assert [f.id for f in found.firings] == [firing] and found.steps == () and found.hot == ()


def test_a_firing_that_was_called_off_gives_its_charges_back(b: Builder) -> None:
    one = charged(b)
    firing = b.firing()
    b.placed(one, firing)
    b.closed(firing, "called off")
    assert steps(b) == [("place", one)]


def test_what_was_in_the_fire_is_hot_until_it_was_touched_cold(b: Builder) -> None:
    out, inside = charged(b), charged(b)
    firing = b.firing()
    b.placed(out, firing)
    b.placed(inside, firing, column=2)
    b.lit(firing)
    b.wait(100)
    b.came_out(firing, out)
    assert [c.id for c in now(b).hot] == [out]  # the other one is shown in its furnace
    b.off(firing)
    assert [c.id for c in now(b).hot] == [out, inside]
    b.wait(2000)
    b.reading(firing, 15.0)
    b.closed(firing)
    assert [c.id for c in now(b).hot] == [out, inside]
    b.touched(out, 20.0)
    assert [c.id for c in now(b).hot] == [inside]
    b.placed(inside, b.firing())  # carried over
    assert [c.id for c in now(b).hot] == [inside]
    b.touched(inside, 20.0)
    assert now(b).hot == ()


def countdown(b: Builder, thing: str, ends: float, purpose: str = "soak") -> Record:
    return b.add("timer.set", {"purpose": purpose, "ends_at": text(ends)}, thing)


def test_timers_stand_by_their_end_and_are_absolute(b: Builder) -> None:
    firing, batch = b.firing(), b.batch()
    countdown(b, firing, 60.0)
    countdown(b, batch, 30.0, "dry")
    countdown(b, BENCH, 45.0, "oven")
    b.wait(40)
    found = timers(b.state, b.now)
    assert [(t.purpose, t.thing) for t in found] == [("dry", batch), ("oven", BENCH), ("soak", firing)]
    assert [t.left_min for t in found] == [pytest.approx(t - b.minutes) for t in (30.0, 45.0, 60.0)]
    assert found[0].left_min < 0 < found[2].left_min


def test_a_timer_goes_when_it_is_undone_when_its_thing_is_closed_and_after_two_days(b: Builder) -> None:
    firing, batch = b.firing(), b.batch()
    wrong = countdown(b, firing, 60.0)
    countdown(b, batch, 30.0)
    b.withdraw(wrong)
    assert [t.thing for t in timers(b.state, b.now)] == [batch]
    b.wait(30 + 48 * 60 - 1)
    assert [t.thing for t in timers(b.state, b.now)] == [batch]
    b.wait(2)
    assert timers(b.state, b.now) == []
    countdown(b, batch, b.minutes + 10)
    assert len(timers(b.state, b.now)) == 1
    b.closed(batch)
    assert timers(b.state, b.now) == []
