"""A lot's final moisture from its record: series apart, corrections beside the reading, intervals or why not.

The charge is invented: red oak of one owner, a second lot of another.
"""

from dataclasses import replace
from math import sqrt

import numpy as np
import pytest
from scipy import stats

from kilnlog.drying.assessment import assess
from kilnlog.drying.closing.figures import IntervalKind, NoSample, SeriesKind, SeriesRemark, Withheld
from kilnlog.drying.closing.final_moisture import final_moisture
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.words import ReadingKind, TallyTime, TemperatureRule, TemperatureUnit, VolumeUnit
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder, moment, weight

PIN, PINLESS, OVEN = ReadingKind.PIN_METER, ReadingKind.PINLESS_METER, ReadingKind.OVEN_DRY
AT = moment("2024-06-01 12:00")


class Story:
    """A charge of two lots with their readings, taken a minute apart."""

    def __init__(self, **of_lot):
        self.build = ChargeBuilder(target_mc_pct=8.0)
        self.lot = self.build.lot("A", species="red oak", owner="Birch Hollow Joinery", **of_lot)
        self.other = self.build.lot("B", owner="Farrow & Daughter")
        self.minutes = 0

    def read(self, reading_pct=None, kind=PIN, lot=None, **fields):
        self.minutes += 1
        fact = FinalReading(self.build.entity, lot or self.lot, kind, reading_pct=reading_pct, **fields)
        return self.build.first(fact, 30 + self.minutes / 1440)

    def dry(self, wet, dry, **fields):
        return self.read(kind=OVEN, wet_weight=weight(wet), oven_dry_weight=weight(dry), **fields)

    def told(self, at=AT, **asked):
        record = self.build.record()
        boards = assess(record, load(), at).boards
        return final_moisture(record, self.lot, boards, load(), at, **asked)

    def series(self, kind=SeriesKind.PIN_METER, **asked):
        return next(series for series in self.told(**asked).series if series.kind is kind)


def test_nothing_read_tells_nothing():
    told = Story().told()
    assert (told.series, told.pairs, told.asked_for) == ((), (), None)
    assert told.not_asked_because is NoSample.UNKNOWN
    assert (told.limits.target_mc_pct, told.limits.for_pieces) == (8.0, False)


def test_series_stand_apart_and_other_lots_do_not_show():
    story = Story(mc_low_pct=6.0, mc_high_pct=8.0)
    for reading in (7.0, 7.4, 8.3):
        story.read(reading)
    story.read(12.0, PINLESS)
    story.dry("107.00", "100.00", piece="9")
    story.read(29.0, lot=story.other)
    board = story.build.board("1", "2000", lot=story.lot)
    story.build.section(board, "a", "150.00", "100.00")
    story.build.weigh(board, "1440", 29)
    elsewhere = story.build.board("2", "2000", lot=story.other)
    story.build.section(elsewhere, "a", "150.00", "100.00")
    told = story.told()
    assert [(series.kind.value, series.whole.n) for series in told.series] == [
        ("pin meter", 3),
        ("pinless meter", 1),
        ("oven-dry", 1),
        ("sample boards", 1),
    ]
    pin, pinless, oven, boards = told.series
    assert pin.whole.mean_pct == pytest.approx(np.mean([7.0, 7.4, 8.3]))
    assert (pin.whole.inside, pin.whole.above) == (2, 1)
    assert pinless.whole.mean_pct == 12.0
    assert oven.whole.mean_pct == pytest.approx(7.0)  # 100 x (107 - 100) / 100, by hand
    assert boards.whole.mean_pct == pytest.approx(8.0)  # 2000 g at 50 % are 1333.3 g dry; 1440 g, by hand
    assert [reading.piece for reading in boards.readings] == ["1"]


def test_a_board_withdrawn_is_left_out_one_whose_lot_left_is_not():
    story = Story(out_at=35)
    for label in ("1", "2"):
        board = story.build.board(label, "2000", lot=story.lot)
        story.build.section(board, "a", "150.00", "100.00")
        story.build.weigh(board, "1440", 29)
    story.build.withdraw(board, 30)
    boards = story.series(SeriesKind.SAMPLE_BOARDS)
    assert [reading.piece for reading in boards.readings] == ["1"]
    assert boards.readings[0].read_at == story.build.when(29)


def test_the_raw_reading_stays_beside_its_corrections():
    story = Story()
    story.read(
        9.0,
        piece="4",
        pack="1",
        depth="8 mm",
        species_setting="Douglas-fir",
        wood_temperature=50.0,
        calibration_temperature=70.0,
        temperature_unit=TemperatureUnit.FAHRENHEIT,
        temperature_rule=TemperatureRule.RULE_OF_THUMB,
        species_correction_pct=-0.4,
    )
    (reading,) = story.series().readings
    assert (reading.reading_pct, reading.wood_temperature, reading.species_correction_pct) == (
        9.0,
        50.0,
        -0.4,
    )
    assert reading.temperature_correction_pct == pytest.approx(1.0)  # 20 F colder: twice half a point
    assert reading.mc_pct == pytest.approx(9.6)
    assert (reading.over, reading.extrapolated, reading.calibration_is_default) == (False, False, False)
    method = story.series().method
    assert (method.depths, method.species_settings) == (("8 mm",), ("Douglas-fir",))
    assert method.temperature_rules == (TemperatureRule.RULE_OF_THUMB,)
    assert story.series().remarks == ()


def by_equation(pct, wood_c, **fields):
    return {
        "reading_pct": pct,
        "wood_temperature": wood_c,
        "temperature_unit": TemperatureUnit.CELSIUS,
        "temperature_rule": TemperatureRule.EQUATION,
        **fields,
    }


def test_the_equation_comes_before_the_species():
    story = Story()
    story.read(**by_equation(12.0, 0.0, species_correction_pct=1.5))
    (reading,) = story.series().readings
    assert reading.mc_pct == pytest.approx(
        14.26 + 1.5, abs=0.005
    )  # its table at 12 % and 0 C, then the species


def test_what_a_reader_has_to_know_is_remarked():
    story = Story()
    story.read(**by_equation(12.0, 0.0, species_setting="red oak", piece="1"))
    story.read(**by_equation(12.0, 70.0, piece="1"))
    story.read(**by_equation(12.0, 20.0, kind=PINLESS))
    story.read(
        12.0,
        PINLESS,
        wood_temperature=20.0,
        temperature_unit=TemperatureUnit.CELSIUS,
        temperature_rule=TemperatureRule.RULE_OF_THUMB,
    )
    pin, pinless = story.told().series
    assert pin.remarks == (SeriesRemark.EQUATION_ON_SETTING, SeriesRemark.PIECE_TWICE)
    assert [reading.extrapolated for reading in pin.readings] == [False, True]
    assert pinless.remarks == (SeriesRemark.DEFAULT_CALIBRATION, SeriesRemark.EQUATION_ON_PINLESS)


# Wood Handbook FPL-GTR-190, chapter 13: above 30 % a meter tells no more than that.
@pytest.mark.parametrize(
    ("fields", "over"),
    [
        ({"reading_pct": 30.0}, False),
        ({"reading_pct": 30.1}, True),
        ({"reading_pct": 29.0, "species_correction_pct": 1.5}, True),
        ({"reading_pct": 31.0, "species_correction_pct": -3.0}, True),  # what it showed was no measurement
        (by_equation(28.0, -10.0), True),  # corrected to above 30
    ],
)
def test_over_thirty(fields, over):
    story = Story(mc_high_pct=19.0)
    story.read(**fields)
    series = story.series()
    (reading,) = series.readings
    assert (reading.over, reading.mc_pct is None) == (over, over)
    assert reading.reading_pct == fields["reading_pct"]
    assert (series.whole.over, series.whole.above) == (int(over), 1)


def test_an_oven_tells_any_moisture():
    story = Story()
    story.dry("150.00", "100.00")
    (reading,) = story.series(SeriesKind.OVEN_DRY).readings
    assert (reading.mc_pct, reading.over) == (50.0, False)


def test_readings_stand_in_order_of_time_corrected_and_without_those_taken_back():
    story = Story()
    first, second, third = (story.read(pct) for pct in (7.0, 8.0, 9.0))
    story.build.correct(first, reading_pct=7.5)
    story.build.void(second)
    late = FinalReading(story.build.entity, story.lot, PIN, reading_pct=6.0)
    story.build.first(late, 30)
    assert [reading.reading_pct for reading in story.series().readings] == [6.0, 7.5, 9.0]
    assert [reading.entity for reading in story.series().readings][1:] == [first, third]
    assert story.told(at=story.build.when(30)).series[0].whole.n == 1


def test_the_same_piece_by_meter_and_by_oven():
    story = Story()
    story.read(8.0, piece="1", pack="a")
    story.read(9.0, PINLESS, piece=" 1", pack="A")
    story.read(31.0, piece="2", pack="a")  # over: no figure to compare
    story.read(8.5, piece="1", pack="b")  # another pack's
    story.read(8.6)  # nobody knows which
    story.read(7.7, piece="3")
    story.dry("107.00", "100.00", piece="1", pack="a")
    story.dry("130.00", "100.00", piece="2", pack="a")
    story.dry("106.00", "100.00", piece="3")
    story.dry("106.50", "100.00", piece="3")  # dried twice: which of the two?
    story.dry("108.00", "100.00")
    told = story.told()
    assert [(pair.kind.value, pair.piece, pair.meter_pct) for pair in told.pairs] == [
        ("pin meter", "1", 8.0),
        ("pinless meter", " 1", 9.0),
    ]
    assert [pair.difference_pct for pair in told.pairs] == pytest.approx([1.0, 2.0])


READ = np.round(np.random.default_rng(7).normal(8.0, 0.6, 60), 1).tolist()


def test_intervals_by_the_normal_curve_and_by_none():
    story = Story()
    for reading in READ:
        story.read(reading)
    normal, free = story.series().intervals
    mean, sd = np.mean(READ), np.std(READ, ddof=1)
    assert normal.kind is IntervalKind.NORMAL
    assert (normal.share_pct, normal.confidence_pct) == (90, 95)  # common practice, no source
    assert normal.factor is not None
    assert (normal.low_pct, normal.high_pct) == pytest.approx(
        (mean - normal.factor * sd, mean + normal.factor * sd)
    )
    # Howe's approximation, from memory, is within half a percent of the exact factor (see test_tolerance).
    howe = stats.norm.ppf(0.95) * sqrt(59 * (1 + 1 / 60) / stats.chi2.ppf(0.05, 59))
    assert normal.factor == pytest.approx(howe, rel=0.005)
    assert (free.kind, free.low_pct, free.high_pct, free.factor) == (
        IntervalKind.FREE,
        min(READ),
        max(READ),
        None,
    )
    assert free.confidence_pct == pytest.approx(100 * stats.beta.sf(0.9, 59, 2))
    assert story.series().bound is None


def test_an_interval_holds_the_share_that_the_limits_name():
    story = Story(limits_from="EN 14298", target_mc_pct=8.0)
    for reading in READ:
        story.read(reading)
    series = story.series()
    assert [interval.share_pct for interval in series.intervals] == [93.5]
    # 71 pieces would give 94.9 %, 72 95.1 %: scipy's beta curve.
    assert stats.beta.sf(0.935, 70, 2) < 0.95 < stats.beta.sf(0.935, 71, 2)
    assert [(one.kind, one.why, one.needs_pieces) for one in series.withheld] == [
        (IntervalKind.FREE, Withheld.FEW, 72)
    ]
    assert (series.average_inside, series.share_reached) == (True, True)


@pytest.mark.parametrize(("n", "stated"), [(45, False), (46, True)])
def test_the_distribution_free_interval_begins_where_n_allows_it(n, stated):
    """46 pieces for 90 % of them at 95 %: Wilks (1941), from memory."""
    story = Story()
    for reading in READ[:n]:
        story.read(reading)
    assert (IntervalKind.FREE in {interval.kind for interval in story.series().intervals}) is stated


@pytest.mark.parametrize(("limit", "is_upper"), [({"mc_high_pct": 9.0}, True), ({"mc_low_pct": 6.0}, False)])
def test_one_limit_gets_a_bound_on_its_side(limit, is_upper):
    story = Story(**limit)
    for reading in READ:
        story.read(reading)
    bound = story.series().bound
    assert bound is not None
    factor = stats.nct.ppf(0.95, 59, stats.norm.ppf(0.9) * sqrt(60)) / sqrt(60)
    side = 1 if is_upper else -1
    assert bound.is_upper is is_upper
    assert bound.factor == pytest.approx(factor, rel=1e-9)
    assert bound.at_pct == pytest.approx(np.mean(READ) + side * factor * np.std(READ, ddof=1))


@pytest.mark.parametrize(
    ("readings", "normal", "free"),
    [
        ([8.0], Withheld.FEW, Withheld.FEW),
        ([8.0] * 60, Withheld.NO_SPREAD, None),
        ([6.0, 9.0], Withheld.BELOW_ZERO, Withheld.FEW),
        ([7.9, 8.0, 8.1], None, Withheld.FEW),
        ([*READ, 31.0], Withheld.OVER, Withheld.OVER),
    ],
)
def test_why_an_interval_is_withheld(readings, normal, free):
    story = Story()
    for reading in readings:
        story.read(reading)
    series = story.series()
    why = {one.kind: one.why for one in series.withheld}
    assert (why.get(IntervalKind.NORMAL), why.get(IntervalKind.FREE)) == (normal, free)
    stated = {interval.kind for interval in series.intervals}
    assert stated | set(why) == set(IntervalKind)
    assert not stated & set(why)
    assert series.bound is None


def test_sample_boards_and_pieces_read_twice_allow_no_interval():
    story = Story()
    for number in range(3):
        board = story.build.board(str(number), "2000", lot=story.lot)
        story.build.section(board, "a", "150.00", "100.00")
        story.build.weigh(board, str(1430 + 5 * number), 29)
        story.read(8.0 + number / 10, piece="1")
    pin, boards = story.told(pieces=40).series
    assert {one.why for one in pin.withheld} == {Withheld.TWICE}
    assert {one.why for one in boards.withheld} == {Withheld.CHOSEN}
    assert (pin.intervals, boards.intervals) == ((), ())
    assert (pin.read_enough, boards.read_enough) == (False, None)


def test_how_many_pieces_by_the_lots_own_tally():
    story = Story()
    line = TallyLine(
        story.build.entity,
        story.lot,
        TallyTime.GREEN,
        pieces=40,
        volume=200.0,
        volume_unit=VolumeUnit.BOARD_FEET,
    )
    story.build.first(line, 0)
    story.build.first(replace(line, lot=story.other, pieces=4000), 0)
    for _ in range(8):
        story.read(8.0)
    told = story.told()
    assert told.asked_for is not None
    assert (told.asked_for.pieces, told.asked_for.of_lot_of, told.not_asked_because) == (8, 40, None)
    assert told.series[0].read_enough is True
    assert story.told(pieces=51).series[0].read_enough is False


def test_a_lot_that_is_none_of_the_charge_is_our_own_mistake():
    story = Story()
    with pytest.raises(KeyError):
        final_moisture(story.build.record(), "lot-of-elsewhere", (), load(), AT)


def test_an_exact_half_of_a_tenth_is_counted_as_one_whatever_binary_fractions_make_of_it():
    """By hand in whole hundredths: half a point in ten degrees F, so that every odd degree ends in a half."""
    story = Story(mc_low_pct=6.0, mc_high_pct=8.0)
    hundredths = []
    for tenths in range(50, 91):
        for warm_f in range(61, 76):
            story.read(
                tenths / 10,
                wood_temperature=float(warm_f),
                calibration_temperature=68.0,
                temperature_unit=TemperatureUnit.FAHRENHEIT,
                temperature_rule=TemperatureRule.RULE_OF_THUMB,
            )
            hundredths.append(10 * tenths - 5 * (warm_f - 68))
    series = story.series()
    assert [reading.mc_pct for reading in series.readings] == [one / 100 for one in hundredths]
    # 5.95 is shown as 6.0 and 8.05 as 8.0, the even digit: both are inside.
    assert series.whole.below == sum(one < 595 for one in hundredths)
    assert series.whole.above == sum(one > 805 for one in hundredths)
