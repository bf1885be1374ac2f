"""How a table of facts is made. Released migrations rest on this text: never change it."""

from kilnlog.store.schema.columns import envelope


def table(name: str, columns: str) -> str:
    """The table, its envelope before its own columns."""
    return f"CREATE TABLE {name} (\n    {envelope(name)},{columns}\n) STRICT;\n"


def indexes(name: str, more: tuple[str, ...]) -> str:
    """The indexes by which its rows are found."""
    return "".join(
        f"CREATE INDEX {name}_by_{columns.replace(', ', '_')} ON {name} ({columns});\n"
        for columns in ("entity", *more)
    )


def current_view(name: str) -> str:
    """Rows without a successor that are not void."""
    return f"""CREATE VIEW current_{name} AS
SELECT * FROM {name} AS this
WHERE this.version <> 'void' AND NOT EXISTS (SELECT 1 FROM {name} AS next WHERE next.supersedes = this.uid);
"""
