"""What a file shows is recognised; what it does not show is asked, not guessed."""

from __future__ import annotations

import pytest

from kilnlog.exchange.logger.errors import LoggerUnrecognised
from kilnlog.exchange.logger.format import DateOrder, Unsure, choices, with_choices
from kilnlog.exchange.logger.preview import preview
from kilnlog.exchange.logger.recognise import SAMPLE_BYTES, recognise, recognise_file, sample_of
from kilnlog.records.words import LoggerClock, SecondReading, TemperatureUnit
from tests.exchange.logger.files import MONTH_FIRST, PLAIN, SEMICOLON, Style, readings

ZONE = "Europe/Vienna"
C, F = TemperatureUnit.CELSIUS, TemperatureUnit.FAHRENHEIT
WET, RH = SecondReading.WET_BULB, SecondReading.RH


def recognised(style: Style, begin: str = "2026-05-20 06:00", hours: float = 30, step_s: int = 600):
    return recognise(style.text(readings(begin, hours, step_s), ZONE))


def test_commas_and_the_year_first():
    form = recognised(PLAIN)
    assert (form.delimiter, form.decimal_mark, form.date_order) == (",", ".", DateOrder.YEAR_FIRST)
    assert (form.stamp_column, form.dry_column, form.second_column, form.second) == (0, 1, 2, WET)
    assert (form.temperature_unit, form.heading_lines, form.interval_s) == (C, 1, 600)
    assert form.unsure == {Unsure.CLOCK}
    assert form.to_ask == ()


def test_semicolons_with_decimal_commas_and_the_day_first():
    form = recognised(SEMICOLON)
    assert (form.delimiter, form.decimal_mark, form.date_order) == (";", ",", DateOrder.DAY_FIRST)
    assert (form.second, form.temperature_unit) == (RH, C)
    assert form.to_ask == ()


def test_month_first_by_the_half_day_in_fahrenheit():
    form = recognised(MONTH_FIRST)
    assert (form.date_order, form.temperature_unit, form.second) == (DateOrder.MONTH_FIRST, F, WET)
    assert form.to_ask == ()


def test_a_tab_and_time_in_a_column_of_its_own():
    form = recognised(Style("No\tDate\tTime\tRH %\tT °C", "%d/%m/%Y\t%H:%M", "\t"))
    assert (form.delimiter, form.stamp_column, form.time_column) == ("\t", 0, 1)


def test_columns_are_found_by_their_headings_in_any_order():
    sample = b"#,Date,Time,RH (%),Battery (V),Temp (F),Dew point (F)\n" + b"".join(
        b"%d,2026-03-%02d,06:10,55.%d,3.01,118.%d,88.2\n" % (n, n, n % 10, n % 10) for n in range(1, 25)
    )
    form = recognise(sample)
    assert (form.stamp_column, form.time_column, form.dry_column, form.second_column) == (1, 2, 5, 3)
    assert (form.second, form.temperature_unit, form.to_ask) == (RH, F, ())


@pytest.mark.parametrize(
    ("heading", "second", "unit"),
    [
        ("timestamp,dry_bulb_c,wet_bulb_c", WET, C),
        ("time,dry bulb F,wet bulb F", WET, F),
        ("Time,Temp.[degC],Humidity[%rh]", RH, C),
        ("Date,Temperature °F,Rel. Humidity", RH, F),
        ("Zeit,Trocken °C,Feuchtkugel °C", WET, C),
    ],
)
def test_headings(heading, second, unit):
    form = recognised(Style(heading))
    assert (form.dry_column, form.second_column, form.second, form.temperature_unit) == (1, 2, second, unit)
    assert form.to_ask == ()


def test_the_unit_may_stand_above_the_table_or_in_a_second_heading():
    assert recognised(Style("Time,Dry,Wet", above=("Serial no. 4711", "Unit: °F"))).temperature_unit is F
    form = recognised(Style(",°C,%", above=("Time,Temp,RH",)))
    assert (form.temperature_unit, form.second, form.headings[2]) == (C, RH, "RH %")


def test_a_unit_the_file_does_not_tell_is_asked():
    form = recognised(Style("Time,Dry,Wet"))
    assert form.to_ask == (Unsure.UNIT,)
    assert form.answered(temperature_unit=F).to_ask == ()


def test_two_columns_without_headings_are_asked():
    form = recognised(Style(None))
    assert form.to_ask == (Unsure.UNIT, Unsure.SECOND)
    assert form.answered(temperature_unit=C, second=RH).to_ask == ()


@pytest.mark.parametrize("stamp", ["%d/%m/%Y %H:%M", "%m/%d/%Y %H:%M", "%d.%m.%y %H:%M"])
def test_a_day_that_reads_both_ways_is_asked(stamp):
    form = recognised(Style(stamp=stamp), "2026-04-03 05:00", hours=12)
    assert form.to_ask == (Unsure.DATE_ORDER,)
    assert form.answered(date_order=DateOrder.DAY_FIRST).to_ask == ()


def test_one_reading_a_month_reads_both_ways():
    """1, 2 and 3 January, or the first of three months: neither follows midnight for midnight."""
    sample = b"Time,Dry C,Wet C\n01/01/2026 12:00,50,45\n01/02/2026 12:00,50,45\n01/04/2026 12:00,50,45\n"
    assert Unsure.DATE_ORDER in recognise(sample).unsure


@pytest.mark.parametrize(
    ("stamp", "order"),
    [
        ("%d/%m/%Y %H:%M", DateOrder.DAY_FIRST),
        ("%m/%d/%Y %H:%M", DateOrder.MONTH_FIRST),
        ("%d-%m-%y %H:%M", DateOrder.DAY_FIRST),
        ("%y-%m-%d %H:%M", DateOrder.YEAR_FIRST),
        ("%Y/%m/%d %H:%M", DateOrder.YEAR_FIRST),
        ("%Y%m%d %H:%M", DateOrder.YEAR_FIRST),
    ],
)
def test_days_that_follow_each_other_decide(stamp, order):
    form = recognised(Style(stamp=stamp), "2026-04-02 20:00", hours=80)
    assert (form.date_order, form.to_ask) == (order, ())


def test_the_same_day_either_way_needs_no_question():
    assert recognised(Style(stamp="%d/%m/%Y %H:%M"), "2026-03-03 02:00", hours=12).to_ask == ()


@pytest.mark.parametrize(
    "stamp", ["%d %b %Y %H:%M", "%b %d %Y %H:%M:%S", "%d-%b-%y %H:%M", "%A, %d %B %Y %H:%M"]
)
def test_months_written_out(stamp, tmp_path):
    style = Style("Time;Dry °C;Wet °C", stamp, ";")
    path = tmp_path / "kiln.txt"
    taken = readings("2026-04-03 05:00", hours=12)
    path.write_bytes(style.text(taken, ZONE))
    form = recognise_file(path)
    assert form.to_ask == ()
    seen = preview(path, form, ZONE)
    assert (seen.first.utc.timestamp(), seen.last.utc.timestamp()) == (taken[0].at_s, taken[-1].at_s)


def test_the_far_end_of_a_long_file_decides(tmp_path):
    path = tmp_path / "kiln.csv"
    taken = readings("2026-04-03 00:00", hours=24 * 12, step_s=30)
    path.write_bytes(Style(stamp="%d/%m/%Y %H:%M:%S").text(taken, ZONE))
    head, tail = sample_of(path)
    assert len(head) == SAMPLE_BYTES
    assert recognise(head).to_ask == (Unsure.DATE_ORDER,)
    assert (recognise(head, tail).date_order, recognise(head, tail).to_ask) == (DateOrder.DAY_FIRST, ())


@pytest.mark.parametrize("heading", ["Time (UTC),Dry °C,Wet °C", "GMT time,Dry °C,Wet °C"])
def test_a_heading_may_tell_the_clock(heading):
    form = recognised(Style(heading))
    assert (form.clock, form.unsure) == (LoggerClock.UTC, frozenset())


@pytest.mark.parametrize(
    ("line", "is_certain"),
    [("Time zone: UTC", True), ("Time zone: UTC+1", False), ("Read out at 2026-05-21 10:00 UTC", False)],
)
def test_a_line_above_may_tell_the_clock_or_only_when_it_was_read_out(line, is_certain):
    form = recognised(Style(above=(line,)))
    assert (Unsure.CLOCK not in form.unsure) == is_certain


def test_a_shifted_gmt_is_no_utc():
    assert Unsure.CLOCK in recognised(Style("Date Time GMT-05:00,Dry °C,Wet °C")).unsure


@pytest.mark.parametrize("ending", ["Z", "+02:00", " UTC", "-0500"])
def test_stamps_with_their_own_offset_need_no_clock(ending):
    form = recognised(Style(stamp=f"%Y-%m-%dT%H:%M:%S{ending}"))
    assert form.has_offset
    assert form.unsure == frozenset()


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_encodings_and_line_ends(encoding, line_end, tmp_path):
    path = tmp_path / "kiln.csv"
    taken = readings("2026-05-20 06:00", 30)
    path.write_bytes(Style(encoding=encoding, line_end=line_end).text(taken, ZONE))
    form = recognise_file(path)
    assert (form.temperature_unit, form.to_ask, form.headings[1]) == (C, (), "Temperature (°C)")
    assert preview(path, form, ZONE).last.utc.timestamp() == taken[-1].at_s


def test_newest_first():
    assert recognised(Style(newest_first=True)).newest_first
    assert not recognised(PLAIN).newest_first


def test_a_delimiter_somebody_chose():
    sample = SEMICOLON.text(readings("2026-05-20 06:00", 30), ZONE)
    assert recognise(sample, delimiter=";") == recognise(sample)
    with pytest.raises(LoggerUnrecognised):
        recognise(sample, delimiter="\t")


def test_quotes_with_decimal_commas():
    sample = '"Time","Dry °C","RH %"\n' + "".join(
        f'"2026-03-{day:02d} 06:00","5{day % 10},25","4{day % 10},5"\n' for day in range(1, 20)
    )
    form = recognise(sample.encode())
    assert (form.delimiter, form.decimal_mark, form.second) == (",", ",", RH)


@pytest.mark.parametrize(
    ("sample", "why"),
    [
        (b"", "empty"),
        (b"\r\n\r\n", "empty"),
        (b"PK\x03\x04\x14\x00", "binary"),
        (b"Dear sir,\nplease find enclosed\n", "no-rows"),
        (b"Time,Battery V\n2026-03-01 12:00,3.0\n2026-03-01 12:10,3.1\n", "no-figures"),
        (bytes(range(256)) * 40, "no-rows"),
    ],
)
def test_what_is_no_logger_file_is_refused(sample, why):
    with pytest.raises(LoggerUnrecognised) as refused:
        recognise(sample)
    assert refused.value.values["why"] == why


def test_choices_come_back_for_the_same_logger():
    asked = recognised(Style("Time,Dry,Wet"), "2026-04-03 05:00", hours=12)
    told = asked.answered(temperature_unit=F, clock=LoggerClock.STANDARD)
    later = recognised(Style("Time,Dry,Wet"), "2026-06-03 05:00", hours=12)
    assert later.shape == told.shape != recognised(PLAIN).shape
    again = with_choices(later, choices(told))
    assert (again.temperature_unit, again.clock, again.unsure) == (F, LoggerClock.STANDARD, frozenset())


def test_a_choice_does_not_overrule_what_the_next_file_shows():
    whole = recognise(b"Time;T C;RH\n01/05/2026 12:00;50;40\n01/05/2026 12:10;51;40\n")
    kept = choices(whole.answered(date_order=DateOrder.MONTH_FIRST))
    again = with_choices(
        recognise(b"Time;T C;RH\n21/05/2026 12:00;50,5;40\n21/05/2026 12:10;51,0;40\n"), kept
    )
    assert (again.decimal_mark, again.date_order) == (",", DateOrder.DAY_FIRST)


def test_a_preview_shows_both_ends(tmp_path):
    path = tmp_path / "kiln.csv"
    for style in (PLAIN, Style(newest_first=True)):
        taken = readings("2026-01-01 00:00", hours=24 * 40, step_s=300)
        path.write_bytes(style.text(taken, ZONE))
        assert path.stat().st_size > 2 * SAMPLE_BYTES
        seen = preview(path, recognise_file(path), ZONE)
        assert [(row.at.utc.timestamp(), row.dry, row.second) for row in seen.first_rows] == [
            (each.at_s, each.dry, each.second) for each in taken[:5]
        ]
        assert [row.at.utc.timestamp() for row in seen.last_rows] == [each.at_s for each in taken[-5:]]
        assert (seen.first, seen.last) == (seen.first_rows[0].at, seen.last_rows[-1].at)
        assert seen.set_aside == 0


def columns_of(heading, count):
    rows = [
        ",".join([f"2026-03-01 {hour:02d}:00:00", *(f"{40 + n + hour / 10:.1f}" for n in range(count))])
        for hour in range(24)
    ]
    return recognise("\n".join([heading, *rows]).encode())


def test_what_the_kiln_was_set_to_is_no_reading():
    form = columns_of("Time,Dry bulb set (°F),Dry bulb (°F),Wet bulb SP (°F),Wet bulb (°F)", 4)
    assert (form.dry_column, form.second_column, form.to_ask) == (2, 4, ())


@pytest.mark.parametrize(
    ("heading", "asked"),
    [
        ("Time,Temp 1 (°C),Temp 2 (°C),RH %", (Unsure.DRY,)),
        ("Time,Dry bulb left °C,Dry bulb right °C,Wet bulb °C", (Unsure.DRY,)),
        ("Time,Dry bulb °C,Wet bulb left °C,Wet bulb right °C", (Unsure.SECOND,)),
        ("Time,Temp 1 °C,Temp 2 °C,RH 1 %,RH 2 %", (Unsure.DRY, Unsure.SECOND)),
        ("Time,Dry bulb °C,Outside temperature °C,Wet bulb °C", ()),  # only one is the dry bulb
    ],
)
def test_of_several_sensors_somebody_has_to_choose(heading, asked):
    assert columns_of(heading, heading.count(",")).to_ask == asked


def test_a_logger_set_to_the_other_unit_is_believed():
    fahrenheit = columns_of("Unit: °F\nTime,Temp,RH %", 2)
    celsius = columns_of("Unit: °C\nTime,Temp,RH %", 2)
    assert fahrenheit.shape == celsius.shape
    assert with_choices(celsius, choices(fahrenheit)).temperature_unit is C
    # Where nothing tells it, or the heading told it as well when it was overruled, what was chosen counts.
    silent = columns_of("Time,Temp,RH %", 2)
    assert with_choices(silent, choices(fahrenheit)).temperature_unit is F
    told = columns_of("Time,Temp °C,RH %", 2)
    assert with_choices(told, choices(told.answered(temperature_unit=F))).temperature_unit is F
