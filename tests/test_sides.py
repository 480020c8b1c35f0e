"""One side against the other: what is compared, how sure the difference is, and where it is said."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pandas as pd
import pytest
from scipy import integrate
from scipy.special import factorial
from scipy.stats import norm

from dashboard import methods
from dashboard.charts import side_history as side_chart
from dashboard.charts.exercise_rows import side_rows
from dashboard.look import LIGHT
from dashboard.measures import balance
from dashboard.measures.medians import median_sd
from dashboard.measures.one_rep_max import EQUATIONS
from dashboard.queries import side_history
from dashboard.queries.kept import store_at
from dashboard.queries.review import flags
from dashboard.queries.strength import sides as kept_sides
from dashboard.sentences.balance import side_difference, side_interval
from dashboard.standing import side_values
from dashboard.standing.refresh import refresh
from etl.importing import Answers, keep, understand
from etl.store import reading, writing
from tests import side_series
from tests.page_runs import all_text, unescaped

MONDAY = date(2026, 1, 5)
TODAY = date(2026, 11, 1)
HEAD = "Date,Athlete,Exercise,Side,Load (kg),Reps,Hold (s),RIR"


def pair(exercise: str, left: str, right: str) -> list[str]:
    """Both sides of one session, each as "load,reps,hold,rir"."""
    return [f"{exercise},L,{left}", f"{exercise},R,{right}"]


def store_of(folder: Path, sessions: list[list[str]], every: int = 7) -> Path:
    """A store of one log, each list one day."""
    rows = [f"{MONDAY + timedelta(days=every * i)},Ida,{row}" for i, done in enumerate(sessions) for row in done]
    path = folder / "s.duckdb"
    keep(path, understand([("ida.csv", ("\n".join([HEAD, *rows]) + "\n").encode())], Answers(), today=TODAY))
    refresh(path, today=TODAY)
    return path


def last_rows(path: Path, sessions: int, every: int = 7) -> pd.DataFrame:
    """What is kept of the last week, by exercise."""
    last = MONDAY + timedelta(days=every * (sessions - 1))
    return kept_sides(store_at(path), "Ida", last - timedelta(days=last.weekday())).set_index("exercise")


def side_flags(path: Path) -> list[dict]:
    return [flag for flag in flags(store_at(path), "Ida") if flag["kind"] == "side_difference"]


# --- what is compared ------------------------------------------------------------------------------------------------------


def test_holds_are_compared_in_seconds_and_raised(tmp_path: Path):
    path = store_of(tmp_path, [pair("Side plank", ",,35,", ",,60,")] * 6)
    row = last_rows(path, 6).loc["side_plank"]
    assert (row["measure"], row["unit"], row["left_value"], row["right_value"], row["weaker"]) == ("hold", "s", 35, 60, "left")
    assert row["difference_pct"] == pytest.approx(100 * 25 / 60) and row["difference_low_pct"] < row["difference_pct"] < row["difference_high_pct"]
    (flag,) = side_flags(path)
    assert flag["subject"] == "side_plank" and flag["level"] == "review" and "in seconds held" in flag["message"]
    assert "matching the weaker side's seconds" in flag["message"]


def test_many_repetitions_are_compared_at_the_same_load_and_raised(tmp_path: Path):
    path = store_of(tmp_path, [pair("One-arm DB press", "8,22,,1", "8,16,,1")] * 6)
    row = last_rows(path, 6).loc["single_arm_dumbbell_press"]
    # With those in reserve: 23 against 17.
    assert (row["measure"], row["unit"], row["left_value"], row["right_value"], row["weaker"]) == ("reps", "reps", 23, 17, "right")
    assert row["difference_pct"] == pytest.approx(-100 * 6 / 23) and row["difference_low_pct"] < row["difference_pct"] < row["difference_high_pct"]
    (flag,) = side_flags(path)
    assert "the right side is 26 % behind, 80 % interval " in flag["message"] and "in repetitions at the same load" in flag["message"]


def test_a_flag_keeps_its_numbers_and_has_the_interval_beside_them(tmp_path: Path):
    path = store_of(tmp_path, [pair("Side plank", ",,35,", ",,60,")] * 6)
    with reading(path) as con:
        (numbers,) = con.execute("select numbers from kept_flags where kind = 'side_difference'").fetchall()[-1]
    found = json.loads(numbers)
    assert set(found) == {"difference_pct", "weaker", "sessions", "left", "right", "difference_low_pct", "difference_high_pct", "measure", "unit"}
    assert found["difference_low_pct"] < found["difference_pct"] < found["difference_high_pct"] and found["measure"] == "hold"


@pytest.mark.parametrize(("left", "right", "measure", "values"), [
    ("20,8,,2", "24,8,,2", "e1rm", None), ("8,20,,1", "10,20,,1", "load", (8, 10)), ("8,20,,1", "8,20,,1", "reps", (21, 21)),
    ("8,18,,5", "10,18,,5", "load", (8, 10)), ("8,22,,1", "10,18,,1", None, None), ("8,22,,6", "8,18,,6", None, None)])
def test_each_session_is_compared_by_the_first_that_both_sides_have(tmp_path: Path, left: str, right: str, measure: str | None, values: tuple | None):
    found = last_rows(store_of(tmp_path, [pair("One-arm DB press", left, right)]), 1)
    assert found["measure"].tolist() == ([measure] if measure else [])
    if values:
        assert (found["left_value"].iloc[0], found["right_value"].iloc[0]) == values


def test_only_sets_at_one_load_are_compared_and_of_several_loads_the_heaviest(tmp_path: Path):
    sets = [*pair("One-arm DB press", "6,30,,0", "6,28,,0"), *pair("One-arm DB press", "8,18,,0", "8,24,,0"), "One-arm DB press,R,9,20,,0"]
    row = last_rows(store_of(tmp_path, [sets]), 1).iloc[0]
    assert (row["left_value"], row["right_value"]) == (18, 24)
    loaded = [*pair("Side plank", "5,,40,", ",,60,"), "Side plank,R,5,,50,"]
    row = last_rows(store_of(tmp_path, [loaded]), 1).loc["side_plank"]
    assert (row["left_value"], row["right_value"]) == (40, 50)


HEAVY, MANY = pair("One-arm DB press", "20,8,,2", "20,6,,2"), pair("One-arm DB press", "8,17,,2", "8,22,,2")


def test_a_look_is_of_what_most_of_its_sessions_have_and_of_that_alone(tmp_path: Path):
    """Three heavy sessions say that the right is weaker, four light ones that the left is: no median of both."""
    row = last_rows(store_of(tmp_path, [HEAVY, MANY, HEAVY, MANY, HEAVY, MANY, MANY]), 7).iloc[0]
    assert row["measure"] == "reps" and row["difference_pct"] == pytest.approx(100 * 5 / 24)
    row = last_rows(store_of(tmp_path, [MANY, HEAVY, HEAVY, MANY, HEAVY, HEAVY, MANY]), 7).iloc[0]
    assert row["measure"] == "e1rm" and row["difference_pct"] < 0
    # The values shown are those of the last session that counts.
    assert row["date"].date() == MONDAY + timedelta(weeks=5)


@pytest.mark.parametrize(("order", "measure"), [((HEAVY, MANY), "reps"), ((MANY, HEAVY), "e1rm")])
def test_of_as_many_the_latest_decides(tmp_path: Path, order: tuple, measure: str):
    assert last_rows(store_of(tmp_path, [*order]), 2)["measure"].tolist() == [measure]


def test_sessions_without_a_difference_are_not_left_out(tmp_path: Path):
    """Equal repetitions at one load count as repetitions too: 3 equal sessions and 2 with 22 against 17 are no lasting difference."""
    even, apart = pair("One-arm DB press", "8,20,,0", "8,20,,0"), pair("One-arm DB press", "8,17,,0", "8,22,,0")
    row = last_rows(store_of(tmp_path, [even, apart, even, apart, even]), 5).iloc[0]
    assert row["measure"] == "reps" and row["difference_pct"] == 0 and row["sessions"] == 0


def test_a_guessed_load_is_no_estimate_but_repetitions_at_it_are_compared():
    sets = side_series.log_of("e1rm", 25, 1, np.random.default_rng(1), draws=1).assign(load_estimated=True, load_kg=10.0, system_kg=10.0, reps=[9.0, 12.0])
    found = side_values.side_values(sets, "lower_of_two")
    assert found["measure"].tolist() == [side_values.MEASURES.index("reps")] and found[["left_value", "right_value"]].to_numpy().tolist() == [[9, 12]]


@pytest.mark.parametrize("reps", [1, 8, 14, 15, 16, 40])
@pytest.mark.parametrize("equation", EQUATIONS)
def test_every_number_of_repetitions_has_an_interval(reps: int, equation: str):
    sets = side_series.log_of("e1rm", 0, 3, np.random.default_rng(1), draws=1).assign(reps=float(reps))
    found = side_series.looks(sets, equation=equation)
    assert np.isfinite(found[["difference_pct", "difference_low_pct", "difference_high_pct"]].to_numpy()).all() and len(found) == 1


def test_each_difference_that_the_sample_keeps_has_an_interval(sample_store: Path):
    with reading(sample_store) as con:
        found = con.execute("select count(*), count(*) filter (difference_low_pct < difference_pct and difference_pct < difference_high_pct and date < week + 7), "
                            "list(distinct measure order by measure) from kept_sides").fetchone()
    assert found[0] == found[1] > 200 and found[2] == ["e1rm", "hold", "reps"]


def test_nothing_on_both_sides_is_nothing():
    sets = side_series.log_of("hold", 25, 3, np.random.default_rng(1), draws=2)
    assert side_values.side_values(sets[sets["side"] == "left"], "lower_of_two").empty
    assert side_series.looks(sets[sets["side"] == "left"]).empty


# --- how sure it is ---------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def covered() -> dict:
    return side_series.covers()


@pytest.mark.parametrize("case", side_series.CASES, ids=lambda case: "-".join(map(str, case)))
def test_the_interval_holds_the_truth_as_often_as_it_says(covered: dict, case: tuple):
    """1000 draws of log-normal noise; the generator is its own. 80 % are aimed at."""
    assert 74 <= covered[case] <= 90


def test_the_methods_page_says_what_the_interval_covers(covered: dict):
    assert side_series.said(covered, side_series.covers_beside()) in methods.measure("side_difference").limits


def test_the_simulated_differences_are_what_they_are_said_to_be():
    """The generator itself: 8 sessions of many draws have the true difference as their mean ratio, but for whole steps."""
    for measure in side_values.MEASURES:
        table = side_values.side_values(side_series.log_of(measure, 25.0, 8, np.random.default_rng(3)), "lower_of_two")
        own = table[table["measure"] == side_values.MEASURES.index(measure)]
        ratio = np.exp(np.mean(np.log(own["left_value"] / own["right_value"])))
        assert len(own) > 0.8 * 8 * side_series.DRAWS and 100 * (1 - ratio) == pytest.approx(25, abs=1.5), measure


def test_the_interval_narrows_with_sessions_and_widens_with_their_scatter():
    def width(differences: list[float]) -> float:
        low, high = balance.side_interval([differences], [[5.0] * len(differences)], [[2.0] * len(differences)])
        return float((high - low)[0])

    calm, wild = [18.0, 20, 22], [0.0, 20, 40]
    assert width(calm * 3) < width(calm) < width([20.0]) and width(calm) < width(wild)


def test_the_interval_is_the_same_whichever_side_is_behind():
    low, high = balance.side_interval([[20.0, 14, 25]], [[5.0] * 3], [[2.0] * 3])
    mirrored = balance.side_interval([[-20.0, -14, -25]], [[5.0] * 3], [[2.0] * 3])
    assert mirrored[0][0] == pytest.approx(-high[0]) and mirrored[1][0] == pytest.approx(-low[0])


@pytest.mark.parametrize("count", [1, 2, 3, 5, 7, 15])
def test_the_sd_of_a_median(count: int):
    """An odd count: from the density of the middle order statistic (David and Nagaraja, Order Statistics; from memory), by quadrature."""
    half = count // 2
    ways = factorial(count) / factorial(half) ** 2
    middle = integrate.quad(lambda x: x**2 * ways * (norm.cdf(x) * norm.sf(x)) ** half * norm.pdf(x), -9, 9)[0] ** 0.5
    exact = middle if count % 2 else 0.5**0.5
    assert float(median_sd(np.array([count]))[0]) == pytest.approx(exact, rel=0.013)


# --- where it is said --------------------------------------------------------------------------------------------------------


def row_of(**given) -> SimpleNamespace:
    return SimpleNamespace(**{"name_": "press", "weaker": "left", "difference_pct": 18.0, "sessions": 5, "measure": "e1rm", "unit": "kg", "left_value": 20.5,
                              "right_value": 25.0, "difference_low_pct": 12.0, "difference_high_pct": 24.0} | given)


def test_the_sentence_says_the_interval_and_what_was_compared():
    assert side_difference("press", row_of()).startswith("Press: the left side is 18 % behind, 80 % interval 12 to 24, in estimated maximum, in 5 sessions")
    right = row_of(weaker="right", difference_pct=-18.0, difference_low_pct=-24.0, difference_high_pct=-12.0, measure="reps")
    assert "the right side is 18 % behind, 80 % interval 12 to 24, in repetitions at the same load" in side_difference("press", right)


@pytest.mark.parametrize(("low", "high", "words"), [
    (12.0, 24.0, "12 to 24"), (-24.0, -12.0, "12 to 24"), (-3.0, 9.0, "right 3 to left 9 weaker"), (-0.3, 9.0, "0 to 9"), (-9.0, 0.3, "0 to 9"),
    (np.nan, np.nan, "")])
def test_an_interval_in_words(low: float, high: float, words: str):
    assert side_interval(low, high) == words


def test_the_table_says_the_unit_and_the_interval():
    table = pd.DataFrame([vars(row_of(measure="hold", unit="s", left_value=35.0, right_value=60.0)), vars(row_of(measure=None, difference_low_pct=np.nan, difference_high_pct=np.nan))])
    shown = side_rows(table.rename(columns={"name_": "name"}))
    assert shown["left, right"].tolist() == ["35, 60 s held", "20.5, 25 kg"]
    assert shown["difference, with 80 % interval"].tolist() == ["18 % (12 to 24), left weaker", "18 %, left weaker"]


@pytest.fixture(scope="module")
def changed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Ten weeks of light sets with the left behind, after ten heavy ones; a side plank beside them."""
    plank = pair("Side plank", ",,35,", ",,60,")
    return store_of(tmp_path_factory.mktemp("sides"), [HEAVY + plank] * 10 + [MANY + plank] * 10)


def test_a_picture_does_not_mix_what_is_compared(changed: Path):
    last = MONDAY + timedelta(weeks=19)
    weeks = side_history.side_history(store_at(changed), "Ida", last)
    press = weeks[weeks["exercise"] == "single_arm_dumbbell_press"]
    assert set(press["measure"]) == {"reps"} and press["not_drawn"].iloc[0] == 20 - len(press) > 10
    assert set(weeks.loc[weeks["exercise"] == "side_plank", "not_drawn"]) == {0}
    assert side_chart.compared_by(press) == f"repetitions at the same load; {20 - len(press)} weeks compared by something else not drawn"
    spec = side_chart.side_history(press, side_history.limit_pct(), LIGHT).to_dict()
    told = {row["told"] for rows in spec["datasets"].values() for row in rows if "told" in row}
    assert told == {"left 19, right 24 repetitions at the same load"}


def test_the_page_shows_unit_and_interval(open_page, changed: Path):
    run = open_page(changed, "app_pages/strength.py", athlete="Ida", week=(MONDAY + timedelta(weeks=19)).isoformat())
    assert "Side plank**, seconds held" not in unescaped(all_text(run)), "the pictures wait until they are asked for"
    run.session_state["request_sides"] = ["The difference over time"]
    run.run()
    assert not run.exception
    text = unescaped(all_text(run))
    assert "Side plank**, seconds held" in text and "repetitions at the same load; " in text
    (table,) = [t.value for t in run.table if "left, right" in t.value.columns]
    cells = unescaped(" ".join(table.astype(str).to_numpy().ravel()))
    assert "35, 60 s held" in cells and "19, 24 repetitions at the same load" in cells and "left weaker" in cells and " to " in cells


def test_an_older_store_is_made_ready_and_worked_out_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """A store of before the interval was kept: its rows are shown without one until they are worked out again."""
    path = store_of(tmp_path, [pair("Side plank", ",,35,", ",,60,")] * 6)
    with writing(path) as con:
        for column in ("measure", "date", "difference_low_pct", "difference_high_pct"):
            con.execute(f"alter table kept_sides drop column {column}")
        con.execute("alter table kept_part_strength drop column measure")
        for table, column in (("kept_muscles", "low"), ("kept_muscles", "high"), ("kept_weeks", "weakest_not_distinguishable"),
                              ("athletes", "shown_unit"), ("athletes", "loads"), ("athletes", "shows")):
            con.execute(f"alter table {table} drop column {column}")
        for table in ("own_exercises", "own_credits", "own_targets", "notes", "goals", "blocks", "decisions"):
            con.execute(f"drop table {table}")
        con.execute("drop sequence said_ids")
        con.execute("delete from migrations where version >= 8")
        con.execute("insert or replace into meta values ('worked_out_with', 'an older version')")
    with writing(path) as con:
        assert con.execute("select count(*), count(measure) from kept_sides").fetchone() == (6, 0)
    last = MONDAY + timedelta(weeks=5)
    assert side_rows(kept_sides(store_at(path), "Ida", last))["left, right"].tolist() == ["35, 60 s"]
    assert side_history.side_history(store_at(path), "Ida", last).empty
    refresh(path, today=TODAY)
    assert last_rows(path, 6)["measure"].tolist() == ["hold"]
