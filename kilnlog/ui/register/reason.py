"""Asking why: a correction and a taking back need a reason, kept with them."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader


class ReasonDialog(Form):
    """``given`` is called with the reason; nothing happens without one."""

    def __init__(
        self,
        parent: QWidget,
        appearance: Appearance,
        title: str,
        what: str,
        given: Callable[[str], None],
        main: str = "Take back",
        such_as: str = "misread, wrong board, spilled",
    ) -> None:
        super().__init__(parent, appearance, title, width=460)
        self._given = given
        self.remark(what)
        field = TextField(appearance, such_as)
        self.add("reason", "Why", field)
        field.returnPressed.disconnect()
        field.returnPressed.connect(self.keep)
        self.require("reason")
        self.finish(main, self.keep)
        field.setFocus()

    def keep(self) -> None:
        """Hand the reason over, once: Enter may come twice before the dialog is gone."""
        if not self.is_here:
            return
        reader = Reader(self)
        reason = reader.text("reason", needed=True)
        if reader.ok and reason is not None:
            self.accept()
            self._given(reason)
