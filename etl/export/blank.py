"""A log to begin with, for those who have none yet."""

from __future__ import annotations

BLANK_COLUMNS = ("date", "athlete", "exercise", "set", "reps", "load_kg", "hold_s", "rir", "side", "note")


def blank_log() -> str:
    """A CSV with a header and no rows; every column of it is recognised as it stands."""
    return ",".join(BLANK_COLUMNS) + "\r\n"
