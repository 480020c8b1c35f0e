"""Changes of load, against worked examples and published identities."""

from __future__ import annotations

import numpy as np
import pytest

from dashboard.measures.gaps import Layoff, layoffs, return_week
from dashboard.measures.load_change import active_weeks, against_usual, climbs, deload_weeks, largest_before, mark

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
    """Rogerson et al. 2024, doi:10.1186/s40798-024-00691-y (abstract), 246 lifters: 6.4 days with fewer sets and more in reserve, every 5.6
    weeks. The limits (60 % of the sets, 2 in reserve more, one week in three) are decided here.
    """
    sets = np.array([20.0, 20, 20, 20, 12, 11, 20, 20])
    assert deload_weeks(sets, np.full(8, np.nan)).tolist() == [False] * 4 + [True] + [False] * 3
    easy = deload_weeks(np.full(6, 20.0), np.array([1.0, 1, 1, 1, 3, 1]))
    assert easy.tolist() == [False] * 4 + [True, False]


def test_largest_session_of_thirty_days():
    """Schuster Brandt Frandsen et al. 2025, doi:10.1136/bjsports-2024-109380 (abstract): the longest run of 30 days is what they compared with."""
    best = largest_before(np.array([0, 10, 41, 45]), np.array([[5.0], [8], [6], [9]]))
    assert np.array_equal(best[:, 0], [np.nan, 5, np.nan, 6], equal_nan=True)


MONDAY = 20521 - (20521 + 3) % 7


def test_layoff_is_longer_than_two_weeks_and_than_the_usual_interval():
    """Two weeks: Caterisano et al. 2019, doi:10.1519/SSC.0000000000000477 (second-hand). That people who train seldom need 2.5 of their own
    intervals is decided here.
    """
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


# --- the table at its edges: decided here by simulation; each case is worked out by hand from the table ----------------------------------------------


@pytest.mark.parametrize(("usual", "week", "part", "body"), [
    (10, 12.5, "", ""),  # 1.25 times
    (10, 13, "step_up", "step_up"),
    (5, 6.5, "", "step_up"),  # 1.5 sets more: a part needs two
    (5, 7.5, "step_up", "step_up"),  # 1.5 times, 2.5 sets more
    (6, 9, "spike", "step_up"),  # three more
    (3, 6, "spike", "step_up"),  # twice, three more: large needs four
    (4, 8, "large_spike", "step_up"),
    (16, 24, "spike", "spike"),  # eight more
    (14, 21, "spike", "step_up"),  # 1.5 times, seven more
    (8, 16, "large_spike", "large_spike"),
])
def test_the_limits_of_steps_and_spikes(usual: float, week: float, part: str, body: str):
    past = np.full(12, float(usual))
    a = against_usual(np.append(past, week)[:, None], 0.20)
    assert (mark(a, whole_body=False)[-1, 0], mark(a, whole_body=True)[-1, 0]) == (part, body)


def test_a_week_no_larger_than_a_recent_one_is_no_step():
    """15 is 1.5 times usual, and 1.07 times the 14 of three weeks before: 1.1 times is asked for. After four weeks it is a spike."""
    for since, kind in ((3, ""), (5, "spike")):
        past = np.full(12, 10.0)
        past[-since] = 14
        assert mark(against_usual(np.append(past, 15.0)[:, None], 0.25), False)[-1, 0] == kind


def test_personal_ups_and_downs_widen_what_is_ordinary():
    """Weeks of 7 and 13 in turn: sd 1.4826 x 0.5 ln(13/7) = 0.4589, s 0.4166 with 12 weeks and a prior of 0.25; 16 is 1.6 times, z 1.13."""
    past = np.tile([7.0, 13.0], 6)
    a = against_usual(np.append(past, 16.0)[:, None], 0.25)
    sd = 1.4826 * np.log(13 / 7) / 2
    assert a.usual[-1, 0] == 10 and a.spread[-1, 0] == pytest.approx(np.sqrt((12 * sd**2 + 4 * 0.25**2) / 16))
    assert a.z[-1, 0] == pytest.approx(1.13, abs=5e-3) and mark(a, False)[-1, 0] == "step_up"


def test_a_climb_is_not_raised_where_it_may_not_be_and_does_not_use_up_its_eight_weeks():
    """A return replaces the rule in its weeks only."""
    load = np.array([10.0] * 6 + [13, 14, 15, 16, 17, 18, 19, 20])[:, None]
    first = int(np.flatnonzero(climbs(load)[0][:, 0])[0])
    allowed = np.ones(load.shape, bool)
    allowed[first] = False
    assert np.flatnonzero(climbs(load, allowed)[0][:, 0]).tolist() == [first + 1]


def test_a_climb_of_five_per_cent_a_week_is_seen_late_or_not():
    """1.05 a week over eight weeks is 1.22 between the two halves: below 1.4."""
    assert not climbs((10 * 1.05 ** np.arange(20))[:, None])[0].any()


def test_deloads_do_not_stand_in_the_way_of_a_climb():
    """Only active weeks are compared: 10, 10, 10, 10 against 16, 16, 16, 16 with an easy week of 5 between."""
    load = np.array([10.0, 10, 10, 10, 5, 16, 16, 16, 16])[:, None]
    raised, late, early = climbs(load)
    assert raised[-1, 0] and (late[-1, 0], early[-1, 0]) == (16, 10)


def test_the_largest_session_against_all_pairs_of_sessions():
    """Against every pair of sessions at once; several on one day are not compared with each other."""
    rng = np.random.default_rng(3)
    day, load = np.sort(rng.integers(0, 200, 150)), rng.integers(0, 12, (150, 3)).astype(float)
    ago = day[:, None] - day[None, :]
    plain = np.where(((ago > 0) & (ago <= 30))[:, :, None], load[None], -np.inf).max(axis=1)
    assert np.array_equal(largest_before(day, load), np.where(np.isfinite(plain), plain, np.nan), equal_nan=True)


def test_climbs_against_a_plain_loop_over_weeks():
    """The rule as it reads: the last twelve weeks, those of at least 60 % of their own median, four against four, once in eight weeks."""
    rng = np.random.default_rng(5)
    load = rng.gamma(4, 3, (60, 8)) * (rng.random((60, 8)) > 0.1) * np.linspace(1, 3, 60)[:, None]
    expected = np.zeros(load.shape, bool)
    for subject in range(load.shape[1]):
        last = -8
        for week in range(len(load)):
            window = load[max(0, week - 11) : week + 1, subject]
            least = 0.6 * np.median(window[window > 0]) if (window > 0).any() else np.inf
            active = window[(window > 0) & (window >= least)]
            if len(active) < 8 or window[-1] < least or window[-1] == 0 or week - last < 8:
                continue
            late, early = active[-4:].mean(), active[-8:-4].mean()
            if late >= 1.4 * early and late - early >= 3:
                expected[week, subject], last = True, week
    assert expected.sum() > 5 and np.array_equal(climbs(load)[0], expected)
