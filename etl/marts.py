"""The marts: SQL files of etl/sql, each with its grain stated, read by name."""

from __future__ import annotations

from functools import cache
from importlib.resources import files


@cache
def mart(name: str) -> str:
    """The text of etl/sql/<name>.sql; its parameters are bound by whoever runs it."""
    return (files("etl") / "sql" / f"{name}.sql").read_text("utf-8")
