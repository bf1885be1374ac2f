"""The answer that stands to a finding: what was written down of it, and when."""

from __future__ import annotations

from kilnlog.drying.finding import Finding
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.decision import Decision
from kilnlog.records.version import Entry, current_entries

#: Before the note of who agrees and says what is done; a note without it sees the finding otherwise.
DONE = "noted, and done about it: "


def answer_of(record: ChargeRecord, finding: Finding) -> Entry[Decision] | None:
    """The newest decision on this finding that counts; None where it stands for another one as well."""
    subjects = {finding.subject, finding.subject.partition(" ")[2]}
    told = [
        entry
        for entry in current_entries(record.decision)
        if entry.fact.code == finding.code
        and (entry.fact.subject or "charge") in subjects
        and (finding.since is None or entry.at >= finding.since)
    ]
    return max(told, key=lambda entry: entry.at, default=None)
