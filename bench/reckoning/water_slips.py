"""How water is written wrongly in a formula: a blank, a comma or an x for the dot, an open count, a count before it."""

import re
from fractions import Fraction
from typing import Final

from bench.science.formula_reader import HEAD
from bench.science.formulas import parse, parsed
from bench.science.refusal import Refusal
from bench.translation import _

DOT: Final = r"[*·•∙⋅∗×]"
WATER: Final = r"(?:[0-9]+(?:\.[0-9]+)?|[0-9]+/[0-9]+|[½¼¾])?H[2₂]O"
INSTEAD_OF_DOT: Final = re.compile(rf"(?P<dry>.*?[^\s*·•∙⋅∗×.,+])(?P<sign>\s*[xX]\s*|\s+|\s*,\s*)(?P<water>{WATER})")
OPEN: Final = re.compile(rf"(?P<dry>.*?[^\s*·•∙⋅∗×.])(?:\s*{DOT}|\.|\s)\s*(?:[xXnN]|\([xXnN]\))\s*H[2₂]O")
COUNTED: Final = re.compile(rf"(?P<dry>[^*·•∙⋅∗×+]+?)\s*{DOT}\s*(?P<water>{WATER})")
SIGNS: Final = {"x": _("The x"), "": _("The space"), ",": _("The comma")}


def refuse_water(text: str, field: str | None = None) -> None:
    """Refuses a formula whose water is open or written beside the dot, and says what to type."""
    open_ = OPEN.fullmatch(text)
    if open_ is not None and parsed(open_["dry"]) is not None:
        say = _(
            "How much water {text} holds is open. Type the count on the label, such as {open}*1H2O. If "
            "the label has none: weigh, dry and weigh again.",
            text=text,
            open=open_["dry"],
        )
        raise Refusal(say, field)
    found = INSTEAD_OF_DOT.fullmatch(text)
    if found is not None and parsed(found["dry"]) is not None:
        sign = SIGNS[found["sign"].strip().casefold()]
        meant = f"{found['dry']}*{found['water']}"
        raise Refusal(
            _("{sign} in {text} does not count as a dot. Is it {meant}?", sign=sign, text=text, meant=meant),
            field,
            (meant,),
        )


def counted_before(text: str) -> tuple[str, str, str] | None:
    """For a count before a hydrate, such as 2CuSO4*5H2O: the compound alone with all the water, as it is read; the
    hydrate that may be meant; and the count. None where no count stands there.
    """
    found = COUNTED.fullmatch(text)
    head = HEAD.match(text)
    if found is None or head is None or parsed(found["dry"]) is None:
        return None
    dry = found["dry"][head.end() :].strip()
    count = head.group()
    if not dry or parse(f"{count}H2O").counts["O"] == 1:
        return None
    return _alone(dry, count, found["water"]), f"{dry}*{found['water']}", count


def _alone(dry: str, count: str, water: str) -> str:
    """One of the compound with the share of the water that is its own: 2CuSO4*5H2O is CuSO4*2.5H2O."""
    share = parse(water).counts["O"] / parse(f"{count}H2O").counts["O"]
    return f"{dry}*{_written(share)}H2O"


def _written(share: Fraction) -> str:
    return f"{float(share):g}" if share == Fraction(f"{float(share):g}") else f"{share.numerator}/{share.denominator}"


def refuse_count(text: str, field: str | None = None) -> None:
    """Refuses a count before a hydrate: it may count the hydrate, or only what stands before the dot."""
    found = counted_before(text)
    if found is not None:
        alone, hydrate, count = found
        raise Refusal(
            _(
                "Does the {count} in {text} count all of it? Then type {hydrate}. If it counts only what "
                "is before the dot, type {alone}.",
                count=count,
                text=text,
                hydrate=hydrate,
                alone=alone,
            ),
            field,
            (hydrate, alone),
        )
