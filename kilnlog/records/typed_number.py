"""A number as an operator types it, read exactly or refused with the reason; never guessed at.

Both marks are in use the world over, and the same text means a thousandfold more under one habit than under
the other. So a text that reads under both is asked about, and a text that reads under the other habit only is
refused: the operator who typed it expects something of the field that it does not do.
"""

from __future__ import annotations

import re
from decimal import Decimal

from kilnlog.records.errors import AmbiguousNumber, UnreadableNumber

#: Blanks that group thousands: ordinary, no-break, thin, narrow no-break, figure space.
GROUP_BLANKS = " \u00a0\u2009\u202f\u2007"

#: More digits than this are a key held down, not a reading; fifteen still pass through a float unharmed.
MOST_DIGITS = 15
_MOST_CHARACTERS = 40

_MINUS = "-\u2212"
_BLANK_GROUPS = re.compile(
    rf"[1-9]\d{{0,2}}(?P<blank>[{GROUP_BLANKS}])\d{{3}}(?:(?P=blank)\d{{3}})*", re.ASCII
)
_WORDS = {"nan": "not-a-number", "inf": "infinite", "infinity": "infinite", "∞": "infinite"}
_EXPONENT = re.compile(r"[\d.,]+[eE][+-]?\d+", re.ASCII)


def number_from_text(text: str, *, decimal_mark: str = ".", negative: bool = False) -> Decimal:
    """Read a typed number exactly.

    Args:
        text: What was typed; blanks around it do not count. Thousands may be grouped by the mark that is not
            the decimal mark or by one kind of blank, in threes throughout.
        decimal_mark: ``.`` or ``,``: what separates the decimals here; a locale that has another mark still
            types a point with these digits.
        negative: Whether the field can hold a number below zero (a temperature, an altitude).

    Raises:
        AmbiguousNumber: It reads as thousands and as decimals (``2,989`` where the mark is ``.``). Its
            ``readings`` are plain: decimals after ``.``, no grouping.
        UnreadableNumber: Its ``why`` is one of

            - ``blank``: nothing typed;
            - ``long``: over 15 digits or 40 characters;
            - ``foreign-digits``: digits other than 0 to 9 (full-width, superscript, fractions);
            - ``not-a-number``, ``infinite``: the words for those;
            - ``underscore``, ``exponent``: a program's way of writing (``1_000``, ``1e3``);
            - ``negative``: below zero where that cannot be;
            - ``plus``: a leading plus sign;
            - ``characters``: anything else that does not belong in a number;
            - ``no-digits``: marks only;
            - ``grouping``: thousands not grouped in threes, or marks in no known order;
            - ``other-mark``: reads only with the other decimal mark (``2,98`` where the mark is ``.``).
    """
    mark, other = marks(decimal_mark)
    typed = text.strip()
    digits = typed
    _refuse_what_is_no_number(typed)
    below_zero = typed[0] in _MINUS
    if below_zero:
        if not negative:
            raise UnreadableNumber(typed=typed, why="negative")
        digits = typed[1:]
    _refuse_characters(typed, digits)
    here = _plain(digits, mark, other)
    elsewhere = _plain(digits, other, mark) if other in digits else None
    if here is not None and elsewhere is not None and Decimal(here) != Decimal(elsewhere):
        sign = "-" if below_zero else ""
        raise AmbiguousNumber(typed=typed, readings=(sign + here, sign + elsewhere))
    if here is None:
        if elsewhere is None:
            raise UnreadableNumber(typed=typed, why="grouping")
        raise UnreadableNumber(typed=typed, why="other-mark", mark=mark)
    number = Decimal(here)
    return -number if below_zero else number


def marks(decimal_mark: str) -> tuple[str, str]:
    """The decimal mark in force and the other one."""
    return (",", ".") if decimal_mark == "," else (".", ",")


def _refuse_what_is_no_number(typed: str) -> None:
    """Name what is wrong, most telling first, before any reading is tried."""
    if not typed:
        raise UnreadableNumber(typed=typed, why="blank")
    if len(typed) > _MOST_CHARACTERS or sum(character.isdigit() for character in typed) > MOST_DIGITS:
        raise UnreadableNumber(typed=typed[:_MOST_CHARACTERS], why="long")
    if any(character.isnumeric() and not character.isascii() for character in typed):
        raise UnreadableNumber(typed=typed, why="foreign-digits")
    if (word := _WORDS.get(typed.lstrip("+" + _MINUS).lower())) is not None:
        raise UnreadableNumber(typed=typed, why=word)
    if "_" in typed:
        raise UnreadableNumber(typed=typed, why="underscore")
    if _EXPONENT.fullmatch(typed.lstrip("+" + _MINUS)):
        raise UnreadableNumber(typed=typed, why="exponent")
    if typed[0] == "+":
        raise UnreadableNumber(typed=typed, why="plus")


def _refuse_characters(typed: str, digits: str) -> None:
    if any(character not in "0123456789.," + GROUP_BLANKS for character in digits):
        raise UnreadableNumber(typed=typed, why="characters")
    if not any(character.isdigit() for character in digits):
        raise UnreadableNumber(typed=typed, why="no-digits")


def _plain(digits: str, decimal: str, group: str) -> str | None:
    """The reading with these marks, written plainly (``1842.50``); None where there is none."""
    whole, mark, decimals = digits.partition(decimal)
    if (mark and decimals and not decimals.isdigit()) or not (whole or decimals):
        return None
    if group in whole:
        if not re.fullmatch(rf"[1-9]\d{{0,2}}(?:{re.escape(group)}\d{{3}})+", whole, re.ASCII):
            return None
        whole = whole.replace(group, "")
    elif whole and not whole.isdigit():
        if not _BLANK_GROUPS.fullmatch(whole):
            return None
        whole = "".join(character for character in whole if character.isdigit())
    return (whole or "0") + (f".{decimals}" if decimals else "")
