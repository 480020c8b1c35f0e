"""A stored set that a person corrected or removed stays so, whatever the next export of the log says."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings, strategies as st

from etl.importing import changes, correct, remove, take_back_change, undo
from etl.refusal import Refusal
from etl.store import writing
from tests.logs import PLAIN, ROW, THREE, TWINS, ask, bring, set_of


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


def test_a_set_whose_note_was_corrected_and_that_was_then_removed_stays_removed(store: Path):
    bring(store, PLAIN)
    correct(store, 1, note="hm")
    remove(store, 1)
    assert bring(store, PLAIN, name="again.csv")["sets_stored"] == 0
