"""How one fact points to another: by the uid of its first version."""

from dataclasses import dataclass
from typing import Annotated


@dataclass(frozen=True, slots=True)
class RefersTo:
    """Marks a field that holds the entity uid of a row in ``table`` (the singular name of the fact)."""

    table: str


KilnRef = Annotated[str, RefersTo("kiln")]
InstrumentRef = Annotated[str, RefersTo("instrument")]
ChargeRef = Annotated[str, RefersTo("charge")]
LotRef = Annotated[str, RefersTo("lot")]
BoardRef = Annotated[str, RefersTo("board")]
SectionRef = Annotated[str, RefersTo("section")]
