"""What stands in the fields of a typed line, read field by field; a refusal names the field it is about."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from decimal import Decimal
from enum import StrEnum
from typing import TypeVar

from kilnlog.records.errors import KilnlogError, MissingValue, OutOfRange, UnknownWord, UnreadableNumber
from kilnlog.records.typed_number import number_from_text

W = TypeVar("W", bound=StrEnum)
T = TypeVar("T")

#: Beyond it no count of pieces, no size and no volume is meant.
MOST = 1_000_000.0

_WITH_UNIT = re.compile(r"(?P<number>[^A-Za-z%µ'\"′″]*?)\s*(?P<unit>[A-Za-z%µ'\"′″].*)", re.ASCII)


class TypedLine:
    """The texts of one line by the column they fill. Every refusal carries ``column``."""

    def __init__(self, texts: Mapping[str, str], decimal_mark: str) -> None:
        self._texts = texts
        self.decimal_mark = decimal_mark

    def text(self, column: str) -> str | None:
        """The text without blanks around it; None where empty."""
        return self._texts.get(column, "").strip() or None

    def needed(self, column: str) -> str:
        """The same, refused where empty."""
        text = self.text(column)
        if text is None:
            raise MissingValue(column=column)
        return text

    def word(self, column: str, words: type[W]) -> W | None:
        """One of a few words, or its first letters where they leave no doubt."""
        text = self.text(column)
        if text is None:
            return None
        typed = text.casefold()
        found = [word for word in words if word.value.casefold() == typed]
        found = found or [word for word in words if word.value.casefold().startswith(typed)]
        if len(found) != 1:
            known = tuple(word.value for word in found or words)
            raise UnknownWord(column=column, value=text, known=known)
        return found[0]

    def needed_word(self, column: str, words: type[W]) -> W:
        """The same, refused where empty."""
        word = self.word(column, words)
        if word is None:
            raise MissingValue(column=column)
        return word

    def number(self, column: str, low: float = 0.0, high: float = MOST) -> float | None:
        """A number from ``low`` to ``high``."""
        text = self.text(column)
        return None if text is None else self._number(column, text, low, high)

    def count(self, column: str, least: int = 0) -> int | None:
        """Whole pieces."""
        value = self.number(column, least)
        if value is not None and value != int(value):
            raise UnreadableNumber(typed=self.text(column), why="whole", column=column)
        return None if value is None else int(value)

    def measure(self, column: str, low: float = 0.0, high: float = MOST) -> tuple[float | None, str | None]:
        """A number and the unit typed behind it, each None where there is none."""
        text = self.text(column)
        if text is None:
            return None, None
        found = _WITH_UNIT.fullmatch(text)
        if found is None or not found["number"].strip():
            return self._number(column, text, low, high), None
        return self._number(column, found["number"].strip(), low, high), found["unit"].strip()

    def read(self, column: str, reader: Callable[[str], T]) -> T | None:
        """Whatever a reader of text makes of it."""
        text = self.text(column)
        if text is None:
            return None
        try:
            return reader(text)
        except KilnlogError as error:
            error.values.setdefault("column", column)
            raise

    def _number(self, column: str, text: str, low: float, high: float) -> float:
        try:
            value = float(number_from_text(text, decimal_mark=self.decimal_mark, negative=low < 0))
        except KilnlogError as error:
            error.values.setdefault("column", column)
            raise
        if value == 0 < low < 1:  # any number above 0 will do
            raise UnreadableNumber(typed=text, why="zero", column=column)
        if not low <= value <= high:
            raise OutOfRange(column=column, value=text, low=low, high=high)
        return value


def plain(value: float | None, decimal_mark: str = ".") -> str:
    """A number as it would be typed: not grouped, which could be read in two ways; empty where there is none.

    >>> plain(1200.50, ",")
    '1200,5'
    """
    if value is None:
        return ""
    return format(Decimal(repr(float(value))).normalize(), "f").replace(".", decimal_mark)
