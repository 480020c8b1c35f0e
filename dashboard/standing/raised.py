"""What a week raised, and how weeks become episodes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

# Kinds whose consecutive weeks are one episode; the others are of one week each.
LASTING = ("plateau", "declining", "below_band", "side_difference", "return", "new_area")
LEVELS = ("note", "review", "alert")


class Raised(NamedTuple):
    """One flag as one week's look raised it. line: the week; rank: the larger the more it stands out in a message."""

    line: int
    kind: str
    subject: str
    level: str
    message: str
    numbers: dict[str, Any]
    rank: float = 0.0


@dataclass(frozen=True)
class Episode:
    """One flag from its first week to its last; until_line is None while it holds at the last look."""

    kind: str
    subject: str
    line: int
    until_line: int | None
    level: str
    message: str
    numbers: dict[str, Any]


def episodes(raised: list[Raised], last_line: int) -> list[Episode]:
    """Weeks joined into episodes: told by the first week's message and numbers, at the highest level they reached.

    last_line: the last week that was looked at.
    """
    groups: dict[tuple[str, str], list[list[Raised]]] = {}
    for one in sorted(raised, key=lambda r: r.line):
        runs = groups.setdefault((one.kind, one.subject), [])
        if runs and one.kind in LASTING and one.line - runs[-1][-1].line <= 1:
            runs[-1].append(one)
        else:
            runs.append([one])
    found = [_episode(run, last_line) for runs in groups.values() for run in runs]
    return sorted(found, key=lambda e: (e.line, -LEVELS.index(e.level), e.kind, e.subject))


def _episode(run: list[Raised], last_line: int) -> Episode:
    first, last = run[0], run[-1]
    holds = first.kind in LASTING and last.line >= last_line
    level = max((r.level for r in run), key=LEVELS.index)
    return Episode(first.kind, first.subject, first.line, None if holds else last.line, level, first.message, first.numbers)


def plain(value: Any) -> Any:
    """A number for JSON: numpy types as Python's, rounded to four places, NaN as None."""
    if isinstance(value, dict):
        return {key: plain(v) for key, v in value.items()}
    if isinstance(value, list | tuple):
        return [plain(v) for v in value]
    if isinstance(value, bool | np.bool_):
        return bool(value)
    if isinstance(value, int | np.integer):
        return int(value)
    if isinstance(value, float | np.floating):
        return None if np.isnan(value) or np.isinf(value) else round(float(value), 4) + 0.0  # no "-0.0"
    return value
