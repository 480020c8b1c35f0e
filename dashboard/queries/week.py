"""One week of one athlete: what was done, what was flagged, what to change."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pandas as pd

from dashboard.queries.kept import Store, of_week, rows
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
select count(*) as sets from sets where athlete = ? and date between ?::date and ?::date + 6 and exercise is null and not planned
and name_key in (select name_key from name_decisions)
"""
# An episode is kept with the numbers of its first week; a later week shows what its own look said, or, while it runs, the last look's.
FLAGS = """
with holding as (
select f.athlete, f.kind, f.subject, f.week, f.until, coalesce(r.level, f.level) as level, coalesce(r.numbers, f.numbers) as numbers,
    coalesce(r.message, f.message) as message, coalesce(r.rank, 0) as rank, coalesce(r.week, f.week) as look
from kept_flags f
left join kept_raised r on r.athlete = f.athlete and r.kind = f.kind and r.subject = f.subject and r.week >= f.week and r.week <= ?1
where f.athlete = ?2 and f.week <= ?1 and (f.until is null or f.until >= ?1)
qualify row_number() over (partition by f.kind, f.subject, f.week order by r.week desc nulls last) = 1
)
select * from holding
order by case level when 'alert' then 0 when 'review' then 1 else 2 end, week desc, kind, subject
"""
ALL_FLAGS = "select * from kept_flags where athlete = ? and week <= ? order by week desc, kind, subject"
# A week that still runs has none before its Sunday: then those of the last full week.
LAST_NEXT = """
select * from kept_next where athlete = ?1 and week = (
    select max(k.week) from kept_next k where k.athlete = ?1 and k.week < ?2 and (select so_far from kept_weeks where athlete = ?1 and week = ?2))
order by position
"""
EASY_WEEK = """
select coalesce(w.deload, false) as deload, m.mark, exists (select 1 from blocks b where b.athlete = a.athlete and b.deload_due = a.week) as due
from (select ? as athlete, ?::date as week) a
left join kept_weeks w on w.athlete = a.athlete and w.week = a.week
left join marked_weeks m on m.athlete = a.athlete and m.week = a.week
"""
LEVEL = "select level, level_said from athletes where athlete = ?"


def done(store: Store, athlete: str, week: date) -> dict[str, Any]:
    """The week's row as a dict: sessions, hard_sets, usual_hard_sets and the rest; None or NaN where unknown. weakest_not_distinguishable
    is a list of part ids.
    """
    found = of_week(store, "kept_weeks", athlete, week).iloc[0].to_dict()
    if found["unmatched_sets"]:
        found["unmatched_sets"] -= int(rows(store, SETTLED, athlete, week, week)["sets"].iloc[0])
    others = found["weakest_not_distinguishable"]
    return found | {"weakest_not_distinguishable": json.loads(others) if isinstance(others, str) else []}


def flags(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """The flags that hold in that week, alerts first; `called` is the subject in words, `numbers` a dict, `look` the Monday of the week whose
    numbers they are: a week that still runs has no look of its own, and the message says whose it is. Of an easy week no part is under its band: its
    doses are not judged, and the looks at the band pass over it, so that the episode goes on behind it.
    """
    found = _readable(rows(store, FLAGS, week, athlete))
    if easy(store, athlete, week) is not None:
        found = found[found["kind"] != BELOW].reset_index(drop=True)
    return found.assign(message=[as_of(row.message, row.look.date(), week) for row in found.itertuples()])


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
    (row,) = rows(store, EASY_WEEK, athlete, week).itertuples()
    if not row.deload:
        return None
    return row.mark if row.mark in EASY else "due" if row.due else ""


def deload_due(store: Store, athlete: str, week: date) -> bool:
    """Whether a block has its deload due in the week of that Monday, which may lie ahead."""
    return bool(rows(store, EASY_WEEK, athlete, week)["due"].iloc[0])


def level(store: Store, athlete: str) -> tuple[str, bool]:
    """The athlete's level, and whether somebody said it."""
    found = rows(store, LEVEL, athlete)
    return (found["level"].iloc[0], bool(found["level_said"].iloc[0])) if len(found) else ("intermediate", False)


def _readable(found: pd.DataFrame) -> pd.DataFrame:
    numbers = found["numbers"].map(lambda text: json.loads(text) if isinstance(text, str) and text else {})
    return found.assign(called=found["subject"].map(called), numbers=numbers.astype(object))
