"""Stretches of whole weeks: the blocks that a person planned, others to choose from, and what was done in one."""

from __future__ import annotations

from datetime import date, timedelta

import pandas as pd

from dashboard.queries.kept import Store, rows
from dashboard.queries.words import called
from dashboard.sentences.numbers import begun, counted, day
from dashboard.sentences.units import from_kg
from etl.store.marked_weeks import AWAY

PLANNED = "select aim, starts, ends, deload_due from blocks where athlete = ? order by starts desc"
# What was done in a week that is marked as AWAY says nothing of how it is trained.
WEEKS = f"""
with these as (
    select w.*, coalesce(m.mark, '') as mark, w.so_far or coalesce(m.mark in {AWAY}, false) as left_out
    from kept_weeks w left join marked_weeks m on m.athlete = w.athlete and m.week = w.week
    where w.athlete = ? and w.week between ? and ?
)
select count(*) filter (not left_out) as weeks, sum(sessions) filter (not left_out) as sessions, avg(sessions) filter (not left_out) as sessions_a_week,
    avg(hard_sets) filter (not left_out) as hard_a_week, sum(hard_sets) filter (not left_out) as hard_sets, bool_or(so_far) as so_far,
    count(*) filter (not so_far and mark = 'holiday') as holidays, count(*) filter (not so_far and mark = 'illness') as illnesses
from these
"""
PARTS = f"""
select p.part, avg(p.dose) as dose, avg(p.low) as low, avg(p.high) as high, avg(p.band_low) as band_low, avg(p.band_high) as band_high
from kept_parts p join kept_weeks w on w.athlete = p.athlete and w.week = p.week
where p.athlete = ?1 and p.week between ?2 and ?3 and not w.so_far
    and p.week not in (select week from marked_weeks where athlete = ?1 and mark in {AWAY})
group by p.part
"""
# The look at the end of the stretch.
STRENGTH = """
select * from kept_part_strength
where athlete = ?1 and week = (select max(week) from kept_weeks where athlete = ?1 and week between ?2 and ?3)
"""
VALUES = """
select * from kept_strength
where athlete = ?1 and week = (select max(week) from kept_weeks where athlete = ?1 and week between ?2 and ?3) and value is not null
"""
DONE = """
select coalesce(exercise, exercise_as_written) as exercise, count(*) as sets from sets
where athlete = ? and date between ? and ?::date + 6 and not planned and kind <> 'warm_up' and not (coalesce(reps, 1) = 0 and coalesce(hold_s, 0) <= 0)
group by 1 order by sets desc, 1
"""
LENGTHS = (4, 8, 12)  # [D] weeks of the stretches that are offered
Stretch = tuple[date, date]  # the Mondays of its first and last week


def stretches(store: Store, athlete: str, known: list[date], week: date) -> dict[str, str]:
    """Key -> words of what can be looked at: planned blocks, the newest first, then the last weeks up to `week` and as many before them.

    known: the athlete's weeks. A stretch that the log does not reach is left out.
    """
    found = {}
    for block in rows(store, PLANNED, athlete).itertuples():
        found.setdefault(key(_monday(block.starts.date()), _monday(block.ends.date())), f"{begun(block.aim)}: {_span(block.starts.date(), block.ends.date())}")
    for length in LENGTHS:
        last = week - timedelta(weeks=length)
        found.setdefault(key(last + timedelta(weeks=1), week), f"Last {length} weeks: {_weeks(last + timedelta(weeks=1), week)}")
        found.setdefault(key(last - timedelta(weeks=length - 1), last), f"The {length} weeks before: {_weeks(last - timedelta(weeks=length - 1), last)}")
    return {name: words for name, words in found.items() if (pair := read(name)) and pair[1] >= known[0] and pair[0] <= known[-1]}


def key(first: date, last: date) -> str:
    """How a stretch stands in the address: the Mondays of its first and last week."""
    return f"{first.isoformat()}_{last.isoformat()}"


def usual(keys: list[str]) -> tuple[str, str]:
    """The two that are looked at first, the older one first: the first of what is offered and the next that shares no week with it, else the next, or
    it twice.

    >>> usual(["2026-10-26_2026-12-14", "2026-10-26_2026-11-16", "2026-09-28_2026-10-19"])
    ('2026-09-28_2026-10-19', '2026-10-26_2026-12-14')
    """
    first, *others = keys
    begins, ends = read(first)
    apart = [one for one in others if (other := read(one)) and (other[1] < begins or ends < other[0])]
    return tuple(sorted((first, [*apart, *others, first][0])))


def read(text: str | None) -> Stretch | None:
    """The stretch of an address; None where it is none. Any day of a week means its Monday."""
    try:
        first, last = (_monday(date.fromisoformat(part)) for part in (text or "").split("_"))
    except ValueError:
        return None
    return (first, last) if first <= last else None


def words_of(stretch: Stretch) -> str:
    """A stretch that no block names."""
    return f"{counted((stretch[1] - stretch[0]).days // 7 + 1, 'week', 'weeks')}: {_weeks(*stretch)}"


def weeks(store: Store, athlete: str, stretch: Stretch) -> pd.Series:
    """weeks (whole ones in the log that are marked neither as a holiday nor as an illness), and of these sessions, hard_sets, sessions_a_week,
    hard_a_week, missing where there is none; holidays, illnesses: how many are left out; so_far: a running week is among the stretch.
    """
    return rows(store, WEEKS, athlete, *stretch).iloc[0]


def parts(store: Store, athlete: str, stretch: Stretch) -> pd.DataFrame:
    """part, dose, low, high, band_low, band_high: means of the weeks that `weeks` counts."""
    return rows(store, PARTS, athlete, *stretch)


def strength(store: Store, athlete: str, stretch: Stretch) -> pd.DataFrame:
    """kept_part_strength rows of the look at the stretch's end."""
    return rows(store, STRENGTH, athlete, *stretch)


def values(store: Store, athlete: str, stretch: Stretch, unit: str) -> pd.DataFrame:
    """kept_strength rows of the look at the stretch's end, with `name`; those that have a value, maxima in the unit (kg or lb)."""
    found = rows(store, VALUES, athlete, *stretch)
    maxima = found["measure"] == "e1rm"
    turned = {name: found[name].where(~maxima, from_kg(found[name], unit)) for name in ("value", "value_low", "value_high")}
    return found.assign(name=found["exercise"].map(called), **turned)


def exercises(store: Store, athlete: str, stretch: Stretch) -> dict[str, int]:
    """Exercise in words -> sets, without warm-ups, the most first."""
    found = rows(store, DONE, athlete, *stretch)
    return dict(zip(found["exercise"].map(called), found["sets"].astype(int), strict=True))


def _monday(when: date) -> date:
    return when - timedelta(days=when.weekday())


def _weeks(first: date, last: date) -> str:
    return _span(first, last + timedelta(days=6))


def _span(first: date, last: date) -> str:
    return f"{day(first, year=first.year != last.year)} – {day(last)}"
