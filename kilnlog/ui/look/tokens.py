"""Every colour of the window, light and dark. No other file names a colour.

``tests/ui/test_tokens.py`` works out the contrast of every pairing and how far apart the boards' hues are.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from PySide6.QtGui import QColor


@dataclass(frozen=True, slots=True)
class Tokens:
    """One set of colours, as ``#RRGGBB``. ``pencil`` is for computed figures and nothing else."""

    mode: str  # light, dark
    desk: str  # behind the pages
    sheet: str  # a page
    sheet2: str  # a sealed page; under the pointer
    field: str  # inside an entry field
    chosen: str  # the line in hand
    rule: str  # hairlines, grid
    margin: str  # the margin line
    edge: str  # borders of fields and buttons, axes
    ink: str  # typed text and figures, titles
    ink2: str  # labels, older typed figures, notes
    pencil: str  # computed figures
    cloth: str  # strip and menu row, main buttons
    cloth2: str  # under the pointer on cloth
    on_cloth: str
    on_cloth2: str  # labels on cloth
    act_on: str  # finding marks on cloth
    look_on: str
    note_on: str
    focus: str  # focus ring, "here" mark
    act: str
    act_bg: str
    look: str
    look_bg: str
    note: str
    done: str  # kept, passed
    now: str  # the present moment, the chosen filter
    s1: str  # boards on the curve
    s2: str
    s3: str
    s4: str
    s5: str
    s6: str
    dry: str
    wet: str
    band: str  # forecast
    step_b: str  # every second step of a schedule

    def colour(self, name: str) -> QColor:
        """The colour of that name."""
        return _colour(getattr(self, name))

    @property
    def boards(self) -> tuple[str, ...]:
        """The hues of boards 1 to 6; later boards take them again with other markers and dashes."""
        return (self.s1, self.s2, self.s3, self.s4, self.s5, self.s6)


@lru_cache(maxsize=256)
def _colour(text: str) -> QColor:
    return QColor(text)


LIGHT = Tokens(
    mode="light",
    desk="#E9E4D8",
    sheet="#FBF9F3",
    sheet2="#F2EEE3",
    field="#FFFFFF",
    chosen="#E6ECEA",
    rule="#DDD6C7",
    margin="#D3A79C",
    edge="#857C6C",
    ink="#211F1A",
    ink2="#5B5548",
    pencil="#1D4E6B",
    cloth="#21403B",
    cloth2="#2F524C",
    on_cloth="#F5F1E6",
    on_cloth2="#BFD0C9",
    act_on="#FFB0A6",
    look_on="#F2C46B",
    note_on="#BFD0C9",
    focus="#1264B3",
    act="#A3182B",
    act_bg="#F8E7E4",
    look="#855600",
    look_bg="#F8EFD9",
    note="#44606B",
    done="#2C6A3D",
    now="#AE4C0C",
    s1="#0F3756",
    s2="#BF4C00",
    s3="#006B4B",
    s4="#AF7594",
    s5="#553500",
    s6="#0090C8",
    dry="#9A3A2C",
    wet="#1B6AA5",
    band="#D8D2C4",
    step_b="#F3EFE5",
)

DARK = Tokens(
    mode="dark",
    desk="#141716",
    sheet="#1D2120",
    sheet2="#262B29",
    field="#101312",
    chosen="#27332F",
    rule="#353C39",
    margin="#7A4F46",
    edge="#7E8A84",
    ink="#EEE9DC",
    ink2="#B5B2A6",
    pencil="#A2CCE8",
    cloth="#17352F",
    cloth2="#24473F",
    on_cloth="#F3EFE3",
    on_cloth2="#B4C8C0",
    act_on="#FFB0A6",
    look_on="#F2C46B",
    note_on="#B4C8C0",
    focus="#86C1FA",
    act="#FF9C92",
    act_bg="#3A2322",
    look="#EFBF62",
    look_bg="#352C19",
    note="#A5C3CE",
    done="#93CD9F",
    now="#F2A65A",
    s1="#4B89C2",
    s2="#C3713E",
    s3="#7DECBF",
    s4="#A37A90",
    s5="#FFCC84",
    s6="#9FC4DF",
    dry="#F0A08F",
    wet="#6DB4E8",
    band="#3A4340",
    step_b="#222726",
)

TOKENS: dict[str, Tokens] = {"light": LIGHT, "dark": DARK}
