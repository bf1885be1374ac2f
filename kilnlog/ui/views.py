"""The views by number and name, and how the late ones come. What draws the curve takes long to load."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module
from typing import Any

from PySide6.QtWidgets import QWidget

from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance

REGISTER, BOARDS, CURVE = range(3)
NAMES = ("Charge register", "Sample boards", "Drying curve")


@dataclass(frozen=True)
class LateView:
    """A view known by name. ``load`` may run on any thread; ``make`` runs on the main thread after it."""

    module: str
    name: str

    def load(self) -> None:
        """Import the module and all it needs."""
        import_module(self.module)

    def make(self, desk: Desk, appearance: Appearance) -> QWidget:
        """Build the view."""
        view: Any = getattr(import_module(self.module), self.name)(desk, appearance)
        made: QWidget = view
        return made


BOARDS_VIEW = LateView("kilnlog.ui.weighing_round.boards_view", "BoardsView")
CURVE_VIEW = LateView("kilnlog.ui.drying_curve.view", "DryingCurveView")
