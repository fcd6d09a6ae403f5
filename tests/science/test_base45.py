"""Base45 against the examples of RFC 9285."""

import random

import pytest

from bench.science.base45 import decode, encode
from bench.science.refusal import Refusal


@pytest.mark.parametrize(
    ("data", "text"),
    # RFC 9285, sections 4.3 (encoding examples 1 to 3) and 4.4 (decoding example 1).
    [(b"AB", "BB8"), (b"Hello!!", "%69 VD92EX0"), (b"base-45", "UJCLQE7W581"), (b"ietf!", "QED8WEX0"), (b"", "")],
)
def test_the_examples_of_the_standard(data: bytes, text: str) -> None:
    assert encode(data) == text and decode(text) == data


def test_bytes_come_back() -> None:
    draw = random.Random(45)
    for size in range(1, 60):
        data = draw.randbytes(size)
        assert decode(encode(data)) == data
    assert decode("FGW") == b"\xff\xff"  # 15 + 16 · 45 + 32 · 2025 = 65535, the most that two bytes hold


@pytest.mark.parametrize("text", ["GGW", ":::", "::", "A", "BB8A", "ab8", "BB_", "BBÄ"])
def test_what_is_none_is_refused(text: str) -> None:
    with pytest.raises(Refusal):
        decode(text)
