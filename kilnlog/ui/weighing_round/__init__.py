"""The weighing round: a number and Enter for every board, the answer beside it."""
