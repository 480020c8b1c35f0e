"""Changes of load: this week against what is usual, against one's own ups and downs, and against the recent most.

Loads are weekly hard sets, (weeks, subjects), oldest first, one column per part or the whole body. A week's numbers
use that week and earlier ones only. NaN: not enough history. The rules were chosen by simulation, no trial ties
weekly sets in lifting to injury; the numbers say what changed.
"""

from __future__ import annotations

import statistics
from dataclasses import dataclass
from math import isnan

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from dashboard.measures.medians import median, median_of
from etl.settings import RULES, Rules

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Against:
    """How each week stands, all (weeks, subjects): usual and extra in sets, ratio, z in personal SD, over_recent."""

    usual: Floats
    active_weeks: Floats
    ratio: Floats
    extra: Floats
    over_recent: Floats
    spread: Floats
    z: Floats


def against_usual(load: Floats, prior: float | Floats, rules: Rules = RULES) -> Against:
    """Compare each week with the weeks before it. prior: expected SD of ln(load), per subject or one for all.

    usual = median of the active weeks (at least 60 % of their own median, and above 0) of the last 8, at least 4.
    spread = max(0.10, sqrt((k sd² + 4 p²)/(k + 4))), sd = 1.4826 MAD of ln(load) over the k active weeks of the last 12.

    >>> past = [10, 12, 9, 11, 5, 10, 12, 10, 11, 10, 9, 11]
    >>> a = against_usual(np.array([*past, 15.0])[:, None], 0.25)
    >>> [round(float(x[-1, 0]), 4) for x in (a.usual, a.spread, a.ratio)], round(float(a.z[-1, 0]), 2)
    ([10.0, 0.1769, 1.5], 2.29)
    """
    usual, active = usual_load(load, rules)
    spread = _spread(_before(load, rules.noise_weeks), prior, rules)
    most = _most(_before(load, rules.recent_weeks))
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = load / usual
        return Against(usual, active, ratio, load - usual, load / most, spread, np.log(ratio) / spread)


def usual_load(load: Floats, rules: Rules = RULES) -> tuple[Floats, Floats]:
    """What is usual in each week, and of how many active weeks it is the median, both (weeks, subjects)."""
    ordered, trained, active = _in_order(_before(load, rules.usual_weeks), rules)
    return np.where(active >= rules.usual_min_weeks, median_of(ordered, trained - active, active), np.nan), active.astype(float)


def active_weeks(window: Floats, rules: Rules = RULES) -> NDArray[np.bool_]:
    """Weeks of a window (…, weeks) that count for what is usual: load at least 60 % of their own median, and above 0.

    Deloads and layoffs drop out without having to be marked.
    """
    trained = np.where(window > 0, window, np.nan)
    with np.errstate(invalid="ignore"):
        return (trained >= rules.active_share * median(trained)[..., None]) & (trained > 0)


def mark(a: Against, whole_body: bool, rules: Rules = RULES) -> NDArray[np.str_]:
    """'', step_up, spike or large_spike of each week and subject."""
    more = rules.spike_sets_body if whole_body else rules.spike_sets_part
    much_more = rules.spike_sets_body if whole_body else rules.large_sets_part
    a_little = 0.0 if whole_body else rules.step_sets_part
    with np.errstate(invalid="ignore"):
        new_high = a.over_recent >= rules.spike_over_recent
        beyond = new_high & (a.z >= rules.spike_z)
        large = beyond & (a.ratio >= rules.large_ratio) & (a.extra >= much_more)
        spike = beyond & (a.ratio >= rules.spike_ratio) & (a.extra >= more)
        step = new_high & (a.ratio >= rules.step_ratio) & (a.extra >= a_little)
    return np.where(large, "large_spike", np.where(spike, "spike", np.where(step, "step_up", "")))


def climbs(load: Floats, allowed: NDArray[np.bool_] | None = None, rules: Rules = RULES) -> tuple[NDArray[np.bool_], Floats, Floats]:
    """Where the mean of the last 4 active weeks is 1.4 times the 4 before and 3 sets more, once in 8 weeks.

    allowed: where a climb may be raised (None: everywhere); elsewhere it is not raised and does not count as raised.
    Returns (raised, mean of the last four, mean of the four before), each (weeks, subjects).
    """
    n = rules.climb_weeks
    window = _before(load, rules.noise_weeks, with_own=True)
    active = active_weeks(window, rules)
    enough = (active.sum(axis=-1) >= 2 * n) & active[..., -1]
    # The active weeks of a window moved to its end, in their order.
    last = np.take_along_axis(window, np.argsort(active, axis=-1, kind="stable"), -1)[..., -2 * n :]
    late = np.where(enough, last[..., n:].mean(axis=-1), np.nan)
    early = np.where(enough, last[..., :n].mean(axis=-1), np.nan)
    with np.errstate(invalid="ignore"):
        grown = enough & (late >= rules.climb_ratio * early) & (late - early >= rules.climb_sets)
    return _once(grown if allowed is None else grown & allowed, rules.climb_once_weeks), late, early


def of_late(load: Floats, values: Floats, week: NDArray[np.int64], subject: NDArray[np.int64], rules: Rules = RULES) -> Floats:
    """Mean of `values` in the weeks that the later mean of a climb is made of, the last 4 active ones, of each week and subject: (n,).

    load, values (weeks, subjects); week, subject (n,): where a climb was found.
    """
    window, value = (_before(x, rules.noise_weeks, with_own=True)[week, subject] for x in (load, values))
    last = np.argsort(active_weeks(window, rules), axis=-1, kind="stable")[:, -rules.climb_weeks :]
    return np.take_along_axis(value, last, -1).mean(axis=-1)


def _once(found: NDArray[np.bool_], weeks: int) -> NDArray[np.bool_]:
    """The first of each column, and each that lies `weeks` or more after the one that was taken before."""
    taken = np.zeros(found.shape, bool)
    for column in np.flatnonzero(found.any(axis=0)):
        last = -weeks
        for row in np.flatnonzero(found[:, column]):
            if row - last >= weeks:
                taken[row, column], last = True, row
    return taken


def deload_weeks(hard_sets: Floats, mean_rir: Floats, rules: Rules = RULES, marked: NDArray[np.bool_] | None = None) -> NDArray[np.bool_]:
    """Weeks of the whole log that were a deload, (weeks,): those that a person marked, and those with hard sets at most 60 %
    of the median of the 4 active weeks before, or mean RIR up by 2 or more; of these at most one week in three.

    After Rogerson et al. 2024, doi:10.1186/s40798-024-00691-y: fewer sets, higher RIR, about every sixth week.
    """
    found = np.zeros(len(hard_sets), bool) if marked is None else marked.copy()
    sets, rir, before = hard_sets.tolist(), mean_rir.tolist(), []
    for week, hard in enumerate(sets):
        if not found[week] and len(before) == 4 and hard > 0 and not found[max(0, week + 1 - rules.deload_one_in) : week].any():
            fewer = hard <= rules.deload_share * statistics.median(sets[i] for i in before)
            known = [rir[i] for i in before if not isnan(rir[i])]
            found[week] = fewer or bool(known) and rir[week] - statistics.median(known) >= rules.deload_rir_up
        if hard > 0 and not found[week]:
            before = [*before, week][-4:]
    return found


def largest_before(day: NDArray[np.int64], load: Floats, rules: Rules = RULES) -> Floats:
    """The largest session of the 30 days before each session, per subject; NaN where there is none.

    day (n,) whole days ascending, sessions of one day beside each other; load (n, subjects) hard sets of each session.
    """
    best = np.full(load.shape, -np.inf)
    for back in range(1, len(day)):
        ago = day[back:] - day[:-back]
        if (ago > rules.session_days).all():
            break
        within = (ago > 0) & (ago <= rules.session_days)
        best[back:] = np.maximum(best[back:], np.where(within[:, None], load[:-back], -np.inf))
    return np.where(np.isfinite(best), best, np.nan)


def _in_order(window: Floats, rules: Rules) -> tuple[Floats, NDArray[np.int64], NDArray[np.int64]]:
    """The loads above 0 of each window (…, weeks) in ascending order, NaN beyond; how many there are; and how many of them, which
    are the last, are of active weeks.
    """
    ordered = np.sort(np.where(window > 0, window, np.nan), axis=-1)
    trained = np.sum(~np.isnan(ordered), axis=-1)
    active = ordered >= rules.active_share * median_of(ordered, np.zeros_like(trained), trained)[..., None]
    return ordered, trained, active.sum(axis=-1)


def _before(load: Floats, weeks: int, with_own: bool = False) -> Floats:
    """The weeks before each week, or those that end with it, (weeks, subjects, `weeks`), NaN before the log began."""
    padded = np.concatenate([np.full((weeks, load.shape[1]), np.nan), load])
    windows = sliding_window_view(padded, weeks, axis=0)
    return windows[1:] if with_own else windows[:-1]


def _most(values: Floats) -> Floats:
    most = np.where(np.isnan(values), -np.inf, values).max(axis=-1)
    return np.where(np.isfinite(most), most, np.nan)


def _spread(window: Floats, prior: float | Floats, rules: Rules) -> Floats:
    ordered, trained, k = _in_order(window, rules)
    logs, first = np.log(ordered), trained - k
    deviation = np.abs(logs - median_of(logs, first, k)[..., None])
    deviation[np.arange(window.shape[-1]) < first[..., None]] = np.nan
    sd = np.nan_to_num(rules.mad_sd * median(deviation))
    n = rules.noise_prior_n
    return np.maximum(rules.noise_floor, np.sqrt((k * sd**2 + n * np.asarray(prior) ** 2) / (k + n)))
