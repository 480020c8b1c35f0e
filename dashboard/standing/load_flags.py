"""Flags about changes of load: spikes, session spikes, climbs, returns and new areas, for parts and the whole body."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from dashboard.measures.counting import side_share
from dashboard.measures.dose import per_week, sets_of_kinds
from dashboard.measures.gaps import ReturnWeek, away, return_week
from dashboard.measures.load_change import climbs, largest_before, mark, of_late
from dashboard.sentences import load as say
from dashboard.standing.body import part_ids, part_words
from dashboard.standing.log import numbered_sessions
from dashboard.standing.planned import as_planned
from dashboard.standing.raised import Raised
from dashboard.standing.weekly import Weekly, counted_of
from etl.settings import RULES, Rules

WHOLE = "whole_body"


@dataclass(frozen=True)
class Sessions:
    """Sessions of a log, in the order of their days: day (n,), line (n,), sets (n, parts + 1) and their range, low and high, reps of direct
    sets (n, parts + 1).
    """

    day: np.ndarray
    line: np.ndarray
    sets: np.ndarray
    low: np.ndarray
    high: np.ndarray
    reps: np.ndarray


@dataclass(frozen=True)
class LoadView:
    """Loads with their range, marks and states of each week and subject, (weeks, parts + 1), the whole body last, which has no range (NaN).

    planned: where the week's load was planned. marked (weeks,): the weeks that a person has marked as a planned increase.
    """

    subjects: tuple[str, ...]
    names: tuple[str, ...]
    load: np.ndarray
    low: np.ndarray
    high: np.ndarray
    marks: np.ndarray
    states: np.ndarray
    returns: list[list[ReturnWeek | None]]
    returning: np.ndarray
    planned: np.ndarray
    marked: np.ndarray

    @property
    def planned_increase(self) -> np.ndarray:
        """What the picture shows as planned: what stood out and was planned, and every week that is marked so."""
        return (self.planned & (self.marks != "")) | self.marked[:, None]


def load_view(w: Weekly, rules: Rules = RULES) -> LoadView:
    """What the load page shows, and what the flags are made of."""
    load = np.column_stack([w.parts.dose, w.whole])
    marks = np.where(np.arange(load.shape[1]) == load.shape[1] - 1, mark(w.against, True, rules), mark(w.against, False, rules))
    states = np.full(load.shape, "", dtype="<U8")
    states[np.isnan(w.against.usual)] = "baseline"
    states[w.deload] = "deload"
    gone, ramp, returns = np.zeros(load.shape, bool), np.zeros(load.shape, bool), [[None] * w.log.weeks] * load.shape[1]
    for s, (gaps, days) in enumerate(zip([*w.part_layoffs, w.body_layoffs], [*w.part_days, w.body_days], strict=True)):
        if gaps:
            gone[:, s] = away(w.log.mondays + 6, days, rules)
            returns[s] = [return_week(gaps, monday, rules) for monday in w.log.mondays.tolist()]
            ramp[:, s] = [r is not None for r in returns[s]]
    states[gone] = "layoff"
    states[ramp] = "return"
    low, high = (_of_parts_alone(values) for values in (w.parts.low, w.parts.high))
    return LoadView((*part_ids(), WHOLE), (*part_words(), "whole body"), load, low, high, np.where(ramp, "", marks), states, returns,
                    ramp, as_planned(w, load, rules), w.log.marked_as("planned_increase"))


def _of_parts_alone(values: np.ndarray) -> np.ndarray:
    """Values of parts, (n, parts), with NaN for the whole body behind them."""
    return np.column_stack([values, np.full(len(values), np.nan)])


def _range(low: float, high: float, what: str = "load") -> dict[str, float]:
    """The numbers of a range; none where there is none."""
    return {f"{what}_low": low, f"{what}_high": high} if low == low else {}


def load_flags(w: Weekly, view: LoadView, rules: Rules = RULES) -> list[Raised]:
    """All flags of load changes, of every complete week."""
    by_day = sessions(w, rules)
    found = [*_spikes(w, view), *_sessions(w, view, by_day, rules), *_climbs(w, view, rules), *_returns(w, view, rules),
             *_new_areas(w, view, by_day, rules)]
    position = {subject: s for s, subject in enumerate(view.subjects)}
    return [_as_planned(f) if view.planned[f.line, position[f.subject]] else f for f in found if f.line < w.log.complete]


def _as_planned(f: Raised) -> Raised:
    """The same numbers and level, marked as planned."""
    return f._replace(message=say.as_planned(f.message), numbers=f.numbers | {"planned": True})


def sessions(w: Weekly, rules: Rules = RULES) -> Sessions:
    """Sums by session."""
    at, day = numbered_sessions(w.log.sets)
    kind, hard, reps = (w.log.sets[name].to_numpy() for name in ("kind_no", "hard", "reps"))
    _, parts, _ = counted_of(w.log.kinds, rules)
    # Repetitions of one side are half of a set's of both.
    reps = np.where(hard > 0, np.nan_to_num(reps) * side_share(w.log.sets["side"]), 0.0)
    done = sets_of_kinds(hard, kind, at, len(w.log.kinds), len(day))
    sets = np.column_stack([done @ parts.now, np.bincount(at, hard, len(day))])
    of_direct = np.column_stack([per_week(reps, kind, at, parts.direct > 0, len(day)), np.bincount(at, reps, len(day))])
    return Sessions(day, (day - w.log.mondays[0]) // 7, sets, _of_parts_alone(done @ parts.less), _of_parts_alone(done @ parts.more), of_direct)


def _spikes(w: Weekly, view: LoadView) -> list[Raised]:
    found = []
    a = w.against
    for line, s in zip(*np.nonzero((view.marks == "spike") | (view.marks == "large_spike")), strict=True):
        kind, whole = str(view.marks[line, s]), view.subjects[s] == WHOLE
        load, usual, span = view.load[line, s], a.usual[line, s], (view.low[line, s], view.high[line, s])
        numbers = {"load": load, **_range(*span), "usual": usual, "ratio": a.ratio[line, s], "z": a.z[line, s], "over_recent": a.over_recent[line, s]}
        message = say.spike(view.names[s], load, usual, load / a.over_recent[line, s], *span)
        level = "alert" if whole or kind == "large_spike" else "review"
        found.append(Raised(int(line), kind, view.subjects[s], level, message, numbers, a.ratio[line, s]))
    return found


def _sessions(w: Weekly, view: LoadView, by_day: Sessions, rules: Rules) -> list[Raised]:
    most = largest_before(by_day.day, by_day.sets, rules)
    more = np.r_[np.full(len(view.subjects) - 1, rules.session_sets_part), rules.session_sets_body]
    known = w.against.usual[by_day.line] >= rules.new_area_usual
    with np.errstate(invalid="ignore"):
        jump = known & (by_day.sets >= rules.session_ratio * most) & (by_day.sets - most >= more)
    found = {}
    # Of several in one week the largest is told.
    for i, s in sorted(zip(*np.nonzero(jump & ~view.returning[by_day.line]), strict=True), key=lambda at: by_day.sets[at]):
        line, load, before, span = int(by_day.line[i]), by_day.sets[i, s], most[i, s], (by_day.low[i, s], by_day.high[i, s])
        found[line, s] = Raised(line, "session_spike", view.subjects[s], "review", say.session(view.names[s], load, before, *span),
                                {"load": load, **_range(*span), "largest_30_days": before, "ratio": load / before}, load / before)
    return [found[at] for at in sorted(found)]


def _climbs(w: Weekly, view: LoadView, rules: Rules) -> list[Raised]:
    raised, late, early = climbs(view.load, ~view.returning, rules)
    at = np.nonzero(raised)
    low, high = (of_late(view.load, values, *at, rules) for values in (view.low, view.high))
    return [Raised(int(i), "climb", view.subjects[s], "review", say.climb(view.names[s], late[i, s], early[i, s], least, most),
                   {"last_four": late[i, s], **_range(least, most, "last_four"), "four_before": early[i, s], "ratio": late[i, s] / early[i, s]}, late[i, s] / early[i, s])
            for i, s, least, most in zip(*at, low, high, strict=True)]


def _returns(w: Weekly, view: LoadView, rules: Rules) -> list[Raised]:
    found = []
    for s, line in zip(*np.nonzero(view.returning.T), strict=True):
        week, load, span = view.returns[s][line], view.load[line, s], (view.low[line, s], view.high[line, s])
        usual = usual_before(w, int(s), week)
        if not usual > 0 or load <= week.raised * usual:
            continue
        gone = week.layoff.days()
        numbers = {"load": load, **_range(*span), "usual_before": usual, "share": load / usual, "suggested": week.suggested,
                   "raised_above": week.raised, "days_away": gone}
        message = say.back(view.names[s], week.number, gone, load, usual, week.suggested, *span)
        found.append(Raised(int(line), "return", view.subjects[s], "review", message, numbers, load / usual))
    return found


def usual_before(w: Weekly, subject: int, week: ReturnWeek) -> float:
    """What was usual before the layoff: the usual of the week after the last training day, which that week is in."""
    line = min(int((week.layoff.before - w.log.mondays[0]) // 7) + 1, w.log.weeks - 1)
    return float(w.against.usual[line, subject])


def _new_areas(w: Weekly, view: LoadView, by_day: Sessions, rules: Rules) -> list[Raised]:
    parts = len(view.subjects) - 1
    load, usual = view.load[:, :parts], w.against.usual[:, :parts]
    most, least_of, most_of, reps = (_most_by_line(by_day.line, values[:, :parts], w.log.weeks) for values in (by_day.sets, by_day.low, by_day.high, by_day.reps))
    much = (load >= rules.new_area_week) | (most >= rules.new_area_session) | (reps > rules.new_area_reps)
    new = (load > 0) & much & _is_new(w, load, usual, rules) & ~view.returning[:, :parts]
    found = []
    for s, line in zip(*np.nonzero(new.T), strict=True):
        span = view.low[line, s], view.high[line, s]
        numbers = {"load": load[line, s], **_range(*span), "usual": usual[line, s], "session_sets": most[line, s],
                   **_range(least_of[line, s], most_of[line, s], "session_sets"), "session_repetitions": reps[line, s]}
        message = say.new_area(view.names[s], load[line, s], usual[line, s], most[line, s], reps[line, s], *span)
        found.append(Raised(int(line), "new_area", view.subjects[s], "review", message, numbers, load[line, s] / 10))
    return found


def _most_by_line(line: np.ndarray, values: np.ndarray, lines: int) -> np.ndarray:
    """The largest of the rows of each line, (lines, c); 0 where there is none. line: ascending."""
    found = np.zeros((lines, values.shape[1]))
    there, first = np.unique(line, return_index=True)
    found[there] = np.maximum.reduceat(values, first)
    return found


def _is_new(w: Weekly, load: np.ndarray, usual: np.ndarray, rules: Rules) -> np.ndarray:
    """Usual below 2 sets, or, before there is a usual, a mean below 2 so far; or a beginner's first four weeks. (weeks, parts)"""
    so_far = np.concatenate([np.zeros((rules.usual_weeks, load.shape[1])), load[:-1]])
    weeks = np.minimum(np.arange(len(load)), rules.usual_weeks)[:, None]
    with np.errstate(invalid="ignore"):
        before = sliding_window_view(so_far, rules.usual_weeks, axis=0).sum(axis=-1) / weeks
        new = np.where(np.isnan(usual), before, usual) < rules.new_area_usual
    new[: rules.new_area_log_weeks] = w.log.beginner
    return new
