"""What counts as a set: hard sets from effort, range, side and time; tonnage.

All functions take columns of one length n (one row per set or segment, in the order of the log) and give
arrays of length n. Nothing here reads a file or a store.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray

from etl.settings import RULES, Rules

Floats = NDArray[np.float64]


def reserve(rir: ArrayLike, rpe: ArrayLike) -> Floats:
    """Repetitions in reserve of each set; NaN where no effort was logged.

    RIR = 10 - RPE for RPE 6 to 10 (Zourdos et al. 2016, doi:10.1519/JSC.0000000000001049); an RPE below 6 is read as
    five in reserve, that is "easy". A logged RIR wins over an RPE that says something else.

    >>> reserve([2.0, np.nan, np.nan], [6.0, 9.5, np.nan]).tolist()
    [2.0, 0.5, nan]
    """
    rir, rpe = np.asarray(rir, float), np.asarray(rpe, float)
    from_rpe = np.where(rpe >= 6, 10 - rpe, np.where(np.isnan(rpe), np.nan, 5.0))
    return np.where(np.isnan(rir), from_rpe, rir)


def effort_share(in_reserve: ArrayLike, warm_up: ArrayLike, beginner: ArrayLike, rules: Rules = RULES) -> Floats:
    """Base of a hard set, 0 to 1: a warm-up 0; up to four in reserve, or nothing logged, 1; easier 0.5 (beginner 1).

    beginner: one value for all, or one a row.
    """
    in_reserve = np.asarray(in_reserve, float)
    easy = np.where(beginner, 1.0, rules.easy_set)
    base = np.where(np.isnan(in_reserve) | (in_reserve <= rules.rir_hard), 1.0, easy)
    return np.where(np.asarray(warm_up, bool), 0.0, base)


def range_share(range_done: ArrayLike, long_end: ArrayLike, alone: ArrayLike, rules: Rules = RULES) -> Floats:
    """Share of a set that was done over part of its range: the half where the muscle is long 1, short 0.5, unknown 0.75.

    range_done: full, lower_half, upper_half, part. long_end: lower, upper or none, from the catalogue.
    alone: False for a segment of a set of several ranges, which counts in full.
    """
    done, end = np.asarray(range_done, object), np.asarray(long_end, object)
    half = np.isin(done, ["lower_half", "upper_half"]) & np.isin(end, ["lower", "upper"])
    is_long = (done == np.where(end == "lower", "lower_half", "upper_half")) & half
    share = np.where(is_long, rules.range_long, np.where(half, rules.range_short, rules.range_unknown))
    return np.where((done == "full") | ~np.asarray(alone, bool), 1.0, share)


def side_share(side: ArrayLike, rules: Rules = RULES) -> Floats:
    """Share of a set in the total of both sides: left 10 and right 10 make one set, so each of them is half of one."""
    return np.where(np.isin(np.asarray(side, object), ["left", "right"]), rules.one_side, 1.0)


def hold_share(series: ArrayLike, day: ArrayLike, hold_s: ArrayLike, in_reserve: ArrayLike, rules: Rules = RULES) -> Floats:
    """Share of a set that a hold counts; 1 where the row is no hold.

    series: one label per exercise and variant. day: whole days. A hold of at least 60 % of that series' best of the
    last 8 weeks (its own day included), or with RPE 6 or more, and of 3 s or more counts min(1, seconds/10).
    """
    hold_s, day = np.asarray(hold_s, float), np.asarray(day, float)
    share = np.ones(len(hold_s))
    for label in pd.unique(np.asarray(series, object)[~np.isnan(hold_s)]):
        rows = np.flatnonzero((np.asarray(series, object) == label) & ~np.isnan(hold_s))
        ago = day[rows][:, None] - day[rows][None, :]
        within = (ago >= 0) & (ago <= 7 * rules.hold_best_weeks)
        best = np.where(within, hold_s[rows][None, :], -np.inf).max(axis=1)
        hard = (hold_s[rows] >= rules.hold_share_of_best * best) | (np.asarray(in_reserve, float)[rows] <= rules.rir_hard)
        long_enough = hard & (hold_s[rows] >= rules.hold_min_s)
        share[rows] = np.where(long_enough, np.minimum(1.0, hold_s[rows] / rules.hold_full_s), 0.0)
    return share


def first_of_effort(effort: ArrayLike) -> NDArray[np.bool_]:
    """True on the first row of each effort: a set of several segments, drops or rest-pauses counts once."""
    return ~pd.Series(np.asarray(effort)).duplicated().to_numpy()


def efforts(frame: pd.DataFrame) -> NDArray[np.int64]:
    """The number of the continuous effort that each row belongs to, (n,).

    frame: date, exercise, side, set_no, round_no, segment_no, kind, in the order of the log. Within one day, exercise
    and side, in the order of the set numbers, a row goes on with the effort before it when it is a drop or a rest-pause,
    whatever its number; when it shares set and round number and has a higher segment number; or when it shares set and
    round number and both are of a cluster.
    """
    by = [frame["date"], frame["exercise"], frame["side"]]
    # A drop without a number of its own stands behind the set that it follows.
    number = frame["set_no"].groupby(by, dropna=False).ffill().fillna(0).to_numpy()
    group = frame.groupby(["date", "exercise", "side"], dropna=False, sort=False).ngroup().to_numpy()
    order = np.lexsort((np.arange(len(frame)), number, frame["round_no"].fillna(0), group))
    rows = frame.iloc[order]
    kind, segment = rows["kind"].to_numpy(object), rows["segment_no"].fillna(0).to_numpy(float)
    numbered = rows[["set_no", "round_no"]].fillna(-1.0).to_numpy(float)
    same = np.r_[False, (group[order][1:] == group[order][:-1])]
    same_set = same & np.r_[False, (numbered[1:] == numbered[:-1]).all(axis=1)]
    further = np.r_[False, segment[1:] > np.maximum(segment[:-1], 0)] & (segment > 1)
    cluster = (kind == "cluster") & np.r_[False, kind[:-1] == "cluster"] & rows["set_no"].notna().to_numpy()
    goes_on = (same & np.isin(kind, ["drop", "rest_pause"])) | (same_set & (further | cluster))
    label = np.empty(len(frame), int)
    label[order] = np.cumsum(~goes_on)
    return label


def system_load_kg(load_kg: ArrayLike, by_body: ArrayLike, share: ArrayLike, body_mass_kg: ArrayLike, hands: ArrayLike = 1.0) -> Floats:
    """The load that was moved, kg: as written, or share of body mass x body mass + added (assistance negative), floor 0.

    hands: 2 where the load is written for one hand of a pair that is carried along, as in a lunge with dumbbells.

    NaN where body mass counts and is not known, or where no load was written on an exercise with an external load.

    >>> system_load_kg([20, -30], [True, True], [1.0, 1.0], [80, 80]).tolist()
    [100.0, 50.0]
    """
    load = np.asarray(load_kg, float)
    on_body = np.asarray(share, float) * np.asarray(body_mass_kg, float) + np.asarray(hands, float) * np.nan_to_num(load)
    return np.where(np.asarray(by_body, bool), np.maximum(on_body, 0.0), load)


def tonnage_kg(reps: ArrayLike, system_kg: ArrayLike, per_hand: ArrayLike, side: ArrayLike) -> Floats:
    """Repetitions x load, kg, both hands of a pair of dumbbells; NaN where either is missing (holds have none)."""
    hands = np.where(np.asarray(per_hand, bool) & (np.asarray(side, object) == "both"), 2.0, 1.0)
    return np.asarray(reps, float) * np.asarray(system_kg, float) * hands


def body_mass_on(days: ArrayLike, logged_days: ArrayLike, logged_kg: ArrayLike, rules: Rules = RULES) -> Floats:
    """Body mass, kg, on each day: the nearest earlier value within 90 days, else the nearest later, else NaN.

    days (n,), logged_days (m,) in whole days; logged_kg (m,).
    """
    days = np.asarray(days, float)
    order = np.argsort(np.asarray(logged_days, float), kind="stable")
    at, kg = np.asarray(logged_days, float)[order], np.asarray(logged_kg, float)[order]
    if not len(at):
        return np.full(len(days), np.nan)
    before = np.searchsorted(at, days, side="right") - 1
    early = (before >= 0) & (days - at[np.maximum(before, 0)] <= rules.body_mass_days)
    after = np.minimum(before + 1, len(at) - 1)
    late = (at[after] >= days) & (at[after] - days <= rules.body_mass_days)
    return np.where(early, kg[np.maximum(before, 0)], np.where(late, kg[after], np.nan))


def hard_sets(frame: pd.DataFrame, beginner: ArrayLike, rules: Rules = RULES) -> Floats:
    """Hard sets of each row, 0 to 1: effort x range x side, holds by their seconds, an effort of several rows once.

    frame: date, day, exercise, modifiers, side, range, kind, set_no, round_no, segment_no, load_kg, hold_s, rir, rpe,
    long_end.
    """
    in_reserve = reserve(frame["rir"], frame["rpe"])
    effort = efforts(frame)
    # The hardest segment says how hard the effort was.
    hardest = pd.Series(in_reserve).groupby(effort).transform("min").to_numpy()
    alone = pd.Series(effort).groupby(effort).transform("size").to_numpy() == 1
    base = effort_share(hardest, frame["kind"] == "warm_up", beginner, rules)
    # A loaded hold is a variant of its own.
    load = frame["load_kg"].fillna(0.0).round(2).astype("str")
    series = frame["exercise"].astype(object).where(frame["exercise"].notna(), "").astype(str) + "|" + frame["modifiers"].fillna("") + "|" + load
    holds = hold_share(series.to_numpy(), frame["day"], frame["hold_s"], in_reserve, rules)
    whole = base * range_share(frame["range"], frame["long_end"], alone, rules) * side_share(frame["side"], rules) * holds
    return np.where(first_of_effort(effort), whole, 0.0)
