"""`evenset lookup` and `evenset changes`."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.logs import bring

LOG = "Date,Athlete,Exercise,Set,Load,Reps\n2026-03-02,Ida,Hammer curl,1,12,10\n2026-03-02,Ida,Barn door row,1,20,10\n"


def test_an_exercise_is_looked_up_by_name_or_id(run):
    status, out, _ = run("lookup", "Hammer curl")
    assert status == 0 and "brachialis" in out and "grip=supinated: it is dumbbell curl" in out and "Coratella" in out
    found = json.loads(run("lookup", "hammer_curl", "--json")[1])
    assert found["exercise"] == "hammer_curl" and {"head", "credit", "grade", "source", "where", "other_reading"} <= set(found["heads"][0])


def test_a_head_is_looked_up_by_its_words(run):
    for word in ("rear delt", "deltoid_spinal"):
        status, out, _ = run("lookup", word)
        assert status == 0 and "face pull" in out
    assert len(json.loads(run("lookup", "deltoid_spinal", "--json")[1])["exercises"]) > 20


def test_two_exercises_are_compared(run):
    out = run("lookup", "barbell curl", "--against", "reverse curl")[1]
    assert "biceps brachii, long head: 1 and 0.5 (measured so)" in out and "(not distinguishable)" in out
    assert json.loads(run("lookup", "barbell_curl", "--against", "reverse_curl", "--json")[1])["findings"]


def test_what_is_not_there_is_refused_with_what_is_like_it(run):
    status, _, err = run("lookup", "hammer crul")
    assert status == 1 and "hammer_curl" in err
    assert run("lookup", "rear delt", "--against", "hammer_curl")[0] == 1


def test_changes_go_out_and_come_in(run, store: Path, tmp_path: Path):
    bring(store, LOG)
    assert "Nothing is changed" in run("changes")[1]
    table = tmp_path / "mine.csv"
    table.write_text("change,name,like,exercise,head,credit\nexercise,Barn door row,dumbbell_row,,,\ncredit,,,hammer_curl,brachialis,0.5\n")
    status, out, _ = run("changes", "--take-in", str(table))
    assert status == 0 and "1 exercise" in out and "1 set settled" in out
    assert "exercise  Barn door row" in run("changes")[1]
    kept = tmp_path / "kept.csv"
    assert run("changes", "--out", str(kept))[0] == 0
    assert run("changes", "--restore")[0] == 1
    assert run("changes", "--restore", "--yes")[0] == 0 and "Nothing is changed" in run("changes")[1]
    assert run("changes", "--take-in", str(kept))[0] == 0
    assert "an exercise of your own" in run("lookup", "barn door row")[1]
    assert run("name", "Another name", "Barn door row")[0] == 0


def test_restoring_can_write_the_changes_first(run, store: Path, tmp_path: Path):
    bring(store, LOG)
    table, kept = tmp_path / "mine.csv", tmp_path / "kept.csv"
    table.write_text("change,part,low,high\ntarget,biceps,6,10\n")
    run("changes", "--take-in", str(table))
    assert run("changes", "--restore", "--out", str(kept))[0] == 0
    assert "biceps" in kept.read_text("utf-8-sig")


@pytest.mark.parametrize("what", ["hammer_curl", "biceps"])
def test_each_change_is_taken_back_by_itself(run, store: Path, tmp_path: Path, what: str):
    bring(store, LOG)
    table = tmp_path / "mine.csv"
    table.write_text("change,exercise,head,credit,part,low,high\ncredit,hammer_curl,brachialis,0.5,,,\ntarget,,,,biceps,6,10\n")
    run("changes", "--take-in", str(table))
    assert run("changes", "--take-back", what)[0] == 0
    assert len(run("changes")[1].splitlines()) == 1
    assert run("changes", "--take-back", what)[0] == 1


def test_a_file_that_is_no_table_of_changes_is_refused_in_words(run, tmp_path: Path):
    other = tmp_path / "log.csv"
    other.write_text(LOG)
    status, _, err = run("changes", "--take-in", str(other))
    assert status == 1 and "no column 'change'" in err
    assert run("changes", "--take-in", str(tmp_path / "none.csv"))[0] == 1


def test_an_exercise_may_be_written_as_a_log_writes_it(run):
    for written, exercise in (("OHP", "standing_barbell_overhead_press"), ("pull ups", "pull_up"), ("RDL", "romanian_deadlift")):
        assert json.loads(run("lookup", written, "--json")[1])["exercise"] == exercise


def test_a_part_with_several_heads_names_them(run):
    status, _, err = run("lookup", "biceps")
    assert status == 1 and "biceps_brachii_long_head, biceps_brachii_short_head" in err
    assert run("lookup", "rear delts")[0] == 0


def test_taking_a_target_back_says_for_whom_there_is_one(run, store: Path, tmp_path: Path):
    bring(store, LOG.replace("Ida", "Mara"))
    table = tmp_path / "mine.csv"
    table.write_text("change,part,low,high,athlete\ntarget,biceps,6,12,Mara\n")
    done = run("changes", "--take-in", str(table))
    assert done[0] == 0, done
    status, _, refused = run("changes", "--take-back", "biceps")
    assert status == 1 and "biceps/Mara: say that" in refused
    assert run("changes", "--take-back", "biceps/Mara")[0] == 0
