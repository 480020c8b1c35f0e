"""Noting what must be worked out again. Runs inside the caller's transaction."""

from __future__ import annotations

from typing import Any

import duckdb


def mark_stale(con: duckdb.DuckDBPyConnection, first_days: dict[str, Any]) -> None:
    """Note from which week on an athlete's standing has to be worked out again. An athlete who is new is noted down too."""
    if not first_days:
        return
    people = {"athletes": list(first_days), "days": [str(day)[:10] for day in first_days.values()]}
    con.execute("insert into athletes (athlete) select unnest($athletes::text[]) on conflict do nothing", {"athletes": people["athletes"]})
    con.execute(
        "insert into stale select unnest($athletes::text[]), date_trunc('week', unnest($days::date[]))::date on conflict (athlete) do update "
        "set from_week = least(stale.from_week, excluded.from_week)", people)
