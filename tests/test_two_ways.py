"""A pair such as "12/12 @ 40 kg": two sets where the plan beside it says two, else it waits with how each reading is written, and that is read."""

from __future__ import annotations

import csv
import doctest
import io
from pathlib import Path

import pytest

from etl.importing import mend, waiting
from etl.shapes import two_ways
from tests.logs import ask, bring

HEAD = "Date,Athlete,Exercise,Planned,Done\n"
ROWS = "2026-03-02,Ida,Leg press,3x10 @ 90 kg,10/10/9 @ 90 kg\n2026-03-02,Ida,Back squat,3x5 @ 80 kg,3x5 @ 80 kg\n2026-03-02,Ida,Bench press,2x8 @ 50 kg,8/7/6 @ 50 kg\n"


def rows(*lines: str) -> str:
    return HEAD + ROWS + "".join(f"2026-03-04,Ida,{line}\n" for line in lines)


@pytest.mark.parametrize(("plan", "done", "stored"), [
    ("2x12 @ 40 kg", "12/12 @ 40 kg", [(12.0, 40.0, "both"), (12.0, 40.0, "both")]),
    ("2x8 @ 40 kg", "7/8 @ 40 kg", [(7.0, 40.0, "both"), (8.0, 40.0, "both")]),
    ("2x12 @ 40 kg", "12/12", [(12.0, 40.0, "both"), (12.0, 40.0, "both")])])
def test_a_plan_of_two_sets_settles_it(store: Path, plan: str, done: str, stored: list):
    assert bring(store, rows(f"Lying leg curl,{plan},{done}"))["rows_set_aside"] == 0
    assert ask(store, "select reps, load_kg, side from sets where date = '2026-03-04' and not planned order by set_no") == stored


@pytest.mark.parametrize("plan", ["3x12 @ 40 kg", "2x12 each side @ 40 kg"])
def test_another_plan_does_not_and_both_ways_are_named_and_read(store: Path, plan: str):
    report = bring(store, rows(f"Lying leg curl,{plan},12/12 @ 40 kg"))
    (aside,) = report["set_aside"]
    assert aside["reason"] == ('"12/12 @ 40 kg" may be two sets or two sides: write "2x12 @ 40 kg" for two sets, "L 12 / R 12 @ 40 kg" for two sides')
    cells = next(csv.reader(io.StringIO(waiting(store)["text"].iloc[0])))
    assert mend(store, report["import"], "log.csv", {int(aside["row"]): [*cells[:3], plan, "L 12 / R 12 @ 40 kg"]})["taken_in"] == 1
    assert ask(store, "select reps, load_kg, side from sets where date = '2026-03-04' and not planned order by side") == [(12.0, 40.0, "left"), (12.0, 40.0, "right")]


def test_without_a_plan_it_says_how_to_write_it_and_a_count_beside_it_keeps_its_own_words(store: Path):
    report = bring(store, "Date,Athlete,Exercise,Work\n2026-03-02,Ida,Bench press,3x8 @ 50 kg\n2026-03-03,Ida,Bench press,3x8 @ 50 kg\n2026-03-04,Ida,Bench press,7/8 @ 50 kg\n")
    assert [aside["reason"] for aside in report["set_aside"]] == [
        '"7/8 @ 50 kg" may be two sets, two sides, a range, or sets and repetitions: write "7 @ 50 kg; 8 @ 50 kg" for two sets, "L 7 / R 8 @ 50 kg" for two sides']
    again = bring(store, "Date,Athlete,Exercise,Work\n2026-04-02,Ida,Bench press,3x8 @ 50 kg\n2026-04-03,Ida,Bench press,3x8 @ 50 kg\n2026-04-04,Ida,Bench press,7 @ 50 kg; 8 @ 50 kg\n", name="next.csv")
    assert again["rows_set_aside"] == 0 and ask(store, "select reps from sets where date = '2026-04-04' order by set_no") == [(7.0,), (8.0,)]


def test_a_plan_beside_rows_of_repetitions_settles_it_too(store: Path):
    report = bring(store, "Date,Athlete,Exercise,Target,Reps,Weight\n2026-03-02,Ida,Bench press,1x8,8,50\n2026-03-03,Ida,Bench press,1x8,8,50\n2026-03-04,Ida,Bench press,2x8,8/8,50\n")
    assert report["rows_set_aside"] == 0 and ask(store, "select count(*) from sets where date = '2026-03-04' and not planned") == [(2,)]


def test_examples_in_the_docstrings_hold():
    found = doctest.testmod(two_ways)
    assert found.attempted and not found.failed
