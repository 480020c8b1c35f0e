"""Who is in the store, and which weeks of theirs have been worked out."""

from __future__ import annotations

from datetime import date, timedelta

import pandas as pd

from dashboard.queries.kept import Store, rows

ATHLETES = "select distinct athlete from kept_weeks order by lower(athlete), athlete"
WEEKS = "select week, so_far, sessions from kept_weeks where athlete = ? order by week"
MEANT = "select athlete from athlete_spellings where spelling = ?"
EQUATION = "select equation from athletes where athlete = ?"


def athletes(store: Store) -> list[str]:
    """Everyone with at least one worked-out week, by name."""
    return rows(store, ATHLETES)["athlete"].tolist()


def meant_by(store: Store, name: str) -> str:
    """Whom a name stands for: itself, or the athlete who was called so before, or was brought together with it."""
    found = [] if name in athletes(store) else rows(store, MEANT, name.casefold())["athlete"].tolist()
    return found[0] if found else name


def weeks(store: Store, athlete: str) -> list[date]:
    """The Mondays of the athlete's weeks, oldest first."""
    return rows(store, WEEKS, athlete)["week"].dt.date.tolist()


def week_to_show(store: Store, athlete: str) -> date:
    """The last complete week with a session, else the last week there is."""
    known = rows(store, WEEKS, athlete)
    trained = known[~known["so_far"].astype(bool) & (known["sessions"] > 0)]
    return (known if trained.empty else trained)["week"].dt.date.iloc[-1]


def week_to_open(store: Store, athlete: str, today: date) -> date:
    """The week that a page opens with: as `week_to_show`, but on a Sunday the one that ends on it, once there was a session in it."""
    monday = today - timedelta(days=6)
    running = rows(store, WEEKS, athlete)
    running = running[(running["week"] == pd.Timestamp(monday)) & (running["sessions"] > 0)]
    return week_to_show(store, athlete) if running.empty else monday


def equation(store: Store, athlete: str) -> str:
    """The name of the one-repetition-maximum equation that the athlete's estimates are by."""
    return rows(store, EQUATION, athlete)["equation"].iloc[0]
