"""Stress tests, defects, tally lines and probe readings as they are typed, or refused by their field."""

from __future__ import annotations

import pytest

from kilnlog.drying.closing.stress import judged_test
from kilnlog.drying.closing.tally import Rounding, tally_of
from kilnlog.logbook import defect_lines, probe_lines, stress_lines, tally_lines
from kilnlog.logbook.owner_lines import owner_file_name, pasted, written
from kilnlog.logbook.typed_line import TypedLine, plain
from kilnlog.records.errors import KilnlogError
from kilnlog.records.moment import Moment
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.words import (
    DefectKind,
    LengthUnit,
    ProbePlace,
    Severity,
    StressFound,
    StressTestKind,
    TallyTime,
    TemperatureUnit,
    VolumeUnit,
)

BF, M3 = VolumeUnit.BOARD_FEET, VolumeUnit.CUBIC_METRES
ZONE = "Europe/Vienna"


def stress(mark=".", last=None, **texts):
    return stress_lines.stress_test("charge", "lot", texts, mark, last)


def tally(mark=".", unit=BF, last=None, **texts):
    return tally_lines.tally_line("charge", "lot", {"when": "net", **texts}, mark, unit, last)


def probe(unit=TemperatureUnit.CELSIUS, mark=".", **texts):
    day = Moment.from_text("2026-05-20 09:00", ZONE)
    return probe_lines.probe_reading("charge", texts, mark, ZONE, day, unit)


def refused(made, *arguments, **texts):
    """The field a refusal is about."""
    with pytest.raises(KilnlogError) as told:
        made(*arguments, **texts)
    return told.value.values["column"]


class TestWords:
    @pytest.mark.parametrize(
        ("typed", "word"),
        [
            ("s", None),
            ("slice", StressTestKind.SLICE),
            ("SL", StressTestKind.SLICE),
            ("p", StressTestKind.PRONG),
        ],
    )
    def test_first_letters_do_where_they_leave_no_doubt(self, typed, word):
        line = TypedLine({"kind": typed}, ".")
        if word is None:
            assert refused(line.word, "kind", StressTestKind) == "kind"
        else:
            assert line.word("kind", StressTestKind) is word

    def test_a_whole_word_goes_before_a_longer_one_that_begins_with_it(self):
        line = TypedLine({"unit": "m"}, ".")
        assert line.word("unit", LengthUnit) is LengthUnit.METRES  # not mm

    def test_a_number_is_written_as_it_would_be_typed(self):
        assert plain(1234.5, ",") == "1234,5"
        assert plain(8.0) == "8"
        assert plain(None) == ""


class TestStress:
    def test_a_unit_is_typed_once(self):
        first = stress(kind="prong", value="2.5 mm", limit="4")
        assert (first.value, first.unit) == (2.5, "mm")
        assert stress(kind="prong", value="3", last=first).unit == "mm"
        assert refused(stress, kind="slice", value="3", last=first) == "value"  # of another test
        assert refused(stress, kind="prong", value="3") == "value"

    def test_words_alone_are_enough_and_nothing_at_all_is_not(self):
        assert stress(kind="prong", found="reverse").found is StressFound.REVERSE
        assert refused(stress, kind="prong") == "found"
        assert refused(stress, found="free") == "kind"

    def test_shell_and_core_take_both_and_percent(self):
        test = stress(kind="shell", value="7.2", core_value="8.4 %", limit="1.0")
        assert (test.value, test.core_value, test.unit) == (7.2, 8.4, "%")
        assert stress_lines.verdict(judged_test(test)) == "failed"
        assert refused(stress, kind="shell", value="7.2") == "core_value"
        assert refused(stress, kind="shell", core_value="7.2") == "value"

    def test_a_limit_is_in_the_unit_of_the_figure(self):
        assert stress(kind="prong", value="2 mm", limit="4 mm").limit == 4.0
        assert refused(stress, kind="prong", value="2 mm", limit="0.2 in") == "limit"

    def test_a_line_is_read_back_as_it_was_typed(self):
        typed = {
            "piece": "3",
            "kind": "prong",
            "found": "casehardened",
            "value": "2,5 mm",
            "core_value": "",
            "limit": "4",
            "hours_waited": "24",
        }
        test = stress(",", **typed)
        assert test.value == 2.5
        assert stress_lines.texts_of(test, ",") == typed
        assert stress_lines.next_line(test, ",") == {**typed, "piece": "4", "found": "", "value": ""}

    def test_it_moved_the_other_way(self):
        assert stress(kind="prong", value="-3 mm").value == -3.0


class TestTally:
    def test_sizes_take_the_units_of_the_line_before_else_of_the_lot(self):
        bare = {"thickness": "4/4", "width": "8", "length": "10", "pieces": "6"}
        assert (tally(**bare).width_unit, tally(**bare).length_unit) == (LengthUnit.INCHES, LengthUnit.FEET)
        metric = tally(unit=M3, **bare)
        assert (metric.width_unit, metric.length_unit) == (LengthUnit.MILLIMETRES, LengthUnit.METRES)
        last = tally(**{**bare, "width": "20 cm", "length": "300 cm"})
        assert tally(last=last, **bare).width_unit is LengthUnit.CENTIMETRES
        assert tally(**{**bare, "width": '8"', "length": "10'"}).length_unit is LengthUnit.FEET

    def test_a_thickness_reads_alike_on_every_machine(self):
        line = tally(",", thickness="27,5 mm", width="200 mm", length="3 m", pieces="10")
        assert line.thickness == "27.5 mm"
        # 0.0275 x 0.2 x 3 x 10 m3
        assert tally_of([line], M3).net == pytest.approx(0.165, abs=1e-12)
        assert tally_lines.texts_of(line, ",")["thickness"] == "27,5 mm"
        assert (
            tally_lines.texts_of(tally(thickness="1 1/4 in.", width="8", length="8", pieces="1"), ",")[
                "thickness"
            ]
            == "1 1/4 in."
        )

    @pytest.mark.parametrize(
        ("texts", "field"),
        [
            ({"thickness": "4/4", "width": "8", "length": "10"}, "pieces"),
            ({"width": "8", "length": "10", "pieces": "3"}, "thickness"),
            ({"thickness": "4", "width": "8", "length": "10", "pieces": "3"}, "thickness"),
            ({"thickness": "4/4", "width": "8 ells", "length": "10", "pieces": "3"}, "width"),
            ({"thickness": "4/4", "width": "0", "length": "10", "pieces": "3"}, "width"),
            ({"thickness": "4/4", "width": "8", "length": "10", "pieces": "0"}, "pieces"),
            ({"volume": "3 stere"}, "volume"),
            ({"volume": "-3"}, "volume"),
            ({}, "thickness"),
        ],
    )
    def test_what_cannot_be_counted_is_refused_by_its_field(self, texts, field):
        assert refused(tally, **texts) == field

    def test_a_total_may_name_its_unit(self):
        assert tally(volume="1.2 m³").volume_unit is M3
        assert tally(volume="500").volume_unit is BF

    def test_volumes_are_told_finer_than_a_lots(self):
        assert tally_lines.volume_words(13.04, BF) == "13.0 bf"
        assert tally_lines.volume_words(0.16549, M3) == "0.165 m³"


class TestDefects:
    def test_a_line(self):
        texts = {"kind": "surface", "severity": "sl", "pieces": "4", "volume": "9.5", "note": ""}
        fact = defect_lines.defect("charge", "lot", texts, ".", BF)
        assert (fact.kind, fact.severity, fact.pieces) == (DefectKind.SURFACE_CHECKS, Severity.SLIGHT, 4)
        assert (fact.volume, fact.volume_unit) == (9.5, BF)
        assert defect_lines.texts_of(fact, ".") == {
            "kind": "surface checks",
            "severity": "slight",
            "pieces": "4",
            "volume": "9.5 bf",
            "note": "",
        }

    def test_a_doubtful_word_names_what_it_may_be(self):
        with pytest.raises(KilnlogError) as told:
            defect_lines.defect("charge", "lot", {"kind": "c"}, ".", BF)
        assert told.value.values["known"] == ("collapse", "cup", "crook")


class TestProbes:
    def test_a_clock_alone_is_of_the_day_shown(self):
        fact, at = probe(probe="K1", placed_in="c", read_at="10:32", temperature="56,4 C", mark=",")
        assert (fact.probe, fact.placed_in, fact.temperature) == ("K1", ProbePlace.CORE, 56.4)
        assert at.text() == "2026-05-20 10:32"

    def test_a_unit_typed_wins(self):
        fact, _ = probe(probe="K1", placed_in="air", read_at="10:32", temperature="133 F")
        assert fact.temperature_unit is TemperatureUnit.FAHRENHEIT
        assert probe_lines.next_line(fact)["placed_in"] == "air"

    @pytest.mark.parametrize("empty", ["probe", "placed_in", "read_at", "temperature"])
    def test_every_field_is_needed(self, empty):
        whole = {"probe": "K1", "placed_in": "core", "read_at": "10:32", "temperature": "56"}
        assert refused(probe, **{**whole, empty: ""}) == empty

    def test_no_wood_is_so_hot(self):
        assert (
            refused(probe, probe="K1", placed_in="core", read_at="10:32", temperature="5600") == "temperature"
        )


class TestOwnersLines:
    line = TallyLine(
        "charge",
        "lot",
        TallyTime.NET,
        "+FAS, clear",
        "4/4",
        8.5,
        LengthUnit.INCHES,
        10.0,
        LengthUnit.FEET,
        3,
    )

    def test_numbers_are_numbers_and_texts_are_never_worked_out(self):
        made = written([("A", tally_of([self.line], BF, Rounding.EXACT))])
        heading, row = made.splitlines()
        assert heading.startswith("lot,when,grade,")
        # 1 x 8.5 x 10 / 12 x 3
        assert row == 'A,net,"\'+FAS, clear",4/4,8.5,in,10,ft,3,21.25,bf,,'

    def test_pasted_numbers_are_the_machines(self):
        row = pasted([("A", tally_of([self.line], BF))], ",").splitlines()[1].split("\t")
        assert row[4:6] == ["8,5", "in"]
        assert row[9] == "21,25"

    def test_a_name_for_the_file(self):
        assert owner_file_name("2026/12", "Rowan Joinery") == "2026 12 Rowan Joinery tally.csv"
