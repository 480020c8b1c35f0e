"""One verdict per part and week, pooled over the exercises whose prime mover it is."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from dashboard.measures.numbering import numbered
from dashboard.measures.pooled import Pooled
from dashboard.measures.readiness import shared_readiness
from dashboard.measures.trend import judge, pool
from dashboard.measures.verdict import TOO_LITTLE
from dashboard.sentences.strength import part_reasons
from dashboard.standing.body import part_ids
from dashboard.standing.entry_flags import exercise_names
from dashboard.standing.series import DAYS, AllSeries, Looks
from dashboard.standing.weekly import Weekly
from dashboard.standing.when import When, read_since
from etl.settings import RULES, Rules

MOSTLY = 0.9  # [D] share of the weight (1/SE²) from which one exercise is named beside the number of them
TINY = np.finfo(float).tiny
Part = tuple[int, int]  # places of the log and of the part
Pools = dict[Part, list[int]]  # log and part -> its series


def part_rows(all_weeks: Sequence[Weekly], series: AllSeries, looks: Looks, measure: str, pools: Pools, told: dict[Part, np.ndarray],
              parts: dict[Part, When], first: Sequence[int], current: dict[int, np.ndarray] | None = None, rules: Rules = RULES) -> pd.DataFrame:
    """One row per week and part that is told in this measure: estimates, or repetitions (and seconds).

    looks: at all series of the pools, with the weights of their days; told: by part the looks at it that are told, (weeks,); parts:
    when each is looked at; first: the line of the earliest look of each log; current: by series the looks at which it pools,
    (weeks,), where not at all.
    """
    if not pools:
        return pd.DataFrame()
    # A part's looks stand in the same lines as those of its series: one group a line.
    lines = [all_weeks[owner].log.weeks - first[owner] for owner, _ in pools]
    start = np.cumsum([0, *lines])
    place = {number: i for i, number in enumerate(looks.numbers)}
    member = np.concatenate([looks.start[place[n]] + np.arange(count) for numbers, count in zip(pools.values(), lines, strict=True) for n in numbers])
    group = np.concatenate([begin + np.arange(count) for numbers, begin, count in zip(pools.values(), start[:-1], lines, strict=True) for _ in numbers])
    if current is not None:
        pooling = np.concatenate([current[n][len(current[n]) - count :] for numbers, count in zip(pools.values(), lines, strict=True) for n in numbers])
        member, group = member[pooling], group[pooling]
    owner = np.repeat([o for o, _ in pools], lines)
    line = np.concatenate([np.arange(count) for count in lines])
    levels = np.array([w.log.level for w in all_weeks], object)[owner]
    worth = _worthwhile(series, looks, member, group, levels)
    is_told = np.concatenate([told[part][first[part[0]] :] for part in pools])
    found = _pooled(series, looks, member, group, owner, line, levels, is_told, measure, worth, rules)
    ends = np.concatenate([all_weeks[owner].log.mondays[first[owner] :] + 6 for owner, _ in pools])
    since = np.concatenate([parts[o, p].restart[first[o] :] for o, p in pools])
    return _rows(measure, pools, told, parts, start, first, found, worth, _mostly(series, looks, member, group, pools, lines),
                 read_since(since, ends, levels, rules), rules)


def _worthwhile(series: AllSeries, looks: Looks, member: np.ndarray, group: np.ndarray, levels: np.ndarray) -> np.ndarray:
    """Smallest worthwhile gain of each look at a part, % a week: the mean over the series that say something of a slope."""
    asked, says = looks.asked, np.isfinite(looks.fits.slope_se[member])
    says |= (np.bincount(group, says, len(levels)) == 0)[group]
    own = series.worthwhile(asked.series[member], np.round(DAYS * asked.end[member]), levels[group])
    return np.bincount(group, own * says, len(levels)) / np.maximum(np.bincount(group, says, len(levels)), 1)


def _pooled(series: AllSeries, looks: Looks, member: np.ndarray, group: np.ndarray, owner: np.ndarray, line: np.ndarray, levels: np.ndarray,
            is_told: np.ndarray, measure: str, worth: np.ndarray, rules: Rules) -> Pooled:
    """The looks at all parts: of one exercise over its own window, of several since the latest bend that says enough."""
    several = np.bincount(group, minlength=len(owner)) > 1
    least = np.array([rules.pool_se_pct[level] for level in levels]) if measure == "estimates" else rules.pool_se_worths * worth
    target = np.where(several, least, -np.inf)
    shared = np.where(several, _shared(looks, member[is_told[group]], group[is_told[group]], owner, line, rules), 0.0)
    source = np.array(numbered(*zip(*(name[:2] for name in series.names), strict=True)))[looks.asked.series[member]]
    return pool(series.stack, looks.asked, looks.needed, looks.found, member, group, source, shared, looks.fits, target, rules)


def _shared(looks: Looks, member: np.ndarray, group: np.ndarray, owner: np.ndarray, line: np.ndarray, rules: Rules) -> np.ndarray:
    """How far the exercises of each look's athlete share their good and bad days, (G,). member, group: of the parts that are told at their look: one that
    is told later only must say nothing of the weeks before.
    """
    moments, moment = np.unique(owner * (int(line.max()) + 1) + line, return_inverse=True)
    # A series counts once a look, though several parts may pool it.
    once, at = np.unique(member, return_index=True)
    found = shared_readiness(looks.found.residuals[once], looks.found.there[once], moment[group[at]], len(moments), rules)
    return found[moment]


def _mostly(series: AllSeries, looks: Looks, member: np.ndarray, group: np.ndarray, pools: Pools, lines: Sequence[int]) -> np.ndarray:
    """The name of the exercise that has nearly all the weight in what is said of a part that has others, at each look; '' where there is none."""
    says = np.isfinite(looks.fits.slope_se[member])
    exercises, code = np.unique([name.exercise for name in series.names], return_inverse=True)
    weight, at, own = 1 / looks.fits.slope_se[member[says]] ** 2, group[says], code[looks.asked.series[member[says]]]
    groups = int(sum(lines))
    of_exercise = np.bincount(at * len(exercises) + own, weight, groups * len(exercises)).reshape(groups, -1)
    most = of_exercise.argmax(axis=1)
    share = of_exercise[np.arange(groups), most] / np.maximum(of_exercise.sum(axis=1), TINY)
    several = np.repeat([len({series.names[n].exercise for n in numbers}) > 1 for numbers in pools.values()], lines)
    names = exercise_names()
    return np.where(several & (share >= MOSTLY), np.array([names.get(one, one) for one in exercises], object)[most], "")


def _rows(measure: str, pools: Pools, told: dict[Part, np.ndarray], parts: dict[Part, When], start: np.ndarray, first: Sequence[int],
          found: Pooled, worth: np.ndarray, mostly: np.ndarray, since: np.ndarray, rules: Rules) -> pd.DataFrame:
    judged = judge(found.slope, found.slope_se, found.enough.astype(bool), worth, np.isin(np.arange(len(worth)), start[:-1]), rules)
    looked = {"slope": found.slope, "se": found.slope_se, "scale": found.scale, **judged._asdict()}
    silent = judged.verdict == TOO_LITTLE
    looked = {name: np.where(silent, np.nan, values) if values.dtype.kind == "f" else values for name, values in looked.items()}
    looked |= {"sessions": found.sessions, "span_weeks": found.last - found.first, "exercises": found.exercises, "window_weeks": found.weeks, "worth": worth,
               "mostly": mostly, "read_since": since}
    ids, owner, part, line, held, at = part_ids(), [], [], [], [], []
    for (o, p), begin in zip(pools, start[:-1], strict=True):
        when = parts[o, p]
        own = when.lines[told[o, p][np.maximum(when.look[when.lines], 0)]]
        at.append(begin + np.maximum(when.look[own], first[o]) - first[o])
        owner += [o] * len(own)
        part += [ids[p]] * len(own)
        line.append(own)
        held.append(when.held[own])
    at = np.concatenate(at)
    return pd.DataFrame({name: values[at] for name, values in looked.items()}).assign(
        owner=owner, part=part, line=np.concatenate(line), held=np.concatenate(held), measure=measure)


def told_parts(estimates: pd.DataFrame, repetitions: pd.DataFrame, levels: np.ndarray, rules: Rules = RULES) -> pd.DataFrame:
    """One row per log, part and week, with its reason: in repetitions where these have enough for a verdict, else in estimates.

    Both are tables of `part_rows`, repetitions of the weeks that may be told in them; levels: of each log.
    """
    found = [table for table in (estimates, repetitions) if len(table)]
    if not found:
        return pd.DataFrame()
    table, key = pd.concat(found, ignore_index=True), ["owner", "part", "line"]
    if len(found) > 1:
        rank = np.select([table["measure"] == "estimates", table["verdict"] == TOO_LITTLE], [1, 2], 0)
        table = table.iloc[np.lexsort((rank, *(table[name] for name in reversed(key))))].drop_duplicates(key).reset_index(drop=True)
    return table.assign(reason=part_reasons(table, levels[table["owner"]], rules))
