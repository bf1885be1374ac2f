"""Text that passes through a workbook unharmed: control characters in the standard's own spelling."""

from __future__ import annotations

import re

# ECMA-376 part 1, 22.9.2.19 (ST_Xstring): what XML cannot carry is written _xHHHH_, and text that looks like
# that has its underscore written so. A carriage return would come back as a newline from any XML reader.
_CANNOT_STAND = re.compile("[\x00-\x08\x0b-\x1f\ufffe\uffff]|_(?=x[0-9A-Fa-f]{4}_)")
_WRITTEN_OUT = re.compile(r"_x([0-9A-Fa-f]{4})_")


def text_for_sheet(text: str) -> str:
    """The text as a workbook's cell has to spell it."""
    return _CANNOT_STAND.sub(lambda found: f"_x{ord(found.group()):04X}_", text)


def text_from_sheet(text: str) -> str:
    """The text a workbook's cell spells."""
    return _WRITTEN_OUT.sub(lambda found: chr(int(found.group(1), 16)), text) if "_x" in text else text
