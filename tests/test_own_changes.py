"""What the keeper of a store changes in the catalogue: kept apart, counted, exported, taken in, taken back."""

from __future__ import annotations

import io
import re
import threading
from pathlib import Path

import pandas as pd
import pytest

from dashboard.standing.refresh import refresh
from etl import tables
from etl.importing import own
from etl.importing.decisions import decide
from etl.own.what import OWN_GRADE, OWN_SOURCE
from etl.refusal import Refusal
from etl.store import reading, writing
from etl.importing.plan import Answers
from tests.logs import bring
from tests.page_runs import all_text

LOG = """date,exercise,sets,reps,weight kg
2026-03-02,Barn door row,3,10,20
2026-03-02,Hammer curl,3,10,12
2026-03-09,Barn door row,4,10,20
2026-03-09,Hammer curl,3,10,12
"""
ROW = "change,name,like,note\nexercise,Barn door row,dumbbell_row,done standing at the barn door\n"


def take_in(store: Path, text: str) -> dict[str, int]:
    return own.take_in(store, text.encode(), "changes.csv")


def refused(store: Path, text: str) -> str:
    """What is said where a table is refused; nothing may have changed by it."""
    had = own.changes(store)
    with pytest.raises(Refusal) as refusal:
        take_in(store, text)
    assert own.changes(store) == had
    return str(refusal.value)


def dose(store: Path, head: str) -> list[float]:
    refresh(store)
    with reading(store) as con:
        return [d for (d,) in con.execute("select dose from kept_heads where head = ? order by week", [head]).fetchall()]


@pytest.fixture
def logged(store: Path) -> Path:
    bring(store, LOG, Answers(athlete="Ina"))
    return store


def test_an_exercise_of_ones_own_settles_its_sets_and_counts(logged: Path):
    assert dose(logged, "latissimus_dorsi") == [0, 0]
    assert take_in(logged, ROW) == {"exercises": 1, "credits": len(tables.modified_credits("dumbbell_row")), "targets": 0, "names": 0, "sets_settled": 7}
    assert dose(logged, "latissimus_dorsi") == [3, 4]


def test_the_next_file_knows_it_too_with_the_side_in_its_name(logged: Path):
    take_in(logged, ROW)
    bring(logged, "date,exercise,reps\n2026-03-16,Barn door row (left),8\n2026-03-16,Barn-Door-Rows,8\n", Answers(athlete="Ina"))
    with reading(logged) as con:
        found = con.execute("select exercise, side from sets where date = '2026-03-16' order by set_id").fetchall()
    assert found == [("own_barn_door_row", "left"), ("own_barn_door_row", "both")]


def test_a_changed_credit_counts_and_the_shipped_table_stays(logged: Path):
    before = dose(logged, "brachialis")
    take_in(logged, "change,exercise,head,credit\ncredit,hammer curl,brachialis,0.5\ncredit,hammer_curl,brachioradialis,0\n")
    assert dose(logged, "brachialis") == [d / 2 for d in before]
    assert dose(logged, "brachioradialis") == [0, 0]
    with reading(logged):
        row = tables.credits().query("exercise_id == 'hammer_curl' and head_id == 'brachialis'").iloc[0]
        assert (row["grade"], row["source_id"]) == (OWN_GRADE, OWN_SOURCE)
    own.take_back_credits(logged, "hammer_curl")
    assert dose(logged, "brachialis") == before


def test_two_stores_in_one_program_keep_their_catalogues_apart(logged: Path, tmp_path: Path):
    take_in(logged, "change,exercise,head,credit\ncredit,hammer_curl,brachialis,0.25\n")
    with reading(tmp_path / "other.duckdb"):
        assert tables.modified_credits("hammer_curl")["brachialis"] == 1
    with reading(logged):
        assert tables.modified_credits("hammer_curl")["brachialis"] == 0.25


def test_a_target_is_the_band_of_one_athlete_or_of_all(logged: Path):
    with reading(logged) as con:
        (athlete,) = con.execute("select distinct athlete from sets").fetchall()[0]
    take_in(logged, f"change,part,low,high,athlete\ntarget,biceps,6,10,\ntarget,brachialis,1,3,{athlete}\n")
    refresh(logged)
    with reading(logged) as con:
        bands = {part: (low, high) for part, low, high in con.execute("select distinct part, band_low, band_high from kept_parts").fetchall()}
    assert bands["biceps"] == (6, 10) and bands["brachialis"] == (1, 3) and bands["lats"] == (4, 20)
    own.take_back_target(logged, "biceps")
    refresh(logged)
    with reading(logged) as con:
        assert con.execute("select distinct band_low, band_high from kept_parts where part = 'biceps'").fetchall() == [(4, 20)]


def test_what_is_exported_is_taken_in_by_another_store_as_it_was(logged: Path, tmp_path: Path):
    take_in(logged, ROW)
    take_in(logged, "change,exercise,head,credit,part,low,high,written,modifiers\ncredit,hammer_curl,brachialis,0.5,,,,,\n"
                    "target,,,,lats,5,12,,\nname,pull_up,,,,,,sky thing,grip=neutral\n")
    decide(logged, "no such thing", "")
    text = own.table_of_changes(logged)
    other = tmp_path / "other.duckdb"
    take_in(other, text)
    assert own.changes(other) == own.changes(logged)
    assert own.table_of_changes(other) == text
    written = pd.read_csv(io.StringIO(text))
    assert sorted(set(written["change"])) == ["credit", "exercise", "name", "target"]


def test_restoring_leaves_the_shipped_catalogue_and_every_set(logged: Path):
    shipped = dose(logged, "brachialis")
    take_in(logged, ROW)
    take_in(logged, "change,exercise,head,credit\ncredit,hammer_curl,brachialis,0.25\n")
    own.restore(logged)
    assert len(own.changes(logged)) == 0 and dose(logged, "brachialis") == shipped
    with reading(logged) as con:
        assert con.execute("select count(*), count(exercise) from sets").fetchall() == [(13, 6)]
        assert tables.in_use() is tables.SHIPPED


def test_taking_an_exercise_away_leaves_its_sets_waiting(logged: Path):
    take_in(logged, ROW)
    assert own.take_back_exercise(logged, "own_barn_door_row") == 7
    with reading(logged) as con:
        assert con.execute("select count(*) from sets where exercise is null").fetchall() == [(7,)]
    assert dose(logged, "latissimus_dorsi") == [0, 0]


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("credit,hammer_curl,deltoid_lateral,1,,,,", "There is no head 'deltoid_lateral' (line 2). Did you mean deltoid_acromial"),
        ("credit,hammer_curl,outer elbow head,1,,,,", "There is no head 'outer elbow head'"),
        ("credit,hammer crul,brachialis,1,,,,", "There is no exercise 'hammer crul' (line 2). Did you mean hammer_curl"),
        ("credit,hammer_curl,brachialis,0.7,,,,", "A credit cannot be 0.7"),
        ("credit,hammer_curl,brachialis,much,,,,", "'much' is no credit"),
        ("credit,hammer_curl,brachialis,,,,,", "No credit is given"),
        ("target,,,,biceps,9,4,", "needs a low end and a higher one"),
        ("target,,,,left ear,1,4,", "There is no part 'left ear'"),
        ("target,,,,biceps,1,4,Nobody", "There is no athlete 'Nobody'"),
        ("wish,,,,,,,", "'wish' is no kind of change"),
    ],
)
def test_what_is_wrong_is_refused_in_words_and_nothing_changes(logged: Path, row: str, says: str):
    assert says in refused(logged, f"change,exercise,head,credit,part,low,high,athlete\n{row}\n")
    assert len(own.changes(logged)) == 0


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("exercise,Pull-up,,,", "is that of an exercise already"),
        ("exercise,RDL,dumbbell_row,,", "is that of an exercise already"),
        ("exercise,,dumbbell_row,,", "An exercise needs a name"),
        ("exercise,the,dumbbell_row,,", "has no word by which it could be told"),
        ("exercise,12,dumbbell_row,,", "has no word by which it could be told"),
        ("exercise,\u202eabc row,dumbbell_row,,", "has no word by which it could be told"),
        (f"exercise,{'x' * 10_000},dumbbell_row,,", "of at most 80 letters"),
        ("exercise,Barn door row,,,", "No movement pattern is named"),
        ("exercise,Barn door row,,horizontal pull,", "trains no head directly"),
        ("exercise,Barn door row,,horizontal pull,body", "needs the share of body mass"),
    ],
)
def test_an_exercise_that_is_not_whole_is_refused(logged: Path, row: str, says: str):
    assert says in refused(logged, f"change,name,like,movement_pattern,load_basis\n{row}\n")


def test_one_wrong_row_keeps_the_whole_table_out_and_all_are_listed(logged: Path):
    said = refused(logged, "change,exercise,head,credit\ncredit,hammer_curl,brachialis,0.5\ncredit,hammer_curl,nothing here,1\ncredit,x,brachialis,1\n")
    assert "line 3" in said and "line 4" in said and "Nothing was taken in" in said
    assert len(own.changes(logged)) == 0
    assert tables.in_use() is tables.SHIPPED


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_a_table_comes_back_from_any_spreadsheet(logged: Path, encoding: str, delimiter: str):
    text = "change,name,like,head,exercise,credit\r\nexercise,Barn door row,dumbbell_row,,,\r\ncredit,,,brachialis,Barn door row,.25\r\n,,,,,\r\n"
    own.take_in(logged, text.replace(",", delimiter).encode(encoding), "changes.csv")
    with reading(logged):
        assert tables.modified_credits("own_barn_door_row")["brachialis"] == 0.25


def test_an_id_is_one_word(logged: Path):
    with pytest.raises(Refusal, match="not one of an exercise of your own"):
        take_in(logged, "change,exercise,name,like\nexercise,own_../x,Thing,dumbbell_row\n")


def test_sets_that_were_counted_do_not_become_held(logged: Path):
    """Else the same file would bring them in a second time."""
    take_in(logged, ROW)
    with pytest.raises(Refusal, match="are counted in repetitions"):
        take_in(logged, "change,name,like,mode\nexercise,Barn door row,dumbbell_row,hold\n")
    assert bring(logged, LOG, Answers(athlete="Ina"))["sets_stored"] == 0


@pytest.mark.parametrize("name", ["<img src=x onerror=1> row", "=1+1 row", "Press *this* $x$"])
def test_a_hostile_name_is_a_text_like_any_other(logged: Path, open_page, name: str):
    take_in(logged, f'change,name,like\nexercise,"{name}",dumbbell_row\n')
    (one,) = own.changes(logged).exercises
    run = open_page(logged, "app_pages/exercises.py", exercise=one.exercise_id)
    assert not run.exception and not re.search(r"(?<!\\)(?:<img|\$x\$|\*this\*)", all_text(run))


def test_each_thread_has_the_catalogue_of_the_store_it_opened(logged: Path, tmp_path: Path):
    """As the sample and one's own store in two visits of one program."""
    take_in(logged, "change,exercise,head,credit\ncredit,hammer_curl,brachialis,0.25\n")
    other, wrong = tmp_path / "other.duckdb", []

    def look(store: Path, credit: float) -> None:
        for _ in range(20):
            with reading(store):
                pass
            if tables.modified_credits("hammer_curl")["brachialis"] != credit:
                wrong.append(store)

    threads = [threading.Thread(target=look, args=how) for how in ((logged, 0.25), (other, 1.0)) * 2]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not wrong


def test_what_was_kept_by_weeks_is_what_working_it_out_from_the_beginning_gives(logged: Path):
    take_in(logged, ROW)
    refresh(logged)
    take_in(logged, "change,exercise,head,credit,part,low,high\ncredit,hammer_curl,brachialis,0.25,,,\ntarget,,,,biceps,1,3\n")
    refresh(logged)
    asked = "select * from kept_parts order by athlete, week, part"
    with reading(logged) as con:
        kept = con.execute(asked).fetchall()
    with writing(logged) as con:
        con.execute("insert or replace into meta values ('worked_out_with', '')")
    refresh(logged)
    with reading(logged) as con:
        assert str(con.execute(asked).fetchall()) == str(kept)
