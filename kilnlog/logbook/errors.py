"""Refusals of the operator's verbs, besides those of the record and the file."""

from kilnlog.records.errors import KilnlogError


class NoSuchCharge(KilnlogError):
    """No charge of that number. Values: charge, known (tuple of numbers)."""

    code = "no-such-charge"


class NoSuchLot(KilnlogError):
    """No lot of that label in the charge. Values: charge, lot, known (tuple of labels)."""

    code = "no-such-lot"


class NothingToTakeBack(KilnlogError):
    """Undo where the last thing kept cannot be undone, or nothing was kept. Values: ``why``."""

    code = "nothing-to-take-back"


class ReasonMissing(KilnlogError):
    """What overrules needs a reason. Values: what (``correction``, ``taking back``, ``weight kept...``)."""

    code = "reason-missing"


class ImpossibleWeight(KilnlogError):
    """Insisted on, but no scale can have shown it for this board. Values: board, typed, doubt (its code)."""

    code = "impossible-weight"


class ChargeTakenBack(KilnlogError):
    """A charge that was taken back takes no further rows. Values: charge (its number)."""

    code = "charge-taken-back"


class WhenRead(KilnlogError):
    """A weight typed long ago and never kept may be of then or of now. Values: typed; read_at (then)."""

    code = "when-read"


class WeighedAgain(KilnlogError):
    """The round has a weight of this board, of some time ago: does this one correct it?

    Values: board, kept_at (Moment), weight (the one kept).
    """

    code = "weighed-again"


class WeightNotKept(KilnlogError):
    """A weight of the round was refused; told where its line cannot be seen.

    Values: charge, board (their labels); typed; reason (the sentences of the refusal).
    """

    code = "weight-not-kept"


class TypedNotKept(KilnlogError):
    """The window was asked to close while weights stand typed that nobody kept. Values: boards (labels)."""

    code = "typed-not-kept"


class TimeToCome(KilnlogError):
    """A round, an unloading or a closing was to be of a time still to come. Values: at, now (Moments)."""

    code = "time-to-come"


class TimeLapsed(KilnlogError):
    """The time chosen for a round was dropped, unused for an hour. Values: chosen, at (Moments)."""

    code = "time-lapsed"


class OtherLogbook(KilnlogError):
    """Written for one logbook, but another is open by now. Values: name (of the file it was meant for)."""

    code = "other-logbook"


class GrewByCutting(KilnlogError):
    """A board weighs as much after it was cut or broken as before. Values: before, after (Weights)."""

    code = "grew-by-cutting"


class NothingToClose(KilnlogError):
    """The charge was never loaded, so there is nothing to close. Values: charge."""

    code = "nothing-to-close"


class NothingToWeigh(KilnlogError):
    """No board of a closed charge is weighed any more. Values: charge (its number)."""

    code = "nothing-to-weigh"


class ClosingBeforeLast(KilnlogError):
    """The closing would stand before something observed. Values: charge, at, last (Moments)."""

    code = "closing-before-last"


class NotClosed(KilnlogError):
    """There is nothing to reopen. Values: charge; lot: its label, None for the whole charge."""

    code = "not-closed"


class UnreadableShortForm(KilnlogError):
    """The typed text is no short form of a seal. Values: typed."""

    code = "unreadable-short-form"


class NoSuchSeal(KilnlogError):
    """No seal of the logbook has this short form. Values: short_form."""

    code = "no-such-seal"


class SealNotVerified(KilnlogError):
    """A seal does not stand as it was written. Values: charge, short_form; lot: its label, or None."""

    code = "seal-not-verified"


class SealOfEarlierForm(KilnlogError):
    """A seal was made before papers were drawn from seals. Values: charge; lot: its label, or None."""

    code = "seal-of-earlier-form"


class NothingToSay(KilnlogError):
    """A remark without a word."""

    code = "nothing-to-say"


class FolderNotEmpty(KilnlogError):
    """The folder for a fresh sample already holds something. Values: path."""

    code = "folder-not-empty"


class Cancelled(KilnlogError):
    """The operator stopped a long verb; nothing was kept. Values: what."""

    code = "cancelled"


class NoPictureKind(KilnlogError):
    """A picture is asked for under a name that ends in neither .png nor .svg. Values: name."""

    code = "no-picture-kind"


class NotAWorkbookName(KilnlogError):
    """A workbook is asked for under a name that does not end in .xlsx. Values: name."""

    code = "not-a-workbook-name"


class UnreadableQuantity(KilnlogError):
    """A figure typed with its unit cannot be read.

    Values: typed, why (``temperature-unit``, ``altitude-unit``, ``altitude``, ``duration-unit``,
    ``duration``, ``number`` or ``second-reading``).
    """

    code = "unreadable-quantity"


class ImpossibleReading(KilnlogError):
    """Two figures typed for the air that no air shows together, told in the unit they were typed in.

    Values: why (those of ``ImpossibleAir``), read_dry_bulb, second (in words, with its unit), unit.
    """

    code = "impossible-reading"


class DoubtfulAir(KilnlogError):
    """A reading of the air that may be right but is asked about first.

    Values: why (``other-unit``, ``hot``, ``far``, ``far-emc``, ``fraction``, ``set-hot``,
    ``set-dry``, ``set-end``, ``beside-logger``, ``one-figure``, ``in-future``), figures of the sentence.
    """

    code = "doubtful-air"


class DoubtfulReading(KilnlogError):
    """Something read at the kiln that may be right but is asked about first.

    Values: why (``meter-scale``, ``meter-beyond``, ``meter-far``, ``water``, ``in-future``,
    ``before-loading``, ``after-unloading``, ``already-on``, ``still-wet``, ``conditioned-short``), figures of
    the sentence.
    """

    code = "doubtful-reading"


class AirNotKept(KilnlogError):
    """A reading of the air was refused where its entry is not to be seen. Values: charge, typed, reason."""

    code = "air-not-kept"


class AirLeftTyped(KilnlogError):
    """The window was asked to close while a reading of the air stands typed. Values: typed (in words)."""

    code = "air-left-typed"


class SameSensor(KilnlogError):
    """The sensors in the entering and in the leaving air are called the same. Values: sensor."""

    code = "same-sensor"
