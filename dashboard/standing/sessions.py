"""How many sessions lie in the window of each look, and whether estimates are few among them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from dashboard.measures.trend import enough_data
from dashboard.standing.weekly import Weekly
from etl.settings import Rules


class Sessions(NamedTuple):
    """By each week's end, (weeks,) each: how many sessions lie in the window, whether that is enough for a verdict, whether there was
    any at all."""

    count: np.ndarray
    enough: np.ndarray
    known: np.ndarray


def sessions(day: np.ndarray, w: Weekly, rules: Rules) -> Sessions:
    """Of sessions on these days, each once, in order."""
    time, ends, weeks = np.r_[day / 7, np.nan], (w.log.mondays + 6) / 7, float(rules.window_weeks[w.log.level])
    begin, beyond = np.searchsorted(time[:-1], ends - weeks, side="right"), np.searchsorted(time[:-1], ends, side="right")
    return Sessions(beyond - begin, enough_data(beyond - begin, time[begin], time[beyond - 1], ends, weeks, rules), beyond > 0)


def few(estimates: np.ndarray, repetitions: np.ndarray, rules: Rules) -> np.ndarray:
    """Whether so many sessions with an estimate are few beside those with repetitions: then they are the sets of fifteen and less of someone who trains
    with more, and leave out the better days, on which more was possible.
    """
    return estimates < rules.estimates_share * repetitions
