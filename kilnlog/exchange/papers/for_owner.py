"""What one owner may see of a charge: only their lots and boards, and nothing that tells of anybody else.

Figures of the whole charge (control, findings, decisions, events, notes, status) go, because lumber of
others is in them. What stays of the charge is what would be the same without the others: kiln, dates, air,
heat, what was left out or not found, though not why. A text among it that names one of them is left out all
the same.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, cast

from kilnlog.exchange.errors import UnknownOwner
from kilnlog.exchange.other_names import OtherNames
from kilnlog.exchange.owner_texts import LEFT_OUT
from kilnlog.exchange.papers.contents import (
    AnswerPart,
    ChargePart,
    Contents,
    HeatPart,
    InstrumentPart,
    LotPart,
    SealPart,
    SeriesPart,
)
from kilnlog.records.owner_name import distinct_owners, owner_key
from kilnlog.records.words import InstrumentKind

#: Weighed and dried with for every lot.
_OF_ALL_LUMBER = (InstrumentKind.SCALE, InstrumentKind.OVEN)

#: Texts of the charge that tell of its kiln and its way through it.
_OF_THE_KILN = ("kiln", "heat", "schedule")

_Tells = Callable[[str | None], bool]


def owners_of(contents: Contents) -> tuple[str, ...]:
    """Each owner of the charge once, as first written."""
    return distinct_owners(lot["owner"] for lot in contents["lots"])


def for_owner(contents: Contents, owner: str | None) -> Contents:
    """The contents as this owner may read them; ``contents`` itself is left as it is.

    Names compare as ``records.owner_name`` says; None or "" are the lots that name no owner.

    Raises:
        UnknownOwner: No lot of the charge is theirs.
    """
    key = owner_key(owner)
    lots = [lot for lot in contents["lots"] if owner_key(lot["owner"]) == key]
    if not lots:
        raise UnknownOwner(
            owner=owner or "", known_owners=owners_of(contents), charge=contents["charge"]["charge"]
        )
    return _narrowed(contents, lots, owner or "")


def for_lot(contents: Contents, lot: str) -> Contents:
    """The contents as the owner of that lot may read them, with that lot alone; lots are told by label.

    Raises:
        KeyError: The charge has no such lot; callers offer only lots there are.
    """
    found = [part for part in contents["lots"] if part["lot"] == lot]
    if not found:
        raise KeyError(lot)
    return _narrowed(contents, found[:1], found[0]["owner"] or "")


def without_names(contents: Contents, owners: Iterable[str | None]) -> Contents:
    """The contents of lots alone, without texts on what all shared that tell of an owner who is not named.

    Such contents do not say who else had lumber in the charge; so nobody could look for their names later.

    Args:
        contents: Of one lot, or of lots of one owner.
        owners: Everybody with lumber in the charge.
    """
    own = owners_of(contents)
    tells = OtherNames(distinct_owners(owners), own[0] if own else "").are_told_in
    return {
        **contents,
        "charge": cast(ChargePart, _without(dict(contents["charge"]), _OF_THE_KILN, tells)),
        "lots": [_lots_own(lot, tells) for lot in contents["lots"]],
        "heat": _heat(contents["heat"], tells),
        "instruments": [_instrument(part, tells) for part in contents["instruments"]],
    }


def _narrowed(contents: Contents, lots: list[LotPart], owner: str) -> Contents:
    others = OtherNames(owners_of(contents), owner)
    tells = others.are_told_in
    labels = {lot["lot"] for lot in lots}
    meters = {name for lot in lots for series in lot["final"] for name in _named_in(series)}
    answers: list[AnswerPart] = [{**answer, "note": None} for answer in contents["answers"]]
    return {
        "form": contents["form"],
        "ledger": contents["ledger"],
        "seal": _seal(contents["seal"], tells),
        "mill": dict(contents["mill"]),
        "charge": _charge(contents["charge"], tells),
        "lots": [_lot(lot, tells) for lot in lots],
        "boards": [board for board in contents["boards"] if board["lot"] in labels],
        "control": [],
        "heat": _heat(contents["heat"], tells),
        "instruments": _instruments(contents["instruments"], meters, tells),
        "steps": [],
        "air": contents["air"],
        "events": [],
        "findings": [],
        "decisions": [],
        "answers": answers,
        "status": {},
    }


def _seal(seal: SealPart | None, tells: _Tells) -> SealPart | None:
    """Without the reasons: they may be about anybody's lumber."""
    if seal is None:
        return None
    return {
        **seal,
        "sealed_by": "" if tells(seal["sealed_by"]) else seal["sealed_by"],
        "reopened_because": None,
        "closing_reason": None,
    }


def _charge(charge: ChargePart, tells: _Tells) -> ChargePart:
    return cast(ChargePart, {**_without(dict(charge), _OF_THE_KILN, tells), "notes": None})


def _lot(lot: LotPart, tells: _Tells) -> LotPart:
    """As ``_lots_own``, and without the causes of defects, which are for the mill to learn by."""
    kept = _lots_own(lot, tells)
    return {
        **kept,
        "defects": [
            {**defect, "cause": None, "next_time": None, "cause_source": None} for defect in kept["defects"]
        ],
    }


def _lots_own(lot: LotPart, tells: _Tells) -> LotPart:
    """The lot's own, without remarks that tell of another owner."""
    kept = cast(LotPart, _cleared(lot, tells))
    if "heat_until_out" in lot:
        kept["heat_until_out"] = _heat(lot["heat_until_out"], tells)
    return kept


#: Texts that say what lumber it is, or words of ours; an owner called Oak makes no secret of red oak.
_PLAIN = frozenset(
    (
        *("lot", "owner", "species", "thickness", "volume_unit", "out_at", "kind", "found", "severity"),
        *("unit", "when", "answer", "step", "read_at", "tested_at", "temperature_unit", "width_unit"),
        *("length_unit", "begins", "ends", "wet_weight", "oven_dry_weight", "rounding"),
    )
)


def _cleared(part: Any, tells: _Tells) -> Any:
    """The part with every text that tells of others left out, however deep it stands."""
    if isinstance(part, dict):
        return {
            name: value
            if name in _PLAIN
            else None
            if name == "note" and tells(value)
            else _cleared(value, tells)
            for name, value in part.items()
        }
    if isinstance(part, list):
        return [_cleared(item, tells) for item in part]
    return _shown(part, tells) if isinstance(part, str) else part


def _heat(heat: HeatPart | None, tells: _Tells) -> HeatPart | None:
    if heat is None:
        return None
    kept = _without(dict(heat), ("limits_from", "agency", "agreement"), tells)
    return cast(
        HeatPart,
        {
            **kept,
            "probes": [_shown(probe, tells) for probe in heat["probes"]],
            "remarks": [remark for remark in heat["remarks"] if not tells(remark)],
            "breaks": [remark for remark in heat["breaks"] if not tells(remark)],
        },
    )


def _instruments(parts: list[InstrumentPart], meters: set[str], tells: _Tells) -> list[InstrumentPart]:
    """Those that measured this lumber: scales and ovens, of the others only what its readings name."""
    return [
        _instrument(part, tells)
        for part in parts
        if part["kind"] in _OF_ALL_LUMBER or part["instrument"] in meters
    ]


def _instrument(part: InstrumentPart, tells: _Tells) -> InstrumentPart:
    return {
        **part,
        "instrument": _shown(part["instrument"], tells),
        "check_result": _kept(part["check_result"], tells),
    }


def _named_in(series: SeriesPart) -> list[str]:
    """The instruments a series names; what commas join is not taken apart: names hold commas."""
    return series.get("instruments") or [series["instrument"] or ""]


def _without(fields: dict[str, Any], names: tuple[str, ...], tells: _Tells) -> dict[str, Any]:
    return {**fields, **{name: _kept(fields[name], tells) for name in names}}


def _kept(text: str | None, tells: _Tells) -> str | None:
    return None if tells(text) else text


def _shown(text: str, tells: _Tells) -> str:
    return LEFT_OUT if tells(text) else text
