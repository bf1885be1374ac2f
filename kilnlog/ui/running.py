"""From the start of the application to its end."""

from __future__ import annotations

import gc
import sys
from pathlib import Path

from PySide6.QtCore import QByteArray, QSize
from PySide6.QtWidgets import QApplication

from kilnlog.logbook.clock import machine_clock, machine_zone
from kilnlog.logbook.sample_folder import remove_sample
from kilnlog.logbook.session import Clock
from kilnlog.reference.tables import load
from kilnlog.ui.collecting import Collecting
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.operations import Operations
from kilnlog.ui.preferences import (
    SHOWN,
    Preferences,
    earlier_curves_word,
    keep_look,
    load_preferences,
    preferences_path,
    save_preferences,
)
from kilnlog.ui.window import MainWindow

WINDOW_SIZE = QSize(1366, 768)
FRAME = QSize(8, 36)  # what the desktop draws round a window


def run(path: Path | None, kept_in: Path | None = None, clock: Clock = machine_clock) -> int:
    """Show the window until it is closed.

    Window, worker and application live in this function alone: a window alive when the interpreter ends takes
    the process down with it.

    Args:
        path: The logbook to open; None: the one last in hand, if it is still there.
        clock: What time it is; a logbook opened by another clock than the machine's is not remembered.
        kept_in: The file of the preferences, by default the user's own.
    """
    kept_in = kept_in or preferences_path()
    liked = load_preferences(kept_in)
    app = QApplication.instance()
    if not isinstance(app, QApplication):
        app = QApplication(sys.argv[:1])
    app.setApplicationName("kilnlog")
    appearance = Appearance(liked.mode, liked.size_name, earlier_curves=liked.earlier_curves == SHOWN)
    appearance.apply(app)
    keep_look(appearance, kept_in)
    operations = Operations()
    collecting = Collecting()
    samples: list[Path] = []
    try:
        desk = Desk(operations, appearance, load(), clock, machine_zone())
        window = MainWindow(desk, appearance)
        samples = window.files.samples
        room = app.primaryScreen().availableSize() - FRAME
        window.ready.connect(settle)
        window.resize(WINDOW_SIZE.boundedTo(room))
        if liked.geometry:
            window.restoreGeometry(QByteArray.fromBase64(liked.geometry.encode()))
        window.show()
        opening = path or _still_there(liked.last_file)
        if opening is not None:
            window.files.open_path(opening, clock)
        code = app.exec()
        last = str(window.last_file.resolve()) if window.last_file is not None else liked.last_file
        geometry = bytes(window.saveGeometry().toBase64().data()).decode()
        earlier = earlier_curves_word(appearance)
        save_preferences(Preferences(appearance.mode, appearance.size_name, last, geometry, earlier), kept_in)
        window.close()
        window.deleteLater()
        return code
    finally:
        operations.close()
        collecting.stop()
        for folder in samples:
            remove_sample(folder)


def settle() -> None:
    """Spare the garbage collector what lives as long as the program: going through it takes two frames."""
    gc.freeze()


def _still_there(last_file: str | None) -> Path | None:
    path = Path(last_file) if last_file else None
    return path if path is not None and path.exists() else None
