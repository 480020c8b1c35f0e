"""Which column is which field: by the header's words, checked by what stands in the column."""

import pytest

from etl.columns import FIELDS, ColumnQuestion, recognise
from etl.columns.headers import fields_named, other_unit
from etl.read import read_table
from etl.refusal import Question, Refusal
from etl.tables import header_words


def table(header, *rows):
    return read_table("\n".join([header, *rows]).encode(), "log.csv")


def fields(*lines, answers=None):
    return {c.field: c.header for c in recognise(table(*lines), answers) if c.field}


def test_a_plain_log():
    found = fields("Date,Exercise,Set,Reps,Weight,RPE,Notes", "2024-03-05,Squat,1,5,100,8,fine")
    assert found == {"date": "Date", "exercise": "Exercise", "set_no": "Set", "reps": "Reps", "load": "Weight", "rpe": "RPE", "note": "Notes"}


def test_columns_in_any_order_among_unknown_ones():
    found = fields("Colour,Repetitions,Planet,Movement,Performed on", "red,5,Mars,Squat,2024-03-05")
    assert found == {"reps": "Repetitions", "exercise": "Movement", "date": "Performed on"}


@pytest.mark.parametrize(("header", "field", "unit"), [
    ("Weight (lbs)", "load", "lb"), ("load_kg", "load", "kg"), ("LoadKg", "load", "kg"), ("Weight [kg]", "load", "kg"),
    ("LBS", "load", "lb"), ("Kg", "load", "kg"), ("Weight used, pounds", "load", "lb"), ("Body Weight (lb)", "body_mass", "lb"),
    ("BODYWEIGHT", "body_mass", ""), ("Time (s)", "hold", "s"), ("Hold (sec)", "hold", "s"), ("seconds", "hold", "s"),
    ("Rest (min)", "rest", "min"), ("Rest seconds", "rest", "s"), ("Session duration (min)", "minutes", "min"),
    ("Reps in reserve", "rir", ""), ("Session RPE", "session_rpe", ""), ("Number of reps", "reps", "")])
def test_units_stand_in_the_header(header, field, unit):
    column = recognise(table(f'date,exercise,"{header}"', "2024-03-05,Squat,5"))[2]
    assert (column.field, column.unit) == (field, unit)


@pytest.mark.parametrize(("header", "field", "unit"), [
    ("Reps each round", "reps", ""), ("Reps per round", "reps", ""), ("reps/round", "reps", ""), ("Reps / set", "reps", ""), ("repetitions in each round", "reps", ""),
    ("Wiederholungen pro Runde", "reps", ""), ("Wdh/Satz", "reps", ""), ("reps per set", "reps", ""), ("Reps (each round)", "reps", ""), ("Reps on each side", "reps", ""),
    ("répétitions à chaque tour", "reps", ""), ("repeticiones en cada ronda", "reps", ""), ("ripetizioni per giro", "reps", ""), ("répétitions par série", "reps", ""),
    ("load per hand", "load", ""), ("Weight (kg) each set", "load", "kg"), ("kg on each side", "load", "kg"), ("RIR per set", "rir", ""), ("Seconds per round", "hold", "s"),
    ("Rest per set", "rest", "")])
def test_what_is_of_each_set_round_or_side_is_that_quantity(header, field, unit):
    best = fields_named(header)[0]
    assert (best.field, best.unit) == (field, unit)


@pytest.mark.parametrize(("header", "fields_there"), [
    ("Round", {"round_no"}), ("Each round", {"round_no"}), ("Set / Round", {"set_no", "kind", "round_no"}), ("Target reps per round", set()), ("Colour each round", set()),
    ("Rounds per exercise", {"round_count"})])
def test_without_a_quantity_a_round_is_a_round(header, fields_there):
    assert {named.field for named in fields_named(header)} == fields_there


def test_reps_of_each_round_beside_a_count_of_rounds():
    assert fields("Day;Exercise;Rounds;Reps each round;Weight one DB", "13.07.2026;Hammer curl;3;9;8", "13.07.2026;Lateral raise;3;12;6") == {
        "date": "Day", "exercise": "Exercise", "round_count": "Rounds", "reps": "Reps each round", "load": "Weight one DB"}


def test_every_column_has_a_confidence_and_a_reason():
    for column in recognise(table("date,exercise,reps,planet,empty", "2024-03-05,Squat,5,Mars,")):
        assert 0 <= column.confidence <= 1 and column.reason
        assert (column.confidence > 0) == (column.field is not None)


def test_a_column_named_date_without_dates_is_not_one():
    found = recognise(table("Date,Alpha,Exercise,Reps", "dinner,2024-03-05,Squat,5", "cinema,2024-03-06,Squat,5"))
    assert found[0].field is None and "0 %" in found[0].reason
    assert found[1].field == "date" and found[1].confidence < 0.5


def test_two_columns_of_dates_without_a_known_word_are_not_chosen_between():
    with pytest.raises(Question, match="date"):
        recognise(table("Alpha,Beta,Exercise", "2024-03-05,2024-03-06,Squat"))


def test_of_two_columns_for_one_field_the_fuller_is_taken_and_the_other_said():
    found = recognise(table("Date,Exercise,Weight,Load,Reps", "2024-03-05,Squat,,100,5", "2024-03-06,Squat,20,100,5"))
    assert [c.field for c in found] == ["date", "exercise", None, "load", "reps"]
    assert '"Load" is taken' in found[2].reason


@pytest.mark.parametrize("header", ["Target reps", "Previous reps", "Set 1 reps", "Left reps", "Best weight", "Total volume"])
def test_a_column_that_says_it_is_something_else_is_not_read(header):
    assert recognise(table(f"date,exercise,{header},seconds", "2024-03-05,Squat,5,30"))[2].field is None


def test_a_name_is_the_exercise_unless_another_column_is():
    assert fields("date,name,reps", "2024-03-05,Squat,5")["exercise"] == "name"
    assert fields("date,name,exercise,reps", "2024-03-05,Ann,Squat,5") == {
        "date": "date", "athlete": "name", "exercise": "exercise", "reps": "reps"}


@pytest.mark.parametrize(("cells", "field"), [(("18:30", "07:15"), "time"), (("0:45", "1:30"), "hold"), (("45", "60"), "hold")])
def test_time_is_of_the_day_or_of_a_hold_by_its_cells(cells, field):
    assert fields("date,exercise,time", *(f"2024-03-05,Plank,{c}" for c in cells)).get(field) == "time"


def test_a_duration_beside_every_repetition_is_no_hold():
    """65 beside 5 repetitions is the session's minutes as likely as the set's seconds."""
    found = recognise(table("date,exercise,reps,duration", "2024-03-05,Squat,5,65", "2024-03-05,Row,5,65"))
    assert found[3].field is None and 'hold=duration' in found[3].reason
    assert fields("date,exercise,reps,duration", "2024-03-05,Squat,5,0", "2024-03-05,Plank,,45")["hold"] == "duration"


def test_a_set_column_of_kinds_is_the_kind():
    assert fields("date,exercise,set,reps", "2024-03-05,Squat,warm-up,5", "2024-03-05,Squat,work,5")["kind"] == "set"


def test_a_count_of_sets_and_a_set_number_are_told_apart_by_how_they_run():
    """Read as a set's number, 3 sets of 8 would become one set; read as a count, sets 1, 2, 3 would become six."""
    assert fields("date,exercise,sets,reps", "2024-03-05,Squat,3,8", "2024-03-05,Row,4,8")["set_count"] == "sets"
    assert fields("date,exercise,sets,reps", "2024-03-05,Squat,1,8", "2024-03-05,Squat,2,8")["set_no"] == "sets"
    assert fields("date,exercise,sets,reps", "2024-03-05,Squat,3,8", answers={"set_no": "sets"})["set_no"] == "sets"


DAY, NEXT = "2024-03-05", "2024-03-06"


@pytest.mark.parametrize(("rows", "field"), [
    # a number runs from 1 within one exercise of one day
    (("S1", "S2", "S3", "B1", "B2"), "set_no"), (("S1", "B1", "S2", "B2", "S3"), "set_no"), (("S1", "S1", "S2", "S2"), "set_no"),
    (("S3", "S2", "S1", "B2", "B1"), "set_no"), (("SW", "S1", "S2"), "set_no"), (("SW", "S2", "S3"), "set_no"),
    (("S1", "S2", "B3", "B4", "C5", "C6", "D7", "D8"), "set_no"),  # numbered through the day
    (("S1", "S2", "S3", "S1", "S2"), "set_no"),  # two sessions of one day
    # a count does not
    (("S1", "B2", "C3"), "set_count"), (("S1", "B2", "D3", "|", "B1", "C2"), "set_count"), (("S3", "B4", "C3"), "set_count"), (("S3", "S2"), "set_count"),
    (("S3", "S3"), "set_count"), (("S1", "S3", "B1", "B3"), "set_count"), (("S3", "|", "S3", "|", "S4"), "set_count"),
    # both fit, and the word may count
    (("S1", "B1", "C1"), "set_count"), (("S1", "|", "S1"), "set_count")])
def test_sets_are_numbered_or_counted_as_they_run_within_an_exercise_and_a_day(rows, field):
    """S, B, C, D are exercises, the rest the cell under "sets"; | begins another day."""
    day, lines = DAY, []
    for row in rows:
        day = NEXT if row == "|" and day == DAY else f"{day[:-1]}7" if row == "|" else day
        lines += [f"{day},{row[0]},{row[1:]},8"] if row != "|" else []
    found = {c.header: c.field for c in recognise(table("date,exercise,sets,reps", *lines))}
    assert found["sets"] == field
    assert {c.header: c.field for c in recognise(table("date,exercise,set no,reps", *lines))}["set no"] == "set_no", "its word numbers them"


def test_the_exercise_of_a_blank_cell_is_the_one_above():
    assert fields("date,exercise,sets,reps", f"{DAY},Squat,1,8", ",,2,8", ",,3,8", ",Row,1,8", ",,2,8")["set_no"] == "sets"


def test_sets_that_are_numbered_in_part_are_asked_about_and_either_answer_is_taken():
    lines = "date,exercise,sets,reps", f"{DAY},Squat,1,5", f"{DAY},Squat,2,5", f"{DAY},Squat,5,8"
    with pytest.raises(Question) as asked:
        recognise(table(*lines))
    assert '--columns "set_no=sets"' in str(asked.value) and '--columns "set_count=sets"' in str(asked.value)
    for field in ("set_no", "set_count"):
        assert fields(*lines, answers={field: "sets"})[field] == "sets"


ROUNDS = {"push-up", "plank"}


def rounds(header, *lines):
    return next(c.field for c in recognise(table(f"date,{header}", *lines), None, lambda text: text.casefold() in ROUNDS) if "ound" in c.header)


@pytest.mark.parametrize(("header", "lines", "field"), [
    ("rounds,push-up,plank", (f"{DAY},3,10,40", f"{NEXT},4,10,40"), "round_count"), ("rounds,push-up,plank", (f"{DAY},1,10,40", f"{NEXT},1,10,40"), "round_count"),
    ("rounds,push-up,plank", (f"{DAY},1,10,40", f"{DAY},2,10,40", f"{NEXT},1,10,40"), "round_no"),
    ("round,push-up,plank", (f"{DAY},1,10,40", f"{DAY},2,10,40"), "round_no"), ("round,push-up,plank", (f"{DAY},1,10,40",), "round_no"),
    ("exercise,rounds,reps", (f"{DAY},Push-up,3,10", f"{DAY},Squat,3,10"), "round_count"),
    ("exercise,rounds,reps", (f"{DAY},Push-up,1,10", f"{DAY},Squat,1,10", f"{DAY},Push-up,2,9"), "round_no"),
    ("number of rounds,push-up,plank", (f"{DAY},1,10,40", f"{DAY},2,10,40"), "round_count")])
def test_rounds_are_numbered_or_counted(header, lines, field):
    assert rounds(header, *lines) == field


def test_a_round_that_cannot_number_those_of_a_circuit_is_asked_about():
    with pytest.raises(Question, match="round_count=round"):
        rounds("round,push-up,plank", f"{DAY},3,10,40", f"{NEXT},3,10,40")


@pytest.mark.parametrize(("header", "said"), [
    ("load (N)", "N"), ("load in newtons", "newtons"), ("weight in pounds-force", "pounds-force"), ("Weight (lbf)", "lbf"), ("load (%)", "%"), ("weight_pct", "pct"),
    ("Weight (plates)", "plates"), ("Gewicht (Pfund)", "Pfund"), ("load (BW)", "BW"), ("load [quux]", "quux"), ("Weight (g)", "g"),
    ("Weight", ""), ("Weight (kg)", ""), ("Weight (st)", ""), ("load (kg, per hand)", ""), ("Plates per side", ""), ("Plates per side (kg)", ""), ("Load (charge)", ""),
    ("Weight (optional)", ""), ("Weight (incl. bar)", ""), ("Weight (dumbbell)", ""), ("Weight (1)", ""), ("Poids (livres)", ""), ("Gewicht (je Hand)", "")])
def test_what_a_header_says_in_the_place_of_a_unit(header, said):
    assert other_unit(header) == said


def test_a_share_is_no_load_unless_a_person_says_so():
    found = recognise(table("date,exercise,reps,load (%)", "2024-03-05,Squat,5,80"))[3]
    assert found.field is None and "shares" in found.reason
    assert fields("date,exercise,reps,load (%),weight (kg)", "2024-03-05,Squat,5,80,100")["load"] == "weight (kg)"
    assert fields("date,exercise,reps,load (%)", "2024-03-05,Squat,5,80", answers={"load": "load (%)"})["load"] == "load (%)"
    assert not any(c.part and c.field == "load" for c in recognise(table("date,exercise,set 1 (%),set 1 reps,set 2 (%),set 2 reps", "2024-03-05,Squat,80,5,85,5")))


def test_an_ordinal_in_a_header_is_a_number_and_no_stone():
    found = recognise(table("date,exercise,1st set reps,2nd set reps,3rd set reps", "2024-03-05,Squat,8,7,6"))
    assert [dict(c.gives).get("set_no") for c in found[2:]] == ["1", "2", "3"] and {c.unit for c in found} == {""}


def test_a_column_of_years_is_read_only_beside_dates_that_leave_it_out():
    assert fields("year,date,exercise,reps", "2024,5 Mar,Squat,5")["year"] == "year"
    assert "year" not in fields("year,date,exercise,reps", "2024,2024-03-05,Squat,5")


@pytest.mark.parametrize("days", [("Mon 3/2", "Wed 3/4"), ("12 Jan", "14 Jan"), ("Jan 12", "Jan 14"), ("3/2", "3/4"), ("02.03.", "04.03."), ("2.3.", "4.3."), ("Mo 2. März", "Mi 4. März")])
def test_columns_of_days_without_their_year(days):
    found = recognise(table(",".join(("exercise", *days)), "Squat,3x8,3x8"))
    assert [dict(c.gives).get("date") for c in found] == [None, *days]


@pytest.mark.parametrize("headers", [("5.1", "5.2"), ("8-10", "10-12"), ("Set 1", "Set 2"), ("Out 1", "Out 2")])
def test_headers_that_are_no_days_without_a_year(headers):
    try:
        found = recognise(table(",".join(("date", "exercise", *headers)), "2024-03-05,Squat,8,8"))
    except Question:
        return
    assert not any("date" in dict(c.gives) for c in found)


def test_an_answer_wins_over_the_words():
    found = recognise(table("date,exercise,reps,load,weight", "2024-03-05,Squat,5,80,100"), {"body_mass": "LOAD"})
    assert {c.field: c.header for c in found if c.field} == {
        "date": "date", "exercise": "exercise", "reps": "reps", "body_mass": "load", "load": "weight"}
    assert found[3].confidence == 1


def test_an_answer_keeps_the_unit_of_its_header():
    assert recognise(table("date,exercise,iron (lb)", "2024-03-05,Squat,5"), {"load": "iron (lb)"})[2].unit == "lb"


def test_a_dash_says_that_there_is_no_such_column():
    assert "rpe" not in fields("date,exercise,reps,rpe", "2024-03-05,Squat,5,8", answers={"rpe": "-"})


@pytest.mark.parametrize(("answers", "word"), [
    ({"colour": "date"}, "no field"), ({"load": "iron"}, "no column"), ({"date": "date", "time": "date"}, "two fields")])
def test_an_answer_that_fits_nothing_is_refused(answers, word):
    with pytest.raises(Refusal, match=word):
        recognise(table("date,exercise,reps", "2024-03-05,Squat,5"), answers)


@pytest.mark.parametrize(("header", "way"), [
    ("foo,exercise,reps", '--columns "date=HEADER"'), ("date,foo,reps", '--columns "exercise=HEADER"'),
    ("foo,bar,reps", '--columns "date=HEADER,exercise=HEADER"')])
def test_a_missing_date_or_exercise_is_asked_for_with_the_headers(header, way):
    # A date stands in the column that no header names, and in another one beside it, so that it is asked which of them it is.
    row = {"foo,exercise,reps": "2024-03-05,Squat,5,2024-03-06", "date,foo,reps": "2024-03-05,x,5,y", "foo,bar,reps": "2024-03-05,2024-03-06,5,y"}[header]
    with pytest.raises(Question) as asked:
        recognise(table(f"{header},baz", row))
    assert way in str(asked.value)
    assert all(name in str(asked.value) for name in header.split(","))


def test_a_file_of_body_mass_needs_no_exercise():
    assert fields("date,body weight (kg)", "2024-03-05,80") == {"date": "date", "body_mass": "body weight (kg)"}


def test_header_words_name_known_fields_and_units():
    words = header_words()
    assert set(words["field"]) - {"other"} == set(FIELDS)
    assert set(words["unit"]) <= {"", "kg", "lb", "s", "min", "not"}
    assert not words.duplicated(["field", "words"]).any()


def test_plain_loads_under_days_are_asked_about():
    with pytest.raises(Question, match="look like loads"):
        recognise(table("exercise,2024-03-05,2024-03-12", "Bench press,60,62.5", "Squat,100,105"))


def test_a_second_column_of_loads_that_fills_gaps_is_asked_about():
    with pytest.raises(Question, match="both named for the load"):
        recognise(table("date,exercise,weight (kg),weight (lb),reps", "2024-03-05,Squat,60,,8", "2024-03-06,Squat,,135,8", "2024-03-07,Squat,70,,8"))


def test_in_an_exported_set_log_the_exercise_is_the_id_beside_the_name_as_written():
    found = fields("date,exercise,exercise_as_written,reps", "2024-03-05,goblet_squat,Goblet squat,5")
    assert (found["exercise"], found["exercise_id"]) == ("exercise_as_written", "exercise")


def test_a_column_of_work_with_slips_in_it_is_still_the_work():
    found = fields("date,exercise,done so far", "2024-03-05,Squat,3x8", "2024-03-05,Row,3x10 @ 40 kg", "2024-03-05,Curl,later")
    assert found["work"] == "done so far"


def test_a_long_remark_in_the_place_of_a_header_costs_nothing():
    assert fields_named("felt good today with knee " * 5000) == []


@pytest.mark.parametrize(("lines", "doubted"), [
    (("date,exercise,sets,reps", f"{DAY},Squat,1,5", f"{DAY},Squat,2,5", f"{DAY},Squat,5,8"), ["sets"]),
    (("date,exercise,load,weight,reps", f"{DAY},Squat,60,,5", f"{DAY},Squat,,65,5"), ["load", "weight"]),
    (("date,exercise,load,reps,effort", f"{DAY},Squat,60,5,2", f"{DAY},Squat,60,5,3"), ["effort"]),
    (("date,thing,reps,load", f"{DAY},Rope thing,5,60"), ["thing"]),
])
def test_a_question_about_a_column_carries_what_the_others_are(lines, doubted):
    with pytest.raises(ColumnQuestion) as asked:
        recognise(table(*lines))
    columns = asked.value.columns
    assert [c.header for c in columns] == lines[0].split(",") and [c.header for c in columns if c.field is None] == doubted
    assert all(c.reason for c in columns) and {c.field for c in columns} >= {"date", "reps"}


def test_a_column_with_halves_is_not_asked_about_as_the_repetitions():
    with pytest.raises(Question, match='"A" and "C" hold whole numbers') as asked:
        recognise(table("Date,Exercise,A,B,C", "2024-03-05,Squat,10,12.5,2", "2024-03-05,Squat,9,12.5,1", "2024-03-07,Squat,12,6,2", "2024-03-07,Squat,15,8,2"))
    assert '"B"' not in str(asked.value)
