"""What an operator does: one verb, one transaction, one report of what changed."""
