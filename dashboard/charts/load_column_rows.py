"""The columns about load that raise nothing, as table rows."""

from __future__ import annotations

import pandas as pd

from dashboard.sentences.load_columns import EVEN, EVEN_MOST, FELT, HEADINGS, STRAIN, WITHOUT
from dashboard.sentences.numbers import day, measured, number

OF_SESSIONS = (FELT, WITHOUT, EVEN, EVEN_MOST, STRAIN)


def any_felt(columns: pd.DataFrame) -> bool:
    """Whether any session has a load."""
    return bool((columns["sessions_with_load"] > 0).any())


def load_column_rows(columns: pd.DataFrame) -> pd.DataFrame:
    """Newest week first, all of it text; the columns of session load only where a session has one."""
    shown = [name for name in HEADINGS if name not in OF_SESSIONS or any_felt(columns)]
    newest = columns.sort_values("week", ascending=False)
    found = {"week of": [day(week, year=False) for week in newest["week"]]}
    for name in shown:
        heading, places = HEADINGS[name]
        found[heading] = [measured(value, places) if places else number(value, 0) for value in newest[name]]
    return pd.DataFrame(found)
