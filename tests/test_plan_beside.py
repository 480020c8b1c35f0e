"""A plan in a column of its own, beside rows that hold each set that was done: the sets that were not done are planned, and no others.

How such sheets are meant is common practice, no source. The rows are invented.
"""

from __future__ import annotations

import pytest

from etl.importing import Answers, understand
from tests.test_plan_and_done import TODAY, aside, assumed, read, sets

HEAD = "Datum;Übung;Plan;Satz;Wdh;kg;RIR;Notiz"
SHEET = [HEAD, "17.08.2026;Kniebeuge;3x8;1;8;60;2;", ";;;2;7;60;1;", ";Plank;2x45 s;1;40 s;;;", ";;;2;45 s;;;", "19.08.2026;Kniebeuge;3x8;1;8;62,5;2;", ";;;2;8;62,5;2;", ";;;3;6;62,5;0;"]
ALL = "exercise_as_written reps load_kg hold_s planned"
DONE = [("Kniebeuge", 8, 60, None, False), ("Kniebeuge", 7, 60, None, False), ("Plank", None, None, 40, False), ("Plank", None, None, 45, False),
        *[("Kniebeuge", reps, 62.5, None, False) for reps in (8, 8, 6)]]


def semicolons(lines: list[str], **said) -> list[str]:
    return [line.replace(",", ".").replace(";", ",") for line in lines]


@pytest.mark.parametrize("said", [{}, {"columns": {"plan": "Plan"}}])
def test_the_rows_are_done_and_the_set_that_is_missing_is_planned(said):
    found = sets(*semicolons(SHEET), fields=f"{ALL} set_no", **said)
    assert [row[:5] for row in found if not row[4]] == DONE and [row for row in found if row[4]] == [("Kniebeuge", 8, None, None, True, 3)]
    told = assumed(*semicolons(SHEET), **said)
    assert 'column "Plan" read as the plan, and the rows beside it as what was done of it: 1 set of it was not done and is stored as planned' in told
    assert "planned and not done" not in told and "LOOK" not in told


@pytest.mark.parametrize("header", ["Soll", "Target", "Prescribed", "Ziel", "Vorgabe", "Planned", "Previsto", "Objectif", "Doel"])
def test_any_word_of_the_trade_for_a_plan_does(header):
    lines = [line.replace("Plan;", f"{header};") for line in SHEET]
    assert [row for row in sets(*semicolons(lines), fields=ALL) if row[4]] == [("Kniebeuge", 8, None, None, True)]


def test_a_plan_on_each_of_its_rows_is_one_and_one_of_a_single_set_is_its_row_s():
    head = "Date,Exercise,Plan,Reps,kg"
    assert sorted(sets(head, *["2024-03-01,Squat,3x5 @ 60,5,60"] * 2)) == [(5, 60, False), (5, 60, False), (5, 60, True)]
    assert sets(head, *["2024-03-01,Squat,3x5 @ 60,5,60"] * 3) == [(5, 60, False)] * 3
    assert sets(head, *["2024-03-01,Squat,1x5 @ 60,5,60"] * 2, "2024-03-01,Squat,1x5 @ 60,,") == [(5, 60, False), (5, 60, False), (5, 60, True)]


def test_two_plans_of_one_exercise_follow_each_other_and_supersets_keep_theirs_apart():
    head = "Date,Exercise,Plan,Reps,kg"
    assert sets(head, "2024-03-01,Squat,1x5 @ 100,5,100", "2024-03-01,Squat,3x8 @ 80,8,80", "2024-03-01,Squat,,8,80") == [(5, 100, False), (8, 80, False), (8, 80, True), (8, 80, False)]
    lines = ["2024-03-01,Squat,2x5,5,100", "2024-03-01,Row,3x8,8,40", "2024-03-01,Squat,,5,100", "2024-03-01,Row,,8,40"]
    assert [row for row in sets(head, *lines, fields=ALL) if row[4]] == [("Row", 8, None, None, True)]


def test_a_row_without_work_is_the_planned_set_and_keeps_what_it_says():
    head = "Date,Exercise,Plan,Set,Reps,kg,Note"
    lines = ["2024-03-01,Squat,3x5 @ 60,1,5,60,", "2024-03-01,Squat,,2,,,knee", "2024-03-01,Squat,,3,,,", "2024-03-02,Dip,2x8,,,,skipped"]
    assert sets(head, *lines, fields="set_no reps planned note") == [(1, 5, False, None), (2, 5, True, "knee"), (3, 5, True, None), (1, 8, True, "skipped"), (2, 8, True, None)]
    assert not aside(head, *lines)
    more = [*lines[:1], "2024-03-01,Squat,,2,5,60,", "2024-03-01,Squat,,3,5,60,", "2024-03-01,Squat,,4,,,"]
    assert len(aside(head, *more)) == 1 and "no repetitions" in aside(head, *more)[0]


def test_a_day_to_come_is_planned_and_a_day_to_come_with_work_is_not():
    head = "Date,Exercise,Plan,Reps"
    lines = ["2024-03-01,Squat,2x5,5", "2024-03-01,Squat,,5", f"{TODAY.year + 1}-03-01,Squat,2x6,", f"{TODAY.year + 1}-03-02,Squat,2x6,6"]
    assert sets(head, *lines, fields="reps planned") == [(5, False), (5, False), (6, True), (6, True)]
    assert len(aside(head, *lines)) == 1 and "future" in aside(head, *lines)[0]


def test_warm_ups_are_done_beside_the_plan_and_two_sides_are_one_set():
    assert sets("Date,Exercise,Plan,Kind,Reps", "2024-03-01,Squat,2x5,warm-up,5", "2024-03-01,Squat,,work,5", fields="kind planned") == [("warm_up", False), ("work", True), ("work", False)]
    head = "Date,Exercise,Plan,Side,Reps"
    assert sets(head, "2024-03-01,Split squat,2x8,left,8", "2024-03-01,Split squat,,right,8", fields="side planned") == [("left", False), ("both", True), ("right", False)]


def test_rows_that_stand_for_several_sets_count_as_so_many():
    assert sets("Date,Exercise,Plan,Sets,Reps", "2024-03-01,Squat,4x5,3,5", "2024-03-01,Row,3x8,3,8", fields="reps planned") == [(5, False)] * 3 + [(5, True)] + [(8, False)] * 3
    assert sets("Date,Exercise,Plan,Set 1,Set 2,Set 3", "2024-03-01,Squat,3x5,5,5,", "2024-03-01,Row,3x8,8,8,8", fields="reps planned") == [(5, False)] * 2 + [(5, True)] + [(8, False)] * 3
    assert sets("Date,Exercise,Plan,Reps", "2024-03-01,Squat,3x5,5/5", "2024-03-01,Row,3x8,8/8/8", fields="reps planned") == [(5, False)] * 2 + [(5, True)] + [(8, False)] * 3


@pytest.mark.parametrize("said", [{}, {"columns": {"plan": "Plan"}}])
@pytest.mark.parametrize("plan", ["3x max", "3x8-10", "AMRAP"])
def test_a_plan_that_cannot_be_counted_stays_in_the_note_and_the_row_is_done(plan, said):
    lines = ["Date,Exercise,Plan,Reps,Note", "2024-03-01,Squat,2x5,5,", "2024-03-01,Squat,,5,", f"2024-03-01,Push up,{plan},12,deep", "2024-03-01,Push up,,10,", "2024-03-02,Squat,2x5,5,", "2024-03-02,Squat,,5,"]
    assert [row for row in sets(*lines, fields="reps planned note", **said) if row[0] >= 10] == [(12, False, f"deep; Plan: {plan}"), (10, False, None)]
    assert f'1 cell of "Plan", such as "{plan}", names no number of sets and repetitions: kept in the note' in assumed(*lines, **said) and not aside(*lines, **said)


def test_plain_numbers_and_names_are_no_plan_of_sets():
    lines = ["Date,Exercise,Target,Reps", "2024-03-01,Squat,8,8", "2024-03-01,Squat,8,"]
    assert sets(*lines, fields="reps planned") == [(8, False)] and '"Target"' in assumed(*lines)


def test_ticks_beside_plan_and_work_say_what_was_done():
    lines = ["Date,Exercise,Plan,Reps,Done", "2024-03-01,Squat,3x5,5,x", "2024-03-01,Squat,,5,x", "2024-03-01,Squat,,5,no"]
    assert sets(*lines, fields="reps planned") == [(5, False), (5, False), (5, True)]


def test_a_column_that_is_not_read_is_spoken_of_as_one():
    lines = ["Date,Exercise,Reps,Week", "2024-03-01,Squat,5,3x5", "2024-03-02,Squat,5,3x5"]
    assert 'LOOK: "Week" holds what looks like sets and repetitions, and is not read' in assumed(*lines)
    two = [line + "," + ("Last" if n == 0 else "3x5") for n, line in enumerate(lines)]
    assert 'LOOK: "Week", "Last" hold what looks like sets and repetitions, and are not read' in assumed(*two)


def test_each_row_of_the_file_ends_in_one_place_and_bytes_of_windows_do_too():
    (file,) = understand([("sheet.csv", ("Trainingsbuch;;;;;;;\n\n" + "\n".join(SHEET)).encode("cp1252"))], Answers(athlete="Ida"), today=TODAY).files
    assert (file.normal.rows_read, file.normal.rows_with_sets, len(file.normal.sets), int(file.normal.sets["planned"].sum())) == (7, 7, 8, 1)
    assert read(*semicolons(SHEET)).normal.rows_with_sets == 7
