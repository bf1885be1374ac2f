"""The tables of the logbook file and the rules kept inside it. What is released here never changes."""
