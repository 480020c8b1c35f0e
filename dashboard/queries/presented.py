"""What a client may be shown beside the training: goals, blocks, decisions, notes, pain and body mass, each only where it is allowed.

A private note is left out here, so that nothing above this module can show one. What is dated after the week's Sunday is left out too;
goals and blocks look ahead by their nature, and stand while they last. The weeks after an athlete's last set, up to the one that is shown, are
empty weeks here: a log ends with its last week that holds a set.
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, timedelta

import pandas as pd

from dashboard.queries.felt import FELT
from dashboard.queries.kept import Store, rows
from dashboard.queries.people import week_to_show
from dashboard.queries.words import with_called
from etl.store.athletes import MOSTLY_LB
from dashboard.sentences.ribbon import Ribbon

AWAY = "away"
DECISIONS, NOTES, PAIN, BODY_MASS = "decisions", "notes", "pain", "body_mass"
SAID = "select shows, shown_unit from athletes where athlete = ?"
NEWEST = "select max(date) as day from sets where not planned"
LAST = "select max(date) as day from sets where not planned and athlete = ? and date <= ?"
LOGGED = "select max(week) as week from kept_weeks where athlete = ? and week <= ?"
SESSIONS = "select week, sessions from kept_weeks where athlete = ? and week <= ? and week > ?::date - 7 * ? order by week"
GOALS = """
select text, due, subject, measure, target, case when reached_on < ?::date + 7 then reached_on end as reached_on
from goals where athlete = ? and (due >= ? or reached_on between ?::date - 7 * ? and ?::date + 6) order by due, goal_id
"""
BLOCKS = """
select aim, starts, ends, deload_due from blocks
where athlete = ? and starts < ?::date + 14 and ends >= ? order by starts, block_id
"""
MADE = """
select decision_id, date, text, subject from decisions
where athlete = ? and date < ?::date + 7 and date >= ?::date - 7 * (? - 1) order by date, decision_id
"""
WRITTEN = """
select date, kind, subject, text, place, score from notes
where athlete = ? and not private and (kind = 'note') = ? and date < ?::date + 7 and date >= ?::date - 7 * (? - 1)
order by date, note_id
"""
OF_THE_LOG = f"""
select date, place, max(score) as score from {FELT}
where athlete = ? and not beside and not planned and date < ?::date + 7 and date >= ?::date - 7 * (? - 1)
group by date, place order by date, place
"""
WEIGHED = """
select date, max(body_mass_kg) as body_mass_kg from (
    select athlete, date, body_mass_kg from sets where not planned
    union all
    select athlete, date, body_mass_kg from days
)
where athlete = ? and date < ?::date + 7 and date >= ?::date - 7 * (? - 1) and body_mass_kg is not null
group by date order by date
"""


def allowed(store: Store, athlete: str) -> frozenset[str]:
    """What the client may see beside the training: of DECISIONS, NOTES, PAIN and BODY_MASS. Nothing where nothing is known."""
    found = rows(store, SAID, athlete)["shows"]
    return frozenset(json.loads(found.iloc[0])) if len(found) and isinstance(found.iloc[0], str) else frozenset()


def shown_unit(store: Store, athlete: str) -> str:
    """The unit of loads on the athlete's pages, kg or lb: as somebody said, else the one that most of the log is written in."""
    found = rows(store, SAID, athlete)["shown_unit"]
    if len(found) and isinstance(found.iloc[0], str):
        return str(found.iloc[0])
    return "lb" if bool(rows(store, MOSTLY_LB, athlete)["lb"].iloc[0]) else "kg"


def last_week(store: Store, athlete: str, today: date) -> date:
    """The Monday of the week that a report ends with where none is asked for: the last full week of `today`. In a store in which nobody has a set
    so late (an old log, the sample) it is the week of the newest set of all; never one before the athlete's own last full week with training.
    """
    own, newest = week_to_show(store, athlete), _day(rows(store, NEWEST)["day"])
    return own if newest is None else max(own, min(full_week(today), _monday(newest)))


def last_set(store: Store, athlete: str, until: date) -> date | None:
    """The day of the athlete's last set up to that day; None before the first."""
    return _day(rows(store, LAST, athlete, until)["day"])


def logged_week(store: Store, athlete: str, week: date) -> date:
    """The Monday of the last week of the log up to `week`: an earlier one where the log ends before it."""
    return _day(rows(store, LOGGED, athlete, week)["week"]) or week


def full_week(today: date) -> date:
    """The Monday of the last week that is over at the end of that day.

    >>> full_week(date(2026, 3, 14)), full_week(date(2026, 3, 15))
    (datetime.date(2026, 3, 2), datetime.date(2026, 3, 9))
    """
    return _monday(today + timedelta(days=1)) - timedelta(weeks=1)


def sessions(store: Store, athlete: str, week: date, weeks: int) -> pd.DataFrame:
    """week, sessions of the weeks of the `weeks` that end with `week`, oldest first; 0 after the log's end, no row before its beginning."""
    return _to_the_end(rows(store, SESSIONS, athlete, week, week, weeks), week, weeks).fillna({"sessions": 0})


def with_empty_weeks(of: Ribbon, week: date, weeks: int) -> Ribbon:
    """The ribbon of the `weeks` weeks that end with `week`, with the weeks after the log's end as weeks away; what was usual stays what it was."""
    shown = _to_the_end(of.weeks, week, weeks)
    after = shown["done"].isna()
    shown["done"], shown["usual"] = shown["done"].astype(float).fillna(0.0), shown["usual"].astype(float).ffill()
    shown[["kind", "word"]] = shown[["kind", "word"]].astype(object).mask(after, AWAY)
    return replace(of, weeks=shown)


def goals(store: Store, athlete: str, week: date, weeks: int) -> pd.DataFrame:
    """Goals that lie ahead or were reached in the window: text, due, subject, called, measure, target, reached_on; the next first."""
    return with_called(rows(store, GOALS, week, athlete, week, week, weeks, week))


def blocks(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """Blocks that run in the week or begin in the one after: aim, starts, ends, deload_due."""
    return rows(store, BLOCKS, athlete, week, week)


def decisions(store: Store, athlete: str, week: date, weeks: int) -> pd.DataFrame:
    """The decisions of the window, oldest first: decision_id, date, text, subject, called. None where they are not allowed."""
    return with_called(_if_allowed(store, athlete, DECISIONS, MADE, athlete, week, week, weeks))


def notes(store: Store, athlete: str, week: date, weeks: int) -> pd.DataFrame:
    """The notes of the window that are not private, oldest first: date, subject, called, text. None where they are not allowed."""
    return with_called(_if_allowed(store, athlete, NOTES, WRITTEN, athlete, True, week, week, weeks))


def pain(store: Store, athlete: str, week: date, weeks: int) -> pd.DataFrame:
    """Pain and soreness of the window, from notes that are not private: date, kind, place, score, text. None where it is not allowed."""
    return with_called(_if_allowed(store, athlete, PAIN, WRITTEN, athlete, False, week, week, weeks))


def logged_pain(store: Store, athlete: str, week: date, weeks: int) -> pd.DataFrame:
    """Pain in the log of the window: date, place, score (0-10). None where it is not allowed."""
    return _if_allowed(store, athlete, PAIN, OF_THE_LOG, athlete, week, week, weeks)


def body_mass(store: Store, athlete: str, week: date, weeks: int) -> pd.DataFrame:
    """Body mass in the window, oldest first: date, body_mass_kg. None where it is not allowed."""
    return _if_allowed(store, athlete, BODY_MASS, WEIGHED, athlete, week, week, weeks)


def _if_allowed(store: Store, athlete: str, what: str, sql: str, *params: object) -> pd.DataFrame:
    found = rows(store, sql, *params)
    return found if what in allowed(store, athlete) else found.head(0)


def _to_the_end(found: pd.DataFrame, week: date, weeks: int) -> pd.DataFrame:
    """With a row for each week after the last one of `found`, up to `week`; of a log that ended before the window, for each of `weeks`."""
    begins = found["week"].iloc[0] if len(found) else pd.Timestamp(week - timedelta(weeks=weeks - 1))
    every = pd.date_range(begins, week, freq="7D", name="week", unit="us")
    return found.set_index("week").reindex(every).reset_index()


def _day(found: pd.Series) -> date | None:
    return None if pd.isna(found.iloc[0]) else found.iloc[0].date()


def _monday(when: date) -> date:
    return when - timedelta(days=when.weekday())
