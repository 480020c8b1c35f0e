"""Weekly sums: what was done, and the dose of every head, part and muscle with its range."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from dashboard.measures import balance, dose
from dashboard.measures.gaps import Layoff, layoffs, return_week
from dashboard.measures.load_change import Against, against_usual, deload_weeks
from dashboard.standing.body import Body, body, credits_of
from dashboard.standing.log import Log
from etl.settings import RULES, Rules


@dataclass(frozen=True)
class Doses:
    """Doses of one kind of thing (heads, parts or muscles), arrays (weeks, things)."""

    dose: np.ndarray
    low: np.ndarray
    high: np.ndarray
    direct: np.ndarray


@dataclass(frozen=True)
class Weekly:
    """All weekly sums of a log. whole (weeks,): hard sets, each counted once. against: parts, with the whole body last."""

    log: Log
    heads: Doses
    parts: Doses
    muscles: Doses
    whole: np.ndarray
    mean_rir: np.ndarray
    against: Against
    heads_against: Against
    deload: np.ndarray
    body_layoffs: list[Layoff]
    part_layoffs: list[list[Layoff]]
    part_days: list[np.ndarray]
    focus: np.ndarray
    set_parts: np.ndarray
    set_direct: np.ndarray
    set_heads: np.ndarray

    @property
    def body_days(self) -> np.ndarray:
        return np.unique(self.log.sets.loc[self.log.sets["hard"] > 0, "day"])


def weekly(log: Log, rules: Rules = RULES) -> Weekly:
    """Add up a log by ISO week."""
    b, credits = body(), credits_of(log.kinds)
    kind, line, hard = log.sets["kind_no"].to_numpy(), log.sets["line"].to_numpy(), log.sets["hard"].to_numpy()
    now, less, more = dose.counted(credits, rules), dose.one_tier(credits, -1, rules), dose.one_tier(credits, 1, rules)

    def doses(groups: list[list[int]]) -> Doses:
        parts = [dose.pooled(values, groups) for values in (now, less, more, dose.direct(credits).astype(float))]
        return Doses(*(dose.per_week(hard, kind, line, p, log.weeks) for p in parts))

    parts = doses(b.part_heads)
    whole = np.bincount(line, hard, log.weeks)
    mean_rir = _mean_by(line, log.sets["in_reserve"].to_numpy(), hard, log.weeks)
    set_parts = dose.pooled(now, b.part_heads)[kind] * hard[:, None]
    set_direct = dose.pooled(dose.direct(credits).astype(float), b.part_heads)[kind] * hard[:, None]
    day = log.sets["day"].to_numpy()
    end = int(log.mondays[-1] + 6)
    part_days = [np.unique(day[set_parts[:, p] > 0]) for p in range(len(b.part_heads))]
    loads = np.column_stack([parts.dose, whole])
    prior = np.r_[np.full(parts.dose.shape[1], rules.noise_prior_part), rules.noise_prior_body]
    heads = doses([[h] for h in range(len(b.heads))])
    body_gaps = layoffs(np.unique(day[hard > 0]), end, rules)
    deload = deload_weeks(whole, mean_rir, rules) & ~np.array([return_week(body_gaps, int(m), rules) is not None for m in log.mondays])
    deload[log.complete :] = False  # a running week has few sets so far, which says nothing
    return Weekly(
        log, heads, parts, doses(b.muscle_heads), whole, mean_rir, against_usual(loads, prior[None, :], rules),
        against_usual(heads.dose, rules.noise_prior_part, rules), deload, body_gaps,
        [layoffs(d, end, rules) for d in part_days], part_days, _focus(log, b, set_direct, rules), set_parts, set_direct,
        now[kind] * hard[:, None])


def _mean_by(line: np.ndarray, value: np.ndarray, weight: np.ndarray, lines: int) -> np.ndarray:
    known = ~np.isnan(value) & (weight > 0)
    count = np.bincount(line[known], minlength=lines)
    total = np.bincount(line[known], value[known], lines)
    return np.divide(total, count, out=np.full(lines, np.nan), where=count > 0)


def _focus(log: Log, b: Body, set_direct: np.ndarray, rules: Rules) -> np.ndarray:
    """Which parts are in focus in each week, (weeks, parts): those that were named, else the main parts of the
    regions with 4 or more hard sets a week over the last 8 weeks.
    """
    if log.focus_said:
        chosen = np.zeros(len(b.parts), bool)
        chosen[b.part_positions(list(log.focus_said))] = True
        return np.tile(chosen, (log.weeks, 1))
    region = b.parts["region"].to_numpy(object)
    main = (b.parts["size"] == "main").to_numpy()
    focus = np.zeros((log.weeks, len(b.parts)), bool)
    for name in dict.fromkeys(region):
        per_week = np.bincount(log.sets["line"], set_direct[:, region == name].max(axis=1), log.weeks)
        mean = pd.Series(per_week).rolling(rules.focus_weeks, min_periods=1).mean().to_numpy()
        focus[:, (region == name) & main] = (mean >= rules.focus_sets)[:, None]
    return focus


def bands(log: Log, rules: Rules = RULES) -> tuple[np.ndarray, np.ndarray]:
    """Low and high end of each part's band, hard sets a week, (parts,) each."""
    found = [balance.band(size, log.level, rules) for size in body().parts["size"]]
    return np.array([low for low, _ in found]), np.array([high for _, high in found])


def needs_direct(rules: Rules = RULES) -> np.ndarray:
    """The parts that count as covered with two direct sets only, (parts,)."""
    return body().parts["muscle"].isin(rules.direct_muscles).to_numpy()
