"""One week of one athlete: what was done, what was flagged, what to change."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pandas as pd

from dashboard.queries.kept import Store, of_span, of_week, rows
from dashboard.queries.load import marked_as
from dashboard.queries.words import called
from dashboard.sentences.balance import under_bands
from dashboard.sentences.dose import EASY
from dashboard.sentences.flags import falling, standing_still
from dashboard.sentences.load import as_of
from dashboard.sentences.plan import told_later

MOST_TOLD, MOST_TOLD_EASY = 6, 3  # [D] flags of a week that are told one by one; in an easy week most hold from earlier and ask for nothing now
BELOW, LEVELS = "below_band", ("alert", "review", "note")
TOGETHER = {"declining": (2, falling), "plateau": (2, standing_still), BELOW: (3, under_bands)}  # [D] kind -> how many are told each by itself at most, and many in words
# Sets of which somebody said that the catalogue does not have their exercise wait for nothing; what is kept counts them.
SETTLED = """
select date_trunc('week', date)::date as week, count(*) as sets from sets
where athlete = ? and exercise is null and not planned and name_key in (select name_key from name_decisions) group by all
"""
# An episode is kept with the numbers of its first week; a later week shows what its own look said, or, while it runs, the last look's.
FLAGS = """
with weeks as (select unnest(range(?2::date, ?3::date, interval 7 day))::date as shown),
running as (
select w.shown, f.* from kept_flags f
join weeks w on f.week <= w.shown and (f.until is null or f.until >= w.shown)
where f.athlete = ?1 and f.week <= ?3
),
looks as (
select kind, subject, week as look, lead(week, 1, 'infinity'::date) over (partition by kind, subject order by week) as next_look, level, numbers, message, rank
from kept_raised where athlete = ?1 and week <= ?3
)
select f.shown, f.athlete, f.kind, f.subject, f.week, f.until, coalesce(l.level, f.level) as level, coalesce(l.numbers, f.numbers) as numbers,
    coalesce(l.message, f.message) as message, coalesce(l.rank, 0) as rank, coalesce(l.look, f.week) as look
from running f
left join looks l on l.kind = f.kind and l.subject = f.subject and l.look between f.week and f.shown and l.next_look > f.shown
order by f.shown, case coalesce(l.level, f.level) when 'alert' then 0 when 'review' then 1 else 2 end, f.week desc, f.kind, f.subject
"""
ALL_FLAGS = "select * from kept_flags where athlete = ? and week <= ? order by week desc, kind, subject"
# A week that still runs has none before its Sunday: then those of the last full week.
LAST_NEXT = """
select * from kept_next where athlete = ?1 and week = (
    select max(k.week) from kept_next k where k.athlete = ?1 and k.week < ?2 and (select so_far from kept_weeks where athlete = ?1 and week = ?2))
order by position
"""
DUE = "select distinct deload_due as week from blocks where athlete = ? and deload_due is not null"
LEVEL = "select level, level_said from athletes where athlete = ?"


def done(store: Store, athlete: str, week: date) -> dict[str, Any]:
    """The week's row as a dict: sessions, hard_sets, usual_hard_sets and the rest; None or NaN where unknown. weakest_not_distinguishable
    is a list of part ids.
    """
    found = of_week(store, "kept_weeks", athlete, week).iloc[0].to_dict()
    if found["unmatched_sets"]:
        settled = rows(store, SETTLED, athlete)
        found["unmatched_sets"] -= int(settled.loc[settled["week"] == pd.Timestamp(week), "sets"].sum())
    others = found["weakest_not_distinguishable"]
    return found | {"weakest_not_distinguishable": json.loads(others) if isinstance(others, str) else []}


def flags(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """The flags that hold in that week, alerts first; `called` is the subject in words, `numbers` a dict, `look` the Monday of the week whose
    numbers they are: a week that still runs has no look of its own, and the message says whose it is. Of an easy week no part is under its band: its
    doses are not judged, and the looks at the band pass over it, so that the episode goes on behind it.
    """
    found = _readable(of_span(store, FLAGS, athlete, week, "shown").drop(columns="shown"))
    if easy(store, athlete, week) is not None:
        found = found[found["kind"] != BELOW].reset_index(drop=True)
    return found.assign(message=[as_of(message, look.date(), week) for message, look in zip(found["message"], found["look"], strict=True)])


def flag_messages(flags: pd.DataFrame) -> pd.DataFrame:
    """The flags as lines, alerts first; `flags` is how many a line tells: many of a kind that say much the same are one (`TOGETHER`), and so is what
    several flags say in the same words.
    """
    told = flags.assign(flags=flags.groupby(["kind", "message"])["message"].transform("size")).drop_duplicates(["kind", "message"])
    for kind, (most, words) in TOGETHER.items():
        if (these := flags["kind"] == kind).sum() > most:
            first = flags[these].head(1).assign(message=words(flags.loc[these, "called"].tolist()), flags=int(these.sum()))
            told = pd.concat([told[told["kind"] != kind], first])
    return told.sort_values("level", key=lambda level: level.map(LEVELS.index), kind="stable", ignore_index=True)


def first_told(flags: pd.DataFrame, easy: bool) -> tuple[pd.DataFrame, pd.DataFrame]:
    """The lines of `flag_messages` that are told one by one, and those that are only counted. easy: the week's doses are not judged."""
    lines, most = flag_messages(flags), MOST_TOLD_EASY if easy else MOST_TOLD
    return lines.head(most), lines.iloc[most:]


def counted_by_kind(lines: pd.DataFrame) -> dict[str, int]:
    """Kind -> how many flags these lines of `flag_messages` tell, in their order."""
    return {kind: int(count) for kind, count in lines.groupby("kind", sort=False)["flags"].sum().items()}


def flags_so_far(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """Each flag that the log had raised by that week, newest first."""
    return _readable(rows(store, ALL_FLAGS, athlete, week))


def following(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """What to change in the week after, in order: subject, called, action, reason, and the Monday `week` from which it comes: the last full
    week where this one still runs and is not at its Sunday.
    """
    found = of_week(store, "kept_next", athlete, week, "position")
    if found.empty:
        found = rows(store, LAST_NEXT, athlete, week)
        found = found.assign(reason=found["reason"].map(told_later))
    return found.assign(called=found["subject"].map(called))


def cautions(store: Store, athlete: str, week: date) -> list[str]:
    """The cautions that apply in that week, as sentences."""
    return of_week(store, "kept_cautions", athlete, week, "topic")["message"].tolist()


def easy(store: Store, athlete: str, week: date) -> str | None:
    """Why the week's doses are not judged, a key of `sentences.dose.EASY`; None where they are, and for a week after the log's end."""
    if not of_week(store, "kept_weeks", athlete, week)["deload"].eq(True).any():
        return None
    mark = marked_as(store, athlete, week)
    return mark if mark in EASY else "due" if deload_due(store, athlete, week) else ""


def deload_due(store: Store, athlete: str, week: date) -> bool:
    """Whether a block has its deload due in the week of that Monday, which may lie ahead."""
    return pd.Timestamp(week) in set(rows(store, DUE, athlete)["week"])


def level(store: Store, athlete: str) -> tuple[str, bool]:
    """The athlete's level, and whether somebody said it."""
    found = rows(store, LEVEL, athlete)
    return (found["level"].iloc[0], bool(found["level_said"].iloc[0])) if len(found) else ("intermediate", False)


def _readable(found: pd.DataFrame) -> pd.DataFrame:
    numbers = found["numbers"].map(lambda text: json.loads(text) if isinstance(text, str) and text else {})
    return found.assign(called=found["subject"].map(called), numbers=numbers.astype(object))
