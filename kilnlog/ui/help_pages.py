"""The help: pages of plain words from ``resources/help``, and what this program is."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QDialog, QTextBrowser, QVBoxLayout, QWidget

from kilnlog import __version__
from kilnlog.reference.resources import resource
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import MainButton
from kilnlog.ui.look.page import Page, page_title, title_row
from kilnlog.ui.look.sizes import GAP_12, GAP_16, Role

#: File, title, key.
HELP_PAGES = (
    ("words", "Words of the trade", "F1"),
    ("keys", "Keys", "Ctrl+F1"),
    ("cautions", "Cautions", ""),
    ("ledger", "What the ledger shows, and what not", ""),
    ("figures", "Where the figures come from", ""),
)


def help_text(page: str) -> str:
    """The page as it is written, in Markdown."""
    return resource("help", f"{page}.md").read_text(encoding="utf-8")


def show_help(parent: QWidget, appearance: Appearance, page: str) -> QDialog:
    """Open a page; it stays open beside the window until it is closed."""
    title = next(title for name, title, _ in HELP_PAGES if name == page)
    return _Reader(parent, appearance, title, help_text(page))


def show_about(parent: QWidget, appearance: Appearance) -> QDialog:
    """Open the page that says what this is."""
    return _Reader(parent, appearance, "About kilnlog", help_text("about").replace("{version}", __version__))


class _Reader(QDialog):
    """One page to read."""

    def __init__(self, parent: QWidget, appearance: Appearance, title: str, markdown: str) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(title)
        page = Page(appearance)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(GAP_12, GAP_12, GAP_12, GAP_12)
        outer.addWidget(page)
        page.body.addLayout(title_row(page_title(title, appearance)))
        self._appearance, self._markdown = appearance, markdown
        self._browser = browser = QTextBrowser()
        browser.document().setDocumentMargin(GAP_12)
        browser.setAccessibleName(title)
        appearance.changed.connect(self._dress)
        self._dress()
        page.body.addWidget(browser, 1)
        close = MainButton("Close", appearance, "Esc")
        close.clicked.connect(self.accept)
        page.body.addSpacing(GAP_12)
        row = QVBoxLayout()
        row.setContentsMargins(GAP_12, 0, GAP_16, 0)
        row.addWidget(close, 0, Qt.AlignmentFlag.AlignRight)
        page.body.addLayout(row)
        self.resize(720, 620)
        self.show()
        browser.setFocus()

    def _dress(self) -> None:
        """The page may stay open while the look changes; its text is laid out anew, where it was read."""
        browser, bar = self._browser, self._browser.verticalScrollBar()
        share = bar.value() / bar.maximum() if bar.maximum() else 0.0
        browser.setFont(self._appearance.sizes.font(Role.BODY))
        palette = browser.palette()
        palette.setColor(QPalette.ColorRole.Base, self._appearance.tokens.colour("sheet"))
        palette.setColor(QPalette.ColorRole.Text, self._appearance.tokens.colour("ink"))
        browser.setPalette(palette)
        browser.setMarkdown(self._markdown)
        bar.setValue(round(share * bar.maximum()))
