"""The modules that a phone reckons with when it is alone, in a real browser, against the files that Python wrote."""

from typing import Any

import pytest

from bench.screens.phone.away_words import away_words
from bench.web.numbers import whole_digits
from tests.vectors.files import alike, read
from tests.vectors.write_numbers import words


@pytest.fixture
def run(lasting_page: Any) -> Any:
    """Runs a function over every case of a file, in a page of the bench."""
    return over_cases(lasting_page)


def over_cases(page: Any) -> Any:
    page.goto("/look/fields")

    def over(name: str, script: str) -> list[Any]:
        found: list[Any] = page.evaluate(f"async (cases) => {{ {script} }}", read(name))
        return found

    return over


def test_rescaling_after_an_overshoot(run: Any) -> None:
    found = run(
        "rescale",
        "const { rescale } = await import('/static/facts.js');"
        "return cases.map((one) => rescale(one.planned, one.weighed));",
    )
    for case, got in zip(read("rescale"), found, strict=True):
        assert alike(got, {name: case[name] for name in ("factor", "rescaled", "topUp")}), case


def test_the_slope_bound_and_the_standstill(run: Any) -> None:
    found = run(
        "slope_bound",
        "const { track } = await import('/static/slope.js');"
        "const { standstill } = await import('/static/slope.js');"
        "return cases.map((one) => {"
        "  const { used, calls, bound } = track(one.readings, one.target_c, one);"
        "  const facts = one.facts.map((_, n) => standstill(used.slice(0, n + 4), one.target_c));"
        "  return { calls, bound, facts: facts.map((f) => f && [f.minutes, f.then, f.now, f.give, f.fell]) };"
        "});",
    )
    for case, got in zip(read("slope_bound"), found, strict=True):
        assert got["calls"] == case["calls"], case["name"]
        assert alike([got["bound"], got["facts"]], [case["stall_bound_c"], case["facts"]]), case["name"]


def test_a_timer_in_a_calendar(run: Any) -> None:
    found = run(
        "calendar",
        "const { event } = await import('/static/timers.js');"
        "return cases.map((one) => event(one.timer, one.madeMs, one.stay));",
    )
    assert found == [case["text"] for case in read("calendar")]


def test_codes(run: Any) -> None:
    found = run(
        "codes",
        "const { checkCharacter, readCode } = await import('/static/read.js');"
        "return cases.map((one) => (one.body ? checkCharacter(one.body) : readCode(one.typed)));",
    )
    assert found == [case.get("check", case.get("code")) for case in read("codes")]


def test_readings_that_wait_over_those_that_are_known(run: Any) -> None:
    found = run(
        "overlay",
        "const { inOrder, soaking } = await import('/static/fire.js');"
        "return cases.map(({ fire, known, waiting }) => {"
        "  const points = inOrder(known, waiting);"
        "  return { points, ...soaking(fire, points) };"
        "});",
    )
    for case, got in zip(read("overlay"), found, strict=True):
        wanted = {name: case[name] for name in got}
        # Python keeps moments to the microsecond, the phone to the fraction of a millisecond.
        ends = (got.pop("endsMs"), wanted.pop("endsMs"))
        assert alike(got, wanted), case["name"]
        assert (ends[0] is None) == (ends[1] is None) and abs((ends[0] or 0) - (ends[1] or 0)) <= 1, case["name"]


AWAY = (
    "const { doing, folded, houseOf } = await import('/static/away.js');"
    "const { stopsOf } = await import('/static/ways.js');"
    "const { nextOf } = await import('/static/ways.js');"
    "const here = houseOf(await (await fetch('/steps.json')).json());"
)


def test_the_next_step_and_what_stands_against_it(run: Any) -> None:
    """What waits is folded over what was told by the declarations; and each step is asked of as its form would be."""
    found = run(
        "gates",
        AWAY + "return cases.map((one) => {"
        "  const { things } = folded(here, one.told, one.entries);"
        "  const { grind, light, dry } = one.of;"
        "  const ways = { grind: `/batch/${grind}/grind`, light: `/firing/${light}/light`, dry: `/charge/${dry}/dry`,"
        "    close: `/firing/${light}/close` };"
        "  const stops = (path, pairs) => stopsOf(here, things, doing(here, things, path, pairs));"
        "  const rules = (...form) => stops(...form).map(({ rule }) => rule);"
        "  const next = Object.keys(one.next).map((id) => [id, nextOf(here, things, id)?.verb ?? null]);"
        "  const found = Object.keys(one.against).map((step) => [step, rules(ways[step], [])]);"
        "  const hot = Object.keys(one.in_heat).map((id) => [id, things[id].in_heat]);"
        "  const into = one.going_in && rules(`/firing/${light}/in`, [['charge', dry]]);"
        "  const rows = [next, found, hot].map((one) => Object.fromEntries(one));"
        "  return { next: rows[0], against: rows[1], hot: rows[2], into };"
        "});",
    )
    for case, got in zip(read("gates"), found, strict=True):
        assert got["next"] == case["next"], case["name"]
        assert {step: sorted(rules) for step, rules in got["against"].items()} == case["against"], case["name"]
        assert got["hot"] == case["in_heat"], case["name"]
        assert sorted(got["into"] or []) == (case["going_in"] or []), case["name"]


def test_the_stretches_of_a_fire_and_the_air_that_is_asked_for(run: Any) -> None:
    found = run(
        "stretches",
        "const { aimNow, airToChange, stretchNow, stretches } = await import('/static/fire.js');"
        "return cases.map(({ fire }) => {"
        "  const now = stretchNow(fire, fire.readings);"
        "  return { stretches: stretches(fire, fire.readings), now: now?.number ?? null,"
        "    aim: aimNow(fire, fire.readings),"
        "    change: now && airToChange(fire, now) };"
        "});",
    )
    for case, got in zip(read("stretches"), found, strict=True):
        wanted = case["stretches"]
        part = [{name: one[name] for name in wanted[0]} for one in got["stretches"]]
        assert alike(part, wanted), case["name"]
        assert alike(got["aim"], case["aim"]), case["name"]
        assert (got["now"], got["change"]) == (case["now"], case["change"]), case["name"]


def test_millivolts_as_degrees_by_what_the_laptop_told_of_the_probe(run: Any) -> None:
    found = run(
        "thermocouples",
        "const { celsius } = await import('/static/fire.js');"
        "return cases.map((one) => one.read.map(([mv, cold]) => celsius(one.probe, mv, cold)));",
    )
    for case, got in zip(read("thermocouples"), found, strict=True):
        assert len(got) > 50
        for (mv, cold, c), degrees in zip(case["read"], got, strict=True):
            # Halved until nothing is left: both sides come to the last digits of their own libraries.
            assert (degrees is None) == (c is None), (case["letter"], mv, cold)
            assert c is None or abs(degrees - c) < 1e-6, (case["letter"], mv, cold)


def test_what_is_put_in_out_of_reach_may_hold_carbonate(run: Any) -> None:
    found = run(
        "codes",
        AWAY + "const [c, f] = ['0'.repeat(26), '1'.repeat(26)];"
        "const told = { [f]: { sort: 'firing', id: f, carbonate: false }, [c]: { sort: 'charge', id: c } };"
        "const forms = [[`/charge/${c}/place`, [['firing', f]]], [`/firing/${f}/in`, [['charge', c]]],"
        " [`/firing/${f}/out`, [['charge', c]]]];"
        "const after = ([action, fields]) => folded(here, told, [{ id: 'e', action, fields, at_ms: 1 }]).things[f];"
        "return forms.map((one) => after(one).carbonate);",
    )
    assert found == [True, True, False]


def test_a_drawn_firing_says_that_it_stands_still(run: Any) -> None:
    """Words come by their names here. CO first where the flame was sooty; then the fact, a look, notes, two keys."""
    found = run(
        "codes",
        "const { climb } = await import('/static/outlook.js');"
        "const c = [180, 330, 450, 560, 640, 690, 712, 719, 721, 720, 722, 721, 721, 720, 721, 721];"
        "const at = (n) => 1e12 + 600000 * (n + 1);"
        "const notes = [['flame', 'Flame', [['sooty', 'Sooty']]]];"
        "const fire = { id: 'F', fuel: 'gas', lit_ms: 1e12, off_ms: null, changed_ms: null, slowest_tau_min: 180,"
        "  noted: { flame: ['sooty', 1e12] }, stretches: [{ to_c: 1000, hold_min: 60, air: 'unknown' }] };"
        "const say = (count) => climb({ ...fire, readings: c.slice(0, count).map((one, n) => [at(n), one]) }, notes)"
        "  .map((one) => [one.className, one.textContent.trim(), one.getAttribute('href')]);"
        "return [say(7), say(11), say(16)];",
    )
    early, fact, proved = found
    assert [one[1].split()[0] for one in early] == ["possible"]
    assert fact[0][0].startswith("caution-block") and "co-first" in fact[0][1]
    assert fact[1][1].startswith("not-risen") and fact[2][1] == "look-first" and "Flame: Sooty" in fact[3][1]
    assert [one[2] for one in fact[4:6]] == ["/firing/F/note", "/firing/F/off?reason=stalled"]
    assert fact[6][1] == "possible why-steam" and proved[-1][1] == "stalled stalled_why"


def test_what_is_wrong_with_a_fire_in_the_laptop_s_words(live: Any, browser_page: Any) -> None:
    run = over_cases(browser_page)
    with live.app.test_request_context("/"):
        said = away_words()
    browser_page.evaluate("async (words) => (await import('/static/store.js')).note('words', words)", said)
    browser_page.reload()
    found = run(
        "fires",
        "const { alarmSaid, alarms, nextDue } = await import('/static/outlook.js');"
        "const { expectedC, provedC } = await import('/static/fire.js');"
        "return cases.map(({ fire, load, now_ms: now }) => ({"
        "  alarms: alarms(fire, load.filter((one) => !one.out), now).map((one) => [alarmSaid(one), !!one.grave]),"
        "  due_ms: nextDue(fire), expected: expectedC(fire, now), proved_c: provedC(fire.readings) }));",
    )
    for case, got in zip(read("fires"), found, strict=True):
        assert alike(got, {name: case[name] for name in got}), (case["name"], got, case["alarms"], case["expected"])


def test_an_end_as_planned_below_the_planned_peak_is_held(run: Any) -> None:
    """As the laptop asks: 10 °C below the peak of 900 °C counts as it, and without a reading nothing contradicts it."""
    found = run(
        "fires",
        AWAY + "const off = (fire, reason) => stopsOf(here, { [fire.id]: fire },"
        "  doing(here, { [fire.id]: fire }, `/firing/${fire.id}/off`, [['reason', reason]])).map(({ rule }) => rule);"
        "return cases.map(({ fire }) => [off(fire, 'reached'), off(fire, 'stalled')]);",
    )
    for case, got in zip(read("fires"), found, strict=True):
        read_c = [c for _, c in case["fire"]["readings"]]
        low = bool(read_c) and max(read_c) < 890
        assert got == [["ended-low"] if low else [], []], case["name"]


def test_numbers_as_they_are_typed(run: Any) -> None:
    found = run(
        "numbers",
        "const { readNumber } = await import('/static/read.js');"
        "return cases.map((one) => { const { value, ...no } = readNumber(one.typed, one.bounds);"
        "  return value === undefined ? no : { value }; });",
    )
    for case, got in zip(read("numbers"), found, strict=True):
        if "value" in case:
            assert got == {"value": case["value"]}, case
            continue
        said = words()[f"no-{got.pop('no')}"]
        assert said.format(**got) == case["say"], case


def test_the_point_that_a_keypad_sets_by_itself(run: Any) -> None:
    about = [0.0, 0.84, 1.0, 3.38, 8.3, 8.4, 9.5, 10.2, 12.4, 12.5, 58.2, 83.3, 120.0, 125.0, 150.0]
    found = run("numbers", f"return {about}.map((await import('/static/read.js')).wholeDigits);")
    assert found == [whole_digits(one) for one in about]
