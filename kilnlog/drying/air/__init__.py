"""The air of a kiln: what two readings say about it, and what it can carry."""
