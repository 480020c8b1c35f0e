"""What a client's report says, gathered from the same queries as the review and allowed for by what the coach has said may be shown."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import partial
from types import MappingProxyType
from typing import Any, NamedTuple

import numpy as np
import pandas as pd

from dashboard.charts import shelf
from dashboard.look import PRINT, Look
from dashboard.measures.total_change import total_change
from dashboard.queries import balance, presented, ribbon, stair, strength, week as week_of
from dashboard.queries.kept import Store
from dashboard.queries.words import WHOLE_BODY
from dashboard.report.figures import Figure, figures
from dashboard.sentences import client as say
from dashboard.sentences import client_beside as beside
from dashboard.sentences import past_week as past
from dashboard.sentences.cautions import FOOT
from dashboard.sentences.plain_parts import placed, with_place
from dashboard.sentences.ribbon import Ribbon
from dashboard.sentences.units import rows_in_unit

DECIDED = "What was decided"
PROGRESSING, TOO_LITTLE = "progressing", "too_little_data"
CLEAREST = ("e1rm", "per_kg", "reps", "hold")  # measures, the one that says most of strength first
RECENT_WEEKS = 4  # [D] a best that is older at the end of the report says where somebody was, not where they are
SEEN, SESSIONS_SEEN = 0.5, 6  # [D] share of a trend's low end by which the sessions shown rise, and how many of them can speak against it
A_WEEK = timedelta(weeks=1)
FEWEST_WEEKS, MOST_WEEKS = 8, 12  # [C] what a coach shows: a month is too short for a trend, half a year too long to remember


@dataclass(frozen=True)
class Section:
    """A heading and its sentences; listed: they stand in a list."""

    title: str
    lines: tuple[str, ...]
    listed: bool = False


@dataclass(frozen=True)
class Report:
    """One athlete's weeks up to a Sunday, in the order in which they are shown: what was done, a gain, the pictures, a thing to watch, the plan, what
    a person said beside. since: that nothing was done after a day, or ''. numbers: those behind the sentences, by the review's names.
    """

    athlete: str
    week: date
    until: date
    title: str
    done: str
    over: str
    since: str
    gain: Section
    watch: Section
    plan: Section
    figures: tuple[Figure, ...]
    beside: tuple[Section, ...]
    counting: str
    foot: tuple[str, ...]
    numbers: Mapping[str, Any]

    @property
    def ahead(self) -> tuple[Section, Section]:
        """What stands together below the pictures: a thing to watch, the plan."""
        return self.watch, self.plan


def gather(store: Store, athlete: str, week: date, weeks: int = MOST_WEEKS, colours: Look = PRINT, today: date | None = None, asked: bool = False,
           which: str | None = None) -> Report:
    """The report of the `weeks` weeks that end with the week of the Monday `week`, which may lie after the log's end. colours: of its pictures.

    today: what is called this week and the next one hangs on it: where it lies in the week after, that one is "this week" and the report's is "last
    week"; where that one is over too, both are told by their days. Up to it a set is looked for, before it is said that there is none - but not for a
    week that was asked for (`asked`), of which nothing later is told. which: the id of the stair that was chosen (of `queries.stair.stairs`), whose gain
    is told before others where there is one; None for the one that is shown by itself.
    """
    until, logged = week + timedelta(days=6), presented.logged_week(store, athlete, week)
    over = presented.sessions(store, athlete, week, weeks)
    lately = presented.with_empty_weeks(ribbon.ribbon(store, athlete, week, weeks), week, weeks)
    away = logged < week
    done = _none_done(lately) if away else week_of.done(store, athlete, week)
    unit, planned = presented.shown_unit(store, athlete), lately.weeks["planned"].iloc[-1]
    seen = until if asked else max(until, today or until)
    last = presented.last_set(store, athlete, seen)
    gone = last is not None and last < presented.full_week(seen)
    judged = strength.exercises(store, athlete, logged)
    first = stair.exercises_of(which) if which else frozenset()
    sore = stair.hurting(store, athlete, week)
    best = _best_trend(judged, week, weeks, first, sore, partial(_seen, store, week=week, weeks=weeks))
    following = rows_in_unit(week_of.following(store, athlete, week), unit, "action")
    shortest = shelf.shortest_first(balance.parts(store, athlete, week))["part"].tolist()
    flags = week_of.flags(store, athlete, week)
    watched = None if away else _watched(flags, following["subject"], shortest)
    alike = int((flags["kind"] == watched.kind).sum()) - 1 if watched else 0
    planned_from = following["week"].iloc[0].date() if len(following) else week
    acted_on = [subject for subject in dict.fromkeys(following["subject"]) if subject]
    words = _words(week, planned_from, today, away)
    gain = _gain(store, judged, best, week, weeks, unit, away, first, sore)
    return Report(
        athlete, week, until, say.heading(len(over), until),
        say.done(done["sessions"], done["hard_sets"], done["usual_hard_sets"], planned,
                 say.SO_FAR if done["so_far"] else say.LAST_OF_LOG if gone and not away else words.when),
        say.over_weeks(over["sessions"].sum(), int((over["sessions"] > 0).sum()), len(over)), say.no_set_since(last) if gone else "",
        Section("A gain", (gain,)),
        Section("To watch", (say.EASIER_BACK if away else words.watched(_watch(watched, acted_on, week_of.deload_due(store, athlete, planned_from + A_WEEK), alike)),)),
        Section(words.ahead, (say.restart((seen - last).days),) if away and last else (*map(words.planned, _plan(following)), *_then(store, athlete, planned_from)),
                listed=True),
        figures(store, athlete, week, weeks, unit, colours, lately, acted_on, which),
        _beside(store, athlete, week, weeks, judged, unit),
        say.counts(gain), (*say.cautions(week_of.cautions(store, athlete, week)), FOOT),
        MappingProxyType(_numbers(done, planned, best, watched)))


def gather_on(store: Store, athlete: str, week: date, today: date, weeks: int = MOST_WEEKS, **more: Any) -> Report:
    """`gather`, as on that day: a week that a report does not end with by itself then was asked for. more: colours, which."""
    return gather(store, athlete, week, weeks, today=today, asked=week != presented.last_week(store, athlete, today), **more)


class _Words(NamedTuple):
    """How the report's week and the one after are told: when the sets were done, the plan's title, and what turns a sentence to watch and a line of the plan."""

    when: str
    ahead: str
    watched: Callable[[str], str]
    planned: Callable[[str], str]


def _words(week: date, planned_from: date, today: date | None, away: bool) -> _Words:
    """Words for a reader of that day; None: in the report's own week. planned_from: the Monday of the week that the changes come from."""
    begins = week + A_WEEK
    if today is not None and today >= begins + A_WEEK:
        return _Words(past.in_week(week), past.WHEN_BACK if away else past.for_week(planned_from + A_WEEK), partial(past.in_past, monday=week), past.of_plan)
    runs = today is not None and today >= begins
    # The changes are for the week that runs where the report's is over, and where it runs itself and they come from the one before.
    on: Callable[[str], str] = say.a_week_on if runs or planned_from < week else str
    return _Words(say.LAST_WEEK if runs else say.THIS_WEEK, on(say.NEXT_WEEK), on, on)


def _none_done(lately: Ribbon) -> dict[str, Any]:
    """A week after the log's end, as `queries.week.done` tells of others."""
    return {"sessions": 0, "hard_sets": 0.0, "usual_hard_sets": lately.weeks["usual"].iloc[-1], "so_far": False}


def _best_trend(judged: pd.DataFrame, week: date, weeks: int, first: Collection[str] = (), sore: Collection[str] = (),
                seen: Callable[[pd.Series], bool] = lambda one: True) -> pd.Series | None:
    """Of the exercises that progress, and were done in the weeks shown, the one whose gain is surest to be large, of the clearest measure there is; one
    of `first` before the others, and one that is among what hurt lately, or trains such a part first (`sore`), after them. seen: whether the gain lies
    in the weeks shown.
    """
    rising = judged[(judged["verdict"] == PROGRESSING) & (judged["fit_to"] >= _begins(week, weeks))]
    order = _placed(rising, first, sore).assign(place=rising["measure"].map(CLEAREST.index))
    order = order.sort_values(["chosen", "sore", "place", "rate_low", "name"], ascending=[False, True, True, False, True])
    return next((one for _, one in order.iterrows() if seen(one)), None)


def _seen(store: Store, one: pd.Series, week: date, weeks: int) -> bool:
    """Whether a gain can be seen in the weeks shown: a trend is judged over more of them, and what rose before may have stood still since. From the
    first third of the sessions shown to the last the middle has to rise by SEEN of the trend's low end; fewer than SESSIONS_SEEN cannot speak against it.
    """
    known = strength.bests(store, one["athlete"], one["exercise"], one["measure"], one["week"].date())
    known = known[known["counted"].astype(bool) & (known["date"] >= _begins(week, weeks))].drop_duplicates("date")
    if len(known) < SESSIONS_SEEN:
        return True
    third, weeks_in = len(known) // 3, (known["date"] - known["date"].iloc[0]).dt.days.to_numpy() / 7
    apart, risen = (np.median(x[-third:]) - np.median(x[:third]) for x in (weeks_in, 100 * np.log(known["value"].to_numpy(float))))
    return bool(risen >= SEEN * one["rate_low"] * apart)


def _placed(judged: pd.DataFrame, first: Collection[str], sore: Collection[str]) -> pd.DataFrame:
    """With `chosen` and `sore` of each exercise: what is told before others, and what after them."""
    return judged.assign(chosen=judged["exercise"].isin(first), sore=[stair.touches(one, sore) for one in judged["exercise"]])


def _begins(week: date, weeks: int) -> pd.Timestamp:
    """The Monday of the first of the weeks shown."""
    return pd.Timestamp(week) - pd.Timedelta(weeks=weeks - 1)


def _gain(store: Store, judged: pd.DataFrame, best: pd.Series | None, week: date, weeks: int, unit: str, away: bool,
          first: Collection[str] = (), sore: Collection[str] = ()) -> str:
    recent = pd.Timestamp(week) - pd.Timedelta(weeks=RECENT_WEEKS - 1)
    if best is not None:
        over = min((best["fit_to"] - best["fit_from"]).days / 7, weeks)
        return say.gain(best["name"], best["measure"], total_change(best["rate_low"], over), total_change(best["rate_high"], over), max(1, round(over)),
                        say.value(best["measure"], best["value"], unit), best["fit_to"].date() if away or best["fit_to"] < recent else None)
    lately = _placed(judged[judged["best_since"] >= _begins(week, weeks)], first, sore)
    found = []
    for row in lately.itertuples():
        points = strength.bests(store, row.athlete, row.exercise, row.measure, row.week.date())
        found.append((*_risen(points, row, _begins(week, weeks)), points, row))
    for since, by, points, row in sorted(found, key=lambda one: (not one[3].chosen, one[3].sore, one[3].best_since < recent, -one[1], one[3].name)):
        if by > 0 and (now := _as_done(points, row.best_since, unit) or say.value(row.measure, row.best_value, unit)):
            return say.best(row.name, now, row.best_since, row.best_since < recent, since, _as_done(points, since, unit))
    if away:
        return say.NO_GAIN_AWAY
    known = (judged["verdict"] != TOO_LITTLE) | (judged["best_since"] < _begins(week, weeks))
    return say.NOTHING_ROSE if known.any() else say.NO_GAIN


def _risen(points: pd.DataFrame, row: Any, begins: pd.Timestamp) -> tuple[Any, float]:
    """The first session of the weeks shown, and how far the best stands above the first third of them in units of the noise of one session, which
    kilograms, repetitions and seconds have in common; 0 where no session is older than the best. Not from a point that is a lower bound: what was
    only written down later has not risen. points: of its series; begins: the first day shown.
    """
    counts = points["counted"].astype(bool)
    known = points[(counts if counts.any() else ~counts) & points["date"].between(begins, row.best_since)]
    known = known[known["note"].fillna("") == ""].drop_duplicates("date")
    before = known[known["date"] < row.best_since]
    if before.empty:
        return pd.NaT, 0.0
    one, base = before.iloc[0], float(before["value"].iloc[: max(1, len(known) // 3)].median())
    return one["date"], float(np.log(row.best_value / base) / np.log(one["high"] / one["value"]))


def _as_done(points: pd.DataFrame, when: pd.Timestamp, unit: str) -> str:
    """The best set of a day, in words; '' where it is not at hand."""
    known = points[points["date"] == when].sort_values("value", ascending=False)
    return next((say.one_set(one.load_kg, one.reps, one.hold_s, one.rir, one.series.endswith(stair.WITH_BAND), unit) for one in known.itertuples()), "")


def _watched(flags: pd.DataFrame, planned: pd.Series, shortest: Sequence[str] = ()) -> Any | None:
    """The flag of the week that a client is told of: a jump or a return, then what the plan is about too, then the rest, each by its kind and the whole
    body before its parts, and of these the shortest; not one that was planned as a load. planned: the subjects of next week's changes. shortest: parts,
    the largest shortage first.
    """
    place, lacks = ({one: i for i, one in enumerate(ordered)} for ordered in (say.WATCHED, shortest))
    told = flags[flags["kind"].isin(place) & ~flags["numbers"].map(lambda n: bool(n.get("planned")))]
    order = sorted(told.itertuples(), key=lambda f: (
        f.kind not in say.AT_ONCE, f.kind not in say.AT_ONCE and not _in_plan(f.subject, planned), place[f.kind], f.subject != WHOLE_BODY, lacks.get(f.subject, len(lacks)), f.subject))
    return order[0] if order else None


def _in_plan(subject: str, planned: Iterable[str]) -> bool:
    """Whether a change is about it, or about a part that it trains first."""
    return any(subject == one or subject in strength.exercises_of(one) for one in planned if one)


def _watch(flag: Any | None, planned: Sequence[str], easy: bool = False, alike: int = 0) -> str:
    """planned: the subjects of next week's changes. easy: the next week is due to be easy. alike: other flags of its kind. Under a plan for the whole
    body nothing stays as it is.
    """
    if flag is None:
        return say.NOTHING_STANDS_OUT
    then = say.EASY_FIRST if easy else "" if WHOLE_BODY in planned or _in_plan(flag.subject, planned) else say.STAYS
    return say.watch(flag.kind, with_place(flag.subject, flag.called), flag.numbers, flag.subject == WHOLE_BODY, then, alike)


def _plan(following: pd.DataFrame) -> tuple[str, ...]:
    told = (say.plan(with_place(row.subject, row.called), placed(row.action, row.subject, row.called), row.reason) for row in following.itertuples())
    return tuple(dict.fromkeys(filter(None, told))) or (say.HOLD,)


def _then(store: Store, athlete: str, planned_from: date) -> tuple[str, ...]:
    """What comes after the week that the changes are for. planned_from: the Monday of the week that they come from."""
    after = planned_from + timedelta(weeks=2)
    return (say.easy_then(after),) if week_of.deload_due(store, athlete, after) else ()


def _beside(store: Store, athlete: str, week: date, weeks: int, judged: pd.DataFrame, unit: str) -> tuple[Section, ...]:
    """What a person said beside the log, where the client may see it; only what there is."""
    asked = (store, athlete, week, weeks)
    weighed = presented.body_mass(*asked)["body_mass_kg"]
    felt = [*(beside.felt(row.date, row.kind, row.place or "", row.score, row.text) for row in presented.pain(*asked).itertuples()),
            *(beside.felt(row.date, "pain", row.place, row.score, "") for row in presented.logged_pain(*asked).itertuples())]
    found = {
        "Goals": [*(beside.block(row.aim, row.starts, row.ends, _or_none(row.deload_due)) for row in presented.blocks(store, athlete, week).itertuples()),
                  *(_goal(store, athlete, week, row, judged, unit) for row in presented.goals(*asked).itertuples())],
        DECIDED: [beside.decided(place, row.date, row.called, row.text) for place, row in enumerate(presented.decisions(*asked).itertuples(), 1)],
        "Notes": [beside.dated(row.date, row.called, row.text) for row in presented.notes(*asked).itertuples()],
        "Pain and soreness": felt,
        "Body weight": [beside.body_mass(weighed.iloc[0], weighed.iloc[-1], unit)] if len(weighed) else [],
    }
    return tuple(Section(title, tuple(lines), listed=title != DECIDED) for title, lines in found.items() if lines)


def _goal(store: Store, athlete: str, week: date, row: Any, judged: pd.DataFrame, unit: str) -> str:
    value = low = float("nan")
    if row.measure == "load":
        value = low = strength.heaviest(store, athlete, row.subject, week)
    elif (row.subject, row.measure) in judged.index:
        value, low = judged.loc[(row.subject, row.measure), ["value", "value_low"]]
    now = beside.of_target(row.measure, value, low, row.target, unit) if pd.notna(value) and pd.notna(row.target) else ""
    return beside.goal(row.text, row.due, now, _or_none(row.reached_on))


def _or_none(when: Any) -> Any:
    return None if pd.isna(when) else when


def _numbers(done: dict[str, Any], planned: float, best: pd.Series | None, watched: Any | None) -> dict[str, Any]:
    shown = {"sessions": done["sessions"], "hard_sets": done["hard_sets"], "usual_hard_sets": done["usual_hard_sets"], "planned": planned}
    if best is not None:
        shown |= {name: best[name] for name in ("exercise", "measure", "rate_low", "rate_high", "value")}
    return shown | ({"flag": (watched.kind, watched.subject), "of_flag": watched.numbers} if watched else {})
