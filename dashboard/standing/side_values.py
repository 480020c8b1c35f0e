"""What each session showed of each side: the two values, what they are, and how far two such bests are expected to scatter.

Measures: e1rm (estimated maximum, kg), hold (longest hold at one load and variant, s), load (kg at equal repetitions), reps (most
repetitions at one load and variant, with those in reserve).
"""

from __future__ import annotations

import numpy as np
import pandas as pd

from dashboard.measures.eligibility import effective_reps, eligible, noise_pct
from dashboard.measures.numbering import is_first, numbered
from dashboard.measures.one_rep_max import e1rm
from etl.settings import RULES, Rules

# In the order in which a session's own is chosen.
MEASURES = ("e1rm", "hold", "load", "reps")
UNITS = {"e1rm": "kg", "hold": "s", "load": "kg", "reps": "reps"}
Pairs = tuple[np.ndarray, np.ndarray]


def side_values(one: pd.DataFrame, equation: str, rules: Rules = RULES) -> pd.DataFrame:
    """One row per session day, exercise and measure that both sides have, by exercise, measure and day.

    one: work sets of one side. measure: its place among MEASURES. noise_pct: one SD of 100 ln(right/left), %; step_pct: how much one
    repetition or second more is, %. own: whether it is the session's own measure, the first that it has. Equal repetitions at
    equal loads are of repetitions: loads are not what was tried, and to leave them out of repetitions would leave out the
    sessions without a difference.
    """
    right, session = (one["side"] == "right").to_numpy(bool), numbered(one["exercise"], one["day"])
    value, noise, step, use = _sets(one, equation, rules)
    rows = [np.flatnonzero(use[name] & (value[name] > 0)) for name in MEASURES]
    reps = one["reps"].to_numpy(float)
    tops = np.array(_both(rows[MEASURES.index("load")], session, right, value["load"], reps))
    pairs = [_both(rows[0], session, right, value["e1rm"]), _alike(rows[1], one, session, right, value["hold"]), tops[:, reps[tops[0]] == reps[tops[1]]],
             _alike(rows[3], one, session, right, value["reps"])]
    found = [(left, np.full(len(left), place), value[name][left], value[name][other], np.hypot(noise[name][left], noise[name][other]),
              (step[name][left] + step[name][other]) / 2)
             for place, (name, (left, other)) in enumerate(zip(MEASURES, pairs, strict=True))]
    at, place, left, other, apart, steps = (np.concatenate(column) for column in zip(*found, strict=True))
    table = pd.DataFrame({
        "exercise": one["exercise"].to_numpy(object)[at], "day": one["day"].to_numpy(int)[at], "measure": place, "left_value": left, "right_value": other,
        "noise_pct": apart, "step_pct": steps, "own": _own(session[at], place, left == other)})
    by_name = pd.factorize(table["exercise"], sort=True)[0]
    return table.iloc[np.lexsort((table["day"], place, by_name))].reset_index(drop=True)


def _sets(one: pd.DataFrame, equation: str, rules: Rules) -> tuple[dict[str, np.ndarray], ...]:
    """By measure: each set's value, its noise in %, its step in %, and whether it may be used."""
    effort, reps = effective_reps(one["reps"], one["rir"], one["rpe"], rules), one["reps"].to_numpy(float)
    system, held, few = one["system_kg"].to_numpy(float), one["hold_s"].to_numpy(float), np.ones(len(one))
    # An object's guessed load is good for repetitions at one load, not for loads against each other.
    known = ~one["load_estimated"].eq(True).to_numpy(bool)
    hard_enough = ~(effort.reps - reps > rules.rir_max_estimate)
    value = {"e1rm": e1rm(system, effort.reps, equation, rules), "hold": held, "load": system, "reps": effort.reps}
    # At equal repetitions no equation enters: the scatter is that of few, however many they are.
    noise = {"e1rm": noise_pct(effort.reps, effort.logged, rules), "hold": rules.noise_hold_pct * few, "load": noise_pct(few, effort.logged, rules),
             "reps": rules.noise_reps_pct * few}
    below = np.minimum(effort.reps, rules.reps_estimate_max - 1)  # above there is no estimate to compare with
    by_reps = 100 * np.log(e1rm(few, below + 1, equation, rules) / e1rm(few, below, equation, rules))
    with np.errstate(divide="ignore"):
        step = {"e1rm": by_reps, "hold": 100 * np.log1p(1 / held), "load": 100 / (30 + reps), "reps": 100 * np.log1p(1 / effort.reps)}
    use = {"e1rm": known & np.isin(eligible(one, (one["strength_estimate"] == "yes").to_numpy(), rules), ("near", "far")), "hold": (one["mode"] == "hold").to_numpy(bool),
           "load": known & (reps >= 1), "reps": (one["range"] == "full").to_numpy(bool) & np.isnan(held) & hard_enough & (effort.reps >= 1)}
    return value, noise, step, use


def _own(session: np.ndarray, place: np.ndarray, same: np.ndarray) -> np.ndarray:
    """Whether each row's measure is its session's own."""
    if not len(session):
        return np.zeros(0, bool)
    first = np.full(session.max() + 1, len(MEASURES))
    np.minimum.at(first, session, place)
    load, reps = MEASURES.index("load"), MEASURES.index("reps")
    even = np.intersect1d(session[(place == load) & (first[session] == load) & same], session[place == reps])
    first[even] = reps
    return place == first[session]


def _alike(rows: np.ndarray, one: pd.DataFrame, session: np.ndarray, right: np.ndarray, value: np.ndarray) -> Pairs:
    """The best of both sides at one load and variant: the heaviest that both did, then that in which the weaker side did most."""
    if not len(rows):
        return rows, rows
    load = one["load_kg"].fillna(0.0).round(2).to_numpy(float)
    left, other = _both(rows, numbered(session, load, one["modifiers"].astype(object).fillna(""), one["banded"]), right, value)
    order = np.lexsort((np.minimum(value[left], value[other]), load[left], session[left]))
    last = is_first(session[left][order][::-1])[::-1]
    return left[order][last], other[order][last]


def _both(rows: np.ndarray, group: np.ndarray, right: np.ndarray, *by: np.ndarray) -> Pairs:
    """The left and the right set that are highest by `by`, of each group that has both. rows: the sets that are looked at."""
    ordered = rows[np.lexsort((*(one[rows] for one in reversed(by)), right[rows], group[rows]))]
    side = 2 * group[ordered] + right[ordered]
    best = ordered[is_first(side[::-1])[::-1]]
    pair = np.flatnonzero(group[best][1:] == group[best][:-1])
    return best[pair], best[pair + 1]
