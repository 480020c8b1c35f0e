"""What an exercise was done with, where a file says it beside the name: in a column of its own, or over its loads."""

from __future__ import annotations

from pathlib import Path

import pytest

from dashboard.queries import imports as imports_of
from dashboard.queries.kept import store_at
from dashboard.standing.refresh import refresh
from etl.importing import correct, decide, undecide
from etl.importing.exercises import load_thing
from etl.names.things import THINGS, named_thing
from tests.logs import TODAY, ask, bring, set_of

# Bare name, and what it is with each thing: common practice, no source.
WITH = [
    ("Bench press", "dumbbell", "dumbbell_bench_press"), ("Bench press", "barbell", "barbell_bench_press"), ("Curl", "dumbbell", "dumbbell_curl"),
    ("Curl", "barbell", "barbell_curl"), ("Curl", "cable", "cable_curl"), ("Overhead triceps extension", "dumbbell", "overhead_dumbbell_triceps_extension"),
    ("Row", "dumbbell", "dumbbell_row"), ("Shrug", "dumbbell", "dumbbell_shrug"), ("Romanian deadlift", "dumbbell", "dumbbell_romanian_deadlift")]


def beside(name: str, thing: str, load: str = "20") -> str:
    return f"Date,Athlete,Exercise,Equipment,Load (kg),Reps\n2026-03-02,Ida,{name},{thing},{load},8\n"


def over(name: str, header: str, load: str = "20") -> str:
    return f"Date,Athlete,Exercise,{header},Reps\n2026-03-02,Ida,{name},{load},8\n"


def exercises(store: Path) -> list[str | None]:
    return [one for (one,) in ask(store, "select exercise from sets order by set_id")]


@pytest.mark.parametrize(("name", "thing", "exercise"), WITH)
def test_a_bare_name_is_read_with_what_stands_beside_it(store: Path, name: str, thing: str, exercise: str):
    bring(store, beside(name, thing.capitalize() + "s"))
    assert exercises(store) == [exercise]


@pytest.mark.parametrize(("name", "thing", "exercise"), [one for one in WITH if one[1] != "cable"])
@pytest.mark.parametrize("header", ["{} kg", "{} weight (kg)"])
def test_a_bare_name_is_read_with_what_its_loads_are_of(store: Path, header: str, name: str, thing: str, exercise: str):
    told = bring(store, over(name, header.format(thing.capitalize())))
    assert exercises(store) == [exercise]
    assert any(f"read as a {thing}'s" in one for one in told["assumed"])


def test_one_name_may_be_several_exercises_in_one_file(store: Path):
    bring(store, beside("Curl", "Dumbbells") + "2026-03-02,Ida,Curl,Barbell,30,8\n2026-03-02,Ida,Curl,,25,8\n2026-03-02,Ida,Curl,home,25,8\n")
    assert exercises(store) == ["dumbbell_curl", "barbell_curl", None, None]
    assert ask(store, "select exercise_as_written from sets where exercise is null group by all") == [("Curl",)]


@pytest.mark.parametrize(("name", "thing", "exercise"), [
    ("Pull-up", "dumbbell", "pull_up"), ("Hammer curl", "home gym", "hammer_curl"), ("Cable row", "dumbbell", "seated_cable_row"), ("Bench press", "rack", "barbell_bench_press"),
    ("Bench press", "none", "barbell_bench_press"), ("Squat", "bodyweight", "bodyweight_squat"), ("Deadlift", '"Barbell, rack"', "deadlift"), ("Dip", "pull-up bar", "dip"),
    ("Push-up", "bench", "push_up"), ("Squat", "wall", "barbell_back_squat"), ("Lat pulldown", "machine", "lat_pulldown"), ("Latzug", "Maschine", "lat_pulldown"),
    ("Pull-up", "x " * 5000, "pull_up")])
def test_a_name_that_says_it_keeps_its_exercise(store: Path, name: str, thing: str, exercise: str):
    bring(store, beside(name, thing, "" if thing == "bodyweight" else "20"))
    assert exercises(store) == [exercise]


def test_a_bare_name_is_not_taken_for_what_is_done_with_something_else(store: Path):
    """A bench press is a barbell's where nothing else is said. One at the cable is none that the catalogue knows: it waits."""
    bring(store, beside("Bench press", "cable"))
    assert exercises(store) == [None]
    (waits,) = imports_of.unmatched(store_at(store), None).itertuples()
    assert (waits.exercise_as_written, waits.thing) == ("Bench press", "cable")


def test_a_row_without_a_load_was_not_done_with_it(store: Path):
    bring(store, over("Squat", "Barbell kg", "") + "2026-03-02,Ida,Squat,60,8\n")
    assert ask(store, "select modifiers from sets order by set_id") == [(None,), ("equipment=barbell",)]


def test_what_the_column_says_goes_before_the_header(store: Path):
    bring(store, "Date,Athlete,Exercise,Equipment,Dumbbell kg,Reps\n2026-03-02,Ida,Curl,cable,20,8\n2026-03-02,Ida,Curl,,20,8\n")
    assert exercises(store) == ["cable_curl", "dumbbell_curl"]


def test_what_a_person_decided_on_the_name_stays_and_can_be_taken_back(store: Path):
    bring(store, beside("Curl", "dumbbell"))
    decide(store, "Curl", "hammer_curl")
    assert exercises(store) == ["hammer_curl"]
    bring(store, beside("Curl", "barbell").replace("2026-03-02", "2026-03-03"))
    assert exercises(store) == ["hammer_curl"] * 2
    undecide(store, "Curl")
    assert exercises(store) == ["dumbbell_curl", "barbell_curl"]


@pytest.mark.parametrize(("text", "thing"), [
    ("Dumbbells (pair)", "dumbbell"), ("Langhantel", "barbell"), ("mancuernas", "dumbbell"), ("KB", "kettlebell"), ("bench, dumbbells", "dumbbell"),
    ("barbell / dumbbell", ""), ("gym", ""), ("", ""), ("Body weight", "bodyweight")])
def test_which_thing_a_text_names(text: str, thing: str):
    assert named_thing(text) == thing and thing in (*THINGS, "")


def test_an_id_that_the_file_gives_goes_before(store: Path):
    bring(store, "Date,Athlete,Exercise,Exercise id,Equipment,Load (kg),Reps\n2026-03-02,Ida,Curl,hammer_curl,dumbbell,20,8\n2026-03-03,Ida,Curl,,dumbbell,20,8\n")
    assert exercises(store) == ["hammer_curl", "dumbbell_curl"]


def test_a_corrected_name_is_read_with_what_it_was_done_with(store: Path):
    bring(store, beside("Bnch prss x", "dumbbell"))
    correct(store, set_of(store), exercise_as_written="Bench press")
    assert ask(store, "select exercise, modifiers from sets") == [("dumbbell_bench_press", "equipment=dumbbell")]


def test_holds_under_another_header_go_on(store: Path):
    for month, header in ((3, "Load (kg)"), (4, "Dumbbell kg")):
        bring(store, f"Date,Athlete,Exercise,{header},Seconds\n2026-0{month}-02,Ida,Farmers hold,20,40\n", name=f"{month}.csv")
    refresh(store, today=TODAY)
    assert ask(store, "select series, count(*) from kept_bests where measure = 'hold' group by all") == [("20 kg", 2)]


@pytest.mark.parametrize("header", ["Weight per dumbbell (kg)", "Load (kg, dumbbells: each)", "kg per hand, dumbbells", "Load (kg)", "Weight", "Bodyweight + kg", "kg", ""])
def test_a_header_that_names_no_thing(header: str):
    assert load_thing(header) == ""
