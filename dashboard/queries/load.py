"""Weekly hard sets of the whole body and of each part, with what is usual and what stood out."""

from __future__ import annotations

from datetime import date, timedelta

import pandas as pd

from dashboard.queries.kept import Store, of_span, of_week, rows
from dashboard.queries.people import weeks
from dashboard.queries.words import WHOLE_BODY, called
from etl.store.marked_weeks import AWAY

MOST_SINCE = 26  # [D] weeks after a log's end that are offered to be marked together
SINCE = "select week, mark from marked_weeks where athlete = ? and week > ?"
SUBJECTS = """
select w.week, l.subject, sum(l.load) as total
from kept_load w join kept_load l on l.athlete = w.athlete and l.week <= w.week
where w.athlete = ?1 and w.subject = 'whole_body' and w.week between ?2 and ?3
group by all order by w.week, total desc, l.subject
"""
COLUMNS = "select * from kept_load_columns where athlete = ? and week <= ? and week > ?::date - 7 * ? order by week"
SERIES = f"""
select l.* replace (case when l.state = 'deload' and m.mark in {AWAY} then m.mark else l.state end as state),
    p.low, p.high, p.band_low, p.band_high, w.so_far,
    case when l.subject = 'whole_body' then w.planned_sets end as planned
from kept_load l
left join kept_parts p on p.athlete = l.athlete and p.week = l.week and p.part = l.subject
left join kept_weeks w on w.athlete = l.athlete and w.week = l.week
left join marked_weeks m on m.athlete = l.athlete and m.week = l.week
where l.athlete = ? and l.subject = ?
order by l.week
"""

PARTS = """
select l.week, l.subject as part, l.load, l.usual, l.mark, p.low, p.high
from kept_load l left join kept_parts p on p.athlete = l.athlete and p.week = l.week and p.part = l.subject
where l.athlete = ?1 and l.week between ?2 and ?3 and l.subject <> 'whole_body' and (l.load > 0 or l.usual > 0)
order by l.week, abs(l.load - coalesce(l.usual, l.load)) desc, l.load desc, l.subject
"""


def subjects(store: Store, athlete: str, week: date) -> dict[str, str]:
    """Subject id -> its word: the whole body first, then the parts, the most trained first."""
    known = of_span(store, SUBJECTS, athlete, week, "week")["subject"].tolist()
    return {subject: called(subject) for subject in sorted(known, key=lambda subject: subject != WHOLE_BODY)}


def series(store: Store, athlete: str, subject: str, week: date, weeks: int) -> pd.DataFrame:
    """The `weeks` weeks of one subject that end with `week`: load, its range (of a part), usual, mark, state (an easy week's is what it was
    marked as), planned_increase, band, so_far, planned.
    """
    every = rows(store, SERIES, athlete, subject)  # of all weeks: a step to another one asks for nothing
    first, end = every["week"].searchsorted([pd.Timestamp(week - timedelta(weeks=weeks)), pd.Timestamp(week)], side="right")
    return every.iloc[first:end].reset_index(drop=True)


def parts(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """One row per part: part, `name`, load, usual, mark, low, high (its range), the furthest from its usual first; what is neither trained nor usual is left out."""
    found = of_span(store, PARTS, athlete, week, "week").drop(columns="week")
    return found.assign(name=found["part"].map(called))


def columns(store: Store, athlete: str, week: date, weeks: int) -> pd.DataFrame:
    """The `weeks` weeks that end with `week`, each with the numbers that raise nothing, missing where they are not defined."""
    return rows(store, COLUMNS, athlete, week, week, weeks)


def weeks_since(store: Store, athlete: str, week: date, today: date) -> dict[date, str | None]:
    """The Mondays after the log's last week, up to the one that runs -> what each is marked as. Empty for another week than the last, where none is
    over or runs since, and where the log ends too long ago to mark its weeks in one go (MOST_SINCE)."""
    if weeks(store, athlete)[-1:] != [week]:
        return {}
    since = [week + timedelta(weeks=1 + n) for n in range((today - timedelta(days=today.weekday()) - week).days // 7)]
    found = {monday.date(): mark for monday, mark in rows(store, SINCE, athlete, week).itertuples(index=False)} if since else {}
    return {monday: found.get(monday) for monday in since} if len(since) <= MOST_SINCE else {}


def marked_as(store: Store, athlete: str, week: date) -> str | None:
    """What a person has marked the week as, if they have."""
    found = of_week(store, "marked_weeks", athlete, week)["mark"]
    return found.iloc[0] if len(found) else None
