"""Weighing: the next line, the right jar, the target met or missed, corrections, disagreements, and the sum."""

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.reference import load_library
from bench.screens.weighing.weighing import aims
from bench.workshop.things.batches import batch
from tests.screens.making import Making, errors
from tests.workshop.builder import Builder, lines

ID = "01K9V0000000000000000000A1"
CODES = ("T5C7HJ", "9QH2FB", "7K3MQX", "8ZC4D9")
BLUE = (("CaCO3", 8.07), ("Cu2CO3(OH)2", 9.10), ("SiO2", 19.27), ("Na2CO3", 1.20, "washed-out"))


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    """Earlier steps."""
    return Making(app, keeper)


@pytest.fixture
def jars(make: Making) -> list[str]:
    """Three jars with tags: the calcium carbonate, the copper carbonate and another lot of it."""
    named = (("CaCO3", "calcium-carbonate"), ("Cu2CO3(OH)2", "copper-carbonate-basic"), ("Cu2CO3(OH)2", "green lot"))
    found = [make.jar(formula, reagent, net_g=200.0) for formula, reagent in named]
    for thing, code in zip(found, CODES[1:], strict=True):
        make.coded(thing, code)
    return found


@pytest.fixture
def blue(make: Making, jars: list[str]) -> str:
    """A batch of a calcium copper silicate whose checks are answered."""
    planned = lines(*BLUE)  # type: ignore[arg-type]
    planned[0]["jar"], planned[1]["jar"] = jars[0], jars[1]
    thing = make.batch(planned, name="Calcium copper silicate", target_formula="CaCuSi4O10")
    make.coded(thing, CODES[0])
    make.checked(thing, "before-weighing")
    return thing


def at(thing: str, number: int) -> str:
    """The address of one line."""
    return f"/batch/{thing}/weigh/{number}"


def weighed(make: Making, thing: str, number: int) -> list[Any]:
    """The weighings of a line that stand."""
    return [r.body for r in make.state.own(thing, "weighed") if r.body.line == number]


def test_the_checks_come_first(make: Making, client: FlaskClient, send: Any) -> None:
    """Nothing is weighed before the list was answered; a mask that leaks holds the step, dust control is recorded."""
    thing = make.batch(lines(("CoCO3", 5.0), ("ZnO", 4.0)))
    assert client.get(at(thing, 1)).location == f"/batch/{thing}/weigh"
    assert client.get(f"/batch/{thing}/weigh").text.count('value="not-done"') == 1
    said = client.get(f"/batch/{thing}/weigh?checks=1").text
    assert "My P3 or P100 mask is on and passed its seal check now" in said and "the SDS of your jar" in said
    sent = {"answer.weigh-mask": "not-done", "answer.weigh-dust-control": "not-done"}
    assert send(f"/batch/{thing}/weigh", sent).status_code == 303
    assert "Not done" in client.get(f"/batch/{thing}/weigh").text
    refused = send(at(thing, 1), net_g="5")
    assert refused.status_code == 422 and "answered with not done" in refused.text
    assert send(f"/batch/{thing}/weigh", {"answer.weigh-mask": "done"}).status_code == 303
    assert client.get(f"/batch/{thing}/weigh").location == at(thing, 1)


def test_one_reagent_a_screen(client: FlaskClient, blue: str) -> None:
    """Name, formula, jar tag, target, tolerance, hazards with their deferral, and why this number."""
    said = client.get(at(blue, 2)).text
    for words in ("copper carbonate, basic", "Cu₂CO₃(OH)₂", "7K3MQ-X", ">9.10<", "±0.02", "2 of 4", "GHS07", "g/mol"):
        assert words in said, words
    assert "the SDS of your jar" in said


def test_weighed_and_on_to_the_next(make: Making, client: FlaskClient, send: Any, blue: str, jars: list[str]) -> None:
    """The weight is a record with its jar and the balance; the next screen says it back with Undo."""
    answer = send(at(blue, 1), net_g="8,07", jar="9qh2f-b")
    assert answer.status_code == 303 and answer.location == f"/batch/{blue}/weigh"
    [body] = weighed(make, blue, 1)
    assert (body.net_g, body.jar, body.balance_d_g) == (8.07, jars[0], 0.01)
    said = client.get(f"/batch/{blue}/weigh", follow_redirects=True).text
    assert "8.07 g calcium carbonate" in said and "Undo" in said and ">9.10<" in said


def test_by_difference(make: Making, send: Any, blue: str) -> None:
    """Two weighings of one container, whichever way the powder went."""
    assert send(at(blue, 1), before_g="31.50", after_g="23.43").status_code == 303
    assert send(at(blue, 2), before_g="12.00", after_g="21.10").status_code == 303
    assert [weighed(make, blue, n)[0].net_g for n in (1, 2)] == [8.07, 9.10]
    assert weighed(make, blue, 1)[0].before_g == 31.5


def test_a_wrong_jar_is_said_plainly(make: Making, send: Any, blue: str, jars: list[str]) -> None:
    """What is in it, what is wanted, and nothing recorded; used in fact, the record names it."""
    refused = send(at(blue, 1), net_g="8.07", jar=CODES[2])
    assert refused.status_code == 422 and not weighed(make, blue, 1)
    [said] = errors(refused.text)
    assert "Wrong jar" in said and "calcium carbonate" in said
    assert 'value="8.07"' in refused.text
    other = send(at(blue, 2), net_g="9.10", jar=CODES[3])
    assert "Not the planned jar" in other.text
    assert send(at(blue, 2), net_g="9.10", jar=CODES[3], this_jar="1").status_code == 303
    assert weighed(make, blue, 2)[0].jar == jars[2]


def test_a_tag_that_is_no_jars(send: Any, blue: str) -> None:
    """The batch's own tag, a slip in the code, and a code that nobody issued."""
    for code, words in ((CODES[0], "tag of a batch"), ("9QH2FC", ""), ("K48TWF", "No item has this code")):
        answer = send(at(blue, 1), net_g="8.07", jar=code)
        assert answer.status_code == 422 and words in answer.text
        assert len(errors(answer.text)) == 1


@pytest.mark.parametrize(
    ("sent", "field"),
    [
        ({"net_g": ""}, "Type a number here"),
        ({"net_g": "nine"}, "is not a number"),
        ({"net_g": "-9.1"}, "Enter 0 or more"),
        ({"net_g": "9999999"}, "At most"),
        ({"net_g": "9,1.1"}, "one decimal mark only"),
        ({"net_g": "0"}, "At least"),
        ({"before_g": "12"}, "Fill in the container"),
        ({"before_g": "12", "after_g": "12"}, "nothing was taken"),
        ({"net_g": "3", "before_g": "12", "after_g": "21.1"}, "Leave one of them empty"),
        ({"net_g": "9.1", "happened": "25:99"}, "hours and minutes"),
        ({"net_g": "x" * 100_000}, "number"),
        ({"net_g": "9.1", "jar": "x\x00" * 50_000}, ""),
    ],
)
def test_what_cannot_be_used(make: Making, send: Any, blue: str, sent: dict[str, str], field: str) -> None:
    """A plain sentence beside the field; nothing is recorded, what was typed stays."""
    answer = send(at(blue, 2), sent)
    assert answer.status_code == 422 and field in answer.text and not weighed(make, blue, 2)


def test_too_much_offers_to_rescale(make: Making, client: FlaskClient, send: Any, blue: str) -> None:
    """9.46 g for 9.10 g: the rest times 9.46/9.10, and 0.32 g more of what was weighed before it."""
    send(at(blue, 1), net_g="8.07")
    asked = send(at(blue, 2), net_g="9.46")
    assert asked.status_code == 200 and not weighed(make, blue, 2)
    for words in ("0.36 g too much", "20.03", "1.25", "+0.32", "Make the batch bigger"):
        assert words in asked.text, words
    assert send(at(blue, 2), net_g="9.46", do="scale").status_code == 303
    view = batch(make.state, blue)
    assert view is not None
    factor = 9.46 / 9.10
    assert [line.target_g for line in view.lines] == pytest.approx([g * factor for _, g, *_ in BLUE])
    [scaled] = make.state.own(blue, "rescaled")
    assert scaled.body.product_factor == pytest.approx(factor)


def test_what_became_short_is_topped_up(make: Making, client: FlaskClient, send: Any, blue: str) -> None:
    """After the rest is weighed, the first line is asked for once more, with what is missing."""
    send(at(blue, 1), net_g="8.07")
    send(at(blue, 2), net_g="9.46", do="scale")
    send(at(blue, 3), net_g="20.03")
    send(at(blue, 4), net_g="1.25")
    assert client.get(f"/batch/{blue}/weigh").location == at(blue, 1)
    said = client.get(at(blue, 1)).text
    assert ">0.32<" in said and "Added now" in said
    heads = make.state.slot(blue, "weighed", 1).heads
    assert send(at(blue, 1), adding="1", added_g="0.32", corrects=heads[0].id).status_code == 303
    assert [body.net_g for body in weighed(make, blue, 1)] == [8.39]
    assert "In the mortar" in client.get(f"/batch/{blue}/weigh").text


def test_taking_back_records_nothing(make: Making, send: Any, blue: str) -> None:
    """Back to the balance."""
    answer = send(at(blue, 2), net_g="9.46", do="back")
    assert answer.location == at(blue, 2) and not weighed(make, blue, 2)


@pytest.mark.parametrize(("typed", "times"), [("91.00", "10"), ("0.91", "0.1"), ("910", "100")])
def test_a_point_that_slipped_is_typed_again_first(
    make: Making, client: FlaskClient, send: Any, blue: str, typed: str, times: str
) -> None:
    """9.10 g is wanted: ten times as much is a slip of the hand on the keys, and no overshoot."""
    page = send(at(blue, 2), net_g=typed)
    keys = re.findall(r'name="do" value="(\w+)"( checked)?', page.text)
    assert keys[0] == ("retype", "") and len(keys) > 2 and "checked" not in page.text
    assert f"{times} times the target" in page.text and "10.000" not in page.text
    assert send(at(blue, 2), net_g=typed, do="retype").location == at(blue, 2) + "#again"
    assert not weighed(make, blue, 2) and not make.state.own(blue, "rescaled")


def ways_on(text: str) -> list[str]:
    """The keys of a weighing that missed its target, in their order."""
    return re.findall(r'<button[^>]* name="do" value="(\w+)"', text)


def test_an_overshoot_has_no_main_key(send: Any, blue: str) -> None:
    """Each way on is a key of its own; what is over goes to waste, never back into the jar."""
    said = send(at(blue, 2), net_g="9.46").text
    assert ways_on(said) == ["retype", "back", "scale", "keep"] and 'class="plate' not in said
    assert "Take out into a waste cup" in said and "Never back into the jar" in said and "decimal point" not in said


@pytest.mark.parametrize(("net_g", "offered"), [("10.92", True), ("10.93", False), ("18.20", False)])
def test_a_batch_is_offered_to_grow_by_a_fifth_at_most(send: Any, blue: str, net_g: str, offered: bool) -> None:
    """9.10 g is wanted; a fifth more is 10.92 g."""
    assert ("scale" in ways_on(send(at(blue, 2), net_g=net_g).text)) is offered


def test_too_little_and_left_so(make: Making, send: Any, blue: str) -> None:
    """Asked once, then recorded as it is."""
    assert "0.60 g too little" in send(at(blue, 2), net_g="8.50").text
    assert send(at(blue, 2), net_g="8.50", do="keep").status_code == 303
    assert weighed(make, blue, 2)[0].net_g == 8.5 and not make.state.own(blue, "rescaled")


def test_a_coarser_balance_allows_more(make: Making, client: FlaskClient, blue: str) -> None:
    """Two last digits of a 0.1 g balance."""
    make.add("setting.changed", {"name": "balance_d_g", "value": 0.1}, "0" * 26)
    said = client.get(at(blue, 2)).text
    assert "±0.2<" in said and ">9.1<" in said


def test_a_weighing_is_corrected(make: Making, client: FlaskClient, send: Any, blue: str) -> None:
    """The page of a weighed line brings what it corrects; the old value stays in sight."""
    send(at(blue, 1), net_g="8.06")
    said = client.get(at(blue, 1)).text
    head = make.state.slot(blue, "weighed", 1).heads[0]
    assert "8.06 g is recorded" in said and f'value="{head.id}"' in said
    assert send(at(blue, 1), net_g="8.08", corrects=head.id).status_code == 303
    assert [body.net_g for body in weighed(make, blue, 1)] == [8.08]
    assert len(make.state.all_rows(blue, "weighed")) == 2


def test_two_browsers_on_one_line_disagree(make: Making, client: FlaskClient, send: Any, blue: str) -> None:
    """Both are facts; the screen shows both, and one correction settles it."""
    send(at(blue, 1), net_g="8.06")
    assert send(at(blue, 1), net_g="8.08").status_code == 303
    heads = make.state.slot(blue, "weighed", 1).heads
    assert len(heads) == 2
    said = client.get(at(blue, 1)).text
    assert "disagree" in said and "8.06 g" in said and "8.08 g" in said
    assert send(at(blue, 1), net_g="8.08", corrects=" ".join(r.id for r in heads)).status_code == 303
    assert [body.net_g for body in weighed(make, blue, 1)] == [8.08]


def test_sent_twice_it_is_one(make: Making, send: Any, blue: str) -> None:
    """The same page delivered again is the same records, a rescaling included."""
    for _ in range(3):
        assert send(at(blue, 2), record_id=ID, net_g="9.46", do="scale").status_code == 303
    assert len(weighed(make, blue, 2)) == 1 and len(make.state.own(blue, "rescaled")) == 1


def test_entered_late_it_is_never_asked(make: Making, keeper: Any, send: Any, blue: str) -> None:
    """What was weighed an hour ago is a fact, whatever it misses."""
    keeper.turn(180)
    assert send(at(blue, 2), net_g="9.9", happened="13:00", happened_date="").status_code in (303, 422)
    clock = keeper.ms // 60_000 - 60
    assert send(at(blue, 2), net_g="9.9", happened=f"{clock // 60 % 24:02d}:{clock % 60:02d}").status_code == 303
    assert make.state.own(blue, "weighed")[-1].how == "late"


def test_a_dangerous_line_is_stopped(make: Making, client: FlaskClient, send: Any) -> None:
    """Lead is refused before it is weighed; that it was weighed in fact can still be entered late."""
    thing = make.batch(lines(("PbO", 5.0), ("SiO2", 4.0)))
    make.checked(thing, "before-weighing")
    said = client.get(at(thing, 1)).text
    assert "Refused" in said and 'name="net_g"' not in said and "Record the weight" not in said
    assert send(at(thing, 1), net_g="5").status_code == 422 and not weighed(make, thing, 1)
    assert 'name="net_g"' in client.get(at(thing, 1) + "?late=1").text
    assert send(at(thing, 1), net_g="5", happened="00:10").status_code == 303


def test_the_sum_against_the_mortar(make: Making, client: FlaskClient, send: Any, blue: str) -> None:
    """All weighed: the sum, what it can become, and the mortar's own weight, whose gap is recorded as lost."""
    for n, (_, g, *_) in enumerate(BLUE, 1):
        assert send(at(blue, n), net_g=str(g)).status_code == 303
    said = client.get(f"/batch/{blue}/weigh").text
    assert "37.64" in said and "What it can become" in said and "Grind and mix" in said
    fine = send(f"/batch/{blue}/weigh", part="mortar", mortar_before_g="200", mortar_after_g="237.63")
    assert "Nothing is missing" in fine.text
    gone = send(f"/batch/{blue}/weigh", part="mortar", mortar_before_g="200", mortar_after_g="237.14")
    assert "0.50 g is missing" in gone.text and not make.state.own(blue, "lost")
    kept = {"part": "mortar", "mortar_before_g": "200", "mortar_after_g": "237.14", "how": "dust", "record_id": ID}
    assert [send(f"/batch/{blue}/weigh", kept).status_code for _ in range(2)] == [303, 303]
    [lost] = make.state.own(blue, "lost")
    assert lost.body.g == pytest.approx(0.5) and lost.body.how == "dust"
    for bad in ({"mortar_before_g": "9"}, {"mortar_before_g": "9", "mortar_after_g": "8"}, {"mortar_before_g": "x"}):
        assert send(f"/batch/{blue}/weigh", {"part": "mortar", **bad}).status_code == 422


def test_by_jar_a_mortar_a_screen(make: Making, client: FlaskClient, send: Any, jars: list[str]) -> None:
    """Three batches of a series: the checks once for all, then each in the order of its level, the next one named."""
    series = make.add("series.planned", {"factor": "soda", "levels": [0, 2, 4]}).id
    for level in (4, 0, 2):
        planned = lines(("CaCO3", 5.0 + level), ("SiO2", 9.0))
        planned[0]["jar"] = jars[0]
        make.batch(planned, name=f"Soda {level}", series=series, level=level)
    asked = client.get(f"/weigh/jar/{jars[0]}?checks=1").text
    assert "My P3 or P100 mask is on and passed its seal check now" in asked
    names = ("weigh-sheet-read", "weigh-mask", "weigh-dust-control")
    assert asked.count('value="not-done"') == len(names)
    sent = {f"answer.{name}": "done" for name in names}
    assert send(f"/weigh/jar/{jars[0]}", sent).status_code == 303
    for level, after in ((0, "Soda 2 · 7.00 g"), (2, "Soda 4 · 9.00 g"), (4, None)):
        said = client.get(f"/weigh/jar/{jars[0]}").text
        assert f"<b>Soda {level}</b>" in said and (after is None or after in said)
        thing = said.split('name="batch" value="')[1][:26]
        answer = send(f"/weigh/jar/{jars[0]}", batch=thing, line="1", net_g=str(5 + level), jar=CODES[1])
        assert answer.location == f"/weigh/jar/{jars[0]}"
    assert "This jar is done" in client.get(f"/weigh/jar/{jars[0]}").text
    assert "Nothing waits" in client.get(f"/weigh/jar/{jars[2]}").text


def test_unknown_things_and_wrong_ways(client: FlaskClient, send: Any, blue: str, jars: list[str]) -> None:
    """A calm page for what is not there, and for what is not opened like that."""
    for path in (f"/batch/{ID}/weigh", f"/batch/{ID}/weigh/1", at(blue, 9), f"/weigh/jar/{ID}", "/batch/x/weigh",
                 f"/batch/{jars[0]}/weigh", f"/weigh/jar/{blue}"):  # fmt: skip
        assert client.get(path).status_code == 404, path
        assert send(path, net_g="1").status_code == 404, path
    assert send(f"/weigh/jar/{jars[0]}", batch=ID, line="1", net_g="1").status_code == 404
    assert client.put(at(blue, 1)).status_code in (403, 405)


def test_a_jar_that_holds_too_little_is_said(make: Making, client: FlaskClient, jars: list[str]) -> None:
    """By the records there is not enough in it, and other mortars wait for it too."""
    scarce = make.jar("CaCO3", "calcium-carbonate", net_g=3.0)
    planned = lines(("CaCO3", 5.0), ("SiO2", 9.0))
    planned[0]["jar"] = scarce
    for name in ("One", "Two"):
        thing = make.batch(planned, name=name)
        make.checked(thing, "before-weighing")
    said = client.get(at(thing, 1)).text
    assert "Not enough in the jar" in said and "3.00 g" in said
    assert f"/weigh/jar/{scarce}" in said and "one other batch needs it" in said


@pytest.mark.parametrize(("net_g", "off"), [(8.0, None), (8.02, None), (7.98, None), (8.03, "over"), (7.97, "under")])
def test_a_weighing_may_miss_its_target_by_two_digits_of_the_balance(net_g: float, off: str | None) -> None:
    """On a balance that shows hundredths of a gram."""
    bench = Builder()
    thing = bench.batch(lines(("Co3O4", 8.0), ("Al(OH)3", 12.0)))
    view = batch(bench.state, thing)
    assert view is not None
    aim = aims(bench.state, load_library(), view)[0]
    assert (aim.d_g, aim.off(net_g)) == (0.01, off)


def test_a_check_that_is_not_done_stays_in_sight_with_the_way_to_put_it_right(
    make: Making, client: FlaskClient, send: Any, blue: str
) -> None:
    """Above the figure, on each line, while it stands; nothing of it once it was answered again."""
    said = "Not done: Extraction"
    assert said not in client.get(at(blue, 1)).text
    make.check(blue, "weigh-dust-control", "not-done", "before-weighing")
    page = client.get(at(blue, 1)).text
    assert said in page.split("weigh-target")[0] and f'href="/batch/{blue}/weigh?checks=1&amp;one=1"' in page
    assert "drew in test smoke" in client.get(f"/batch/{blue}/weigh?checks=1&one=1").text
    assert send(at(blue, 1), net_g="8.07").status_code == 303  # recorded and nothing more: it holds no key
    make.check(blue, "weigh-dust-control", "done", "before-weighing")
    assert said not in client.get(at(blue, 2)).text


def test_a_list_of_checks_that_is_done_leads_on(make: Making, client: FlaskClient) -> None:
    """Before it is, its main key records; afterwards that is the lesser key."""

    thing = make.batch(lines(*BLUE), target_formula="CaCuSi4O10")  # type: ignore[arg-type]

    def foot() -> str:
        return client.get(f"/batch/{thing}/weigh?checks=1").text.split('<footer class="actionbar"')[1]

    assert re.search(r'class="plate"[^>]*form="ask"', foot())
    make.checked(thing, "before-weighing")
    assert f'class="plate" href="/batch/{thing}/weigh"' in foot() and "Record the answers" in foot()


def test_a_line_that_is_weighed_leads_on(make: Making, client: FlaskClient, blue: str) -> None:
    """Its main key is the next step of the batch; one whose weighings disagree asks for the right mass first."""
    make.weigh(blue, 8.07)
    foot = client.get(at(blue, 1)).text.split('<footer class="actionbar"')[1]
    assert 'class="plate" href="/batch/' in foot and "Weigh, 2 of 4" in foot and "Correct weighing" in foot
    first = make.state.own(blue, "weighed")[0]
    make.correct(first, net_g=8.1)
    make.correct(first, net_g=8.2)
    foot = client.get(at(blue, 1)).text.split('<footer class="actionbar"')[1]
    assert 'class="plate" href' not in foot and "Correct weighing" in foot
