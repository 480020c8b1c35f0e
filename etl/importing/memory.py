"""What the store knows that helps to read the next file."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from etl.store import reading


@dataclass(frozen=True)
class Known:
    """Empty for a file that is read on its own.

    decisions: name key -> (exercise, modifiers) that a person decided earlier.
    """

    decisions: dict[str, tuple[str, str]] = field(default_factory=dict)


def known(path: str | Path) -> Known:
    """What the store at `path` knows."""
    with reading(path) as con:
        return known_by(con)


def known_by(con: Any) -> Known:
    """What the open store knows."""
    found = con.execute("select name_key, exercise, modifiers from name_decisions").fetchall()
    return Known({key: (exercise, modifiers) for key, exercise, modifiers in found})
