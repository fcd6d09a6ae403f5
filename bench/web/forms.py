"""What a person typed, read field by field. Every error stands beside its field, and what was typed is kept."""

import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date

from flask import request

from bench.science.codes import is_valid, normalised
from bench.science.refusal import Refusal
from bench.web.current import current_bench
from bench.web.flash import typed_again
from bench.web.ids import fresh, is_ulid
from bench.web.moments import is_date, read_moment
from bench.web.numbers import SAID, read_number, show_number, thousands_mark
from bench.web.sending import sending
from bench.web.words import _

NOTE_MAX = 4_000
KEEP_MAX = 200_000
MOST_ROWS = 200
OFFERED = "offered."
REFUSED = {
    "empty-text": _("Write something here."),
    "empty-code": _("Type the six characters of the code."),
    "choose": _("Choose one of these."),
    "control": _("The text has a control character. Delete that, or type the text again."),
    "too-long": _("{n} characters; at most {most} fit here. Shorten the text."),
    "code": _("One character is wrong, or two are swapped. Check the tag again."),
}
"""What is said of words, codes and choices, by name. The phones say the same while the laptop is away."""
YES = frozenset({"1", "on", "yes", "true"})
Seen = str | int | float | bool | None


@dataclass(frozen=True)
class Asked:
    """What a number may be: its page carries it, so that a phone judges the field as the laptop does."""

    low: float
    high: float
    unit: str
    whole: bool
    required: bool


class Form:
    """One posted form, or an empty one to ask with.

    `fields` maps names to what was typed; `now_ms` and `zone_min` are the time now, for late entry. Each reader returns
    the value, or None where the field is empty and not required, or where it was refused: then `errors[name]` holds the
    sentence. `ok` is true while there is no error. `typed` gives back what was typed, for showing the form again.
    `offered` is what stood in a field before anybody touched it, such as the value of last time.
    """

    def __init__(
        self,
        fields: Mapping[str, str] | None = None,
        *,
        now_ms: int = 0,
        zone_min: int = 0,
        start: Mapping[str, Seen] | None = None,
    ) -> None:
        self.posted = fields is not None
        shown = {name: "" if value is None else str(value) for name, value in (start or {}).items()}
        self.typed: dict[str, str] = shown | {name: value[:KEEP_MAX] for name, value in (fields or {}).items()}
        self.offered = {n.removeprefix(OFFERED): self.typed[n] for n in self.typed if n.startswith(OFFERED)}
        self.errors: dict[str, str] = {}
        self.offers: dict[str, tuple[str, ...]] = {}
        self.asks: dict[str, Asked] = {}
        self.drawn = ""
        self.now_ms, self.zone_min = now_ms, zone_min
        given = self.typed.get("record_id", "")
        self.record_id = given if is_ulid(given) else fresh(now_ms)
        self.happened_ms = self.time("happened", required=False)

    def offer(self, **values: Seen) -> "Form":
        """Put values in that nobody read now, drawn lighter until they are touched; what was typed is left alone."""
        for name, value in values.items():
            if not self.posted and value not in (None, "") and not self.typed.get(name):
                self.typed[name] = self.offered[name] = f"{value:g}" if isinstance(value, float) else str(value)
        return self

    def unread(self) -> set[str]:
        """The fields that still hold what was offered: the page takes an offer out as soon as its field is touched."""
        return {name for name, value in self.offered.items() if self.typed.get(name) == value}

    def fills(self, *names: str) -> bool:
        """Whether a fold of these fields, or of ticks so named, was filled in or refused: it then stands open again."""
        typed = {name for name, value in self.typed.items() if value} - self.unread()
        return self.posted and any(one.partition(".")[0] in names for one in {*typed, *self.errors})

    @property
    def ok(self) -> bool:
        """Whether it was posted and nothing was refused so far."""
        return self.posted and not self.errors

    def refuse(self, why: Refusal | str, field: str | None = None) -> None:
        """Put a sentence beside a field; the first one stays. Without a field it stands above the form, under `""`."""
        where = field or (why.field if isinstance(why, Refusal) else None) or ""
        if where not in self.errors and isinstance(why, Refusal) and why.offers:
            self.offers[where] = why.offers
        self.errors.setdefault(where, why.say if isinstance(why, Refusal) else why)

    @contextmanager
    def beside(self, field: str) -> Iterator[None]:
        """What is refused inside stands beside this field: `with form.beside("formula"): parse(text)`."""
        try:
            yield
        except Refusal as refusal:
            self.refuse(refusal, field)

    def learn(self, reader: Callable[["Form"], object], **flags: str) -> "Form":
        """Let the reader of this form's numbers say what each may be, from nothing but these flags; gives the form."""
        probe = Form(flags, now_ms=self.now_ms, zone_min=self.zone_min)
        reader(probe)
        self.asks = probe.asks | self.asks
        return self

    def takes_focus(self, name: str) -> bool:
        """Whether it is the first refused field that this page shows; asked as each is drawn."""
        self.drawn = self.drawn or name
        return self.drawn == name

    def _raw(self, name: str, required: bool, ask: str) -> str | None:
        raw = self.typed.get(name, "").strip()
        if not raw and required:
            self.refuse(ask, name)
        return raw or None

    def number(
        self, name: str, low: float = 0.0, high: float = 1e6, unit: str = "", required: bool = True
    ) -> float | None:
        """A number between `low` and `high` in `unit`, as typed: one comma alone is the decimal mark."""
        self.asks[name] = Asked(low, high, unit, False, required)
        raw = self._raw(name, required, _(SAID["empty"]))
        if raw is None:
            return None
        with self.beside(name):
            return read_number(raw, low=low, high=high, unit=unit)
        return None

    def read_as(self, name: str) -> str | None:
        """What a typed 1,000 or 1.000 was read as, to be shown beside it; None where no mark has two readings."""
        value = thousands_mark(self.typed.get(name, "")) if self.posted else None
        return None if value is None else show_number(value)

    def whole(
        self, name: str, low: int = 0, high: int = 1_000_000, unit: str = "", required: bool = True
    ) -> int | None:
        """A whole number between `low` and `high`."""
        self.asks[name] = Asked(low, high, unit, True, required)
        raw = self._raw(name, required, _(SAID["empty-whole"]))
        if raw is None:
            return None
        with self.beside(name):
            return int(read_number(raw, low=low, high=high, unit=unit, whole=True))
        return None

    def text(self, name: str, max_len: int = NOTE_MAX, required: bool = False, lines: bool = False) -> str | None:
        """Words of at most `max_len` characters; several lines only where `lines` says so."""
        raw = self._raw(name, required, _(REFUSED["empty-text"]))
        if raw is None:
            return None
        said = unicodedata.normalize("NFC", raw.replace("\r\n", "\n").replace("\r", "\n"))
        allowed = "\n\t" if lines else ""
        if any(unicodedata.category(c) in ("Cc", "Cs") and c not in allowed for c in said):
            self.refuse(_(REFUSED["control"]), name)
        elif len(said) > max_len:
            many_, most = f"{len(said):,}".replace(",", " "), f"{max_len:,}".replace(",", " ")
            self.refuse(_(REFUSED["too-long"], n=many_, most=most), name)
        else:
            return said
        return None

    def choice(self, name: str, options: Iterable[str], required: bool = True) -> str | None:
        """One of `options`."""
        raw = self._raw(name, required, _(REFUSED["choose"]))
        if raw is None or raw in set(options):
            return raw
        self.refuse(_(REFUSED["choose"]), name)
        return None

    def choices(self, name: str, options: Iterable[str], required: bool = False) -> list[str]:
        """Every ticked one of `options`; fields named `name.option`, as the tick group makes them."""
        ticked = [option for option in options if self.flag(f"{name}.{option}")]
        if required and not ticked:
            self.refuse(_("Tick at least one."), name)
        return ticked

    def code(self, name: str, required: bool = True) -> str | None:
        """A six-character code whose check character is right, in capitals without its dash. Not yet looked up."""
        raw = self._raw(name, required, _(REFUSED["empty-code"]))
        if raw is None:
            return None
        with self.beside(name):
            return read_code(raw)
        return None

    def time(self, name: str, required: bool = True) -> int | None:
        """Milliseconds since 1970 of the fields `name` (16:04) and `name_date` (today where empty)."""
        date = self.typed.get(f"{name}_date", "")
        raw = self._raw(name, required, _("Type the time, such as 16:04."))
        if raw is None:
            return None
        with self.beside(name):
            return read_moment(raw, date, now_ms=self.now_ms, zone_min=self.zone_min)
        return None

    def reads_time(self, name: str) -> bool:
        """Whether a browser's own time field can show what was typed; where it cannot, a plain field keeps it."""
        return re.fullmatch(r"(([01]\d|2[0-3]):[0-5]\d)?", self.typed.get(name, "")) is not None

    def reads_date(self, name: str) -> bool:
        """The same for the date beside it."""
        return is_date(self.typed.get(f"{name}_date", ""))

    def day(self, name: str, required: bool = False) -> str | None:
        """A day as 2030-05-31."""
        raw = self._raw(name, required, _("Type the date, such as 2030-05-31."))
        if raw is None:
            return None
        try:
            return date.fromisoformat(raw).isoformat()
        except ValueError:
            self.refuse(_("Type the date, such as 2030-05-31."), name)
            return None

    def flag(self, name: str) -> bool:
        """Whether a box is ticked."""
        return self.typed.get(name, "").strip().lower() in YES

    def ulid(self, name: str, required: bool = True) -> str | None:
        """The id of a thing or a record, as a list or a hidden field brings it."""
        raw = self._raw(name, required, _(REFUSED["choose"]))
        if raw is None or is_ulid(raw):
            return raw
        self.refuse(_("The bench does not have this. Go back and choose again."), name)
        return None

    def rows(self, name: str) -> list[str]:
        """The keys of repeated fields, in order: `net_g.0`, `net_g.1` give `["0", "1"]`; at most 200."""
        keys = {typed[len(name) + 1 :] for typed in self.typed if typed.startswith(name + ".")}
        return sorted(keys, key=lambda key: (not key.isdecimal(), len(key), key))[:MOST_ROWS]


def read_code(text: str) -> str:
    """A typed code, in capitals without dash or spaces; Refusal where it cannot be a code of ours.

    The check character is ISO/IEC 7064 MOD 37-2, so every single wrong character and every swap of neighbours is found.
    """
    code = normalised(text[:64])
    if not is_valid(code):
        raise Refusal(_(REFUSED["code"]))
    return code


def read_form() -> Form:
    """The form that this request brought. Of a field that came twice, the first counts."""
    sent = sending()
    if sent is not None:
        # A time that was typed in the yard means the day on which it was typed, in the zone of that phone.
        return Form(request.form.to_dict(), now_ms=sent.now_ms, zone_min=sent.tz_min)
    return Form(request.form.to_dict(), now_ms=current_bench().now_ms(), zone_min=current_bench().zone_min())


def blank(**start: Seen) -> Form:
    """An empty form to ask with; `start` puts values in to begin with."""
    return Form(now_ms=current_bench().now_ms(), zone_min=current_bench().zone_min(), start=start | typed_again())
