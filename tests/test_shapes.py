"""Any grain of file -> one row of text per set: what each row becomes, and that no row is lost on the way."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from etl.columns import recognise
from etl.read import TextTable, read_table
from etl.refusal import Refusal
from etl.shapes import SetRows, later_header, second_header, unfold

EXERCISES = {"push-up", "goblet squat", "dumbbell row", "plank"}


def unfolded(*lines: str, answers: dict[str, str] | None = None) -> SetRows:
    table = second_header(read_table("\n".join(lines).encode(), "log.csv"))
    return unfold(table, recognise(table, answers, lambda text: text.casefold() in EXERCISES))


def cells(rows: SetRows, *fields: str) -> list[tuple[str, ...]]:
    blank = [""] * len(rows.cells)
    return list(zip(*(rows.cells[f] if f in rows.cells else blank for f in fields), strict=True))


def test_one_row_per_set_comes_out_as_it_is():
    rows = unfolded("date,exercise,set,reps", "2025-01-06,Squat,1,8", "2025-01-06,Squat,2,7")
    assert cells(rows, "exercise", "set_no", "reps") == [("Squat", "1", "8"), ("Squat", "2", "7")]
    assert rows.origin.tolist() == [0, 1] and (rows.trouble == "").all()


@pytest.mark.parametrize("header", [
    "Set 1 reps,Set 1 kg,Set 2 reps,Set 2 kg", "Reps 1,Weight 1 (kg),Reps 2,Weight 2 (kg)", "reps1,kg1,reps2,kg2", "S1 Reps,S1 Load (kg),S2 Reps,S2 Load (kg)",
    "Reps,kg,Reps,kg", "Reps,Weight (kg),Reps.1,Weight (kg).1", "Satz 1 Wdh,Satz 1 kg,Satz 2 Wdh,Satz 2 kg",
])  # fmt: skip
def test_numbered_or_repeated_columns_are_sets(header: str):
    rows = unfolded(f"date,exercise,{header}", "2025-01-06,Squat,8,60,7,65", "2025-01-06,Row,9,40,,")
    assert cells(rows, "exercise", "set_no", "reps", "load") == [("Squat", "1", "8", "60 kg"), ("Squat", "2", "7", "65 kg"), ("Row", "1", "9", "40 kg")]
    assert rows.origin.tolist() == [0, 0, 1]


def test_a_load_for_the_whole_row_serves_each_of_its_sets():
    rows = unfolded("date,exercise,weight,1,2,3", "2025-01-06,Squat,60 kg,8,8,7")
    assert cells(rows, "set_no", "reps", "load") == [("1", "8", "60 kg"), ("2", "8", "60 kg"), ("3", "7", "60 kg")]


def test_rounds_across_are_rounds():
    rows = unfolded("date,exercise,round 1,round 2", "2025-01-06,Push-up,12,10")
    assert cells(rows, "round_no", "set_no", "reps") == [("1", "", "12"), ("2", "", "10")]


def test_left_and_right_columns_are_sides():
    rows = unfolded("date,exercise,kg,reps left,reps right", "2025-01-06,Split squat,16,8,7")
    assert cells(rows, "side", "reps", "load") == [("left", "8", "16"), ("right", "7", "16")]


def test_a_column_for_each_exercise_is_a_round_per_row():
    rows = unfolded("date,round,Push-up,Goblet squat (20 kg),Plank (s)", "2025-01-06,1,12,10,40", "2025-01-06,2,11,,35")
    assert cells(rows, "exercise", "round_no", "reps", "load", "hold") == [
        ("Push-up", "1", "12", "", ""), ("Goblet squat", "1", "10", "20 kg", ""), ("Plank", "1", "", "", "40 s"),
        ("Push-up", "2", "11", "", ""), ("Plank", "2", "", "", "35 s")]


def test_a_column_for_each_day():
    rows = unfolded("exercise,2025-01-06,2025-01-08", "Squat,8,9", "Row,,10")
    assert cells(rows, "exercise", "date", "reps") == [("Squat", "2025-01-06", "8"), ("Squat", "2025-01-08", "9"), ("Row", "2025-01-08", "10")]


def test_a_count_of_sets_is_as_many_sets():
    rows = unfolded("date,exercise,sets,reps,kg", "2025-01-06,Squat,3,8,60", "2025-01-06,Row,2,10,40")
    assert cells(rows, "exercise", "set_no", "reps") == [("Squat", "1", "8"), ("Squat", "2", "8"), ("Squat", "3", "8"), ("Row", "1", "10"), ("Row", "2", "10")]


def test_a_count_of_rounds_is_each_exercise_so_many_times_round_by_round():
    rows = unfolded("date,rounds,Push-up,Plank (s)", "2025-01-06,2,12/10,40", "2025-01-08,1,11,35", "2025-01-09,,11,35")
    assert cells(rows, "exercise", "round_no", "set_no", "reps", "hold") == [
        ("Push-up", "1", "", "12", ""), ("Plank", "1", "", "", "40 s"), ("Push-up", "2", "", "10", ""), ("Plank", "2", "", "", "40 s"),
        ("Push-up", "1", "", "11", ""), ("Plank", "1", "", "", "35 s"), ("Push-up", "", "", "11", ""), ("Plank", "", "", "", "35 s")]
    assert rows.origin.tolist() == [0, 0, 0, 0, 1, 1, 2, 2] and (rows.trouble == "").all()


def test_a_count_of_rounds_beside_an_exercise_and_its_repetitions():
    rows = unfolded("date,exercise,rounds,work", "2025-01-06,Squat,3,10/9/8 @ 60 kg", "2025-01-06,Row,2,8/8/8 @ 20 kg", "2025-01-06,Curl,2,10/10 @ 20 kg")
    assert cells(rows, "exercise", "round_no", "reps", "load")[:3] == [("Squat", "1", "10", "60 kg"), ("Squat", "2", "9", "60 kg"), ("Squat", "3", "8", "60 kg")]
    assert cells(rows, "exercise", "round_no", "reps")[4:] == [("Curl", "1", "10"), ("Curl", "2", "10")] and "lists 3" in rows.trouble[3]
    rows = unfolded("date,exercise,rounds,reps,kg", "2025-01-06,Squat,3,8,60/65/70", "2025-01-06,Row,2,10,40")
    assert cells(rows, "exercise", "round_no", "set_no", "reps", "load") == [
        ("Squat", "1", "", "8", "60"), ("Squat", "2", "", "8", "65"), ("Squat", "3", "", "8", "70"), ("Row", "1", "", "10", "40"), ("Row", "2", "", "10", "40")]


def test_rounds_that_have_a_row_or_a_column_each_are_not_multiplied_by_their_count():
    rows = unfolded("date,exercise,round no,number of rounds,reps", "2025-01-06,Push-up,1,2,12", "2025-01-06,Push-up,2,2,10")
    assert cells(rows, "round_no", "reps") == [("1", "12"), ("2", "10")]
    rows = unfolded("date,exercise,number of rounds,round 1,round 2", "2025-01-06,Push-up,2,12,10")
    assert cells(rows, "round_no", "reps") == [("1", "12"), ("2", "10")]


@pytest.mark.parametrize(("cells_of_row", "words"), [
    ("3,,3x10", "in each of the 3 rounds, or in all"), ("3,2,10", "the 2 sets were done in each of the 3 rounds"), ("3,,10/8", "the row says 3 rounds and lists 2"),
    ("5+,,10", 'the number of rounds "5+" cannot be read'), ("0,,10", 'the number of rounds "0"'), ("60,,10", 'the number of rounds "60"')])
def test_rounds_that_cannot_be_told_are_trouble(cells_of_row, words):
    rows = unfolded("date,exercise,number of rounds,number of sets,work", f"2025-01-06,Squat,{cells_of_row}", "2025-01-06,Row,1,3,10", "2025-01-06,Row,3,1,10")
    assert words in rows.trouble.tolist()[0]
    assert cells(rows, "round_no", "set_no")[1:] == [("", "1"), ("", "2"), ("", "3"), ("1", ""), ("2", ""), ("3", "")]


@pytest.mark.parametrize("heading", ["Mon 3/2", "12 January", "Jan 12", "3/2", "Mo 2. März"])
def test_days_without_their_year_head_the_rows_below(heading):
    rows = unfolded("exercise,reps,kg", f"{heading},,", "Squat,8,60", "Row,9,40")
    assert cells(rows, "date", "exercise") == [(heading, "Squat"), (heading, "Row")]


def test_lists_of_loads_go_with_lists_of_repetitions():
    rows = unfolded("date,exercise,reps,weight", "2025-01-06,Squat,10/8/6,60/65/70 kg", "2025-01-06,Row,8/8/8,60/65")
    assert cells(rows, "set_no", "reps", "load")[:3] == [("1", "10", "60 kg"), ("2", "8", "65 kg"), ("3", "6", "70 kg")]
    assert rows.trouble.tolist() == ["", "", "", 'the row holds 3 sets, and "60/65" lists 2']


def test_a_count_and_a_list_that_differ_are_trouble():
    rows = unfolded("date,exercise,number of sets,reps", "2025-01-06,Squat,3,8/8")
    assert rows.trouble.tolist() == ['"8/8" may be two sets or two sides']
    assert len(rows.cells) == 1


def test_a_date_alone_heads_the_rows_below():
    rows = unfolded("date,exercise,reps", "2025-01-06,,", ",Squat,8", ",Row,9", "2025-01-08,,", ",Squat,10")
    assert cells(rows, "date", "exercise") == [("2025-01-06", "Squat"), ("2025-01-06", "Row"), ("2025-01-08", "Squat")]
    assert rows.headings.tolist() == [True, False, False, True, False]


def test_dates_in_the_column_of_exercises_head_the_rows_below():
    rows = unfolded("exercise,reps,kg", "2025-01-06,,", "Squat,8,60", "2025-01-08,,", "Squat,9,60")
    assert cells(rows, "date", "exercise", "reps") == [("2025-01-06", "Squat", "8"), ("2025-01-08", "Squat", "9")]


def test_work_behind_the_name_of_the_exercise():
    rows = unfolded("date,exercise", "2025-01-06,Goblet squat 3x10 @ 20 kg", "2025-01-06,Plank: 2 x 45 s")
    assert cells(rows, "exercise", "set_no", "reps", "load", "hold") == [
        *(("Goblet squat", str(n), "10", "20 kg", "") for n in (1, 2, 3)), *(("Plank", str(n), "", "", "45 s") for n in (1, 2))]


def test_a_second_header_in_another_language_is_no_row():
    rows = unfolded("Datum,Bewegung,Wdh", "date,exercise,reps", "2025-01-06,Squat,8")
    assert cells(rows, "date", "exercise", "reps") == [("2025-01-06", "Squat", "8")]
    assert "second line of the header" in rows.table.notes[-1]


CELL = st.sampled_from(["", "8", "12 Jan", "3/2", "3x10", "8/8/6", "60", "60 kg", "2025-01-06", "Squat", "left", "x", "10@60", "7+7+7", "45 s", "-", "Total", "1", "3"])
HEADER = st.sampled_from(["date", "exercise", "reps", "sets", "set", "kg", "Set 1", "Set 2", "Set 1 kg", "Push-up", "Plank (s)", "work", "round", "rounds", "year", "Mon 3/2", "Wed 3/4", "left reps",
                          "right reps", "2025-01-06", "2025-01-08", "note", ""])  # fmt: skip


@settings(max_examples=200, deadline=None)
@given(st.data())
def test_every_row_of_any_table_stays_accounted_for(data):
    """Each row of a table is a heading, or the origin of at least one set row; nothing comes from nowhere."""
    header = data.draw(st.lists(HEADER, min_size=1, max_size=6))
    body = data.draw(st.lists(st.lists(CELL, min_size=len(header), max_size=len(header)), min_size=1, max_size=6))
    text = "\n".join(",".join(row) for row in [header, *body])
    try:
        table: TextTable = second_header(read_table(text.encode(), "log.csv"))
        rows = unfold(table, recognise(table, None, lambda name: name.casefold() in EXERCISES))
    except Refusal:
        return
    assert set(rows.origin) == {at for at, heading in enumerate(rows.headings) if not heading}
    assert (rows.origin[1:] >= rows.origin[:-1]).all()
    assert len(rows.cells) == len(rows.origin) == len(rows.trouble)


# --- what an unlucky file must not become ------------------------------------------------------------------------------------


def test_columns_of_sets_say_how_many_there_are_and_a_count_beside_them_does_not_multiply():
    rows = unfolded("date,exercise,sets,set 1,set 2,weight", "2025-01-06,Bench press,2,8,7,60 kg", "2025-01-07,Squat,3,8,7,60 kg")
    assert cells(rows, "exercise", "set_no", "reps") == [("Bench press", "1", "8"), ("Bench press", "2", "7"), ("Squat", "1", "8"), ("Squat", "2", "7")]


def test_a_heading_that_is_no_date_gives_its_rows_none():
    rows = unfolded("exercise,weight,reps", "2025-01-06,,", "Bench press,60 kg,8", "2025-01-44,,", "Squat,100 kg,5")
    assert cells(rows, "date", "exercise")[0] == ("2025-01-06", "Bench press")
    assert cells(rows, "date", "exercise")[-1] == ("", "Squat")


def test_two_numbers_joined_by_a_fraction_or_by_body_weight_are_one_load():
    rows = unfolded("date,exercise,sets,reps,load", "2025-01-06,Row,2,8,1/2 gallon jug", "2025-01-06,Dip,1,8+6,BW+10")
    assert {row[1] for row in cells(rows, "exercise", "load") if row[0] == "Row"} == {"1/2 gallon jug"}
    assert {row[1] for row in cells(rows, "exercise", "load") if row[0] == "Dip"} == {"BW+10"}


def test_a_second_table_below_the_first_is_found():
    table = read_table(b"date,exercise,weight (kg),reps\n2025-01-06,Squat,60,8\ndate,exercise,weight (lb),reps\n2025-01-07,Squat,135,8\n", "log.csv")
    assert later_header(table) == 1
    assert later_header(read_table(b"date,exercise,reps\n2025-01-06,Squat,8\ndate,exercise,reps\n2025-01-07,Squat,8\n", "log.csv")) is None
