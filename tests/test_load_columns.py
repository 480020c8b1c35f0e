"""The columns about load that raise nothing: the published formulas, what one session's value is, and that they stay out of flags and messages.

Foster 1998, Med Sci Sports Exerc 30:1164-1168 and Foster et al. 2001, J Strength Cond Res 15:109-115 (session RPE, monotony, strain); Williams
et al. 2017, doi:10.1136/bjsports-2016-096589 (averages); Windt & Gabbett 2019, Br J Sports Med 53:988-990 (coupling).
"""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from dashboard.charts.load_column_rows import load_column_rows
from dashboard.measures.acute_chronic import coupled, coupled_from_uncoupled, smoothed, smoothed_ratio, uncoupled
from dashboard.measures.session_load import largest_monotony, monotony, session_load, strain
from dashboard.queries.kept import store_at
from dashboard.queries.load import columns
from dashboard.queries.review import flags, review
from dashboard.standing.refresh import refresh
from etl.importing import Answers, keep, known, understand, undo

TODAY = date(2026, 11, 1)
LOADS = st.lists(st.integers(0, 900), min_size=7, max_size=7)


@pytest.mark.parametrize(("day", "mean", "even", "total"), [
    ([630, 0, 540, 400, 0, 675, 0], 320.714, 1.0279, 2307.6), ([400] * 6 + [0], 342.857, 2.2678, 5442.7)])
def test_monotony_and_strain_of_two_weeks(day: list, mean: float, even: float, total: float):
    """Foster 1998: mean over SD, and load times that. Weeks and values were worked out here by the formula with the sample SD (Foster's own
    example was not seen); with the SD of a population they would be 1.1102 and 2.4495.
    """
    week = np.array([day], float)
    assert week.mean() == pytest.approx(mean, abs=5e-4)
    assert monotony(week)[0] == pytest.approx(even, abs=5e-5) and strain(week)[0] == pytest.approx(total, abs=0.05)
    assert monotony(week)[0] != pytest.approx(week.mean() / week.std(), rel=0.01)


@pytest.mark.parametrize(("day", "even", "total"), [([630, 0, 540, 400, 0, 675, 0], 1.1102, 2492.5), ([400] * 6 + [0], 2.4495, 5878.8)])
def test_the_same_weeks_with_the_sd_of_a_population(day: list, even: float, total: float):
    """Derived: the other SD is sqrt(6/7) of ours, so that what others print is sqrt(7/6) times as much (Foster 1998 does not say which)."""
    times = np.sqrt(7 / 6)
    assert monotony([day])[0] * times == pytest.approx(even, abs=5e-5) and strain([day])[0] * times == pytest.approx(total, abs=0.05)


@pytest.mark.parametrize(("days", "most"), [(3, 0.866), (4, 1.155), (5, 1.581), (6, 2.449)])
def test_the_largest_monotony_with_the_sd_of_a_population(days: int, most: float):
    """Derived: sqrt(k/(7 - k)), above 2 with six training days only."""
    assert largest_monotony(days) * np.sqrt(7 / 6) == pytest.approx(most, abs=5e-4) == np.sqrt(days / (7 - days))


@pytest.mark.parametrize("day", [[0] * 7, [300] * 7])
def test_an_sd_of_nothing_is_not_defined(day: list):
    week = np.array([day], float)
    assert np.isnan(monotony(week)[0]) and np.isnan(strain(week)[0])


@pytest.mark.parametrize(("days", "most"), [(3, 0.802), (4, 1.069), (5, 1.464), (6, 2.268)])
def test_the_largest_monotony_is_reached_by_equal_loads(days: int, most: float):
    """From the definition, with the sample SD: "monotony above 2" cannot be had with five training days or fewer."""
    assert largest_monotony(days) == pytest.approx(most, abs=5e-4)
    assert monotony([[250] * days + [0] * (7 - days)])[0] == pytest.approx(largest_monotony(days))


@given(LOADS)
def test_no_week_passes_the_largest_monotony_of_its_days(day: list):
    even, trained = monotony([day])[0], sum(load > 0 for load in day)
    assert np.isnan(even) or even <= largest_monotony(trained) * (1 + 1e-9)


def test_session_load_is_exertion_times_minutes():
    """Foster et al. 2001."""
    assert session_load(7, 90) == 630
    assert np.isnan(session_load(np.nan, 60)) and np.isnan(session_load(6, np.nan))


@pytest.mark.parametrize(("before", "week", "c", "u"), [
    ([1000] * 3, 1000, 1, 1), ([1000] * 3, 1500, 1.3333, 1.5), ([1000] * 3, 2000, 1.6, 2.0), ([1200, 900, 1100], 1500, 1.2766, 1.40625)])
def test_coupled_and_uncoupled_ratios(before: list, week: float, c: float, u: float):
    """By their definitions (Windt & Gabbett 2019); the identity C = 4U/(3 + U) follows."""
    assert coupled([*before, week])[-1] == pytest.approx(c, abs=5e-5) and uncoupled([*before, week])[-1] == pytest.approx(u)
    assert coupled_from_uncoupled(u) == pytest.approx(coupled([*before, week])[-1])


def test_after_nothing_the_coupled_ratio_is_four_and_the_uncoupled_one_not_defined():
    assert coupled([0, 0, 0, 1000])[-1] == 4 and np.isnan(uncoupled([0, 0, 0, 1000])[-1])
    assert np.isnan(coupled([0, 0, 0, 0])[-1]) and np.isnan(coupled([10, 10])).all()


@pytest.mark.parametrize(("c", "u"), [(0.8, 0.75), (1.3, 1.4444), (1.5, 1.8), (2.0, 3.0)])
def test_what_a_coupled_limit_is_uncoupled(c: float, u: float):
    """U = 3C/(4 - C)."""
    assert coupled_from_uncoupled(u) == pytest.approx(c, abs=5e-5)


@given(st.lists(st.integers(0, 500), min_size=1, max_size=20))
def test_the_coupled_ratio_never_passes_four_and_keeps_the_identity(weekly: list):
    c, u = coupled(weekly), uncoupled(weekly)
    both = ~np.isnan(c) & ~np.isnan(u)
    assert np.allclose(c[both], coupled_from_uncoupled(u[both])) and (c[~np.isnan(c)] <= 4).all() and (c[both] < 4).all()


@pytest.mark.parametrize(("last", "seven", "month", "ratio"), [(150, 143.3258, 119.6799, 1.1976), (200, 186.6516, 139.3598, 1.3394)])
def test_averages_with_lambda_of_days(last: float, seven: float, month: float, ratio: float):
    """Williams et al. 2017: lambda 2/(N + 1), 0.25 and 0.0689655; beginning with day 1. The values follow from the recursion."""
    daily = [100.0] * 28 + [last] * 7
    assert smoothed(daily, 7)[-1] == pytest.approx(seven, abs=5e-5) and smoothed(daily, 28)[-1] == pytest.approx(month, abs=5e-5)
    assert smoothed_ratio(daily)[-1] == pytest.approx(ratio, abs=5e-5)
    by_hand = 100.0
    for load in daily[1:]:
        by_hand = 0.0689655172 * load + (1 - 0.0689655172) * by_hand
    assert smoothed(daily, 28)[-1] == pytest.approx(by_hand, abs=1e-6)


def test_no_average_is_shown_before_its_days_are_over():
    found = smoothed_ratio([5.0] * 40)
    assert np.isnan(found[:27]).all() and found[27] == pytest.approx(1)


# --- what one session's value is ------------------------------------------------------------------------------------------------------------------

HEAD = "Date,Athlete,Session,Exercise,Set,Load (kg),Reps,RIR,Session RPE,Minutes\n"
MONDAY = date(2026, 3, 2)


def row(day: int = 0, session: str = "A", exercise: str = "Squat", n: int = 1, rpe: object = "", minutes: object = "") -> str:
    work = f"{n},80,5,2" if exercise else ",,,"
    return f"{MONDAY + timedelta(days=day)},Ida,{session},{exercise},{work},{rpe},{minutes}\n"


def bring(store: Path, rows: list[str], name: str = "log.csv", today: date = TODAY) -> dict:
    report = keep(store, understand([(name, (HEAD + "".join(rows)).encode())], Answers(), known=known(store), today=today))
    refresh(store, today=today)
    return report


def week_of(store: Path, monday: date = MONDAY) -> dict:
    return review(store_at(store), "Ida", monday)["load_columns"]


@pytest.mark.parametrize(("rows", "load", "rated", "without"), [
    ([row(rpe=7, minutes=60), row(n=2), row(n=3)], 420, 1, 0),  # on the session's first row
    ([row(n=n, rpe=7, minutes=60) for n in (1, 2, 3)], 420, 1, 0),  # on each of its rows
    ([row(), row(n=2, rpe=7), row(n=3, minutes=60)], 420, 1, 0),  # each of the two on another row
    ([row(), row(exercise="", session="", rpe=7, minutes=60)], 420, 1, 0),  # on a row of the day
    ([row(rpe=7), row(exercise="", session="", minutes=60)], 420, 1, 0),  # on both
    ([row(rpe=7, minutes=60), row(exercise="", session="", rpe=7, minutes=60)], 420, 1, 0),  # on both, the same: once
    ([row(rpe=7), row(day=2, rpe=6, minutes=50)], 300, 1, 1),  # the minutes of one session are missing
    ([row(minutes=60)], None, 0, 1),
    ([row(rpe=7, minutes=60), row(n=2, rpe=8, minutes=60)], None, 0, 1),  # two ratings of one session
    ([row(rpe=7, minutes=60), row(exercise="", session="", rpe=4, minutes=30)], None, 0, 1),  # a correction, or another session: not told apart
    ([row(rpe=7, minutes=60), row(session="B", rpe=5, minutes=30)], 570, 2, 0),  # two sessions of one day
    ([row(), row(session="B", rpe=5, minutes=30), row(exercise="", session="", rpe=7, minutes=60)], 150, 1, 1),  # which of two a row of the day means is not said
    ([row(rpe=7, minutes=60), row(day=3, exercise="", session="", rpe=4, minutes=30)], 540, 2, 0),  # a day without sets: a session such as a run
    ([row(rpe=0, minutes=60)], 0, 1, 0),
])
def test_the_value_of_a_session(store: Path, rows: list[str], load: float | None, rated: int, without: int):
    bring(store, rows)
    found = week_of(store)
    assert (found["session_rpe_load"], found["sessions_with_load"], found["sessions_without_load"]) == (load, rated, without)


def test_a_planned_session_has_no_load(store: Path):
    text = HEAD.replace("Minutes", "Minutes,Planned") + row(rpe=7, minutes=60).replace("\n", ",\n") + row(day=2, rpe=9, minutes=90).replace("\n", ",yes\n")
    keep(store, understand([("plan.csv", text.encode())], Answers(), today=TODAY))
    refresh(store, today=TODAY)
    assert week_of(store)["session_rpe_load"] == 420 and week_of(store)["sessions_without_load"] == 0


def test_a_session_without_load_leaves_monotony_and_strain_undefined(store: Path):
    """A day that is not known is not a day of rest."""
    bring(store, [row(rpe=6, minutes=60), row(day=2, rpe=6, minutes=60), row(day=4, rpe=6, minutes=60)])
    whole = week_of(store)
    assert whole["monotony"] == pytest.approx(0.8018, abs=5e-5) == whole["monotony_most"]
    assert whole["strain"] == pytest.approx(1080 * 0.80178, abs=0.05)
    bring(store, [row(day=5, rpe=6)], "more.csv")
    assert [week_of(store)[name] for name in ("session_rpe_load", "monotony", "monotony_most", "strain")] == [1080, None, None, None]


def test_a_rating_that_comes_later_works_its_week_out_again_and_goes_with_its_import(store: Path):
    bring(store, [row()])
    number = bring(store, [row(exercise="", session="", rpe=7, minutes=60)], "felt.csv")["import"]
    assert week_of(store)["session_rpe_load"] == 420
    undo(store, number)
    refresh(store, today=TODAY)
    assert week_of(store)["session_rpe_load"] is None


def weeks(count: int, sets: int, start: int = 0) -> list[str]:
    return [row(day=7 * w + d, n=n, rpe=7 if n == 1 else "", minutes=60 if n == 1 else "") for w in range(start, start + count) for d in (0, 2, 4) for n in range(1, sets + 1)]


def test_of_a_running_week_only_the_load_so_far_is_shown(store: Path):
    bring(store, weeks(5, 4), today=MONDAY + timedelta(days=32))
    running = week_of(store, MONDAY + timedelta(weeks=4))
    assert running["session_rpe_load"] == 3 * 420
    assert {running[name] for name in ("acute_chronic_uncoupled", "acute_chronic_coupled", "acute_chronic_smoothed", "monotony", "strain")} == {None}
    assert week_of(store, MONDAY + timedelta(weeks=3))["acute_chronic_coupled"] == 1


def test_ratios_of_a_log_are_those_of_its_hard_sets(store: Path):
    bring(store, weeks(6, 4) + weeks(1, 8, start=6))
    found = week_of(store, MONDAY + timedelta(weeks=6))
    assert (found["acute_chronic_uncoupled"], found["acute_chronic_coupled"]) == (2.0, 1.6)
    daily = np.array(([4, 0, 4, 0, 4, 0, 0] * 6) + [8, 0, 8, 0, 8, 0, 0], float)
    assert found["acute_chronic_smoothed"] == pytest.approx(smoothed_ratio(daily)[-1], abs=5e-5)
    assert week_of(store, MONDAY + timedelta(weeks=2))["acute_chronic_smoothed"] is None


def test_they_enter_no_flag_and_no_message(store: Path):
    """The same sets with and without ratings raise the same, though the rated weeks are as even as can be and then four times as heavy."""
    rated = weeks(9, 4) + [row(day=63 + d, n=n, rpe=10, minutes=168) for d in (0, 2, 4) for n in (1, 2, 3, 4)]
    bare = [",".join(line.split(",")[:-2]) + ",,\n" for line in rated]
    bring(store, rated)
    other = store.with_name("bare.duckdb")
    bring(other, bare)
    last = MONDAY + timedelta(weeks=9)
    assert week_of(store, last)["session_rpe_load"] == 4 * week_of(store, MONDAY)["session_rpe_load"]
    assert json.dumps(flags(store_at(store), "Ida")) == json.dumps(flags(store_at(other), "Ida"))
    assert review(store_at(store), "Ida", last)["message"] == review(store_at(other), "Ida", last)["message"]


def test_the_table_leaves_out_the_columns_of_sessions_that_nobody_rates(store: Path):
    bring(store, [",".join(line.split(",")[:-2]) + ",,\n" for line in weeks(5, 4)])
    bare = load_column_rows(columns(store_at(store), "Ida", MONDAY + timedelta(weeks=4), 12))
    assert list(bare.columns) == ["week of", "A:C uncoupled", "A:C coupled", "A:C averaged"] and bare.iloc[0, 1] == "1.00" and bare.iloc[-1, 1] == "–"
    bring(store, weeks(5, 4), "rated.csv")
    full = load_column_rows(columns(store_at(store), "Ida", MONDAY + timedelta(weeks=4), 12))
    assert full["session load, AU"].tolist() == ["1\u202f260"] * 5 and full["at most"].tolist() == ["0.80"] * 5
