"""How wide the columns of the round are."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QTableView

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import Role
from kilnlog.ui.weighing_round.line_painter import PAD
from kilnlog.ui.weighing_round.model import Column, RoundModel

#: The widest texts a column is laid out for; a longer one widens it.
_SAMPLES: dict[Column, tuple[Role, str]] = {
    Column.BOARD: (Role.BOARD_NUMBER, "12"),
    Column.LAST: (Role.FIGURE_TYPED, "2,888"),
    Column.EXPECTED: (Role.FIGURE, "2,888 – 2,888"),
    Column.NOW: (Role.ENTRY, "28,888"),
    Column.MC: (Role.FIGURE, "188.8"),
    Column.LOSS: (Role.FIGURE, "18.88"),
}
#: The columns that share what the others leave.
_SPREAD = (Column.LAST, Column.EXPECTED, Column.NOW, Column.MC, Column.LOSS)
_LEAST_SAYS_W = 132  # px at regular size: "near its limit, 6.5"


class ColumnWidths:
    """Lays out the columns of one table by its fonts, its texts and its width."""

    def __init__(self, view: QTableView, model: RoundModel, appearance: Appearance) -> None:
        self._view = view
        self._model = model
        self._appearance = appearance
        self._least: dict[Column, int] = {}  # px

    def measure(self) -> None:
        """Lay the columns out by the fonts; the place gives way first where there is little room."""
        sizes = self._appearance.sizes
        header = self._view.horizontalHeader()
        header.setMinimumSectionSize(8)
        header.setFixedHeight(round(QFontMetricsF(sizes.font(Role.LABEL)).height() * 1.4))
        self._view.setColumnWidth(Column.MARGIN, sizes.margin_w + 1)
        for column, (role, sample) in _SAMPLES.items():
            metrics = QFontMetricsF(sizes.font(role))
            texts = [sample] + [self._model.text(row, column) for row in range(self._model.rowCount())]
            width = max(metrics.horizontalAdvance(text) for text in texts)
            heading = str(self._model.headerData(column, Qt.Orientation.Horizontal))
            width = max(width, QFontMetricsF(sizes.font(Role.LABEL)).horizontalAdvance(heading))
            extra = 3 * PAD if column in (Column.NOW, Column.LAST, Column.EXPECTED) else 2 * PAD
            self._least[column] = round(width) + extra
        self.share_the_rest()

    def share_the_rest(self) -> None:
        """Place and remark take what the figures leave."""
        sizes = self._appearance.sizes
        taken = self._view.columnWidth(Column.MARGIN) + sum(self._least.values())
        rest = max(0, self._view.viewport().width() - taken)
        least_says = round(_LEAST_SAYS_W * sizes.px(Role.BODY) / 15)
        self._view.setColumnHidden(Column.PLACE, sizes.name == "largest" or rest < least_says + 90)
        place = 0
        if not self._view.isColumnHidden(Column.PLACE):
            metrics = QFontMetricsF(sizes.font(Role.BODY))
            texts = [self._model.text(row, Column.PLACE) for row in range(self._model.rowCount())]
            natural = max((metrics.horizontalAdvance(text) for text in texts), default=0) + 2 * PAD
            place = min(max(round(natural), round(rest * 0.4)), rest - least_says)
            self._view.setColumnWidth(Column.PLACE, place)
        # With more room than the remark can use, the figures stand further apart.
        spare = max(0, rest - place - 2 * least_says) // len(_SPREAD)
        for column, width in self._least.items():
            self._view.setColumnWidth(column, width + (spare if column in _SPREAD else 0))
        self._view.setColumnWidth(Column.SAYS, max(least_says // 2, rest - place - spare * len(_SPREAD)))
