"""One week of one athlete: what was done, what was flagged, what to change."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pandas as pd

from dashboard.queries.kept import Store, rows
from dashboard.queries.words import called
from dashboard.sentences.balance import under_bands

MOST_BANDS = 3
# Sets of which somebody said that the catalogue does not have their exercise wait for nothing; what is kept counts them.
WEEK = """
select * replace (unmatched_sets - (
    select count(*) from sets where athlete = ?1 and date between ?2::date and ?2::date + 6 and exercise is null and not planned
    and name_key in (select name_key from name_decisions)) as unmatched_sets)
from kept_weeks where athlete = ?1 and week = ?2
"""
# An episode is kept with the numbers of its first week; a later week shows what its own look said.
FLAGS = """
with holding as (
select f.athlete, f.kind, f.subject, f.week, f.until, coalesce(r.level, f.level) as level, coalesce(r.numbers, f.numbers) as numbers,
    coalesce(r.message, f.message) as message, coalesce(r.rank, 0) as rank
from kept_flags f
left join kept_raised r on r.athlete = f.athlete and r.kind = f.kind and r.subject = f.subject and r.week = ?
where f.athlete = ? and f.week <= ? and (f.until is null or f.until >= ?)
)
select * from holding
order by case level when 'alert' then 0 when 'review' then 1 else 2 end, week desc, kind, subject
"""
ALL_FLAGS = "select * from kept_flags where athlete = ? and week <= ? order by week desc, kind, subject"
NEXT = "select * from kept_next where athlete = ? and week = ? order by position"
CAUTIONS = "select message from kept_cautions where athlete = ? and week = ? order by topic"
LEVEL = "select level, level_said from athletes where athlete = ?"


def done(store: Store, athlete: str, week: date) -> dict[str, Any]:
    """The week's row as a dict: sessions, hard_sets, usual_hard_sets and the rest; None or NaN where unknown. weakest_not_distinguishable
    is a list of part ids.
    """
    found = rows(store, WEEK, athlete, week).iloc[0].to_dict()
    others = found["weakest_not_distinguishable"]
    return found | {"weakest_not_distinguishable": json.loads(others) if isinstance(others, str) else []}


def flags(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """The flags that hold in that week, alerts first; `called` is the subject in words, `numbers` a dict."""
    return _readable(rows(store, FLAGS, week, athlete, week, week))


def flag_messages(flags: pd.DataFrame) -> pd.DataFrame:
    """The flags to be told one by one; more than three parts under their bands are told in one line."""
    under = flags["kind"] == "below_band"
    if under.sum() <= MOST_BANDS:
        return flags
    first = flags[under].head(1).assign(message=under_bands(flags.loc[under, "called"].tolist()))
    return pd.concat([flags[~under], first], ignore_index=True)


def flags_so_far(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """Each flag that the log had raised by that week, newest first."""
    return _readable(rows(store, ALL_FLAGS, athlete, week))


def following(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """What to change in the week after, in order: subject, called, action, reason."""
    found = rows(store, NEXT, athlete, week)
    return found.assign(called=found["subject"].map(called))


def cautions(store: Store, athlete: str, week: date) -> list[str]:
    """The cautions that apply in that week, as sentences."""
    return rows(store, CAUTIONS, athlete, week)["message"].tolist()


def level(store: Store, athlete: str) -> tuple[str, bool]:
    """The athlete's level, and whether somebody said it."""
    found = rows(store, LEVEL, athlete)
    return (found["level"].iloc[0], bool(found["level_said"].iloc[0])) if len(found) else ("intermediate", False)


def _readable(found: pd.DataFrame) -> pd.DataFrame:
    numbers = found["numbers"].map(lambda text: json.loads(text) if isinstance(text, str) and text else {})
    return found.assign(called=found["subject"].map(called), numbers=numbers.astype(object))
