"""``assess`` runs at a key press, so its time must grow with the weights and not with their square."""

from time import perf_counter

from kilnlog.drying.assessment import assess
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder


def charge_of(days: int) -> tuple[ChargeBuilder, ChargeRecord]:
    """Twelve boards weighed daily, one of them recut."""
    build = ChargeBuilder(target_mc_pct=8.0, schedule="ours")
    build.steps("ours", None, 50.0, 40.0, 30.0, 20.0)
    lot = build.lot("A", species="white oak", thickness="4/4")
    for number in range(12):
        board = build.board(str(number + 1), 4000 + 10 * number, lot=lot, at=-1)
        for label in ("a", "b"):
            build.section(board, label, "165.00", "100.00", at=-1)
        net = 4000.0 + 10 * number
        for day in range(days):
            net -= (net - 2600) * 3 / days
            build.weigh(board, f"{net:.0f}", at=day + number / 2000)
    build.recut("board-0001", "2700", "2500", "57.00", "50.00", at=days)
    return build, build.record()


def best_of_ms(build: ChargeBuilder, record: ChargeRecord, days: int, repeats: int = 15) -> float:
    """The least of several runs [ms]: what the work takes while nothing disturbs it."""
    times = []
    for _ in range(repeats):
        began = perf_counter()
        assess(record, load(), build.when(days + 1))
        times.append((perf_counter() - began) * 1000)
    return min(times)


def test_four_times_the_weights_take_no_more_than_about_four_times_as_long():
    few, many = charge_of(60), charge_of(240)
    ratio = best_of_ms(*many, 240) / best_of_ms(*few, 60)
    assert ratio < 7  # 4 where it grows with the weights, 16 with their square


if __name__ == "__main__":
    print(f"12 boards, 60 weighings each: {best_of_ms(*charge_of(60), 60, repeats=200):.2f} ms")
