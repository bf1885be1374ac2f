"""What refers to itself is freed on the thread of the window, and on no other."""

from __future__ import annotations

import gc
import threading

from kilnlog.ui.collecting import Collecting


class Left:
    """Refers to itself; says which thread took it down."""

    def __init__(self, taken_down):
        self.itself = self
        self.taken_down = taken_down

    def __del__(self):
        self.taken_down.append(threading.current_thread())


def test_a_busy_worker_frees_nothing_and_the_timer_does(qtbot):
    collecting = Collecting()
    taken_down = []
    try:
        assert not gc.isenabled()
        for _ in range(50):
            Left(taken_down)

        def allocate():
            kept = [[number] for number in range(50_000)]
            assert kept

        worker = threading.Thread(target=allocate)
        worker.start()
        worker.join()
        assert taken_down == []
        kept = [[number] for number in range(2_000)]  # a program's own objects, to be looked through
        qtbot.waitUntil(lambda: len(taken_down) == 50)
        assert kept
        assert set(taken_down) == {threading.main_thread()}
    finally:
        collecting.stop()
    assert gc.isenabled()
    gc.disable()  # as every test here runs
