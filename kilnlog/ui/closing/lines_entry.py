"""Lines of one kind under a heading: proposed, typed, asked about, kept, corrected, taken back."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, ClassVar, Generic, TypeVar

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QCompleter

from kilnlog.logbook.changes import Changes
from kilnlog.logbook.wording import worded
from kilnlog.logbook.writing import take_back, write
from kilnlog.records.errors import KilnlogError
from kilnlog.records.facts import Fact
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry
from kilnlog.ui.closing.entry_table import EntryColumn, EntryTable
from kilnlog.ui.closing.line_form import LineForm
from kilnlog.ui.closing.line_keeper import Draft, LineKeeper, Within, is_within
from kilnlog.ui.closing.reading_lines import draft_lines
from kilnlog.ui.look.lines import Line
from kilnlog.ui.register.reason import ReasonDialog

if TYPE_CHECKING:
    from kilnlog.ui.closing.step_page import StepPage

F = TypeVar("F", bound=Fact)

ONCE_MORE = "Enter once more keeps it so."


class LinesEntry(QObject, Generic[F]):
    """What a page's lines share. A page's own kind says how a line is read and how a kept one is shown."""

    table_of: str  # of the file
    noun: str  # test, defect, tally line
    name: str  # of the table
    columns: tuple[EntryColumn, ...]
    words: ClassVar[Mapping[str, Sequence[str]]] = {}  # offered while they are typed, by column

    def __init__(self, page: StepPage) -> None:
        super().__init__(page)
        self.page, self.hand, self.desk = page, page.hand, page.desk
        self.keeper = LineKeeper()
        self.table = EntryTable(page.appearance, self.columns, self.name)
        self._asked: tuple[Hashable, Mapping[str, str]] | None = None
        self._shown: Hashable = None
        self._sent: dict[Hashable, list[F]] = {}
        self.table.offer_words(self.words)
        for key, offered in self.words.items():
            completer = QCompleter(list(offered), self)
            completer.setCompletionMode(QCompleter.CompletionMode.InlineCompletion)
            completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
            self.table.fields[key].setCompleter(completer)
        self.table.entered.connect(self.enter)
        self.table.edited.connect(self._edited)
        self.table.opened.connect(self._open)
        self.table.take_back.connect(self._take_back)
        self.table.escaped.connect(self._escape)

    # What a kind of line says of itself.

    def entries(self) -> list[Entry[F]]:
        """The lines that count, in the order written."""
        raise NotImplementedError

    def line(self, entry: Entry[F]) -> Line:
        """A kept line, as it is shown."""
        raise NotImplementedError

    def read(self, texts: Mapping[str, str]) -> tuple[F, Moment | None]:
        """The fact a line makes, and when it was observed; a refusal carries ``column``, a field's key."""
        raise NotImplementedError

    def texts_of(self, entry: Entry[F]) -> dict[str, str]:
        """A kept line as it would be typed."""
        raise NotImplementedError

    def proposed(self, last: F | None) -> dict[str, str]:
        """The line after ``last``."""
        raise NotImplementedError

    def saying(self, fact: F, at: Moment | None) -> str:
        """For the foot, once it is kept."""
        raise NotImplementedError

    def doubts(self, fact: F) -> tuple[str, ...]:
        """What is odd about a line, in sentences; entered once more it is meant."""
        return ()

    def place(self) -> tuple[Hashable, str]:
        """Where the line in hand belongs, and its name."""
        lot = self.page.lot
        lot_key, of_lot = (lot.entity, f" of lot {lot.fact.lot}") if lot is not None else ("", "")
        return (str(self.desk.path), self.hand.record.entity, lot_key), f"{self.name.lower()}{of_lot}"

    # What is the same of all.

    @property
    def last(self) -> F | None:
        """The line before the one in hand: the last one sent, else the last one kept."""
        sent = self._sent.get(self.place()[0])
        if sent:
            return sent[-1]
        kept = self.entries()
        return kept[-1].fact if kept else None

    def follow(self) -> None:
        """Show the kept lines and, under them, the line in hand."""
        key, words = self.place()
        if (
            self._shown is not None
        ):  # a word completed as it is typed stands in its field, and is told by nobody
            self.keeper.type_in(self._shown, self.table.texts)
        self.keeper.place(key, words)
        self.keeper.propose(key, self.proposed(self.last))
        if key != self._shown or self.table.texts != self.keeper.texts(key):
            self._shown, self._asked = key, None
            self.table.set_texts(self.keeper.texts(key))
        kept = [self.line(entry) for entry in self.entries()]
        self.table.set_lines([*kept, *draft_lines(self.keeper.drafts(key), self.columns)])
        self.table.set_writable(self.hand.can_write)

    def enter(self) -> None:
        """Keep the line in hand, ask about it, or refuse it."""
        if not self.hand.can_write:
            return
        key, texts = self.place()[0], self.table.texts
        try:
            fact, at = self.read(texts)
        except KilnlogError as error:
            column = str(error.values.get("column", ""))
            self.table.refuse(self.told(error), column)
            return
        odd = self.doubts(fact)
        if odd and self._asked != (key, texts):
            self._asked = (key, texts)
            self.table.ask(" ".join((*odd, ONCE_MORE)))
            return
        self._asked = None
        self._send(key, texts, fact, at)

    def told(self, error: KilnlogError) -> str:
        """Why, with the field by its heading."""
        named = {column.key: column.name or column.heading for column in self.columns if column.key}
        if (column := error.values.get("column")) in named:
            error.values["column"] = f"“{named[str(column)]}”"
        return worded(error).text

    def _send(self, key: Hashable, texts: Mapping[str, str], fact: F, at: Moment | None) -> None:
        self.keeper.type_in(key, texts)
        sent = self._sent.setdefault(key, [])
        sent.append(fact)
        draft = self.keeper.send(key, self.proposed(fact))

        def kept(_: Changes) -> None:
            sent.remove(fact)
            self.keeper.kept(key, draft)
            self._renew()

        def refused(error: KilnlogError) -> None:
            sent.remove(fact)
            why = self.told(error)
            came_back = self.keeper.refuse(key, draft, why) and self._shown == key
            if came_back:
                self.table.set_texts(self.keeper.texts(key))
            self._renew()
            if came_back and self.hand.is_going:
                self.table.refuse(why)

        self.table.set_texts(self.keeper.texts(key))
        self.page.write(write, fact, at, saying=self.saying(fact, at), done=kept, failed=refused)
        self._renew()
        self.table.take_keys()

    def _renew(self) -> None:
        if self.hand.is_going and self.page.isVisible():
            self.page.renew()

    def _edited(self) -> None:
        self.keeper.type_in(self.place()[0], self.table.texts)
        self.edited()

    def edited(self) -> None:
        """Something was typed."""

    def drop_typed(self) -> bool:
        """Give up what stands typed; whether there was any."""
        key = self.place()[0]
        if not self.keeper.drop_typed(key):
            return False
        self._asked = None
        self.table.set_texts(self.keeper.texts(key))
        self.table.take_keys()
        return True

    def forget(self, within: Within) -> None:
        """Give up what stands typed there: it was sealed without."""
        self.keeper.forget(within)
        if is_within(self._shown, within):
            self._asked = None
            self.table.set_texts(self.keeper.texts(self._shown))

    def _escape(self) -> None:
        if not self.drop_typed():
            self.page.left.emit()

    def _open(self, what: object) -> None:
        """A kept line is corrected; a refused one comes back to be typed anew."""
        key = self.place()[0]
        if isinstance(what, Draft):
            if self.keeper.take_up(key, what):
                self.table.set_texts(self.keeper.texts(key))
                self._renew()
                self.table.refuse(what.refused)
            return
        entry = next((one for one in self.entries() if one.entity == what), None)
        if entry is not None and self.hand.can_write:
            form = LineForm(self.page.window(), self, entry)
            form.accepted.connect(self.table.take_keys)  # the next line is typed below
            form.open()

    def _take_back(self, what: object) -> None:
        if isinstance(what, Draft):
            self.keeper.drop(self.place()[0], what)
            self._renew()
            return
        entry = next((one for one in self.entries() if one.entity == what), None)
        if entry is None or not self.hand.can_write:
            return
        taken = entry

        def given(reason: str) -> None:
            saying = f"{self.noun.capitalize()} taken back"
            self.page.write(take_back, self.table_of, taken.entity, reason, saying=saying)

        told = f"{self.saying(entry.fact, entry.at)}. It stays in the record, struck, and counts no more."
        ReasonDialog(
            self.page.window(),
            self.page.appearance,
            f"Take back this {self.noun}",
            told,
            given,
            such_as="misread, written twice",
        ).open()


def offers(words: type[Any]) -> list[str]:
    """The words of a column, to be offered."""
    return [word.value for word in words]
