"""What print says of drying defects: why they come, and what to do in the next charge."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from kilnlog.reference.reading import rows_of
from kilnlog.reference.rows import Standing


@dataclass(frozen=True, slots=True)
class Said:
    """One statement, with where it is from and how firmly it stands."""

    text: str
    source: str
    standing: Standing


@dataclass(frozen=True, slots=True)
class DefectLore:
    """What is known of one defect."""

    cause: Said
    next_time: Said


@lru_cache(maxsize=1)
def defect_lore() -> Mapping[str, DefectLore]:
    """By the defect's word, and by the words of a stress test that found any; none for ``other``."""
    said: dict[str, dict[str, Said]] = {}
    for row in rows_of("defect_causes"):
        told = Said(row["text"], row["source"], Standing(row["standing"]))
        said.setdefault(row["defect"], {})[row["tells"]] = told
    return MappingProxyType(
        {defect: DefectLore(told["cause"], told["next time"]) for defect, told in said.items()}
    )
