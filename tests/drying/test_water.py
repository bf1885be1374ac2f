"""Water in the lumber, worked out by hand beside each test."""

import pytest

from kilnlog.drying.assessment import assess
from kilnlog.drying.water import OWN_GRAVITY, evaporated_kg, specific_gravity
from kilnlog.records.lot import Lot
from kilnlog.records.words import VolumeUnit
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder


def water_of(build, at=10):
    return assess(build.record(), load(), build.when(at)).water


def lot_of(build, label, **fields):
    given = {"volume": 10, "volume_unit": VolumeUnit.CUBIC_METRES, "basic_specific_gravity": 0.5} | fields
    return build.lot(label, **given)


def board_of(build, label, lot, *readings):
    """A board of 1000 g oven-dry, at 80 % when cut; readings are (day, MC)."""
    board = build.board(label, "1800", lot=lot, oven_dry_weight="1000", coated=True)
    for day, mc_pct in readings:
        build.weigh(board, f"{1000 + 10 * mc_pct:.0f}", at=day)


def test_ten_cubic_metres_of_red_oak():
    """10 m3 at 0.56 is 5600 kg of dry wood; from 80 to 7 % it gives off 4088 kg (worked out by hand)."""
    assert evaporated_kg(10, 0.56, 80, 7) == pytest.approx(4088)


def test_a_lot_is_taken_at_the_mean_of_its_boards():
    build = ChargeBuilder(target_mc_pct=8)
    lot = lot_of(build, "A")
    board_of(build, "1", lot, (1, 60), (2, 57))  # 3 points a day
    board_of(build, "2", lot, (1, 50), (2, 49))  # 1 point a day
    (of_lot,) = water_of(build).lots
    assert of_lot.dry_wood_kg == pytest.approx(5000)
    assert of_lot.leaving_kg_per_day == pytest.approx(5000 * 2 / 100)
    assert of_lot.left_kg == pytest.approx(5000 * (80 - 53) / 100)
    assert of_lot.to_lose_kg == pytest.approx(5000 * (53 - 8) / 100)


def test_what_is_past_its_target_takes_nothing_off_what_is_still_to_lose():
    """5000 kg oven-dry a lot: A has boards at 10.5 and 5 %, B at 4 %; the target is 8 %."""
    build = ChargeBuilder(target_mc_pct=8)
    a, b = lot_of(build, "A"), lot_of(build, "B")
    board_of(build, "1", a, (1, 12), (2, 10.5))
    board_of(build, "2", a, (1, 6), (2, 5))
    board_of(build, "3", b, (1, 5), (2, 4))
    water = water_of(build)
    assert [lot.to_lose_kg for lot in water.lots] == [pytest.approx(5000 * 2.5 / 2 / 100), 0.0]
    assert water.to_lose_kg == pytest.approx(62.5)


def test_lots_add_up_and_those_that_do_not_tell_are_named():
    build = ChargeBuilder(target_mc_pct=8)
    told, dry = lot_of(build, "A"), lot_of(build, "B", volume=1000, volume_unit=VolumeUnit.BOARD_FEET)
    board_of(build, "1", told, (1, 60), (2, 58))
    board_of(build, "2", dry, (1, 60), (2, 59))
    lot_of(build, "no boards")
    without = lot_of(build, "no volume", volume=None, volume_unit=None)
    board_of(build, "3", without, (1, 60), (2, 59))
    unknown = lot_of(build, "no gravity", basic_specific_gravity=None, species="teak")
    board_of(build, "4", unknown, (1, 60), (2, 59))
    water = water_of(build)
    assert [of_lot.lot for of_lot in water.lots] == ["A", "B"]
    assert water.left_out == ("no boards", "no volume", "no gravity")
    # 1000 board feet are 2.359737 m3.
    assert water.leaving_kg_per_day == pytest.approx(100 + 2359.737 * 0.5 * 1 / 100, rel=1e-6)


def test_a_lot_that_is_out_no_longer_counts():
    build = ChargeBuilder(target_mc_pct=8)
    lot = lot_of(build, "A", out_at=build.when(5))
    board_of(build, "1", lot, (1, 60), (2, 58))
    assert water_of(build, 4).leaving_kg_per_day == pytest.approx(100)
    assert water_of(build, 6).lots == ()
    assert water_of(build, 6).leaving_kg_per_day is None


def test_a_board_that_does_not_tell_its_rate_is_not_spoken_for_by_the_others():
    build = ChargeBuilder(target_mc_pct=8)
    lot = lot_of(build, "A")
    board_of(build, "1", lot, (1, 60), (2, 58))
    build.board("2", "1800", lot=lot, oven_dry_weight="1000", coated=True, at=9)
    assert water_of(build).lots[0].leaving_kg_per_day is None


@pytest.mark.parametrize("name", ["sugar maple", "hard maple", "Acer saccharum"])
def test_the_published_specific_gravity_holds_where_none_was_typed(name):
    """USFS FIA reference species table: sugar maple 0.56."""
    gravity, source = specific_gravity(Lot("c", "A", species=name), load())
    assert gravity == 0.56
    assert "FIA" in source


def test_the_lots_own_specific_gravity_wins():
    lot = Lot("c", "A", species="sugar maple", basic_specific_gravity=0.6)
    assert specific_gravity(lot, load()) == (0.6, OWN_GRAVITY)
    assert specific_gravity(Lot("c", "A", species="teak"), load()) is None
    assert specific_gravity(Lot("c", "A"), load()) is None
