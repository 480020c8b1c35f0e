"""What to change next week: hold by default, add where a part is short or stands still, trim after a jump."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from functools import cache
from typing import NamedTuple

import numpy as np
import pandas as pd

from dashboard.measures import dose
from dashboard.measures.in_hand import next_up
from dashboard.sentences import plan as say
from dashboard.sentences.load import JUMPS
from dashboard.sentences.numbers import number
from dashboard.standing import easy_weeks
from dashboard.standing.body import base_credits, body, prime_parts
from dashboard.standing.entry_flags import exercise_names
from dashboard.standing.hurting import pain_by_line
from dashboard.standing.load_flags import WHOLE, LoadView, usual_before
from dashboard.standing.raised import Raised
from dashboard.standing.strength import Strength
from dashboard.standing.weekly import Weekly, bands
from etl import tables
from etl.settings import RULES, Rules

LEVELS = ("beginner", "intermediate", "advanced")
MOST = 3
LATELY = 4  # [D] weeks in which what was done counts as done now
Change = tuple[str, tuple[str, str]]


class Planner:
    """What each week of a log suggests for the week after; what does not depend on the week is prepared once."""

    def __init__(self, w: Weekly, view: LoadView, found: Strength, raised: Sequence[Raised], rules: Rules = RULES) -> None:
        self.w, self.view, self.rules = w, view, rules
        self.own, self.undirected = OwnExercises(w), _undirected(w)
        self.ready = _ready_by_line(w)
        self.stalled = _stalled_by_line(found)
        self.pain, self.held = pain_by_line(w, rules)
        self.unknown = _unknown_by_line(w)
        self.low, self.high = bands(w.log, rules)
        self.effort_logged = _effort_logged(w)
        self.risen = {r.line for r in raised if r.subject == WHOLE and r.kind in JUMPS}

    def changes(self, line: int) -> list[Change]:
        """(subject, (action, reason)) of one week, the most pressing first; at most `next_most` of them, and what is said beside them."""
        w, pain = self.w, self.pain.get(line, [])
        if due := easy_weeks.due_next(w, line, self.rules):
            return self._told(line, [*due, *pain])
        if not w.whole[line]:
            return [*pain, *(easy_weeks.after(w, line) or [("", say.no_training())])]
        if ramp := _ramp(w, self.view, line, self.rules):
            return self._told(line, [*pain, *ramp])
        if waits := easy_weeks.not_taken(w, line):
            return self._told(line, [*waits, *pain])
        if back := easy_weeks.after(w, line):
            return self._told(line, [*pain, *back])
        jumps = _jumps(w, self.view, line)
        if any(subject == WHOLE for subject, _ in jumps):
            return self._told(line, [*pain, *jumps])
        if line in self.risen:
            return self._told(line, [*pain, (WHOLE, say.after_rise(float(w.whole[line]), float(w.against.usual[line, -1])))])
        return self._part_by_part(line, pain, jumps)

    def _part_by_part(self, line: int, pain: list[Change], jumps: list[Change]) -> list[Change]:
        """Where nothing is to be said of the whole body. Each part has one line, the most pressing one, and nothing is added to what hurts or jumped."""
        w, rules, (ids, _) = self.w, self.rules, _part_words()
        hurting = {subject for subject, _ in pain}
        spared = _parts_of(hurting) | hurting & set(ids)
        jumped = {subject for subject, _ in jumps}
        short, more_short = _short(w, self.own, self.undirected, line, spared | jumped, hurting, self.low, rules)
        over = [one for one in _over(w, self.own, line, self.high) if one[0] not in jumped]
        named = spared | jumped | {subject for subject, _ in [*short, *over]}
        stalled = _stalled({p: mostly for p, mostly in self.stalled.get(line, {}).items() if p not in named}, self.effort_logged[line])
        lately = self.own.lately(line)
        ready = [r for r in self.ready.get(line, []) if r.exercise not in hurting and not _parts_of({r.exercise}) & (spared | jumped)
                 and (r.load > 0 or not _higher_steps(r.exercise) & lately)][:MOST]
        steps = [(r.exercise, _step(r.exercise, r, w.log.loads, rules)) for r in ready]
        if line in self.unknown:  # a set that nobody has named yet may be what a part lacks
            short, more_short = [], 0
        if line in self.held:
            short, more_short, steps = [], 0, []
        return self._told(line, [*pain, *jumps, *short, *over, *stalled, *steps], short, more_short)

    def _told(self, line: int, changes: list[Change], short: Collection[Change] = (), more_short: int = 0) -> list[Change]:
        """The first changes, before them a word on sets that wait for a decision and, but after one of the whole body, on all that stays as it is."""
        waiting = self.unknown.get(line)
        most = self.rules.next_most - (waiting is not None)
        told, left = changes[:most], changes[most:]
        if waiting is not None:
            told = [("", say.data_note(len(waiting), list(dict.fromkeys(waiting))[:MOST])), *told]
        if not told:
            return [("", say.hold(bool(self.w.focus[line].any())))]
        if any(subject == WHOLE for subject, _ in changes):
            return told
        short_left = sum(one in short for one in left)
        return [*told, ("", say.keep_rest(more_short + short_left, len(left) - short_left))]


class OwnExercises:
    """Which exercises an athlete has used up to each week, and how often: counts (weeks, exercises), cumulated."""

    def __init__(self, w: Weekly) -> None:
        code, names = pd.factorize(w.log.sets["exercise"])
        known = code >= 0
        self.names = np.asarray(names, object)
        counts = np.zeros((w.log.weeks, len(names)), int)
        np.add.at(counts, (w.log.sets["line"].to_numpy()[known], code[known]), 1)
        self.counts = counts.cumsum(axis=0)
        base = base_credits(self.names)
        self.direct = dose.pooled(base, body().part_heads) >= 1

    def lately(self, line: int) -> set[str]:
        """The exercises of the last `LATELY` weeks up to that one."""
        before = self.counts[line - LATELY] if line >= LATELY else 0
        return set(self.names[self.counts[line] > before])

    def trainers(self, part: int, line: int) -> list[str]:
        """The exercises of a week that train the part directly, the most used first."""
        used = np.where(self.direct[:, part], self.counts[line] - (self.counts[line - 1] if line else 0), 0)
        return [str(self.names[n]) for n in np.argsort(-used, kind="stable") if used[n]]

    def filler(self, part: int, line: int, level: str, hurting: Collection[str] = ()) -> str:
        """An exercise that trains the part directly: the athlete's own most used one, else one that what they use allows; none that hurts."""
        used = np.where(np.isin(self.names, list(hurting)), 0, self.counts[line])
        score = np.where(self.direct[:, part], used, 0)
        if score.max(initial=0):
            return str(self.names[score.argmax()])
        return _from_catalogue(part, frozenset(self.names[used > 0]), level, frozenset(hurting))


def _unknown_by_line(w: Weekly) -> dict[int, list[str]]:
    """Week line -> the exercise, as written, of each set that waits for a decision."""
    sets = w.log.sets
    rows = np.flatnonzero(sets["exercise"].isna() & ~sets["none_of_these"])
    if not len(rows):
        return {}
    waiting = sets[["line", "exercise_as_written"]].iloc[rows]
    return {int(line): list(names) for line, names in waiting.groupby("line")["exercise_as_written"]}


@cache
def _part_words() -> tuple[list[str], list[str]]:
    """Id and coach's word of each part."""
    parts = body().parts
    return parts["part_id"].tolist(), parts["coach_word"].tolist()


def _parts_of(exercises: set[str]) -> set[str]:
    """The parts that any of the exercises trains directly."""
    ids, _ = _part_words()
    return {ids[p] for exercise in exercises for p in prime_parts(exercise)}


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
    return [(view.subjects[s], say.after_jump(view.names[s], view.load[line, s], w.against.usual[line, s], view.low[line, s], view.high[line, s]))
            for s in jumped[:MOST]]


def _short(w: Weekly, own: OwnExercises, undirected: np.ndarray, line: int, spared: set[str], hurting: set[str], low: np.ndarray, rules: Rules) -> tuple[list[Change], int]:
    """Parts in focus below their band, and how many more there are: those with direct sets lately before those that the log trains by the way alone, of
    each the shortest first. undirected: (weeks, parts), `_undirected`. spared: parts that are asked for nothing; hurting: exercises that fill none.
    """
    asked = w.focus[line].copy()
    asked[body().part_positions(sorted(spared))] = False
    lacking = np.where(asked, low - w.parts.dose[line], 0.0)
    trained = int(np.count_nonzero(w.whole[: line + 1]))
    # What a log never trains directly stays short week after week: it would hide what went short now.
    by_the_way = undirected[line] >= max(say.UNDIRECTED, min(trained, say.UNDIRECTED_MOST))
    order = [int(p) for p in np.lexsort((-lacking, by_the_way)) if lacking[p] > 0]
    ids, words = _part_words()
    changes = []
    for p in order[:MOST]:
        add = rules.add_sets[0] if lacking[p] <= rules.add_sets[0] else rules.add_sets[1]
        exercise = exercise_names().get(own.filler(p, line, w.log.level, hurting), "")
        changes.append((ids[p], say.add_sets(words[p], lacking[p], add, exercise, w.parts.dose[line, p], low[p], w.parts.low[line, p], w.parts.high[line, p],
                                                int(undirected[line, p]))))
    return changes, len(order) - len(changes)


def _undirected(w: Weekly) -> np.ndarray:
    """(weeks, parts): weeks with training, up to each, since a set trained the part directly; since the log's begin where none did."""
    trained = np.cumsum(w.whole > 0)[:, None]
    return trained - np.maximum.accumulate(np.where(w.parts.direct > 0, trained, 0), axis=0)


@tables.per_catalogue
def _from_catalogue(part: int, used: frozenset[str], level: str, hurting: frozenset[str]) -> str:
    """The most direct exercise for a part (fewest other direct heads) that needs no more than the used ones need."""
    table = tables.exercises()
    at_hand = _at_hand([tables.equipment_options(text) for text in table.loc[table["exercise_id"].isin(used), "equipment"]])
    base = base_credits(table["exercise_id"])
    direct = base[:, body().part_heads[part]].max(axis=1) >= 1
    direct &= ~table["exercise_id"].isin(hurting).to_numpy()
    fits = np.array([any(o <= at_hand | {"bodyweight"} for o in tables.equipment_options(text)) for text in table["equipment"]])
    above = (table["level"].map(LEVELS.index) - LEVELS.index(level)).to_numpy()
    order = table.assign(heads=(base >= 1).sum(axis=1))
    # What is at hand comes first, if need be of the next level; where nothing of it serves, any exercise of the level, then any at all.
    for which in (direct & fits & (above <= 0), direct & fits & (above <= 1), direct & (above <= 0), direct):
        if which.any():
            return str(order[which].sort_values("heads", kind="stable")["exercise_id"].iloc[0])
    return ""


def _at_hand(used: list[list[frozenset[str]]]) -> set[str]:
    """What is surely there to train with: what every way of doing an exercise needs, and all that one may need of which no way is sure. used: the ways
    to do each exercise of the log.

    >>> sorted(_at_hand([[frozenset({"dumbbells"})], [frozenset({"machine"}), frozenset({"dumbbells"})], [frozenset({"barbell"}), frozenset({"cable"})]]))
    ['barbell', 'cable', 'dumbbells']
    """
    sure = {"bodyweight"}.union(*(frozenset.intersection(*ways) for ways in used))
    return (sure | {thing for ways in used if not any(way <= sure for way in ways) for way in ways for thing in way}) - {"bodyweight"}


def _over(w: Weekly, own: OwnExercises, line: int, high: np.ndarray) -> list[Change]:
    ids, words = _part_words()
    # Indirect sets alone fill small parts beyond their band; only a part in focus, or its direct sets, can be trimmed.
    counts = w.focus[line] | (w.parts.direct[line] > high)
    over = [int(p) for p in np.argsort(high - w.parts.dose[line]) if w.parts.dose[line, p] > high[p] and counts[p]]
    return [(ids[p], say.trim(words[p], w.parts.dose[line, p], high[p], w.parts.low[line, p], w.parts.high[line, p], w.parts.direct[line, p],
                              [exercise_names().get(one, one) for one in own.trainers(p, line)])) for p in over[:MOST]]


def _stalled_by_line(found: Strength) -> dict[int, dict[str, str]]:
    """Week line -> the parts whose strength shows a plateau, and the exercise that nearly alone tells it, where there are others, else ''."""
    if found.parts.empty:
        return {}
    stalled = found.parts[(found.parts["verdict"] == "plateau") & ~found.parts["held"]]
    return {int(line): dict(zip(rows["part"], rows["mostly"], strict=True)) for line, rows in stalled.groupby("line")}


def _stalled(parts: dict[str, str], effort_logged: float) -> list[Change]:
    """parts: see `_stalled_by_line`."""
    words = dict(zip(*_part_words(), strict=True))
    return [(part, say.after_plateau(words[part], bool(effort_logged >= 0.5), mostly)) for part, mostly in list(parts.items())[:MOST]]


def _effort_logged(w: Weekly) -> np.ndarray:
    """Share of each week's sets whose effort is logged, (weeks,); NaN without a set."""
    line, known = w.log.sets["line"].to_numpy(), w.log.sets["in_reserve"].notna().to_numpy()
    count = np.bincount(line, minlength=w.log.weeks)
    return np.divide(np.bincount(line, known, w.log.weeks), count, out=np.full(w.log.weeks, np.nan), where=count > 0)


class Ready(NamedTuple):
    """An exercise that is ready for the next load: its range's top, repetitions of its last set, load (kg)."""

    exercise: str
    top: float
    reps: float
    load: float


def _ready_by_line(w: Weekly) -> dict[int, list[Ready]]:
    """Week line -> exercises whose last two sessions reached the top of their range on all sets, at one load, with one or
    more in reserve, and lie within three weeks.
    """
    sets = w.log.sets
    used = ((sets["kind"] == "work") & sets["exercise"].notna() & sets["hold_s"].isna()).to_numpy()
    if not used.any():
        return {}
    code, names = pd.factorize(sets["exercise"].to_numpy(object)[used], sort=True)
    day, line, reps, top = (sets[name].to_numpy(float)[used] for name in ("day", "line", "reps", "reps_high"))
    load, ok = sets["load_kg"].fillna(0).to_numpy(float)[used], (reps >= top) & (sets["in_reserve"].to_numpy(float)[used] >= 1)
    order = np.lexsort((day, code))
    code, day, line, reps, top, load, ok = (values[order] for values in (code, day, line, reps, top, load, ok))
    begin = np.flatnonzero(np.r_[True, (np.diff(code) != 0) | (np.diff(day) != 0)])
    last = np.r_[begin[1:], len(code)] - 1
    ok, low, high = np.logical_and.reduceat(ok, begin), np.minimum.reduceat(load, begin), np.maximum.reduceat(load, begin)
    code, line = code[begin], line[begin]
    again = np.r_[False, (code[1:] == code[:-1]) & (line[1:] - line[:-1] < MOST)]
    twice = again & ok & np.r_[False, ok[:-1]]
    one_load = (low == high) & np.r_[False, (low[:-1] == high[1:]) & (high[:-1] == high[1:])]
    last_of_week = np.r_[(code[1:] != code[:-1]) | (line[1:] != line[:-1]), True]
    found: dict[int, list[Ready]] = {}
    for i in np.flatnonzero(twice & one_load & last_of_week):
        found.setdefault(int(line[i]), []).append(Ready(str(names[code[i]]), top[begin[i]], reps[last[i]], high[i]))
    return found


def _step(exercise: str, ready: Ready, loads: tuple[float, ...], rules: Rules) -> tuple[str, str]:
    """The next load, or the next step of the ladder, of an exercise that is ready for it. loads: in the house, kg in one hand, rising; () for any."""
    name, top, reps, load = exercise_names()[exercise], int(ready.top), int(ready.reps), float(ready.load)
    if load > 0:
        least, most = rules.load_step_pct
        heavier = say.heavier_of_any(least, most)
        if loads and exercise in tables.held_in_hands():
            heavier = say.heavier_in_the_house(load, next_up(load, loads), most)
        return say.next_load(name, f" at {number(load)} kg", reps, top, heavier)
    step = next_step(exercise)
    return say.next_load(name, "", reps, top, say.next_of_ladder(exercise_names()[step]) if step else say.HARDER)


@tables.per_catalogue(maxsize=None)
def _higher_steps(exercise: str) -> frozenset[str]:
    """The exercises that stand above this one on its ladder: who does one of them is past its next step."""
    known = tables.by_id()[["ladder_id", "ladder_step"]]
    own = known.loc[exercise]
    if not own["ladder_id"]:
        return frozenset()
    return frozenset(known.index[(known["ladder_id"] == own["ladder_id"]) & (known["ladder_step"] > own["ladder_step"])])


def next_step(exercise: str) -> str:
    """The exercise that is entered from this one, the lowest step where the ladder branches; '' for none."""
    return tables.steps_above().get(exercise, "")
