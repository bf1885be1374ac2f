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


SAMPLE_OPENED = """
import sys, tempfile
from pathlib import Path
from PySide6.QtCore import QTimer
from kilnlog.ui import running
from kilnlog.ui.window import MainWindow

tempfile.tempdir = sys.argv[1]

class Watched(MainWindow):
    def __init__(self, *given, **named):
        super().__init__(*given, **named)
        self.ready.connect(self.files.open_sample)
        self.desk.register_changed.connect(self.seen)
    def seen(self):
        if self.desk.path is not None and self.desk.lines:
            print("open:", self.desk.path.exists())
            QTimer.singleShot(0, self.close)

running.MainWindow = Watched
running.run(None, kept_in=Path(sys.argv[2]))
"""


def test_the_copy_of_the_sample_goes_with_the_program(tmp_path):
    made = tmp_path / "tmp"
    made.mkdir()
    ran = run(SAMPLE_OPENED, made, tmp_path / "window.json")
    assert ran.returncode == 0, ran.stderr
    assert "open: True" in ran.stdout
    assert list(made.iterdir()) == []
