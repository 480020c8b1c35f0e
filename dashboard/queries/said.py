"""What a person said beside the log, and what the log itself says of pain and of what gave out."""

from __future__ import annotations

from datetime import date, timedelta

import pandas as pd

from dashboard.queries.felt import FELT, weeks_running
from dashboard.queries.kept import Store, rows
from dashboard.queries.strength import heaviest
from dashboard.queries.words import called, exercise_words, part_words, with_called
from etl.notation import same_place

NOTES = "select * from notes where athlete = ? order by date, note_id"
ABOUT = "select * from notes where athlete = ? and coalesce(subject, '') = ? and date < ?::date + 7 order by date desc, note_id desc"
GOALS = "select * from goals where athlete = ? order by reached_on is not null, due, goal_id"
BLOCKS = "select * from blocks where athlete = ? order by starts desc, block_id desc"
DECISIONS = "select * from decisions where athlete = ? order by date desc, decision_id desc"
# One row for each place and day, the highest score, and the words of the notes.
PAIN = f"""
select date, kind, place, max(score) as score, string_agg(distinct subject, '|' order by subject) as subjects,
    coalesce(string_agg(distinct text, '; ' order by text) filter (text <> ''), '') as text, bool_or(beside and not private) as shared
from {FELT} where athlete = ? and not planned
group by date, kind, place order by date, kind desc, place
"""
GAVE_OUT = """
select limited_by, coalesce(exercise, '') as exercise, any_value(exercise_as_written) as written, count(*) as sets from sets
where athlete = ? and date between ?::date and ?::date + 6 and not planned and limited_by is not null and limited_by <> 'muscle'
group by limited_by, coalesce(exercise, '') order by sets desc, limited_by, exercise
"""
# What the log itself holds as a note, once for each day and exercise that it stands at.
REMARKS = """
select distinct date, coalesce(exercise, '') as exercise, exercise_as_written as written, trim(note) as text from sets
where athlete = ?1 and date between ?2::date and ?2::date + 6 and not planned and trim(note) <> ''
union
select date, '', '', trim(note) from days where athlete = ?1 and date between ?2::date and ?2::date + 6 and trim(note) <> ''
order by date, written, text
"""
DONE_LATELY = "select distinct exercise from kept_bests where athlete = ? and date between ?::date - 77 and ?::date + 6 order by exercise"
NOW = """
select measure, value, value_low, value_high from kept_strength where athlete = ? and week = ? and exercise = ?
"""


def notes(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """Notes of a week, pain and soreness among them, oldest first; `called` is the subject in words, '' for the day."""
    found = rows(store, NOTES, athlete)
    return with_called(found[found["date"].between(pd.Timestamp(week), _sunday(week))].reset_index(drop=True))


def notes_about(store: Store, athlete: str, week: date, subject: str) -> pd.DataFrame:
    """Notes about an exercise, a part, or '' for everything, up to that week's Sunday, the latest first."""
    return rows(store, ABOUT, athlete, subject, week)


def pain(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """Pain and soreness of a week and the one before, from the log and from notes.

    date, kind, place, score (0-10, NaN unsaid), called (exercises in words), text (what the notes say), shared (whether a note of it may be shown to
    the client), this_week, weeks (for how many weeks running, up to its own, the same kind was noted of the place).
    """
    found = rows(store, PAIN, athlete)
    found = found.assign(weeks=weeks_running(found))
    found = found[found["date"].between(pd.Timestamp(week - timedelta(days=7)), _sunday(week))].reset_index(drop=True)
    words = found["subjects"].map(lambda text: [called(one) for one in text.split("|")] if isinstance(text, str) else [])
    return found.assign(called=words.astype(object), this_week=found["date"].dt.date >= week)


def hurting(store: Store, athlete: str, week: date) -> list[tuple[str, list[str]]]:
    """Each place that hurt in that week, the worst first, with the exercises and parts in words that it was noted with."""
    felt = pain(store, athlete, week)
    felt = felt[felt["this_week"].astype(bool) & (felt["kind"] == "pain")].sort_values("score", ascending=False, kind="stable")
    found: dict[str, tuple[str, list[str]]] = {}
    for row in felt.itertuples():
        _, about = found.setdefault(same_place(str(row.place)), (row.place, []))
        about += [one for one in row.called if one not in about]
    return list(found.values())


def gave_out(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """What ended sets before the muscle did: limited_by, exercise in words, sets; the most sets first."""
    found = rows(store, GAVE_OUT, athlete, week, week)
    return found.assign(called=[called(one) if one else written for one, written in zip(found["exercise"], found["written"], strict=True)])


def remarks(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """Notes that stand in the log of a week, oldest first: date, text, called (the exercise in words, '' for a row of the day)."""
    found = rows(store, REMARKS, athlete, week)
    return found.assign(called=[called(one) if one else written for one, written in zip(found["exercise"], found["written"], strict=True)])


def goals(store: Store, athlete: str) -> pd.DataFrame:
    """Goals, those to be reached first."""
    return with_called(rows(store, GOALS, athlete))


def goal_now(store: Store, athlete: str, week: date, subject: str, measure: str) -> tuple[float, float, float] | None:
    """The present value of a goal's exercise with its 80 % interval, in the goal's measure; None where it is not measured so. A load that was lifted is
    certain.
    """
    if measure == "load":
        lifted = heaviest(store, athlete, subject, week)
        return None if lifted != lifted else (lifted, lifted, lifted)
    found = rows(store, NOW, athlete, week, subject)
    found = found[found["measure"] == measure]
    return None if found.empty else tuple(float(found[name].iloc[0]) for name in ("value", "value_low", "value_high"))


def blocks(store: Store, athlete: str) -> pd.DataFrame:
    """Blocks, the latest first."""
    return rows(store, BLOCKS, athlete)


def decisions(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """Decisions up to that week's Sunday, the latest first; `called` as in notes."""
    found = rows(store, DECISIONS, athlete)
    return with_called(found[found["date"] <= _sunday(week)].reset_index(drop=True))


def _sunday(week: date) -> pd.Timestamp:
    return pd.Timestamp(week + timedelta(days=6))


def subjects(store: Store, athlete: str, week: date) -> dict[str, str]:
    """What a note, a goal or a decision can be about: '' for everything, the exercises of the last twelve weeks, the parts."""
    done = rows(store, DONE_LATELY, athlete, week, week)["exercise"]
    names = exercise_words()
    return {"": "everything"} | {one: names[one] for one in done if one in names} | dict(part_words())
