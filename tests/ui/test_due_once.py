"""The register's page tells each thing that is due once, though time goes by between register and charge."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kilnlog.logbook.writing import write
from kilnlog.records.event import Event
from kilnlog.records.words import EventKind, EventState
from tests.ui.boards import settle
from tests.ui.conftest import at


@pytest.mark.parametrize("hours", [0, 5])
def test_each_thing_is_due_once_though_its_figures_grew(qtbot, window, hours):
    desk = window.desk
    begun = Event(desk.record.entity, EventKind.CONDITIONING, EventState.START)
    desk.do(write, begun, at("2026-11-25 06:00"))
    settle(qtbot, desk)
    with qtbot.waitSignal(desk.register_changed):
        desk.refresh_register()
    assert any(finding.code == "conditioning-on" for finding in desk.assessment.findings)
    # As the assessment stands some time after the register was read: it has lasted longer.
    desk.assessment = replace(
        desk.assessment,
        findings=tuple(
            replace(one, values={**one.values, "lasted_h": one.values["lasted_h"] + hours})
            if one.code == "conditioning-on"
            else one
            for one in desk.assessment.findings
        ),
    )
    page = window.register.particulars
    page.renew()
    told = [page._due.itemAt(row).widget().accessibleName() for row in range(page._due.count())]
    assert sum("Conditioning since" in text for text in told) == 1
