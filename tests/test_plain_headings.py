"""Headings in plain words: what was done beside what was planned, how many, how heavy, how much was left. Common practice, no source."""

from __future__ import annotations

import pytest

from etl.columns import recognise
from etl.columns.headers import fields_named
from etl.importing import Answers, understand
from etl.read import read_table
from etl.refusal import Question


def fields(*lines: str, answers: dict[str, str] | None = None) -> dict[str, str]:
    return {c.field: c.header for c in recognise(read_table("\n".join(lines).encode(), "log.csv"), answers) if c.field}


@pytest.mark.parametrize(("header", "field", "unit"), [
    *((header, "load", "") for header in ("Load done", "Weight done", "Actual load", "Done load", "Load actual", "Load performed", "Gewicht ist")),
    ("Load (kg) done", "load", "kg"), ("Weight done (lb)", "load", "lb"), ("Reps done", "reps", ""), ("Actual sets", "set_count", ""), ("Sets performed", "set_count", ""),
    ("RIR done", "rir", ""), ("Actual RPE", "rpe", ""), ("Seconds done", "hold", "s"), ("Hold performed", "hold", "")])
def test_an_amount_that_says_done_is_that_amount(header: str, field: str, unit: str):
    first = fields_named(header)[0]
    assert (first.field, first.unit) == (field, unit)


@pytest.mark.parametrize("what", ["load", "reps", "sets", "RIR", "RPE", "seconds"])
@pytest.mark.parametrize("said", ["Planned", "Target", "Prescribed", "Scheduled", "Programmed"])
def test_an_amount_that_says_planned_is_none(what: str, said: str):
    for header in (f"{said} {what}", f"{what} {said.lower()}"):
        assert {named.field for named in fields_named(header)} <= {"planned"}


def test_a_plan_beside_what_was_done_is_not_read():
    found = fields("Date,Exercise,Planned sets,Sets done,Planned reps,Reps done,Planned load,Load done,RIR planned,RIR done",
                   "2024-03-05,Squat,3,3,5,5,100,95,2,1", "2024-03-07,Squat,3,2,5,4,100,97.5,2,0")
    assert found == {"date": "Date", "exercise": "Exercise", "set_count": "Sets done", "reps": "Reps done", "load": "Load done", "rir": "RIR done"}


def test_ticks_under_an_amount_that_says_done_are_still_ticks():
    assert fields("Date,Exercise,Reps,Set done", "2024-03-05,Squat,5,yes", "2024-03-05,Squat,5,no")["planned"] == "Set done"


@pytest.mark.parametrize(("header", "field", "unit"), [
    ("How many", "reps", ""), ("How many reps", "reps", ""), ("Times", "reps", ""), ("How heavy", "load", ""), ("How heavy (kg)", "load", "kg"),
    ("Weight each hand (kg)", "load", "kg"), ("How many kg", "load", "kg"), ("How many sets", "set_count", "")])
def test_plain_words_for_repetitions_and_load(header: str, field: str, unit: str):
    first = fields_named(header)[0]
    assert (first.field, first.unit) == (field, unit)


@pytest.mark.parametrize("header", ["How many weeks", "Start times", "How heavy it felt"])
def test_within_other_words_they_name_no_amount(header: str):
    assert not {"reps", "load"} & {named.field for named in fields_named(header)}


@pytest.mark.parametrize("header", ["Could have done more", "Left in the tank", "Reps left"])
def test_repetitions_that_were_left(header: str):
    assert fields(f"Date,Exercise,Reps,{header}", "2024-03-05,Squat,5,0", "2024-03-05,Squat,5,1", "2024-03-07,Squat,5,4")["rir"] == header


UNNAMED = ("Date,Exercise,Brzl,Load (kg)", "2024-03-05,Squat,10,60", "2024-03-05,Squat,9,60", "2024-03-05,Squat,8,60", "2024-03-07,Squat,3x10,60", "2024-03-07,Plank,2x45s,")


def test_a_column_that_may_be_the_repetitions_is_asked_about_and_the_answer_is_taken():
    with pytest.raises(Question) as asked:
        fields(*UNNAMED)
    assert '--columns "reps=Brzl"' in str(asked.value)
    assert fields(*UNNAMED, answers={"reps": "Brzl"})["reps"] == "Brzl" and "reps" not in fields(*UNNAMED, answers={"reps": "-"})


def test_sets_in_shorthand_among_repetitions_are_read():
    text = "\n".join(["Date,Exercise,How many,How heavy (kg)", *UNNAMED[1:]])
    normal = understand([("log.csv", text.encode())], Answers(athlete="Ida")).files[0].normal
    assert len(normal.set_aside) == 0 and normal.sets["reps"].dropna().tolist() == [10, 9, 8, 10, 10, 10] and normal.sets["hold_s"].dropna().tolist() == [45, 45]


@pytest.mark.parametrize("lines", [
    ("Date,Exercise,Heart rate", "2024-03-05,Squat,120"), ("Date,Exercise,Planned", "2024-03-05,Squat,12"), ("Date,Exercise,Brzl", "2024-03-05,Squat,blue"),
    ("Date,Exercise,Brzl", "2024-03-05,Squat 3x5,2")])
def test_nothing_is_asked_where_no_column_can_be_the_repetitions(lines: tuple[str, ...]):
    assert "reps" not in fields(*lines)
