"""What the errors of the logbook file, and of files coming in and going out, say."""

from __future__ import annotations

from collections.abc import Mapping

_TRY_BACKUP = "Keep the file as it is, and go on with a backup."

_LOGBOOK_ERRORS: Mapping[str, tuple[str, str]] = {
    "not-a-logbook": ("{path} is not a logbook of kilnlog.", "Choose another file; nothing was changed."),
    "not-a-logbook: folder": ("{path} is a folder.", "Choose the logbook file in it."),
    "not-a-logbook: empty": ("{path} is empty.", "Choose another file, or a backup of this one."),
    "not-a-logbook: other-program": (
        "{path} was made by another program.",
        "Choose another file; nothing was changed.",
    ),
    "newer-logbook": (
        "{path} was written by a newer kilnlog (its form is {schema}, this one knows {known}).",
        "Install the newer kilnlog to open it; nothing was changed.",
    ),
    "damaged-logbook": ("{path} is damaged.", _TRY_BACKUP),
    "damaged-logbook: pages": ("Parts of {path} are damaged and cannot be trusted.", _TRY_BACKUP),
    "damaged-logbook: schema": (
        "The rules kept in {path} are not those kilnlog wrote: another program changed it.",
        "It can be read here but not written. " + _TRY_BACKUP,
    ),
    "read-only-logbook": ("{path} can be read but not written.", "Copy it to where you may write."),
    "read-only-logbook: asked": ("{path} was opened for reading.", "Open it again to write in it."),
    "read-only-logbook: file": (
        "{path} is write-protected and can only be read.",
        "Lift the protection, or copy the file to where you may write.",
    ),
    "read-only-logbook: folder": (
        "Nothing can be written into the folder of {path}, so the file can only be read.",
        "Copy the file to a folder where you may write.",
    ),
    "read-only-logbook: new-file": (
        "{path} cannot be made: nothing can be written into its folder.",
        "Choose a folder where you may write, on a disk that is not write-protected.",
    ),
    "read-only-logbook: unfinished-write": (
        "A write to {path} was cut off earlier, and it cannot be undone while the file is write-protected.",
        "Lift the protection of the file and its folder, and open it again.",
    ),
    "locked-logbook": ("Somebody else has {path}.", "Try again when they are done."),
    "locked-logbook: writing": (
        "Another window has {path} open for writing, so here it is open for reading.",
        "Close it there to write here.",
    ),
    "locked-logbook: busy": ("Another program is holding {path}.", "Try again in a moment."),
    "no-access": ("You may not read {path}.", "Ask its owner for access, or choose another file."),
    "disk-full": (
        "There is no room left on the disk of {path}.",
        "Make room, then do it again; nothing was changed.",
    ),
    "disk-failed": (
        "The disk of {path} refused: {detail}.",
        "Check the disk and its cable, then do it again; nothing was changed.",
    ),
    "missing-logbook": (
        "There is no file {path}.",
        "Check the name, or make a logbook with: kilnlog new FILE",
    ),
    "missing-folder": ("There is no folder {path}.", "Make it first, or name another."),
    "already-exists": ("{path} is there already and was left alone.", "Choose another name."),
    "backup-differs": (
        "The copy {path} did not pass its check ({misfit}) and was thrown away.",
        "Check the disk, and back up to another one.",
    ),
    "charge-closed": (
        "Charge {charge} is closed and takes no further rows.",
        "Register a new charge for what follows; or reopen this one with a reason, or write a later note.",
    ),
    "lot-closed": (
        "Lot {lot} of charge {charge} is closed and takes no further rows, nor do its boards.",
        "Reopen the lot with a reason, or write a later note.",
    ),
    "already-superseded": (
        "This row of the table {table} was already corrected or taken back.",
        "Read the charge again, and correct what stands there now.",
    ),
    "name-taken": ("There is already one called {name}.", "Give this one another name."),
    "has-current-children": (
        "{name} cannot be taken back while a {children} still refers to it.",
        "Take that back first.",
    ),
    "refused-by-record: unstorable-text": (
        "A text for the table {table} has characters that no file can keep.",
        "Type it again without them.",
    ),
    "refused-by-record: not-closed": (
        "What is to be reopened is not closed.",
        "Read the charge again: it may have been reopened already.",
    ),
    "refused-by-record: closed-before": (
        "This was closed before and reopened since.",
        "Close again what was reopened, so that its seals stay together.",
    ),
    "refused-by-record: closing-stays": (
        "A closing is neither corrected nor taken back.",
        "Reopen it with a reason, and close it again.",
    ),
    "refused-by-record: uid-taken": (
        "This row of the table {table} is in the logbook already.",
        "Nothing was kept twice; go on.",
    ),
    "refused-by-record: reading-twice": (
        "This sensor has a reading at one of these instants already.",
        "Leave out what is there, or take the earlier import back.",
    ),
    "refused-by-record: replaces-itself": (
        "A board cannot replace itself.",
        "Choose the board it replaces, or leave that empty.",
    ),
    "refused-by-record": (
        "The record refused a row of the table {table}: {why}.",
        "Nothing was kept. Check what was typed; if it is right, this is a defect of kilnlog.",
    ),
}

_NOTHING_IN = "Nothing was taken in."

_SOURCE_ERRORS: Mapping[str, tuple[str, str]] = {
    "source-missing": ("There is nothing at {path}.", "Check the name of the folder or workbook."),
    "source-missing: logger": ("There is no file {path}.", "Check the name of the logger's file."),
    "source-unknown": (
        "{path} is neither a folder nor a workbook.",
        "Name a folder of CSV files, or a .xlsx file.",
    ),
    "source-unreadable": (
        "{path} cannot be read: {why}.",
        "Check that the file is whole and that you may read it.",
    ),
    "source-empty": ("{path} holds none of the tables kilnlog knows.", "They are called {known}."),
    "unknown-table": ("There is no table “{table}”.", "The tables are called {known}."),
    "table-not-csv": (
        "The table {table} is not a CSV file here.",
        "Save {path} as CSV, or import the workbook itself.",
    ),
    "table-twice": ("The table {table} stands there twice.", "Leave one of them out."),
    "not-utf8": ("The file is not UTF-8 text.", "Save it again as CSV in UTF-8."),
    "broken-csv": (
        "The quotes in the file do not pair up: {detail}.",
        "Save it again as CSV from the spreadsheet.",
    ),
    "mixed-separators": (
        "The heading row is divided by more than one sign: {found}.",
        "Use one, best the comma.",
    ),
    "no-heading": ("The file has no heading row.", "Begin it with the names of its columns."),
    "column-twice": ("The heading {name} stands there twice.", "Leave one of the columns out."),
    "column-unnamed": (
        "“{typed}” stands where the heading row names no column.",
        "Give the column a heading, or empty the cell.",
    ),
    "unknown-column": ("The table {table} has no column “{name}”.", "Its columns are {known}."),
    "missing-column": ("The table {table} needs the column {name}.", "Add it."),
    "formula-without-value": (
        "The cell holds a formula without a value: {typed}.",
        "Open the workbook in a spreadsheet, let it work out, and save it.",
    ),
    "formula-without-value: error": (
        "The cell holds an error: {typed}.",
        "Mend its formula in the spreadsheet, or type the value, and save the workbook.",
    ),
    "turned-into-date": (
        "The spreadsheet turned this into a date: {typed}.",
        "Format the cell as text and type it again, like 4/4.",
    ),
    "unstorable-text": (
        "The text holds characters that no file can keep.",
        "Type it again without them.",
    ),
    "not-yes-or-no": ("“{typed}” is neither yes nor no.", "Write yes or no."),
    "not-whole": ("“{typed}” is not a whole number.", "Write a whole number."),
    "unknown-name": ("There is no {what} “{name}”.", "Declare it in its own table, or use one of: {known}."),
    "taken-back-name": ("The {what} “{name}” was taken back.", "Refer to one that stands."),
    "name-twice": (
        "The {what} “{name}” stands there twice[, first in row {first_row}].",
        "Leave one of the rows out.",
    ),
    "name-twice: in-logbook": (
        "The logbook has the {what} “{name}” already.",
        "Leave the row out, or give it another name.",
    ),
    "name-twice: row": (
        "The same row stands there twice, first in row {first_row}.",
        "Leave one of the rows out.",
    ),
    "name-twice: row-in-logbook": (
        "The logbook has this row already.",
        "Leave the row out, or import the workbook the logbook itself exported: its rows carry their uids.",
    ),
    "charge-exists": (
        "The logbook already has a charge {charge}.",
        "Give the charge another number, or import what the logbook itself exported.",
    ),
    "exists-differently": (
        "The logbook has the {what} “{name}” with other particulars: {differs}.",
        "Make them the same, or use another name.",
    ),
    "uid-differs": (
        "The logbook has a row {uid} that differs in {differs}.",
        "A row is never altered: add a correction that supersedes it.",
    ),
    "uid-twice": (
        "The uid {uid} stands there twice, first in row {first_row}.",
        "Leave one of the rows out.",
    ),
    "readings-differ": (
        "The readings of {file_name} (sensor {sensor}) are not those that were exported.",
        "Take table logger_readings as it was written, or import the logger's file itself.",
    ),
    "unknown-uid": ("No row carries the uid {uid}.", "Import the row it refers to as well."),
    "succeeded-twice: twice": (
        "The row {uid} is succeeded by two rows.",
        "Leave one successor to each row.",
    ),
    "succeeded-twice: taken-back": (
        "The row {uid} was taken back, and nothing can succeed it.",
        "Write what is right as a new row.",
    ),
    "succeeded-twice": ("The row {uid} cannot be succeeded here: {why}.", "Leave one successor to each row."),
    "version-unclear": (
        "version “{version}” and supersedes “{supersedes}” do not go together.",
        "A first version supersedes nothing; a correction, change or void names the uid it succeeds.",
    ),
    "moved-charge": (
        "The row succeeds {uid}, which belongs to another charge.",
        "A row stays in its charge: take the other one back and write this one as new.",
    ),
    "replaces-itself": (
        "The board “{name}” is said to replace itself.",
        "Name the board it replaces, or leave it blank.",
    ),
    "closed-charge-grows": ("Charge {charge} is closed in the logbook.", "Leave the new rows out."),
    "closed-lot-grows": (
        "Lot {lot} of charge {charge} is closed in the logbook.",
        "Leave the new rows out, or reopen the lot first.",
    ),
    "closing-out-of-turn": (
        "The closings of charge {charge} do not follow one another.",
        "Let each row supersede the one before: closed, reopened, closed again.",
    ),
    "closing-out-of-turn: not-closed": (
        "Charge {charge} is reopened here, but the row that this one succeeds does not close it.",
        "Let a reopening be a change that supersedes the closing before it.",
    ),
    "closing-out-of-turn: not-reopened": (
        "Charge {charge} is closed here, but the row that this one succeeds closed it already.",
        "Put the reopening between them, or leave this row out.",
    ),
    "closing-out-of-turn: stays": (
        "A closing of charge {charge} is neither corrected nor taken back.",
        "Let a change with reopened = yes and a reason follow it, and another that closes again.",
    ),
    "closing-out-of-turn: sealed": (
        "Charge {charge} is reopened here, and a reopening has no sealed text.",
        "Leave sealed_text blank in this row.",
    ),
    "closing-out-of-turn: other-lot": (
        "The row that this one succeeds closes something else of charge {charge}.",
        "Name the same lot in both rows, or leave lot blank in both.",
    ),
    "closed-twice": ("Charge {charge} is closed twice.", "Leave one closed_at."),
    "no-order": ("The rows refer to each other in a circle.", "Check uid and supersedes of these rows."),
    "limits-reversed": ("The lower limit {low} lies above the upper {high}.", "Swap them."),
}

#: What cells say otherwise than the fields of the window.
_CELL_ERRORS: Mapping[str, tuple[str, str]] = {
    "unreadable-number: comma": (
        "“{typed}” has a comma for its decimals.",
        "In files decimals stand behind a point: write it like 1842.5.",
    ),
    "unreadable-time: day-alone": (
        "“{typed}” is a day; the time is missing.",
        "Write day and time, like 2026-11-25 07:44.",
    ),
}

_OUTGOING_ERRORS: Mapping[str, tuple[str, str]] = {
    "text-too-long": (
        "A text in {table}, {column} has {length} characters; a workbook cell holds {most}.",
        "Shorten it by a correction, then export again.",
    ),
    "write-failed": ("{path} could not be written: {detail}.", "Check the disk, then do it again."),
    "write-failed: disk-full": (
        "There is no room left on the disk for {path}.",
        "Make room, then do it again.",
    ),
    "write-failed: not-allowed": (
        "{path} may not be written.",
        "Close it where it is open, or choose another name or folder.",
    ),
    "write-failed: no-folder": ("The folder of {path} does not exist.", "Make it first, or choose another."),
    "write-cancelled": (
        "Writing {path} was stopped; nothing is left of it.",
        "Start it again when it suits.",
    ),
    "unknown-owner": (
        "No lot[ of charge {charge}] belongs to “{owner}”.",
        "The owners named[ in charge {charge}] are: {known_owners}.",
    ),
}

FILE_ERRORS: Mapping[str, tuple[str, str]] = {
    **_LOGBOOK_ERRORS,
    **_SOURCE_ERRORS,
    **_CELL_ERRORS,
    **_OUTGOING_ERRORS,
}

#: Where in a source the first mistake stands, and how many more were noticed.
PLACE = "{file}[, row {row}][, column {column}]: "
MORE = " [{at_least}]{more} more {were} noticed."
ALL_TOLD = "[{at_least}]{number} mistakes: nothing was taken in."
NOTHING_IN = _NOTHING_IN
