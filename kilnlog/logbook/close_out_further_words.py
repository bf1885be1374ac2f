"""What the close-out says of the meter, the totals of a tally and the name on the papers."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from kilnlog.logbook.close_out_steps import Before, Code
from kilnlog.logbook.tally_lines import volume_words

TITLES: Mapping[Code, Callable[[Before], str]] = {
    Code.METER_NOT_CHECKED: lambda one: "Meter never checked, as far as is written",
    Code.MORE_NET: lambda one: "More net than green",
    Code.NO_NAME: lambda one: "No name on the papers",
}


def _more_net(one: Before, record: Callable[[str], str]) -> str:
    net, green = (volume_words(one.values[name], one.values["unit"]) for name in ("net", "green"))
    both = f"{record('give')} both as they stand."
    return f"{net} net came of {green} green, and wood does not grow by drying. {both}"


#: With what the record will say, or says, made from a verb.
CONSEQUENCES: Mapping[Code, Callable[[Before, Callable[[str], str]], str]] = {
    Code.METER_CHECKED: lambda one, record: f"The record names {one.values['meter']} and that date.",
    Code.METER_NOT_CHECKED: lambda one, record: f"The record names {one.values['meter']} and no date.",
    Code.MORE_NET: _more_net,
    Code.NO_NAME: lambda one, record: (
        f"{record('name')} nobody who hands it out. Set it before the seal: Papers, Name on the papers…"
    ),
}

#: Where it can no longer be set.
SEALED: Mapping[Code, str] = {Code.NO_NAME: "The record names nobody who hands it out."}
