"""The part that unloading and closing share: how far the charge is, what is open, and why it ends now."""

from __future__ import annotations

from kilnlog.logbook.ending_words import EndingWords
from kilnlog.logbook.wording import worded_finding
from kilnlog.records.weight import WeightUnit
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.ruled import Cell, RuledTable
from kilnlog.ui.look.sizes import Role

_MOST_FINDINGS = 3


def tell_ending(form: Form, words: EndingWords, unit: WeightUnit) -> None:
    """What stands before the button is pressed."""
    for doubt in words.doubts:  # first, where no size of text puts them out of sight
        form.column.addWidget(Wrapped(doubt, form.appearance, Role.BODY, "act"))
    table = RuledTable(form.appearance, ("Where it stands", ""), "Where it stands", in_margin=False)
    table.set_rows([(Cell(name), Cell(figure, "pencil")) for name, figure in words.rows])
    form.column.addWidget(table)
    if words.open_findings:
        form.section("Not answered yet")
        for finding in words.open_findings[:_MOST_FINDINGS]:
            form.remark(worded_finding(finding, unit).headline)
        if len(words.open_findings) > _MOST_FINDINGS:
            form.remark(f"and {len(words.open_findings) - _MOST_FINDINGS} more")
    if words.rule:
        form.remark(words.rule)
