"""How far a close-out is, what stands before the seal, and what a typed line of readings makes.

The scenario is invented. What is expected is worked out beside each check: the headings and what comes of
leaving one empty are the project's own words, and no publication is behind them.
"""

from __future__ import annotations

import json
import re
import statistics
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from kilnlog.drying.assessment import assess
from kilnlog.drying.closing.figures import SeriesKind
from kilnlog.exchange.papers.lot_page import facts
from kilnlog.exchange.papers.lot_words import UNANSWERED, answer_words, with_answers
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.logbook.close_out import close_out
from kilnlog.logbook.close_out_review import review
from kilnlog.logbook.close_out_steps import Code, Step, StepState, Way
from kilnlog.logbook.close_out_words import consequence, step_line, title, tolerance_words
from kilnlog.logbook.closing import close_charge, close_lot
from kilnlog.logbook.final_readings import (
    CORRECTION,
    DRY,
    PACK,
    PIECE,
    READING,
    WET,
    WOOD,
    SeriesTerms,
    carried_terms,
    counted_up,
    doubts,
    meter_reading,
    next_line,
    oven_reading,
)
from kilnlog.logbook.paper_settings import set_mill
from kilnlog.logbook.sealing import sealed_text
from kilnlog.logbook.session import new_logbook
from kilnlog.logbook.writing import change, correct, take_back, write
from kilnlog.records.board import Board
from kilnlog.records.charge import Charge
from kilnlog.records.defect import Defect
from kilnlog.records.errors import KilnlogError, MissingValue, OutOfRange
from kilnlog.records.instrument import Instrument
from kilnlog.records.lot import Lot
from kilnlog.records.moment import Moment
from kilnlog.records.section import Section
from kilnlog.records.step_answer import StepAnswer
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.typed_weight import weight_from_text
from kilnlog.records.weight import WeightUnit
from kilnlog.records.words import (
    AnswerKind,
    CloseOutStep,
    DefectKind,
    InstrumentKind,
    ReadingKind,
    TallyTime,
    TemperatureRule,
    TemperatureUnit,
    VolumeUnit,
)
from kilnlog.reference.tables import load

ZONE = "America/New_York"
NOW = datetime(2026, 11, 25, 17, 0, tzinfo=UTC)
REFERENCE = load()
READ = (6.8, 7.0, 7.2, 7.4, 7.2, 7.6, 7.3, 8.3)


def at(text: str) -> Moment:
    return Moment.from_text(text, ZONE)


class Mill:
    """A logbook with one unloaded charge of two lots."""

    def __init__(self, path):
        self.book = new_logbook(path, clock=lambda: NOW, who="mill")
        loaded = at("2026-11-01 08:00")
        fact = Charge("2026-20", ZONE, None, loaded, 7.0, unloaded_at=None)
        self.charge = write(self.book, fact, loaded).entries[0].entity
        self.lots = [
            write(
                self.book,
                Lot(self.charge, label, owner, "cherry", "4/4", 380.0, VolumeUnit.BOARD_FEET),
                loaded,
            )
            .entries[0]
            .entity
            for label, owner in (("A", "Rowan Joinery"), ("B", None))
        ]

    @property
    def record(self):
        return self.book.file.charge_record(self.charge)

    def unload(self):
        fact = replace(self.record.particulars, unloaded_at=at("2026-11-20 15:20"))
        change(self.book, "charge", self.charge, fact, at("2026-11-20 15:20"))

    def limits(self, words, lot=0):
        line = self.record.lot[lot]
        correct(self.book, "lot", line.entity, replace(line.newest.fact, limits_from=words), "the order")

    def read(self, *readings, lot=0, meter=None):
        for number, reading in enumerate(readings, 1):
            terms = SeriesTerms(instrument=meter)
            typed = {PACK: "1", PIECE: str(number), READING: str(reading)}
            write(
                self.book,
                meter_reading(self.charge, self.lots[lot], terms, typed, "."),
                at("2026-11-21 09:00"),
            )

    def tally(self, pieces, lot=0):
        unit = VolumeUnit.BOARD_FEET
        of = (self.charge, self.lots[lot], TallyTime.NET)
        line = TallyLine(*of, pieces=pieces, volume=100.0, volume_unit=unit)
        write(self.book, line, at("2026-11-21 10:00"))

    def answer(self, step, kind=AnswerKind.LEFT_OUT, note="no time", lot=0):
        of = None if lot is None else self.lots[lot]
        return write(self.book, StepAnswer(self.charge, step, kind, of, note)).entries[0].entity

    def out(self, lot=None):
        now = Moment(NOW, ZONE)
        record = self.record
        scope = None if lot is None else self.lots[lot]
        return close_out(record, assess(record, REFERENCE, now), REFERENCE, now, scope)

    def said(self, step, lot=None):
        return step_line(self.out(lot).line(step), Moment(NOW, ZONE))


@pytest.fixture
def mill(tmp_path):
    made = Mill(tmp_path / "mill.kilnlog")
    yield made
    made.book.close()


def codes(out, lot=None):
    return [one.code for one in out.before if lot is None or one.lot == lot]


def test_a_charge_with_nothing_written_misses_every_heading_of_every_lot(mill):
    out = mill.out()
    assert [line.step for line in out.lines] == list(Step)
    states = {line.step: line.state for line in out.lines}
    assert states[Step.UNLOADING] is StepState.OPEN
    for step in (Step.FINAL_MOISTURE, Step.STRESS, Step.DEFECTS, Step.TALLY):
        assert states[step] is StepState.OPEN
    assert states[Step.HEAT] is StepState.OPTIONAL
    assert out.first_open is Step.UNLOADING
    per_lot = [Code.NO_READINGS, Code.NO_STRESS, Code.NO_DEFECTS, Code.NO_TALLY]
    missing = {(one.code, one.lot) for one in out.missing}
    assert missing == {(Code.NOT_UNLOADED, None)} | {(code, lot) for code in per_lot for lot in mill.lots}
    assert not any(one.step is Step.HEAT for one in out.before)  # nobody asked for it, no probe was read


def test_unloading_moves_the_first_open_heading_on(mill):
    mill.unload()
    out = mill.out()
    assert out.line(Step.UNLOADING).state is StepState.DONE
    assert mill.said(Step.UNLOADING) == "20 Nov, 15:20"
    assert out.first_open is Step.FINAL_MOISTURE


def test_of_several_lots_the_one_left_is_named(mill):
    mill.read(*READ)
    assert mill.out().line(Step.FINAL_MOISTURE).state is StepState.OPEN
    assert mill.said(Step.FINAL_MOISTURE) == "open for lot B"
    mill.read(7.1, lot=1)
    assert mill.said(Step.FINAL_MOISTURE) == "9 readings"


def test_what_is_left_out_says_so_with_its_reason_and_can_be_taken_up(mill):
    answer = mill.answer(CloseOutStep.STRESS, note="the saw was down")
    out = mill.out()
    one = next(one for one in out.before if one.code is Code.LEFT_OUT)
    assert (one.step, one.lot, one.ways, one.answer) == (Step.STRESS, mill.lots[0], (Way.TAKE_UP,), answer)
    assert title(one, out) == "Lot A: stress left out"
    assert consequence(one) == "The record will say “Stress: left out because: the saw was down”."
    take_back(mill.book, "step_answer", answer, "looked at after all")
    assert Code.NO_STRESS in codes(mill.out(), mill.lots[0])


def test_an_answer_for_the_whole_charge_holds_for_every_lot(mill):
    mill.answer(CloseOutStep.TALLY, lot=None)
    assert mill.out().line(Step.TALLY).state is StepState.LEFT_OUT
    assert Code.NO_TALLY not in codes(mill.out())


def test_none_found_is_an_answer_until_something_is_written(mill):
    for lot in (0, 1):
        mill.answer(CloseOutStep.DEFECTS, AnswerKind.NONE_FOUND, None, lot)
    assert mill.out().line(Step.DEFECTS).state is StepState.NONE_FOUND
    assert mill.said(Step.DEFECTS) == "none found"
    write(mill.book, Defect(mill.charge, mill.lots[0], DefectKind.CUP, pieces=2))
    of_lot = {line.step: line.state for line in mill.out().of_lots[mill.lots[0]]}
    assert of_lot[Step.DEFECTS] is StepState.DONE


def test_one_reading_outside_is_named_with_its_pack_and_piece(mill):
    mill.limits("6 to 8 %, average 7")
    mill.read(*READ)
    out = mill.out()
    one = next(one for one in out.before if one.code is Code.OUTSIDE)
    assert title(one, out) == "Lot A: one reading above 8 %"
    assert consequence(one) == "Pack 1, piece 8, 8.3 %. It stays in; the record counts it outside."
    series = out.finals[mill.lots[0]].series[0]
    # By the statistics module of Python, not by the figures under test.
    assert series.whole.mean_pct == pytest.approx(statistics.fmean(READ), abs=1e-12)
    assert series.whole.sd_pct == pytest.approx(statistics.stdev(READ), abs=1e-12)
    assert (series.whole.inside, series.whole.n) == (7, 8)


def test_a_reading_over_thirty_is_outside_without_any_limits(mill):
    mill.read(7.0, 34.0)
    one = next(one for one in mill.out().before if one.code is Code.OUTSIDE)
    assert consequence(one).startswith("Pack 1, piece 2, over 30 %.")


def test_limits_that_cannot_be_read_are_said(mill):
    mill.limits("dry as usual")
    mill.read(7.0)
    one = next(one for one in mill.out().before if one.code is Code.UNREADABLE_LIMITS)
    assert one.ways == (Way.DO,)
    assert "“dry as usual”" in consequence(one)


def test_the_meter_and_when_it_was_checked_are_told(mill):
    fact = Instrument("Pin meter 2", InstrumentKind.METER, checked_at=at("2026-10-14 09:00"))
    meter = write(mill.book, fact, at("2026-10-14 09:00")).entries[0].entity
    mill.read(7.0, meter=meter)
    out = mill.out()
    one = next(one for one in out.before if one.code is Code.METER_CHECKED)
    # From 14 Oct to 25 Nov are 42 days.
    assert title(one, out) == "Meter last checked 6 weeks ago"
    assert consequence(one) == "The record names Pin meter 2 and that date."


def test_a_lot_that_leaves_is_closed_by_itself_and_no_part_of_the_charge(mill):
    mill.read(*READ)
    out = mill.out(lot=0)
    assert [entry.fact.lot for entry in out.lots] == ["A"]
    assert Code.NOT_UNLOADED not in codes(out)
    assert out.line(Step.UNLOADING).state is StepState.WAITING
    close_lot(mill.book, mill.charge, mill.lots[0], at("2026-11-22 09:00"), None, REFERENCE)
    assert mill.out(lot=0).line(Step.SEAL).state is StepState.DONE
    assert [entry.fact.lot for entry in mill.out().lots] == ["B"]


def test_a_sealed_charge_has_its_seal_line_done(mill):
    mill.unload()
    close_charge(mill.book, mill.charge, at("2026-11-25 09:00"), "kiln needed", REFERENCE)
    assert mill.said(Step.SEAL) == "25 Nov, 09:00"


def test_the_review_tells_each_lot_with_what_the_record_will_say(mill):
    mill.limits("6 to 8 %, average 7")
    mill.read(*READ)
    mill.answer(CloseOutStep.STRESS, note="not asked for")
    parts = review(mill.out(), mill.record, Moment(NOW, ZONE))
    assert [part.title for part in parts] == [
        "Charge 2026-20",
        "Lot A, 4/4 cherry, Rowan Joinery",
        "Lot B, 4/4 cherry, own stock",
    ]
    rows = dict(parts[1].rows)
    # 58.8 over 8 is 7.35, which is shown half to even; SD by Python's statistics module.
    assert f"{statistics.stdev(READ):.2f}" == "0.45"
    assert rows["Asked for"] == "order: 6 to 8 %, average 7"
    assert rows["Final moisture, pin meter"] == "8 pieces, 7 inside; mean 7.4 %, SD 0.45"
    assert "The record will say “Stress: left out because: not asked for”." in parts[1].sentences


def test_the_tolerance_sentence_names_share_and_confidence(mill):
    mill.read(*READ)
    series = mill.out().finals[mill.lots[0]].series[0]
    interval = series.intervals[0]
    # The factor itself is checked with the intervals; here, that the words are those of its figures: it lies
    # about the mean, which Python's statistics module gives, and holds more than the readings' own spread.
    assert (interval.low_pct + interval.high_pct) / 2 == pytest.approx(statistics.fmean(READ), abs=1e-9)
    assert interval.high_pct - interval.low_pct > 2 * statistics.stdev(READ)
    assert next(iter(tolerance_words(series))) == (
        f"At least 90 % of the pieces lie between {interval.low_pct:.1f} and {interval.high_pct:.1f} %, "
        "said with 95 % confidence, if the lot is normally spread."
    )


# What a typed line makes.


def line(**typed):
    return {PACK: "2", PIECE: "17", READING: "7.4", WOOD: "", CORRECTION: "", **typed}


def test_a_line_is_read_with_the_terms_of_its_series():
    terms = SeriesTerms(
        ReadingKind.PIN_METER,
        "m",
        "1/4 in",
        "cherry",
        TemperatureRule.RULE_OF_THUMB,
        TemperatureUnit.FAHRENHEIT,
        70.0,
        -0.6,
    )
    fact = meter_reading("c", "l", terms, line(**{WOOD: "61"}), ".")
    assert (fact.pack, fact.piece, fact.reading_pct, fact.wood_temperature) == ("2", "17", 7.4, 61.0)
    assert (fact.instrument, fact.depth, fact.species_setting) == ("m", "1/4 in", "cherry")
    assert (fact.temperature_rule, fact.calibration_temperature) == (TemperatureRule.RULE_OF_THUMB, 70.0)
    assert fact.species_correction_pct == -0.6
    # Typed in the other unit, the calibration set in Fahrenheit is not taken for one in Celsius.
    other = meter_reading("c", "l", terms, line(**{WOOD: "16 C"}), ".")
    assert (other.temperature_unit, other.calibration_temperature) == (TemperatureUnit.CELSIUS, None)


@pytest.mark.parametrize(
    ("typed", "rule", "error", "field"),
    [
        ({READING: ""}, None, MissingValue, READING),
        ({READING: "x"}, None, KilnlogError, READING),
        ({READING: "2000"}, None, OutOfRange, READING),
        ({}, TemperatureRule.RULE_OF_THUMB, MissingValue, WOOD),
        ({WOOD: "900"}, None, OutOfRange, WOOD),
        ({WOOD: "warm"}, None, KilnlogError, WOOD),
        ({}, TemperatureRule.TYPED, MissingValue, CORRECTION),
        ({CORRECTION: "99"}, TemperatureRule.TYPED, OutOfRange, CORRECTION),
    ],
)
def test_a_line_that_says_nothing_names_its_field(typed, rule, error, field):
    with pytest.raises(error) as refused:
        meter_reading("c", "l", SeriesTerms(temperature_rule=rule), line(**typed), ".")
    assert refused.value.values["field"] == field


def test_an_oven_dried_piece_needs_both_weights():
    typed = {PACK: "", PIECE: "3", WET: "107.4", DRY: "100"}
    fact = oven_reading("c", "l", typed, WeightUnit.G, ".")
    assert (fact.wet_weight.text, fact.oven_dry_weight.text) == ("107.4", "100")
    with pytest.raises(MissingValue) as refused:
        oven_reading("c", "l", typed | {DRY: ""}, WeightUnit.G, ".")
    assert refused.value.values["field"] == DRY
    with pytest.raises(KilnlogError):  # heavier dry than wet
        oven_reading("c", "l", typed | {DRY: "108"}, WeightUnit.G, ".")


def test_pieces_count_up_by_themselves():
    assert [counted_up(one) for one in ("9", "B09", "top", None)] == ["10", "B10", "", ""]


def test_what_was_read_last_is_carried_to_the_next_line_and_series(mill):
    terms = SeriesTerms(ReadingKind.PINLESS_METER, None, "3/4 in", "cherry", None, species_correction_pct=0.5)
    lot = mill.lots[0]
    write(
        mill.book, meter_reading(mill.charge, lot, terms, line(**{WOOD: "61"}), "."), at("2026-11-21 09:00")
    )
    record = mill.record
    assert next_line(record, lot, oven=False) == {PACK: "2", PIECE: "18", WOOD: "61"}
    assert next_line(record, lot, oven=True) == {PACK: "", PIECE: "1"}
    assert carried_terms(record, lot, TemperatureUnit.FAHRENHEIT) == terms
    other = carried_terms(record, mill.lots[1], TemperatureUnit.FAHRENHEIT)
    # Setting and correction go by the species, which another lot need not be of.
    assert (other.depth, other.species_setting, other.species_correction_pct) == ("3/4 in", None, None)


def test_a_reading_over_thirty_and_a_piece_read_before_are_asked_about(mill):
    mill.read(7.0)
    again = meter_reading(
        mill.charge, mill.lots[0], SeriesTerms(), line(**{PACK: "1", PIECE: "1", READING: "76"}), "."
    )
    over, before = doubts(mill.record, again, 30.0, 200.0)
    assert over.startswith("76 % is above 30 %")
    assert before.startswith("Piece 1 of pack 1 was read before")
    assert doubts(mill.record, replace(again, reading_pct=30.0, piece="2"), 30.0, 200.0) == ()


def test_readings_of_one_lot_never_stand_in_for_those_of_another(mill):
    mill.read(*READ)
    mill.read(*READ[:4], lot=1)
    for lot, pieces in ((0, 6), (1, 400)):
        mill.tally(pieces, lot)
    asked = [mill.out(lot).line(Step.FINAL_MOISTURE).values["asked_for"] for lot in (0, 1)]
    assert asked[0] is None  # too small for the plan
    assert asked[1] > 12
    assert mill.said(Step.FINAL_MOISTURE, lot=1) == f"4 readings, {asked[1]} asked for"
    assert mill.said(Step.FINAL_MOISTURE) == "12 readings, too few of lot B"


def test_sample_boards_are_none_of_the_pieces_asked_for(mill):
    mill.tally(60)
    loaded = at("2026-11-01 08:00")
    board = (
        write(
            mill.book, Board(mill.charge, "1", weight_from_text("3000", WeightUnit.G), mill.lots[0]), loaded
        )
        .entries[0]
        .entity
    )
    write(
        mill.book,
        Section(
            mill.charge, board, "A", *(weight_from_text(one, WeightUnit.G) for one in ("90", "50")), loaded
        ),
        loaded,
    )
    out = mill.out()
    assert SeriesKind.SAMPLE_BOARDS in {one.kind for one in out.finals[mill.lots[0]].series}
    told = " ".join(review(out, mill.record, Moment(NOW, ZONE))[1].sentences)
    assert "0 pieces read, " in told


def test_what_is_sealed_is_told_of_as_it_stands(mill):
    mill.answer(CloseOutStep.STRESS, note="the saw was down")
    told = [consequence(one, sealed=True) for one in mill.out().before]
    assert "The record says “Stress: left out because: the saw was down”." in told
    assert not any(" will " in sentence for sentence in told)
    assert any(" will " in consequence(one) for one in mill.out().before)
    sealed = step_line(mill.out().line(Step.TALLY), Moment(NOW, ZONE), sealed=True)
    assert sealed == "no tally"
    parts = review(mill.out(), mill.record, Moment(NOW, ZONE), sealed=True)
    assert not any(" will " in sentence for part in parts for sentence in part.sentences)


def test_that_the_papers_name_nobody_stands_before_the_seal_until_a_name_is_set(mill):
    out = mill.out()
    one = next(one for one in out.before if one.code is Code.NO_NAME)
    assert title(one, out) == "No name on the papers"
    assert consequence(one).startswith("The record will name nobody who hands it out. Set it before the seal")
    assert one not in out.missing  # it bars nothing
    set_mill(mill.book, "Quillbeck Mill", "")
    assert Code.NO_NAME not in codes(mill.out())


def test_under_the_seal_stands_that_it_names_nobody_also_once_a_name_was_set(mill):
    mill.unload()
    close_charge(mill.book, mill.charge, at("2026-11-24 09:00"), None, REFERENCE)
    set_mill(mill.book, "Quillbeck Mill", "")
    one = next(one for one in mill.out().before if one.code is Code.NO_NAME)
    assert consequence(one, sealed=True) == "The record names nobody who hands it out."


def test_under_the_seal_stands_what_its_text_holds_though_the_name_was_typed_after_the_day_of_closing(mill):
    mill.unload()
    set_mill(mill.book, "Quillbeck Mill", "")
    close_charge(mill.book, mill.charge, at("2026-11-24 09:00"), None, REFERENCE)
    assert Code.NO_NAME not in codes(mill.out())


def test_more_net_than_green_stands_before_the_seal(mill):
    unit = VolumeUnit.BOARD_FEET
    for when, volume in ((TallyTime.GREEN, 380.0), (TallyTime.NET, 412.0)):
        line = TallyLine(mill.charge, mill.lots[0], when, volume=volume, volume_unit=unit)
        write(mill.book, line, at("2026-11-21 10:00"))
    out = mill.out()
    one = next(one for one in out.before if one.code is Code.MORE_NET)
    assert title(one, out) == "Lot A: more net than green"
    assert consequence(one).startswith("412.0 bf net came of 380.0 bf green")
    assert one.ways == (Way.DO,)
    mill.tally(60, lot=1)  # net alone has nothing to have grown from
    assert codes(mill.out()).count(Code.MORE_NET) == 1


def test_what_is_promised_before_the_seal_is_what_the_papers_print(mill):
    """Word for word, heading by heading: of those nobody answered, and of those left out with a reason."""

    def printed():
        contents = json.loads(sealed_text(mill.book, mill.record, REFERENCE, at("2026-11-25 12:00")))
        lot = with_answers(contents["lots"][0], contents["answers"])
        told = {fact.label: fact.text for fact in facts(contents, lot, PaperOptions())}
        assert not lot["final"]
        step = "final moisture"  # its page says it under a heading of its own
        told["Final moisture"] = answer_words(lot["answers"], step, UNANSWERED[step])
        return {f"“{label}: {text}”" for label, text in told.items()}

    def promised():
        said = [consequence(one) for one in mill.out().before if one.lot in (None, mill.lots[0])]
        return {words for sentence in said for words in re.findall("“[A-Z][a-z ]+: .*?”", sentence)}

    mill.unload()
    assert len(promised()) == 4
    assert promised() <= printed()
    for step in (CloseOutStep.FINAL_MOISTURE, CloseOutStep.STRESS, CloseOutStep.DEFECTS, CloseOutStep.TALLY):
        mill.answer(step, note="the saw was down")
    heat = StepAnswer(mill.charge, CloseOutStep.HEAT, AnswerKind.LEFT_OUT, None, "nobody asked")
    write(mill.book, heat)
    assert len(promised()) == 5
    assert promised() <= printed()
