"""Why each athlete needs a look in a week, and what changed in it: one statement for all athletes and each kind of reason."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, timedelta
from typing import NamedTuple

import numpy as np
import pandas as pd

from dashboard.queries.felt import FELT, weeks_running
from dashboard.queries.kept import Store, rows
from dashboard.queries.words import WHOLE_BODY, called, part_words
from dashboard.sentences import clients as say
from etl import tables
from etl.settings import RULES

PAIN_WEEKS = 8  # [D] how far back pain of weeks running is counted
# The highest score of each day and place; a note without a place stands as it was written.
PAIN = f"""
with noted as (select athlete, kind, date, coalesce(nullif(place, ''), text) as place, score from {FELT} where kind = 'pain' and date between ? and ?)
select athlete, kind, date, place, max(score) as score from noted group by athlete, kind, date, place order by athlete, date desc, score desc nulls last, place
"""
# What was first raised in the week, at the level and in the words of that week's own look.
NEW_FLAGS = """
select f.athlete, f.kind, f.subject, coalesce(r.level, f.level) as level, coalesce(r.message, f.message) as message, coalesce(r.rank, 0) as rank
from kept_flags f
left join kept_raised r on r.athlete = f.athlete and r.kind = f.kind and r.subject = f.subject and r.week = f.week
where f.week = ?
order by f.athlete, f.subject <> 'whole_body', rank desc, f.kind, f.subject
"""
# A verdict that was and is one; parts first, since they pool their exercises.
VERDICTS = """
with told as (
    select athlete, week, part as subject, '' as measure, verdict, 0 as place from kept_part_strength where week between ?::date - 7 and ?
    union all
    select athlete, week, exercise, measure, verdict, 1 from kept_strength where week between ?::date - 7 and ?
)
select n.athlete, n.subject, n.measure, b.verdict as was, n.verdict as now
from told n join told b on b.athlete = n.athlete and b.subject = n.subject and b.measure = n.measure and b.place = n.place and b.week = n.week - 7
where n.week = ? and b.verdict <> n.verdict and 'too_little_data' not in (b.verdict, n.verdict)
order by n.athlete, n.place, n.subject, n.measure
"""
# Parts in focus that crossed the low end of their band in a week with training that was no deload, after another such week. A week whose whole load
# jumped is none to compare with: after it every part has less.
PARTS = """
with trained as (select athlete, week from kept_weeks where week between ?::date - 7 and ? and sessions > 0 and not coalesce(deload, false))
select n.athlete, n.part, n.status = 'below' as short
from kept_parts n
join kept_parts b on b.athlete = n.athlete and b.part = n.part and b.week = n.week - 7
join trained t on t.athlete = n.athlete and t.week = n.week
join trained u on u.athlete = n.athlete and u.week = n.week - 7
left join kept_load j on j.athlete = n.athlete and j.week = b.week and j.subject = 'whole_body'
where n.week = ? and b.week = ?::date - 7 and n.in_focus and (n.status = 'below') <> (b.status = 'below') and coalesce(j.mark, '') not in ('spike', 'large_spike')
order by n.athlete, n.dose / nullif(n.band_low, 0), n.part
"""
# Bests that fell in the week, of series that have a verdict (so that the first sessions of a new exercise are none), with the best before.
BESTS = """
select s.athlete, s.exercise, s.measure, s.best_value as value, k.low, k.high, b.best_value as before
from kept_strength s
join kept_strength b on b.athlete = s.athlete and b.exercise = s.exercise and b.measure = s.measure and b.series = s.series and b.week = s.week - 7
left join kept_bests k on k.athlete = s.athlete and k.exercise = s.exercise and k.measure = s.measure and k.series = s.series and k.date = s.best_since
where s.week = ? and s.best_since between s.week and s.week + 6 and s.best_value > b.best_value and b.verdict <> 'too_little_data'
order by s.athlete, s.best_value / b.best_value desc, s.exercise, s.measure
"""
BACK = """
select w.athlete, w.hard_sets from kept_load n
join kept_load b on b.athlete = n.athlete and b.subject = n.subject and b.week = n.week - 7
join kept_weeks w on w.athlete = n.athlete and w.week = n.week
where n.week = ? and n.subject = 'whole_body' and n.state = 'return' and b.state <> 'return'
order by w.athlete
"""
# Sets of exercises on which nobody has decided.
UNMATCHED = """
select athlete, count(*) as sets from sets
where exercise is null and not planned and date between ? and ?::date + 6 and name_key not in (select name_key from name_decisions)
group by athlete order by athlete
"""
LOOK_BACK = 26  # weeks of which it is told for how long a part has stood still
# Parts in focus that stop at the week's end, and for how many weeks running by then.
STANDS = """
with told as (
    select athlete, part, week, verdict, verdict in ('declining', 'plateau') as stopped from kept_part_strength where week between ?1::date - 7 * (?2 - 1) and ?1
), run as (
    select athlete, part, arg_max(verdict, week) as verdict, max(week) as newest,
        coalesce(max(week) filter (where not stopped), min(week) - 7) as before
    from told group by athlete, part
)
select r.athlete, r.part, r.verdict = 'declining' as falls, (r.newest - r.before) // 7 as weeks
from run r join kept_parts p on p.athlete = r.athlete and p.part = r.part and p.week = r.newest and p.in_focus
where r.newest = ?1 and weeks >= ?3
order by r.athlete, weeks desc, r.part
"""
DECIDED = "select athlete, subject from decisions where date between ?1::date + 7 - 7 * ?2 and ?3"
# Rises of one week: where the whole body shows one, those of its parts are the same one.
RISES = ("large_spike", "spike", "session_spike")
# Flags that are told as what they are about, not as flags.
TOLD_ELSEWHERE = ("plateau", "declining", "below_band", "check_entry", "first_exposure")


class Reason(NamedTuple):
    """A kind of `measures.look_order`, how strong it is within its kind, and its sentence."""

    kind: str
    strength: float
    text: str


Found = Iterator[tuple[str, Reason]]


def reasons_by_athlete(store: Store, week: date, until: date) -> dict[str, list[Reason]]:
    """Athlete -> reasons of the week, one of a kind; those who have none are absent. until: the day up to which pain counts."""
    flags = rows(store, NEW_FLAGS, week)
    found: dict[str, list[Reason]] = {}
    for athlete, reason in (*_pain(rows(store, PAIN, week - timedelta(weeks=PAIN_WEEKS), until), week), *_flags(flags), *_verdicts(rows(store, VERDICTS, *[week] * 5)),
                            *_parts(rows(store, PARTS, *[week] * 4)), *_to_check(flags, rows(store, UNMATCHED, week, week)),
                            *_bests(rows(store, BESTS, week)), *_back(rows(store, BACK, week)),
                            *_stands(rows(store, STANDS, week, LOOK_BACK, RULES.stands_weeks), rows(store, DECIDED, week, RULES.followed_weeks, until))):
        found.setdefault(athlete, []).append(reason)
    return found


def _pain(noted: pd.DataFrame, week: date) -> Found:
    """Of the week; noted: of the weeks before it too, which say for how many running it was."""
    for athlete, own in noted.groupby("athlete", sort=False):
        now = own.assign(weeks=weeks_running(own))[own["date"] >= pd.Timestamp(week)]
        if len(now):
            told = list(zip(now["date"].dt.date, now["place"], now["score"].astype(float), now["weeks"], strict=True))
            yield athlete, Reason("pain", float(now["score"].fillna(0).max()), say.pain(told))


def _flags(flags: pd.DataFrame) -> Found:
    """New flags, an alert in front of them where there is one; and exercises that are done for the first time in eight weeks."""
    for athlete, own in flags[~flags["kind"].isin(TOLD_ELSEWHERE)].groupby("athlete", sort=False):
        alert = own["level"] == "alert"
        told = own.loc[[*own.index[alert], *own.index[~alert]]]
        rise = told["kind"].isin(RISES)
        same = int(rise.iloc[1:].sum()) if rise.iloc[0] and told["subject"].iloc[0] == WHOLE_BODY else 0
        yield athlete, Reason("alert" if alert.any() else "flag", float(own["rank"].max()), say.flags(told["message"].tolist(), same))
    for athlete, own in flags[flags["kind"] == "first_exposure"].groupby("athlete", sort=False):
        yield athlete, Reason("first_time", float(len(own)), say.flags(own["message"].tolist()))


def _verdicts(turned: pd.DataFrame) -> Found:
    """Those that fall now ask for a look first, those that stopped with time; the rest is news. Exercises are told where no part turned the same way."""
    by_part = turned.groupby(["athlete", "now"])["measure"].transform(lambda measure: (measure == "").any()).astype(bool)
    turned = turned[~by_part | (turned["measure"] == "")]
    falls, stopped = turned["now"] == "declining", turned["now"] == "plateau"
    for kind, which in (("falling", falls), ("verdict", stopped), ("verdict_eased", ~falls & ~stopped)):
        for athlete, own in turned[which].sort_values("now", kind="stable").groupby("athlete", sort=False):
            yield athlete, Reason(kind, float(len(own)), say.verdicts(list(zip(own["subject"].map(called), own["now"], strict=True))))


def _parts(crossed: pd.DataFrame) -> Found:
    for kind, short, told in (("part_short", True, say.parts_short), ("part_back", False, say.parts_back)):
        yield from _of_each(crossed[crossed["short"].astype(bool) == short], kind, lambda own, told=told: told(own["part"].map(called).tolist()))


def _to_check(flags: pd.DataFrame, unmatched: pd.DataFrame) -> Found:
    entries = {athlete: own["message"].tolist() for athlete, own in flags[flags["kind"] == "check_entry"].groupby("athlete", sort=False)}
    sets = dict(zip(unmatched["athlete"], unmatched["sets"].astype(int), strict=True))
    for athlete in dict.fromkeys([*entries, *sets]):
        messages, names = entries.get(athlete, []), sets.get(athlete, 0)
        yield athlete, Reason("to_check", float(len(messages) + names), say.to_check(messages, names))


def _bests(best: pd.DataFrame) -> Found:
    columns = [best["exercise"].map(called), best["measure"], *(best[name].astype(float) for name in ("value", "low", "high", "before"))]
    told = best.assign(told=pd.Series([say.Best(*one) for one in zip(*columns, strict=True)], index=best.index, dtype=object))
    return _of_each(told, "best", lambda own: say.best(own["told"].tolist()))


def _back(returned: pd.DataFrame) -> Found:
    return _of_each(returned, "back", lambda own: say.back(float(own["hard_sets"].iloc[0])))


def _stands(standing: pd.DataFrame, decided: pd.DataFrame) -> Found:
    """Parts of which nobody has decided anything lately: neither of all, nor of the part, nor of an exercise that trains it first."""
    first = tables.trained_first()
    heard = {(athlete, part) for athlete, subject in zip(decided["athlete"], decided["subject"], strict=True)
             for part in (part_words() if not subject else first.get(subject, (subject,)))}
    left = np.array([one not in heard for one in zip(standing["athlete"], standing["part"], strict=True)], bool)
    for athlete, own in standing[left].groupby("athlete", sort=False):
        told = list(zip(own["part"].map(called), own["falls"].astype(bool), own["weeks"].astype(int), strict=True))
        yield athlete, Reason("stands", float(own["weeks"].max()), say.stands(told, LOOK_BACK, RULES.followed_weeks))


def _of_each(found: pd.DataFrame, kind: str, told: Callable[[pd.DataFrame], str]) -> Found:
    """One reason of each athlete, the stronger the more rows there are of it."""
    for athlete, own in found.groupby("athlete", sort=False):
        yield athlete, Reason(kind, float(len(own)), told(own))
