"""Twelve weeks of one athlete: planned and done, the coach's decisions with what followed, blocks and goals."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pandas as pd

from dashboard.queries import said
from dashboard.queries.kept import Store, rows
from dashboard.queries.words import WHOLE_BODY, called, part_words
from dashboard.sentences import ribbon as say
from dashboard.sentences.ribbon import Ribbon
from etl.settings import RULES

WEEKS = 12
# Asked for all weeks at once, as what was said is, so that a step to another week asks the database for nothing.
DONE = """
select w.week, w.sessions, w.hard_sets as done, w.usual_hard_sets as usual, w.so_far, w.deload, w.planned_sets, l.state, m.mark
from kept_weeks w
left join kept_load l on l.athlete = w.athlete and l.week = w.week and l.subject = 'whole_body'
left join marked_weeks m on m.athlete = w.athlete and m.week = w.week
where w.athlete = ?
order by w.week
"""
LATER = {
    "exercise": """select verdict, rate_pct_week, rate_low, rate_high from kept_strength where athlete = ? and exercise = ? and week = ?
        order by (verdict = 'too_little_data')::int, measure limit 1""",
    "part": "select verdict, rate_pct_week, rate_low, rate_high from kept_part_strength where athlete = ? and part = ? and week = ?",
    "dose": "select dose, band_low, band_high from kept_parts where athlete = ? and part = ? and week = ?",
}


def ribbon(store: Store, athlete: str, week: date, weeks: int = WEEKS) -> Ribbon:
    """The `weeks` weeks that end with `week`; of a time before the log there is no row."""
    start, until = week - timedelta(days=7 * (weeks - 1)), week + timedelta(days=6)
    first, last = pd.Timestamp(start), pd.Timestamp(until)
    found = rows(store, DONE, athlete)
    found = found[found["week"].between(first, last)].reset_index(drop=True)
    kinds = [_kind(row) for row in found.itertuples()]
    found = found.assign(planned=found["planned_sets"].astype(float), kind=kinds,
                         word=[say.word(kind, mark if isinstance(mark, str) else "") for kind, mark in zip(kinds, found["mark"], strict=True)])
    decided = said.decisions(store, athlete, week)[::-1]
    decided = decided.loc[decided["date"] >= first, ["decision_id", "date", "text", "subject"]].reset_index(drop=True)
    pins = decided.assign(number=range(1, len(decided) + 1), text=say.plain(decided["text"]),
                          followed=[followed(store, athlete, row.subject, row.date.date(), week) for row in decided.itertuples()])
    blocks = said.blocks(store, athlete)[::-1]
    blocks = blocks.loc[(blocks["starts"] <= last) & (blocks["ends"] >= first), ["aim", "starts", "ends", "deload_due"]].reset_index(drop=True)
    blocks = blocks.assign(aim=say.plain(say.aim_of(row.aim, row.deload_due) for row in blocks.itertuples()))
    goals = said.goals(store, athlete)
    goals = goals[goals["due"].between(first, last)].sort_values(["due", "goal_id"], ignore_index=True)
    goals = pd.DataFrame({"text": say.plain(goals["text"]), "due": goals["due"], "reached": goals["reached_on"] <= last})
    return Ribbon(start, until, found[["week", "done", "usual", "planned", "kind", "word"]], pins, blocks, goals)


def followed(store: Store, athlete: str, subject: str, decided: date, week: date) -> str:
    """What is kept of a decision's subject (an exercise, a part, or '' for the whole body) at the week four weeks after it, in words.

    Nothing of it is said before that week is over, nor from what came after `week`.
    """
    monday = decided - timedelta(days=decided.weekday())
    later = monday + timedelta(weeks=RULES.followed_weeks)
    then = rows(store, DONE, athlete)
    then = then[then["week"] == pd.Timestamp(later)]
    if later > week or (len(then) and then["so_far"].iloc[0]):
        return say.too_early(min(RULES.followed_weeks - 1, max(0, (week - monday).days // 7)))
    if subject in ("", WHOLE_BODY):
        return say.of_whole_body(then["done"].iloc[0], then["usual"].iloc[0], _kind(then.iloc[0])) if len(then) else say.of_strength("training", None, *[np.nan] * 3)
    part = subject in part_words()
    found = rows(store, LATER["part" if part else "exercise"], athlete, subject, later)
    strength = found.iloc[0].tolist() if len(found) else [None, *[np.nan] * 3]
    dose = rows(store, LATER["dose"], athlete, subject, later) if part else pd.DataFrame()
    if dose.empty:
        return say.of_strength(called(subject), *strength)
    told = say.of_dose(*dose.iloc[0])
    return f"{say.of_strength(called(subject), *strength)}; {told}" if len(found) else f"{say.later()}: {called(subject)} {told}"


def _kind(row) -> str:
    """full, easy (a deload), return, away (nothing was done), or running."""
    if row.so_far:
        return "running"
    if not row.sessions:
        return "away"
    return "easy" if row.deload or row.state == "deload" else "return" if row.state == "return" else "full"
