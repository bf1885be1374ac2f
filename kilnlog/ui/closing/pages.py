"""The pages of the close-out, one for each heading. A heading is gone through once its page stands here."""

from __future__ import annotations

from collections.abc import Mapping

from kilnlog.logbook.close_out_steps import Step
from kilnlog.ui.closing.defects_page import DefectsPage
from kilnlog.ui.closing.heat_page import HeatPage
from kilnlog.ui.closing.moisture_page import MoisturePage
from kilnlog.ui.closing.notes_page import NotesPage
from kilnlog.ui.closing.review_page import ReviewPage
from kilnlog.ui.closing.seal_page import SealPage
from kilnlog.ui.closing.step_page import StepPage
from kilnlog.ui.closing.stress_page import StressPage
from kilnlog.ui.closing.tally_page import TallyPage
from kilnlog.ui.closing.unloading_page import UnloadingPage

PAGES: Mapping[Step, type[StepPage]] = {
    page.step: page
    for page in (
        UnloadingPage,
        MoisturePage,
        StressPage,
        DefectsPage,
        TallyPage,
        HeatPage,
        NotesPage,
        ReviewPage,
        SealPage,
    )
}
