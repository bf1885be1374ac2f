"""The customer workbook read back: figures, print set-up, formulas, nothing of another owner in any byte."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from copy import deepcopy
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from openpyxl import load_workbook

from kilnlog.exchange.errors import TextTooLong, UnknownOwner
from kilnlog.exchange.papers.contents import Contents
from kilnlog.exchange.papers.customer_workbook import customer_workbook
from kilnlog.exchange.papers.for_owner import owners_of
from kilnlog.exchange.papers.options import PaperOptions, PaperSize
from kilnlog.records.owner_name import owner_key
from tests.exchange.papers import samples
from tests.exchange.papers.test_for_owner import charges, telling

SEALED = PaperOptions(short_form=samples.SHORT_FORM)
STARTERS = ("=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "#N/A", "=HYPERLINK(1)")


def made(
    path: Path,
    contents: Contents,
    owner: str | None = samples.ROWAN,
    *,
    options: PaperOptions = SEALED,
    lot: str | None = None,
) -> Any:
    customer_workbook(contents, path, options, owner=owner, lot=lot)
    return load_workbook(path)


def unzipped(path: Path) -> bytes:
    """Every part of the file unpacked, and the parts' names."""
    with zipfile.ZipFile(path) as archive:
        return b"\n".join(name.encode() + b"\n" + archive.read(name) for name in archive.namelist())


def words(book: Any) -> str:
    """Every text of every sheet."""
    rows = (row for sheet in book for row in sheet.iter_rows(values_only=True))
    return "\n".join(str(value) for row in rows for value in row if value is not None)


def formulas(book: Any) -> list[tuple[str, str]]:
    return [
        (sheet.title, cell.value)
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type in ("f", "e")
    ]


@pytest.fixture(scope="module")
def rowan(tmp_path_factory: pytest.TempPathFactory) -> Any:
    return made(tmp_path_factory.mktemp("book") / "rowan.xlsx", samples.charge())


def test_sheets_of_one_lot_and_of_several(tmp_path: Path, rowan: Any) -> None:
    assert rowan.sheetnames == ["Summary", "Readings", "Drying curve", "Tally"]
    every = made(tmp_path / "all.xlsx", samples.charge(), None)
    of_b = [
        *("Summary B", "Readings pin meter B", "Readings oven-dry B"),
        *("Readings sample boards B", "Drying curve B"),
    ]
    assert every.sheetnames == ["Summary A", "Readings A", "Drying curve A", "Tally A", *of_b]
    only = made(tmp_path / "one.xlsx", samples.charge(), None, lot="B")
    assert only.sheetnames == [name.removesuffix(" B") for name in of_b]


def test_the_summary_says_who_what_how_much_and_when(rowan: Any) -> None:
    rows = {row[0]: row[1] for row in rowan["Summary"].iter_rows(values_only=True) if row[0]}
    assert rows["Owner"] == samples.ROWAN
    assert rows["What"] == "4/4 black cherry"
    assert (rows["Tallied green"], rows["Tallied net"]) == (380, 354)
    assert rows["Loaded"] == datetime(2026, 10, 16, 9, 0)
    assert rows["Unloaded"] == datetime(2026, 11, 12, 15, 30)
    assert (rows["Days in the kiln"], rows["Target MC %"]) == (28, 7)
    assert rows["Ordered"] == "6 to 8 %, average 7 %"
    assert rows["Stress"] == "left out because: no oven free"
    assert rows["Defects"] == "slight end checks on 4 pieces: under 2 in; sticker stain on 1 piece"
    assert "for 38 min" in rows["Heat"]
    assert "This is the operator's own record." in rows["Heat"]
    assert "meter M2" in rows["Instruments"]
    told = words(rowan)
    assert "Measured on 12 November 2026 (drying shed, Quillbeck); not a guarantee of later moisture." in told
    assert f"Short form  {samples.SHORT_FORM}" in told


def test_the_figures_are_those_of_the_contents(rowan: Any) -> None:
    whole = samples.cherry()["final"][0]["whole"]
    (row,) = [
        row for row in rowan["Summary"].iter_rows(values_only=True) if row[0] == "Pin meter" and row[2] == 0
    ]
    assert row[1:] == (
        *(24, 0, 23, 0, 1),
        *(
            pytest.approx(whole[name], abs=1e-10)  # ten decimals, told and worked out alike
            for name in ("mean_pct", "sd_pct", "lowest_pct", "highest_pct")
        ),
    )
    (interval,) = [
        row for row in rowan["Summary"].iter_rows(values_only=True) if row[0] == "pin meter, normal"
    ]
    assert interval[1:6] == (6.1, 8.2, 90, 95, 2.31)


def test_every_reading_stands_there_raw(rowan: Any) -> None:
    rows = list(rowan["Readings"].iter_rows(min_row=10, max_row=33, values_only=True))
    assert [row[3] for row in rows] == [*samples.PACK_1, *samples.PACK_2]
    assert {row[2] for row in rows} == {datetime(2026, 11, 12, 16, 0)}
    assert [(row[4], row[5], row[6]) for row in rows] == [(61, 0.4, None)] * 24
    assert [row[8] for row in rows] == ["inside"] * 23 + ["above"]
    assert rowan["Readings"]["E10"].number_format == 'General" °F"'


def test_readings_over_the_range_have_no_figure(tmp_path: Path) -> None:
    sheet = made(tmp_path / "b.xlsx", samples.charge(), samples.FINCH)["Readings pin meter"]
    (row,) = [row for row in sheet.iter_rows(min_row=10, values_only=True) if row[1] == "w18"]
    assert (row[3], row[7], row[8]) == (34, "over 30", "above")
    assert sheet["D5"].value == 1


def test_the_curve_has_a_row_for_each_weighing_and_a_native_chart(rowan: Any) -> None:
    sheet = rowan["Drying curve"]
    boards = [board for board in samples.charge()["boards"] if board["lot"] == "A"]
    rows = list(sheet.iter_rows(min_row=4, max_col=4, values_only=True))
    assert len(rows) == sum(len(board["points"]) for board in boards) + 2
    assert rows[0] == ("Board 1", datetime(2026, 10, 16, 9, 0), 0, pytest.approx(29.2, rel=1e-15))
    # Clocks went back on the way: 27 days on the calendar are an hour more.
    assert rows[27][1:3] == (datetime(2026, 11, 12, 9, 0), pytest.approx(27 + 1 / 24, rel=1e-15))
    assert [row[3] for row in rows[-2:]] == [7, 7]
    (chart,) = sheet._charts  # openpyxl has no other way to the charts of a sheet it has read
    assert [series.tx.strRef.f for series in chart.series] == [
        f"'Drying curve'!$A${row}" for row in (4, 32, 60, 88, 116)
    ]
    assert chart.series[1].yVal.numRef.f == "'Drying curve'!$D$32:$D$59"


def test_the_tally_leaves_a_price_to_fill_in(rowan: Any) -> None:
    sheet = rowan["Tally"]
    assert [cell.value for cell in sheet[4]][11:14] == ["Apart", "Price per bf", "Amount"]
    assert sheet["M6"].value is None
    assert sheet["M6"].fill.fgColor.rgb.endswith("FBF6E3")
    assert sheet["N6"].value == '=IF(ISNUMBER(M6),M6*K6,"")'
    assert sheet["K5"].value == "=J5"  # the total as typed
    assert sheet["K6"].value == "=D6*E6*G6/12*I6"


@pytest.mark.parametrize(("size", "code"), [(PaperSize.A4, "9"), (PaperSize.LETTER, "1")])
def test_every_sheet_is_set_up_to_be_printed(tmp_path: Path, size: PaperSize, code: str) -> None:
    """Codes of paper sizes: ECMA-376 part 1, 18.3.1.63."""
    options = PaperOptions(size=size, short_form=samples.SHORT_FORM)
    book = made(tmp_path / "a.xlsx", samples.charge(), None, options=options)
    heads = {"Summary": 1, "Readings": 9, "Drying curve": 3, "Tally": 4}
    for sheet in book:
        row = next(row for name, row in heads.items() if sheet.title.startswith(name))
        assert str(sheet.page_setup.paperSize) == code
        assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (1, 0)
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.print_title_rows == f"${row}:${row}"
        assert sheet.freeze_panes == f"A{row + 1}"
        assert sheet.oddFooter.right.text == "Page &P of &N"
        assert samples.SHORT_FORM in sheet.oddFooter.left.text
        assert "Charge 2026-12, lot" in sheet.oddHeader.right.text
        assert all(sheet.sheet_state == "visible" for sheet in book)


def test_the_foot_leads_to_the_seal_however_long_its_line(tmp_path: Path) -> None:
    contents = samples.charge()
    assert contents["seal"] is not None
    contents["seal"] |= {"version": 2, "replaces": "KSPG-7N75-K6EE", "sealed_by": "a long name " * 9}
    book = made(tmp_path / "a.xlsx", contents)
    for sheet in book:
        assert sheet.oddFooter.left.text == (
            f"Short form {samples.SHORT_FORM}, version 2, sealed 13 November 2026, 09:12"
        )
    assert "in place of KSPG-7N75-K6EE." in words(book)


def test_the_tally_is_narrow_enough_to_be_read_in_print(tmp_path: Path) -> None:
    """A landscape sheet of Letter holds some 137 characters of 7 pixels at full size: nine tenths of it."""
    sheet = made(tmp_path / "a.xlsx", samples.charge())["Tally"]
    setup = sheet.page_setup
    assert (setup.orientation, setup.fitToWidth, setup.fitToHeight) == ("landscape", 1, 0)
    assert sum(column.width for column in sheet.column_dimensions.values()) < 137 / 0.9


def test_the_bytes_are_the_same_every_time(tmp_path: Path) -> None:
    for name in ("a.xlsx", "b.xlsx"):
        customer_workbook(samples.charge(), tmp_path / name, SEALED, owner=samples.ROWAN)
    assert (tmp_path / "a.xlsx").read_bytes() == (tmp_path / "b.xlsx").read_bytes()
    properties = load_workbook(tmp_path / "a.xlsx").properties
    assert properties.created == properties.modified == datetime(2026, 11, 13, 14, 12)
    assert (properties.title, properties.creator) == (
        "Quality record, charge 2026-12, lot A",
        "Quillbeck Mill",
    )


def test_an_open_charge_and_one_that_does_not_fit_its_seal_say_so(tmp_path: Path) -> None:
    contents = samples.charge()
    contents["seal"] = contents["ledger"] = None
    open_ = PaperOptions(made_at="2026-11-12T18:00:00-05:00")
    book = made(tmp_path / "open.xlsx", contents, options=open_)
    assert "Not sealed: the charge is open, as known on 12 November 2026, 18:00" in words(book)
    assert book["Tally"].oddFooter.left.text.startswith("Not sealed")
    broken = PaperOptions(short_form=samples.SHORT_FORM, not_verified=True)
    assert "NOT VERIFIED" in words(made(tmp_path / "broken.xlsx", samples.charge(), options=broken))


def test_no_other_owner_stands_in_any_byte(tmp_path: Path) -> None:
    path = tmp_path / "a.xlsx"
    for owner, other in ((samples.ROWAN, samples.FINCH), (samples.FINCH, samples.ROWAN)):
        customer_workbook(samples.charge(), path, SEALED, owner=owner)
        inside = unzipped(path)
        assert owner.replace("&", "&amp;").encode() in inside  # the search finds what is there
        for part in telling(other):
            assert part not in inside
            assert part.replace(b"&", b"&amp;") not in inside


def test_without_the_others_the_workbook_is_the_same_to_the_byte(tmp_path: Path) -> None:
    for owner, other in ((samples.ROWAN, samples.FINCH), (samples.FINCH, samples.ROWAN)):
        alone = samples.without(samples.charge(), other)
        customer_workbook(alone, tmp_path / "alone.xlsx", SEALED, owner=owner)
        customer_workbook(samples.charge(), tmp_path / "together.xlsx", SEALED, owner=owner)
        assert (tmp_path / "alone.xlsx").read_bytes() == (tmp_path / "together.xlsx").read_bytes()


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(charges())
def test_random_charges_of_several_owners(tmp_path: Path, contents: Contents) -> None:
    path = tmp_path / "random.xlsx"
    for owner in owners_of(contents):
        customer_workbook(contents, path, SEALED, owner=owner)
        inside = unzipped(path)
        for other in owners_of(contents):
            if owner_key(other) != owner_key(owner):
                assert not any(part in inside for part in telling(other))


def test_nothing_is_hidden(rowan: Any, tmp_path: Path) -> None:
    assert dict(rowan.defined_names) == {}
    assert rowan.custom_doc_props.props == []
    path = tmp_path / "a.xlsx"
    customer_workbook(samples.charge(), path, SEALED, owner=samples.ROWAN)
    with zipfile.ZipFile(path) as archive:
        kinds = {name.split("/")[1] if "/" in name else name for name in archive.namelist()}
    # Nothing but what a workbook of four sheets and a chart consists of: no comments, media, links, queries.
    assert kinds == {
        *("[Content_Types].xml", ".rels", "app.xml", "core.xml", "workbook.xml", "styles.xml"),
        *("theme", "_rels", "worksheets", "charts", "drawings"),
    }


def test_text_never_becomes_a_formula(tmp_path: Path) -> None:
    contents = samples.charge()
    before = formulas(made(tmp_path / "before.xlsx", deepcopy(contents)))
    lot = contents["lots"][0]
    assert lot["tally"] is not None
    for number, text in enumerate(STARTERS):
        lot["final"][0]["readings"][number].update({"piece": text, "note": text})
    lot["tally"]["lines"][1].update({"grade": "=1+1", "note": "@SUM(A1)"})
    lot["species"] = lot["thickness"] = lot["storage"] = "=1+1"
    contents["mill"] = {"name": "=MILL()", "place": "-place"}
    contents["charge"]["charge"] = contents["charge"]["kiln"] = "=cmd()"
    contents["boards"][0]["board"] = "=1"
    book = made(tmp_path / "after.xlsx", contents)
    assert formulas(book) == before
    assert len(before) > 150
    pieces = [row[1] for row in book["Readings"].iter_rows(min_row=10, max_row=33)]
    assert [cell.value for cell in pieces[: len(STARTERS)]] == list(STARTERS)
    assert all(cell.quotePrefix for cell in pieces[: len(STARTERS)])


def test_almost_nothing_known(tmp_path: Path) -> None:
    book = made(tmp_path / "empty.xlsx", samples.empty(), None)
    assert book.sheetnames == ["Summary"]
    rows = {row[0]: row[1] for row in book["Summary"].iter_rows(values_only=True) if row[0]}
    assert rows["Moisture"] == "not measured"
    assert (rows["What"], rows["Tally"], rows["Stress"]) == ("not named", "not tallied", "not tested")
    assert "Moisture was not measured" in words(book)
    assert formulas(book) == []


def test_without_limits_no_piece_is_inside_or_outside(tmp_path: Path) -> None:
    contents = samples.charge()
    readings = [samples.reading(7.0, None, "1"), samples.reading(9.0, None, "2")]
    contents["lots"][0].update(
        {"limits": samples.NO_LIMITS, "final": [samples.series(readings, samples.NO_LIMITS)]}
    )
    sheet = made(tmp_path / "a.xlsx", contents)["Readings"]
    assert sheet["A3"].value == "No limits named"
    assert (sheet["C3"].value, sheet["E3"].value, sheet["E5"].value, sheet["I10"].value) == (None,) * 4


def test_names_in_other_scripts_and_names_no_sheet_may_have(tmp_path: Path) -> None:
    contents = samples.charge()
    owner, label = "Ιωάννης Βράχος 木工", "[a/b]: 'x' & " + "ž" * 40
    contents["lots"][0].update({"owner": owner, "lot": label, "species": "орех 胡桃"})
    for board in contents["boards"]:
        board["lot"] = label if board["lot"] == "A" else board["lot"]
    contents["lots"].append({**samples.walnut(), "lot": label.upper(), "owner": owner})
    book = made(tmp_path / "a.xlsx", contents, owner)
    assert len({name.casefold() for name in book.sheetnames}) == len(book.sheetnames) == 8
    assert all(len(name) <= 31 for name in book.sheetnames)
    told = words(book)
    assert owner in told
    assert "орех 胡桃" in told
    assert label in told
    for name in book.sheetnames[1:3]:
        assert "'" + name.replace("'", "''") + "'!" in repr([f for _, f in formulas(book)]) + repr(
            [series.tx.strRef.f for series in book[book.sheetnames[2]]._charts[0].series]
        )


def test_figures_below_nought(tmp_path: Path) -> None:
    """Hot wood and a rule of thumb make them; they are told, and counted below."""
    contents = samples.charge()
    asked = samples.limits(average_low_pct=6.5, average_high_pct=7.5)
    readings = [samples.reading(-0.6, None, "1", reading_pct=2.4, temperature_correction_pct=-3.0)]
    contents["lots"][0].update({"limits": asked, "final": [samples.series(readings, asked)]})
    book = made(tmp_path / "a.xlsx", contents)
    assert [cell.value for cell in book["Readings"][10]][3:9] == [2.4, 61, -3, None, -0.6, "below"]
    assert "the mean read, −0.6 %, is outside" in words(book)


def test_five_hundred_readings(tmp_path: Path) -> None:
    contents = samples.charge()
    asked = samples.limits()
    readings = [samples.reading(6 + number % 30 / 10, str(number % 7), str(number)) for number in range(500)]
    contents["lots"][0].update({"final": [samples.series(readings, asked)]})
    sheet = made(tmp_path / "a.xlsx", contents)["Readings"]
    packs = [row[0] for row in sheet.iter_rows(min_row=10, max_row=509, values_only=True)]
    assert packs == sorted(packs)  # a pack's pieces together, as its formulas need
    assert sheet["C6"].value == '=COUNT(J10:J509)+COUNTIF(J10:J509,"over 30")'
    assert [sheet.cell(512 + 3 * number, 1).value for number in range(7)] == list("0123456")


def test_a_text_no_cell_can_hold_is_refused(tmp_path: Path) -> None:
    contents = samples.charge()
    contents["lots"][0]["final"][0]["readings"][0]["note"] = "x" * 32_768
    with pytest.raises(TextTooLong):
        customer_workbook(contents, tmp_path / "a.xlsx", SEALED, owner=samples.ROWAN)
    assert list(tmp_path.iterdir()) == []


def test_an_owner_who_has_nothing_there(tmp_path: Path) -> None:
    with pytest.raises(UnknownOwner):
        customer_workbook(samples.charge(), tmp_path / "a.xlsx", SEALED, owner="Nobody")


def test_openpyxl_is_not_loaded_with_the_module() -> None:
    asked = "import sys, kilnlog.exchange.papers.customer_workbook; print('openpyxl' in sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", asked], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout.strip() == "False"
