"""The air of the kiln in the window: its plot, its entry, its dialogs."""
