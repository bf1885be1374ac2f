"""The basic widgets, under one name for the views."""

from kilnlog.ui.look.buttons import KeyHint, MainButton, QuietButton
from kilnlog.ui.look.fields import ChoiceField, Labelled, NotesField, TextField, set_wrong
from kilnlog.ui.look.labels import Computed, Text, Typed, Wrapped, label
from kilnlog.ui.look.page import MarginMark, Page, page_title, section_title, title_row
from kilnlog.ui.look.phase_line import Phase, PhaseLine
from kilnlog.ui.look.tabs import FilterTabs

__all__ = [
    "ChoiceField",
    "Computed",
    "FilterTabs",
    "KeyHint",
    "Labelled",
    "MainButton",
    "MarginMark",
    "NotesField",
    "Page",
    "Phase",
    "PhaseLine",
    "QuietButton",
    "Text",
    "TextField",
    "Typed",
    "Wrapped",
    "label",
    "page_title",
    "section_title",
    "set_wrong",
    "title_row",
]
