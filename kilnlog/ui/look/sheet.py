"""The style sheet of Qt's own controls: colours and borders only, fonts come from the roles."""

from __future__ import annotations

from string import Template

from kilnlog.ui.look.tokens import Tokens

_SHEET = Template("""
QLineEdit, QPlainTextEdit, QComboBox {
    background: $field; color: $ink; border: 1px solid $edge; border-radius: 4px; padding: 3px 11px;
    selection-background-color: $chosen; selection-color: $ink;
}
QLineEdit:focus, QPlainTextEdit:focus, QComboBox:focus { border: 2px solid $focus; padding: 2px 10px; }
QLineEdit:read-only, QPlainTextEdit:read-only, QComboBox:disabled, QLineEdit:disabled {
    background: $sheet2; color: $ink2;
}
QLineEdit[wrong="true"], QComboBox[wrong="true"] {
    background: $act_bg; border: 2px solid $act; padding: 2px 10px;
}
QLineEdit[wrong="true"]:focus, QComboBox[wrong="true"]:focus { border: 2px solid $focus; }
QLineEdit[carried="true"] { background: transparent; border: 1px solid transparent; }
QLineEdit[carried="true"]:focus { background: $field; border: 2px solid $focus; }
QLineEdit[carried="true"][wrong="true"] { background: $act_bg; border: 2px solid $act; }
QComboBox::drop-down { border: none; width: 22px; }
QComboBox QAbstractItemView {
    background: $sheet; color: $ink; border: 1px solid $edge; outline: none;
    selection-background-color: $chosen; selection-color: $ink;
}
QMenuBar { background: transparent; color: $on_cloth2; spacing: 0px; }
QMenuBar::item { background: transparent; color: $on_cloth2; padding: 3px 11px; border-radius: 4px; }
QMenuBar::item:selected, QMenuBar::item:pressed { background: $cloth2; color: $on_cloth; }
QMenu { background: $sheet; color: $ink; border: 1px solid $edge; padding: 4px 0px; }
QMenu::item { padding: 6px 26px 6px 26px; }
QMenu::item:selected { background: $chosen; color: $ink; }
QMenu::item:disabled { color: $edge; }
QMenu::separator { height: 1px; background: $rule; margin: 4px 0px; }
QToolTip { background: $sheet; color: $ink; border: 1px solid $edge; padding: 4px 8px; }
QScrollBar:vertical { background: transparent; width: 10px; margin: 0px; }
QScrollBar:horizontal { background: transparent; height: 10px; margin: 0px; }
QScrollBar::handle { background: $edge; border-radius: 3px; margin: 2px; }
QScrollBar::handle:vertical { min-height: 28px; }
QScrollBar::handle:horizontal { min-width: 28px; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0px; height: 0px; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }
QLineEdit { placeholder-text-color: $ink2; }
QListWidget { background: $sheet; border: none; outline: none; }
QListWidget::item { padding: 6px 8px; border-bottom: 1px solid $rule; }
QListWidget::item:selected { background: $chosen; color: $ink; }
QTableWidget {
    background: $sheet; color: $ink; gridline-color: $rule; border: 1px solid $edge; outline: none;
}
QTableWidget::item:selected { background: $chosen; color: $ink; }
QTableWidget QHeaderView, QTableWidget QTableCornerButton::section { background: $sheet; border: none; }
QTableWidget QHeaderView::section {
    background: $sheet; color: $ink2; border: none; border-bottom: 1px solid $rule; padding: 4px;
}
QProgressBar { background: $sheet2; border: 1px solid $edge; border-radius: 4px; }
QProgressBar::chunk { background: $pencil; }
QCheckBox, QRadioButton {
    color: $ink; spacing: 8px; border: 2px solid transparent; border-radius: 4px; padding: 1px 4px;
}
QCheckBox:focus, QRadioButton:focus { border: 2px solid $focus; }
QDialog, QMessageBox { background: $desk; }
QTextBrowser { background: $sheet; color: $ink; border: none; }
QCompleter { color: $ink; }
""")


def style_sheet(tokens: Tokens) -> str:
    """The sheet in these colours."""
    return _SHEET.substitute({name: getattr(tokens, name) for name in type(tokens).__slots__})
