"""What the sample's charges are finished by looks like wood; its closings show what they are meant to."""

from __future__ import annotations

import json
import statistics
from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

import pytest

from kilnlog.logbook.demo import fresh_sample
from kilnlog.logbook.seals import Seal, all_seals, checked_contents
from kilnlog.logbook.session import Logbook, open_logbook
from tests.sample_logbook.probes import CHARGE as HEATED
from tests.sample_logbook.test_sample import grams, rows

THRESHOLD_C = 56.0  # ISPM 15, treatment HT: 56 C for 30 minutes, as summaries of it say


def mc_by_meter(row: dict[str, str]) -> float:
    """A reading with its corrections.

    Rule of thumb: half a point for 10 F, Wood Handbook FPL-GTR-190 (2010), chapter 13. Equation: the
    figures of ``meter_equation.csv``, whose source stands there.
    """
    shown = float(row["reading_pct"])
    species = float(row["species_correction_pct"] or 0)
    if row["temperature_rule"] == "rule of thumb":
        colder = float(row["calibration_temperature"]) - float(row["wood_temperature"])
        degrees_f = colder if row["temperature_unit"] == "F" else colder * 1.8
        return shown + 0.5 * degrees_f / 10 + species
    if row["temperature_rule"] == "equation":
        wood_c = (float(row["wood_temperature"]) - 32) / 1.8
        return (shown + 0.567 - 0.0260 * wood_c + 0.000051 * wood_c**2) / (0.881 * 1.0056**wood_c) + species
    return shown + species


def readings_by_lot(kind: str) -> dict[tuple[str, str], dict[tuple[str, str], float]]:
    """The MC of every piece of one kind of series, by charge and lot, then by pack and piece."""
    found: dict[tuple[str, str], dict[tuple[str, str], float]] = defaultdict(dict)
    for row in rows("final_readings"):
        if row["kind"] != kind:
            continue
        if kind == "oven-dry":
            wet, dry = (grams(row[name], row["weight_unit"]) for name in ("wet_weight", "oven_dry_weight"))
            mc_pct = float(100 * (wet / dry - 1))
        else:
            mc_pct = mc_by_meter(row)
        found[row["charge"], row["lot"]][row["pack"], row["piece"]] = mc_pct
    return found


def by_meter() -> dict[tuple[str, str], dict[tuple[str, str], float]]:
    return readings_by_lot("pin meter") | readings_by_lot("pinless meter")


def boards_by_lot() -> dict[tuple[str, str], list[float]]:
    """The last MC of the boards that were neither cut again nor broken, by the textbook's sum."""
    recut = {
        (row["charge"], row["board"]) for row in (*rows("recuts"), *rows("breaks"), *rows("withdrawals"))
    }
    sections: dict[tuple[str, str], list[float]] = defaultdict(list)
    for row in rows("sections"):
        if row["oven_dry_weight"] and not row["rejected_because"]:
            wet, dry = (grams(row[name], row["weight_unit"]) for name in ("wet_weight", "oven_dry_weight"))
            sections[row["charge"], row["board"]].append(float(100 * (wet / dry - 1)))
    last = {
        (row["charge"], row["board"]): grams(row["weight"], row["weight_unit"]) for row in rows("weighings")
    }
    found: dict[tuple[str, str], list[float]] = defaultdict(list)
    for board in rows("boards"):
        key = board["charge"], board["board"]
        if key in recut or key not in sections or key not in last or board["coating_weight"]:
            continue
        start = float(grams(board["start_weight"], board["weight_unit"]))
        oven_dry = 100 * start / (100 + statistics.fmean(sections[key]))
        found[board["charge"], board["lot"]].append(100 * (float(last[key]) / oven_dry - 1))
    return found


def test_the_meters_agree_with_the_sample_boards_within_a_point() -> None:
    boards, compared = boards_by_lot(), 0
    for lot, pieces in by_meter().items():
        if lot in boards:
            off = statistics.fmean(pieces.values()) - statistics.fmean(boards[lot])
            assert abs(off) <= 1, (lot, off)
            compared += 1
    assert compared >= 14


def test_pieces_lie_apart_as_pieces_do() -> None:
    """Of well equalized lumber a standard deviation of about half a point: common practice, no source."""
    for lot, pieces in by_meter().items():
        assert 0.2 <= statistics.stdev(pieces.values()) <= 0.65, lot


def test_at_most_one_piece_of_a_lot_is_outside_its_limits_and_a_few_lots_have_one() -> None:
    limits = {
        (row["charge"], row["lot"]): (float(row["mc_low_pct"]), float(row["mc_high_pct"]))
        for row in rows("lots")
    }
    outside = {}
    for lot, pieces in by_meter().items():
        low, high = limits[lot]
        outside[lot] = sum(not low <= round(mc, 9) <= high for mc in pieces.values())
    assert max(outside.values()) == 1
    assert 3 <= sum(outside.values()) <= 6
    assert outside["2026-12", "A"] == 1


def test_the_oven_finds_the_same_pieces_a_little_drier() -> None:
    off = [
        mc_pct - oven[piece]
        for lot, oven in readings_by_lot("oven-dry").items()
        for piece, mc_pct in by_meter()[lot].items()
        if piece in oven
    ]
    assert len(off) == sum(map(len, readings_by_lot("oven-dry").values())) >= 10
    assert all(-0.3 <= each <= 1 for each in off)


def test_a_dip_and_a_hole_break_the_heat_and_half_an_hour_is_left() -> None:
    """By going through every minute there is a reading for, of both probes at once."""
    batches = [row for row in rows("logger_batches") if row["charge"] == HEATED]
    assert [row["placed_in"] for row in batches] == ["core", "core"]
    texts = {row["batch"]: row["readings"] for row in rows("logger_readings")}
    probes = [{at_s: shown for at_s, shown, _ in json.loads(texts[row["uid"]])} for row in batches]
    instants = sorted(set().union(*probes))
    assert {later - earlier for earlier, later in pairwise(instants)} == {120}
    warm = [all(probe.get(at_s, 0.0) >= THRESHOLD_C for probe in probes) for at_s in instants]
    first = warm.index(True)
    dipped = [at_s for at_s, ok in zip(instants[first:], warm[first:], strict=True) if not ok]
    assert any(all(at_s in probe for probe in probes) for at_s in dipped)
    assert any(at_s not in probes[0] for at_s in dipped)
    longest = run = 0
    for ok in warm:
        run = run + 1 if ok else 0
        longest = max(longest, run)
    assert 30 <= 2 * (longest - 1) <= 120


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Logbook]:
    opened = open_logbook(fresh_sample(tmp_path_factory.mktemp("sample")), read_only=True)
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def seals(book: Logbook) -> list[Seal]:
    return list(all_seals(book))


def test_every_closed_charge_is_sealed_and_every_seal_fits(book: Logbook, seals: list[Seal]) -> None:
    closed = {row["charge"] for row in rows("charges") if row["closed_at"]}
    assert {seal.charge for seal in seals if seal.in_force and seal.lot is None} == closed
    assert len(closed) == 16
    assert all(seal.fits for seal in seals)
    assert book.file.verify() == ()


def test_the_heat_of_the_crates_is_told_with_what_broke_it(seals: list[Seal]) -> None:
    [heat] = [heat for seal in seals if (heat := checked_contents(seal)["heat"]) is not None]
    assert (heat["at_least"], heat["temperature_unit"], heat["for_minutes"]) == (56, "C", 30)
    assert heat["reached"]
    assert heat["longest"] is not None
    assert heat["longest"]["minutes"] == 74
    assert len(heat["runs"]) == 3


def test_a_lot_left_early_on_a_record_of_its_own_while_the_rest_went_on(seals: list[Seal]) -> None:
    [early] = [seal for seal in seals if seal.lot is not None]
    [whole] = [seal for seal in seals if seal.charge == early.charge and seal.lot is None]
    [lot] = checked_contents(early)["lots"]
    assert (early.charge, early.lot, lot["lot"]) == ("2026-13", "B", "B")
    assert early.entry.at < whole.entry.at
    boards = {row["board"] for row in rows("boards") if (row["charge"], row["lot"]) == ("2026-13", "B")}
    weighed = [row for row in rows("weighings") if row["charge"] == "2026-13"]
    assert max(row["weighed_at"] for row in weighed if row["board"] in boards) < "2026-10-22 09:40"
    assert max(row["weighed_at"] for row in weighed if row["board"] not in boards) > "2026-10-24"


def test_a_charge_was_opened_again_and_its_first_seal_stays_as_it_was_issued(seals: list[Seal]) -> None:
    first, second = (seal for seal in seals if seal.charge == "2025-15")
    assert (first.in_force, second.in_force) == (False, True)
    kinds = [
        [series["kind"] for series in checked_contents(seal)["lots"][0]["final"]] for seal in (first, second)
    ]
    assert kinds == [["pin meter", "sample boards"], ["pin meter", "oven-dry", "sample boards"]]
    sealed = checked_contents(second)["seal"]
    assert sealed is not None
    assert "oven-dried" in (sealed["reopened_because"] or "")


def test_an_instrument_is_told_by_its_last_check_before_the_seal(seals: list[Seal]) -> None:
    for seal in seals:
        for one in checked_contents(seal)["instruments"]:
            assert one["checked_at"] is not None
            assert one["checked_at"][:10] <= f"{seal.entry.at.local:%Y-%m-%d}", (
                seal.charge,
                one["instrument"],
            )
