"""The page of the board in hand, beside the weighing round."""

from __future__ import annotations

from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.page import Page, page_title, title_row

#: Beside the round the page is this wide at regular size [px].
PAGE_W = 456


class ChosenBoardPage(Page):
    """One sample board."""

    def __init__(self, desk: Desk, appearance: Appearance) -> None:
        super().__init__(appearance, inset=False)
        self._desk = desk
        self._title = page_title("", appearance)
        self.body.addLayout(title_row(self._title))
        self.body.addStretch(1)
        desk.board_changed.connect(self._follow)
        desk.record_changed.connect(lambda _: self._follow())
        self.set_alone(False)

    def set_alone(self, alone: bool) -> None:
        """Take the whole room, or stand beside the round."""
        if alone:
            self.setMinimumWidth(0)
            self.setMaximumWidth(16_777_215)
        else:
            self.setFixedWidth(PAGE_W)

    def _follow(self) -> None:
        assessment, chosen = self._desk.assessment, self._desk.board_in_hand
        boards = assessment.boards if assessment is not None else ()
        board = next((one for one in boards if one.entity == chosen), None)
        self._title.setText(f"Board {board.board}" if board is not None else "")
