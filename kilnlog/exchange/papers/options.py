"""How a paper is to be made: its size, the order of day and month, what it says of its seal."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

#: Territories whose offices print on Letter: paperSize in Unicode CLDR's measurement data (from memory).
_LETTER = frozenset(["BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"])
#: Territories that write the month before the day: the same data's date patterns (from memory).
_MONTH_FIRST = frozenset({"US"})


class PaperSize(Enum):
    """Width and height in points, 1/72 inch: ISO 216 A4 and ANSI Letter."""

    A4 = (595.276, 841.890)
    LETTER = (612.0, 792.0)


@dataclass(frozen=True, slots=True)
class PaperOptions:
    """What of a paper is not in its contents.

    Attributes:
        size: Of the sheet.
        month_first: "November 12, 2026" in place of "12 November 2026".
        short_form: Of the seal, in three groups; None where there is none.
        not_verified: The sealed text no longer fits its seal, and the paper must say so.
        made_at: When an open charge was looked at, ISO 8601 with offset; a seal has its own moment.
        piece_by_piece: Whether a table of all pieces follows, also where the dots show every one.
    """

    size: PaperSize = PaperSize.A4
    month_first: bool = False
    short_form: str | None = None
    not_verified: bool = False
    made_at: str | None = None
    piece_by_piece: bool = False

    @classmethod
    def of_locale(
        cls, locale: str, *, short_form: str | None = None, made_at: str | None = None
    ) -> PaperOptions:
        """As is usual where ``locale`` (``en_US``, ``de-AT``) is spoken; A4 and day first for ``C``."""
        parts = locale.replace("-", "_").split(".")[0].split("_")
        land = next((part for part in parts[1:] if len(part) == 2 and part.isupper()), "")
        size = PaperSize.LETTER if land in _LETTER else PaperSize.A4
        return cls(size, land in _MONTH_FIRST, short_form=short_form, made_at=made_at)


@dataclass(frozen=True, slots=True)
class Printed:
    """A finished paper.

    Attributes:
        pdf: The file's bytes; the same for the same contents and options.
        pages: How many sheets.
        replaced: Letters that no face has, printed as □; the paper says so at its foot.
        unjoined: Letters that should be joined by a script's rules, printed one by one.
    """

    pdf: bytes
    pages: int
    replaced: tuple[str, ...] = ()
    unjoined: tuple[str, ...] = ()
