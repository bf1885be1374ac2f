"""What is said at the foot of every paper: the seal with its short form, or that there is none."""

from __future__ import annotations

from kilnlog.exchange.papers.contents import Contents
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.exchange.papers.page import Foot
from kilnlog.exchange.papers.words import moment


def is_sealed(contents: Contents) -> bool:
    """Whether these contents are those of a seal."""
    return contents["ledger"] is not None and contents["seal"] is not None


def seal_line(contents: Contents, options: PaperOptions) -> str:
    """One line: when it was sealed and the short form, or why nothing is sealed."""
    seal = contents["seal"]
    if seal is None or contents["ledger"] is None:
        made = f", as known on {moment(options.made_at, options)}" if options.made_at else ""
        return f"Not sealed: the charge is open{made}"
    which = "" if seal["version"] == 1 else f" version {seal['version']}"
    by = f" by {seal['sealed_by']}" if seal["sealed_by"] else ""
    line = f"Sealed{which} {moment(seal['sealed_at'], options)}{by}."
    if options.not_verified:
        return f"NOT VERIFIED: the record no longer fits its seal. {line}"
    return f"{line}  Short form  {options.short_form}" if options.short_form else line


def made_at(contents: Contents, options: PaperOptions) -> str | None:
    """The moment that the file bears."""
    seal = contents["seal"]
    return options.made_at if seal is None else seal["sealed_at"]


def foot_of(sentence: str, contents: Contents, options: PaperOptions) -> Foot:
    """The foot with that sentence and the seal."""
    return Foot(sentence, seal_line(contents, options), is_sealed(contents) and not options.not_verified)
