"""What must hold whatever is sent: no failure, each refusal beside a field that is there, nothing recorded by it."""

import re
from html import unescape
from urllib.parse import urlsplit

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis.strategies import DataObject, data
from werkzeug.test import TestResponse

from tests.acceptance.desk import Desk, all_forms
from tests.acceptance.forms_of import PostForm
from tests.acceptance.typed import sendings

CALM = frozenset({200, 303, 403, 404, 409, 413, 422, 429})
RUN = "<script>alert"
LAST = "/undo"
SHARES = 4
REQUESTS, LONG = 500, 40_000
"""Requests for each share: with those to addresses and those of phones, nearly 3,000 in every run of the tests."""
LANDINGS = 5
"""So many pages that a form leads to are looked at; they are the same few again and again."""
ELSEWHERE = frozenset(
    {
        "outbox.receive",  # whole records of phones, no form
        "stock.give",  # asked by phones, no form
        "firing_checks.unlit",  # a key alone, while a gas fire may be lit
        "backups.without",  # a key alone, while a backup holds more than the file
        "hands.keep",  # asked only after crucibles were stamped out with full hands
        "hub.look",  # keys alone, once there is a hub
        "hub.now",
        "hub.share",
        "hub.disconnect",
        "borrowed.look",  # keys alone, once another workshop shares something
        "borrowed.peek",
        "borrowed.take",
        "borrowed.undo",
        "sharing.now",  # a key alone, once a folder is shared
        "settings.keep_number",  # one field, until there is an emergency number
        "colour_photo.look",  # a photo with a card, which this bench has not
        "wanted.look",
    }
)
"""Forms that do not stand on any page of the bench of the tries; each has tests of its own."""
SAME_EACH_TIME = settings(
    derandomize=True,
    deadline=None,
    database=None,
    phases=[Phase.generate],
    suppress_health_check=list(HealthCheck),
)


def faults_of(desk: Desk, answer: TestResponse, before: tuple[int, int, int]) -> list[str]:
    """Everything that is wrong with an answer to a submit."""
    status, text = answer.status_code, answer.get_data(as_text=True)
    found = [f"status {status}"] if status not in CALM else []
    found += ["markup was let through"] if RUN in text else []
    if status not in (303, 409) and desk.traces != before:
        found.append(f"status {status}, yet it left {desk.traces} where {before} was")
    if status == 422:
        found += silent(desk, text)
    if status == 303 and desk.landings:
        desk.landings -= 1
        landed = desk.get(answer.headers["Location"])
        calm = landed.status_code in (200, 303) and RUN not in landed.get_data(as_text=True)
        found += [] if calm else [f"then {landed.status_code} at {urlsplit(answer.headers['Location']).path}"]
    return found


TAG = re.compile(r"<(/?)(details|input|button|select|textarea|p)\b([^>]*)>")
NAME = re.compile(r'\bname="([^"]+)"')
COMPLAINT = re.compile(r'class="complaint" id="([^"]+)-no"')


class Seen:
    """The controls that a person can see on a page, the complaints beside them, and which of those are folded away."""

    def __init__(self, text: str) -> None:
        self.controls: set[str] = set()
        self.complaints: set[str] = set()
        self.folded: set[str] = set()
        folds: list[bool] = []
        for closes, tag, rest in TAG.findall(text):
            if tag == "details":
                folds = folds[:-1] if closes else [*folds, not rest.rstrip().endswith(" open")]
            elif tag == "p" and (said := COMPLAINT.search(rest)):
                self.complaints.add(said[1])
                self.folded |= {said[1]} if any(folds) else set()
            elif tag != "p" and 'type="hidden"' not in rest and (named := NAME.search(rest)):
                name = unescape(named[1])
                self.controls |= {name, *(name[:n] for n, char in enumerate(name) if char == ".")}


def silent(desk: Desk, text: str) -> list[str]:
    """Refusals of a page that nobody could see, that stand beside no field, or beside one that is not there."""
    plain, seen = unescape(text), Seen(text)
    asked = 'class="gate"' in text or "<span>It is right</span>" in text
    found = [] if desk.refused or asked else ["refused without a word"]
    found += [f"folded away: {name}" for name in seen.folded]
    found += [f"a sentence beside no field: {name}" for name in seen.complaints - seen.controls]
    for name, say in desk.refused.items():
        if say not in plain:
            found.append(f"nobody sees: {name}: {say}")
        elif name in seen.controls and name not in seen.complaints:
            found.append(f"not beside its field: {name}: {say}")
    return found


def try_forms(desk: Desk, share: int, requests: int) -> None:
    """Try one of the shares of all forms, with at least so many requests in all, the same ones in every run."""
    by_view = all_forms(desk)
    missing = {str(rule) for rule in desk.app.url_map.iter_rules() if "POST" in (rule.methods or ())}
    missing -= {str(rule) for rule in desk.app.url_map.iter_rules() if rule.endpoint in {*by_view, *ELSEWHERE}}
    assert not missing, f"no form is known for these addresses: {sorted(missing)}"
    forms = [form for view in sorted(by_view)[share::SHARES] for form in by_view[view]]
    each = -(-requests // len(forms))
    desk.tried = 0
    for form in sorted(forms, key=lambda one: one.action == LAST):
        desk.put_back_now()
        desk.landings = LANDINGS
        _try_form(desk, form, each)
    assert desk.tried >= requests


def _try_form(desk: Desk, form: PostForm, times: int) -> None:
    ids = list(desk.app.extensions["bench"].state.records)[-3:]

    @settings(SAME_EACH_TIME, max_examples=times)
    @given(data())
    def tried(some: DataObject) -> None:
        desk.put_back()
        before = desk.traces
        what, meddled = some.draw(sendings(form, ids))
        desk.tried += 1
        faults = faults_of(desk, desk.post(form.action, what), before)
        assert not faults, (form.action, faults, {name: what[name] for name in meddled if name in what})

    tried()
