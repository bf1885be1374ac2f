"""What papers are drawn from: plain data, the same whether a charge is sealed or still open.

A seal is this as canonical JSON, so a paper of a sealed charge needs nothing else; the names are a promise
to whoever checks one. Moments are ISO 8601 with offset, local to the charge. Figures are at full precision,
in the unit their name ends with, or the unit beside them; what is not known is null, or an empty list.
"""

from __future__ import annotations

from typing import Any, NotRequired, TypedDict

from kilnlog.exchange.papers.contents_tally import TallyTotals

#: Raised when the form of the contents changes; earlier seals stay readable by theirs.
FORM = 2


class Ledger(TypedDict):
    """Where the ledger stood: the last line before the seal."""

    logbook: str  # uid
    number: int
    head: str  # SHA-256 in hex


class SealPart(TypedDict):
    """What was sealed, when, by whom."""

    sealed_at: str
    sealed_by: str
    version: int  # 1; one more after each reopening
    reopened_because: str | None
    closing_reason: str | None
    program: str  # name and version
    lot: str | None  # the label of a lot that left early; null: the whole charge
    replaces: str | None  # the short form of the seal before it


class ChargePart(TypedDict):
    """The charge itself."""

    charge: str
    kiln: str | None
    heat: str | None
    air_control: str | None
    loaded_at: str | None
    unloaded_at: str | None
    days: float | None
    day_count: int | None  # as one counts on a calendar: the day it is loaded is the first
    target_mc_pct: float | None
    control_rule: str
    schedule: str | None
    zone: str
    notes: str | None


class LimitsPart(TypedDict):
    """What the pieces of a lot were asked to be."""

    target_mc_pct: float | None
    low_pct: float | None
    high_pct: float | None
    average_low_pct: float | None
    average_high_pct: float | None
    share_pct: float | None  # of the pieces that must lie inside
    named: str  # the standard, or the order's own words
    standing: str | None  # of the figures, where they are of a standard
    remark: str | None


class ReadingPart(TypedDict):
    """One piece read."""

    pack: str | None
    piece: str | None
    read_at: str
    reading_pct: float | None
    wood_temperature: float | None
    temperature_unit: str | None
    temperature_correction_pct: float | None  # by the rule of its series
    species_correction_pct: float | None
    mc_pct: float | None  # null where the reading is over the range
    over: bool  # above 30 %: counted outside, in no mean
    extrapolated: bool  # the correction was carried beyond where it was published
    wet_weight: str | None  # as typed, with its unit
    oven_dry_weight: str | None
    note: str | None


class PackPart(TypedDict):
    """The figures of one pack, or of a whole series."""

    pack: str | None  # null: pieces of no named pack, or the whole series
    n: int  # pieces read
    over: int  # of those above the range
    inside: int | None  # null: no limits
    below: int | None
    above: int | None
    mean_pct: float | None
    sd_pct: float | None
    lowest_pct: float | None
    highest_pct: float | None


class IntervalPart(TypedDict):
    """A statement about the pieces nobody read."""

    kind: str  # normal, free
    low_pct: float | None  # null: nothing is said of that side
    high_pct: float | None
    share_pct: float
    confidence_pct: float
    factor: float | None  # k of mean ± k·s


class SeriesPart(TypedDict):
    """Readings of one kind; two series are never averaged together."""

    kind: str  # pin meter, pinless meter, oven-dry, sample boards
    how: str  # in words: instrument, depth, setting, rule of correction
    instrument: str | None  # several joined by commas
    instruments: NotRequired[list[str]]  # each by its name; not in the earliest seals of this form
    readings: list[ReadingPart]
    whole: PackPart
    packs: list[PackPart]
    intervals: list[IntervalPart]
    remarks: list[str]  # in words: what to know before relying on it
    withheld: list[str]  # in words: why an interval is not stated


class PairPart(TypedDict):
    """The same piece by meter and by oven."""

    piece: str
    meter_pct: float
    oven_pct: float
    difference_pct: float  # meter minus oven


class SamplePart(TypedDict):
    """How many pieces should be read, by a published plan."""

    pieces: int
    accepted_outside: int | None  # the most that may lie outside
    of_lot_of: int  # pieces in the lot
    named: str
    standing: str


class RemarkPart(TypedDict):
    """Something to know, apart from where it is printed."""

    said: str
    source: str | None  # null: it follows from the lot's own tests


class StressPart(TypedDict):
    """One stress test."""

    kind: str
    piece: str | None
    found: str | None
    value: float | None
    core_value: float | None
    difference_pct: float | None  # core minus shell
    unit: str | None
    limit: float | None
    passed: bool | None  # null: no limit and nothing found in words
    tested_at: str
    note: str | None


class TreatmentPart(TypedDict):
    """One time of equalizing or conditioning, while the lot was in the kiln."""

    kind: str  # equalizing, conditioning
    begins: str | None  # null: not written down
    ends: str | None  # null: not written down, or not yet


class DefectPart(TypedDict):
    """One defect."""

    kind: str
    severity: str | None
    pieces: int | None
    volume: float | None
    volume_unit: str | None
    share_pct: float | None  # of the lot's pieces, else of its volume
    note: str | None
    cause: str | None  # what print says of it, so that the next charge learns
    next_time: str | None
    cause_source: str | None


class LotPart(TypedDict):
    """One lot, with all that was found at the end. Nothing here tells of another lot."""

    lot: str
    owner: str | None
    species: str | None
    thickness: str | None
    volume: float | None
    volume_unit: str | None
    out_at: str | None
    limits: LimitsPart
    final: list[SeriesPart]
    pairs: list[PairPart]
    asked_for: SamplePart | None
    treatments: list[TreatmentPart]
    stress: list[StressPart]
    stress_remarks: list[RemarkPart]
    defects: list[DefectPart]
    tally: TallyTotals | None
    answers: list[AnswerPart]  # headings left out, or none found
    storage: str | None  # what it will do where it is kept
    heat_until_out: NotRequired[HeatPart | None]  # in place of the charge's, of a lot that left before it


class AnswerPart(TypedDict):
    """A heading that nothing was written under."""

    step: str
    answer: str  # left out, none found
    note: str | None


class BoardPart(TypedDict):
    """One sample board: where its curve went."""

    board: str
    lot: str | None
    state: str
    start_mc_pct: float | None
    mc_pct: float | None
    mc_uncertainty_pct: float | None
    start_weight: str | None  # as typed, with its unit
    oven_dry_weight_g: float | None
    weight_at_target_g: float | None
    points: list[tuple[str, float]]  # moment, MC in percent


class HeatRun(TypedDict):
    """One unbroken time at or above the threshold."""

    begins: str
    ends: str
    minutes: float


class HeatPart(TypedDict):
    """The heat interval: the operator's own record."""

    at_least: float
    temperature_unit: str
    for_minutes: float
    limits_from: str | None
    agency: str | None
    agreement: str | None
    probes: list[str]  # names, each with where it sat
    air_only: bool  # no probe sat in the wood: nothing is said of the wood
    sampling_minutes: float | None
    longest: HeatRun | None
    widest_minutes: float | None  # the longest step between two readings of a probe within it
    reached: bool
    runs: list[HeatRun]
    remarks: list[str]  # in words: of the probes and their readings
    breaks: list[str]  # in words: when a single probe dipped or was silent


class InstrumentPart(TypedDict):
    """A measuring instrument that the charge used."""

    instrument: str
    kind: str
    division: str | None
    checked_at: str | None
    check_result: str | None


class FindingPart(TypedDict):
    """A finding in words, with what was answered."""

    severity: str
    subject: str
    board: str | None
    lot: str | None
    what: str
    why: str
    do: str
    source: str | None
    since: str | None
    answer: str | None


class StepPart(TypedDict):
    """A step of the schedule, and when it was taken."""

    step: int
    taken_at: str
    set_to: str  # in words
    reason: str | None


class EventPart(TypedDict):
    """An event on the time line."""

    at: str
    what: str
    note: str | None


class AirPart(TypedDict):
    """The air as it was, thinned to what a page can show."""

    unit: str  # C or F
    hours: list[tuple[str, float, float | None, float | None]]  # moment, dry bulb, wet bulb, RH; an hour each
    emc: list[tuple[str, float]]  # moment, percent
    holes: list[tuple[str, str]]  # from, to


class Contents(TypedDict):
    """Everything that papers of one charge, or of one lot that left early, show."""

    form: int
    ledger: Ledger | None  # null: not sealed
    seal: SealPart | None
    mill: dict[str, str]  # name, place, as set in the logbook
    charge: ChargePart
    lots: list[LotPart]
    boards: list[BoardPart]
    control: list[tuple[str, float]]  # of the whole charge: for the mill's own papers
    heat: HeatPart | None
    instruments: list[InstrumentPart]
    steps: list[StepPart]
    air: AirPart | None
    events: list[EventPart]
    findings: list[FindingPart]
    decisions: list[EventPart]
    answers: list[AnswerPart]  # of the whole charge
    status: dict[str, Any]  # as ``kilnlog status --json`` prints it
