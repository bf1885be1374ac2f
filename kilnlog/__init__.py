"""kilnlog: a logbook for drying lumber in a small kiln."""

__version__ = "0.1.0"
