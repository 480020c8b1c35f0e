"""Flags as table rows."""

from __future__ import annotations

import pandas as pd

from dashboard.sentences.numbers import day

KINDS = {"plateau": "plateau", "declining": "declining", "spike": "spike", "large_spike": "large spike", "session_spike": "session spike",
         "climb": "climb", "return": "return", "new_area": "new area", "first_exposure": "first time", "below_band": "below its band",
         "side_difference": "side difference", "check_entry": "entry to check"}
LEVELS = {"alert": "look at this first", "review": "worth a look", "note": "for your notes"}


def flag_rows(flags: pd.DataFrame) -> pd.DataFrame:
    """first week, last week, about, what, message, level: all of it text."""
    return pd.DataFrame([
        {"first week": day(row.week), "last week": "still holds" if pd.isna(row.until) else day(row.until), "about": row.called,
         "what": KINDS.get(row.kind, row.kind), "message": row.message, "level": LEVELS.get(row.level, row.level)}
        for row in flags.itertuples()])
