"""Changes of load: this week against what is usual, against one's own ups and downs, and against the recent most.

Loads are weekly hard sets, (weeks, subjects), oldest first, one column per part or the whole body. A week's numbers
use that week and earlier ones only. NaN: not enough history. The rules were chosen by simulation, no trial ties
weekly sets in lifting to injury; the numbers say what changed.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

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
    recent = _before(load, rules.usual_weeks)
    active = active_weeks(recent, rules)
    count = active.sum(axis=-1)
    usual = np.where(count >= rules.usual_min_weeks, median(np.where(active, recent, np.nan)), np.nan)
    spread = _spread(_before(load, rules.noise_weeks), prior, rules)
    most = _most(_before(load, rules.recent_weeks))
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = load / usual
        return Against(usual, count.astype(float), ratio, load - usual, load / most, spread, np.log(ratio) / spread)


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
    before: list[int] = []
    for week in range(len(hard_sets)):
        if not found[week] and len(before) == 4 and hard_sets[week] > 0 and not found[max(0, week + 1 - rules.deload_one_in) : week].any():
            fewer = hard_sets[week] <= rules.deload_share * np.median(hard_sets[before])
            known = ~np.isnan(mean_rir[before])
            easier = known.any() and mean_rir[week] - np.median(mean_rir[before][known]) >= rules.deload_rir_up
            found[week] = fewer or bool(easier)
        if hard_sets[week] > 0 and not found[week]:
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


def median(values: Floats) -> Floats:
    """The median along the last axis of what is known; NaN where nothing is."""
    counted = np.sum(~np.isnan(values), axis=-1)
    ordered = np.sort(values, axis=-1)  # NaN go last
    low = np.take_along_axis(ordered, np.maximum((counted - 1) // 2, 0)[..., None], -1)[..., 0]
    high = np.take_along_axis(ordered, np.minimum(counted // 2, values.shape[-1] - 1)[..., None], -1)[..., 0]
    return np.where(counted > 0, (low + high) / 2, np.nan)


def _before(load: Floats, weeks: int, with_own: bool = False) -> Floats:
    """The weeks before each week, or those that end with it, (weeks, subjects, `weeks`), NaN before the log began."""
    padded = np.concatenate([np.full((weeks, load.shape[1]), np.nan), load])
    windows = sliding_window_view(padded, weeks, axis=0)
    return windows[1:] if with_own else windows[:-1]


def _most(values: Floats) -> Floats:
    most = np.where(np.isnan(values), -np.inf, values).max(axis=-1)
    return np.where(np.isfinite(most), most, np.nan)


def _spread(window: Floats, prior: float | Floats, rules: Rules) -> Floats:
    active = active_weeks(window, rules)
    k = active.sum(axis=-1)
    with np.errstate(divide="ignore", invalid="ignore"):
        logs = np.log(np.where(active, window, np.nan))
    deviation = np.abs(logs - median(logs)[..., None])
    sd = np.nan_to_num(rules.mad_sd * median(deviation))
    n = rules.noise_prior_n
    return np.maximum(rules.noise_floor, np.sqrt((k * sd**2 + n * np.asarray(prior) ** 2) / (k + n)))
