"""Columns of the files and the tables they make up."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, StrEnum, auto


class Holds(Enum):
    """What the cells of a column hold."""

    NAME = auto()  # text that other rows refer to: blanks around it do not count
    TEXT = auto()
    MEASURE = auto()  # text that a spreadsheet may mistake for a date: 4/4
    NUMBER = auto()
    COUNT = auto()
    WORD = auto()
    YES_NO = auto()
    MOMENT = auto()
    WEIGHT = auto()
    REFERENCE = auto()
    LONG = auto()  # text that may go on in further columns: name_2, name_3


class Part(Enum):
    """Which part of a row a column belongs to."""

    FACT = auto()
    OBSERVED = auto()  # when it was observed
    UNIT = auto()  # the unit of the row's weights
    CLOSING = auto()  # what a charge's row says of its closing


@dataclass(frozen=True)
class Column:
    """One column. ``low`` and ``high`` may be reached, ``above`` may not.

    The bounds are those of what is possible at all, the same that the logbook file keeps.
    """

    name: str
    holds: Holds
    required: bool = False
    words: type[StrEnum] | None = None
    low: float | None = None
    high: float | None = None
    above: float | None = None
    refers_to: str | None = None
    blank: str | None = None  # what an empty cell stands for
    day_will_do: bool = False  # a moment may be given as a date alone
    part: Part = Part.FACT
    fills: str | None = None  # the field of the fact, where that has another name

    @property
    def field(self) -> str:
        """The field of the fact that the column fills."""
        return self.fills or self.name


@dataclass(frozen=True)
class FileTable:
    """One table of the files.

    Attributes:
        name: Of the file or sheet.
        table: Of the facts, as in ``kilnlog.records.facts``.
        columns: In the order they are written.
        keys: The columns that tell one thing from another among those that count now; empty for observations.
        what: What the last key names, for messages.
        reason_column: Where the reason of a version stands.
        versioned: Whether its rows are versions of facts.
        may_repeat: Whether two rows may say the same without being one row written twice.
    """

    name: str
    table: str
    columns: tuple[Column, ...]
    keys: tuple[str, ...] = ()
    what: str = ""
    reason_column: str = "reason"
    versioned: bool = True
    may_repeat: bool = False

    @property
    def belongs_to_charge(self) -> bool:
        """Whether its rows name a charge they belong to."""
        return self.columns[0].name == "charge" and self.name != "charges"

    @property
    def observed(self) -> Column:
        """The column that says when the fact was observed."""
        return next(column for column in self.columns if column.part is Part.OBSERVED)

    @property
    def weights(self) -> tuple[Column, ...]:
        """The columns that hold weights."""
        return tuple(column for column in self.columns if column.holds is Holds.WEIGHT)

    @property
    def references(self) -> tuple[Column, ...]:
        """The columns that name a row of another table."""
        return tuple(column for column in self.columns if column.holds is Holds.REFERENCE)

    def field_of(self, name: str) -> str:
        """The field of the fact that the column of that name fills."""
        return next((column.field for column in self.columns if column.name == name), name)

    @property
    def known_columns(self) -> tuple[str, ...]:
        """Every column a file may carry, in the order they are written."""
        own = [column.name for column in self.columns]
        if not self.versioned:
            return tuple(own)
        if not self.belongs_to_charge and self.name != "charges":
            own.append("zone")
        typed = [f"{column.name}_typed" for column in self.weights]
        uids = [f"{column.name}_uid" for column in self.references]
        return (*own, *typed, *uids, *VERSION_COLUMNS[:3], self.reason_column, *VERSION_COLUMNS[3:])


#: What any table may carry about the version its row is; the reason stands before ``entered_at``.
VERSION_COLUMNS = ("uid", "supersedes", "version", "entered_at", "entered_by")


def name_column(name: str) -> Column:
    """A column of names other rows may refer to."""
    return Column(name, Holds.NAME, required=True)


def text_column(name: str, part: Part = Part.FACT) -> Column:
    """A column of text."""
    return Column(name, Holds.TEXT, part=part)


def number_column(
    name: str, *, low: float | None = None, high: float | None = None, above: float | None = None
) -> Column:
    """A column of numbers."""
    return Column(name, Holds.NUMBER, low=low, high=high, above=above)


def mc_column(name: str) -> Column:
    """A column of moisture contents [%]."""
    return Column(name, Holds.NUMBER, low=0, high=1000)


def word_column(name: str, words: type[StrEnum], *, required: bool = False) -> Column:
    """A column of one of a few words."""
    return Column(name, Holds.WORD, words=words, required=required)


def moment_column(name: str, *, day_will_do: bool = False) -> Column:
    """A column of moments."""
    return Column(name, Holds.MOMENT, day_will_do=day_will_do)


def observed_column(name: str, *, required: bool = True) -> Column:
    """The column that says when the fact was observed."""
    return Column(name, Holds.MOMENT, required=required, part=Part.OBSERVED)


def weight_column(name: str, *, required: bool = False) -> Column:
    """A column of weights."""
    return Column(name, Holds.WEIGHT, required=required)


def refers_column(name: str, to: str, *, required: bool = True) -> Column:
    """A column that names a row of another table."""
    return Column(name, Holds.REFERENCE, required=required, refers_to=to)
