"""Whole files that say what was planned and what was done of it, count sets in words, or name weeks, years and athletes apart from the rows.

How such files are meant is common practice, no source; calendar days are counted by Python's own calendar.
"""

from __future__ import annotations

from datetime import date

import pytest

from etl.importing import Answers, Understood, understand
from etl.refusal import Question

TODAY = date(2026, 11, 25)


def read(*lines: str, **said) -> Understood:
    answers = Answers(**({"athlete": "Ida"} | said))
    return understand([("log.csv", "\n".join(lines).encode())], answers, today=TODAY).files[0]


def sets(*lines: str, fields: str = "reps load_kg planned", **said) -> list[tuple]:
    found = read(*lines, **said)
    assert found.refusal is None, str(found.refusal)
    normal = found.normal
    assert normal.rows_read == normal.rows_with_sets + normal.rows_with_days + len(normal.set_aside)
    frame = normal.sets[fields.split()].astype("object")
    return [tuple(row) for row in frame.where(frame.notna(), None).to_numpy().tolist()]


def aside(*lines: str, **said) -> list[str]:
    return read(*lines, **said).normal.set_aside["reason"].tolist()


def assumed(*lines: str, **said) -> str:
    return "\n".join(read(*lines, **said).normal.assumed)


def question(*lines: str, **said) -> str:
    found = read(*lines, **said).refusal
    assert isinstance(found, Question)
    return str(found)


# --- a plan, and what was done of it ----------------------------------------------------------------------------------


@pytest.mark.parametrize(("plan", "done", "yes", "skipped"), [
    ("Plan", "Done", "done", "skipped"), ("Soll", "Ist", "erledigt", "ausgelassen"), ("Prévu", "Fait", "oui", "sauté"), ("Previsto", "Hecho", "sí", "omitido"),
    ("Previsto", "Fatto", "come previsto", "saltato"), ("Planejado", "Feito", "sim", "não feito"), ("Gepland", "Gedaan", "ja", "overgeslagen"),
    ("Planned", "Actual", "yes", "not done")])
def test_what_was_done_is_the_work_and_the_plan_is_not(plan, done, yes, skipped):
    found = sets(f"Date,Exercise,{plan},{done}", f"2024-03-01,Squat,2x5 @ 100kg,{yes}", "2024-03-01,Bench press,3x8 @ 60kg,8/8/4", f"2024-03-01,Dip,2x8,{skipped}",
                 "2024-03-01,Deadlift,1x5 @ 120kg,1x3 @ 110 kg", fields="exercise_as_written reps load_kg planned")
    assert found == [
        ("Squat", 5, 100, False), ("Squat", 5, 100, False), ("Bench press", 8, 60, False), ("Bench press", 8, 60, False), ("Bench press", 4, 60, False),
        ("Dip", 8, None, True), ("Dip", 8, None, True), ("Deadlift", 3, 110, False)]


def test_a_blank_beside_a_plan_is_not_done_and_said():
    lines = ["Date,Exercise,Plan,Done", "2024-03-01,Squat,1x5 @ 100kg,done", "2024-03-02,Squat,1x5 @ 100kg,"]
    assert sets(*lines) == [(5, 100, False), (5, 100, True)]
    assert '1 row with a blank "Done" read as planned and not done' in assumed(*lines)


@pytest.mark.parametrize(("plan", "done", "word"), [
    ("3x8", "2", "sets or the repetitions"), ("3x8", "felt bad", "felt bad"), ("3x30s", "30/25/20", "seconds"), ("3x8-10", "done", "range"),
    ("3x8 @ 40/45/50 kg", "4x8", "more than one load")])
def test_what_has_two_readings_beside_a_plan_is_set_aside(plan, done, word):
    lines = ["Date,Exercise,Plan,Done", "2024-03-01,Squat,1x5 @ 100kg,done", f"2024-03-01,Row,{plan},{done}", "2024-03-01,Squat,1x5 @ 100kg,5/4"]
    reasons = aside(*lines)
    assert len(reasons) == 1 and word in reasons[0]


def test_loads_and_sides_of_the_plan_serve_what_was_done():
    head = "Date,Exercise,Plan,Done"
    assert sets(head, "2024-03-01,Row,3x8 @ 40/45/50 kg,8/7/6") == [(8, 40, False), (7, 45, False), (6, 50, False)]
    assert sets(head, "2024-03-01,Row,1x8 @ 40 kg,6") == [(6, 40, False)]
    assert sets(head, "2024-03-01,Split squat,2x8/side @ 20 kg,8/7/6", fields="side reps load_kg") == [
        (side, reps, 20) for reps in (8, 7, 6) for side in ("left", "right")]


def test_the_user_may_name_the_plan_and_what_was_done_of_it():
    lines = ["Date,Exercise,A,B", "2024-03-01,Squat,2x5 @ 100kg,5/4", "2024-03-01,Row,1x5 @ 60kg,no", "2024-03-01,Row,1x6 @ 60kg,yes"]
    assert sets(*lines, columns={"plan": "A", "done": "B"}) == [(5, 100, False), (4, 100, False), (5, 60, True), (6, 60, False)]
    assert sets("Date,Exercise,Reps,B", "2024-03-01,Squat,5,x", "2024-03-01,Squat,6,", columns={"done": "B"}, fields="reps planned") == [(5, False), (6, True)]


def test_a_plan_alone_is_planned_and_the_user_may_say_otherwise():
    lines = ["Date,Exercise,Plan", "2024-03-01,Squat,1x5 @ 100kg"]
    assert sets(*lines) == [(5, 100, True)] and "planned and not done" in assumed(*lines)
    assert sets(*lines, columns={"work": "Plan"}) == [(5, 100, False)]


def test_the_word_for_a_plan_does_not_make_one_of_a_name():
    assert sets("Date,Plan,Exercise,Reps", "2024-03-01,A,Squat,5", "2024-03-02,B,Squat,5") == [(5, None, False)] * 2


# --- a column of what was done without a plan -------------------------------------------------------------------------


def test_beside_ticks_a_blank_is_not_done_and_a_remark_is_kept():
    lines = ["Date,Exercise,Reps,Done", "2024-03-01,Squat,5,x", "2024-03-01,Row,6,", "2024-03-01,Dip,8,no - shoulder", "2024-03-01,Curl,9,maybe"]
    assert sets(*lines, fields="reps planned note") == [(5, False, None), (6, True, None), (8, True, "Done: no - shoulder")]
    assert '1 row with a blank "Done"' in assumed(*lines) and '"maybe"' in aside(*lines)[0]


@pytest.mark.parametrize(("yes", "no"), [("1", "0"), ("1.0", "0.0"), ("true", "false"), ("ja", "nein"), ("done", "skipped"), ("✓", "✗")])
def test_ticks_in_every_row_and_with_a_blank(yes, no):
    head = "Date,Exercise,Reps,Done"
    assert sets(head, f"2024-03-01,Squat,5,{yes}", f"2024-03-01,Row,6,{no}", fields="reps planned") == [(5, False), (6, True)]
    assert sets(head, f"2024-03-01,Squat,5,{yes}", f"2024-03-01,Row,6,{no}", "2024-03-01,Row,7,", fields="reps planned") == [(5, False), (6, True), (7, True)]


def test_a_number_is_how_many_were_done():
    assert sets("Date,Exercise,Sets,Reps,Done", "2024-03-01,Squat,3,5,3", "2024-03-01,Row,3,6,2", fields="reps planned") == [(5, False)] * 3 + [(6, False)] * 2
    assert sets("Date,Exercise,Reps,Done", "2024-03-01,Squat,8,6", "2024-03-01,Squat,8,8", "2024-03-01,Squat,8,0", fields="reps planned") == [
        (6, False), (8, False), (8, True)]


def test_numbers_that_may_be_sets_or_repetitions_are_asked_about_and_the_answer_is_taken():
    lines = ["Date,Exercise,Sets,Reps,Done", "2024-03-01,Squat,3,8,6"]
    asked = question(*lines)
    assert "set_count=Done" in asked and "reps=Done" in asked
    assert sets(*lines, columns={"reps": "Done"}, fields="reps") == [(6,)] * 3
    assert sets(*lines, columns={"set_count": "Done"}, fields="reps") == [(8,)] * 6


def test_where_nothing_else_holds_the_work_the_column_of_what_was_done_does():
    assert sets("Date,Exercise,Done", "2024-03-01,Squat,1x8 @ 60 kg", "2024-03-03,Squat,1x8 @ 62 kg") == [(8, 60, False), (8, 62, False)]


def test_an_empty_column_of_what_was_done_is_said():
    lines = ["Date,Exercise,Reps,Done", "2024-03-01,Squat,5,"]
    assert sets(*lines, fields="reps planned") == [(5, False)] and 'LOOK: column "Done" is empty' in assumed(*lines)


# --- counts of sets ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("header", "cell"), [
    ("Sets", "3x"), ("Sets", "3 x"), ("Sets", "x3"), ("Sets", "3 sets"), ("Sätze", "3 Sätze"), ("Séries", "3 séries"), ("Series", "3 series"), ("Serie", "3 serie"),
    ("Reeksen", "3 reeksen"), ("Rounds", "3 rounds"), ("Runden", "3 Runden"), ("Rondes", "3 rondes")])
def test_a_count_with_its_word_is_a_count(header, cell):
    assert sets(f"Date,Exercise,{header},Reps", f"2024-03-01,Squat,{cell},8 reps", f"2024-03-01,Row,{cell},7", fields="reps").count((8,)) == 3


def test_a_count_that_is_a_range_or_a_sum_is_set_aside():
    reasons = aside("Date,Exercise,Sets,Reps", "2024-03-01,Squat,3 sets,8", "2024-03-01,Row,3-4,8", "2024-03-01,Dip,2 warm-up + 3,8")
    assert len(reasons) == 2 and "range" in reasons[0] and '"2 warm-up + 3" cannot be read' in reasons[1]


@pytest.mark.parametrize(("header", "what"), [("Sets", "set"), ("Rounds", "round")])
def test_a_blank_count_is_one_and_said_and_the_date_is_carried_beside_it(header, what):
    lines = [f"Date,Exercise,{header},Reps", "2024-03-01,Push up,3,10", ",Goblet squat,,12"]
    assert sets(*lines, fields="reps") == [(10,), (10,), (10,), (12,)] and days(*lines) == ["2024-03-01"] * 4
    assert f"1 row names no count of {what}s" in assumed(*lines)


def test_a_shorthand_beside_a_blank_count_says_its_own():
    assert "no count of sets" not in assumed("Date,Exercise,Sets,Reps", "2024-03-01,Push up,3,10", "2024-03-01,Row,,3x8")


def test_a_column_set_of_numbers_and_kinds_is_read_cell_by_cell():
    lines = ["Date,Exercise,Set,Reps", *(f"2024-03-01,Squat,{cell},5" for cell in ("W", "1", "2", "D", "3x"))]
    assert sets(*lines, fields="set_no kind note") == [
        (None, "warm_up", None), (1, "work", None), (2, "work", None), (None, "drop", None), (None, "work", "Set: 3x")]


# --- headers in the trade's own words ---------------------------------------------------------------------------------


def test_repetitions_that_are_all_unread_say_why():
    reasons = aside("Date,Exercise,Reps,Weight", "2024-03-01,Squat,max,60 kg", "2024-03-01,Row,AMRAP,60 kg")
    assert len(reasons) == 2 and all("as many as possible" in reason for reason in reasons)


def test_times_of_a_hold_in_several_forms():
    lines = ["Date,Exercise,Time", *(f"2024-03-01,Plank,{cell}" for cell in ("60", "1:00", "0:45", "1.30"))]
    assert sets(*lines, fields="hold_s") == [(60,), (60,), (45,)]
    assert '"1.30"' in aside(*lines)[0]


# --- days -------------------------------------------------------------------------------------------------------------


def days(*lines: str, **said) -> list[str]:
    found = read(*lines, **said)
    assert found.refusal is None, str(found.refusal)
    return found.normal.sets["date"].dt.strftime("%Y-%m-%d").tolist()


def test_a_day_of_the_week_beside_the_week_is_the_day():
    lines = ["Week of,Day,Exercise,Reps", "2024-03-04,Mon,Squat,5", ",,Dip,5", ",Wed,Row,8", "2024-03-11,Fri,Squat,5"]
    assert days(*lines) == ["2024-03-04", "2024-03-04", "2024-03-06", "2024-03-15"]
    assert "beginning of a week" in assumed(*lines)


def test_a_day_of_the_week_that_is_the_date_s_own_changes_nothing():
    assert days("Date,Day,Exercise,Reps", "2024-03-04,Mon,Squat,5", "2024-03-06,Wed,Row,8") == ["2024-03-04", "2024-03-06"]


def test_a_day_of_the_week_that_contradicts_the_date_is_asked_about():
    lines = ["Date,Day,Exercise,Reps", "2024-03-04,Tue,Squat,5", "2024-03-06,Wed,Row,8"]
    assert '"Tue"' in question(*lines) and "weekday=-" in question(*lines)
    assert days(*lines, columns={"weekday": "-"}) == ["2024-03-04", "2024-03-06"]


def test_a_week_that_names_no_day_of_it_is_set_aside():
    assert "names no day" in aside("Week of,Day,Exercise,Reps", "2024-03-04,,Squat,5", "2024-03-11,Wed,Row,8", "2024-03-18,Wed,Row,8")[0]


def test_a_blank_year_past_new_year_is_the_next():
    lines = ["Date,Year,Exercise,Reps", "28 Dec,2023,Squat,5", "30 Dec,,Squat,5", "2 Jan,,Squat,5", "4 Jan,2024,Squat,5"]
    assert days(*lines) == ["2023-12-28", "2023-12-30", "2024-01-02", "2024-01-04"]


def test_29_february_of_a_year_without_one_is_a_question_about_the_year():
    lines = ["Date,Exercise,Reps", "27 Feb,Squat,5", "29 Feb,Squat,5"]
    assert '"29 Feb"' in question(*lines, year=2023) and "no 29 February" in question(*lines, year=2023)
    assert days(*lines, year=2024) == ["2024-02-27", "2024-02-29"]
    assert aside("Date,Exercise,Reps", "2023-02-29,Squat,5", "2023-03-01,Squat,5") == ["2023 has no 29 February"]


def test_a_file_without_any_date_says_so():
    asked = question("Week,Day,Exercise,Reps", "1,Mon,Squat,5", "1,Wed,Row,8")
    assert "holds no date" in asked and "--columns" not in asked


def test_a_title_with_a_year_that_does_not_settle_it_is_named():
    assert '"Training log 2024"' in question("Training log 2024", "Date,Exercise,Reps", "28 Dec,Squat,5", "4 Jan,Squat,5")


# --- athletes ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("title", ["Athlete: Max Weber", "Athlet: Max Weber", "Sportler: Max Weber,,"])
def test_a_title_names_the_athlete_and_what_the_user_says_goes_before(title):
    lines = [title, "Date,Exercise,Reps", "2024-03-01,Squat,5"]
    assert sets(*lines, athlete=None, fields="athlete") == [("Max Weber",)] and "Max Weber" in assumed(*lines, athlete=None)
    assert sets(*lines, fields="athlete") == [("Ida",)]


def test_names_that_stand_between_are_asked_about():
    lines = ["Date,Exercise,Reps", "Ida,,", "2024-03-01,Squat,5", "2024-03-02,Squat,5", "Max,,", "2024-03-01,Squat,7", "2024-03-02,Squat,7"]
    assert '"Ida" and "Max"' in question(*lines)
    assert sets(*lines, columns={"athlete": "#1"}, athlete=None, fields="athlete reps") == [("Ida", 5), ("Ida", 5), ("Max", 7), ("Max", 7)]
    assert sets(*lines, columns={"athlete": "-"}, fields="athlete reps") == [("Ida", 5), ("Ida", 5), ("Ida", 7), ("Ida", 7)]
    assert sets(*lines, columns={"session": "#1"}, fields="session reps") == [("Ida", 5), ("Ida", 5), ("Max", 7), ("Max", 7)]


def test_one_name_between_is_named_as_something_to_look_at():
    lines = ["Date,Exercise,Reps", "2024-03-01,Squat,5", "2024-03-02,Squat,5", "Max,,", "2024-03-01,Squat,7"]
    assert 'LOOK: "Max" stands alone in line 4' in assumed(*lines)
    assert sets(*lines, columns={"athlete": "#1"}, fields="athlete reps") == [("Ida", 5), ("Ida", 5), ("Max", 7)]
