"""Refusals of files that come in and of files that go out: codes and values, worded elsewhere."""

from __future__ import annotations

from dataclasses import dataclass

from kilnlog.records.errors import KilnlogError


@dataclass(frozen=True)
class Problem:
    """One thing wrong with a source: where it stands, and the error that says what it is.

    Attributes:
        file: The file's name, or ``book.xlsx, sheet lots``.
        row: As a spreadsheet counts, the heading being row 1; None where it is about the whole file.
        column: The column's name; None where it is about the whole row or file.
        cause: What is wrong: of ``kilnlog.records.errors`` or of this module.
    """

    file: str
    row: int | None
    column: str | None
    cause: KilnlogError


class ImportRefused(KilnlogError):
    """Nothing was taken in. Values: file, row, column, why, those of the cause, problems.

    ``why`` is the cause's code. The first problem stands in the values; ``problems`` holds all that were
    noticed, at most ``MOST_PROBLEMS``.
    """

    code = "import-refused"

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        first = problems[0]
        super().__init__(
            **{
                **first.cause.values,
                "file": first.file,
                "row": first.row,
                "column": first.column,
                "why": first.cause.code,
                "problems": problems,
            }
        )
        self.problems = problems
        self.cause = first.cause

    @property
    def is_cut_off(self) -> bool:
        """Whether reading stopped at so many problems: there may be more."""
        return len(self.problems) >= MOST_PROBLEMS


#: More than this many problems tell of one mistake made throughout; the first ones show it.
MOST_PROBLEMS = 20


class SourceMissing(KilnlogError):
    """There is nothing at that path. Values: path, why (``logger`` where a logger's file was to be there)."""

    code = "source-missing"


class SourceUnknown(KilnlogError):
    """The path is neither a folder nor a workbook (.xlsx). Values: path."""

    code = "source-unknown"


class SourceUnreadable(KilnlogError):
    """The system or the file's own damage keeps it from being read. Values: path, why."""

    code = "source-unreadable"


class SourceEmpty(KilnlogError):
    """The folder or workbook holds none of our tables. Values: path, known (tuple of table names)."""

    code = "source-empty"


class UnknownTable(KilnlogError):
    """A file or sheet is none of our tables. Values: table, known (tuple)."""

    code = "unknown-table"


class TableNotCsv(KilnlogError):
    """A table lies in the folder in another form than CSV. Values: table, path."""

    code = "table-not-csv"


class TableTwice(KilnlogError):
    """One table stands there twice (``Lots.csv`` beside ``lots.csv``). Values: table."""

    code = "table-twice"


class NotUtf8(KilnlogError):
    """The file is not UTF-8 text. No values."""

    code = "not-utf8"


class BrokenCsv(KilnlogError):
    """Quotes that never close or stand where none may. Values: detail."""

    code = "broken-csv"


class MixedSeparators(KilnlogError):
    """The heading row holds more than one of comma, semicolon and tab. Values: found (tuple)."""

    code = "mixed-separators"


class NoHeading(KilnlogError):
    """The file has no heading row. No values."""

    code = "no-heading"


class ColumnTwice(KilnlogError):
    """A heading stands there twice. Values: name."""

    code = "column-twice"


class ColumnUnnamed(KilnlogError):
    """A cell is filled where the heading row names no column. Values: typed."""

    code = "column-unnamed"


class UnknownColumn(KilnlogError):
    """The table has no column of that name. Values: name, table, known (tuple)."""

    code = "unknown-column"


class MissingColumn(KilnlogError):
    """A column the table cannot do without is not there. Values: name, table."""

    code = "missing-column"


class FormulaWithoutValue(KilnlogError):
    """A cell holds a formula nobody has worked out yet, or an error. Values: typed, why (error / None)."""

    code = "formula-without-value"


class TurnedIntoDate(KilnlogError):
    """The spreadsheet made a date of something that is none (thickness 4/4). Values: typed."""

    code = "turned-into-date"


class UnstorableText(KilnlogError):
    """The text holds what no logbook can keep: a NUL, or half of a character. No values."""

    code = "unstorable-text"


class NotYesOrNo(KilnlogError):
    """A yes/no column holds another word. Values: typed."""

    code = "not-yes-or-no"


class NotWhole(KilnlogError):
    """A column that counts holds a broken number. Values: typed."""

    code = "not-whole"


class UnknownName(KilnlogError):
    """A row refers to something nobody declared.

    Values: what (kiln / charge / lot / board / section), name, known (tuple of names beside it).
    """

    code = "unknown-name"


class TakenBackName(KilnlogError):
    """A row refers to something that was taken back. Values: what, name."""

    code = "taken-back-name"


class NameTwice(KilnlogError):
    """Two rows declare the same thing, or repeat the same observation.

    Values: what, name ("" for an observation), first_row (None where the first stands in the logbook), why:
    ``row`` (an observation), ``row-in-logbook``, ``in-logbook`` or None.
    """

    code = "name-twice"


class ChargeExists(KilnlogError):
    """The logbook holds a charge of that number; the row does not know its uid. Values: charge."""

    code = "charge-exists"


class ExistsDifferently(KilnlogError):
    """The logbook holds this name with other particulars. Values: what, name, differs (tuple of columns)."""

    code = "exists-differently"


class UidDiffers(KilnlogError):
    """The logbook holds a row of this uid, but another one. Values: uid, differs (tuple of columns)."""

    code = "uid-differs"


class UidTwice(KilnlogError):
    """Two rows of the source carry the same uid. Values: uid, first_row."""

    code = "uid-twice"


class UnknownUid(KilnlogError):
    """A uid that no row of this table carries. Values: uid."""

    code = "unknown-uid"


class SucceededTwice(KilnlogError):
    """Two rows succeed the same row, or one succeeds itself or what was taken back. Values: uid, why."""

    code = "succeeded-twice"


class VersionUnclear(KilnlogError):
    """``version`` and ``supersedes`` do not go together. Values: version, supersedes."""

    code = "version-unclear"


class MovedCharge(KilnlogError):
    """A row succeeds one of another charge. Values: uid."""

    code = "moved-charge"


class ReplacesItself(KilnlogError):
    """A board is said to replace itself. Values: name."""

    code = "replaces-itself"


class ClosedChargeGrows(KilnlogError):
    """The charge is closed in the logbook: no row may join it. Values: charge."""

    code = "closed-charge-grows"


class ClosedTwice(KilnlogError):
    """A charge, or a lot of it, is closed by two of its rows. Values: charge."""

    code = "closed-twice"


class ClosedLotGrows(KilnlogError):
    """The lot is closed in the logbook: no row may join it or its boards. Values: charge, lot."""

    code = "closed-lot-grows"


class ClosingOutOfTurn(KilnlogError):
    """A charge or lot is closed, reopened and closed again in turn. Values: charge, why.

    why: ``not-closed`` (a reopening that follows no closing), ``not-reopened`` (a closing that follows one),
    ``stays`` (a closing corrected or taken back), ``sealed`` (a reopening with a seal), ``other-lot``.
    """

    code = "closing-out-of-turn"


class NoOrder(KilnlogError):
    """The rows lean on each other in a circle: each would have to be written first. No values."""

    code = "no-order"


class LimitsReversed(KilnlogError):
    """The lower limit lies above the upper. Values: low, high."""

    code = "limits-reversed"


class TextTooLong(KilnlogError):
    """A workbook cell cannot hold the text. Values: table, column, length, most."""

    code = "text-too-long"


class WriteFailed(KilnlogError):
    """The file could not be written; nothing is left of it.

    Values: path, why (disk-full / not-allowed / no-folder / other), detail.
    """

    code = "write-failed"


class WriteCancelled(KilnlogError):
    """Stopped on request; nothing is left of the file. Values: path."""

    code = "write-cancelled"


class UnknownOwner(KilnlogError):
    """No lot belongs to that owner. Values: owner, known_owners (tuple), charge (the one asked for)."""

    code = "unknown-owner"


class ReadingsDiffer(KilnlogError):
    """The readings of a logger batch are not those its row tells of.

    Values: sensor, file_name, batch (uid).
    """

    code = "readings-differ"
