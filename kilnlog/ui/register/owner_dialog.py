"""For whom a workbook is: one of the owners whose lumber lies in the charge."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from PySide6.QtWidgets import QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField
from kilnlog.ui.look.form import Form

HOLDS = (
    "It holds this owner's lots, their boards, weights and figures, and nothing that names another owner or "
    "is about another's lumber."
)
_NOT_IN_A_NAME = re.compile(r'[\\/:*?"<>|\x00-\x1f]+')


class OwnerDialog(Form):
    """Asks; ``chosen`` is called with the owner."""

    def __init__(
        self,
        parent: QWidget,
        appearance: Appearance,
        charge: str,
        owners: Sequence[str],
        chosen: Callable[[str], None],
    ) -> None:
        super().__init__(parent, appearance, "Tables for one owner", charge, width=460)
        self._chosen = chosen
        self._owner = ChoiceField(appearance, [(owner, owner) for owner in owners])
        self.add("owner", "Owner", self._owner)
        self.remark(HOLDS)
        self.finish("Write it…", self.keep)

    def keep(self) -> None:
        """Close, and go on to where it is written."""
        self.accept()
        self._chosen(self._owner.value)


def file_name_of(owner: str) -> str:
    """The owner's name without what no file may be called."""
    return _NOT_IN_A_NAME.sub(" ", owner).strip(" .") or "owner"
