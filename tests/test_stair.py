"""The stair: which there are, what is asked of the store, where somebody stands, and what is said of it. Its picture: test_stair_drawn."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from dashboard.charts import stair as chart
from dashboard.measures.nearness import mist, nearness, reps_before
from dashboard.queries import stair
from dashboard.queries.kept import Store, store_at
from dashboard.sentences.stair import LADDER, Ahead, Stair
from dashboard.standing.next_week import next_step
from dashboard.standing.refresh import refresh
from etl import tables
from etl.importing import Answers, keep, understand
from etl.settings import RULES
from etl.store import writing
from tests.climbing import MONDAY, ada, asked, ben, climb, log, monday, path  # noqa: F401 - asked and path are fixtures
from tests.page_runs import all_text, unescaped

BY_HAND = {"epley": lambda load, reps: load * (1 + reps / 30), "brzycki": lambda load, reps: load * 36 / (37 - reps),
           "lower_of_two": lambda load, reps: min(load * (1 + reps / 30), load * 36 / (37 - reps))}


# --- how near ---------------------------------------------------------------------------------------------------------


def test_as_near_as_the_rule_asks_with_one_in_reserve(asked: Store):
    """Week 6, first session on push-ups: 9 + 2 repetitions and one in reserve, of 20 with one in reserve."""
    first = climb(asked, 6).sessions.iloc[-1]
    assert (first["value"], first["near"]) == (12.0, pytest.approx(11 / 20))
    assert first["mist_low"] < first["mist_middle"] < first["mist_high"]


def test_a_hold_is_measured_against_its_seconds(asked: Store):
    held = stair.stair(asked, "Ben", "ladder:front_lever", monday(12))
    rule = tables.ladder_steps().set_index("exercise_id").loc["tuck_front_lever"]
    assert held.sessions["near"].tolist() == pytest.approx((held.sessions["value"] / rule["leave_s"]).tolist())
    assert held.steps["scale"].tolist() == ["rule"] and held.ahead.opens == "opens at 3 × 20 s, in two sessions"


def test_a_step_that_asks_for_load_is_measured_against_its_own_best(asked: Store):
    dip = stair.stair(asked, "Ben", "ladder:dip", monday(19))
    assert dip.steps["scale"].tolist() == ["best"] and set(dip.sessions["measure"]) == {"per_kg"}
    assert dip.sessions["near"].max() == 1 and dip.ahead is None and dip.top
    assert "and last step" in chart.finding(dip)
    assert "own best" not in chart.reading(climb(asked, 9)) and chart.OWN_BEST in chart.reading(dip)


def test_nearness_outside_its_range_is_unknown():
    assert np.isnan(nearness([10.0], 8.0, base=8.0)).all() and nearness([4.0], 12.0, base=8.0, reserve=1.0)[0] < 0


def test_the_next_load_leaves_the_low_end_of_the_range():
    """By the athlete's own equation: what is possible at the next load is at least what the range begins with, one repetition less is not."""
    for equation in BY_HAND:
        for load, heavier, least in ((8, 10, 8), (20, 22.5, 6), (100, 102.5, 5)):
            reps = reps_before(load, heavier, least, equation)
            assert BY_HAND[equation](load, reps) >= BY_HAND[equation](heavier, least) > BY_HAND[equation](load, reps - 1)
    assert np.isnan(reps_before(4, 10, 8))


def test_the_mist_holds_about_eight_of_ten_best_sets():
    """Of invented athletes with 5, 8 and 12 % of noise, where 8 % is assumed: a best set that is not yet known, on a day among the known ones."""
    rng = np.random.default_rng(7)
    for sd, low, high in ((0.05, 0.80, 0.95), (0.08, 0.72, 0.86), (0.12, 0.68, 0.84)):
        held = []
        for _ in range(400):
            days = np.arange(0, 84, 4) + rng.integers(0, 3, 21)
            level = np.log(12) + 0.004 * days / 7 + rng.normal(0, sd, 21)
            known = np.arange(21) != 10
            ends = mist(days[known], np.exp(level[known]), np.full(20, 0.08))
            there = [np.interp(days[10], days[known], end) for end in ends]
            held.append(there[0] <= np.exp(level[10]) <= there[2])
        assert low <= np.mean(held) <= high, (sd, np.mean(held))


# --- which stairs, and what of each ---------------------------------------------------------------------------------------


def test_the_stair_with_most_steps_comes_first_and_single_steps_last(asked: Store):
    assert list(stair.stairs(asked, "Ada", monday(18))) == ["ladder:push_up"]
    ben = stair.stairs(asked, "Ben", monday(19))
    assert list(ben)[:3] == ["loads:barbell_bench_press", "loads:dumbbell_curl", "loads:weighted_dip"]
    assert set(list(ben)[3:]) >= {"ladder:dip", "ladder:front_lever"} and ben["ladder:front_lever"] == "front lever"
    assert not any(stair.stair(asked, "Ben", which, monday(19)) is None for which in ben)
    # Nothing was done for five weeks; over eight of them only the curl's one load was used.
    assert "loads:dumbbell_curl" not in stair.stairs(asked, "Ben", monday(8), 8)
    assert stair.stairs(asked, "Nobody", MONDAY) == {} and stair.stair(asked, "Ada", "ladder:planche", MONDAY) is None


def test_a_stair_knows_nothing_of_later_weeks(asked: Store):
    for week in range(0, 19, 3):
        now = climb(asked, week)
        assert now.sessions["date"].max().date() <= now.until == monday(week, 6)
        assert now.start == monday(week - 11) and now.sessions["date"].min().date() >= now.start
    short = climb(asked, 18, 8)
    assert short.start == monday(11) and short.sessions["date"].min().date() == monday(11)


@pytest.mark.parametrize("which", ["ladder:push_up", "loads:dumbbell_curl"])
def test_a_week_looks_the_same_whatever_came_after_it(tmp_path: Path, which: str):
    """Of a log that ends with a week, and of the whole log at that week."""
    athlete, text = ("Ada", ada()) if which.startswith(LADDER) else ("Ben", ben())
    head, *rows = text.decode().splitlines()
    cut = "\n".join([head, *(row for row in rows if row[:10] <= monday(12, 6).isoformat())]) + "\n"
    seen = []
    for name, log_text in (("whole", text), ("cut", cut.encode())):
        path = tmp_path / f"{name}.duckdb"
        keep(path, understand([("log.csv", log_text)], Answers(athlete=athlete), today=date(2026, 11, 1)))
        refresh(path, today=date(2026, 11, 1))
        seen.append(stair.stair(store_at(path), athlete, which, monday(12)))
    whole, ended = seen
    pd.testing.assert_frame_equal(whole.sessions, ended.sessions)
    assert chart.in_words(whole) == chart.in_words(ended)


def test_a_load_in_the_house_is_the_next_and_says_what_opens_it(asked: Store):
    curl = stair.stair(asked, "Ben", "loads:dumbbell_curl", monday(19))
    known = tables.exercises().set_index("exercise_id").loc["dumbbell_curl"]
    assert curl.steps["name_"].tolist() == ["4 kg", "6 kg", "8 kg"] and curl.ahead.name == "10 kg"
    asks = max(known["reps_high"], reps_before(8, 10, known["reps_low"]) - 1)
    assert curl.ahead.opens == f"opens at {asks:.0f} repetitions with one or more in reserve on all sets, in two sessions"
    own = curl.sessions[curl.sessions["step"] == 2]
    assert own["near"].tolist() == pytest.approx(((own["value"] - 1 - known["reps_low"]) / (asks - known["reps_low"])).tolist())


def test_a_step_of_load_too_large_for_repetitions_says_what_comes_first(asked: Store, path: Path):
    with writing(path) as con:
        con.execute("update athletes set loads = '[8, 20]' where athlete = 'Ben'")
    try:
        curl = stair.stair(store_at(path), "Ben", "loads:dumbbell_curl", monday(19))
        assert curl.ahead.name == "20 kg" and "the step is 150 %: first a slower lowering" in curl.ahead.opens
    finally:
        with writing(path) as con:
            con.execute("update athletes set loads = '[10, 4, 8, 6, 16]' where athlete = 'Ben'")


def test_a_house_without_a_heavier_load_says_so(asked: Store, path: Path):
    with writing(path) as con:
        con.execute("update athletes set loads = '[4, 8]' where athlete = 'Ben'")
    try:
        curl = stair.stair(store_at(path), "Ben", "loads:dumbbell_curl", monday(19))
        assert (curl.ahead.name, curl.ahead.opens) == ("no heavier load in the house", "more repetitions, a slower lowering or a pause")
        # A barbell does not ask what one hand holds.
        assert "house" not in stair.stair(store_at(path), "Ben", "loads:barbell_bench_press", monday(19)).ahead.name
    finally:
        with writing(path) as con:
            con.execute("update athletes set loads = '[10, 4, 8, 6, 16]' where athlete = 'Ben'")


def test_a_barbell_asks_for_no_dumbbell_and_shows_the_loads_most_used(asked: Store):
    bench = stair.stair(asked, "Ben", "loads:barbell_bench_press", monday(19))
    assert len(bench.steps) == stair.MOST_LOADS and bench.left_out == 2 and "2 loads that were used less are left out" in chart.reading(bench)
    # The load above the present one was used before; where there is none, it is told by how much.
    low, high = RULES.load_step_pct
    names = {Ahead(**vars(one)).name for one in (bench.ahead,)}
    assert names <= {f"the next load, {low} to {high} % more", *(f"{60 + 2.5 * i:g} kg" for i in range(8))}


@pytest.mark.parametrize("load", ["-20", "band"])
def test_help_counts_for_no_rule(tmp_path: Path, load: str):
    """A pull-up with a band, or with 20 kg taken off, reaches nothing of what a pull-up asks for; beside a free one only that counts."""
    path, rows = tmp_path / "s.duckdb", [f"{monday(week)},Pull-up,1,{load},{8 + week},,1,70" for week in range(4)]
    keep(path, understand([("ida.csv", log(rows))], Answers(athlete="Ida"), today=date(2026, 11, 1)))
    refresh(path, today=date(2026, 11, 1))
    assert stair.stair(store_at(path), "Ida", "ladder:vertical_pull", monday(3)).steps["scale"].tolist() == ["best"]
    keep(path, understand([("more.csv", log([f"{monday(3, 2)},Pull-up,1,,4,,1,70"]))], Answers(athlete="Ida"), today=date(2026, 11, 1)))
    refresh(path, today=date(2026, 11, 1))
    free = stair.stair(store_at(path), "Ida", "ladder:vertical_pull", monday(3))
    assert free.steps["scale"].tolist() == ["rule"] and free.sessions["date"].dt.date.tolist() == [monday(3, 2)]
    assert free.sessions["near"].tolist() == pytest.approx([4 / 12])


def test_the_next_step_is_the_planners(asked: Store):
    for week in (1, 4, 8, 15):
        now = climb(asked, week)
        known = tables.exercises().set_index("name")["exercise_id"]
        above = next_step(known[now.steps["name_"].iloc[now.current]])
        assert now.ahead.name == tables.exercises().set_index("exercise_id").loc[above, "name"]


# --- where the athlete stands ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("week", "title"), [
    (0, "on the first step since 5 January"), (4, "on the third step since 26 January"), (8, "on the fifth step since 16 February"),
    (9, "up to the fifth step, last on 5 March; knee push-up on 12 March"), (11, "back on the third step since 9 March"), (12, "on the fifth step since 30 March"),
    (18, "on the seventh step since 27 April"), (23, "on the seventh step, last done on 14 May")])
def test_the_title_says_the_step_and_since_when(asked: Store, week: int, title: str):
    assert chart.finding(climb(asked, week)) == f"Push-up (horizontal press): {title}"


def test_a_title_names_the_year_where_it_is_another(asked: Store):
    of = climb(asked, 8)
    assert chart.finding(Stair(**{**vars(of), "since": date(2025, 12, 1)})).endswith("since 1 December 2025")


def test_loads_say_the_load(asked: Store):
    assert chart.finding(stair.stair(asked, "Ben", "loads:dumbbell_curl", monday(19))) == "Dumbbell curl: at 8 kg since 20 April"


def test_a_title_does_not_say_since_where_a_later_session_was_on_a_lower_load_only(tmp_path: Path):
    loads = [120, 125, 127.5, 125]
    rows = [f"{monday(week)},Deadlift,1,{load},5,,2,70" for week, load in enumerate(loads)]
    for told, sets in (("up to 127.5 kg, last on 19 January; 125 kg on 26 January", rows), ("at 127.5 kg since 19 January", [*rows, f"{monday(3)},Deadlift,2,127.5,5,,2,70"])):
        path = tmp_path / f"{len(sets)}.duckdb"
        keep(path, understand([("ida.csv", log(sets))], Answers(athlete="Ida"), today=date(2026, 11, 1)))
        refresh(path, today=date(2026, 11, 1))
        of = stair.stair(store_at(path), "Ida", next(iter(stair.stairs(store_at(path), "Ida", monday(3)))), monday(3))
        assert chart.finding(of).endswith(f"eadlift: {told}")


def test_words_say_each_step_from_the_lowest_and_the_next(asked: Store):
    words = chart.in_words(climb(asked, 2))
    assert words == ("Push-up (horizontal press): on the second step since 12 January. 3 November 2025 to 25 January 2026, from the lowest step: wall push-up, "
                     "5 January to 8 January, 2 sessions, 12 repetitions with those in reserve; incline push-up, 12 January to 22 January, 4 sessions, 12 to 15 "
                     "repetitions with those in reserve. Next: knee push-up, opens at 3 × 20 with one or more in reserve, in two sessions.")


@pytest.mark.parametrize("efforts, told", [
    ([3, 2, "", 1, 2, 3, ""], "7 sessions, 15 repetitions"),  # 12 without effort last: the last that counts had three in reserve
    (["", 3, 1, 1, 1, 1, 1], "7 sessions, at least 12 to 13 repetitions"),  # effort is not usual yet at the first, which counts
    ([3, ""], "2 sessions, 15 to at least 12 repetitions"),  # so does the second of two
    (["", "", ""], "3 sessions, 12 repetitions"),
])
def test_words_tell_ends_that_count(tmp_path: Path, efforts: list, told: str):
    """Twelve repetitions at 10 kg in each session; where effort is usual, a set without it is a lower bound."""
    keep(tmp_path / "s.duckdb", understand([("ida.csv", log([f"{monday(week)},DB curl,1,10,12,,{left},70" for week, left in enumerate(efforts)]))],
                                           Answers(athlete="Ida"), today=date(2026, 11, 1)))
    refresh(tmp_path / "s.duckdb", today=date(2026, 11, 1))
    of = stair.stair(store_at(tmp_path / "s.duckdb"), "Ida", "loads:dumbbell_curl", monday(len(efforts) - 1))
    assert f"{told} with those in reserve" in chart.in_words(of)


def test_where_fewer_than_two_count_a_bound_is_told_as_one(asked: Store):
    of = climb(asked, 2)
    sessions = of.sessions.assign(counted=[True, False, True, False, False, False], rir=[1.0, np.nan, *[np.nan] * 4])
    words = chart.in_words(replace(of, sessions=sessions))
    assert "2 sessions, 12 to at least 12 repetitions" in words and "4 sessions, 12 to at least 15 repetitions" in words


# --- the page -------------------------------------------------------------------------------------------------------------------


def test_strength_shows_the_stair_and_lets_another_be_picked(open_page, path: Path):
    run = open_page(path, "app_pages/strength.py", athlete="Ben", week=monday(19).isoformat())
    assert not run.exception
    picked = next(box for box in run.selectbox if box.label.startswith("Steps of a progression"))
    assert len(picked.options) == len(stair.stairs(store_at(path), "Ben", monday(19)))
    picked.set_value("loads:dumbbell_curl").run()
    assert not run.exception
    assert "Dumbbell curl: at 8 kg since 20 April" in [unescaped(one.value) for one in run.header]
    assert chart.OF_LOADS.strip() in unescaped(all_text(run))


def test_strength_shows_no_stair_where_there_is_none(open_page, small_store: Path):
    run = open_page(small_store, "app_pages/strength.py", athlete="Robin", week="2025-12-01")
    assert not run.exception
    assert not [box for box in run.selectbox if box.label.startswith("Steps of a progression")]
