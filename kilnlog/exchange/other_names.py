"""Finds the names of other owners in a text, written in full or in part."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

from kilnlog.records.owner_name import owner_key

_RUN = re.compile(r"[^\W\d_]+|\d+")
_HUMP = re.compile(r"(?<=[a-z])(?=[A-Z])")

#: A word of a name tells whose it is from so many letters on; so many stand for it inside a longer one.
_TELLING, _ANYWHERE = 4, 6

#: Words many a name shares, and any note on lumber uses.
_COMMON_WORDS = """
    and with from mill mills sawmill sawmills lumber timber timbers wood woods wooden woodwork woodworks
    woodworking woodworker woodworkers woodshop wooddesign joinery joiner joiners joinerys carpentry
    carpenter carpenters cabinet cabinets cabinetmaker cabinetmakers furniture floor floors flooring
    hardwood hardwoods softwood softwoods board boards plank planks stock kiln kilns drying dryer dry
    company corporation incorporated limited group holding partners works workshop workshops shop studio
    design designs craft crafts supply supplies trading trade sales store yard lumberyard builders building
    construction homes house farm farms forest forestry tree trees logging sons daughter daughters brother
    brothers bros sisters family mister misses school college county city town north south east west
    northern southern eastern western oaks maple cherry walnut hickory beech birch pine spruce larch cedar
    poplar chestnut mahogany alder linden basswood sycamore hornbeam pear apple plum
"""
_COMMON = frozenset(_COMMON_WORDS.split())


class OtherNames:
    """The names of owners a text must not tell of.

    A name is found as a whole, however it is written together, and by each of its words that tells whose it
    is: four letters or more that neither the trade uses nor the own name holds. Finding too much only leaves
    out a text; finding too little gives somebody away.

    Args:
        names: Of the other owners.
        own: The owner who is to read the text.
    """

    def __init__(self, names: Iterable[str], own: str) -> None:
        own_words = set(_words(own))
        self._wholes: set[tuple[str, ...]] = set()
        self._telling: set[str] = set()
        for name in names:
            if owner_key(name) == owner_key(own) or not (words := _words(name)):
                continue
            self._wholes.add(words)
            self._telling |= {
                word
                for word in words
                if len(word) >= _TELLING and word not in _COMMON and word not in own_words
            }

    def are_told_in(self, text: str | None) -> bool:
        """Whether the text names one of them."""
        if not text or not self._wholes:
            return False
        words = _words(text)
        if any(word.startswith(telling) for word in words for telling in self._telling):
            return True
        together = "".join(words)
        return any(
            _stands_in(whole, words) or (_can_stand_anywhere(whole) and "".join(whole) in together)
            for whole in self._wholes
        )


def _words(text: str) -> tuple[str, ...]:
    """The runs of letters and of digits, without capitals and accents."""
    apart = unicodedata.normalize("NFKD", _HUMP.sub(" ", unicodedata.normalize("NFKC", text)))
    plain = "".join(sign for sign in apart if unicodedata.category(sign) not in ("Mn", "Cf"))
    return tuple(_RUN.findall(unicodedata.normalize("NFKC", plain).casefold()))


def _stands_in(whole: tuple[str, ...], words: tuple[str, ...]) -> bool:
    length = len(whole)
    return any(words[start : start + length] == whole for start in range(len(words) - length + 1))


def _can_stand_anywhere(whole: tuple[str, ...]) -> bool:
    """Long names are found inside other words; so is any name in a script that divides no words."""
    name = "".join(whole)
    return len(name) >= _ANYWHERE or name.upper() == name.lower()
