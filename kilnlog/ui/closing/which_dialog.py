"""Which lot is meant, where several may be."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtWidgets import QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader


class WhichDialog(Form):
    """``chosen`` is called with the entity of the one chosen; None stands for the whole charge."""

    def __init__(
        self,
        parent: QWidget,
        appearance: Appearance,
        title: str,
        among: Sequence[tuple[str | None, str]],
        chosen: Callable[[str | None], None],
    ) -> None:
        super().__init__(parent, appearance, title, width=460)
        self._chosen = chosen
        field = ChoiceField(appearance, [(entity or "", words) for entity, words in among])
        self.add("lot", "Lot", field)
        self.finish("Go on", self.keep)
        field.setFocus()

    def keep(self) -> None:
        """Hand it over, once."""
        if self.is_here:
            lot = Reader(self).choice("lot") or None
            self.accept()
            self._chosen(lot)
