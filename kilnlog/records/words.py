"""The fixed words that some columns take; files carry exactly these."""

from enum import StrEnum


class AirControl(StrEnum):
    """How the air of a kiln is kept."""

    WET_BULB = "wet bulb"
    HUMIDISTAT = "humidistat"
    DEHUMIDIFIER = "dehumidifier"
    BY_HAND = "vents by hand"


class InstrumentKind(StrEnum):
    """What an instrument measures."""

    SCALE = "scale"
    OVEN = "oven"
    METER = "meter"
    HYGROMETER = "hygrometer"


class VolumeUnit(StrEnum):
    """Units of lumber volume."""

    BOARD_FEET = "bf"
    CUBIC_METRES = "m3"


class TemperatureUnit(StrEnum):
    """Units of temperature."""

    CELSIUS = "C"
    FAHRENHEIT = "F"


class ControlRule(StrEnum):
    """Which boards the controlling moisture content is taken from."""

    WETTEST_HALF = "wettest half"  # mean of the ceil(n/2) wettest usable boards
    WETTEST_BOARD = "wettest board"
    MEAN = "mean"


class Wood(StrEnum):
    """Which part of the log a board was sawn from."""

    HEART = "heart"
    SAP = "sap"
    BOTH = "both"


class Sawn(StrEnum):
    """How a board was sawn."""

    FLAT = "flat"
    QUARTER = "quarter"


class OvenMethod(StrEnum):
    """How a section was dried to constant weight."""

    OVEN = "oven"
    MICROWAVE_THEN_OVEN = "microwave then oven"


class EventKind(StrEnum):
    """What happened at the kiln."""

    VENT = "vent"
    FAN = "fan"
    HEAT = "heat"
    SPRAY = "spray"
    WICK_CHANGED = "wick changed"
    SENSOR_CHECKED = "sensor checked"
    POWER_CUT = "power cut"
    DOOR = "door"
    WATER_COLLECTED = "water collected"
    EQUALIZING = "equalizing"
    CONDITIONING = "conditioning"
    NOTE = "note"


class EventState(StrEnum):
    """Whether an event that lasts began or ended."""

    START = "start"
    END = "end"


class LoggerClock(StrEnum):
    """What the clock of a logger shows."""

    LOCAL = "local"  # the clock on the wall, with daylight saving
    STANDARD = "standard"  # local standard time all year
    UTC = "utc"


class SecondReading(StrEnum):
    """What a logger writes beside the dry bulb."""

    WET_BULB = "wet bulb"
    RH = "rh"


class ReadingKind(StrEnum):
    """How the moisture content of a finished piece was found."""

    PIN_METER = "pin meter"  # resistance between two pins
    PINLESS_METER = "pinless meter"  # capacitance or the like, through the face
    OVEN_DRY = "oven-dry"


class TemperatureRule(StrEnum):
    """By what rule a meter reading is corrected for the wood's temperature."""

    RULE_OF_THUMB = "rule of thumb"  # Wood Handbook: half a percent for each 10 F away from calibration
    EQUATION = "equation"  # the published equation of the Douglas-fir scale
    TYPED = "typed"  # the operator's own figure, from the meter's chart
    BY_THE_METER = "by the meter"  # the meter was told the temperature and corrects by itself


class StressTestKind(StrEnum):
    """How the stress left in the wood was looked for."""

    PRONG = "prong"
    SLICE = "slice"
    SHELL_AND_CORE = "shell and core"


class StressFound(StrEnum):
    """What a stress test showed, in the trade's words."""

    FREE = "free"
    CASEHARDENED = "casehardened"
    REVERSE = "reverse casehardened"


class DefectKind(StrEnum):
    """Drying defects, and the degrade they cause."""

    SURFACE_CHECKS = "surface checks"
    END_CHECKS = "end checks"
    HONEYCOMB = "honeycomb"
    COLLAPSE = "collapse"
    CUP = "cup"
    BOW = "bow"
    CROOK = "crook"
    TWIST = "twist"
    STICKER_STAIN = "sticker stain"
    BROWN_STAIN = "brown stain"
    BLUE_STAIN = "blue stain"
    MOULD = "mould"
    UNEVEN_MC = "uneven moisture"
    OTHER = "other"


class Severity(StrEnum):
    """How bad a defect is to whoever uses the piece."""

    SLIGHT = "slight"
    MODERATE = "moderate"
    SEVERE = "severe"


class TallyTime(StrEnum):
    """Whether lumber was tallied before it dried or after."""

    GREEN = "green"
    NET = "net"


class LengthUnit(StrEnum):
    """Units of a piece's width and length."""

    INCHES = "in"
    FEET = "ft"
    MILLIMETRES = "mm"
    CENTIMETRES = "cm"
    METRES = "m"


class ProbePlace(StrEnum):
    """Where a temperature probe sits while the wood is heated."""

    CORE = "core"  # in the middle of a piece
    AIR = "air"


class CloseOutStep(StrEnum):
    """The headings a charge is closed out by."""

    FINAL_MOISTURE = "final moisture"
    STRESS = "stress"
    DEFECTS = "defects"
    TALLY = "tally"
    HEAT = "heat"


class AnswerKind(StrEnum):
    """What the operator says of a heading that nothing was written under."""

    LEFT_OUT = "left out"  # not looked at, and why
    NONE_FOUND = "none found"  # looked at, and nothing to write down
