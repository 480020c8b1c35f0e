"""What counts as a set, and for which head: worked examples and published values."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from dashboard.measures import balance, counting, dose
from dashboard.measures.numbering import is_first, numbered
from etl import tables
from etl.settings import RULES


def log_rows(**columns: list) -> pd.DataFrame:
    """A log of one day with defaults for what is not given."""
    n = len(next(iter(columns.values())))
    base = {"date": "2026-03-02", "day": 20514, "exercise": "push_up", "modifiers": None, "side": "both", "range": "full", "kind": "work",
            "set_no": np.nan, "round_no": np.nan, "segment_no": np.nan, "load_kg": np.nan, "hold_s": np.nan, "rir": np.nan, "rpe": np.nan, "long_end": "lower"}
    return pd.DataFrame({name: columns.get(name, [value] * n) for name, value in base.items()})


def test_reserve_is_ten_minus_rpe():
    """Zourdos et al. 2016, doi:10.1519/JSC.0000000000001049: RPE 10 is no repetition left, 9 is one, and so on."""
    rpe = np.array([10, 9.5, 9, 8, 7, 6])
    assert counting.reserve(np.full(6, np.nan), rpe).tolist() == [0, 0.5, 1, 2, 3, 4]


def test_effort_decides_the_base():
    hard = counting.hard_sets(log_rows(rir=[0, 4, 5, np.nan]), beginner=False)
    assert hard.tolist() == [1, 1, 0.5, 1]
    assert counting.hard_sets(log_rows(rir=[5.0]), beginner=True).tolist() == [1]
    assert counting.hard_sets(log_rows(kind=["warm_up", "work"]), beginner=False).tolist() == [0, 1]


def test_seven_lower_seven_upper_seven_full_is_one_set():
    rows = log_rows(range=["lower_half", "upper_half", "full"], set_no=[1, 1, 1], segment_no=[1, 2, 3])
    assert counting.hard_sets(rows, beginner=False).tolist() == [1, 0, 0]


def test_part_ranges_alone():
    """The half where the muscle is long 1, short 0.5, unknown 0.75."""
    rows = log_rows(range=["lower_half", "upper_half", "part"])
    assert counting.hard_sets(rows, beginner=False).tolist() == [1, 0.5, 0.75]


def test_left_and_right_make_one_set():
    assert counting.hard_sets(log_rows(side=["left", "right"]), beginner=False).sum() == 1
    assert counting.hard_sets(log_rows(side=["left"]), beginner=False).sum() == 0.5


def test_drop_after_a_set_is_part_of_it():
    assert counting.hard_sets(log_rows(kind=["work", "drop", "drop", "work"]), beginner=False).tolist() == [1, 0, 0, 1]


def test_a_drop_with_a_number_of_its_own_is_part_of_the_set_before_it():
    rows = log_rows(kind=["work", "work", "drop", "drop"], set_no=[1, 2, 3, 4])
    assert counting.hard_sets(rows, beginner=False).sum() == 2


def test_segments_of_two_sides_written_in_turn_are_one_set():
    """7 lower, 7 upper and 7 full halves on each side, left and right in turn: one set in all."""
    rows = log_rows(side=["left", "right"] * 3, range=["lower_half", "lower_half", "upper_half", "upper_half", "full", "full"],
                    set_no=[1] * 6, segment_no=[1, 1, 2, 2, 3, 3])
    assert counting.hard_sets(rows, beginner=False).sum() == 1
    assert counting.hard_sets(log_rows(side=["left", "right"] * 2, kind=["work", "work", "drop", "drop"]), beginner=False).sum() == 1


def test_rows_of_a_cluster_with_one_number_are_one_set():
    assert counting.hard_sets(log_rows(kind=["cluster"] * 3, set_no=[1, 1, 1]), beginner=False).sum() == 1


def test_a_loaded_hold_has_a_best_of_its_own():
    rows = log_rows(hold_s=[90.0, 40, 40], load_kg=[np.nan, 20, 20])
    assert counting.hard_sets(rows, beginner=False).tolist() == [1, 1, 1]


def test_a_pair_carried_in_a_lunge_counts_twice():
    assert counting.system_load_kg([20], [True], [0.8], [80], [2]).tolist() == [104]


def test_holds_count_by_seconds_and_by_the_best():
    """At least 60 % of the best of eight weeks, 3 s or more: min(1, seconds/10)."""
    rows = log_rows(hold_s=[20.0, 12, 11, 6, 2])
    assert counting.hard_sets(rows, beginner=False).tolist() == [1, 1, 0, 0, 0]
    assert counting.hard_sets(log_rows(hold_s=[6.0, 5]), beginner=False).tolist() == pytest.approx([0.6, 0.5])


def test_tonnage_of_three_by_twelve_push_ups():
    """75 kg, share 0.64 (Ebben et al. 2011, doi:10.1519/JSC.0b013e31820c8587): 3 x 12 x 48 kg = 1728 kg."""
    system = counting.system_load_kg([0, 0, 0], [True] * 3, [0.64] * 3, [75] * 3)
    assert counting.tonnage_kg([12] * 3, system, [False] * 3, ["both"] * 3).sum() == pytest.approx(1728)


def test_tonnage_of_squats_with_a_load_that_is_carried_along():
    """3 x 10 with 25 lb (11.34 kg) at 75 kg: 30 x (11.34 + 0.88 x 75) = 2320.2 kg. Body mass less shanks and feet, after de Leva 1996 (second-hand)
    and as McBride et al. 2009, J Strength Cond Res 23:106-110, count it (from memory; that ways of counting diverge was read in the abstract).
    """
    exercises = tables.exercises().set_index("exercise_id")
    system = counting.system_load_kg([11.34] * 3, [True] * 3, [exercises.loc["bodyweight_squat", "bodymass_share"]] * 3, [75] * 3)
    assert counting.tonnage_kg([10] * 3, system, [False] * 3, ["both"] * 3).sum() == pytest.approx(2320.2)


def test_tonnage_counts_both_hands():
    assert counting.tonnage_kg([10, 10], [8, 8], [True, True], ["both", "left"]).tolist() == [160, 80]


def test_pound_is_exact():
    """NIST Special Publication 811, appendix B.8: 1 lb = 0.453 592 37 kg exactly."""
    assert RULES.pound_kg == 0.45359237 and round(25 * RULES.pound_kg, 4) == 11.3398


def test_body_mass_is_the_nearest_earlier_within_90_days():
    kg = counting.body_mass_on([0, 10, 100, 101, 400], [5, 10], [80.0, 81])
    assert np.array_equal(kg, [80, 81, 81, np.nan, np.nan], equal_nan=True)


def fractional() -> tuple[dose.Credits, np.ndarray]:
    """Push-up (sternal 1, clavicular 0.5, lateral triceps 0.5) and narrow push-up (lateral triceps 1, sternal 0.5)."""
    base = np.array([[1.0, 0.5, 0.5], [0.5, 0.0, 1.0]])
    return dose.Credits(base, base, np.full(base.shape, "B")), np.array([0] * 4 + [1] * 3)


def test_fractional_sets_worked_example():
    """4 push-up and 3 narrow push-up sets: sternal 5.5, clavicular 2.0, lateral triceps 5.0.

    Direct 1 and indirect 0.5: Pelland et al. 2025, doi:10.1007/s40279-025-02344-w, for muscles.
    """
    credits, kind = fractional()
    total = dose.per_week(np.ones(7), kind, np.zeros(7, int), dose.counted(credits), 1)
    assert total.tolist() == [[5.5, 2.0, 5.0]]
    direct = dose.per_week(np.ones(7), kind, np.zeros(7, int), dose.direct(credits).astype(float), 1)
    assert direct.tolist() == [[4, 0, 3]]


def test_a_set_counts_once_in_a_part():
    credits, kind = fractional()
    chest = dose.pooled(dose.counted(credits), [[0, 1]])
    assert dose.per_week(np.ones(7), kind, np.zeros(7, int), chest, 1).tolist() == [[5.5]]


def test_range_moves_each_credit_one_tier():
    credits = dose.Credits(*(np.array([[1.0, 0.5, 0.25, 0.0]]),) * 2, np.full((1, 4), "B"))
    assert dose.one_tier(credits, -1).tolist() == [[0.5, 0, 0, 0]]
    assert dose.one_tier(credits, 1).tolist() == [[1, 1, 0.5, 0]]


@pytest.mark.parametrize(("sets", "n2"), [([9, 6, 3], 2.57), ([12, 6, 0], 1.80), ([18, 0, 0], 1.00), ([6, 6, 6], 3.00), ([10] * 5 + [0], 5.00), ([8] * 5 + [2], 5.44), ([20, 10, 10, 5, 5, 0], 3.85)])
def test_effective_heads(sets: list, n2: float):
    """Simpson 1949 (Nature 163:688), inverse; values worked by hand from 1/sum(p²)."""
    assert round(float(balance.effective_heads(sets)), 2) == n2


def test_no_dose_has_no_effective_heads():
    assert np.isnan(balance.effective_heads([0, 0, 0]))


@pytest.mark.parametrize(("right", "left", "percent"), [(30, 24, 20.0), (20, 18, 10.0), (24, 30, -20.0)])
def test_side_difference(right: float, left: float, percent: float):
    """(stronger - weaker)/stronger x 100: Impellizzeri et al. 2007, Med Sci Sports Exerc 39:2044-2050."""
    assert float(balance.side_difference_pct(left, right)) == pytest.approx(percent)


def test_side_difference_must_last_four_weeks_in_three_sessions():
    days, low = np.array([0, 10, 28]), np.array([20.0, 18, 16])
    assert balance.lasting_difference(days, low) == (18.0, 3)
    assert balance.lasting_difference(days[:2], low[:2]) is None
    assert balance.lasting_difference(np.array([0, 10, 27]), low) is None
    assert balance.lasting_difference(days, np.array([20.0, -18, 16])) is None


def test_coverage_needs_direct_sets_where_it_says_so():
    assert balance.covered([4, 4, 3], [1, 2, 3], [4, 4, 4], [True, True, False]).tolist() == [False, True, False]
    assert balance.covered([4], [0], [4], [False]).tolist() == [True]


def test_bands():
    """About 4 sets a week are the least with a detectable effect (Pelland et al. 2025, doi:10.1007/s40279-025-02344-w, second-hand); the upper
    ends, and the bands of small parts, are common practice, no source.
    """
    assert balance.band("main", "beginner") == (4, 12) and balance.band("main", "advanced") == (4, 20) and balance.band("small", "beginner") == (2, 8)
    assert balance.status([3.9, 4, 20, 20.5], 4, 20).tolist() == ["below", "within", "within", "above"]


def test_rows_that_are_alike_in_all_columns_have_one_number():
    """Common practice, no source: groups in the order in which they come, what is missing alike, whatever the type of column."""
    names, days = pd.Series(["row", None, "row", None, "row"]), [2.0, np.nan, 1.0, np.nan, 2.0]
    for column in (names, names.astype("category"), names.astype(object)):
        group = numbered(column, days)
        assert group.tolist() == [0, 1, 2, 1, 0]
        assert is_first(group).tolist() == [True, True, True, False, False]
