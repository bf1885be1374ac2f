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
