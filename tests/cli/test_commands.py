"""Every command, as typed: what it prints, what it leaves, and how it refuses."""

from __future__ import annotations

import errno
import json
import sqlite3
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook

from kilnlog import __version__

COMMANDS = (
    *("open", "demo", "new", "import", "charges", "status"),
    *("export", "curve", "pictures", "verify", "backup"),
)
AT = "2026-11-25 07:00"
OWNER = "Oddmoor Joinery"


def test_help_names_every_command(kilnlog):
    told = kilnlog("--help")
    assert told.exit_code == 0
    for command in COMMANDS:
        assert f"\n  {command} " in told.output
    assert kilnlog("--version").output == f"kilnlog, version {__version__}\n"


def test_new_makes_an_empty_logbook_and_spares_another(kilnlog, tmp_path):
    file = tmp_path / "mill.kilnlog"
    assert kilnlog("new", file).exit_code == 0
    before = file.read_bytes()
    again = kilnlog("new", file)
    assert (again.exit_code, again.stdout) == (2, "")
    assert again.stderr == f"{file} is there already and was left alone. Choose another name.\n"
    assert file.read_bytes() == before
    assert kilnlog("charges", file).output.startswith("This logbook has no charge yet.")
    assert json.loads(kilnlog("charges", file, "--json").output) == []


def test_charges_open_ones_first(kilnlog, sample):
    told = kilnlog("charges", sample)
    assert told.exit_code == 0
    rows = told.output.splitlines()
    assert rows[0].split()[:3] == ["charge", "kiln", "what"]
    numbers = [row.split()[0] for row in rows[1:]]
    assert set(numbers[:5]) == {"2026-12", "2026-14", "2026-15", "2026-16", "2026-17"}
    listed = json.loads(kilnlog("charges", sample, "--json").output)
    assert [charge["charge"] for charge in listed] == numbers
    oak = next(charge for charge in listed if charge["charge"] == "2026-14")
    assert (oak["kiln"], oak["what"], oak["volume"], oak["volume_unit"]) == (
        "North shed",
        "4/4 red oak",
        1150.0,
        "bf",
    )
    assert oak["loaded_at"] == "2026-11-03T07:30:00-05:00"


def test_status_as_a_table_and_as_json(kilnlog, sample):
    told = kilnlog("status", sample, "2026-14", "--at", AT)
    assert told.exit_code == 0
    assert told.output.startswith("Charge 2026-14, North shed: drying, day 23, at 2026-11-25 07:00")
    figures = json.loads(kilnlog("status", sample, "2026-14", "--at", AT, "--json").output)
    assert f"Controlling MC {figures['control']['mc_pct']:.1f} %" in told.output
    assert [board["board"] for board in figures["boards"]] == list("12345678")
    # Board 5 as the design draws it: 2,337 g on 1,647 g oven-dry is 41.9 %.
    five = figures["boards"][4]
    assert round(five["mc_pct"], 1) == 41.9
    assert round(five["oven_dry_weight_g"]) == 1647
    [row] = [line.split() for line in told.output.splitlines() if line.startswith("5 ")]
    assert row[:2] == ["5", "A"]
    assert {"41.9", "2,337", "1,762", "575"} <= set(row)
    for finding in figures["findings"]:
        assert finding["what"] in told.output


def test_status_by_round(kilnlog, sample):
    rounds = json.loads(kilnlog("status", sample, "2026-14", "--history", "--json").output)
    told = kilnlog("status", sample, "2026-14", "--history").output.splitlines()
    assert len(told) == len(rounds) + 1
    assert [one["at"] for one in rounds] == sorted(one["at"] for one in rounds)
    assert told[1].startswith(rounds[0]["at"][:16].replace("T", " "))


def test_a_planned_charge_says_what_comes_first(kilnlog, sample):
    assert "No sample boards yet" in kilnlog("status", sample, "2026-16").output
    assert kilnlog("status", sample, "2026-16", "--history").output == "No board was weighed yet.\n"
    assert json.loads(kilnlog("status", sample, "2026-16", "--history", "--json").output) == []


def test_status_at_an_earlier_time_is_of_that_time(kilnlog, sample):
    figures = json.loads(kilnlog("status", sample, "2026-14", "--at", "2026-11-10 12:00", "--json").output)
    assert figures["at"] == "2026-11-10T12:00:00-05:00"
    assert all(board["since"] < "2026-11-10T12:00" for board in figures["boards"])


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("status", "FILE", "nope"), "This logbook has no charge “nope”. It has 2025-02, "),
        (("status", "FILE", "2026-14", "--at", "noon"), "“noon” is not written as a time."),
        (
            ("status", "FILE", "2026-14", "--at", "2026-11-01 01:30"),
            "The clock in America/New_York showed 2026-11-01 01:30 twice",
        ),
        (("status", "no.kilnlog", "1"), "There is no file no.kilnlog."),
        (("charges", "FOLDER"), "is a folder. Choose the logbook file in it."),
        (("verify", "TEXT"), "is not a logbook of kilnlog."),
        (("export", "FILE", "--to", "out.csv"), "A workbook cannot be saved as “out.csv”."),
        (("export", "FILE", "--owner", "Nobody", "--to", "FOLDER/o.xlsx"), "No lot belongs to “Nobody”."),
        (("export", "FILE", "--charge", "9", "--to", "FOLDER/o.xlsx"), "This logbook has no charge “9”."),
        (("curve", "FILE", "2026-14", "--to", "curve.pdf"), "A picture cannot be saved as “curve.pdf”."),
        (("import", "nothing-there", "--into", "FOLDER/n.kilnlog"), "There is nothing at nothing-there."),
        (("import", "TEXT", "--into", "FOLDER/n.kilnlog"), "is neither a folder nor a workbook."),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, tuple) else "",
)
def test_a_refusal_is_one_sentence_and_exit_code_2(kilnlog, sample, tmp_path, arguments, said):
    text = tmp_path / "notes.txt"
    text.write_text("not a logbook")
    folder = tmp_path / "folder"
    folder.mkdir()
    named = {"FILE": str(sample), "FOLDER": str(folder), "TEXT": str(text)}
    before = sample.read_bytes()
    told = kilnlog(*(named.get(one, one.replace("FOLDER", str(folder))) for one in arguments))
    assert told.exit_code == 2
    assert told.stdout == ""
    assert said in told.stderr
    assert told.stderr.count("\n") == 1
    assert "Traceback" not in told.stderr
    assert sample.read_bytes() == before
    assert list(folder.iterdir()) == []


def csv_folder(path, **tables):
    path.mkdir()
    charges = "charge,loaded_at,zone\n7,2025-03-01 08:00,UTC\n"
    boards = "charge,board,cut_at,start_weight,weight_unit\n7,1,2025-02-28 10:00,1842.5,g\n"
    for name, text in {"charges": charges, "boards": boards, **tables}.items():
        (path / f"{name}.csv").write_text(text, encoding="utf-8")
    return path


WEIGHINGS = "charge,board,weighed_at,weight,weight_unit\n"


def test_every_mistake_in_the_files_has_a_line_of_its_own(kilnlog, tmp_path):
    rows = (
        WEIGHINGS
        + '7,1,2025-03-02,1801,g\n7;1\n7,1,2025-03-03 07:00,"1770,5",g\n7,9,2025-03-04 07:00,1700,g\n'
    )
    told = kilnlog(
        "import", csv_folder(tmp_path / "in", weighings=rows.replace("7;1\n", "")), "--into", tmp_path / "n"
    )
    assert told.exit_code == 2
    assert told.stderr.splitlines() == [
        "weighings.csv, row 2, column weighed_at: “2025-03-02” is a day; the time is missing. "
        "Write day and time, like 2026-11-25 07:44.",
        "weighings.csv, row 3, column weight: “1770,5” has a comma for its decimals. "
        "In files decimals stand behind a point: write it like 1842.5.",
        "weighings.csv, row 4, column board: There is no board “9”. "
        "Declare it in its own table, or use one of: 1.",
        "3 mistakes: nothing was taken in.",
    ]
    assert not (tmp_path / "n").exists()


def test_where_mistakes_are_too_many_to_tell_it_says_at_least(kilnlog, tmp_path):
    rows = WEIGHINGS + "".join(f"7,1,2025-03-{day:02d},1801,g\n" for day in range(1, 31))
    told = kilnlog("import", csv_folder(tmp_path / "in", weighings=rows), "--into", tmp_path / "n")
    lines = told.stderr.splitlines()
    assert (len(lines), lines[-1]) == (21, "At least 20 mistakes: nothing was taken in.")


def test_one_mistake_is_one_sentence(kilnlog, tmp_path):
    rows = WEIGHINGS + "7,1,2025-03-02 07:00,heavy,g\n"
    told = kilnlog("import", csv_folder(tmp_path / "in", weighings=rows), "--into", tmp_path / "n")
    assert told.stderr.count("\n") == 1
    assert told.stderr.startswith("weighings.csv, row 2, column weight: ")
    assert told.stderr.endswith(" Nothing was taken in.\n")


def test_a_row_the_logbook_has_already_is_called_so(kilnlog, tmp_path):
    rows = WEIGHINGS + "7,1,2025-03-02 07:00,1801,g\n"
    source = csv_folder(tmp_path / "in", weighings=rows)
    assert kilnlog("import", source, "--into", tmp_path / "n").exit_code == 0
    for table in ("charges", "boards"):
        (source / f"{table}.csv").unlink()
    told = kilnlog("import", source, "--into", tmp_path / "n")
    assert told.stderr.startswith("weighings.csv, row 2: The logbook has this row already. Leave the row out")


def test_an_error_in_a_workbooks_cell_is_told_as_one(kilnlog, tmp_path):
    book = Workbook()
    book.active.title = "kilns"
    book.active.append(["kiln", "heat"])
    book.active.append(["North", "#REF!"])
    book.save(tmp_path / "in.xlsx")
    told = kilnlog("import", tmp_path / "in.xlsx", "--into", tmp_path / "n")
    assert told.stderr.startswith("in.xlsx, sheet kilns, row 2: The cell holds an error: #REF!. ")


def test_a_backup_into_a_file_is_refused(kilnlog, sample, tmp_path):
    notes = tmp_path / "notes.txt"
    notes.write_text("mine")
    for to in (notes, notes / "deeper"):
        told = kilnlog("backup", sample, "--to", to)
        assert (told.exit_code, told.stderr) == (
            2,
            f"{notes} is there already and was left alone. Choose another name.\n",
        )
    assert notes.read_text() == "mine"


@pytest.fixture
def nowhere(monkeypatch, tmp_path):
    """A folder of a disk that is write-protected, though the tests may run as one who may write anywhere."""
    folder = tmp_path / "disk"
    folder.mkdir()
    connect, mkdir = sqlite3.connect, Path.mkdir

    def refuse(path):
        if str(folder) in str(path):
            raise OSError(errno.EROFS, "Read-only file system", str(path))

    def no_connection(database, *args, **how):
        if str(folder) in str(database):
            return connect("file:/nowhere/at/all?mode=rwc", uri=True)
        return connect(database, *args, **how)

    monkeypatch.setattr(Path, "mkdir", lambda path, *args, **how: (refuse(path), mkdir(path, *args, **how)))
    monkeypatch.setattr(sqlite3, "connect", no_connection)
    return folder


@pytest.mark.parametrize(
    "arguments",
    [
        ("new", "DISK/a.kilnlog"),
        ("import", "IN", "--into", "DISK/a.kilnlog"),
        ("backup", "FILE", "--to", "DISK/b"),
    ],
)
def test_a_write_protected_disk_is_told_as_that(kilnlog, sample, tmp_path, nowhere, arguments):
    named = {"FILE": str(sample), "IN": str(csv_folder(tmp_path / "in"))}
    told = kilnlog(*(named.get(one, one.replace("DISK", str(nowhere))) for one in arguments))
    assert told.exit_code == 2
    assert "cannot be made: nothing can be written into its folder." in told.stderr
    assert "for reading" not in told.stderr


def test_a_defect_of_ours_stays_loud(kilnlog, sample, monkeypatch):
    def broken(*_):
        raise ZeroDivisionError

    monkeypatch.setattr("kilnlog.logbook.register.register", broken)
    told = kilnlog("charges", sample)
    assert isinstance(told.exception, ZeroDivisionError)
    assert told.exit_code == 1


def test_what_is_exported_can_be_imported(kilnlog, sample, tmp_path):
    out, into = tmp_path / "all.xlsx", tmp_path / "again.kilnlog"
    assert kilnlog("export", sample, "--to", out).exit_code == 0
    told = kilnlog("import", out, "--into", into)
    assert told.exit_code == 0
    assert "21 charges" in told.output
    at = ("--at", AT, "--json")
    assert kilnlog("status", into, "2026-14", *at).output == kilnlog("status", sample, "2026-14", *at).output
    again = kilnlog("import", out, "--into", into)
    assert again.output == f"{into} took 0 rows of 0 charges.\n"


def test_a_workbook_of_one_charge_or_one_owner_holds_no_other(kilnlog, sample, tmp_path):
    one, own = tmp_path / "one.xlsx", tmp_path / "own.xlsx"
    assert kilnlog("export", sample, "--charge", "2026-14", "--to", one).exit_code == 0
    assert kilnlog("export", sample, "--owner", "Rowan Joinery", "--to", own).exit_code == 0
    lots = [
        row[:3] for row in load_workbook(one, read_only=True)["lots"].iter_rows(min_row=2, values_only=True)
    ]
    assert {row[0] for row in lots} == {"2026-14"}
    owned = load_workbook(own, read_only=True)["lots"].iter_rows(min_row=2, values_only=True)
    assert {row[2] for row in owned} == {"Rowan Joinery"}


def test_an_owner_without_a_lot_in_the_charge_is_told_so(kilnlog, sample, tmp_path):
    listed = json.loads(kilnlog("charges", sample, "--json").output)
    charge = next(one for one in listed if one["owners"] == [OWNER])["charge"]
    other = next(owner for one in listed for owner in one["owners"] if owner != OWNER)
    told = kilnlog("export", sample, "--charge", charge, "--owner", other, "--to", tmp_path / "o.xlsx")
    assert told.exit_code == 2
    assert told.stderr == (
        f"No lot of charge {charge} belongs to “{other}”. "
        f"The owners named in charge {charge} are: “{OWNER}”.\n"
    )


def test_capitals_and_blanks_do_not_make_another_owner(kilnlog, sample, tmp_path):
    sheets = []
    for owner in ("Rowan Joinery", " rowan  JOINERY"):
        to = tmp_path / f"{len(sheets)}.xlsx"
        assert kilnlog("export", sample, "--owner", owner, "--to", to).exit_code == 0
        sheets.append(list(load_workbook(to, read_only=True)["boards"].iter_rows(values_only=True)))
    assert sheets[0] == sheets[1]
    assert len(sheets[0]) > 1


def test_verify_tells_a_whole_file_from_an_altered_one(kilnlog, sample):
    whole = kilnlog("verify", sample)
    assert whole.exit_code == 0
    assert whole.output.startswith("All ")
    # Altered as a stranger would: the guarding triggers dropped, one weight rewritten, the triggers put back.
    connection = sqlite3.connect(sample)
    guards = connection.execute(
        "SELECT name, sql FROM sqlite_schema WHERE type = 'trigger' AND tbl_name = 'weighing'"
    ).fetchall()
    for name, _ in guards:
        connection.execute(f'DROP TRIGGER "{name}"')
    connection.execute("UPDATE weighing SET weight_g = weight_g + 1 WHERE id = 7")
    for _, sql in guards:
        connection.execute(sql)
    connection.commit()
    connection.close()
    told = kilnlog("verify", sample)
    assert told.exit_code == 1
    assert "of the table weighing was altered after it was written" in told.output
    assert "1 thing does not fit." in told.output


def test_a_backup_is_the_logbook_again(kilnlog, sample, tmp_path):
    folder = tmp_path / "safe"
    told = kilnlog("backup", sample, "--to", folder)
    assert told.exit_code == 0
    [copy] = folder.iterdir()
    assert told.output == f"The backup is {copy}.\n"
    assert kilnlog("verify", copy).output == kilnlog("verify", sample).output
    dated = tmp_path / "safe.2026"
    assert kilnlog("backup", sample, "--to", dated).exit_code == 0
    assert [found.name for found in dated.iterdir()] == [copy.name]
    assert kilnlog("backup", sample).exit_code == 0
    assert len(list(sample.parent.glob("mill*.kilnlog"))) == 2


def test_status_tells_the_water_leaving(kilnlog, sample):
    """By hand: 1,150 bf of northern red oak (0.56, USFS FIA) at the mean rate of the boards in use."""
    told = kilnlog("status", sample, "2026-14", "--at", AT).output
    figures = json.loads(kilnlog("status", sample, "2026-14", "--at", AT, "--json").output)
    rates = [board["rate_pct_per_day"] for board in figures["boards"] if board["state"] == "in use"]
    leaving = 1150 * 0.002359737 * 560 * sum(rates) / len(rates) / 100
    assert f"Water by the sample boards: {leaving:.0f} kg a day leaving, " in told
