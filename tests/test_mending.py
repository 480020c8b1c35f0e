"""What a person puts right stays right: mended rows, corrected and removed sets, merged spellings, another mapping, erasing."""

from __future__ import annotations

import csv
import json
import stat
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from streamlit.testing.v1 import AppTest

from dashboard.command.main import CORRECTIONS, main
from etl.importing import (
    Answers, changes, correct, decide, decisions, erase_athlete, keep, known, mend, mend_all, mended_rows, merge_athletes, read_again, remove,
    take_back_change, undecide, understand, undo, unmend, waiting,
)
from etl.importing import large
from etl.importing.corrections import CORRECTABLE
from etl.refusal import Refusal
from etl.store import reading, sources, writing
from etl.store.athletes import say

HEAD = "Date,Athlete,Exercise,Set,Load (kg),Reps,RIR,Note\n"
ROW = "2026-03-02,Ida,Bench press,{n},{load},8,2,\n"
THREE = HEAD + "".join(ROW.format(n=n, load=60) for n in (1, 2, 3))
TWINS = "Date,Athlete,Exercise,Load (kg),Reps\n" + "2026-03-02,Ida,Bench press,60,8\n" * 3
TODAY = date(2026, 11, 1)


@pytest.fixture
def store(tmp_path: Path) -> Path:
    return tmp_path / "store.duckdb"


def bring(store: Path, text: str, answers: Answers = Answers(), name: str = "log.csv") -> dict:
    return keep(store, understand([(name, text.encode())], answers, known=known(store), today=TODAY))


def ask(store: Path, sql: str) -> list[tuple]:
    with reading(store) as con:
        return con.execute(sql).fetchall()


def set_of(store: Path, where: str = "true") -> int:
    return ask(store, f"select min(set_id) from sets where {where}")[0][0]


# --- corrected and removed sets ----------------------------------------------------------------------------------------


def test_a_corrected_set_is_not_brought_back_by_the_next_export(store: Path):
    bring(store, THREE)
    correct(store, set_of(store, "set_no = 2"), load_kg=62.5, reps=6)
    for text in (THREE, THREE + ROW.format(n=4, load=65), THREE.replace("press,2,60,8", "press,2,62.5,6")):
        bring(store, text)
        assert ask(store, "select load_kg, reps from sets where set_no = 2") == [(62.5, 6.0)]
    assert ask(store, "select count(*) from sets") == [(4,)]


def test_of_three_identical_sets_one_is_removed_and_two_stay(store: Path):
    bring(store, TWINS)
    remove(store, set_of(store))
    report = bring(store, TWINS)
    assert (report["sets_stored"], report["already_stored"]) == (0, 3)
    two = TWINS.removesuffix("2026-03-02,Ida,Bench press,60,8\n")
    assert bring(store, two)["sets_stored"] == 0 and ask(store, "select count(*) from sets") == [(2,)]
    bring(store, TWINS + "2026-03-02,Ida,Bench press,60,8\n")
    assert ask(store, "select count(*) from sets") == [(3,)], "four in the file, of which one is the removed"


def test_of_three_identical_sets_one_is_corrected_whether_its_owner_mends_the_log_or_not(store: Path):
    bring(store, TWINS)
    correct(store, set_of(store), load_kg=70)
    two_and_one = TWINS.removesuffix("2026-03-02,Ida,Bench press,60,8\n") + "2026-03-02,Ida,Bench press,70,8\n"
    for text in (TWINS, two_and_one):
        assert bring(store, text)["sets_stored"] == 0
    assert ask(store, "select load_kg, count(*) from sets group by 1 order by 1") == [(60.0, 2), (70.0, 1)]


def test_corrections_hold_after_the_import_is_undone_and_made_anew(store: Path):
    first = bring(store, THREE)
    correct(store, set_of(store, "set_no = 1"), load_kg=55)
    remove(store, set_of(store, "set_no = 3"))
    undo(store, first["import"])
    assert ask(store, "select count(*) from sets") == [(0,)]
    report = bring(store, THREE)
    assert (report["sets_stored"], report["already_stored"]) == (2, 1)
    assert ask(store, "select set_no, load_kg from sets order by 1") == [(1, 55.0), (2, 60.0)]


def test_corrections_hold_where_an_undo_reads_a_later_import_again(store: Path):
    first = bring(store, THREE)
    bring(store, THREE + ROW.format(n=4, load=65), name="longer.csv")
    correct(store, set_of(store, "set_no = 1"), load_kg=55)
    undo(store, first["import"])
    assert ask(store, "select set_no, load_kg from sets order by 1") == [(1, 55.0), (2, 60.0), (3, 60.0), (4, 65.0)]


def test_what_is_no_part_of_a_set_s_identity_is_not_overwritten_either(store: Path):
    bring(store, THREE)
    correct(store, set_of(store, "set_no = 1"), rir=0, note="to failure")
    report = bring(store, THREE)
    assert report["differs"] == 0 and ask(store, "select rir, note from sets where set_no = 1") == [(0.0, "to failure")]


def test_a_set_corrected_twice(store: Path):
    bring(store, THREE)
    one = set_of(store, "set_no = 1")
    first, second = correct(store, one, load_kg=55), correct(store, one, load_kg=57.5)
    for text in (THREE, THREE.replace("press,1,60", "press,1,55"), THREE.replace("press,1,60", "press,1,57.5")):
        assert bring(store, text)["sets_stored"] == 0
    with pytest.raises(Refusal, match="changed again"):
        take_back_change(store, first)
    take_back_change(store, second)
    take_back_change(store, first)
    assert ask(store, "select load_kg from sets where set_no = 1") == [(60.0,)] and changes(store).empty
    assert bring(store, THREE)["sets_stored"] == 0


def test_a_removal_can_be_taken_back_also_after_a_new_import(store: Path):
    first = bring(store, THREE)
    change = remove(store, set_of(store, "set_no = 2"))
    again = bring(store, THREE + ROW.format(n=4, load=65), name="longer.csv")
    undo(store, first["import"])
    assert take_back_change(store, change) is True, "the later import's file holds it too"
    assert ask(store, "select import_id from sets where set_no = 2") == [(again["import"],)]
    bring(store, THREE)
    assert ask(store, "select count(*) from sets") == [(4,)]
    other = remove(store, set_of(store, "set_no = 4"))
    assert take_back_change(store, other) is True
    assert ask(store, "select import_id, load_kg from sets where set_no = 4") == [(again["import"], 65.0)]
    with pytest.raises(Refusal, match="no change"):
        take_back_change(store, other)


def test_a_corrected_date_makes_both_weeks_stale_and_moves_the_session(store: Path):
    bring(store, THREE)
    with writing(store) as con:
        con.execute("delete from stale")
    correct(store, set_of(store), date="2026-02-16")
    assert ask(store, "select from_week::text from stale") == [("2026-02-16",)]
    assert ask(store, "select distinct session from sets where date = '2026-02-16'") == [("2026-02-16",)]
    assert bring(store, THREE)["sets_stored"] == 0


def test_a_corrected_load_settles_the_warm_ups_of_the_day_anew(store: Path):
    bring(store, "Date,Athlete,Exercise,Set,Load (kg),Reps\n2026-03-02,Ida,Squat,1,70,8\n2026-03-02,Ida,Squat,2,100,5\n")
    assert ask(store, "select kind from sets where set_no = 1") == [("work",)]
    correct(store, set_of(store, "set_no = 2"), load_kg=140)
    assert ask(store, "select kind from sets where set_no = 1") == [("warm_up",)]


def test_a_corrected_name_is_matched_anew(store: Path):
    bring(store, THREE)
    correct(store, set_of(store), exercise_as_written="Barbell row")
    assert ask(store, "select exercise, name_key from sets where set_no = 1") == [("barbell_row", "barbell row")]
    assert bring(store, THREE)["sets_stored"] == 0


@pytest.mark.parametrize(("values", "says"), [
    ({"reps": 501}, "out of bounds"), ({"load_kg": "heavy"}, "no number"), ({"date": "2026-02-31"}, "no date"), ({"date": "2999-01-01"}, "future"),
    ({"exercise": "moon_walk"}, "no exercise"), ({"kind": "hard"}, "no kind"), ({"reps": None}, "repetitions or seconds"), ({"set_no": 1.5}, "whole"),
    ({"athlete": "Ole"}, "cannot be corrected"), ({"reps": 8}, "already"), ({"exercise_as_written": " "}, "needs a name"), ({"rir": float("nan")}, "out of bounds")])
def test_a_wrong_correction_is_refused_and_changes_nothing(store: Path, values: dict, says: str):
    bring(store, THREE)
    before = ask(store, "select * from sets order by set_id")
    with pytest.raises(Refusal, match=says):
        correct(store, set_of(store), **values)
    assert ask(store, "select * from sets order by set_id") == before and changes(store).empty


def test_an_unknown_set_is_refused(store: Path):
    with pytest.raises(Refusal, match="no set 7"):
        remove(store, 7)


LOADS = st.lists(st.sampled_from((50, 60, 70)), min_size=1, max_size=5)


@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(LOADS, st.lists(st.tuples(st.integers(0, 4), st.sampled_from((50, 55, 60, "remove", "back"))), max_size=4))
def test_whatever_is_changed_the_same_log_and_the_mended_log_add_nothing(tmp_path_factory: pytest.TempPathFactory, loads: list, edits: list):
    """The log as the store now has it is what its owner's mended log holds: neither it nor the old log adds a set."""
    store = tmp_path_factory.mktemp("changed") / "s.duckdb"
    text = "Date,Athlete,Exercise,Load (kg),Reps\n" + "".join(f"2026-03-02,Ida,Bench press,{load},8\n" for load in loads)
    first = bring(store, text)
    for position, load in edits:
        ids = [i for (i,) in ask(store, "select set_id from sets order by set_id")]
        here = ids[position % len(ids)] if ids else None
        if load == "back":
            if not changes(store).empty:
                take_back_change(store, int(changes(store)["change_id"].iloc[0]))
        elif here is not None and load == "remove":
            remove(store, here)
        elif here is not None and ask(store, f"select load_kg from sets where set_id = {here}") != [(float(load),)]:
            correct(store, here, load_kg=load)
    now = ask(store, "select load_kg, count(*) from sets group by 1 order by 1")
    assert bring(store, text)["sets_stored"] == 0
    mended = text.splitlines()[0] + "\n" + "".join(f"2026-03-02,Ida,Bench press,{load:g},8\n" * count for load, count in now)
    assert bring(store, mended)["sets_stored"] == 0
    undo(store, first["import"])
    assert ask(store, "select load_kg, count(*) from sets group by 1 order by 1") == now


# --- athletes and exercises ---------------------------------------------------------------------------------------------


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


# --- mending rows that were set aside -------------------------------------------------------------------------------------

BAD = THREE + "2026-02-31,Ida,Bench press,4,60,8,2,\n2026-03-02,Ida,Bench press,5,60,many,2,\n"
GOOD_4 = ["2026-03-02", "Ida", "Bench press", "4", "60", "8", "2", ""]


def test_mended_rows_are_taken_in_and_the_next_export_does_not_bring_the_mistake_back(store: Path):
    number = bring(store, BAD)["import"]
    assert waiting(store)["row"].tolist() == [5, 6]
    table = waiting(store, number, "log.csv")
    assert table.columns.tolist() == ["import_id", "file", "row", "reason", "Date", "Athlete", "Exercise", "Set", "Load (kg)", "Reps", "RIR", "Note"]
    assert table["Date"].tolist() == ["2026-02-31", "2026-03-02"]
    report = mend(store, number, "log.csv", {5: GOOD_4, 6: None})
    assert (report["taken_in"], report["left_out"], report["sets_stored"], report["still_set_aside"]) == (1, 1, 1, [])
    assert ask(store, "select set_no, import_id, source_row from sets where set_no > 3") == [(4, number, 5)]
    assert waiting(store).empty
    again = bring(store, BAD, name="next.csv")
    assert (again["sets_stored"], again["rows_set_aside"]) == (0, 0)
    assert again["already_stored"] == 5, "the row that was left out counts as stored"


def test_the_counts_of_an_import_are_right_after_mending(store: Path):
    number = bring(store, BAD)["import"]
    mend(store, number, "log.csv", {5: GOOD_4})
    assert ask(store, "select rows_read, sets_stored, already_stored, rows_set_aside from imports") == [(5, 4, 0, 1)]


def test_a_row_that_is_mended_badly_stays_set_aside_and_can_be_mended_again(store: Path):
    number = bring(store, BAD)["import"]
    report = mend(store, number, "log.csv", {5: [*GOOD_4[:5], "lots", "2", ""]})
    assert report["taken_in"] == 0 and report["still_set_aside"][0]["row"] == 5 and "lots" in report["still_set_aside"][0]["text"]
    assert waiting(store)["row"].tolist() == [5, 6]
    assert mend(store, number, "log.csv", {5: GOOD_4})["taken_in"] == 1


def test_a_row_that_two_imports_set_aside_is_mended_in_both(store: Path):
    first = bring(store, BAD)["import"]
    bring(store, BAD, name="log.csv")
    assert len(waiting(store)) == 2, "listed once"
    mend(store, waiting(store)["import_id"].iloc[0], "log.csv", {5: GOOD_4, 6: None})
    assert waiting(store).empty
    undo(store, first)
    assert ask(store, "select count(*) from sets") == [(4,)] and waiting(store).empty


@pytest.mark.parametrize(("rows", "says"), [({2: GOOD_4}, "not waiting"), ({99: None}, "not waiting")])
def test_only_waiting_rows_can_be_mended(store: Path, rows: dict, says: str):
    number = bring(store, BAD)["import"]
    with pytest.raises(Refusal, match=says):
        mend(store, number, "log.csv", rows)
    with pytest.raises(Refusal, match="no file"):
        mend(store, number, "other.csv", rows)


def test_equal_rows_cannot_be_mended_differently(store: Path):
    number = bring(store, THREE + "2026-02-31,Ida,Bench press,4,60,8,2,\n" * 2)["import"]
    with pytest.raises(Refusal, match="same cells"):
        mend(store, number, "log.csv", {5: GOOD_4, 6: None})


DAY = "Back squat,1,5,60\n{0}Back squat,2,xx,60\n"
UNDER_DATES = "date,exercise,set,reps,load_kg\n" + "".join(f"{day},,,,\n," + DAY.format(",") for day in ("2026-03-02", "2026-03-04"))
DATES_AMONG = "exercise,set,reps,load_kg\n" + "".join(f"{day},,,\n" + DAY.format("") for day in ("2026-03-02", "2026-03-04"))


@pytest.mark.parametrize(("text", "cells"), [(UNDER_DATES, ["", "Back squat", "2", "8", "60"]), (DATES_AMONG, ["Back squat", "2", "8", "60"])])
def test_a_row_is_mended_under_its_own_date_only(store: Path, text: str, cells: list[str]):
    ida = Answers(athlete="Ida")
    number = bring(store, text, ida)["import"]
    report = mend(store, number, "log.csv", {4: cells})
    assert (report["taken_in"], report["sets_stored"]) == (1, 1) and waiting(store)["row"].tolist() == [7]
    assert ask(store, "select date::text from sets where set_no = 2") == [("2026-03-02",)]
    again = bring(store, text, ida, name="next.csv")
    assert (again["sets_stored"], again["rows_set_aside"]) == (0, 1)


def test_of_two_equal_rows_on_one_day_not_one_alone_is_mended(store: Path):
    number = bring(store, THREE + "2026-03-02,Ida,Bench press,4,60,many,2,\n" * 2)["import"]
    with pytest.raises(Refusal, match="2 rows have the same cells"):
        mend(store, number, "log.csv", {5: GOOD_4})
    assert mend(store, number, "log.csv", {5: GOOD_4, 6: GOOD_4})["sets_stored"] == 2


def test_two_files_of_one_name_are_told_apart(store: Path):
    bad = [HEAD + ROW.format(n=n, load=60) + f"2026-02-31,Ida,Bench press,{n + 5},60,8,2,\n" for n in (1, 2)]
    keep(store, understand([("log.csv", text.encode()) for text in bad], Answers(), known=known(store), today=TODAY))
    assert waiting(store)["file"].tolist() == ["log.csv", "log.csv (2)"]
    report = mend_all(store, {(1, "log.csv (2)"): {3: ["2026-03-02", "Ida", "Bench press", "7", "60", "8", "2", ""]}})
    assert report["taken_in"] == 1 and waiting(store)["file"].tolist() == ["log.csv"]
    assert ask(store, "select source.split('#')[1], source_row from sets where set_no = 7") == [("log.csv (2)", 3)]


def test_a_mended_row_with_more_cells_than_the_table_is_not_cut(store: Path):
    number = bring(store, BAD)["import"]
    report = mend(store, number, "log.csv", {5: [*GOOD_4, "and more"]})
    assert report["taken_in"] == 0 and "9 cells" in report["still_set_aside"][0]["reason"]


def test_a_row_that_is_as_it_waits_is_not_mended(store: Path):
    number = bring(store, BAD)["import"]
    report = mend(store, number, "log.csv", {5: ["2026-02-31", "Ida", "Bench press", "4", "60", "8", "2", ""]})
    assert report["taken_in"] == 0 and mended_rows(store).empty


def test_what_was_mended_and_left_out_is_listed_and_taken_back(store: Path):
    number = bring(store, BAD)["import"]
    mend(store, number, "log.csv", {5: GOOD_4, 6: None})
    again = bring(store, BAD, name="next.csv")
    assert any("1 row left out" in text for text in again["assumed"])
    done = mended_rows(store).set_index("row")
    assert done.loc[5, "cells"] == GOOD_4 and done.loc[6, "cells"] is None and "many" in done.loc[6, "text"]
    assert unmend(store, done.loc[6, "key"]) == 2, "it waits in both imports"
    assert unmend(store, done.loc[5, "key"]) == 2
    assert ask(store, "select count(*) from sets") == [(3,)] and mended_rows(store).empty
    assert set(waiting(store)["row"]) == {5, 6}
    assert ask(store, "select sum(sets_stored), sum(rows_set_aside) from imports") == [(3, 4)]
    with pytest.raises(Refusal, match="neither mended"):
        unmend(store, done.loc[5, "key"])


def test_headers_named_as_the_list_of_waiting_rows_is_are_kept_apart(store: Path):
    number = bring(store, "date,athlete,exercise,set,reps,load_kg,row,file,leave out,c0,\n2026-03-02,Ida,Squat,1,xx,60,a,b,c,d,e\n")["import"]
    found = waiting(store, number, "log.csv")
    assert not found.columns.duplicated().any() and found["row"].tolist() == [2]
    assert found.iloc[0, 4:].tolist() == ["2026-03-02", "Ida", "Squat", "1", "xx", "60", "a", "b", "c", "d", "e"]


# --- reading again ---------------------------------------------------------------------------------------------------------

PLAIN = "Date,Athlete,Exercise,Set,Load,Reps\n2026-03-02,Ida,Curl,1,20,10\n2026-03-02,Ida,Curl,2,20,9\n"


def test_an_import_is_read_again_with_another_answer_under_its_number(store: Path):
    number = bring(store, PLAIN)["import"]
    report = read_again(store, number, Answers(unit="lb"))
    assert (report["import"], report["sets_stored"], report["later"]) == (number, 2, {})
    assert ask(store, "select distinct import_id, round(load_kg, 6) from sets") == [(number, round(20 * 0.45359237, 6))]
    assert ask(store, "select undone, sets_stored from imports") == [(False, 2)]


def test_a_corrected_mapping_holds_for_the_next_file_of_the_same_shape(store: Path):
    number = bring(store, PLAIN)["import"]
    read_again(store, number, Answers(unit="lb"))
    report = bring(store, PLAIN.replace("03-02", "03-09"), name="next.csv")
    assert ask(store, "select distinct round(load_kg, 6) from sets") == [(round(20 * 0.45359237, 6),)]
    assert any("earlier file" in text for text in report["assumed"])


def test_an_import_is_read_again_as_it_was_said_then_not_as_later_ones_were(store: Path):
    """An undo reads the later import once more: an answer for that header which came after it does not change it."""
    first = bring(store, PLAIN)["import"]
    bring(store, PLAIN + "2026-03-04,Ida,Curl,1,20,10\n", name="second.csv")
    bring(store, PLAIN.replace("03-02", "05-04"), Answers(unit="lb"), name="third.csv")
    undo(store, first)
    assert ask(store, "select date::text, load_kg from sets where date < '2026-05-01' order by date, set_no") == [
        ("2026-03-02", 20.0), ("2026-03-02", 20.0), ("2026-03-04", 20.0)]


def test_answers_are_forgotten_with_the_import_they_were_given_for(store: Path):
    number = bring(store, PLAIN, Answers(unit="lb"))["import"]
    undo(store, number)
    bring(store, PLAIN)
    assert ask(store, "select distinct load_kg from sets") == [(20.0,)]


def test_reading_again_does_not_bring_old_answers_over_newer_ones(store: Path):
    first = bring(store, PLAIN, Answers(unit="lb"))["import"]
    bring(store, PLAIN.replace("03-02", "03-09"), Answers(unit="kg"), name="second.csv")
    read_again(store, first, Answers(athlete="Ida"))
    assert [kept.unit for kept in known(store).shapes.values()] == ["kg"]


def test_reading_again_says_what_is_taken_for_a_warm_up(store: Path):
    number = bring(store, "Date,Athlete,Exercise,Set,Load,Reps\n2026-03-02,Ida,Squat,1,40,8\n2026-03-02,Ida,Squat,2,100,5\n")["import"]
    assert any("warm-ups" in text for text in read_again(store, number, Answers(unit="kg"))["assumed"])


def test_a_large_import_is_read_again_as_it_was_read_at_first(store: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """By the fast path, without the rows of an athlete who was erased; an undo leaves imports of others alone."""
    monkeypatch.setattr("etl.fast.blocks.FAST_BYTES", 1)
    path = tmp_path / "gym.csv"
    path.write_text(HEAD + "".join(f"2026-03-{d:02},{who},Bench press,{n},60,8,2,\n" for d in range(1, 15) for who in ("Ole", "Ida") for n in (1, 2)))
    keep(store, understand([("gym.csv", path)], Answers(), known=known(store), today=TODAY))
    erase_athlete(store, "Ole")
    read = []
    monkeypatch.setattr("etl.importing.large.understand_fast", lambda *args, real=large.understand_fast: read.append(args[1]) or real(*args))
    assert read_again(store, 1, Answers(unit="kg"))["sets_stored"] == 28 and read == ["gym.csv"]
    assert ask(store, "select count(*), count(distinct set_id), list(distinct athlete) from sets") == [(28, 28, ["Ida"])]
    other = bring(store, THREE.replace("Ida", "Una"), name="una.csv")["import"]
    bring(store, THREE.replace("Ida", "Una") + "2026-02-31,Una,Bench press,4,60,8,2,\n", name="una2.csv")
    bring(store, THREE.replace("Ida", "Kai") + "2026-02-31,Kai,Bench press,4,60,8,2,\n", name="kai.csv")
    read.clear()
    undo(store, other)
    assert read == ["una2.csv"] and ask(store, "select count(*) from sets where athlete = 'Una'") == [(3,)]
    assert not list(store.parent.glob(".again-*"))


def test_a_later_import_of_the_same_rows_is_settled_and_named(store: Path):
    first = bring(store, PLAIN)["import"]
    second = bring(store, PLAIN, name="again.csv")["import"]
    report = read_again(store, first, Answers(unit="lb"))
    assert report["later"] == {second: 2} and ask(store, "select count(*) from sets") == [(4,)]


def test_a_refused_answer_leaves_the_store_as_it_was(store: Path):
    number = bring(store, PLAIN)["import"]
    before = ask(store, "select * from sets order by set_id")
    with pytest.raises(Refusal):
        read_again(store, number, Answers(columns={"load": "No such header"}))
    assert ask(store, "select * from sets order by set_id") == before and ask(store, "select undone from imports") == [(False,)]


# --- history, erase --------------------------------------------------------------------------------------------------------


def test_the_history_of_one_athlete_only(store: Path):
    bring(store, THREE + "2026-03-04,Ole,Bench press,1,100,5,2,\n2026-03-05,Ida,Bench press,1,80,5,2,\n")
    found = known(store).history("Ida")
    assert found.days == {date(2026, 3, 2), date(2026, 3, 5)} and found.loads == {"barbell_bench_press": 60.0}
    assert known(store).history("Nobody").days == frozenset()


MIXED = HEAD + "2026-03-02,Idunn Vega,Bench press,1,60,8,2,hers\n2026-03-02,Ole,Bench press,1,70,8,2,his\n2026-02-31,Idunn Vega,Squat,1,60,8,2,\n"
HERS = HEAD + "2026-03-09,Idunn Vega,Squat,1,80,5,1,alone\n2026-02-30,Idunn Vega,Squat,1,80,5,1,bad\n"


def test_nothing_of_an_erased_athlete_is_left(store: Path):
    bring(store, MIXED, name="gym.csv")
    own = bring(store, HERS, name="idunn vega.csv")
    mend(store, own["import"], "idunn vega.csv", {3: ["2026-03-10", "Idunn Vega", "Squat", "1", "80", "5", "1", "put right"]})
    correct(store, set_of(store, "athlete = 'Idunn Vega'"), reps=7)
    bring(store, HERS.replace("Idunn Vega", "Idunn V."), name="v.csv")
    merge_athletes(store, "Idunn V.", "Idunn Vega")
    copies = {p.name for p in sources.folder(store).iterdir()}
    report = erase_athlete(store, "idunn vega")
    assert (report["files_deleted"], report["files_kept"]) == (["idunn vega.csv", "v.csv"], ["gym.csv"])
    assert ask(store, "select athlete, count(*) from sets group by 1") == [("Ole", 1)]
    assert ask(store, "select count(*) from set_aside") == [(0,)] and ask(store, "select count(*) from imports") == [(1,)]
    text = store.read_bytes().lower()
    for word in (b"idunn", b"alone", b"put right"):
        assert word not in text
    assert len(copies) == 3 and len(list(sources.folder(store).iterdir())) == 1
    assert not list(store.parent.glob("*.part*")) and not list(store.parent.glob("*.wal"))


def test_the_store_goes_on_after_an_erasure_and_the_erased_rows_are_not_read_again(store: Path):
    first = bring(store, HEAD + "2026-03-02,Ole,Bench press,1,70,8,2,his\n", name="ole.csv")
    bring(store, MIXED, name="gym.csv")
    before = ask(store, "select max(set_id) from sets")[0][0]
    erase_athlete(store, "Idunn Vega")
    undo(store, first["import"])
    assert ask(store, "select athlete, note from sets") == [("Ole", "his")]
    report = bring(store, HERS, name="anew.csv")
    assert report["sets_stored"] == 1, "what is imported anew is kept"
    assert ask(store, "select min(set_id) > ? from sets where athlete = 'Idunn Vega'".replace("?", str(before))) == [(True,)], "numbers go on"
    with pytest.raises(Refusal, match="no athlete"):
        erase_athlete(store, "Nobody")


@pytest.mark.parametrize("name", ["my-log", "fresh", 'it"s'])
def test_an_athlete_is_erased_whatever_the_store_is_called(tmp_path: Path, name: str):
    store = tmp_path / f"{name}.duckdb"
    bring(store, THREE + ROW.format(n=1, load=60).replace("Ida", "Ole"))
    assert erase_athlete(store, "Ida")["sets"] == 3
    assert ask(store, "select athlete from sets") == [("Ole",)] and b"Ida" not in store.read_bytes()


def test_a_short_name_takes_no_other_rows_with_it(store: Path):
    bring(store, HEAD + "2026-03-02,Al,Squat,1,60,5,,\n2026-03-02,Bo,Calf raise,1,60,xx,,\n2026-03-02,Al,Squat,2,60,xx,,\n2026-03-02,Bo,Squat,1,60,5,,\n")
    erase_athlete(store, "Al")
    assert waiting(store)["text"].tolist() == ["2026-03-02,Bo,Calf raise,1,60,xx,,"]
    assert ask(store, "select rows_set_aside from imports") == [(1,)]


def test_a_copy_that_a_stopped_erasure_left_goes_with_the_next(store: Path, monkeypatch: pytest.MonkeyPatch):
    bring(store, HERS, name="hers.csv")
    bring(store, THREE)
    with monkeypatch.context() as stopped:
        stopped.setattr("etl.store.sources.drop", lambda *_: (_ for _ in ()).throw(KeyboardInterrupt))
        with pytest.raises(KeyboardInterrupt):
            erase_athlete(store, "Idunn Vega")
    erase_athlete(store, "Idunn Vega")
    assert [b"Idunn" in sources.read(store, name) for name in sources.names(store)] == [False]


def test_an_erasure_that_was_stopped_can_be_finished(store: Path, monkeypatch: pytest.MonkeyPatch):
    """After the rows are gone and before the file is written anew: the name may still be in its bytes, and erasing again ends that."""
    bring(store, HERS.replace("Idunn Vega", "Idunn Vega " * 2), name="gym.csv")
    monkeypatch.setattr("etl.store.erase.rewrite", lambda path: None)
    erase_athlete(store, "Idunn Vega Idunn Vega")
    monkeypatch.undo()
    assert erase_athlete(store, "Idunn Vega Idunn Vega")["sets"] == 0
    assert b"idunn" not in store.read_bytes().lower() and stat.S_IMODE(store.stat().st_mode) == 0o600


# --- the commands ----------------------------------------------------------------------------------------------------------


@pytest.fixture
def run(store: Path, capsys: pytest.CaptureFixture):
    def call(*words: str) -> tuple[int, str, str]:
        try:
            status = main([*words, "--store", str(store)])
        except SystemExit as stop:
            status = stop.code
        out, err = capsys.readouterr()
        return status, out, err

    return call


def test_rows_are_mended_in_a_spreadsheet(run, store: Path, tmp_path: Path):
    bring(store, BAD)
    sheet = tmp_path / "mend.csv"
    assert "row 5" in run("mend")[1]
    assert run("mend", "1", "--out", str(sheet))[0] == 0
    rows = list(csv.DictReader(sheet.open(encoding="utf-8-sig", newline="")))
    assert [(r["import"], r["row"]) for r in rows] == [("1", "5"), ("1", "6")]
    rows[0]["text"], rows[1]["text"] = rows[0]["text"].replace("02-31", "03-02"), ""
    with sheet.open("w", encoding="utf-8", newline="") as out:  # as a spreadsheet of another land writes it
        writer = csv.DictWriter(out, rows[0].keys(), delimiter=";")
        writer.writeheader()
        writer.writerows(rows)
    report = json.loads(run("mend", str(sheet), "--json")[1])
    assert (report["taken_in"], report["left_out"], report["unchanged"], report["not_waiting"]) == (1, 1, 0, 0)
    assert json.loads(run("mend", "--json")[1]) == {"waiting": []}
    assert json.loads(run("mend", str(sheet), "--json")[1])["not_waiting"] == 2


def test_a_table_that_nobody_mended_changes_nothing(run, store: Path, tmp_path: Path):
    bring(store, BAD)
    run("mend", "--out", str(tmp_path / "mend.csv"))
    report = json.loads(run("mend", str(tmp_path / "mend.csv"), "--json")[1])
    assert report["unchanged"] == 2 and len(waiting(store)) == 2
    status, _, err = run("mend", "--out", str(tmp_path / "mend.csv"))
    assert status == 1 and "already" in err


def test_an_untouched_sheet_of_cells_parted_by_tabs_spoils_nothing(run, store: Path, tmp_path: Path):
    bring(store, "date\tathlete\texercise\tset\treps\n\tIda\tSquat\t1\tmany\n2026-03-02\tIda\tSquat\t2\t5\n", name="log.tsv")
    run("mend", "--out", str(tmp_path / "mend.csv"))
    assert json.loads(run("mend", str(tmp_path / "mend.csv"), "--json")[1])["unchanged"] == 1 and mended_rows(store).empty


def test_mended_rows_are_listed_and_taken_back_from_the_command_line(run, store: Path):
    number = bring(store, BAD)["import"]
    mend(store, number, "log.csv", {6: None})
    assert "left out" in run("mend", "--list")[1]
    (row,) = json.loads(run("mend", "--list", "--json")[1])["mended"]
    assert json.loads(run("mend", "--take-back", row["key"][:8], "--json")[1])["waiting"] == 1
    assert run("mend", "--take-back", row["key"])[0] == 1 and len(waiting(store)) == 2


def test_every_column_that_can_be_corrected_has_an_option():
    options = {name.replace("-", "_") for name in CORRECTIONS} | {"planned"}
    assert options == {"written" if name == "exercise_as_written" else name for name in CORRECTABLE}


def test_sets_are_listed_corrected_and_given_back(run, store: Path):
    bring(store, THREE)
    listed = json.loads(run("sets", "--athlete", "ida", "--week", "2026-W10", "--json")[1])["sets"]
    assert len(listed) == 3 and listed[0]["date"] == "2026-03-02" and listed[0]["hold_s"] is None
    number = str(listed[0]["set_id"])
    done = json.loads(run("correct", number, "--reps", "6", "--load-kg", "62.5", "--json")[1])
    assert "62.5 kg" in run("sets", "--date", "2026-03-02")[1]
    assert "reps 8.0 -> 6.0" in run("correct", "--list")[1]
    assert "taken back" in run("correct", "--take-back", str(done["change"]))[1]
    assert "removed" in run("correct", number, "--remove")[1]
    assert len(json.loads(run("sets", "--json")[1])["sets"]) == 2
    assert run("correct", number)[0] == 1 and run("correct", "--reps", "6")[0] == 1 and run("correct", "1", "--reps", "many")[0] == 1


def test_spellings_and_names_from_the_command_line(run, store: Path):
    bring(store, THREE)
    bring(store, THREE.replace("Ida", "I.").replace("03-02", "03-03"), name="i.csv")
    assert "3 sets moved" in run("merge", "I.", "Ida")[1]
    assert "6 sets settled" in run("name", "Bench press", "dumbbell bench press")[1]
    assert ask(store, "select distinct exercise from sets") == [("dumbbell_bench_press",)]
    assert "dumbbell bench press" in run("name", "bench press")[1].lower()
    assert run("name", "bench press", "--forget")[0] == 0 and ask(store, "select distinct exercise from sets") == [("barbell_bench_press",)]
    assert run("name", "bench press", "--none")[0] == 0 and ask(store, "select distinct exercise from sets") == [(None,)]
    assert run("name", "bench press", "moon walk")[0] == 1 and run("name", "x", "--none", "--forget")[0] == 1


def test_an_import_is_read_again_from_the_command_line(run, store: Path):
    bring(store, PLAIN)
    bring(store, PLAIN, name="again.csv")
    assert "evenset again 2" in run("again", "1", "--unit", "lb")[1]
    report = json.loads(run("again", "2", "--unit", "lb", "--json")[1])
    assert (report["sets_stored"], report["already_stored"], report["later"]) == (0, 2, {})
    assert ask(store, "select count(*), count(distinct import_id) from sets") == [(2, 1)]
    assert run("again", "7")[0] == 1


def test_a_blank_log_can_be_filled_in_and_imported(run, store: Path, tmp_path: Path):
    path = tmp_path / "blank.csv"
    run("blank", "--out", str(path))
    assert len(path.read_text("utf-8-sig").splitlines()) == 1
    with path.open("a", encoding="utf-8") as out:
        out.write("2026-03-02,Ida,Side plank,1,,,30,,left,steady\n2026-03-02,Ida,Bench press,1,8,60,,2,,\n")
    report = json.loads(run("import", str(path), "--json")[1])
    assert (report["sets_stored"], report["rows_set_aside"], report["unmatched"]) == (2, 0, [])
    assert ask(store, "select set_no, reps, load_kg, hold_s, rir, side, note from sets order by hold_s nulls last") == [
        (1, None, None, 30.0, None, "left", "steady"), (1, 8.0, 60.0, None, 2.0, "both", None)]
    assert run("blank", "--out", str(path))[0] == 1, "a log is never written over"


def test_erase_asks_unless_it_is_told(run, store: Path):
    bring(store, THREE)
    status, _, err = run("erase", "--athlete", "Ida")
    assert status == 1 and "--yes" in err and ask(store, "select count(*) from sets") == [(3,)]
    assert json.loads(run("erase", "--athlete", "Ida", "--yes", "--json")[1])["sets"] == 3


def test_export_from_the_command_line(run, store: Path, tmp_path: Path):
    bring(store, THREE)
    report = json.loads(run("export", "--out", str(tmp_path / "out"), "--json")[1])
    assert report["rows"]["sets"] == 3 and report["rows"]["weekly_heads"] > 0 and (tmp_path / "out" / "datapackage.json").exists()
    assert "sets.csv (3)" in run("export", "--out", str(tmp_path / "ida"), "--athlete", "ida")[1]


# --- the page Data -----------------------------------------------------------------------------------------------------------


def test_rows_are_taken_back_and_an_import_is_read_again_on_the_page(store: Path, monkeypatch: pytest.MonkeyPatch):
    number = bring(store, PLAIN + "2026-03-02,Ida,Curl,3,20,many\n")["import"]
    bring(store, PLAIN, name="again.csv")
    mend(store, number, "log.csv", {4: None})
    monkeypatch.setenv("EVENSET_STORE", str(store))
    page = AppTest.from_file(str(Path(__file__).parent.parent / "dashboard" / "app.py"), default_timeout=60).run().switch_page("app_pages/data.py")
    page.session_state["data_section"] = "waits"
    next(button for button in page.run().button if button.label == "Take back").click().run()
    assert not page.exception and mended_rows(store).empty and waiting(store)["row"].tolist() == [4]
    page.session_state["data_section"] = "imports"
    unit = page.run().selectbox(key=f"again_unit_{number}")
    assert unit.options[0] == "as it was said"
    unit.set_value("lb")
    next(button for button in page.button if button.label == "Read again" and str(number) in button.key).click().run()
    assert not page.exception and "Import 2 holds rows of the same log" in page.success[0].value


# --- unlucky orders ----------------------------------------------------------------------------------------------------------


def test_an_older_import_that_stands_keeps_its_sets_when_a_newer_one_is_undone(store: Path):
    for text, name in ((THREE, "a.csv"), (THREE, "b.csv"), (THREE + THREE.removeprefix(HEAD), "c.csv")):
        bring(store, text, name=name)
    undo(store, 1)
    undo(store, 3)
    assert ask(store, "select count(*) from sets") == [(3,)]


def test_a_set_whose_note_was_corrected_and_that_was_then_removed_stays_removed(store: Path):
    bring(store, PLAIN)
    correct(store, 1, note="hm")
    remove(store, 1)
    assert bring(store, PLAIN, name="again.csv")["sets_stored"] == 0


def test_a_spelling_that_differs_in_its_capitals_stays_merged_after_another_merge(store: Path):
    bring(store, PLAIN.replace("Ida", "ida"), name="lower.csv")
    bring(store, PLAIN, name="upper.csv")
    bring(store, PLAIN.replace("Ida", "Priya"), name="other.csv")
    merge_athletes(store, "ida", "Ida")
    merge_athletes(store, "Priya", "Ida")
    undo(store, 2)
    assert ask(store, "select distinct athlete from sets") == [("Ida",)]
