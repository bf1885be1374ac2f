"""What is said at the foot of every paper: the seal with its short form, or that there is none."""

from __future__ import annotations

from kilnlog.exchange.papers.contents import Contents, LotPart
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.exchange.papers.page import Foot
from kilnlog.exchange.papers.words import TIE, moment

QUALITY_RECORD = "Quality record"


def is_sealed(contents: Contents) -> bool:
    """Whether these contents are those of a seal."""
    return contents["ledger"] is not None and contents["seal"] is not None


def is_finished(contents: Contents, lot: LotPart) -> bool:
    """Whether the lot is out of the kiln, or sealed as done; else its figures still change."""
    ended_at = lot["out_at"] or contents["charge"]["unloaded_at"]
    return ended_at is not None or is_sealed(contents)


def title_of(contents: Contents, lot: LotPart) -> str:
    """What a lot's paper is called: no record of quality before the lot is out."""
    return QUALITY_RECORD if is_finished(contents, lot) else "Moisture so far"


def moisture_heading(contents: Contents, lot: LotPart) -> str:
    """What stands over its figures."""
    return "Final moisture" if is_finished(contents, lot) else "Moisture"


def unfinished_words(contents: Contents, lot: LotPart) -> str:
    """What stands beside the title of a lot that is still in the kiln; else ""."""
    if is_finished(contents, lot):
        return ""
    return f"not{TIE}finished, still in the kiln" if contents["charge"]["loaded_at"] else "not loaded yet"


def seal_line(contents: Contents, options: PaperOptions) -> str:
    """One line: when it was sealed and the short form, or why nothing is sealed."""
    seal = contents["seal"]
    if seal is None or contents["ledger"] is None:
        made = f", as known on {moment(options.made_at, options)}" if options.made_at else ""
        return f"Not sealed: the charge is open{made}"
    which = "" if seal["version"] == 1 else f" version {seal['version']}"
    by = f" by {seal['sealed_by']}" if seal["sealed_by"] else ""
    before = f", in place of {seal['replaces']}" if seal["replaces"] else ""
    line = f"Sealed{which} {moment(seal['sealed_at'], options)}{by}{before}."
    if options.not_verified:
        return f"NOT VERIFIED: the record no longer fits its seal. {line}"
    return f"{line}  Short form  {options.short_form}" if options.short_form else line


def seal_in_brief(contents: Contents, options: PaperOptions) -> str:
    """The same for a narrow foot, which may be cut off: what leads to the seal comes first."""
    if contents["seal"] is None or options.short_form is None or options.not_verified:
        return seal_line(contents, options)
    which = f", version {contents['seal']['version']}" if contents["seal"]["version"] > 1 else ""
    return f"Short form {options.short_form}{which}, sealed {moment(contents['seal']['sealed_at'], options)}"


def made_at(contents: Contents, options: PaperOptions) -> str | None:
    """The moment that the file bears."""
    seal = contents["seal"]
    return options.made_at if seal is None else seal["sealed_at"]


def foot_of(sentence: str, contents: Contents, options: PaperOptions) -> Foot:
    """The foot with that sentence and the seal."""
    return Foot(sentence, seal_line(contents, options), is_sealed(contents) and not options.not_verified)
