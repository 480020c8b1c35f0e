"""What counts as a set: hard sets from effort, range, side and time; tonnage.

All functions take columns of one length n (one row per set or segment, in the order of the log) and give
arrays of length n. Nothing here reads a file or a store.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray

from dashboard.measures.numbering import is_first, numbered
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

    All (n,). range_done: full, lower_half, upper_half, part. long_end: lower, upper or none, from the catalogue.
    alone: False for a segment of a set of several ranges, which counts in full.
    """
    share = np.ones(np.shape(range_done))
    partly = (pd.Series(range_done) != "full").to_numpy() & np.asarray(alone, bool)
    done, end = (np.asarray(pd.Series(values)[partly], object) for values in (range_done, long_end))
    half = np.isin(done, ["lower_half", "upper_half"]) & np.isin(end, ["lower", "upper"])
    is_long = (done == np.where(end == "lower", "lower_half", "upper_half")) & half
    share[partly] = np.where(is_long, rules.range_long, np.where(half, rules.range_short, rules.range_unknown))
    return share


def side_share(side: ArrayLike, rules: Rules = RULES) -> Floats:
    """Share of a set in the total of both sides: left 10 and right 10 make one set, so each of them is half of one."""
    return np.where(pd.Series(side).isin(["left", "right"]), rules.one_side, 1.0)


def hold_share(series: ArrayLike, day: ArrayLike, hold_s: ArrayLike, in_reserve: ArrayLike, rules: Rules = RULES) -> Floats:
    """Share of a set that a hold counts; 1 where the row is no hold.

    series: one label per exercise and variant. day: whole days. A hold of at least 60 % of that series' best of the
    last 8 weeks (its own day included), or with RPE 6 or more, and of 3 s or more counts min(1, seconds/10).
    """
    hold_s, day = np.asarray(hold_s, float), np.asarray(day, float)
    share = np.ones(len(hold_s))
    held = np.flatnonzero(~np.isnan(hold_s))
    for own in pd.Series(held).groupby(np.asarray(series)[held], sort=False).indices.values():
        rows = held[own]
        ago = day[rows][:, None] - day[rows][None, :]
        within = (ago >= 0) & (ago <= 7 * rules.hold_best_weeks)
        best = np.where(within, hold_s[rows][None, :], -np.inf).max(axis=1)
        hard = (hold_s[rows] >= rules.hold_share_of_best * best) | (np.asarray(in_reserve, float)[rows] <= rules.rir_hard)
        long_enough = hard & (hold_s[rows] >= rules.hold_min_s)
        share[rows] = np.where(long_enough, np.minimum(1.0, hold_s[rows] / rules.hold_full_s), 0.0)
    return share


def efforts(frame: pd.DataFrame) -> NDArray[np.int64]:
    """The number of the continuous effort that each row belongs to, (n,).

    frame: date, exercise, side, set_no, round_no, segment_no, kind, in the order of the log. Within one day, exercise
    and side, in the order of the set numbers, a row goes on with the effort before it when it is a drop or a rest-pause,
    whatever its number; when it shares set and round number and has a higher segment number; or when it shares set and
    round number and both are of a cluster.
    """
    group = numbered(frame["date"], frame["exercise"], frame["side"])
    set_no, round_no, segment = (frame[name].to_numpy(float, na_value=np.nan) for name in ("set_no", "round_no", "segment_no"))
    # A drop without a number of its own stands behind the set that it follows.
    number = pd.Series(set_no).groupby(group).ffill().fillna(0).to_numpy()
    order = np.lexsort((number, np.nan_to_num(round_no), group))
    segment = np.nan_to_num(segment[order])
    in_cluster, follows = (frame["kind"].isin(kinds).to_numpy()[order] for kinds in (["cluster"], ["drop", "rest_pause"]))
    numbers = np.nan_to_num(np.stack([group, set_no, round_no])[:, order], nan=-1.0)
    same = numbers[0, 1:] == numbers[0, :-1]
    same_set = (numbers[:, 1:] == numbers[:, :-1]).all(axis=0)
    further = (segment[1:] > np.maximum(segment[:-1], 0)) & (segment[1:] > 1)
    cluster = in_cluster[1:] & in_cluster[:-1] & ~np.isnan(set_no[order][1:])
    goes_on = (same & follows[1:]) | (same_set & (further | cluster))
    label = np.empty(len(frame), int)
    label[order] = np.cumsum(np.r_[False, ~goes_on])
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
    hands = np.where(np.asarray(per_hand, bool) & (pd.Series(side) == "both").to_numpy(), 2.0, 1.0)
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
    rows_of = np.bincount(effort)
    hardest = np.full(len(rows_of), np.nan)
    np.fmin.at(hardest, effort, in_reserve)
    alone = rows_of[effort] == 1
    base = effort_share(hardest[effort], frame["kind"] == "warm_up", beginner, rules)
    held = frame["hold_s"].notna().to_numpy()
    holds = np.ones(len(frame))
    # A loaded hold is a variant of its own.
    of_holds = frame[["exercise", "modifiers", "load_kg", "day", "hold_s"]][held]
    series = numbered(of_holds["exercise"], of_holds["modifiers"].fillna(""), of_holds["load_kg"].fillna(0.0).round(2))
    holds[held] = hold_share(series, of_holds["day"], of_holds["hold_s"], in_reserve[held], rules)
    whole = base * range_share(frame["range"], frame["long_end"], alone, rules) * side_share(frame["side"], rules) * holds
    return np.where(is_first(effort), whole, 0.0)
