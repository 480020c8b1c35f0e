"""Figures of one population: false calls, stops found, how true the intervals are, how noisy the estimates are."""

from __future__ import annotations

from pathlib import Path as File

import numpy as np

from tests.calibration.counting import CALLS, WEEKS_A_YEAR, Figure, fewer, found_by, ratio, starts
from tests.calibration.kept_verdicts import Verdicts, bests, no_new_best
from tests.calibration.paths import Path
from tests.calibration.population import Result
from tests.calibration.program import ask


def false_calls(v: Verdicts, weeks: np.ndarray, words: tuple[str, ...] = CALLS) -> Figure:
    """Runs of `words` that begin in `weeks` (a mask), a year of those weeks with data enough."""
    use = v.given & weeks
    return ratio((starts(v.verdict, words) & use).sum(axis=1), use.sum(axis=1), v.athlete, WEEKS_A_YEAR)


def found(v: Verdicts, stop: int, after: int) -> Figure:
    """Share (%) of stops that were found within `after` weeks."""
    hits = found_by(v.verdict, stop, after)[:, -1]
    return ratio(hits, np.ones(len(hits)), v.athlete, 100.0)


def found_curve(v: Verdicts, stop: int, most: int) -> list[Figure]:
    hits = found_by(v.verdict, stop, most)
    return [ratio(hits[:, k], np.ones(len(hits)), v.athlete, 100.0) for k in range(most + 1)]


def weeks_to_half(v: Verdicts, stop: int, most: int) -> float:
    """The first week after the stop by which half were found; NaN where it was not half."""
    share = found_by(v.verdict, stop, most).mean(axis=0)
    return float(np.argmax(share >= 0.5)) if share[-1] >= 0.5 else np.nan


def coverage(v: Verdicts, truth: np.ndarray) -> Figure:
    """Share (%) of looks whose 80 % interval of the rate holds the true one. truth: (series, weeks) or (weeks,), NaN where the
    path is not straight."""
    use = v.given & np.isfinite(truth)
    holds = use & (v.low <= truth) & (truth <= v.high)
    return ratio(holds.sum(axis=1), use.sum(axis=1), v.athlete, 100.0)


def present_covered(store: File, path: Path) -> Figure:
    """Share (%) of weeks with a verdict whose 80 % interval of the value now holds the true one.

    The truth is the path, up to a constant: what the estimates of a series are off by in all, which no log tells. The value of a
    week is that of its last session's day.
    """
    points = bests(store)
    points["off"] = 100 * np.log(points["value"]) - path.level(points["date"] / 7)
    series = ["athlete", "exercise"]
    points["off"] = points.groupby(series)["off"].transform("mean")
    weeks = ask(store, "select athlete, exercise, week, value_low, value_high, fit_to as date from kept_strength where measure = 'e1rm' and verdict <> 'too_little_data'")
    found = weeks.merge(points[[*series, "date", "off"]], on=[*series, "date"])
    truth = found["off"] + path.level(found["date"] / 7)
    holds = (100 * np.log(found["value_low"]) <= truth) & (truth <= 100 * np.log(found["value_high"]))
    return ratio(holds, np.ones(len(found)), found["athlete"].to_numpy(), 100.0)


def onset_named(store: File, stop: int, case_id: str, of_parts: bool = False) -> Result:
    """Share (%) of plateaus of a log's last weeks whose weeks of onset, as named, hold the true one: the week that begins at
    `stop` or the one that ends there. The note says how many are dated, and how many weeks are named in the middle.
    """
    rows = ask(store, f"select athlete, week, state, low, high from kept_onsets where verdict = 'plateau' and measure {'=' if of_parts else '<>'} ''")
    dated = rows[rows["state"] == "dated"]
    low, high = dated["low"].to_numpy(), dated["high"].to_numpy()
    holds = (low <= stop) & (high >= stop - 1)
    # Athletes without a dated plateau are of the population too.
    others = ask(store, "select distinct athlete from kept_weeks")["athlete"].to_numpy()
    none, athlete = np.zeros(len(others)), np.concatenate([dated["athlete"].to_numpy(), others])
    figure = ratio(np.concatenate([holds, none]), np.concatenate([np.ones(len(dated)), none]), athlete, 100.0)
    return Result(case_id, figure, note=f"{100 * len(dated) / max(len(rows), 1):.0f} % of plateaus are dated, in the middle within {np.median(high - low + 1):.0f} weeks")


def verdict_shares(v: Verdicts, weeks: np.ndarray) -> dict[str, Figure]:
    use = v.given & weeks
    return {word: ratio((use & (v.verdict == word)).sum(axis=1), use.sum(axis=1), v.athlete, 100.0)
            for word in ("progressing", "plateau", "declining", "undecided")}


def against_no_new_best(store: File, v: Verdicts, weeks: np.ndarray) -> tuple[Figure, Figure, Figure]:
    """(per cent fewer false calls; that rule's a year; its a year where it must hold at two looks running).

    Fewer than the two-look form of the rule, which calls less often.
    """
    use = v.given & weeks
    once = no_new_best(store, v)
    twice = once & np.concatenate([np.zeros((len(once), 1), bool), once[:, :-1]], axis=1)
    ours, theirs, twice_starts = ((starts(x, w) & use).sum(axis=1) for x, w in ((v.verdict, CALLS), (once, (True,)), (twice, (True,))))
    years = use.sum(axis=1)
    return fewer(ours, twice_starts, v.athlete), ratio(theirs, years, v.athlete, WEEKS_A_YEAR), ratio(twice_starts, years, v.athlete, WEEKS_A_YEAR)


def noise(store: File, path: Path, measure: str = "e1rm") -> Figure:
    """Total SD (%) of the program's estimates about the truth, within a series and repetition band (1-5, 6 and more)."""
    points = bests(store, measure)
    y = 100 * np.log(points["value"]) - path.level(points["date"] / 7)
    band = (points["reps"] + points["rir"].fillna(0)) > 5
    off = y - y.groupby([points["athlete"], points["exercise"], band]).transform("mean")
    squares = ratio(off**2, np.ones(len(off)), points["athlete"].to_numpy())
    return Figure(*(float(np.sqrt(x)) for x in (squares.value, squares.low, squares.high)), squares.athletes)
