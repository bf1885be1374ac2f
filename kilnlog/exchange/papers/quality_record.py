"""The quality record: a page for each lot, worded as measurements, for whoever takes the lumber."""

from __future__ import annotations

from kilnlog.exchange.papers.blocks import Words
from kilnlog.exchange.papers.contents import Contents, LotPart
from kilnlog.exchange.papers.flow import Flow
from kilnlog.exchange.papers.for_owner import for_lot, for_owner
from kilnlog.exchange.papers.lot_page import add_lot, measured_words
from kilnlog.exchange.papers.options import PaperOptions, Printed
from kilnlog.exchange.papers.page import BODY, INK, About, Paper, printed
from kilnlog.exchange.papers.piece_table import add_piece_tables, dots_tell_all
from kilnlog.exchange.papers.seal_words import QUALITY_RECORD, foot_of, made_at, title_of, unfinished_words
from kilnlog.exchange.papers.title_block import TitleBlock

TITLE = QUALITY_RECORD


def quality_record(
    contents: Contents, options: PaperOptions, *, owner: str | None = None, lot: str | None = None
) -> Printed:
    """The record of one lot, of one owner's lots, or of all lots, each beginning a page.

    Every page is drawn from what the lot's owner may read and nothing else, whichever lots are asked for.

    Args:
        contents: Of the charge.
        options: Size, dates, seal.
        owner: Whose lots; None: everybody's, for the mill.
        lot: The label of one lot; None: all of them.

    Raises:
        UnknownOwner: No lot of the charge is the owner's.
    """
    seen = contents if owner is None else for_owner(contents, owner)
    pages = [for_lot(seen, part["lot"]) for part in seen["lots"] if lot in (None, part["lot"])]
    lots = [page["lots"][0] for page in pages]

    def draw(paper: Paper) -> None:
        if not pages:
            paper.foot = foot_of("Nothing was measured.", seen, options)
            _without_lots(seen).draw(paper)
        for number, page in enumerate(pages):
            if number:
                paper.next_page()
            _draw_lot(paper, page, options)

    return printed(_about(seen, lots, options), options, draw)


def _draw_lot(paper: Paper, contents: Contents, options: PaperOptions) -> None:
    lot = contents["lots"][0]
    paper.foot = foot_of(measured_words(contents, lot, options), contents, options)
    flow = _lot_flow(contents, lot, options)
    if not flow.fits(paper) and (tight := _lot_flow(contents, lot, options, is_tight=True)).fits(paper):
        flow = tight
    if options.piece_by_piece or not dots_tell_all(lot, paper.right - paper.left):
        add_piece_tables(flow, lot, options)
    flow.draw(paper)


def _lot_flow(contents: Contents, lot: LotPart, options: PaperOptions, *, is_tight: bool = False) -> Flow:
    subject, mill, title = _subject(contents, lot), contents["mill"], title_of(contents, lot)
    flow = Flow(f"{title}, {subject[0].lower()}{subject[1:]}, continued")
    under = "; ".join(part for part in (subject, unfinished_words(contents, lot)) if part)
    flow.add(TitleBlock(title, under, mill.get("name", ""), mill.get("place", "")))
    add_lot(flow, contents, lot, options, is_tight=is_tight)
    return flow


def _without_lots(contents: Contents) -> Flow:
    flow = Flow(TITLE)
    mill = contents["mill"]
    subject = f"Charge {contents['charge']['charge']}"
    flow.add(TitleBlock(TITLE, subject, mill.get("name", ""), mill.get("place", "")))
    flow.add(Words("No lot of this charge was written down.", BODY, INK))
    return flow


def _subject(contents: Contents, lot: LotPart) -> str:
    whose = f", for {lot['owner']}" if lot["owner"] else ""
    return f"Charge {contents['charge']['charge']}, lot {lot['lot']}{whose}"


def _about(contents: Contents, lots: list[LotPart], options: PaperOptions) -> About:
    labels = "".join(f", lot {lot['lot']}" for lot in lots)
    owners = {lot["owner"] for lot in lots}
    whose = f", for {owners.pop()}" if len(owners) == 1 and None not in owners else ""
    titles = {title_of(contents, lot) for lot in lots}
    title = titles.pop() if len(titles) == 1 else TITLE
    return About(
        title=f"{title}, charge {contents['charge']['charge']}{labels}{whose}",
        author=contents["mill"].get("name", ""),
        subject="Measurements of dried lumber",
        at=made_at(contents, options),
    )
