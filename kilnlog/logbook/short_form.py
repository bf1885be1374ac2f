"""The short form of a seal: few enough letters to be printed on a page and typed from it."""

from __future__ import annotations

import re
from hashlib import sha256

#: Digits and letters that are not taken for one another, in the order of their value.
LETTERS = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"
_BITS_A_LETTER, _LENGTH, _GROUP = 5, 12, 4


def short_form(sealed_text: str) -> str:
    """The first 60 bits of the text's SHA-256 as UTF-8, five to a letter, in three groups of four.

    >>> short_form("")
    'WGSE-AJNS-ZJG3'
    """
    first = int.from_bytes(sha256(sealed_text.encode()).digest()[:8], "big")
    number = first >> (64 - _BITS_A_LETTER * _LENGTH)
    letters = "".join(
        LETTERS[number >> _BITS_A_LETTER * place & (len(LETTERS) - 1)] for place in reversed(range(_LENGTH))
    )
    return "-".join(letters[at : at + _GROUP] for at in range(0, _LENGTH, _GROUP))


def typed_short_form(text: str) -> str | None:
    """A short form as somebody typed it, whatever stands between its letters; None where it is none.

    >>> typed_short_form("7qd4 m2xh 9ktb")
    '7QD4-M2XH-9KTB'
    """
    letters = re.sub(r"[\s–−-]", "", text).upper()
    if len(letters) != _LENGTH or not set(letters) <= set(LETTERS):
        return None
    return "-".join(letters[at : at + _GROUP] for at in range(0, _LENGTH, _GROUP))
