"""Two spellings of one athlete, and what the names of exercises mean: decided once, kept for every later file, and taken back."""

from __future__ import annotations

from pathlib import Path

import pytest

from etl.importing import Answers, correct, decide, decisions, known, merge_athletes, remove, take_back_change, undecide, undo
from etl.refusal import Refusal
from etl.store.athletes import say
from tests.logs import PLAIN, ROW, THREE, ask, bring, set_of


def test_two_spellings_become_one_athlete_and_the_larger_count_stays(store: Path):
    bring(store, THREE)
    bring(store, THREE.replace("Ida", "ida k").replace(",2,60,8,2,", ",2,60,8,2,slow") + ROW.format(n=4, load=65).replace("Ida", "ida k"), name="other.csv")
    say(store, "Ida", level="advanced")
    assert merge_athletes(store, "ida k", "Ida") == {"sets_moved": 1, "sets_already_there": 3}
    assert ask(store, "select athlete, count(*) from sets group by 1") == [("Ida", 4)]
    assert ask(store, "select note from sets where set_no = 2") == [("slow",)], "what the twin said fills what was empty"
    assert ask(store, "select athlete, level from athletes") == [("Ida", "advanced")]
    assert bring(store, THREE.replace("Ida", "Ida K"))["sets_stored"] == 0
    assert bring(store, THREE.split("\n", 1)[0].replace("Athlete,", "") + "\n2026-03-02,Bench press,1,60,8,2,\n", Answers(athlete="ida k"))["sets_stored"] == 0


def test_merged_spellings_undo_like_overlapping_imports(store: Path):
    first = bring(store, THREE)
    bring(store, THREE.replace("Ida", "Ida K"), name="other.csv")
    merge_athletes(store, "Ida K", "Ida")
    undo(store, first["import"])
    assert ask(store, "select athlete, count(*) from sets group by 1") == [("Ida", 3)]


def test_chains_of_spellings_resolve_and_a_name_can_be_turned_round(store: Path):
    for name in ("A", "B", "C"):
        bring(store, THREE.replace("Ida", name).replace("03-02", f"03-0{ord(name) - 60}"), name=f"{name}.csv")
    merge_athletes(store, "A", "B")
    merge_athletes(store, "B", "C")
    assert known(store).athletes == {"a": "C", "b": "C"}
    with pytest.raises(Refusal, match="one athlete already"):
        merge_athletes(store, "A", "C")
    merge_athletes(store, "C", "A")
    assert known(store).athletes == {"b": "A", "c": "A"} and ask(store, "select athlete, count(*) from sets group by 1") == [("A", 9)]
    with pytest.raises(Refusal, match="no athlete 'Nobody'"):
        merge_athletes(store, "Nobody", "A")


def test_what_was_corrected_under_one_spelling_holds_under_the_other(store: Path):
    bring(store, THREE)
    correct(store, set_of(store, "set_no = 1"), load_kg=55)
    bring(store, THREE.replace("Ida", "Ida K"), name="other.csv")
    remove(store, set_of(store, "athlete = 'Ida K' and set_no = 3"))
    merge_athletes(store, "Ida K", "Ida")
    assert ask(store, "select set_no, load_kg from sets order by 1") == [(1, 55.0), (2, 60.0)]
    assert bring(store, THREE.replace("Ida", "Ida K"))["sets_stored"] == 0


def test_days_of_two_spellings_become_one(store: Path):
    text = "Date,Athlete,Exercise,Load (kg),Reps,Body mass (kg)\n2026-03-02,Ida,,,,71\n2026-03-03,Ida,Squat,60,5,\n"
    bring(store, text)
    bring(store, text.replace("Ida", "I.").replace("03-03,I.", "03-04,I."), name="other.csv")
    merge_athletes(store, "I.", "Ida")
    assert ask(store, "select athlete, body_mass_kg from days") == [("Ida", 71.0)]
    assert bring(store, text)["days_stored"] == 0


def test_an_undo_after_a_merge_keeps_the_days_that_both_had(store: Path):
    text = "Date,Athlete,Exercise,Load (kg),Reps,Body mass (kg)\n2026-03-02,Ida,,,,71\n"
    first = bring(store, text)["import"]
    bring(store, text.replace("Ida", "I."), name="other.csv")
    merge_athletes(store, "I.", "Ida")
    assert ask(store, "select days_stored, already_stored from imports order by import_id") == [(1, 0), (0, 1)]
    undo(store, first)
    assert ask(store, "select athlete, body_mass_kg from days") == [("Ida", 71.0)]


ODD_NAME = "date,athlete,exercise,set,reps,load_kg\n2026-03-02,Ida,Zorblax lift,1,5,60\n2026-03-02,Ida,Zorblax lift,2,5,60\n"


def test_a_set_that_comes_back_after_a_decision_follows_it(store: Path):
    bring(store, ODD_NAME)
    change = remove(store, set_of(store))
    decide(store, "Zorblax lift", "barbell_bench_press", "grip=wide")
    take_back_change(store, change)
    assert ask(store, "select exercise, modifiers, count(*) from sets group by all") == [("barbell_bench_press", "grip=wide", 2)]


def test_a_decision_does_what_an_import_after_it_does(store: Path):
    bring(store, ODD_NAME)
    press = "barbell_bench_press"
    decided = [(press, "grip=wide"), (press, "grip=close"), (press, ""), ("dumbbell_curl", "grip=neutral")]
    for number, (exercise, modifiers) in enumerate(decided):
        decide(store, "Zorblax lift", exercise, modifiers)
        bring(store, ODD_NAME.replace("03-02", f"04-{number + 1:02}"), name=f"{number}.csv")
        kinds = ask(store, "select distinct exercise, modifiers from sets")
        assert len(kinds) == 1, (exercise, modifiers, kinds)


def test_a_decision_taken_back_gives_what_the_file_s_own_id_says(store: Path):
    bring(store, "date,athlete,exercise,exercise_id,set,reps,load_kg\n2026-03-02,Ida,Zorblax,barbell_back_squat,1,5,60\n")
    before = ask(store, "select exercise from sets")
    assert before != [(None,)]
    decide(store, "Zorblax", "barbell_bench_press")
    undecide(store, "Zorblax")
    assert ask(store, "select exercise from sets") == before


def test_a_decision_can_be_taken_back(store: Path):
    bring(store, THREE)
    decide(store, "Bench Press", "dumbbell_bench_press")
    assert ask(store, "select distinct exercise from sets") == [("dumbbell_bench_press",)]
    assert undecide(store, "bench press") == 3
    assert ask(store, "select distinct exercise from sets") == [("barbell_bench_press",)]
    with pytest.raises(Refusal, match="Nothing was decided"):
        undecide(store, "bench press")
    with pytest.raises(Refusal, match="no exercise"):
        decide(store, "bench press", "moon_walk")


def test_a_set_whose_name_was_corrected_follows_a_decision_on_its_new_name(store: Path):
    number = bring(store, THREE)["import"]
    correct(store, set_of(store), exercise_as_written="Kitchen table pull")
    correct(store, set_of(store, "set_no = 2"), exercise="barbell_row")
    decide(store, "kitchen table pull", "inverted_row")
    decide(store, "bench press", "dumbbell_bench_press")
    expected = [(1, "inverted_row"), (2, "barbell_row"), (3, "dumbbell_bench_press")]
    assert ask(store, "select set_no, exercise from sets order by 1") == expected
    undo(store, number)
    bring(store, THREE)
    assert ask(store, "select set_no, exercise from sets order by 1") == expected


def test_a_name_that_the_catalogue_lacks_is_not_asked_about_again(store: Path):
    text = "Date,Athlete,Exercise,Load (kg),Reps\n2026-03-02,Ida,Bench press,60,8\n"
    decide(store, "bench press", "")
    bring(store, text)
    assert ask(store, "select exercise from sets") == [(None,)]
    assert decisions(store)[["name_key", "exercise", "sets"]].values.tolist() == [["bench press", "", 1]]
    decide(store, "bench press", "barbell_bench_press")
    assert ask(store, "select exercise from sets") == [("barbell_bench_press",)]


def test_a_spelling_that_differs_in_its_capitals_stays_merged_after_another_merge(store: Path):
    bring(store, PLAIN.replace("Ida", "ida"), name="lower.csv")
    bring(store, PLAIN, name="upper.csv")
    bring(store, PLAIN.replace("Ida", "Priya"), name="other.csv")
    merge_athletes(store, "ida", "Ida")
    merge_athletes(store, "Priya", "Ida")
    undo(store, 2)
    assert ask(store, "select distinct athlete from sets") == [("Ida",)]
