"""The logbook file: the only SQL."""
