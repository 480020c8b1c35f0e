"""The points of many series end to end: what is known of one of them by a day."""

import numpy as np
import pandas as pd

from dashboard.measures.window import longest_window
from dashboard.standing.series import AllSeries, SoFar
from etl.settings import RULES


def by_hand(day: np.ndarray, value: np.ndarray, places: np.ndarray, end: int) -> tuple[int, int]:
    """Place of the last point by a day, and of the first one that was as good as the best by then."""
    until = [p for p in places if day[p] <= end]
    return (until[-1], max(until, key=lambda p: (value[p], -p))) if until else (-1, -1)


def test_last_and_best_of_a_series_by_a_day():
    rng = np.random.default_rng(0)
    series = np.sort(rng.integers(0, 5, 60))
    day = np.concatenate([np.sort(rng.integers(-40, 40, (series == s).sum())) for s in range(5)])
    value, which = rng.integers(1, 9, 60).astype(float), rng.random(60) < 0.7
    so_far = SoFar(series, day.astype(float), value, which)
    for s in range(6):  # the last is of no point
        ends = np.arange(-45, 45)
        last, best = so_far.at(np.full(len(ends), s), ends)
        assert [tuple(pair) for pair in np.column_stack([last, best]).tolist()] == [by_hand(day, value, np.flatnonzero(which & (series == s)), end) for end in ends]
    assert SoFar(series, day.astype(float), value, np.zeros(60, bool)).at(np.array([1]), np.array([40])) == (np.array([-1]), np.array([-1]))


def test_faint_points_speak_until_one_counts():
    points = pd.DataFrame({
        "athlete": "Ida", "exercise": "bench_press", "measure": "e1rm", "series": "", "day": [0, 3, 7], "value": [90.0, 70.0, 60.0], "noise": 3.5,
        "body_mass": np.nan, "load_kg": 60.0, "counted": [False, True, True], "band": 1, "readiness": 2.0})
    series = AllSeries(points, np.zeros(3, int), RULES)
    last, best = series.so_far(np.zeros(4, int), np.array([-1, 0, 3, 9]))
    assert last.tolist() == [-1, 0, 1, 2] and best.tolist() == [-1, 0, 1, 1]
    assert len(series.stack.t) == 2 and longest_window() >= max(RULES.window_weeks.values())
