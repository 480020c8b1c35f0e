"""In the sample data every planted truth is found where it was planted, and each steady stretch is quiet.

sample_data/truths.csv says what was planted; its maker uses none of the program's equations.
"""

from __future__ import annotations

import csv
from datetime import date
from importlib.resources import files
from pathlib import Path

import pytest
from scipy.stats import poisson

from dashboard.queries.kept import store_at
from dashboard.queries.review import flags
from etl.store import reading

TRUTHS = list(csv.DictReader((files("sample_data") / "truths.csv").read_text("utf-8").splitlines()))
PLANTED = [t for t in TRUTHS if t["kind"] != "quiet"]
QUIET = [t for t in TRUTHS if t["kind"] == "quiet"]


@pytest.fixture(scope="module")
def raised(sample_store: Path) -> list[dict]:
    return flags(store_at(sample_store), None)


def _name(truth: dict) -> str:
    return f"{truth['athlete']}-{truth['kind']}-{truth['subject']}-{truth['find_from']}"


def test_each_athlete_has_something_planted_and_something_quiet():
    """Without rows the two tests below would pass over nothing."""
    assert {t["athlete"] for t in PLANTED} == {t["athlete"] for t in QUIET} == {"Mina", "Oskar", "Tilde"}
    assert {t["kind"] for t in PLANTED} >= {"plateau", "large_spike", "return", "below_band", "side_difference"}


@pytest.mark.parametrize("truth", PLANTED, ids=_name)
def test_planted_truth_is_found_in_its_weeks(raised: list[dict], truth: dict):
    """The flag's first week lies between the two Mondays of the truth."""
    weeks = [f["week"] for f in raised if (f["athlete"], f["kind"], f["subject"]) == (truth["athlete"], truth["kind"], truth["subject"])]
    assert weeks, f"nothing of the kind was raised: {truth['note']}"
    assert truth["find_from"] <= min(weeks) <= truth["find_by"], weeks


@pytest.mark.parametrize("truth", QUIET, ids=_name)
def test_steady_stretch_is_quiet(raised: list[dict], sample_store: Path, truth: dict):
    """No flag of these kinds holds in the weeks of the stretch, but for the subjects it leaves out and what chance may raise."""
    kinds, spared = truth["subject"].split("|"), truth["except"].split("|")
    loud = [f for f in raised if f["athlete"] == truth["athlete"] and f["kind"] in kinds and f["subject"] not in spared
            and f["week"] <= truth["find_by"] and (f["until"] or date.max.isoformat()) >= truth["find_from"]]
    assert len(loud) <= _by_chance(sample_store, truth, kinds), [(f["kind"], f["subject"], f["week"]) for f in loud]


def _by_chance(store: Path, truth: dict, kinds: list[str]) -> float:
    """How many flags noise alone may raise. A verdict on strength is wrong now and then, and the calibration says how often:
    0.30 times a year at the most of an exercise or part that is judged; a count within 95 % of such chance. Of other kinds none.
    """
    if "plateau" not in kinds:
        return 0
    judged = "where athlete = ? and verdict <> 'too_little_data' and week between ? and ?"
    with reading(store) as con:
        ((weeks,),) = con.execute(f"select (select count(*) from kept_strength {judged}) + (select count(*) from kept_part_strength {judged} and exercises > 1)",
                                  2 * [truth["athlete"], truth["find_from"], truth["find_by"]]).fetchall()
    assert weeks > 50
    return poisson.ppf(0.95, 0.30 * weeks / 52)
