"""What can go wrong with a logbook file, as codes and values; worded by ``kilnlog.logbook.wording``.

Every one of them leaves the file as it was. Paths are ``str``.
"""

from kilnlog.records.errors import KilnlogError


class NotALogbook(KilnlogError):
    """The file is something else.

    Values: path; why: ``folder``, ``empty``, ``other-program`` (a database of another program) or
    ``not-a-database``.
    """

    code = "not-a-logbook"


class NewerLogbook(KilnlogError):
    """A newer kilnlog wrote the file. Values: path, schema (the file's, int), known (ours, int)."""

    code = "newer-logbook"


class DamagedLogbook(KilnlogError):
    """Pages of the file, or the rules kept in it, are not what kilnlog wrote.

    Values: path; why: ``pages`` or ``schema``; detail (str, what the check said, may be empty).
    As ``why_read_only`` it means that the file can still be read.
    """

    code = "damaged-logbook"


class ReadOnlyLogbook(KilnlogError):
    """The file can be read but not written.

    Values: path; why: ``asked`` (opened for reading), ``file`` (the file is write-protected), ``folder``
    (nothing can be made in its folder), ``new-file`` (nor can this file, which is not there yet) or
    ``unfinished-write`` (a write was cut off earlier and cannot be undone because file or folder is
    write-protected: then it cannot be read either).
    """

    code = "read-only-logbook"


class LockedLogbook(KilnlogError):
    """Somebody else has the file.

    Values: path; why: ``writing`` (another window or command has it open for writing) or ``busy`` (another
    program held it for longer than the waiting time; trying again may do).
    """

    code = "locked-logbook"


class NoAccess(KilnlogError):
    """The file may not be read by this user. Values: path."""

    code = "no-access"


class DiskFull(KilnlogError):
    """There is no room left on the disk. Values: path."""

    code = "disk-full"


class DiskFailed(KilnlogError):
    """The disk refused to read or write: pulled out, worn, or a size limit. Values: path, detail (str)."""

    code = "disk-failed"


class MissingLogbook(KilnlogError):
    """There is no file of that name. Values: path."""

    code = "missing-logbook"


class MissingFolder(KilnlogError):
    """The folder a file should be made in does not exist. Values: path (the folder)."""

    code = "missing-folder"


class AlreadyExists(KilnlogError):
    """A file of that name is already there and is left alone. Values: path."""

    code = "already-exists"


class BackupDiffers(KilnlogError):
    """The copy did not pass its check and was thrown away. Values: path; misfit (why of the first one)."""

    code = "backup-differs"


class ChargeClosed(KilnlogError):
    """A closed charge takes no further rows but later notes. Values: charge (its number)."""

    code = "charge-closed"


class LotClosed(KilnlogError):
    """A lot closed before its charge takes no further rows, nor do its boards.

    Values: charge (its number), lot (its label).
    """

    code = "lot-closed"


class AlreadySuperseded(KilnlogError):
    """The row to be corrected, changed or taken back has a successor already. Values: table."""

    code = "already-superseded"


class NameTaken(KilnlogError):
    """Another current row carries that name.

    Values: table; name (str: the charge's number, the board's label, ``T8 step 2``...).
    """

    code = "name-taken"


class HasCurrentChildren(KilnlogError):
    """A row cannot be taken back while others rest on it.

    Values: table; name (str, its own name); children (the table of those that refer to it).
    """

    code = "has-current-children"


class RefusedByRecord(KilnlogError):
    """A rule of the record that the program should have kept by itself: mostly a defect, or a faulty import.

    Values: table; why, one of
    ``row-stays`` (an attempt to alter or remove a row), ``uid-taken`` (the row is already there),
    ``wrong-first`` (version, entity and supersedes contradict one another), ``no-predecessor``,
    ``other-entity``, ``other-charge`` (a successor must stay with its predecessor's), ``taken-back``
    (nothing succeeds a row taken back), ``no-reason``, ``no-such-<table>`` (a reference to nothing, or into
    another charge), ``taken-back-<table>`` (a reference to a row taken back), ``replaces-itself``,
    ``unstorable-text`` (characters no file can keep), of a closing ``not-closed`` (a reopening of what is
    open), ``closing-stays`` (it is reopened, not corrected or taken back), ``other-lot`` (a successor must
    stay with its predecessor's), ``closed-before`` (it was reopened since: close that again), of a logger's
    batch ``no-readings``, ``other-readings`` (a successor keeps those of the first version),
    ``batch-complete`` (days come before their batch), ``days-not-rising``, ``readings-not-rising``,
    ``other-day`` (a reading outside its day of UTC), ``unreadable-readings``, ``nothing-read`` (neither
    number), ``unknown-second`` (the batch does not say what the second number is), ``reading-twice`` (the
    sensor has a reading at that instant already), then
    ``ledger-not-dense``, ``one-logbook``, or the words of
    a check in the file (``oven_dry_weight: not above wet_weight``).
    """

    code = "refused-by-record"


#: The reasons of ``RefusedByRecord`` that lie in the readings of a logger's batch.
READINGS_REFUSED = frozenset(
    {
        "no-readings",
        "days-not-rising",
        "readings-not-rising",
        "other-day",
        "unreadable-readings",
        "nothing-read",
        "unknown-second",
        "reading-twice",
    }
)
