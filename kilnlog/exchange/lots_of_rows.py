"""Which lots a row of a file is about: those it names, and those of the board it names."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from kilnlog.exchange.draft import Draft
from kilnlog.records.version import Entry


@dataclass(frozen=True)
class LotsOfRows:
    """By the boards known: the lots (entities) each was ever said to belong to."""

    of_board: dict[str | None, frozenset[str]]

    @classmethod
    def of(cls, existing: Iterable[Entry[Any]], drafts: Iterable[Draft]) -> LotsOfRows:
        """From the boards of the logbook and those of the files."""
        told = [(entry.entity, entry.fact.lot) for entry in existing]
        told += [(draft.entity, draft.references.get("lot")) for draft in drafts]
        found: dict[str | None, frozenset[str]] = {}
        for board, lot in told:
            if lot is not None:
                found[board] = found.get(board, frozenset()) | {lot}
        return cls(found)

    def of_row(self, draft: Draft) -> frozenset[str]:
        """The lots a row is about."""
        if draft.table.name == "lots":
            return frozenset({draft.entity})
        board = draft.entity if draft.table.name == "boards" else draft.references.get("board")
        lots = self.of_board.get(board, frozenset())
        return lots | ({lot} if (lot := draft.references.get("lot")) else frozenset())
