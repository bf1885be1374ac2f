"""What the Charge menu does about closing: the charge, a lot that leaves, and what comes after a seal."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtWidgets import QWidget

from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.lot import Lot
from kilnlog.records.version import Entry, current_entries
from kilnlog.ui.closing.after_seal import LaterNoteForm, ReopenForm
from kilnlog.ui.closing.which_dialog import WhichDialog
from kilnlog.ui.commands import Command, MenuName
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.register.lots_dialog import lot_line


class ClosingCommands:
    """``show`` brings the close-out to the front: of a lot by its entity, or of the whole charge."""

    def __init__(
        self,
        view: QWidget,
        desk: Desk,
        appearance: Appearance,
        show: Callable[[str | None], None],
    ) -> None:
        self._view, self._desk, self._appearance = view, desk, appearance
        self._show_close_out = show

    def commands(self) -> tuple[Command, ...]:
        """In the order they stand in the menu."""
        charge = MenuName.CHARGE
        return (
            Command(charge, "Cl&ose out…", self.close_out, "Ctrl+Shift+C", self._can_close, writes=True),
            Command(
                charge,
                "Close out lo&t…",
                self.close_out_lot,
                possible=self._can_close_lot,
                writes=True,
            ),
            Command(charge, "Se&al and its papers…", self.show_seal, possible=self._is_sealed),
            Command(charge, "&Reopen…", self.reopen, possible=self._can_reopen, writes=True),
            Command(charge, "Later not&e…", self.later_note, possible=self._can_reopen, writes=True),
        )

    def _can_close(self) -> bool:
        record = self._desk.record
        return record is not None and self._desk.can_write and record.particulars.loaded_at is not None

    def _open_lots(self) -> list[Entry[Lot]]:
        record = self._desk.record
        if record is None:
            return []
        return [one for one in current_entries(record.lot) if record.closing_of(one.entity) is None]

    def _can_close_lot(self) -> bool:
        """A lot that is alone leaves with its charge."""
        record = self._desk.record
        several = record is not None and sum(1 for _ in current_entries(record.lot)) > 1
        return several and self._can_close() and bool(self._open_lots())

    def _is_sealed(self) -> bool:
        return self._desk.record is not None and bool(self._sealed_scopes(self._desk.record))

    def _can_reopen(self) -> bool:
        return self._is_sealed() and not self._desk.is_taken_back

    @staticmethod
    def _sealed_scopes(record: ChargeRecord) -> list[tuple[str | None, str]]:
        """What is closed: the charge, or lots of it; each with its name."""
        if record.is_closed:
            return [(None, f"charge {record.particulars.charge}")]
        lots = [one for one in current_entries(record.lot) if record.closing_of(one.entity) is not None]
        return [(one.entity, f"lot {one.fact.lot}") for one in lots]

    def close_out(self, lot: str | None = None) -> None:
        """Close out the charge in hand, or one lot of it."""
        self._desk.reassess()
        if self._can_close():
            self._show_close_out(lot)

    def close_out_lot(self) -> None:
        """Choose a lot that leaves before the rest, and close it out."""
        if self._can_close_lot():
            self._choose([(one.entity, lot_line(one.fact)) for one in self._open_lots()], self.close_out)

    def show_seal(self) -> None:
        """The seal of the charge, or of a lot that left, with its papers."""
        if self._desk.record is not None and self._is_sealed():
            self._choose(self._sealed_scopes(self._desk.record), self._show_close_out)

    def reopen(self) -> None:
        """Reopen the charge, or a lot that left."""
        self._after_seal(ReopenForm)

    def later_note(self) -> None:
        """A dated note on what is closed."""
        self._after_seal(LaterNoteForm)

    def _after_seal(self, form: type[ReopenForm | LaterNoteForm]) -> None:
        record = self._desk.record
        if record is None or not self._can_reopen() or self._desk.read_only is not None:
            return
        named = self._sealed_scopes(record)

        def chosen(scope: str | None) -> None:
            name = dict(named)[scope]
            form(self._view.window(), self._desk, self._appearance, record.entity, scope, name).open()

        self._choose(named, chosen)

    def _choose(self, among: Sequence[tuple[str | None, str]], chosen: Callable[[str | None], None]) -> None:
        if len(among) == 1:
            chosen(among[0][0])
        elif among:
            WhichDialog(self._view.window(), self._appearance, "Which lot?", among, chosen).open()
