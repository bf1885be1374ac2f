"""When something happened to the charge: loaded, unloaded, a step taken."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from kilnlog.records.moment import Moment
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader

#: Sends what was filled in, by the form's own ``send``.
Write = Callable[[Form, Moment, str | None], None]


class MomentDialog(Form):
    """Asks for a time that is past and a remark, and hands both to ``write``; ``now`` is the clock."""

    def __init__(
        self,
        parent: QWidget,
        appearance: Appearance,
        title: str,
        said: str,
        now: Callable[[], Moment],
        write: Write,
    ) -> None:
        super().__init__(parent, appearance, title, said, width=460)
        self._now, self._write = now, write
        self.add("at", "When", TextField(appearance), "YYYY-MM-DD HH:MM")
        self.add("reason", "Remark", TextField(appearance))
        self.require("at")
        self.set_text("at", now().text()[:16])
        self.finish("Keep", self.keep)

    def keep(self) -> None:
        """Read, write, close."""
        reader = Reader(self)
        now = self._now()
        at, reason = reader.past_moment("at", now.zone, now), reader.text("reason")
        if reader.ok and at is not None:
            self._write(self, at, reason)
