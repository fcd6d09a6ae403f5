"""CAS numbers: their shape and check digit."""

import re


def cas_holds(number: str) -> bool:
    """Whether a CAS number has the right shape and check digit.

    The digits before the last are weighted 1, 2, 3 … from the right; the last digit is the sum modulo 10 (CAS
    Registry).
    """
    if not re.fullmatch(r"[1-9]\d{1,6}-\d\d-\d", number):
        return False
    digits = number.replace("-", "")
    total = sum(place * int(digit) for place, digit in enumerate(reversed(digits[:-1]), start=1))
    return total % 10 == int(digits[-1])
