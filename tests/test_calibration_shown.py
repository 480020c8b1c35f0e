"""The committed calibration: read, shown on the page Methods, and quoted in texts."""

from __future__ import annotations

import csv
import tomllib
from dataclasses import asdict
from pathlib import Path

import numpy as np
import pytest

from dashboard import methods
from dashboard.charts import calibration as drawn
from dashboard.charts.calibration_rows import asides, case_rows
from dashboard.look import DARK, LIGHT
from dashboard.methods.calibration import ADDED, CASES, CURVES, RUN, Targets, calibration, targets
from dashboard.methods.figures import filled
from dashboard.sentences.calibration import targets_sentence
from etl.refusal import Refusal
from tests.page_runs import all_text, unescaped

ROOT = Path(__file__).parent.parent
MEASURES = methods.measures()


@pytest.fixture
def run_folder(tmp_path: Path) -> Path:
    """An invented run: the form of the files, no finding."""
    folder = tmp_path / "calibration"
    folder.mkdir()
    cases = [("a", "strength", "False calls", "per exercise-year", "≤ 0.30", "", "0.3", "0.21", "0.15", "0.28", "400", "", "", "yes", ""),
             ("b", "load", "A doubled week found", "%", "≥ 80", "80", "", "71", "66", "76", "400", "75", "a detector that knows level and noise", "no", "close"),
             ("c", "load", "For the record", "%", "", "", "", "12", "", "", "400", "", "", "", "")]
    curves = [("found", s, k, "weeks", 5 * k, 5 * k - 2, 5 * k + 2, 400) for s in ("one exercise", "pooled") for k in range(11)]
    curves += [("verdicts", v, gain, "% a week", 25, 22, 28, 400) for gain in (0, 0.5) for v in drawn.VERDICTS]
    curves += [("jumps", s, size, "% more", size / 2, 1, 60, 400) for s in ("part", "whole body") for size in (30, 100)]
    curves += [("cover", "one exercise", gain, "% a week", 80, 77, 83, 400) for gain in (0, 0.5)]
    for name, head, rows in (("cases", CASES, cases), ("curves", CURVES, curves), ("run", RUN, [("seed", "1"), ("date", "2026-11-27")])):
        with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows([head, *rows])
    return folder


def test_calibration_is_read_with_its_numbers(run_folder):
    run = calibration(run_folder)
    assert run.about == {"seed": "1", "date": "2026-11-27"}
    assert run.cases["value"].tolist() == [0.21, 71, 12] and np.isnan(run.cases["low"].iloc[2])
    assert run.curves["x"].dtype == float


def test_no_calibration_is_none_and_a_broken_one_is_refused(run_folder, tmp_path):
    assert calibration(tmp_path / "nowhere") is None
    (run_folder / "cases.csv").write_text("case_id,value\na,1\n", encoding="utf-8")
    with pytest.raises(Refusal, match="no column group"):
        calibration(run_folder)


def test_calibration_in_rows_says_whether_a_target_is_reached(run_folder):
    cases = calibration(run_folder).cases
    rows = case_rows(cases)
    assert rows["figure (interval)"].tolist() == ["0.21 (0.15 to 0.28) per exercise-year", "71 (66 to 76) %", "12 %"]
    assert rows["target"].tolist() == ["≤ 0.30, reached", "≥ 80, not reached", "–"]
    assert asides(cases) == ["A doubled week found: the bound is 75 (a detector that knows level and noise); close."]


def test_figures_of_other_athletes_stand_beside(run_folder):
    (run_folder / "other.csv").write_text("case_id,value,low,high,met,seed\na,0.33,0.2,0.4,no,2\nb,82,77,85,yes,2\n", encoding="utf-8")
    cases = calibration(run_folder).cases
    assert case_rows(cases)["other athletes"].tolist() == ["0.33, not reached", "82, reached", "–"]
    counted = targets(cases)
    assert counted.other == 1
    assert targets_sentence(**asdict(counted)).endswith("With as many other athletes, at whom nobody looked while the rules were decided, 1 of 2 is reached.")
    assert "other athletes" not in case_rows(cases.assign(other_value=np.nan))


def test_the_page_shows_the_run_with_its_targets_and_pictures(open_page, small_store, run_folder, monkeypatch):
    monkeypatch.setattr("dashboard.methods.calibration.files", lambda package: run_folder.parent)
    run = open_page(small_store, "app_pages/methods.py", athlete="Robin")
    run.button_group(key="methods_section").set_value("calibration").run()
    assert not run.exception
    text = unescaped(all_text(run))
    assert "1 of 2 targets is reached, with the whole of its 95 % interval." in text and "seed 1; date 2026-11-27" in text
    assert [block.value for block in run.header] == ["Verdicts of strength", "Changes of load"]
    assert all(title in text for title in ("Stops found", "Weeks in each verdict", "Weeks whose 80 % interval", "Changes of load found"))


@pytest.mark.parametrize("colours", [LIGHT, DARK])
@pytest.mark.parametrize(("name", "draw"), [("found", drawn.lines), ("verdicts", drawn.shares), ("jumps", drawn.points), ("cover", lambda c, k: drawn.points(c, k, 80.0))])
def test_each_curve_is_drawn_and_told(run_folder, name, draw, colours):
    curves = calibration(run_folder).curves
    curve = curves[curves["curve"] == name]
    chart = draw(curve, colours).to_dict()
    assert chart["background"] == colours.paper
    rows = [row for data in chart["datasets"].values() for row in data]
    assert {row["series"] for row in rows if "series" in row} == set(curve["series"])
    assert all(series in drawn.in_words(curve, "Title") for series in curve["series"])


def test_bars_of_verdicts_stand_on_one_another(run_folder):
    curves = calibration(run_folder).curves
    chart = drawn.shares(curves[curves["curve"] == "verdicts"], LIGHT).to_dict()
    bars = next(rows for rows in chart["datasets"].values() if len(rows) == 8)
    assert [(row["from"], row["to"]) for row in bars[:4]] == [(0, 25), (25, 50), (50, 75), (75, 100)]


def test_the_committed_calibration_is_whole_where_there_is_one():
    run = calibration()
    if run is None:
        pytest.skip("no run is committed with this copy")
    assert not run.cases["case_id"].duplicated().any()
    assert set(run.cases["met"]) <= {"yes", "no", ""} and run.cases["athletes"].min() >= 400
    assert {"found", "verdicts", "jumps"} <= set(run.curves["curve"])


def test_targets_are_counted_by_the_figure_and_by_the_whole_interval(run_folder):
    assert targets(calibration(run_folder).cases) == Targets(targets=2, reached=1, near=0, added=0, added_reached=0, other=None)
    cases = calibration(run_folder).cases.assign(high=[0.31, 76, np.nan], case_id=["cover_reps", "b", "c"])
    counted = targets(cases)
    assert counted == Targets(targets=2, reached=1, near=1, added=1, added_reached=1, other=None)
    assert targets_sentence(**asdict(counted)) == (
        "1 of 2 targets is reached, 1 of these 1 by less than their uncertainty: the figure reaches the target, but not the whole of its 95 % interval. "
        "1 of the 2 were added to those set beforehand, for parts, repetitions, holds, lifts of one's own body and the present value; 1 of these 1 is reached.")


def test_the_committed_targets_are_counted_as_by_a_plain_loop():
    """The same from the table's text: csv and floats, no frames."""
    with (ROOT / "dashboard/calibration/cases.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["target"]]
    reached = [row for row in rows if row["met"] == "yes"]
    whole = [row for row in reached if float(row["low"]) >= float(row["target_low"] or "-inf") and float(row["high"]) <= float(row["target_high"] or "inf")]
    added = [row for row in rows if row["case_id"] in ADDED]
    assert len(added) == len(ADDED)
    with (ROOT / "dashboard/calibration/other.csv").open(encoding="utf-8", newline="") as file:
        other = sum(row["met"] == "yes" for row in csv.DictReader(file))
    expected = Targets(len(rows), len(reached), len(reached) - len(whole), len(added), len([row for row in added if row in reached]), other)
    assert targets(calibration().cases) == expected and 0 < expected.near < expected.reached


# --- figures within texts -------------------------------------------------------------------------------------


def test_figures_within_a_text_come_from_the_run(run_folder):
    """Of a case a share whole, others with two decimals, a curve's half and a curve's week."""
    run = calibration(run_folder)
    assert filled("{a} false calls a year, {b} % found, half within {half: pooled} weeks, {4 weeks: one exercise} % within 4.", run) == (
        "0.21 false calls a year, 71 % found, half within 10 weeks, 20 % within 4.")
    assert filled("{unknown} {half: nobody} {99 weeks: pooled}", run) == "– – –"


def test_no_text_of_a_measure_has_a_figure_that_the_run_lacks():
    read = [one for file in (ROOT / "dashboard/methods").glob("*.toml") for one in tomllib.loads(file.read_text("utf-8"))["measure"]]
    with_figures = {one["id"] for one in read if "{" in one["limits"]}
    assert with_figures >= {"verdict", "spike", "alert_weeks"}
    for name in with_figures:
        assert not {"{", "}", "–"} & set(MEASURES[name].limits), name
    assert not [one["id"] for one in read for text in ("says", "range", "rule", "mark_note") if "{" in one.get(text, "")]


def test_the_readme_quotes_the_committed_table():
    text = " ".join((ROOT / "README.md").read_text("utf-8").split())
    assert filled(
        "two sessions a week, 3.5 % noise and a gain of 0.5 % a week before it, half of all stops are found within {half: one exercise, 0.5 % a week} weeks "
        "from one exercise; after a gain of 1.0 % a week within {half: one exercise, 1.0 % a week}, and at 5 % noise {16 weeks: one exercise at noise of 5 %} % "
        "within 16. Three exercises that train the same part first find half within {half: part of three exercises, readiness independent} weeks where their good "
        "and bad days are independent; where they share them, with more false calls ({shared_false} a year against {pooled_one_false}). "
        "At as many false calls as one exercise makes they are {pooled_sooner} weeks sooner, or {shared_sooner} where they share them.") in text
