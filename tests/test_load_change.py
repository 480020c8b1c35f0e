"""Changes of load, against worked examples and published identities."""

from __future__ import annotations

import numpy as np
import pytest

from dashboard.measures.gaps import Layoff, layoffs, return_week
from dashboard.measures.load_change import (
    active_weeks, against_usual, climbs, coupled_from_uncoupled, deload_weeks, largest_before, mark,
)

# The worked example that the rules were written with (decided here): twelve weeks, a deload among them.
PAST = [10, 12, 9, 11, 5, 10, 12, 10, 11, 10, 9, 11]


def one(*weeks: float) -> np.ndarray:
    return np.array([*PAST, *weeks], float)[:, None]


def test_worked_example_usual_and_spread():
    """Usual 10 from 7 active weeks of the last 8 (the 5 drops out); s 0.1769 from sd 0.1413 of 11 active of 12."""
    a = against_usual(one(13), 0.25)
    assert a.usual[-1, 0] == 10 and a.active_weeks[-1, 0] == 7
    assert a.spread[-1, 0] == pytest.approx(0.1769, abs=5e-5)
    logs = np.log([w for w in PAST if w != 5])
    assert np.median(np.abs(logs - np.median(logs))) * 1.4826 == pytest.approx(0.1413, abs=5e-5)


@pytest.mark.parametrize(("week", "z", "kind"), [(13, 1.48, "step_up"), (14, 1.90, "step_up"), (15, 2.29, "spike"), (20, 3.92, "large_spike")])
def test_worked_example_marks(week: float, z: float, kind: str):
    a = against_usual(one(week), 0.25)
    assert a.z[-1, 0] == pytest.approx(z, abs=5e-3)
    assert mark(a, whole_body=False)[-1, 0] == kind


def test_a_lasting_step_is_marked_once():
    """The most of the last four weeks keeps a new level from being flagged again, and it becomes the usual."""
    a = against_usual(one(16, 16, 16, 16, 16), 0.25)
    assert list(mark(a, False)[-5:, 0]) == ["spike", "", "", "", ""]


def test_a_deload_neither_flags_nor_lowers_the_usual():
    a = against_usual(one(5, 10), 0.25)
    assert list(mark(a, False)[-2:, 0]) == ["", ""] and a.usual[-1, 0] == 10


def test_a_week_uses_no_later_week():
    """Changing the last week changes no earlier number."""
    first, second = against_usual(one(10, 11), 0.25), against_usual(one(10, 99), 0.25)
    assert np.array_equal(first.z[:-1], second.z[:-1], equal_nan=True)


def test_four_active_weeks_are_needed():
    a = against_usual(np.array([10.0, 10, 10, 10, 30])[:, None], 0.2)
    assert np.isnan(a.usual[3, 0]) and a.usual[4, 0] == 10


def test_active_weeks_are_those_near_their_own_median():
    assert active_weeks(np.array([10.0, 10, 5, 0, np.nan, 6])).tolist() == [True, True, True, False, False, True]


def test_whole_body_needs_eight_sets_more():
    a = against_usual(np.array([10.0] * 8 + [16])[:, None], 0.20)
    assert mark(a, whole_body=True)[-1, 0] == "step_up" and mark(a, whole_body=False)[-1, 0] == "spike"


def test_climb_is_raised_once_in_eight_weeks():
    load = np.array([10.0] * 6 + [13, 14, 15, 16, 17, 18, 19, 20])[:, None]
    raised, late, early = climbs(load)
    first = int(np.flatnonzero(raised[:, 0])[0])
    assert raised[:, 0].sum() == 1 and late[first, 0] >= 1.4 * early[first, 0] and late[first, 0] - early[first, 0] >= 3


def test_deload_is_few_sets_or_much_reserve_and_one_week_in_three():
    sets = np.array([20.0, 20, 20, 20, 12, 11, 20, 20])
    assert deload_weeks(sets, np.full(8, np.nan)).tolist() == [False] * 4 + [True] + [False] * 3
    easy = deload_weeks(np.full(6, 20.0), np.array([1.0, 1, 1, 1, 3, 1]))
    assert easy.tolist() == [False] * 4 + [True, False]


def test_coupled_ratio_identity():
    """C = 4U/(3 + U) and C < 4: the coupled ratio holds its own week in its divisor.

    Windt J, Gabbett TJ. Br J Sports Med 2019;53:988-990, on the coupling; the values follow from the definition.
    """
    week, before = 1500.0, [1200.0, 900, 1100]
    uncoupled = week / np.mean(before)
    assert coupled_from_uncoupled(uncoupled) == pytest.approx(week / np.mean([week, *before]))
    assert coupled_from_uncoupled(1e9) < 4


def test_largest_session_of_thirty_days():
    best = largest_before(np.array([0, 10, 41, 45]), np.array([[5.0], [8], [6], [9]]))
    assert np.array_equal(best[:, 0], [np.nan, 5, np.nan, 6], equal_nan=True)


MONDAY = 20521 - (20521 + 3) % 7


def test_layoff_is_longer_than_two_weeks_and_than_the_usual_interval():
    assert layoffs([0, 3, 7, 10, 24, 27], 27) == []
    assert layoffs([0, 3, 7, 10, 25, 27], 27) == [Layoff(10, 25)]
    assert layoffs([0, 10, 20, 30, 54], 54) == [], "trained every ten days: 24 days are not yet 2.5 intervals"
    assert layoffs([0, 3, 6], 40) == [Layoff(6, None)], "an open gap at the end of the log"


@pytest.mark.parametrize(("away", "shares"), [(20, [0.70, 0.85, None]), (40, [0.50, 0.70, 0.80, 0.90, None]), (100, [None])])
def test_return_ramp(away: int, shares: list):
    """50/70/80/90 % in the weeks after four weeks or more: after the 50/30/20/10 % reductions of the consensus
    of Caterisano et al. 2019, doi:10.1519/SSC.0000000000000477 (the mapping to weeks is known second-hand).
    """
    found = [Layoff(MONDAY + 2 - away, MONDAY + 2)]
    weeks = [return_week(found, MONDAY + 7 * i) for i in range(len(shares))]
    assert [w.suggested if w else None for w in weeks] == shares
