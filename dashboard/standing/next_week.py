"""What to change next week: hold by default, add where a part is short or stands still, trim after a jump."""

from __future__ import annotations

from functools import cache

import numpy as np
import pandas as pd

from dashboard.sentences import plan as say
from dashboard.sentences.numbers import number
from dashboard.standing.body import body, credits_of
from dashboard.standing.entry_flags import exercise_names
from dashboard.standing.load_flags import WHOLE, LoadView, usual_before
from dashboard.standing.strength import Strength
from dashboard.standing.weekly import Weekly, bands
from etl import tables
from etl.settings import RULES, Rules

LEVELS = ("beginner", "intermediate", "advanced")
MOST = 3
Change = tuple[str, tuple[str, str]]


def next_week(w: Weekly, view: LoadView, found: Strength, line: int, rules: Rules = RULES) -> list[Change]:
    """(subject, (action, reason)) of one complete week, the most pressing first."""
    ramp = _ramp(w, view, line, rules)
    changes = ramp or [*_jumps(w, view, line), *_short(w, line, rules), *_over(w, line, rules), *_stalled(w, found, line), *_ready(w, line)]
    unknown = w.log.sets[w.log.sets["exercise"].isna() & (w.log.sets["line"] == line)]
    if len(unknown):
        changes.append(("", say.data_note(len(unknown), list(dict.fromkeys(unknown["exercise_as_written"]))[:MOST])))
    if not changes:
        return [("", say.hold())]
    return [*changes, ("", say.keep_rest())]


def _ramp(w: Weekly, view: LoadView, line: int, rules: Rules) -> list[Change]:
    """The next step of a return of the whole body."""
    week = view.returns[-1][line]
    if week is None:
        return []
    usual = usual_before(w, len(view.subjects) - 1, week)
    long_gap = week.layoff.days() >= rules.return_long_days
    steps = rules.return_long_suggested if long_gap else rules.return_short_suggested
    share = steps[week.number] if week.number < len(steps) else 1.0
    return [(WHOLE, say.ramp(share, usual))] if usual > 0 else []


def _jumps(w: Weekly, view: LoadView, line: int) -> list[Change]:
    jumped = [s for s in np.flatnonzero(np.isin(view.marks[line], ["spike", "large_spike"]))]
    jumped.sort(key=lambda s: (view.subjects[s] != WHOLE, -w.against.ratio[line, s]))
    if jumped and view.subjects[jumped[0]] == WHOLE:
        jumped = jumped[:1]
    return [(view.subjects[s], say.after_jump(view.names[s], view.load[line, s], w.against.usual[line, s])) for s in jumped[:MOST]]


def _short(w: Weekly, line: int, rules: Rules) -> list[Change]:
    """Parts in focus below their band, the shortest first; not in a deload week, whose doses are low on purpose."""
    if w.deload[line]:
        return []
    low, _ = bands(w.log, rules)
    lacking = np.where(w.focus[line], low - w.parts.dose[line], 0.0)
    order = [int(p) for p in np.argsort(-lacking, kind="stable") if lacking[p] > 0][:MOST]
    parts = body().parts
    changes = []
    for p in order:
        add = rules.add_sets[0] if lacking[p] <= rules.add_sets[0] else rules.add_sets[1]
        exercise = exercise_names().get(filler(w, p, line), "an exercise for it")
        changes.append((parts["part_id"][p], say.add_sets(parts["coach_word"][p], lacking[p], add, exercise, w.parts.dose[line, p], low[p])))
    return changes


def filler(w: Weekly, part: int, line: int) -> str:
    """An exercise that trains the part directly: the athlete's own most used one, else one that what they use allows."""
    own = w.log.sets[(w.log.sets["line"] <= line) & (w.set_direct[:, part] > 0)]
    if len(own):
        return str(own["exercise"].mode().iloc[0])
    used = frozenset(w.log.sets.loc[w.log.sets["line"] <= line, "exercise"].dropna())
    return _from_catalogue(part, used, w.log.level)


@cache
def _from_catalogue(part: int, used: frozenset[str], level: str) -> str:
    """The most direct exercise for a part (fewest other direct heads) that needs no more than the used ones need."""
    table = tables.exercises()
    at_hand = {thing for text in table.loc[table["exercise_id"].isin(used), "equipment"] for option in tables.equipment_options(text) for thing in option}
    credit = credits_of([(e, "") for e in table["exercise_id"]])
    direct = credit.base[:, body().part_heads[part]].max(axis=1) >= 1
    fits = np.array([any(o <= at_hand | {"bodyweight"} for o in tables.equipment_options(text)) for text in table["equipment"]])
    able = (table["level"].map(LEVELS.index) <= LEVELS.index(level)).to_numpy()
    best = table.assign(heads=(credit.base >= 1).sum(axis=1))[direct & fits & able]
    return str(best.sort_values("heads", kind="stable")["exercise_id"].iloc[0]) if len(best) else ""


def _over(w: Weekly, line: int, rules: Rules) -> list[Change]:
    _, high = bands(w.log, rules)
    parts = body().parts
    # Indirect sets alone fill small parts beyond their band; only a part in focus, or its direct sets, can be trimmed.
    counts = w.focus[line] | (w.parts.direct[line] > high)
    over = [int(p) for p in np.argsort(high - w.parts.dose[line]) if w.parts.dose[line, p] > high[p] and counts[p]]
    return [(parts["part_id"][p], say.trim(parts["coach_word"][p], w.parts.dose[line, p], high[p])) for p in over[:MOST]]


def _stalled(w: Weekly, found: Strength, line: int) -> list[Change]:
    words = dict(zip(body().parts["part_id"], body().parts["coach_word"], strict=True))
    here = w.log.sets[w.log.sets["line"] == line]
    logged = bool(here["in_reserve"].notna().mean() >= 0.5) if len(here) else False
    if found.parts.empty:
        return []
    stalled = found.parts[(found.parts["line"] == line) & (found.parts["verdict"] == "plateau") & ~found.parts["held"]]
    return [(part, say.after_plateau(words[part], logged)) for part in stalled["part"][:MOST]]


def _ready(w: Weekly, line: int) -> list[Change]:
    """Exercises whose last two sessions reached the top of their range on all sets, at one load, with one or more in reserve."""
    sets = w.log.sets
    recent = sets[(sets["line"] <= line) & (sets["line"] > line - MOST) & (sets["kind"] == "work") & sets["exercise"].notna() & sets["hold_s"].isna()]
    last = recent[recent.groupby("exercise")["day"].rank(method="dense", ascending=False) <= 2]
    ok = (last["reps"] >= last["reps_high"]) & (last["in_reserve"] >= 1)
    by = last.assign(ok=ok, load=last["load_kg"].fillna(0)).groupby("exercise")
    done = by.agg(ok=("ok", "all"), loads=("load", "nunique"), days=("day", "nunique"), line=("line", "max"))
    ready = done.index[done["ok"] & (done["loads"] == 1) & (done["days"] == 2) & (done["line"] == line)][:MOST]
    return [(exercise, _step(exercise, last[last["exercise"] == exercise])) for exercise in ready]


def _step(exercise: str, last: pd.DataFrame) -> tuple[str, str]:
    """The next load, or the next step of the ladder, of an exercise that is ready for it."""
    name, top, reps = exercise_names()[exercise], int(last["reps_high"].iloc[0]), int(last["reps"].iloc[-1])
    load = float(last["load_kg"].fillna(0).iloc[-1])
    if load > 0:
        heavier = "the next load up, by 2 to 10 %; where the step at hand is larger, first more repetitions or a slower lowering"
        return say.next_load(name, f" at {number(load)} kg", reps, top, heavier)
    step = next_step(exercise)
    heavier = f"one set of the next step, {exercise_names()[step]}, the rest as now" if step else "add a little load, a pause or a slower lowering"
    return say.next_load(name, "", reps, top, heavier)


def next_step(exercise: str) -> str:
    """The exercise one step up the ladder, or ''."""
    table = tables.exercises().set_index("exercise_id")
    ladder, step = table.loc[exercise, ["ladder_id", "ladder_step"]]
    above = table[(table["ladder_id"] == ladder) & (table["ladder_step"] == step + 1)] if ladder else table.iloc[:0]
    return str(above.index[0]) if len(above) else ""
