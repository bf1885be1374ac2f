"""From the start of the process to its end, as an operator would: each run in an interpreter of its own."""

import json
import os
import subprocess
import sys
import textwrap

from kilnlog.ui.look.labels import Text
from kilnlog.ui.look.sizes import Role

OPENED = """
import sys
from pathlib import Path
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from kilnlog.ui import running
from kilnlog.ui.window import MainWindow

class Watched(MainWindow):
    def __init__(self, *given, **named):
        super().__init__(*given, **named)
        self.ready.connect(self.seen)
    def _build_rest(self):
        print("first paint without pyqtgraph:", "pyqtgraph" not in sys.modules)
        super()._build_rest()
    def seen(self):
        print("views:", [type(view).__name__ for view in self.views])
        self.appearance.set_mode("dark")
        QTimer.singleShot(300, self.close)

running.MainWindow = Watched
path = Path(sys.argv[1]) if len(sys.argv) > 2 else None
code = running.run(path, kept_in=Path(sys.argv[-1]))
print("ended", code)
"""


def run(code, *given, **environment):
    return subprocess.run(
        [sys.executable, "-X", "dev", "-c", textwrap.dedent(code), *map(str, given)],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen", **environment},
    )


def test_the_window_opens_paints_builds_its_views_and_ends_cleanly(book_path, tmp_path):
    kept_in = tmp_path / "window.json"
    ran = run(OPENED, book_path, kept_in)
    assert ran.returncode == 0, ran.stderr
    assert "first paint without pyqtgraph: True" in ran.stdout
    assert "views: ['RegisterView', 'BoardsView', 'DryingCurveView']" in ran.stdout
    assert "ended 0" in ran.stdout
    kept = json.loads(kept_in.read_text())
    assert (kept["mode"], kept["last_file"]) == ("dark", str(book_path.resolve()))
    again = run(OPENED, kept_in)
    assert again.returncode == 0, again.stderr
    assert json.loads(kept_in.read_text())["last_file"] == str(book_path.resolve())


def test_asking_whether_a_window_can_be_shown_loads_no_window(tmp_path):
    ran = run(
        """
        import sys
        from kilnlog.ui.start import can_show, open_window
        assert not any(name.startswith("PySide6") for name in sys.modules), sorted(sys.modules)
        print(can_show({"QT_QPA_PLATFORM": "offscreen"}))
        """
    )
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.strip() == "None"


def test_painting_takes_no_reference_from_none(qtbot, appearance):
    """A Qt binding that takes one off ``None`` with every void call ends the process after some hundreds.

    From Python 3.12 on ``None`` is immortal and its count does not move at all.
    """
    label = Text("40.0 %", appearance, Role.BODY)
    qtbot.addWidget(label)
    before = sys.getrefcount(None)
    for _ in range(1000):
        label.update()
    assert abs(sys.getrefcount(None) - before) < 50


def test_the_window_starts_without_what_it_may_never_need(tmp_path):
    """A workbook reader, what draws the curve, and dialogs nobody asked for would hold up its first paint."""
    ran = run(
        """
        import sys
        import kilnlog.ui.running
        late = ("openpyxl", "pyqtgraph", "numpy", "kilnlog.ui.board_dialogs", "kilnlog.ui.weighing_round")
        print([name for name in late if name in sys.modules])
        print(sorted(name for name in sys.modules if name.startswith("kilnlog.ui.") and "dialog" in name))
        """
    )
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.split("\n")[:2] == ["[]", "[]"]


def test_the_collector_rests_until_the_window_stands_and_works_from_then_on(book_path, tmp_path):
    ran = run(
        """
        import gc, sys
        from pathlib import Path
        from PySide6.QtCore import QTimer
        from kilnlog.ui import start
        from kilnlog.ui.window import MainWindow

        class Watched(MainWindow):
            def __init__(self, *given, **named):
                super().__init__(*given, **named)
                print("building", gc.isenabled())
                self.ready.connect(lambda: QTimer.singleShot(0, self.seen))
            def seen(self):
                print("ready", gc.isenabled(), gc.get_freeze_count() > 0)
                self.close()

        from kilnlog.ui import running
        running.MainWindow = Watched
        print(start.open_window(Path(sys.argv[1])), gc.isenabled())
        """,
        book_path,
        XDG_CONFIG_HOME=str(tmp_path),
    )
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.split("\n")[:3] == ["building False", "ready True True", "0 True"]
