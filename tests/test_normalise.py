"""Rows of text -> the set log. Every row of a file ends in one place, and the values are those a careful person reads."""

from datetime import date

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from etl.columns import recognise
from etl.normalise import DAY_COLUMNS, HELPERS, SET_COLUMNS, normalise
from etl.read import read_table
from etl.refusal import Question, Refusal
from etl.shapes import unfold

TODAY = date(2025, 1, 15)
POUND_KG = 0.45359237  # NIST Special Publication 811 (2008), appendix B.8: exact


def read(*lines, athlete="Ann", **options):
    table = read_table("\n".join(lines).encode(), "log.csv")
    normal = normalise(unfold(table, recognise(table)), athlete=athlete, today=TODAY, **options)
    assert normal.rows_read == normal.rows_with_sets + normal.rows_with_days + len(normal.set_aside) == len(table.rows)
    return normal


def first(*lines, **options):
    return read(*lines, **options).sets.iloc[0]


def reason(*lines, **options):
    normal = read(*lines, **options)
    assert len(normal.set_aside) == 1
    return normal.set_aside["reason"].iloc[0]


def row(header, cells, **options):
    """The one set of a log whose only other columns are date and exercise."""
    return first(f"date,exercise,{header}", f"2024-03-05,Squat,{cells}", **options)


def test_a_plain_row():
    found = first("Date,Exercise,Set,Reps,Weight (kg),RPE,Notes", "2024-03-05,Back Squat,2,5,100,8.5,fine")
    assert (found.athlete, found.date.date(), found.exercise_as_written) == ("Ann", date(2024, 3, 5), "Back Squat")
    assert (found.set_no, found.reps, found.load_kg, found.rpe, found.note) == (2, 5, 100, 8.5, "fine")
    assert (found.side, found.range, found.kind, found.kind_source, found.planned) == ("both", "full", "work", "assumed", False)
    assert pd.isna(found.exercise) and found.session == "2024-03-05" and found.source_row == 2


def test_columns_and_types_of_the_frames():
    normal = read("date,exercise,reps", "2024-03-05,Squat,5")
    assert list(normal.sets.columns) == [*SET_COLUMNS, *HELPERS] and list(normal.days.columns) == list(DAY_COLUMNS)
    assert {c: str(t) for c, t in normal.sets.dtypes.items()} == SET_COLUMNS | HELPERS


def test_the_source_is_the_name_and_the_first_12_digits_of_the_hash():
    table = read_table(b"date,exercise,reps\n\n2024-03-05,Squat,5\n", "log.csv")
    found = normalise(unfold(table, recognise(table)), athlete="Ann", today=TODAY).sets.iloc[0]
    assert found.source == f"log.csv#{table.sha256[:12]}" and found.source_row == 3


def test_the_exercise_stays_as_written():
    assert first("date,exercise,reps", "2024-03-05,  Bench  PRESS (db) ,5").exercise_as_written == "  Bench  PRESS (db) "


# --- units -------------------------------------------------------------------------------------------------------------


def test_one_pound_is_exactly_0_45359237_kg():
    """NIST Special Publication 811 (2008), appendix B.8."""
    assert row("reps,weight (lb)", "5,1").load_kg == POUND_KG


@pytest.mark.parametrize(("header", "cells", "unit", "load_kg"), [
    ("reps,weight (lb),unit", "5,100 kg,lb", "lb", 100),  # the cell is nearest
    ("reps,weight (lb),unit", "5,100,kg", "lb", 100),  # then the row
    ("reps,weight (lb)", "5,100", "kg", 100 * POUND_KG),  # then the header
    ("reps,weight", "5,100", "lb", 100 * POUND_KG),  # then what the user said
    ("reps,weight", "5,100", None, 100)])  # then kg
def test_the_unit_said_nearest_wins(header, cells, unit, load_kg):
    assert row(header, cells, unit=unit).load_kg == pytest.approx(load_kg, abs=1e-12)


def test_kg_assumed_is_said_only_where_nobody_names_a_unit():
    assert any("kg assumed" in text for text in read("date,exercise,reps,weight", "2024-03-05,Squat,5,100").assumed)
    assert not any("kg assumed" in text for text in read("date,exercise,reps,weight", "2024-03-05,Squat,5,100", unit="kg").assumed)
    assert not any("kg assumed" in text for text in read("date,exercise,reps,weight", "2024-03-05,Push-up,5,BW").assumed)


def test_an_unknown_unit_is_refused_from_the_user_and_sets_a_row_aside():
    with pytest.raises(Refusal, match="stone"):
        read("date,exercise,reps,weight", "2024-03-05,Squat,5,100", unit="stone")
    assert "newton" in reason("date,exercise,reps,weight,unit", "2024-03-05,Squat,5,10,newton")


@pytest.mark.parametrize(("header", "cells", "load_kg", "body_mass_kg"), [
    ("reps,weight (st)", "5,12", 12 * 14 * POUND_KG, None), ("reps,weight,unit", "5,2,stone", 28 * POUND_KG, None), ("reps,weight", "5,2 st", 28 * POUND_KG, None),
    ("reps,weight (stones)", "5,60 kg", 60, None), ("reps,weight (st),body weight (st)", "5,12,12.5", 168 * POUND_KG, 175 * POUND_KG),
    ("reps,body weight", "5,11 st 4 lb", None, 158 * POUND_KG)])
def test_stones(header, cells, load_kg, body_mass_kg):
    found = row(header, cells)
    for value, expected in ((found.load_kg, load_kg), (found.body_mass_kg, body_mass_kg)):
        assert pd.isna(value) if expected is None else value == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("header", ["load (N)", "weight in pounds-force", "Weight (plates)", "load [quux]", "body weight (N)"])
def test_what_is_no_unit_in_a_header_is_asked_about_unless_each_cell_says_one(header):
    with pytest.raises(Question) as asked:
        row(f"reps,{header}", "5,60")
    assert header in str(asked.value) and "--unit kg" in str(asked.value)
    found = row(f"reps,{header}", "5,60", unit="lb")
    assert pytest.approx(60 * POUND_KG) in (found.load_kg, found.body_mass_kg)
    found = row(f"reps,{header}", "5,60 kg")
    assert 60 in (found.load_kg, found.body_mass_kg)


@pytest.mark.parametrize("header", ["body weight (kg/lb)", "weight (kg/st)", "load (st or lb)"])
def test_a_header_that_offers_several_units_is_asked_about(header):
    with pytest.raises(Question, match="offers several units"):
        row(f"reps,{header}", "5,60")


def test_shares_of_a_maximum_are_no_load_and_it_is_said_what_to_do():
    normal = read("date,exercise,reps,load (%)", "2024-03-05,Squat,5,80")
    assert pd.isna(normal.sets["load_kg"][0])
    said = next(text for text in normal.assumed if "shares" in text)
    assert '--columns "load=HEADER"' in said and "--unit kg" in said
    assert not any("shares" in text for text in read("date,exercise,reps,load (%),kg", "2024-03-05,Squat,5,80,100").assumed)


def test_a_street_in_a_title_is_no_stone():
    assert first("Main St gym", "date,exercise,reps,weight", "2024-03-05,Squat,5,60").load_kg == 60


@pytest.mark.parametrize(("cell", "load_kg"), [("BW", 0), ("BW+10", 10), ("BW-20", -20), ("-20", -20), ("62.5", 62.5), ("BW+10 lb", 10 * POUND_KG)])
def test_loads_and_assistance(cell, load_kg):
    assert row("reps,weight", f"5,{cell}").load_kg == pytest.approx(load_kg, abs=1e-12)


def test_a_guessed_load_is_marked():
    assert row("reps,weight", "5,~30").load_estimated and not row("reps,weight", "5,30").load_estimated


def test_body_mass_in_pounds_beside_a_load_in_kilograms():
    found = row("reps,weight,unit,body weight (lb)", "5,100,kg,180")
    assert found.body_mass_kg == pytest.approx(180 * POUND_KG) and found.load_kg == 100


# --- repetitions, holds, sides -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("header", "cells", "reps", "hold_s"), [
    ("reps,seconds", ",45", None, 45), ("reps", "45s", None, 45), ("reps,seconds", "0,45", None, 45), ("reps,seconds", "10,0", 10, None),
    ("hold (min)", "1.5", None, 90), ("hold", "0:45", None, 45), ("reps", "0", 0, None)])
def test_repetitions_and_seconds(header, cells, reps, hold_s):
    found = row(header, cells)
    assert (None if pd.isna(found.reps) else found.reps, None if pd.isna(found.hold_s) else found.hold_s) == (reps, hold_s)


@pytest.mark.parametrize(("header", "cells"), [("reps,side", "10,each"), ("reps,side", "10,alternating"), ("reps", "10/side")])
def test_each_side_gives_two_sets_of_one_row(header, cells):
    normal = read(f"date,exercise,{header}", f"2024-03-05,Lunge,{cells}")
    assert normal.sets["side"].tolist() == ["left", "right"] and normal.sets["reps"].tolist() == [10, 10]
    assert normal.sets["source_row"].tolist() == [2, 2] and normal.rows_with_sets == 1
    assert any("each side" in text for text in normal.assumed)


def test_left_and_right_stay_apart():
    normal = read("date,exercise,reps,side", "2024-03-05,Lunge,10,L", "2024-03-05,Lunge,8,Right")
    assert normal.sets["side"].tolist() == ["left", "right"] and len(normal.sets) == 2


# --- kinds and details -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("header", "cells", "kind", "source"), [
    ("reps,type", "5,warm-up", "warm_up", "logged"), ("reps,type", "5,", "work", "assumed"), ("reps,warm up", "5,TRUE", "warm_up", "logged"),
    ("reps,warm up", "5,no", "work", "logged"), ("reps,set number", "5,W", "warm_up", "logged"), ("reps,type", "5,drop set", "drop", "logged")])
def test_kinds_and_where_they_come_from(header, cells, kind, source):
    found = row(header, cells)
    assert (found.kind, found.kind_source) == (kind, source)


def test_details_in_their_units():
    found = row("reps,rest (min),session duration,tempo,range,rir,limited by,pain score,pain place",
                "5,2,1:05,3-1-1,bottom half,2,breathing,3,left elbow")
    assert (found.rest_s, found.minutes, found.tempo, found["range"], found.rir) == (120, 65, "3-1-1", "lower_half", 2)
    assert (found.limited_by, found.pain_score, found.pain_place) == ("breath", 3, "left elbow")


def test_grip_stance_and_equipment_become_modifiers():
    assert row("reps,grip,stance,equipment", "5,Neutral,,Dumbbell").modifiers == "grip=neutral;equipment=dumbbell"


def test_an_unreadable_detail_loses_no_row_and_is_kept_and_said():
    normal = read("date,exercise,reps,rpe,note", "2024-03-05,Squat,5,8,", "2024-03-05,Squat,5,hard,good day", "2024-03-05,Squat,5,9,")
    assert pd.isna(normal.sets["rpe"][1]) and normal.sets["note"][1] == "good day; rpe: hard"
    assert any(text.startswith("1 cell") and "hard" in text for text in normal.assumed)


def test_a_band_instead_of_a_load_keeps_the_set():
    normal = read("date,exercise,reps,weight", "2024-03-05,Row,5,20", "2024-03-05,Pull-up,5,red band")
    assert pd.isna(normal.sets["load_kg"][1]) and "red band" in normal.sets["note"][1]


@pytest.mark.parametrize("cell", ["band", "Band", "bands", "rubber band", "Gummiband", "élastique", "banda", "with a band", "mit Band"])
def test_a_band_alone_is_understood_and_leaves_nothing_in_the_note(cell):
    normal = read("date,exercise,rounds,reps,weight", "2024-03-05,Row,1,5,20", f"2024-03-05,Pull-apart,3,20,{cell}", f"2024-03-06,Pull-apart,3,20,{cell}")
    banded = normal.sets[normal.sets["exercise_as_written"] == "Pull-apart"]
    assert len(banded) == 6 and set(banded["modifiers"]) == {"load=band"} and banded["note"].isna().all() and banded["load_kg"].isna().all()
    (said,) = [text for text in normal.assumed if f'("{cell}")' in text]
    assert said.startswith('2 cells of "weight" read as a band') and not any("could not be read" in text for text in normal.assumed)


@pytest.mark.parametrize(("cell", "modifiers"), [("red band", "load=band"), ("Band rot", "load=band"), ("élastique vert", "load=band"), ("heavy", None), ("bandage", None)])
def test_which_band_it_was_stays_in_the_note(cell, modifiers):
    normal = read("date,exercise,reps,weight", "2024-03-05,Row,5,20", f"2024-03-05,Row,20,{cell}")
    assert normal.sets["note"][1] == f"weight: {cell}" and (normal.sets["modifiers"][1] == modifiers if modifiers else pd.isna(normal.sets["modifiers"][1]))
    assert any("could not be read" in text for text in normal.assumed) == (modifiers is None)


def test_cells_that_cannot_be_read_are_counted_as_they_stand_in_the_file():
    rounds = read("date,exercise,rounds,reps,weight", "2024-03-05,Row,3,5,20", "2024-03-05,Row,3,20,some", "2024-03-06,Row,4,20,some")
    assert any(text.startswith('2 cells of "weight"') for text in rounds.assumed)
    beside = read("date,exercise,set 1 reps,set 1 weight,set 2 reps,set 2 weight", "2024-03-05,Row,5,20,5,some", "2024-03-06,Row,5,some,5,some", "2024-03-07,Row,5,20,5,20")
    assert any(text.startswith("3 cells") for text in beside.assumed)


# --- dates -------------------------------------------------------------------------------------------------------------


def test_dates_that_read_both_ways_are_asked_about_and_the_answer_is_taken():
    lines = ("date,exercise,reps", "03/04/2024,Squat,5")
    with pytest.raises(Question) as asked:
        read(*lines)
    assert "--day-first" in str(asked.value) and "--month-first" in str(asked.value) and "03/04/2024" in str(asked.value)
    assert first(*lines, day_first=True).date.date() == date(2024, 4, 3)
    assert first(*lines, day_first=False).date.date() == date(2024, 3, 4)


def test_one_day_above_twelve_settles_the_column_and_is_said():
    normal = read("date,exercise,reps", "03/04/2024,Squat,5", "13/04/2024,Squat,5")
    assert normal.sets["date"].dt.date.tolist() == [date(2024, 4, 3), date(2024, 4, 13)]
    assert any("day first" in text for text in normal.assumed)


def test_the_time_of_day_comes_from_its_column_or_the_date():
    assert row("reps,time of day", "5,6:30 pm").time == "18:30"
    assert first("date,exercise,reps", "2024-03-05T07:15:00Z,Squat,5").time == "07:15"


def test_blanks_are_carried_down_where_a_third_of_the_rows_lack_the_cell():
    normal = read("date,exercise,reps", "2024-03-05,Squat,5", ",,6", ",Row,8", "2024-03-06,Squat,5")
    assert normal.sets["exercise_as_written"].tolist() == ["Squat", "Row", "Squat"]  # one of four blank: not carried
    assert normal.sets["date"].dt.day.tolist() == [5, 5, 6]  # two of four blank: carried
    assert normal.set_aside["reason"].tolist() == ["no exercise"]
    assert any('"date"' in text and "above" in text for text in normal.assumed)


def test_a_few_blank_dates_are_not_carried_down():
    normal = read("date,exercise,reps", *["2024-03-05,Squat,5"] * 3, ",Squat,5")
    assert normal.set_aside["reason"].tolist() == ["no date"] and normal.set_aside["row"].tolist() == [5]


# --- set aside ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("header", "cells", "said"), [
    ("reps,weight", ",100", "no repetitions and no seconds"), ("reps", "AMRAP5", "AMRAP5"), ("reps,weight", "5,2o", "2o"),
    ("reps", "501", "repetitions, 501"), ("reps", "-1", "repetitions, -1"), ("reps,weight", "5,1001", "load in kg, 1001"),
    ("reps,weight", "5,-201", "load in kg, -201"), ("reps,weight (lb)", "5,2300", "load in kg, 1043"), ("seconds", "7201", "seconds, 7201"),
    ("reps,rpe", "5,11", "RPE, 11"), ("reps,rir", "5,21", "RIR, 21"), ("reps,body weight (kg)", "5,19", "body mass in kg, 19"),
    ("reps,body weight (kg)", "5,401", "body mass in kg, 401"), ("reps,pain score", "5,11", "pain score, 11")])
def test_rows_set_aside_say_which_value(header, cells, said):
    assert said in reason(f"date,exercise,{header}", f"2024-03-05,Squat,{cells}")


@pytest.mark.parametrize(("header", "cells"), [
    ("reps", "500"), ("reps,weight", "5,1000"), ("reps,weight", "5,-200"), ("seconds", "7200"), ("reps,rpe", "5,10"),
    ("reps,rir", "5,20"), ("reps,body weight (kg)", "5,400"), ("reps,body weight (kg)", "5,20")])
def test_the_bounds_themselves_are_inside(header, cells):
    assert len(read(f"date,exercise,{header}", f"2024-03-05,Squat,{cells}").sets) == 1


@pytest.mark.parametrize(("day", "said"), [
    ("yesterday", "cannot be read as a date"), ("2024-02-30", "cannot be read as a date"), ("1949-12-31", "before 1950-01-01"),
    ("2025-01-16", "in the future"), ("", "no date")])
def test_rows_without_a_date_that_can_be(day, said):
    good = ["2024-03-05,Squat,5"] * 3
    assert said in reason("date,exercise,reps", *good, f"{day},Squat,5")


def test_today_and_the_first_date_are_inside():
    assert len(read("date,exercise,reps", "2025-01-15,Squat,5", "1950-01-01,Squat,5").sets) == 2


@pytest.mark.parametrize(("header", "cell"), [("planned", "yes"), ("status", "planned"), ("completed", "false")])
def test_a_planned_set_may_lie_ahead(header, cell):
    found = first(f"date,exercise,reps,{header}", f"2025-02-01,Squat,5,{cell}")
    assert found.planned and found.date.date() == date(2025, 2, 1)


def test_a_completed_set_is_not_planned():
    assert not row("reps,completed", "5,true").planned


def test_an_overlong_row_is_set_aside_with_all_its_text():
    normal = read("date,exercise,load,reps", "2024-03-05,Squat,62,5,8", "2024-03-05,Squat,60,8")
    assert normal.set_aside["text"].tolist() == ["2024-03-05,Squat,62,5,8"] and "5 cells" in normal.set_aside["reason"][0]
    assert normal.set_aside["row"].tolist() == [2]


def test_a_repeated_header_is_set_aside_as_that():
    assert "repeats the header" in reason("date,exercise,reps", "2024-03-05,Squat,5", "date,exercise,reps", "2024-03-06,Squat,5")


# --- days and athletes -------------------------------------------------------------------------------------------------


def test_a_row_with_only_body_mass_is_a_day():
    normal = read("date,exercise,reps,body weight (kg),note", "2024-03-05,,,80.5,slept well", "2024-03-05,Squat,5,,")
    day = normal.days.iloc[0]
    assert (day.athlete, day.date.date(), day.body_mass_kg, day.note, day.source_row) == ("Ann", date(2024, 3, 5), 80.5, "slept well", 2)
    assert len(normal.sets) == 1 and normal.rows_with_days == 1


def test_a_file_of_body_mass_alone():
    normal = read("date,body weight", "2024-03-05,80", "2024-03-06,81", unit="kg")
    assert normal.days["body_mass_kg"].tolist() == [80, 81]


def test_an_exercise_without_work_is_no_day():
    assert reason("date,exercise,reps,body weight (kg)", "2024-03-05,Squat,,80") == "no repetitions and no seconds"


def test_whose_log_it_is():
    """The column, else what the user said, else the file's name, else a question."""
    with_column = ("athlete,date,exercise,reps", "Bo,2024-03-05,Squat,5", ",2024-03-05,Squat,5")
    without = ("date,exercise,reps", "2024-03-05,Squat,5")
    assert read(*with_column).sets["athlete"].tolist() == ["Bo", "Ann"]
    assert first(*without, file_athlete="Cy").athlete == "Ann"
    assert first(*without, athlete=None, file_athlete="Cy").athlete == "Cy"
    assert reason(*with_column, athlete=None) == "no athlete is named in this row"
    with pytest.raises(Question, match="whose log"):
        read(*without, athlete=None)


# --- every row in one place --------------------------------------------------------------------------------------------

CELLS = st.one_of(
    st.sampled_from(["", "2024-03-05", "03/04/2024", "13/04/2024", "Squat", "5", "8-10", "45s", "BW+10", "10/side", "each", "-", "1e9",
                     "date", "2030-01-01", "hard", "W", "lb", "80", "\u0665", "yes", "99999999999"]),
    st.text(st.characters(exclude_characters="\x00", exclude_categories=["Cs"]), max_size=6))
HEADERS = ["date", "exercise", "reps", "weight", "unit", "rpe", "side", "set", "body weight", "planned", "note", "time", "athlete",
           "seconds", "rest", "colour", "pain", "range", "grip"]


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_any_table_of_text_has_each_row_in_one_place_or_is_refused(data):
    header = ["date", "exercise", *data.draw(st.lists(st.sampled_from(HEADERS[2:]), max_size=6, unique=True))]
    rows = data.draw(st.lists(st.lists(CELLS, min_size=1, max_size=len(header) + 1), max_size=6))
    text = "\n".join(";".join('"' + cell.replace('"', '""') + '"' for cell in line) for line in [header, *rows])
    day_first = data.draw(st.sampled_from([None, True, False]))
    try:
        table = read_table(text.encode(), "log.csv")
        unfolded = unfold(table, recognise(table))
        normal = normalise(unfolded, athlete="Ann", day_first=day_first, today=TODAY)
    except Refusal:
        return
    headings = set(table.line_no[unfolded.headings].tolist())
    assert normal.rows_read == len(table.rows) - len(headings) == normal.rows_with_sets + normal.rows_with_days + len(normal.set_aside)
    places = [set(normal.sets["source_row"]), set(normal.days["source_row"]), set(normal.set_aside["row"]), headings]
    assert set.union(*places) == set(table.line_no.tolist()) and sum(map(len, places)) == len(set.union(*places))
    assert (normal.set_aside["reason"] != "").all()
    assert normal.sets[["reps", "hold_s"]].notna().any(axis=1).all() and normal.sets["date"].notna().all()
