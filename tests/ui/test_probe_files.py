"""A probe's file read in the window: where it sits is chosen, previewed, remembered; never drawn as air."""

from __future__ import annotations

import pytest

from kilnlog.logbook.logger_settings import ReadAs
from kilnlog.records.words import ProbePlace
from kilnlog.ui.kiln_air.logger_commands import LoggerCommands
from kilnlog.ui.kiln_air.logger_dialog import LoggerDialog, LoggerSummary
from kilnlog.ui.kiln_air.logger_fields import OTHER_SENSOR, Ask
from kilnlog.ui.kiln_air.logger_preview import AS_PROBE
from tests.exchange.logger.files import PLAIN, Style, readings
from tests.ui.boards import keep, settle
from tests.ui.conftest import ZONE, dialog_open, dialog_with_keys

RUN = "2026-11-16 14:00"
#: Two probes in one file, told apart by nothing but their place.
TWO = Style("Time,Probe 1 (°C),Probe 2 (°C)")


@pytest.fixture
def shown(qtbot, window, tmp_path):
    commands = LoggerCommands(window, window.desk, window.appearance)

    def made(style, name="k1.csv"):
        path = tmp_path / name
        path.write_bytes(style.text(readings(RUN, 10), ZONE))
        commands.show(path)
        dialog = dialog_with_keys(qtbot, LoggerDialog)
        settle(qtbot, window.desk)
        settle(qtbot, window.desk)
        return dialog

    return made


@pytest.fixture
def place(qtbot, window):
    def chosen(dialog, where):
        dialog.set_choice("read_as", where.value)
        settle(qtbot, window.desk)
        settle(qtbot, window.desk)

    return chosen


def value(dialog, column):
    return dialog.rows[column].field.value


def kept(qtbot, dialog):
    keep(qtbot, dialog)
    qtbot.waitUntil(lambda: isinstance(dialog_open(), LoggerSummary))
    text = dialog_open().text
    dialog_open().reject()
    return text


def batches(window):
    return [line.current.fact for line in window.desk.record.logger_batch if line.current is not None]


def test_a_probe_in_the_core_is_previewed_so_and_kept_apart_from_the_air(qtbot, window, shown, place):
    dialog = shown(PLAIN)
    assert value(dialog, "read_as") == ReadAs.KILN_AIR.value
    place(dialog, ReadAs.CORE)
    table = dialog.preview.table
    assert table._headings == ("Taken at", "Core of the wood, °C")
    assert [cell.text for cell in table._rows[0]] == ["2026-11-16 09:00", "52.00"]
    assert AS_PROBE in dialog.preview.told
    assert value(dialog, "sensor") == "probe"
    assert value(dialog, Ask.SECOND_COLUMN) == "none"
    assert dialog.rows[Ask.SECOND_COLUMN].isHidden()
    assert dialog.rows[Ask.DRY].title.text() == "Its temperature stands in"
    told = kept(qtbot, dialog)
    assert "temperatures of a probe in the core of the wood, in °C from column 2" in told
    (batch,) = batches(window)
    assert (batch.sensor, batch.placed_in, batch.second) == ("probe", ProbePlace.CORE, None)
    assert window.desk.air.lines == ()


def test_it_is_remembered_for_the_probe_and_forgets_nothing_of_the_air(qtbot, window, shown, place):
    dialog = shown(PLAIN, "air.csv")
    kept(qtbot, dialog)
    dialog = shown(PLAIN)
    place(dialog, ReadAs.AIR)
    assert dialog.preview.table._headings == ("Taken at", "Air near the wood, °C")
    kept(qtbot, dialog)
    again = shown(PLAIN)
    again.set_choice("sensor", "probe")  # both were read in the one minute the clock here shows
    settle(qtbot, window.desk)
    settle(qtbot, window.desk)
    assert (value(again, "read_as"), value(again, "sensor")) == (ReadAs.AIR.value, "probe")
    place(again, ReadAs.KILN_AIR)
    assert (value(again, "sensor"), value(again, Ask.SECOND_COLUMN)) == ("logger", "2")
    assert again.preview.table._headings == ("Taken at", "Dry bulb, °C", "Wet bulb, °C")
    assert not again.rows[Ask.SECOND_COLUMN].isHidden()
    assert again.rows[Ask.DRY].title.text() == "Dry bulb stands in"
    again.reject()
    assert [(batch.sensor, batch.placed_in) for batch in batches(window)] == [
        ("logger", None),
        ("probe", ProbePlace.AIR),
    ]
    assert [line.sensor for line in window.desk.air.lines] == ["logger"]


def test_of_two_probes_in_a_file_the_column_is_asked_for(qtbot, window, shown, place):
    dialog = shown(TWO)
    place(dialog, ReadAs.CORE)
    assert value(dialog, Ask.DRY) == ""
    dialog.keep()
    assert batches(window) == []
    dialog.set_choice(Ask.DRY, "2")
    settle(qtbot, window.desk)
    assert [cell.text for cell in dialog.preview.table._rows[0]] == ["2026-11-16 09:00", "41.0"]
    kept(qtbot, dialog)
    assert [(batch.placed_in, batch.rows) for batch in batches(window)] == [(ProbePlace.CORE, 61)]


def test_a_probe_is_called_as_its_column_is_headed(qtbot, window, shown, place):
    dialog = shown(TWO)
    place(dialog, ReadAs.CORE)
    assert value(dialog, "sensor") == "probe"  # while nobody said which column
    for column, name in (("1", "Probe 1"), ("2", "Probe 2")):
        dialog.set_choice(Ask.DRY, column)
        settle(qtbot, window.desk)
        assert value(dialog, "sensor") == name
    kept(qtbot, dialog)
    assert [batch.sensor for batch in batches(window)] == ["Probe 2"]


def test_the_second_probe_of_a_file_goes_by_its_own_column_and_a_column_read_twice_is_told(
    qtbot, window, shown, place
):
    dialog = shown(TWO)
    place(dialog, ReadAs.CORE)
    dialog.set_choice(Ask.DRY, "1")
    settle(qtbot, window.desk)
    kept(qtbot, dialog)
    dialog = shown(TWO)
    assert (value(dialog, "sensor"), value(dialog, Ask.DRY)) == ("Probe 1", "1")
    assert "was read already" not in dialog.preview.told  # the same probe read on
    dialog.set_choice("sensor", OTHER_SENSOR)
    settle(qtbot, window.desk)
    assert "Column 2 of this file was read already as “Probe 1”" in dialog.preview.told
    dialog.set_text("sensor_name", "slab, near the door")
    dialog.set_choice(Ask.DRY, "2")
    settle(qtbot, window.desk)
    assert "was read already" not in dialog.preview.told
    dialog.set_choice(Ask.DRY, "1")
    settle(qtbot, window.desk)
    assert "Column 2 of this file was read already as “Probe 1”" in dialog.preview.told
    dialog.set_choice("sensor", "Probe 1")
    settle(qtbot, window.desk)
    dialog.set_choice(Ask.DRY, "2")
    settle(qtbot, window.desk)
    assert value(dialog, "sensor") == "Probe 2"
    kept(qtbot, dialog)
    assert [batch.sensor for batch in batches(window)] == ["Probe 1", "Probe 2"]
