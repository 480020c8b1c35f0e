"""Simulated athletes whose sides differ by a known amount, and how often the 80 % interval of `side_difference` holds it.

`python -m tests.side_series` prints the table, and the words that stand in dashboard/methods/balance.toml.

The generator is its own: a side's best of a day is its true one times a log-normal factor; how many repetitions a load allows is the
line of Lander (%1RM = 101.3 − 2.671 r; from memory), which no measure here uses; repetitions, seconds and loads are whole steps.
"""

from __future__ import annotations

from itertools import product
from types import SimpleNamespace

import numpy as np
import pandas as pd

from dashboard.standing.balance_flags import sides
from dashboard.standing.side_values import MEASURES

DRAWS, DRAWS_BESIDE, SEED = 1000, 400, 20261128
BESIDE = {"shared": {"shared": True}, "noisy": {"noise": 1.4}}
DIFFERENCES, SESSIONS = (0.0, 10.0, 25.0), (1, 3, 8)
# One SD of a best of a day, %, and the part of it that both sides share where a day is good or bad for both.
NOISE, SHARED = {"e1rm": 3.5, "hold": 8.0, "load": 3.5, "reps": 8.0}, {"e1rm": 2.0, "hold": 4.6, "load": 2.0, "reps": 4.6}
CASES = tuple(product(MEASURES, DIFFERENCES, SESSIONS))
MONDAY = 20458  # 5 January 2026, whole days since 1970


def log_of(measure: str, difference_pct: float, sessions: int, rng: np.random.Generator, noise: float = 1.0, shared: bool = False,
           draws: int = DRAWS) -> pd.DataFrame:
    """Sets of `draws` exercises with one set of each side a session, in as many of eight weeks, the last in the eighth.

    The left side is difference_pct weaker. noise: times NOISE. shared: whether a part of it is the day's, of both sides.
    """
    week = np.arange(8 - sessions, 8) if sessions > 3 else np.array([7, 4, 1][:sessions][::-1])
    draw, day = (a.ravel() for a in np.meshgrid(np.arange(draws), MONDAY + 7 * week, indexing="ij"))
    both = SHARED[measure] if shared else 0.0
    own = np.sqrt(NOISE[measure] ** 2 - both**2)
    today = both * rng.standard_normal(len(draw))
    size, share = rng.uniform(0.7, 1.4, draws)[draw], rng.uniform(0.74, 0.84, draws)[draw]
    one_side = [_sets(measure, size * usual * np.exp(noise * (today + own * rng.standard_normal(len(draw))) / 100), size * usual, share)
                for usual in (1 - difference_pct / 100, 1.0)]
    table = pd.concat([done.assign(side=side, exercise=[f"draw {d:04}" for d in draw], day=day, day_no=day) for done, side in zip(one_side, ("left", "right"), strict=True)],
                      ignore_index=True)
    plain = {"athlete": "Ida", "time": None, "session": "", "set_no": 1, "round_no": np.nan, "kind": "work", "segment_no": np.nan, "range": "full", "planned": False,
             "strength_estimate": "no" if measure == "load" else "yes", "load_estimated": False, "banded": False, "modifiers": "", "rpe": np.nan, "rir": 0.0,
             "mode": "hold" if measure == "hold" else "reps"}
    return table.assign(**plain, date=table["day"], system_kg=table["load_kg"])


def _sets(measure: str, best: np.ndarray, usual: np.ndarray, share: np.ndarray) -> pd.DataFrame:
    """What is logged of a side: its best of the day and its usual one, of 1 for the middle athlete's stronger side, and the
    share of its maximum that is lifted.
    """
    none = np.full(len(best), np.nan)
    if measure == "hold":
        return pd.DataFrame({"load_kg": none, "reps": none, "hold_s": np.round(60 * best)})
    if measure == "reps":
        return pd.DataFrame({"load_kg": none, "reps": np.round(32 * best), "hold_s": none}).fillna({"load_kg": 8.0})
    if measure == "load":
        return pd.DataFrame({"load_kg": np.round(2 * 20 * best) / 2, "reps": none, "hold_s": none}).assign(reps=20.0)
    load = np.round(2 * share * 40 * usual) / 2
    return pd.DataFrame({"load_kg": load, "reps": np.maximum(1, np.round((101.3 - 100 * load / (40 * best)) / 2.671)), "hold_s": none})


def holds(measure: str, difference_pct: float, sessions: int, seed: int = SEED, draws: int = DRAWS, **given) -> float:
    """The share of draws, %, whose interval holds the true difference."""
    rng = np.random.default_rng([seed, MEASURES.index(measure), int(difference_pct), sessions])
    table = looks(log_of(measure, difference_pct, sessions, rng, draws=draws, **given))
    assert len(table) == draws
    return 100 * float(np.mean((table["difference_low_pct"] <= difference_pct) & (table["difference_high_pct"] >= difference_pct)))


def covers() -> dict[tuple[str, float, int], float]:
    """The share of each case, %."""
    return {case: holds(*case) for case in CASES}


def covers_beside() -> dict[str, list[float]]:
    """The shares where days are good and bad for both sides, and where the noise is not as expected."""
    return {name: [holds(*case, draws=DRAWS_BESIDE, **given) for case in CASES] for name, given in BESIDE.items()}


def looks(sets: pd.DataFrame, weeks: tuple[int, ...] = (7,), equation: str = "lower_of_two") -> pd.DataFrame:
    """What is kept of a table of sets at the end of some weeks."""
    log = SimpleNamespace(sets=sets, mondays=MONDAY + 7 * np.array(weeks), equation=equation)
    return sides(SimpleNamespace(log=log))


def said(share: dict[tuple[str, float, int], float], beside: dict[str, list[float]]) -> str:
    """What it covers, in the words of the methods page."""
    words = {"e1rm": "estimated maxima", "hold": "holds", "load": "loads at equal repetitions", "reps": "repetitions"}
    each = [f"{words[name]} {_span([s for (measure, *_), s in share.items() if measure == name])}" for name in MEASURES]
    return (f"In simulated logs with a true difference of 0, 10 and 25 % and 1, 3 and 8 sessions ({DRAWS} draws a case) the interval held the truth in: "
            f"{'; '.join(each)}. Where a good or bad day is one of both sides, {_span(beside['shared'])}; where bests scatter 1.4 times as "
            f"much as expected, {_span(beside['noisy'])}.")


def _span(shares: list[float]) -> str:
    return f"{round(min(shares))} to {round(max(shares))} %"


def main() -> None:
    share = covers()
    for (measure, difference, sessions), value in share.items():
        print(f"{measure:5} {difference:4.0f} % {sessions} sessions: {value:.1f} %")
    print(said(share, covers_beside()))


if __name__ == "__main__":
    main()
