"""What a picture is drawn from, for reading elsewhere: the same numbers, headings in words with their units."""

from __future__ import annotations

from collections.abc import Mapping

import pandas as pd

from dashboard.sentences.ribbon import Ribbon
from dashboard.sentences.stair import Stair
from dashboard.sentences.units import KG, heading_in_unit

RATES = {"name": "what", "verdict": "verdict", "rate_pct_week": "change, % a week", "rate_low": "80 % interval from", "rate_high": "80 % interval to"}
SHELF = {"name": "part", "muscle": "muscle", "week": "week", "dose": "hard sets", "low": "each credit a tier lower", "high": "each credit a tier higher",
         "direct_sets": "direct sets", "usual": "usual, hard sets", "band_low": "band from", "band_high": "band to", "status": "against its band"}
WEEKLY = {"week": "week", "load": "hard sets", "low": "each credit a tier lower", "high": "each credit a tier higher", "usual": "usual, hard sets",
          "planned": "planned sets", "mark": "stood out", "state": "state", "band_low": "band from", "band_high": "band to"}
BESTS = {"date": "session", "value": "value", "low": "80 % interval from", "high": "80 % interval to", "load_kg": "load, kg", "reps": "repetitions",
         "hold_s": "held, s", "rir": "in reserve", "counted": "counts in the trend", "note": "note"}
SIDES = {"week": "week", "left_value": "left", "right_value": "right", "session_pct": "last session, difference %", "difference_pct": "median of 8 weeks, %",
         "difference_low_pct": "80 % interval from", "difference_high_pct": "80 % interval to"}
CREDITS = {"name": "head", "word": "coaches say", "muscle": "muscle", "credit": "one set counts", "grade": "evidence", "source": "source"}
COMPARED = {"name": "head", "credit_a": "first exercise", "credit_b": "second exercise", "grade_a": "evidence, first", "grade_b": "evidence, second"}
CURVE = {"curve": "curve", "series": "case", "x": "at", "x_unit": "at, unit", "value": "%", "low": "interval from", "high": "interval to"}

RIBBON = {"week": "week", "done": "hard sets", "planned": "planned sets", "usual": "usual, hard sets", "word": "the week was", "decided": "decided", "followed": "and what followed"}
STAIR = {"date": "session", "name": "step", "told": "best set", "interval": "80 % interval", "near": "share of what the way up asks", "asks": "the way up asks"}


def taken(rows: pd.DataFrame, headings: Mapping[str, str], unit: str = KG) -> pd.DataFrame:
    """The columns of `rows` that are drawn, in the order of `headings`, with their headings; one that this picture lacks is left out. unit: of loads."""
    there = {column: heading_in_unit(heading, unit) for column, heading in headings.items() if column in rows}
    return rows[list(there)].rename(columns=there)


def of_ribbon(of: Ribbon) -> pd.DataFrame:
    """A row for each week of a ribbon, with what was decided in it and what followed."""
    week_of = of.pins["date"] - pd.to_timedelta(of.pins["date"].dt.day_of_week, unit="D") if len(of.pins) else pd.Series(dtype="datetime64[us]")
    told = {column: [" ".join(of.pins.loc[week_of == week, column]) for week in of.weeks["week"]] for column in ("text", "followed")}
    return taken(of.weeks.assign(decided=told["text"], followed=told["followed"]), RIBBON)


def of_stair(of: Stair, unit: str = KG) -> pd.DataFrame:
    """A row for each session and step of a stair, the oldest first. unit: of the loads in its texts."""
    steps = of.steps.set_index("step")
    rows = of.sessions.assign(name=of.sessions["step"].map(steps["name_"]), asks=of.sessions["step"].map(steps["asks"])).sort_values("date", kind="stable")
    return taken(rows, STAIR, unit)
