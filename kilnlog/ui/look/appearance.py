"""What every widget asks for its colours and fonts: mode, text size, how much is drawn."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication

from kilnlog.ui.look.fonts import Faces, load_faces
from kilnlog.ui.look.sheet import style_sheet
from kilnlog.ui.look.sizes import NAMES, Role, Sizes
from kilnlog.ui.look.tokens import TOKENS, Tokens


class Appearance(QObject):
    """One instance per window, handed to every widget.

    changed: sent once colours and sizes are new and the application has its palette; a receiver that paints
        itself updates, one that lays itself out by font measures again.
    """

    changed = Signal()

    def __init__(
        self,
        mode: str = "light",
        size_name: str = "regular",
        faces: Faces | None = None,
        *,
        earlier_curves: bool = True,
    ) -> None:
        super().__init__()
        self._faces = faces or load_faces()
        self._tokens = TOKENS[mode]
        self._sizes = Sizes(size_name, self._faces)
        self._earlier_curves = earlier_curves
        self._app: QApplication | None = None

    @property
    def tokens(self) -> Tokens:
        """The colours now."""
        return self._tokens

    @property
    def sizes(self) -> Sizes:
        """The fonts and lengths now."""
        return self._sizes

    @property
    def mode(self) -> str:
        """``light`` or ``dark``."""
        return self._tokens.mode

    @property
    def size_name(self) -> str:
        """``regular``, ``large`` or ``largest``."""
        return self._sizes.name

    @property
    def earlier_curves(self) -> bool:
        """Whether earlier charges of the same kind are drawn behind the present curve."""
        return self._earlier_curves

    def set_earlier_curves(self, drawn: bool) -> None:
        """Draw them, or leave them out."""
        if drawn != self._earlier_curves:
            self._earlier_curves = drawn
            self.changed.emit()

    @property
    def faces(self) -> Faces:
        """The family names in use."""
        return self._faces

    def set_mode(self, mode: str) -> None:
        """Turn to ``light`` or ``dark``."""
        if mode != self.mode:
            self._tokens = TOKENS[mode]
            self._renew()

    def set_size(self, name: str) -> None:
        """Turn to one of the three text sizes."""
        if name not in NAMES:
            raise ValueError(name)
        if name != self.size_name:
            self._sizes = Sizes(name, self._faces)
            self._renew()

    def apply(self, app: QApplication) -> None:
        """Give the application this look, now and whenever it changes."""
        self._app = app
        app.setStyle("Fusion")
        self._dress(app)

    def _renew(self) -> None:
        if self._app is not None:
            self._dress(self._app)
        self.changed.emit()

    def _dress(self, app: QApplication) -> None:
        app.setFont(self._sizes.font(Role.BODY))
        app.setPalette(palette(self._tokens))
        app.setStyleSheet(style_sheet(self._tokens))


def palette(tokens: Tokens) -> QPalette:
    """Every role for all three groups: Qt derives odd colours for what is left out."""
    roles = {
        QPalette.ColorRole.Window: tokens.desk,
        QPalette.ColorRole.WindowText: tokens.ink,
        QPalette.ColorRole.Base: tokens.field,
        QPalette.ColorRole.AlternateBase: tokens.sheet2,
        QPalette.ColorRole.Text: tokens.ink,
        QPalette.ColorRole.PlaceholderText: tokens.ink2,
        QPalette.ColorRole.Button: tokens.sheet,
        QPalette.ColorRole.ButtonText: tokens.ink,
        QPalette.ColorRole.BrightText: tokens.act,
        QPalette.ColorRole.Light: tokens.sheet,
        QPalette.ColorRole.Midlight: tokens.sheet2,
        QPalette.ColorRole.Mid: tokens.rule,
        QPalette.ColorRole.Dark: tokens.edge,
        QPalette.ColorRole.Shadow: tokens.edge,
        QPalette.ColorRole.Highlight: tokens.chosen,
        QPalette.ColorRole.HighlightedText: tokens.ink,
        QPalette.ColorRole.Link: tokens.pencil,
        QPalette.ColorRole.LinkVisited: tokens.pencil,
        QPalette.ColorRole.ToolTipBase: tokens.sheet,
        QPalette.ColorRole.ToolTipText: tokens.ink,
        QPalette.ColorRole.Accent: tokens.focus,
    }
    made = QPalette()
    for group in (QPalette.ColorGroup.Active, QPalette.ColorGroup.Inactive, QPalette.ColorGroup.Disabled):
        for role, colour in roles.items():
            made.setColor(group, role, QColor(colour))
    for role in (QPalette.ColorRole.Text, QPalette.ColorRole.WindowText, QPalette.ColorRole.ButtonText):
        made.setColor(QPalette.ColorGroup.Disabled, role, QColor(tokens.edge))
    return made
