"""Big figures in a row, each under its label and asked how it came about."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.labels import Computed, Text
from kilnlog.ui.look.sizes import GAP_2, Role

#: Label, figure (None: a dash) and unit.
Figure = tuple[str, str | None, str]


class FigureRow(QWidget):
    """So many places; what is not used is not shown. ``working`` gives the sums, a line each."""

    def __init__(self, appearance: Appearance, places: int, working: Callable[[], Iterable[str]]) -> None:
        super().__init__()
        self._appearance, self._working = appearance, working
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        self.labels: list[Text] = []
        self.figures: list[Computed] = []
        self._places: list[QWidget] = []
        for _ in range(places):
            place = QWidget()
            column = QVBoxLayout(place)
            column.setContentsMargins(0, 0, 0, 0)
            column.setSpacing(GAP_2)
            label = Text("", appearance, Role.LABEL, "ink2")
            figure = Computed(appearance, Role.BIG_FIGURE)
            figure.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            figure.asked.connect(self.show_working)
            column.addWidget(label)
            column.addWidget(figure)
            row.addWidget(place, 1)
            self.labels.append(label)
            self.figures.append(figure)
            self._places.append(place)

    def show_figures(self, shown: Sequence[Figure]) -> None:
        """Show these, from the left."""
        for number, place in enumerate(self._places):
            place.setVisible(number < len(shown))
        for label, figure, (name, value, unit) in zip(self.labels, self.figures, shown, strict=False):
            label.setText(name)
            figure.set_name(name)
            figure.set_value(value, unit if value is not None else "")

    @property
    def shown(self) -> dict[str, str]:
        """The figures by their labels."""
        return {
            label.text(): figure.value
            for label, figure, place in zip(self.labels, self.figures, self._places, strict=True)
            if not place.isHidden()
        }

    def show_working(self) -> None:
        """How they came about."""
        form = Form(self.window(), self._appearance, "How it was worked out", width=600)
        for line in self._working():
            form.remark(line)
        form.close_only()
        form.open()
