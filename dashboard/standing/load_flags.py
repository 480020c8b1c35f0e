"""Flags about changes of load: spikes, session spikes, climbs, returns and new areas, for parts and the whole body."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from dashboard.measures.counting import side_share
from dashboard.measures.dose import sums
from dashboard.measures.gaps import ReturnWeek, away, return_week
from dashboard.measures.load_change import climbs, largest_before, mark
from dashboard.sentences import load as say
from dashboard.standing.body import body
from dashboard.standing.raised import Raised
from dashboard.standing.weekly import Weekly
from etl.settings import RULES, Rules

WHOLE = "whole_body"


@dataclass(frozen=True)
class Sessions:
    """Sessions of a log, by training day: day (n,), line (n,), sets (n, parts + 1), reps of direct sets (n, parts + 1)."""

    day: np.ndarray
    line: np.ndarray
    sets: np.ndarray
    reps: np.ndarray


@dataclass(frozen=True)
class LoadView:
    """Loads, marks and states of each week and subject, (weeks, parts + 1), the whole body last."""

    subjects: tuple[str, ...]
    names: tuple[str, ...]
    load: np.ndarray
    marks: np.ndarray
    states: np.ndarray
    returns: list[list[ReturnWeek | None]]


def load_view(w: Weekly, rules: Rules = RULES) -> LoadView:
    """What the load page shows, and what the flags are made of."""
    parts = body().parts
    load = np.column_stack([w.parts.dose, w.whole])
    marks = np.where(np.arange(load.shape[1]) == load.shape[1] - 1, mark(w.against, True, rules), mark(w.against, False, rules))
    gaps, days = [*w.part_layoffs, w.body_layoffs], [*w.part_days, w.body_days]
    returns = [[return_week(g, int(m), rules) for m in w.log.mondays] for g in gaps]
    states = np.full(load.shape, "", dtype="<U8")
    states[np.isnan(w.against.usual)] = "baseline"
    states[w.deload] = "deload"
    ramp = np.array([[r is not None for r in column] for column in returns]).T
    states[np.column_stack([away(w.log.mondays + 6, d, rules) for d in days])] = "layoff"
    states[ramp] = "return"
    return LoadView((*parts["part_id"], WHOLE), (*parts["coach_word"], "whole body"), load, np.where(ramp, "", marks), states, returns)


def load_flags(w: Weekly, view: LoadView, rules: Rules = RULES) -> list[Raised]:
    """All flags of load changes, of every complete week."""
    by_day = sessions(w)
    found = [*_spikes(w, view), *_sessions(w, view, by_day, rules), *_climbs(w, view, rules), *_returns(w, view, rules),
             *_new_areas(w, view, by_day, rules)]
    return [f for f in found if f.line < w.log.complete]


def sessions(w: Weekly) -> Sessions:
    """Sums by training day."""
    day, at = np.unique(w.log.sets["day"].to_numpy(), return_inverse=True)
    hard = np.column_stack([w.set_parts, w.log.sets["hard"].to_numpy()])
    # Repetitions of one side are half of a set's of both.
    reps = (w.log.sets["reps"].fillna(0) * side_share(w.log.sets["side"])).to_numpy()[:, None] * np.column_stack([w.set_direct > 0, w.log.sets["hard"] > 0])
    return Sessions(day, (day - w.log.mondays[0]) // 7, sums(at, hard, len(day)), sums(at, reps, len(day)))


def _spikes(w: Weekly, view: LoadView) -> list[Raised]:
    found = []
    a = w.against
    for line, s in zip(*np.nonzero(np.isin(view.marks, ["spike", "large_spike"])), strict=True):
        kind, whole = str(view.marks[line, s]), view.subjects[s] == WHOLE
        load, usual = view.load[line, s], a.usual[line, s]
        numbers = {"load": load, "usual": usual, "ratio": a.ratio[line, s], "z": a.z[line, s], "over_recent": a.over_recent[line, s]}
        message = say.spike(view.names[s], load, usual, load / a.over_recent[line, s])
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
    for i, s in zip(*np.nonzero(jump), strict=True):
        line = int(by_day.line[i])
        if view.returns[s][line] is None:
            load, before = by_day.sets[i, s], most[i, s]
            found[line, s] = Raised(line, "session_spike", view.subjects[s], "review", say.session(view.names[s], load, before),
                                    {"load": load, "largest_30_days": before, "ratio": load / before}, load / before)
    return list(found.values())


def _climbs(w: Weekly, view: LoadView, rules: Rules) -> list[Raised]:
    raised, late, early = climbs(view.load, rules)
    return [Raised(int(i), "climb", view.subjects[s], "review", say.climb(view.names[s], late[i, s], early[i, s]),
                   {"last_four": late[i, s], "four_before": early[i, s], "ratio": late[i, s] / early[i, s]}, late[i, s] / early[i, s])
            for i, s in zip(*np.nonzero(raised), strict=True) if view.returns[s][i] is None]


def _returns(w: Weekly, view: LoadView, rules: Rules) -> list[Raised]:
    found = []
    for s, column in enumerate(view.returns):
        for line, week in enumerate(column):
            usual = usual_before(w, s, week) if week else np.nan
            load = view.load[line, s]
            if not usual > 0 or load <= week.raised * usual:
                continue
            away = week.layoff.days()
            numbers = {"load": load, "usual_before": usual, "share": load / usual, "suggested": week.suggested, "raised_above": week.raised, "days_away": away}
            message = say.back(view.names[s], week.number, away, load, usual, week.suggested)
            found.append(Raised(line, "return", view.subjects[s], "review", message, numbers, load / usual))
    return found


def usual_before(w: Weekly, subject: int, week: ReturnWeek) -> float:
    """What was usual before the layoff: the usual of the week after the last training day, which that week is in."""
    line = min(int((week.layoff.before - w.log.mondays[0]) // 7) + 1, w.log.weeks - 1)
    return float(w.against.usual[line, subject])


def _new_areas(w: Weekly, view: LoadView, by_day: Sessions, rules: Rules) -> list[Raised]:
    found = []
    for s in range(len(view.subjects) - 1):
        for line in np.flatnonzero(view.load[:, s] > 0):
            if not _is_new(w, view, s, int(line), rules):
                continue
            here = by_day.line == line
            load, most, reps = view.load[line, s], by_day.sets[here, s].max(), by_day.reps[here, s].max()
            if load >= rules.new_area_week or most >= rules.new_area_session or reps > rules.new_area_reps:
                usual = w.against.usual[line, s]
                found.append(Raised(int(line), "new_area", view.subjects[s], "review", say.new_area(view.names[s], load, usual, most, reps),
                                    {"load": load, "usual": usual, "session_sets": most, "session_repetitions": reps}, load / 10))
    return found


def _is_new(w: Weekly, view: LoadView, s: int, line: int, rules: Rules) -> bool:
    """Usual below 2 sets, or, before there is a usual, a mean below 2 so far; or a beginner's first four weeks."""
    if view.returns[s][line] is not None:
        return False
    if line < rules.new_area_log_weeks:
        return w.log.beginner
    usual = w.against.usual[line, s]
    before = view.load[max(0, line - rules.usual_weeks) : line, s]
    return usual < rules.new_area_usual if usual == usual else before.mean() < rules.new_area_usual
