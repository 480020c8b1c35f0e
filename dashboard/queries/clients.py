"""All athletes at once: when each trained last, the last complete week beside the weeks before it, and why to look."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

import pandas as pd

from dashboard.measures.look_order import GROUPS, KINDS, asks_for_a_look, group, look_order
from dashboard.measures.marked_days import marked_days
from dashboard.measures.rhythm import is_away
from dashboard.queries.client_reasons import Reason, reasons_by_athlete
from dashboard.queries.kept import Store, rows
from dashboard.sentences import clients as say
from dashboard.sentences.decimal_mark import mark
from etl.settings import RULES
from etl.store.known import folded
from etl.store.marked_weeks import AWAY

WEEKS_SHOWN, AT_ONCE = 8, 50
NO_RHYTHM = (float("nan"), float("nan"), 0)
WEEKS = "select distinct week from kept_weeks where not so_far and sessions > 0 order by week desc"
NEWEST = "select max(date) as day from sets where not planned"
# Of everybody where the last parameter of these two is null, else of one: a page of one athlete does not read the sets of all.
# Who has logged a set by a day, with the week to open: the last complete one with training up to the week that is shown, else the newest.
PEOPLE = """
with trained as (select athlete, max(date) as last from sets where not planned and date <= ?1 and (?3 is null or athlete = ?3) group by athlete),
opened as (
    select athlete, coalesce(max(week) filter (where week <= ?2 and not so_far and sessions > 0), max(week)) as opens
    from kept_weeks where ?3 is null or athlete = ?3 group by athlete
)
select athlete, last, opens from trained join opened using (athlete) order by lower(athlete), athlete
"""
# The intervals between days of training in the weeks before the last one.
RHYTHM = """
with dated as (select distinct athlete, date from sets where not planned and date <= ?1 and (?4 is null or athlete = ?4)),
apart as (
    select athlete, date, date - lag(date) over (partition by athlete order by date) as days, max(date) over (partition by athlete) as last from dated
)
select athlete, median(days) as usual, quantile_cont(days, ?2::double) as long, count(days) as intervals
from apart where date > last - ?3::integer group by athlete
"""
# Weeks that say why there is no set.
MARKED = f"select athlete, week, mark from marked_weeks where mark in {AWAY} and week <= ? order by athlete, week"
# The day of the newest import that stored a set of somebody's.
CAME_IN = """
with stored as (select distinct athlete, import_id from sets)
select athlete, max(made_at)::date as day from stored join imports using (import_id) group by athlete
"""
DONE = """
select athlete, week, sessions, hard_sets, usual_hard_sets as usual, planned_sets as planned, coalesce(deload, false) as deload
from kept_weeks where week <= ? and week > ?::date - 7 * ? order by athlete, week
"""


@dataclass(frozen=True)
class Seen:
    """What is looked at: a complete week (its Monday), and the day up to which sets and pain count."""

    week: date
    until: date
    today: bool  # whether that day is today; else it is the week's Sunday

    @property
    def since(self) -> date:
        return self.week - timedelta(days=7 * (WEEKS_SHOWN - 1))


@dataclass(frozen=True)
class Client:
    """One athlete in the week that is looked at. hard_sets and the rest are of that week; nan where unknown.

    opens: the Monday of the athlete's own week to open. weeks: hard sets, usual and whether it was a deload, of each week shown, oldest first;
    None for a week that is not in the log.
    """

    athlete: str
    last_trained: date
    days_ago: int
    opens: date
    sessions: int
    hard_sets: float
    usual: float
    planned: float
    weeks: tuple[tuple[float, float, bool] | None, ...]
    reasons: tuple[Reason, ...]

    @property
    def asks(self) -> bool:
        """Whether something asks for a look, at once or with time; news alone does not."""
        return asks_for_a_look([reason.kind for reason in self.reasons])

    @property
    def group(self) -> str:
        """first (something asks for a look now), stands (only what has stood still for weeks does), or rest."""
        return group([reason.kind for reason in self.reasons])

    @property
    def away(self) -> bool:
        """Whether there is no set for longer than usual, by what has come in."""
        return any(reason.kind in ("not_trained", "nothing_new") for reason in self.reasons)


def weeks_to_see(store: Store) -> list[date]:
    """The Mondays of the complete weeks in which anybody trained, newest first."""
    return rows(store, WEEKS)["week"].dt.date.tolist()


def newest_day(store: Store) -> date | None:
    """The day of the newest set of all; None in an empty store."""
    found = rows(store, NEWEST)["day"].iloc[0]
    return None if pd.isna(found) else found.date()


def seen(store: Store, today: date, week: date | None = None) -> Seen | None:
    """The week that was asked for, as on its Sunday; else the newest one, as of today, or as on its Sunday where no log is newer than `log_old_days`.

    None where no week is complete yet.
    """
    known, newest = weeks_to_see(store), newest_day(store)
    if not known or newest is None:
        return None
    if week is None and (today - newest).days < RULES.log_old_days:
        return Seen(known[0], today, True)
    shown = week or known[0]
    return Seen(shown, shown + timedelta(days=6), False)


def clients(store: Store, at: Seen) -> tuple[Client, ...]:
    """Everyone who has a set by then, who needs a look first in front (`measures.look_order`)."""
    return _clients(store, at, mark())


@lru_cache(maxsize=4)
def _clients(store: Store, at: Seen, _mark: str) -> tuple[Client, ...]:
    people = rows(store, PEOPLE, at.until, at.week, None)
    done = _by_athlete(rows(store, DONE, at.week, at.week, WEEKS_SHOWN))
    why, rhythm = reasons_by_athlete(store, at.week, at.until), _rhythm(store, at.until)
    marked = {athlete: dict(zip(own["week"].dt.date, own["mark"], strict=True)) for athlete, own in rows(store, MARKED, at.until).groupby("athlete")}
    came = {athlete: day.date() for athlete, day in rows(store, CAME_IN).itertuples(index=False) if day.date() <= at.until} if at.today else {}
    found = [_client(athlete, last.date(), opens.date(), done.get(athlete, {}),
                     [*_gone(last.date(), at.until, rhythm.get(athlete, NO_RHYTHM), marked.get(athlete, {}), came.get(athlete)), *why.get(athlete, [])], at)
             for athlete, last, opens in people[["athlete", "last", "opens"]].itertuples(index=False)]
    return tuple(sorted(found, key=lambda one: (look_order([(r.kind, r.strength) for r in one.reasons]), one.athlete.casefold(), one.athlete)))


def summary(store: Store, everyone: Sequence[Client], at: Seen, today: date) -> tuple[str, str]:
    """What there is to say of all, and, where the newest week is long gone, a remark on that ('' where it is not)."""
    newest = newest_day(store)
    old = newest is not None and (today - newest).days >= RULES.log_old_days and at.week == weeks_to_see(store)[0]
    of, why = Counter(one.group for one in everyone), Counter(reason.kind for one in everyone for reason in one.reasons)
    return say.heading(len(everyone), of["first"], of["stands"], why["not_trained"], why["nothing_new"]), say.no_newer_log(newest) if old else ""


def away_since(store: Store, athlete: str, week: date, today: date) -> int | None:
    """Days without a set, where `week` is the athlete's last one with training and that is longer ago than usual, as the page Clients counts; else None."""
    at = seen(store, today)
    if at is None or not len(found := rows(store, PEOPLE, at.until, at.week, athlete)) or found["opens"].iloc[0].date() != week:
        return None
    days = (at.until - found["last"].iloc[0].date()).days
    if days < RULES.away_days:  # as `is_away` says, whatever is usual
        return None
    return days if is_away(days, *_rhythm(store, at.until, athlete).get(athlete, NO_RHYTHM)) else None


def picked(everyone: Sequence[Client], which: str, name: str) -> list[Client]:
    """Those of which `which` is true (all, look: something asks for a look first, stands: only what has stood still does, away: not trained) and whose
    name holds `name`, in their order; accents, apostrophes and hyphens do not matter."""
    sought = folded(name)
    group = {"look": "first"}.get(which, which)
    return [one for one in everyone if sought in folded(one.athlete) and (which == "all" or (one.away if which == "away" else one.group == group))]


def grouped(found: Sequence[Client]) -> dict[str, list[Client]]:
    """The keys of `look_order.GROUPS` that somebody belongs to -> those who do, all in their order."""
    return {name: own for name in GROUPS if (own := [one for one in found if one.group == name])}


def pages(found: Sequence[Client]) -> list[Sequence[Client]]:
    """AT_ONCE of them on each."""
    return [found[start : start + AT_ONCE] for start in range(0, len(found), AT_ONCE)]


def as_objects(found: Sequence[Client], at: Seen) -> list[dict[str, object]]:
    """For JSON, in the same order."""
    return [{
        "athlete": one.athlete, "last_trained": one.last_trained.isoformat(), "days_ago": one.days_ago, "week": at.week.isoformat(), "opens": one.opens.isoformat(),
        "sessions": one.sessions, "hard_sets": _plain(one.hard_sets), "usual_hard_sets": _plain(one.usual), "planned": _plain(one.planned),
        "needs_a_look": one.asks, "group": one.group, "reasons": [{"kind": reason.kind, "text": reason.text} for reason in one.reasons],
    } for one in found]


def _rhythm(store: Store, until: date, athlete: str | None = None) -> dict[str, tuple[float, float, int]]:
    """Athlete -> median and high quantile of their intervals between days of training, and how many there are, as `measures.rhythm` takes them. athlete: of one only."""
    found = rows(store, RHYTHM, until, RULES.away_quantile, RULES.rhythm_days, athlete)
    return {athlete: (usual, long, int(count)) for athlete, usual, long, count in found.itertuples(index=False)}


def _gone(last: date, until: date, rhythm: tuple[float, float, int], marked: dict[date, str], came: date | None) -> list[Reason]:
    """That somebody has not trained for longer than usual: what counts are the days of no holiday and no illness. marked: Monday -> mark; came: when
    something of theirs last came in, None where that is not to be told, as of an earlier week. Who had trained as usual when it did may have done so since.
    """
    days = (until - last).days
    if not is_away(days, *rhythm):
        return []
    within = {week: mark for week, mark in marked.items() if marked_days(last, until, [week])}
    left = days - marked_days(last, until, within)
    if not is_away(left, *rhythm):
        return [Reason("away_as_marked", float(days), say.away_as_marked(days, last, len(within), list(within.values())))]
    if came and not is_away((came - last).days - marked_days(last, came, within), *rhythm):
        return [Reason("nothing_new", float(left), say.nothing_new(days, last, came, until))]
    usual = rhythm[0] if rhythm[2] >= RULES.rhythm_least else float("nan")
    told = [say.not_trained(days, last, usual, days - left), *([say.came_in(came, until)] if came else [])]
    return [Reason("not_trained", float(left), " ".join(told))]


def _client(athlete: str, last: date, opens: date, done: dict[date, tuple], why: list[Reason], at: Seen) -> Client:
    sessions, hard_sets, usual, planned, _ = done.get(at.week, (0, 0.0, _last_usual(done), float("nan"), False))
    weeks = (at.since + timedelta(days=7 * back) for back in range(WEEKS_SHOWN))
    return Client(athlete, last, (at.until - last).days, opens, int(sessions), hard_sets, usual, planned,
                  tuple((done[week][1], done[week][2], bool(done[week][4])) if week in done else None for week in weeks),
                  tuple(sorted(why, key=lambda reason: KINDS.index(reason.kind))))


def _by_athlete(table: pd.DataFrame) -> dict[str, dict[date, tuple]]:
    """Athlete -> Monday -> sessions, hard_sets, usual, planned, deload, the oldest first."""
    found: dict[str, dict[date, tuple]] = {}
    for athlete, week, *row in zip(table["athlete"].tolist(), table["week"].dt.date.tolist(), *(
            table[name].astype(float).tolist() for name in ("sessions", "hard_sets", "usual", "planned", "deload")), strict=True):
        found.setdefault(athlete, {})[week] = tuple(row)
    return found


def _last_usual(done: dict[date, tuple]) -> float:
    """What was usual in the last of the weeks that the log still holds."""
    return next((row[2] for row in reversed(done.values())), float("nan"))


def _plain(value: float) -> float | int | None:
    if pd.isna(value):
        return None
    return int(value) if float(value).is_integer() else round(float(value), 4)
