"""The chosen board: what is known about one sample board, and the way it came about."""
