"""What the store holds of an athlete, under whatever spelling a file has of the name."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date

from etl.importing.memory import Known


def days_of(known: Known, athlete: str) -> Collection[date]:
    """The days of an athlete that are in the store; a spelling that was merged counts as the athlete it was merged into."""
    return known.history(known.athletes.get(athlete.casefold(), athlete)).days
