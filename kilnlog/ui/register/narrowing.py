"""Narrowing the register: the words chosen, each to be cleared, and the page on which they are chosen."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from kilnlog.logbook.past_charges import Facet, Narrowing, fit_count, options, words_of
from kilnlog.logbook.register import RegisterLine
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import QuietButton
from kilnlog.ui.look.fields import ChoiceField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.sizes import GAP_4, GAP_8, Role

CLEAR_KEY = "Shift F"
_ANY = ""
_TITLES = {
    Facet.SPECIES: "Species",
    Facet.THICKNESS: "Thickness",
    Facet.OWNER: "Owner",
    Facet.YEAR: "Loaded in",
    Facet.OUTCOME: "Outcome, by the final moisture",
}


class NarrowDialog(Form):
    """One word a facet; every word tells how many charges it would leave beside the others chosen."""

    def __init__(
        self,
        parent: QWidget,
        appearance: Appearance,
        lines: Sequence[RegisterLine],
        chosen: Narrowing,
        narrow: Callable[[dict[Facet, str]], None],
    ) -> None:
        super().__init__(parent, appearance, "Narrow the list", "", width=560)
        self._lines, self._narrow = lines, narrow
        self._chosen = dict(chosen)
        self.fields = {facet: ChoiceField(appearance, ((_ANY, "any"),)) for facet in Facet}
        for pair in ((Facet.SPECIES, Facet.THICKNESS), (Facet.OWNER, Facet.YEAR)):
            self.pair(*((facet.value, _TITLES[facet], self.fields[facet]) for facet in pair))
        self.add(Facet.OUTCOME.value, _TITLES[Facet.OUTCOME], self.fields[Facet.OUTCOME])
        self.remark("Species, thickness and owner meet in one lot. What is typed in the search counts too.")
        self._offer()
        for facet, field in self.fields.items():
            field.currentIndexChanged.connect(lambda _, facet=facet: self._choose(facet))
        self.finish("Show them", self._keep, ("Clear all", self._clear))

    @property
    def chosen(self) -> Narrowing:
        """The words chosen so far."""
        return self._chosen

    def _choose(self, facet: Facet) -> None:
        key = self.fields[facet].value
        if key == _ANY:
            self._chosen.pop(facet, None)
        else:
            self._chosen[facet] = key
        self._offer(but=facet)

    def _offer(self, but: Facet | None = None) -> None:
        """The words with their counts; a field that is being gone through keeps its own."""
        for facet, field in self.fields.items():
            if facet is but:
                continue  # its counts rest on the other facets alone
            offered = options(self._lines, self._chosen, facet)
            choices = [(_ANY, "any"), *((one.key, f"{one.words}  ({one.count})") for one in offered)]
            field.set_choices(choices)
            field.blockSignals(True)
            field.set_value(self._chosen.get(facet, _ANY))
            field.blockSignals(False)
        self.said.setText(fit_count(self._lines, self._chosen))

    def _clear(self) -> None:
        self._chosen.clear()
        self._offer()

    def _keep(self) -> None:
        self._narrow(self._chosen)
        self.accept()

    def reject(self) -> None:
        """Nothing is lost by leaving: what was chosen here is chosen anew in a moment."""
        self.done(self.DialogCode.Rejected)


class ChosenWord(QuietButton):
    """One word chosen. Enter, space, Delete or a click clears it.

    cleared(): it is to go.
    """

    cleared = Signal()

    def __init__(self, words: str, facet: Facet, appearance: Appearance) -> None:
        super().__init__(f"{words.replace('&', '&&')}  ×", appearance)
        self.setAccessibleName(f"{_TITLES[facet]}: {words}")
        self.setAccessibleDescription("Enter or Delete clears it")
        self.setToolTip("clear it")
        self.clicked.connect(self.cleared)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Delete clears it too."""
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.cleared.emit()
        else:
            super().keyPressEvent(event)


class ChosenWords(QWidget):
    """The words chosen, in as many rows as they need; nothing, and no room taken, where there are none.

    changed(dict): the words that are left.
    """

    changed = Signal(object)

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self._chosen: dict[Facet, str] = {}
        self.words: list[ChosenWord] = []
        self.setAccessibleName("The list is narrowed to")
        appearance.changed.connect(self._lay_out)
        self.hide()

    def show_words(self, lines: Sequence[RegisterLine], chosen: Narrowing) -> None:
        """Show these words."""
        self._chosen = dict(chosen)
        had_keys = any(word.hasFocus() for word in self.words)
        for word in self.words:
            word.hide()
            word.deleteLater()
        self.words = []
        for facet in (facet for facet in Facet if facet in chosen):
            word = ChosenWord(words_of(lines, facet, chosen[facet]), facet, self._appearance)
            word.setParent(self)
            word.cleared.connect(lambda facet=facet: self._clear(facet))
            word.show()
            self.words.append(word)
        if len(self.words) > 1:
            everything = ChosenWord("all of them", Facet.SPECIES, self._appearance)
            everything.setAccessibleName("Clear all")
            everything.setParent(self)
            everything.cleared.connect(lambda: self.changed.emit({}))
            everything.show()
            self.words.append(everything)
        self.setVisible(bool(self.words))
        self._lay_out()
        if had_keys and self.words:
            self.words[0].setFocus()

    def _clear(self, facet: Facet) -> None:
        self.changed.emit({other: key for other, key in self._chosen.items() if other is not facet})

    def _lay_out(self) -> None:
        x = y = 0
        height = self._appearance.sizes.control_h - GAP_4
        most = max(80, self.width())
        for word in self.words:
            width = min(word.sizeHint().width(), most)
            if x and x + width > most:
                x, y = 0, y + height + GAP_4
            word.setGeometry(x, y, width, height)
            x += width + GAP_8
        self.setFixedHeight(y + height if self.words else 0)

    def sizeHint(self) -> QSize:
        """As wide as there is room."""
        label = QFontMetricsF(self._appearance.sizes.font(Role.BODY))
        return QSize(round(label.averageCharWidth() * 20), self.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width takes other rows."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._lay_out()
