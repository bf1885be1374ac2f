"""Files that loggers of the air write: recognised, previewed, read in pieces, followed as they grow."""
