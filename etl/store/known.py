"""Who is in the store."""

from __future__ import annotations

import duckdb

from etl.refusal import Refusal


def athletes(con: duckdb.DuckDBPyConnection) -> list[str]:
    """Every athlete by name, also one without a set."""
    return [name for (name,) in con.execute("select athlete from athletes order by athlete").fetchall()]


def nobody(name: str, known: list[str], where: str = "", more: str = "") -> Refusal:
    """What is said of a name that the store does not have. where: which field or option holds it; more: what else can be done."""
    return Refusal(f"There is no athlete '{name}'", where, f"Known are: {', '.join(known) or 'none yet'}.{more}")


def check(con: duckdb.DuckDBPyConnection, name: str, where: str = "") -> None:
    """Raises Refusal for an athlete that the store does not have."""
    if name not in (known := athletes(con)):
        raise nobody(name, known, where)
