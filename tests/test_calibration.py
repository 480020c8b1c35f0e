"""The calibration itself: its athletes are what they are said to be, calls are counted right, and the table is whole."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import islice

import numpy as np
import pytest
from scipy import stats

from dashboard import methods
from tests.calibration import bounds, counting, report, strength_cases
from tests.calibration.__main__ import SEED
from tests.calibration.athletes import Kind, sets_of, training_days
from tests.calibration.counting import Figure
from tests.calibration.curves import MAYHEW, WATHEN
from tests.calibration.kept_verdicts import Verdicts
from tests.calibration.lifts import Lifter
from tests.calibration.paths import Path
from tests.calibration.plans import PLAN, Training, plan_sets, truth
from tests.calibration.population import Point, Result, athlete_rng
from tests.calibration.steady_loads import Repetitions, repetition_sets, unit_noise
from tests.calibration.strength_figures import coverage, false_calls, found
from tests.calibration.variation import Variation, ornstein_uhlenbeck

STEADY = Kind(Path(0.5), 30)


def rng(number: int = 0) -> np.random.Generator:
    return athlete_rng(7, "test", number)


def test_readiness_is_an_ornstein_uhlenbeck_process():
    """Autocorrelation e^(-gap/tau) and a steady SD (Gillespie 1996, Phys Rev E 54:2084), by numpy's correlation."""
    t = np.arange(60_000) * 0.5
    x = ornstein_uhlenbeck(t, 2.0, 1.0, rng())
    assert x.std() == pytest.approx(2.0, abs=0.06)
    for lag in (1, 2, 4):
        assert np.corrcoef(x[lag:], x[:-lag])[0, 1] == pytest.approx(np.exp(-0.5 * lag), abs=0.03)


def test_readiness_at_uneven_times():
    t = np.cumsum(np.tile([0.3, 2.0], 20_000))
    x = ornstein_uhlenbeck(t, 1.0, 1.0, rng())
    near, far = (np.corrcoef(x[first + 1 :: 2][:19_000], x[first::2][:19_000])[0, 1] for first in (1, 0))
    assert (near, far) == (pytest.approx(np.exp(-0.3), abs=0.03), pytest.approx(np.exp(-2.0), abs=0.03))


def test_days_vary_by_their_parts_together():
    """Variances add: readiness 2², bad days 6² × 0.05 × 0.95, white 2²."""
    days = Variation(2.0).draw(np.arange(40_000) * 4.0, rng())
    assert days.std() == pytest.approx(np.sqrt(4 + 36 * 0.05 * 0.95 + 4), rel=0.02)
    assert stats.skew(days) < -0.1
    assert unit_noise(np.arange(40_000) * 4.0, rng()).std() == pytest.approx(1.0, rel=0.02)


@pytest.mark.parametrize(("curve", "values"), [
    (WATHEN, {1: 101.3042, 5: 116.5825, 10: 134.7467, 20: 164.4618}), (MAYHEW, {1: 108.8640, 5: 119.0107, 10: 130.9343, 20: 151.1778})])
def test_repetition_curves_are_the_published_ones(curve, values):
    """1RM of 100 kg by Wathen 1994 and Mayhew 1992 (coefficients second-hand), and the way back to repetitions."""
    for reps, maximum in values.items():
        assert 100 / curve.share(reps) == pytest.approx(maximum, abs=1e-4)
        assert curve.repetitions(curve.share(reps)) == pytest.approx(reps)


def test_people_differ_as_published():
    """SD of 2.51 repetitions at 80 % (Nuzzo 2024, second-hand)."""
    r = rng()
    assert np.std([WATHEN.of_one_person(r).repetitions(0.8) for _ in range(4000)]) == pytest.approx(2.51, abs=0.4)


@pytest.mark.parametrize("curve", [WATHEN, MAYHEW])
def test_people_differ_no_less_than_published_where_loads_are_light(curve):
    """SD of 4.36 repetitions at 60 % (Nuzzo 2024, second-hand): ours grows faster from 80 % on, so that the athletes of the calibration
    are no easier to read than people."""
    r = rng()
    people = [curve.of_one_person(r) for _ in range(4000)]
    heavy, light = (np.std([one.repetitions(share) for one in people]) for share in (0.8, 0.6))
    assert light >= 4.36 and light / heavy > 4.36 / 2.51


def test_sets_are_whole_and_in_plates():
    sets = list(sets_of(STEADY, "A", rng()))
    reps, left = np.array([s[5] for s in sets]), [s[7] for s in sets]
    assert all(isinstance(r, int) for r in reps.tolist()) and reps.min() >= 1 and reps.max() <= 10
    assert all(s[4] % 2.5 == 0 for s in sets)
    assert all(x is None or (x >= 0 and x == int(x)) for x in left)
    assert 0.06 < np.mean([x is None for x in left]) < 0.14


def test_repetitions_in_reserve_are_guessed_too_low():
    """By 0.95 on average (Halperin 2022, doi:10.1007/s40279-021-01559-x), with a spread of about one. A deload's set
    stops well short, so that what was left can be counted."""
    r, under = rng(), []
    for _ in range(3000):
        lifter = Lifter.new(WATHEN, r)
        load, reps, left = lifter._set(lifter.load, lifter.start_kg, 0, r, easy=True)
        under.append(int(lifter.curve.repetitions(load / lifter.start_kg)) - reps - left)
    assert np.mean(under) == pytest.approx(0.95, abs=0.15) and np.std(under) == pytest.approx(1.0, abs=0.25)


def test_the_same_seed_makes_the_same_athlete():
    assert list(sets_of(STEADY, "A", rng())) == list(sets_of(STEADY, "A", rng())) != list(sets_of(STEADY, "A", rng(1)))
    kind = Training(20)
    assert list(plan_sets(kind, "A", truth(kind, rng()), rng(2))) == list(plan_sets(kind, "A", truth(kind, rng()), rng(2)))


def test_paths():
    assert Path(0.5, stop=10).level([0, 10, 12]).tolist() == [0, 5, 5]
    away = Path(0.5, away=(4, 7), loss=5)
    assert away.level([4, 6, 8, 10]).tolist() == [2, 2, -3, -2]
    days = training_days(20, away, rng())
    assert not np.isin(days // 7, range(4, 8)).any() and len(days) / (2 * 16) == pytest.approx(0.9, abs=0.15)


def test_repetitions_at_one_load_rise_by_one_in_three_weeks():
    kind = Repetitions((15, 15), 3.0, 27.0, 40)
    most = [(s[1] / 7, s[5]) for i in range(60) for s in repetition_sets(kind, "A", rng(i)) if s[3] == 1]
    t, reps = np.array(most).T
    assert stats.linregress(t[t < 27], reps[t < 27]).slope == pytest.approx(1 / 3, abs=0.05)
    assert stats.linregress(t[t > 27], reps[t > 27]).slope == pytest.approx(0, abs=0.06)


def test_plans_jump_stop_and_come_back():
    """Sets of a week at twice the plan are about twice the median, none in a layoff, half in a ramp's first week."""
    jump = Training(30, jump_sizes=(2.0,), jump_weeks=(20,))
    away = Training(30, away=20, away_weeks=(4,), back={True: (0.5,)})
    twice, half = [], []
    for i in range(40):
        week = np.bincount([s[1] // 7 for s in plan_sets(jump, "A", truth(jump, rng(i)), rng(i))], minlength=31)
        twice.append(week[20] / np.median(week[12:20]))
        off = np.bincount([s[1] // 7 for s in plan_sets(away, "A", truth(away, rng(i)), rng(i))], minlength=31)
        assert off[20] <= max(len(x) for x in PLAN.values()) * 6 and not off[21:24].any()
        half.append(off[24] / np.median(off[12:20]))
    assert np.mean(twice) == pytest.approx(2.0, abs=0.2) and np.mean(half) == pytest.approx(0.5, abs=0.1)


P, U, T, D = "plateau", "undecided", "too_little_data", "declining"
HAND = Verdicts(
    np.array(["A", "B"]), np.array(["x", "x"]),
    np.array([[T, T, U, P, P, U, P, U, U, P], ["", T, P, D, U, U, U, U, D, D]], object),
    np.zeros((2, 10)), np.full((2, 10), -1.0), np.full((2, 10), 1.0), np.zeros((2, 10)))


def test_a_false_call_is_a_run_that_begins():
    """A: 2 plateaus in 5 weeks with data before week 7; B: 1, and 1 decline, in 5."""
    early = np.arange(10) < 7
    assert false_calls(HAND, early, (P,)).value == pytest.approx(3 / 10 * counting.WEEKS_A_YEAR)
    assert false_calls(HAND, early, (D,)).value == pytest.approx(1 / 10 * counting.WEEKS_A_YEAR)
    # From a plateau to a decline is one call, not two.
    assert false_calls(HAND, early).value == pytest.approx(3 / 10 * counting.WEEKS_A_YEAR)


def test_a_stop_is_found_from_its_day_on():
    """A stop at the start of week 8: A's first call after it is at the end of week 9, two weeks on; B's of week 8, one."""
    by = counting.found_by(HAND.verdict, 8, 2)
    assert by.tolist() == [[False, False, True], [False, True, True]]
    assert found(HAND, 8, 1).value == 50
    assert counting.found_by(HAND.verdict, 7, 0)[:, 0].tolist() == [True, False], "a run that is on at the stop is found"


def test_coverage_counts_weeks_with_a_verdict_on_a_straight_path():
    truth = np.r_[np.full(5, 0.5), np.full(3, 2.0), np.full(2, np.nan)]
    assert coverage(HAND, truth).value == pytest.approx(100 * (3 + 3) / (6 + 6))


def test_a_stretch_across_the_stop_has_no_one_rate():
    weeks = strength_cases.STOP + 5
    wide = replace(HAND, verdict=np.full((1, weeks), U, object), begins=np.arange(weeks)[None] - 3.0)
    rate = strength_cases.straight(wide, 0.5)[0]
    assert (rate[: strength_cases.STOP] == 0.5).all() and np.isnan(rate[strength_cases.STOP : strength_cases.STOP + 3]).all()
    assert (rate[strength_cases.STOP + 3 :] == 0).all()


def test_intervals_widen_with_the_spread_between_athletes():
    """For one success or failure each, about the binomial's interval (scipy)."""
    hits = np.arange(200) % 4 == 0
    figure = counting.ratio(hits, np.ones(200), np.arange(200), 100.0)
    exact = stats.binomtest(50, 200).proportion_ci()
    assert (figure.low, figure.high) == (pytest.approx(100 * exact.low, abs=1.5), pytest.approx(100 * exact.high, abs=1.5))
    one = counting.ratio(hits, np.ones(200), np.arange(200) // 50, 100.0)
    assert one.athletes == 4 and (one.low, one.high) != (figure.low, figure.high)


def test_bounds_against_closed_forms():
    """One jump of 50 % at 20 % noise and one false flag a year: 49 % (derived here). A stop is found the surer, the later."""
    assert bounds.week_found(1.5, 20, 1.0) == pytest.approx(49, abs=1.5)
    assert bounds.lasting_found(1.5, 1, 20, 1.0) == pytest.approx(bounds.week_found(1.5, 20, 1.0), abs=1.5)
    # one series: as many false alerts as the limit that finds so many gives, and n quiet series are n times rarer
    share = bounds.week_found(2.0, 20, 0.3)
    one = bounds.alert_weeks(2.0, [share], [20.0], [1])
    assert one == pytest.approx(0.3, rel=1e-6)
    assert bounds.alert_weeks(2.0, [share], [20.0], [10]) == pytest.approx(10 * one, rel=0.05)


@pytest.mark.parametrize(("cv", "found"), [(10, (71, 98, 100)), (20, (23, 49, 92)), (25, (16, 34, 77)), (30, (12, 25, 61))])
def test_the_limit_of_any_rule_for_a_week_of_load(cv, found):
    """Share (%) of weeks of 1.3, 1.5 and 2 times the usual found at one false flag a year by who knows usual and noise: derived here, no
    source. Noise is log-normal, its CV as given, which is an SD of ln(load) of sqrt(ln(1 + CV^2)).
    """
    sd = 100 * np.sqrt(np.log1p((cv / 100) ** 2))
    assert [bounds.week_found(size, sd, 1.0) for size in (1.3, 1.5, 2.0)] == pytest.approx(found, abs=0.5)


def test_a_rise_of_thirty_per_cent_is_below_the_limit_as_the_page_says():
    """At 20 % noise: found in less than a quarter of cases by any rule, against nine in ten of doubled weeks."""
    assert "A rise of 30 % in one week at 20 % weekly noise is below it" in methods.measure("bound").limits
    assert bounds.week_found(1.3, 20, 1.0) < 25 and bounds.week_found(2.0, 20, 1.0) > 90


ISSUE = {
    "int_false_05": "≤ 0.30", "int_false_10": "≤ 0.05", "int_found_16": "≥ 75", "int_found_20": "≥ 90", "beg_false_10": "≤ 0.15",
    "beg_found_12": "≥ 80", "pooled_found_10": "≥ 60", "pooled_false": "≤ one exercise's", "nobest_fewer": "≥ 85", "deload_false": "≤ 0.35",
    "layoff_false": "≤ 0.25", "noise5_false": "≤ 0.45", "cover_one": "77-83", "reps_found_12": "≥ 70", "reps_false": "≤ 0.30",
    "load_whole_spikes": "≤ 0.50", "load_alert_weeks": "≤ 1.5", "load_double_part": "≥ 80", "load_double_whole": "≥ 90",
    "load_lasting_part": "≥ 60", "load_lasting_whole": "≥ 70", "load_straight": "≥ 90", "load_ramp": "≤ 20", "load_missed": "≤ 10",
}


def test_the_table_asks_for_every_target():
    asked = {row["case_id"]: row for row in report.asked()}
    assert {name: asked[name]["target"] for name in ISSUE} == ISSUE
    for row in asked.values():
        numbers = [float(x) for x in re.findall(r"[\d.]+", row["target"])]
        limits = [float(row[x]) for x in ("target_low", "target_high") if row[x]]
        assert numbers == limits, row["case_id"]


def test_rows_of_some_populations_take_the_place_of_the_tables_own(tmp_path):
    """Only of a run with the same seed and as many athletes."""
    def result(case: str, value: float) -> Result:
        return Result(case, Figure(value, value - 1, value + 1, 5))

    def point(series: str, value: float) -> Point:
        return Point("found", series, 1.0, "weeks", Figure(value, value, value, 5))

    report.write([result("int_found_16", 70.0), result("load_double_part", 80.0), point("one", 1.0), point("two", 2.0)], 5, 1, tmp_path)
    report.replace([result("int_found_16", 75.0), point("one", 3.0)], 5, 1, tmp_path)
    assert {row["case_id"]: row["value"] for row in report.read(tmp_path)} == {"int_found_16": "75", "load_double_part": "80"}
    assert {row["case_id"]: row["met"] for row in report.read(tmp_path)}["int_found_16"] == "yes"
    assert [line.split(",")[1:5:3] for line in (tmp_path / "curves.csv").read_text("utf-8").splitlines()[1:]] == [["two", "2"], ["one", "3"]]
    with pytest.raises(ValueError, match="another run"):
        report.replace([result("int_found_16", 75.0)], 6, 1, tmp_path)


def test_the_committed_table_is_whole_and_says_what_is_met():
    rows, asked = ({row["case_id"]: row for row in table} for table in (report.read(), report.asked()))
    assert list(rows) == list(asked)
    assert {name: row["what"] for name, row in rows.items()} == {name: row["what"] for name, row in asked.items()}
    for row in rows.values():
        assert tuple(row) == report.COLUMNS and row["value"] and int(row["athletes"]) >= 400, row["case_id"]
        value, low, high = (float(row[x]) for x in ("value", "low", "high"))
        assert low <= value <= high, row["case_id"]
        meets = (not row["target_low"] or value >= float(row["target_low"])) and (not row["target_high"] or value <= float(row["target_high"]))
        assert row["met"] == ("" if not row["target"] else "yes" if meets else "no"), row["case_id"]
        assert row["bound"] or row["met"] != "no", row["case_id"]


def test_other_athletes_agree_with_the_committed_table():
    """The rules were decided while the table's athletes were looked at; nobody looked at these. Three standard errors of a
    difference in each row, and no fewer targets than chance takes."""
    other, rows = report.read_other(), report.read()
    assert [row["case_id"] for row in other] == [row["case_id"] for row in rows]
    assert {int(row["seed"]) for row in other} == {SEED + 1} and SEED == int(report.about()["seed"])
    assert len(report.differing(other, rows)) <= 1
    met = [sum(row["met"] == "yes" for row in table) for table in (other, rows)]
    assert met[0] >= met[1] - 4


def test_what_is_written_of_other_athletes_can_be_read(tmp_path):
    report.write_other([Result("int_found_16", counting.Figure(70.0, 66.0, 74.0, 400))], 8, tmp_path)
    assert report.read_other(tmp_path) == [{"case_id": "int_found_16", "value": "70", "low": "66", "high": "74", "met": "no", "seed": "8"}]


def test_the_noise_that_a_label_names_is_that_of_the_simulated_training():
    """The whole body's is less than a part's, since parts go up and down by themselves; measured in the same run."""
    rows = {row["case_id"]: row for row in report.read()}
    for name in ("load_whole_spikes", "load_alert_weeks"):
        part, whole = (float(x) for x in re.findall(r"(\d+) %", rows[name]["what"]))
        assert (part, whole) == tuple(round(float(rows[noise]["value"])) for noise in ("load_part_noise", "load_whole_noise"))


def test_what_is_written_can_be_read(tmp_path):
    """The columns are a contract with the page Methods."""
    figure = counting.Figure(80.0, 76.0, 84.0, 400)
    report.write([Result("int_found_16", figure, 99.0, "known noise", "a, note"), Point("found", "one", 4, "weeks", figure)], 400, 7, tmp_path)
    (row,) = report.read(tmp_path)
    assert list(row) == list(report.COLUMNS) and row["met"] == "yes" and (row["value"], row["bound"], row["note"]) == ("80", "99", "a, note")
    assert (tmp_path / "curves.csv").read_text("utf-8").splitlines() == [
        "curve,series,x,x_unit,value,low,high,athletes", "found,one,4,weeks,80,76,84,400"]
    assert (tmp_path / "run.csv").read_text("utf-8").startswith("key,value\nseed,7\nathletes a case,400\n")


def test_a_part_is_held_against_one_of_its_exercises():
    found = [Result("pooled_false", counting.Figure(0.3, 0.2, 0.4, 400), target_high=0.25)]
    (row,) = report.table(found)
    assert (row["target"], row["target_high"], row["met"]) == ("≤ 0.25 (one exercise's)", "0.25", "no")


def test_met():
    assert [report.met(x, "77", "83") for x in (76.9, 77, 83, 83.1)] == ["no", "yes", "yes", "no"]
    assert (report.met(1, "", ""), report.met(0.3, "", "0.30"), report.met(74.9, "75", "")) == ("", "yes", "no")


def test_a_check_sees_a_difference_beyond_chance():
    def rows(value: float, half: float) -> list[dict[str, str]]:
        return report.table([Result("int_found_16", counting.Figure(value, value - half, value + half, 40))])

    assert not report.differing(rows(80, 6), rows(84, 2))
    assert report.differing(rows(60, 6), rows(84, 2))
    assert report.differing(rows(60, 6), [])


def test_populations_do_not_depend_on_each_other():
    first = list(islice(sets_of(STEADY, "A", athlete_rng(1, "a", 0)), 5))
    assert first != list(islice(sets_of(STEADY, "A", athlete_rng(1, "b", 0)), 5))
