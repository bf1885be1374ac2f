"""Probes read by hand in the close-out, what is asked of them, and what they showed."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Qt

from kilnlog.exchange.logger.recognise import recognise_file
from kilnlog.logbook.close_out_steps import Step, StepState
from kilnlog.logbook.reading_logger import read_logger
from kilnlog.logbook.writing import change, write_all
from kilnlog.records.heat_choice import HeatChoice
from kilnlog.records.probe_reading import ProbeReading
from kilnlog.records.words import ProbePlace, TemperatureUnit
from kilnlog.ui.closing.heat_choice_form import HeatChoiceForm
from kilnlog.ui.register.reason import ReasonDialog
from tests.ui.boards import keep, type_in
from tests.ui.closing.desk_of import enter, in_front, kept, lines, press, settle, shown
from tests.ui.conftest import at, dialog_with_keys

CORE, AIR = ProbePlace.CORE, ProbePlace.AIR
C, F = TemperatureUnit.CELSIUS, TemperatureUnit.FAHRENHEIT


def read(qtbot, desk, view, *traces, minutes=5, begins="2026-11-24 06:00"):
    """Readings by hand, so many minutes apart; None where a probe was not read."""
    began, charge = at(begins), view.hand.record.entity
    drafts = [
        (ProbeReading(charge, name, place, value, C), began.plus_hours(number * minutes / 60))
        for name, place, values in traces
        for number, value in enumerate(values)
        if value is not None
    ]
    desk.do(write_all, drafts)
    settle(qtbot, desk)
    settle(qtbot, desk)  # what the probes say is read once their readings are kept


def ask(qtbot, desk, view, at_least=56.0, minutes=30.0):
    desk.do(write_all, [(HeatChoice(view.hand.record.entity, at_least, C, minutes), None)])
    settle(qtbot, desk)
    settle(qtbot, desk)


def test_readings_are_typed_with_a_time_and_carry_the_probe(qtbot, window, desk):
    view = shown(qtbot, window, Step.HEAT)
    qtbot.waitUntil(lambda: not view.page.entry.table.isHidden())
    view.page.entry.table.take_keys("probe")
    enter(qtbot, desk, "K1", "", "2026-11-24 06:00", "56.5 C")
    table = view.page.entry.table
    table.take_keys("read_at")
    view.page.turn()  # the readings stay in front though there is a line to draw now
    enter(qtbot, desk, "06:10", "57")
    first, second = desk.record.probe_reading
    assert first.current.fact == ProbeReading(view.hand.record.entity, "K1", CORE, 56.5, C)
    assert second.current.fact.temperature == 57.0
    assert second.current.fact.temperature_unit is C
    assert (second.current.at.text()) == "2026-11-24 06:10"
    assert lines(view)[1][:2] == ["K1", "core"]


def test_a_time_or_temperature_that_cannot_be_read_is_refused(qtbot, window, desk):
    view = shown(qtbot, window, Step.HEAT)
    qtbot.waitUntil(lambda: not view.page.entry.table.isHidden())
    table = view.page.entry.table
    table.take_keys("probe")
    enter(qtbot, desk, "K1", "", "ten", "56")
    assert "“ten”" in table.told
    assert table.fields["read_at"].hasFocus()
    enter(qtbot, desk, "2026-11-24 06:00", "")
    assert kept(view, "probe_reading")[0].temperature == 56.0


def test_a_published_threshold_is_chosen_with_its_standing(qtbot, window, desk):
    view = shown(qtbot, window, Step.HEAT)
    read(qtbot, desk, view, ("K1", CORE, [20.0] + [56.0] * 8))
    press(qtbot, Qt.Key.Key_F7)
    form = dialog_with_keys(qtbot, HeatChoiceForm)
    assert form.rows["at_least"].field.text() == "56 °C"  # ISPM 15, the first of the table
    assert form.rows["for_minutes"].field.text() == "30 min"
    assert "ISPM 15" in form.about
    assert "From memory" not in form.about
    form.published.set_value("2")
    assert "From memory" in form.about  # a treatment manual nobody read for this
    form.published.set_value("0")
    keep(qtbot, form)
    settle(qtbot, desk)
    settle(qtbot, desk)
    (choice,) = kept(view, "heat_choice")
    assert (choice.at_least, choice.temperature_unit, choice.for_minutes) == (56.0, C, 30.0)
    assert "ISPM 15" in choice.limits_from
    # Eight readings five minutes apart, the first at the threshold itself: 35 minutes.
    assert view.page.figures.shown["longest unbroken"] == "35"
    assert view.page.said.texts[0].startswith(
        "Reached. Longest unbroken time of every probe in the wood: 35 min"
    )
    assert view.hand.close_out.line(Step.HEAT).state is StepState.DONE
    said = " ".join(view.page.said.texts)
    assert "operator’s own record" in said
    assert "certified" not in said
    assert "compliant" not in said


def test_a_typed_threshold_is_kept_and_changed(qtbot, window, desk):
    view = shown(qtbot, window, Step.HEAT)
    view.page.ask.click()
    form = dialog_with_keys(qtbot, HeatChoiceForm)
    type_in(qtbot, form, "at_least", "hot")
    type_in(qtbot, form, "for_minutes", "30")
    keep(qtbot, form)
    assert form.rows["at_least"].wrong
    assert "no time with its unit" in form.rows["for_minutes"].wrong
    type_in(qtbot, form, "at_least", "140 F")
    type_in(qtbot, form, "for_minutes", "1.5 h")
    type_in(qtbot, form, "limits_from", "the order")
    keep(qtbot, form)
    settle(qtbot, desk)
    assert kept(view, "heat_choice") == [HeatChoice(view.hand.record.entity, 140.0, F, 90.0, "the order")]
    in_front(qtbot, window)
    view.page.ask.click()
    form = dialog_with_keys(qtbot, HeatChoiceForm)
    assert form.published.value == "typed"
    assert form.rows["for_minutes"].field.text() == "90 min"
    type_in(qtbot, form, "for_minutes", "60 min")
    keep(qtbot, form)
    settle(qtbot, desk)
    assert [one.for_minutes for one in kept(view, "heat_choice")] == [60.0]
    assert len(desk.record.heat_choice[0].entries) == 2


def test_a_dip_and_a_hole_break_the_time_and_are_told(qtbot, window, desk):
    view = shown(qtbot, window, Step.HEAT)
    warm = [57.0] * 13
    dipped = [57.0] * 4 + [55.9] + [57.0] * 8
    holed = [57.0] * 9 + [None, None] + [57.0] * 2
    read(
        qtbot,
        desk,
        view,
        ("K1", CORE, warm),
        ("K2", CORE, dipped),
        ("K3", CORE, holed),
        ("air", AIR, [20.0] * 13),
    )
    ask(qtbot, desk, view)
    page = view.page
    # K2 dips at 20 min, K3 is silent from 40 to 55 min: left are 0 to 15, 25 to 40 and 55 to 60 min.
    assert page.figures.shown == {
        "longest unbroken": "15",
        "probes in the wood": "3",
        "read every": "5",
        "dips and holes": "2",
    }
    said = page.said.texts
    assert said[0].startswith("Not reached.")
    assert "K2 below the threshold: one reading, 2026-11-24 06:20." in said
    assert "K3 without a reading: 15 min, 2026-11-24 06:40 to 2026-11-24 06:55." in said
    assert "Longest time between two readings of a probe within that time: 5 min." in said
    assert [text for text in said if text.startswith(("15 min", "5 min"))] == [
        "15 min, 2026-11-24 06:00 to 2026-11-24 06:15",
        "15 min, 2026-11-24 06:25 to 2026-11-24 06:40",
        "5 min, 2026-11-24 06:55 to 2026-11-24 07:00",
    ]
    assert any(text.startswith("air, in the air, not counted") for text in said)
    assert "Not reached" in page.plot.accessibleDescription()


def test_a_probe_in_the_air_says_nothing_of_the_wood(qtbot, window, desk):
    view = shown(qtbot, window, Step.HEAT)
    read(qtbot, desk, view, ("air", AIR, [70.0] * 20))
    ask(qtbot, desk, view)
    assert view.page.said.texts[0].startswith("Nothing is said of the wood.")
    assert "Reached" not in " ".join(view.page.said.texts)
    assert "longest unbroken, of the air" in view.page.figures.shown


def test_asking_nothing_takes_a_reason_and_is_undone(qtbot, window, desk):
    view = shown(qtbot, window, Step.HEAT)
    read(qtbot, desk, view, ("K1", CORE, [57.0] * 9))
    ask(qtbot, desk, view)
    view.page.ask_nothing.click()
    why = dialog_with_keys(qtbot, ReasonDialog)
    type_in(qtbot, why, "reason", "not asked for after all")
    why.keep()
    settle(qtbot, desk)
    assert kept(view, "heat_choice") == []
    assert view.hand.close_out.line(Step.HEAT).state is StepState.OPTIONAL
    assert view.page.figures.isHidden()
    assert view.page.at_right.text() == ""
    in_front(qtbot, window)
    view.page.take_keys()
    press(qtbot, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    settle(qtbot, desk)
    assert len(kept(view, "heat_choice")) == 1


def test_heat_after_a_lot_left_did_nothing_to_it(qtbot, window, desk):
    view = shown(qtbot, window, Step.HEAT)
    read(qtbot, desk, view, ("K1", CORE, [57.0] * 13))
    ask(qtbot, desk, view)
    assert view.page.figures.shown["longest unbroken"] == "60"
    lot = view.hand.lot
    left = replace(lot.fact, out_at=at("2026-11-24 06:22"))
    desk.do(change, "lot", lot.entity, left, at("2026-11-24 06:22"), None)
    settle(qtbot, desk)
    view.begin(lot.entity)
    view.show_step(Step.HEAT)
    settle(qtbot, desk)
    settle(qtbot, desk)
    assert view.page.figures.shown["longest unbroken"] == "20"
    assert view.page.said.texts[0].startswith("Not reached.")


def test_a_probes_file_is_asked_as_soon_as_it_is_read(qtbot, window, desk, tmp_path):
    view = shown(qtbot, window, Step.HEAT)
    ask(qtbot, desk, view)
    assert view.page.said.texts[0].startswith("No probe was read")
    path = tmp_path / "k1.csv"
    rows = [f"2026-11-24 {6 + n // 60:02}:{n % 60:02}:00,{55.9 if n == 70 else 57.0}" for n in range(120)]
    path.write_text("\n".join(["Time,Temperature (°C)", *rows, ""]), encoding="utf-8")
    form = recognise_file(path).as_probe(CORE)
    charge = view.hand.record.entity
    desk.do(lambda book: read_logger(book, charge, path, form, sensor="K1").changes)
    settle(qtbot, desk)
    settle(qtbot, desk)
    # 0 to 69 minutes, the dip at 70, 71 to 119.
    assert view.page.figures.shown["longest unbroken"] == "69"
    assert "K1 below the threshold: one reading, 2026-11-24 07:10." in view.page.said.texts
    (trace,) = view.page.seen.traces
    assert [len(stroke.at_s) for stroke in trace.strokes] == [120]
    assert view.page.plot.sizeHint().height() > 0


def test_without_a_probe_it_says_so_and_stays_optional(qtbot, window, desk):
    view = shown(qtbot, window, Step.HEAT)
    settle(qtbot, desk)
    assert view.page.said.texts[0].startswith("No probe was read in this charge.")
    assert view.hand.close_out.line(Step.HEAT).state is StepState.OPTIONAL
    assert view.page.plot.sizeHint().height() == 0
