"""Which sets carry an estimate of strength, from how many repetitions, and how noisy the estimate is."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike

from dashboard.measures.numbering import is_first, numbered
from etl.settings import RULES, Rules

SET_KEY = ["athlete", "date", "time", "session", "exercise", "set_no", "round_no", "side"]
FIRST_SEGMENT_KINDS = ("drop", "rest_pause")


class Effort(NamedTuple):
    """Repetitions that were possible, and whether the log says how many were left."""

    reps: np.ndarray
    logged: np.ndarray


def effective_reps(reps: ArrayLike, rir: ArrayLike, rpe: ArrayLike, rules: Rules = RULES) -> Effort:
    """Repetitions + repetitions in reserve (RIR), per set, and whether effort was logged.

    RIR = 10 − RPE for RPE 6-10 (Zourdos et al. 2016, doi:10.1519/JSC.0000000000001049); a logged RIR wins.
    Below RPE 6 the scale names no number of repetitions: nan, with effort logged. Nothing logged: the
    repetitions as done, which is a lower bound. All of one shape; so are both results.

    >>> effective_reps([5, 5, 5, 5], [2, np.nan, np.nan, np.nan], [10, 8.5, np.nan, 5])
    Effort(reps=array([7. , 6.5, 5. , nan]), logged=array([ True,  True, False,  True]))
    """
    done, left, felt = (np.asarray(x, dtype=float) for x in (reps, rir, rpe))
    from_rpe = np.where(felt >= rules.rpe_hard, rules.rpe_max - felt, np.nan)
    in_reserve = np.where(np.isnan(left), from_rpe, left)
    logged = ~np.isnan(left) | ~np.isnan(felt)
    return Effort(np.where(logged, done + in_reserve, done), logged)


def noise_pct(reps: ArrayLike, effort_logged: ArrayLike, rules: Rules = RULES) -> np.ndarray:
    """Repeatability of one e1RM within one athlete: one standard deviation, % of its value.

    reps: repetitions + RIR. 3.5 % to 8, 4 % to 10, 5.5 % to 12, 9 % to 15, one point more without logged
    effort; nan above. It is not the accuracy of the absolute value, which is about 4.5 % at 90 % of maximum
    and 8 % at 70 %. Base after Grgic et al. 2020, doi:10.1186/s40798-020-00260-z, and Mitter et al. 2022,
    doi:10.1371/journal.pone.0268074; its growth with the repetitions is decided here.

    >>> noise_pct([1, 8, 9, 12, 15, 16, 5], [True] * 6 + [False])
    array([3.5, 3.5, 4. , 5.5, 9. , nan, 4.5])
    """
    r = np.asarray(reps, dtype=float)
    limits, values = (np.array(x, dtype=float) for x in zip(*rules.noise_pct, strict=True))
    steps = np.append(values, np.nan)
    base = np.where(np.isnan(r), np.nan, steps[np.searchsorted(limits, r)])
    return base + np.where(np.asarray(effort_logged, dtype=bool), 0.0, rules.noise_no_effort_extra)


def eligible(sets: pd.DataFrame, strength_estimate: ArrayLike = True, rules: Rules = RULES) -> np.ndarray:
    """What each row of a set log says of a maximum: 'near', 'far', 'beyond' or 'none'.

    Full range, one load, no rest within the set, RIR ≤ 3; near with up to 10 repetitions + RIR, far with up to 15, which speaks
    for a session that has none nearer, more is beyond any estimate. Of drop and rest-pause sets the first segment; nothing from clusters, warm-ups, holds, plans or any other
    set of several segments. strength_estimate: False for exercises that give none (a band's help, lowering
    only, swings). One text per row, in the rows' order.
    """
    effort = effective_reps(sets["reps"], sets["rir"], sets["rpe"], rules)
    reserve = effort.reps - sets["reps"].to_numpy(dtype=float)
    usable = (
        _one_straight_effort(sets)
        & (sets["range"] == "full").to_numpy(dtype=bool)
        & sets["hold_s"].isna().to_numpy()
        & ~sets["planned"].eq(True).to_numpy(dtype=bool)
        & np.asarray(strength_estimate, dtype=bool)
        & (reserve <= rules.rir_max_estimate)
        & (sets["reps"].to_numpy(dtype=float) >= 1)
    )
    within = [usable & (effort.reps <= most) for most in (rules.reps_near_max, rules.reps_estimate_max, np.inf)]
    return np.select(within, ["near", "far", "beyond"], default="none")


def outdone(load_kg: ArrayLike, session: ArrayLike, more: ArrayLike) -> np.ndarray:
    """Which sets of at most 10 possible repetitions say less than was possible that day, (n,): at their load or more the same
    session had a set of more than 10. What they give is a lower bound.

    A later, more tired set stands in for a first one that did better, so that more repetitions can draw a lower point. To leave
    such sessions out, or to take the better set, was worse in simulation.
    load_kg (n,): load moved; session (n,): number of each row's session, from 0; more (n,): whether a row is a usable set of
    more than 10, which is itself never outdone.

    >>> outdone([10, 10, 12, 10], [0, 0, 0, 1], [True, False, False, False]).tolist()
    [False, True, False, False]
    """
    load, session, more = np.asarray(load_kg, dtype=float), np.asarray(session, dtype=int), np.asarray(more, dtype=bool)
    heaviest = np.full(session.max(initial=-1) + 1, -np.inf)
    np.fmax.at(heaviest, session[more], load[more])
    return ~more & (load <= heaviest[session])


def _one_straight_effort(sets: pd.DataFrame) -> np.ndarray:
    """True for a work set of one segment, and for the first segment of a drop or rest-pause set."""
    segment = sets["segment_no"].fillna(1)
    segments = segment
    if (segment > 1).any():
        segments = segment.groupby(numbered(*(sets[name] for name in SET_KEY))).transform("max")
    whole = (sets["kind"] == "work") & (segments <= 1)
    first = sets["kind"].isin(FIRST_SEGMENT_KINDS) & (segment <= 1)
    return (whole | first).to_numpy(dtype=bool)


def repetition_band(series: ArrayLike, reps: ArrayLike, rules: Rules = RULES) -> np.ndarray:
    """0 where 1-5 repetitions are trained, 1 where more are, (n,): a trend gives each band its own level.

    series (n,): number of the series of each session, one series after another, each in order of time; reps (n,): done in its
    best set. The middle of a session's repetitions and those of the two before it counts: up to 5 is the lower band, above 6
    the upper, and between them the band stays. One session alone would be put into a band by how good its day was, and levels
    of good and bad days tilt the line where a range changes (decided here by simulation). The first session of a series
    chooses for itself and for the second.

    >>> repetition_band([0] * 8, [5, 6, 4, 5, 10, 9, 9, 10]).tolist()
    [0, 0, 0, 0, 0, 1, 1, 1]
    """
    series, reps = np.asarray(series), np.asarray(reps, dtype=float)
    if not len(reps):
        return np.zeros(0, int)
    begins = is_first(series)
    middle = np.where(begins, reps, pd.Series(reps).groupby(series, sort=False).rolling(rules.reps_band_sessions).median().to_numpy())
    told = (middle <= rules.reps_low_band_max) | (middle > rules.reps_band_keeps) | begins
    band = np.where(middle > rules.reps_low_band_max, 1, 0)
    return band[np.maximum.accumulate(np.where(told, np.arange(len(band)), 0))]


def worthwhile_pct(measure: ArrayLike, last: ArrayLike, level: ArrayLike, rules: Rules = RULES) -> np.ndarray:
    """Smallest worthwhile gain of each series, % a week, (n,) (decided here).

    Of an estimated maximum the level's; of a hold as many times that as the noise of a hold is larger; of repetitions at a
    fixed load one in four weeks. measure: e1rm, per_kg, hold or reps; last: what was done last, in the measure's unit; level.

    >>> worthwhile_pct(["e1rm", "hold", "reps"], [100, 40, 20], ["beginner", "intermediate", "advanced"]).round(4)
    array([0.5   , 0.5714, 1.2198])
    """
    measure, last, level = (np.asarray(x) for x in (measure, last, level))
    of_level = np.array([rules.worthwhile_pct[one] for one in level.tolist()], float)
    return np.select([measure == "reps", measure == "hold"], [worthwhile_reps_pct(last, rules), of_level * rules.noise_hold_pct / rules.noise_pct[0][1]], of_level)


def worthwhile_reps_pct(reps: ArrayLike, rules: Rules = RULES) -> np.ndarray:
    """Smallest worthwhile gain of a series of repetitions at a fixed load, % a week.

    One repetition in four weeks (decided here): 100 ln((r + 1)/r)/4.

    >>> worthwhile_reps_pct([10, 20]).round(4)
    array([2.3828, 1.2198])
    """
    r = np.asarray(reps, dtype=float)
    return 100 * np.log((r + rules.reps_series_gain) / r) / rules.reps_series_weeks
