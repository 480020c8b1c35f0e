"""Loads, effort, holds and units of whole files: what one sensible reading gives, and what waits because two fit. Common practice, no source."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from etl.fast import blocks
from etl.importing import Answers, Understood, decide, understand
from etl.refusal import Question
from tests.both_paths import assert_same, took_fast
from tests.logs import ask, bring

TODAY = date(2026, 11, 1)
POUND_KG = 0.45359237  # NIST Special Publication 811 (2008), appendix B.8: exact


def file(header: str, *rows: str, unit: str | None = None, columns: dict[str, str] | None = None) -> Understood:
    text = f"Date,{header}\n" + "".join(f"2024-03-01,{row}\n" for row in rows)
    return whole(text, Answers(athlete="Ann", unit=unit, columns=columns or {}))


def whole(text: str, answers: Answers = Answers(athlete="Ann")) -> Understood:
    return understand([("log.csv", text.encode())], answers, today=TODAY).files[0]


def sets(found: Understood, *names: str) -> list[tuple]:
    assert found.refusal is None, found.refusal
    rows = found.normal.sets[list(names)].astype(object)
    return [tuple(None if value != value else value for value in row) for row in rows.to_numpy().tolist()]


def aside(found: Understood) -> list[str]:
    return found.normal.set_aside["reason"].tolist()


def says(found: Understood, *words: str) -> bool:
    return any(all(word in text for word in words) for text in found.normal.assumed)


# --- effort ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("cell", "rpe", "rir"), [
    ("2 RIR", None, 2), ("RIR 1", None, 1), ("2 in riserva", None, 2), ("1-2 reps left", None, 1.5), ("2 en réserve", None, 2), ("8", 8, None),
    ("RPE 8", 8, None), ("8/10", 8, None), ("@9", 9, None)])
def test_the_word_in_a_cell_of_rpe_wins(cell, rpe, rir):
    assert sets(file("Exercise,Reps,Load (kg),RPE,RIR", f"Squat,5,100,{cell},", "Squat,5,100,9,"), "rpe", "rir")[0] == (rpe, rir)


@pytest.mark.parametrize(("cell", "rpe", "rir"), [
    ("RPE 8", 8, None), ("@9", 9, None), ("8/10", 8, None), ("2", None, 2), ("@2", None, 2), ("2 RIR", None, 2)])
def test_the_word_in_a_cell_of_rir_wins(cell, rpe, rir):
    assert sets(file("Exercise,Reps,Load (kg),RPE,RIR", f"Squat,5,100,,{cell}", "Squat,5,100,,1"), "rpe", "rir")[0] == (rpe, rir)


def test_a_rating_that_was_moved_is_said_and_yields_to_the_column_of_its_own():
    found = file("Exercise,Reps,Load (kg),RPE,RIR", "Squat,5,100,2 RIR,", "Squat,5,100,1 RIR,3")
    assert sets(found, "rpe", "rir", "note") == [(None, 2, None), (None, 3, "RPE: 1 RIR")]
    assert says(found, "1 row with RIR by the word in the cell")


def test_words_of_two_scales_are_kept_as_text():
    assert sets(file("Exercise,Reps,Load (kg),RPE", "Squat,5,100,RPE 2 RIR", "Squat,5,100,8"), "rpe", "note")[0] == (None, "RPE: RPE 2 RIR")


def test_an_effort_that_never_is_above_five_is_asked_about():
    rows = ("Squat,5,100,2", "Squat,5,100,1", "Squat,5,100,0")
    refusal = file("Exercise,Reps,Load (kg),Effort", *rows).refusal
    assert isinstance(refusal, Question) and "rir=Effort" in refusal.do
    assert sets(file("Exercise,Reps,Load (kg),Effort", *rows, columns={"rir": "Effort"}), "rpe", "rir") == [(None, 2), (None, 1), (None, 0)]
    assert sets(file("Exercise,Reps,Load (kg),Effort", *rows, columns={"rpe": "Effort"}), "rpe") == [(2,), (1,), (0,)]
    assert sets(file("Exercise,Reps,Load (kg),RPE", *rows), "rpe") == [(2,), (1,), (0,)]
    assert says(file("Exercise,Reps,Load (kg),Effort", *rows, "Squat,5,100,8"), "read as RPE")


# --- lists ------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("row", ['Squat,"8,6","60,65"', 'Squat,"5,3","120,140"', 'Squat,8/6,"100,105"', 'Squat,"8,6","7,5"'])
def test_two_loads_with_a_comma_wait_beside_two_sets(row):
    found = file("Exercise,Reps,Load (kg)", row, "Squat,5,60")
    assert len(found.normal.sets) == 1 and "decimal comma" in aside(found)[0]


@pytest.mark.parametrize(("row", "loads"), [
    ('Squat,8/6,"62,5"', [62.5, 62.5]), ('Squat,2x8,"41,25"', [41.25, 41.25]), ('Squat,8,"60,65"', [60.65]), ("Squat,8/6,60/65", [60, 65])])
def test_one_number_with_a_decimal_comma_stays_one(row, loads):
    assert [load for (load,) in sets(file("Exercise,Reps,Load (kg)", row), "load_kg")] == loads


def test_cells_that_are_built_as_one_in_doubt_wait_with_it():
    found = file("Exercise,Reps", "Bench press,60 8 8 8", "Lateral raise,8 12 12 12", "Lateral raise,10 12 10 8", "Squat,12 10 8", "Push-up,12 10 8 8")
    assert len(aside(found)) == 3 and sets(found, "reps") == [(12,), (10,), (8,), (12,), (10,), (8,), (8,)]
    alone = file("Exercise,Reps", "Lateral raise,8 12 12 12")
    assert not aside(alone) and len(alone.normal.sets) == 4


def test_sets_of_an_exercise_wait_beside_a_product_in_doubt():
    found = file("Exercise,Reps", "Lateral raise,10x12", "Lateral raise,8x12", "Lateral raise,3x12", "Pull-up,8x10")
    assert len(aside(found)) == 2 and len(found.normal.sets) == 3 + 8


# --- holds and times ---------------------------------------------------------------------------------------------------------


def test_bare_numbers_of_an_exercise_that_is_held_are_seconds():
    found = file("Exercise,Reps", "Plank,60", "Plank,30-25-20", "Plank,45s", "Plank,2:00", "Squat,8")
    assert sets(found, "reps", "hold_s") == [(None, 60), (None, 30), (None, 25), (None, 20), (None, 45), (None, 120), (8, None)]
    assert says(found, "4 numbers without a unit", "Plank", "seconds")


def test_what_may_be_metres_minutes_or_a_count_waits():
    found = file("Exercise,Reps,Load (kg)", "Farmers carry,40m,24", "Lunge,20m,24", "Farmers carry,40,24", "Plank,2,", "Squat,08:00,60", "Squat,8,60")
    reasons = aside(found)
    assert len(found.normal.sets) == 1 and len(reasons) == 5 and len(found.normal.set_aside["text"].loc[lambda t: t.str.contains("2024")]) == 5
    assert "metres or minutes" in reasons[0] and "metres or minutes" in reasons[1] and "metres or steps" in reasons[2]
    assert "minutes or sets" in reasons[3] and "spreadsheet" in reasons[4]
    assert found.normal.rows_read == found.normal.rows_with_sets + len(reasons)


def test_a_full_time_waits_in_columns_of_sets_too_but_not_among_seconds():
    found = file("Exercise,Set 1 reps,Set 1 kg,Set 2 reps,Set 2 kg", "Plank,2:00,,60,", "Squat,08:00,60,6,65", "Squat,8,60,6,65")
    assert sets(found, "reps", "hold_s") == [(None, 120), (None, 60), (8, None), (6, None)] and "spreadsheet" in aside(found)[0]
    assert sets(file("Exercise,Reps,Seconds", "Squat,,2:00", "Squat,8,"), "hold_s") == [(120,), (None,)]


def test_no_repetitions_of_one_side_may_be_a_slip():
    found = file("Exercise,Reps", "Lunge,l0", "Lunge,l0/r8", "Lunge,8")
    assert len(found.normal.sets) == 1 and len(aside(found)) == 2


# --- sides and hands ---------------------------------------------------------------------------------------------------------


def test_loads_per_side():
    found = file("Exercise,Reps,Weight per side (kg)", "Squat,8,20", "Leg press,8,60", "EZ bar curl,8,10", "Trap bar deadlift,8,60", "Dumbbell curl,8,10")
    assert sets(found, "load_kg", "load_estimated") == [(60, True), (120, True), (20, True), (120, True), (10, False)]
    assert says(found, "1 load is plates per side of a barbell") and says(found, "2 loads are", "EZ bar curl", "not known")
    assert says(found, "1 load is written per side", "Leg press") and says(found, "Dumbbell curl", "as written")


def test_a_pair_in_no_hand_waits():
    assert len(aside(file("Exercise,Reps,Plates per side (kg)", "Squat,8,2x20", "Squat,8,20"))) == 1
    found = file("Exercise,Reps,Weight (kg)", "Squat,8,100x2", "Squat,8,2x50", "Dumbbell curl,8,2x20")
    assert sets(found, "load_kg") == [(20,)] and all("two sets" in reason for reason in aside(found))


def test_a_load_that_is_the_body_mass_is_said():
    assert says(file("Exercise,Reps,Load (kg),Bodyweight (kg)", "Pull-up,8,80,80", "Squat,8,80,80"), "LOOK", "1 load is the body mass", "Pull-up")


# --- units -------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("header", "cell", "pounds"), [
    ("Weight (stones and pounds)", "9 6", 132), ("Weight (stones and pounds)", "12", 168), ("Weight (stone/lb)", "9/6", 132), ("Weight (st)", "14 7", 203),
    ("Weight (st)", "9.5", 133)])
def test_stones_and_pounds(header, cell, pounds):
    """1 stone is 14 lb: Weights and Measures Act 1985 (UK), schedule 1, from memory."""
    assert sets(file(f"Exercise,Reps,{header}", f"Squat,8,{cell}"), "load_kg")[0][0] == pytest.approx(pounds * POUND_KG)


def test_stones_of_a_body_and_of_the_user():
    assert sets(file("Exercise,Reps,Bodyweight (st)", "Squat,8,12 4"), "body_mass_kg")[0][0] == pytest.approx(172 * POUND_KG)
    assert sets(file("Exercise,Reps,Weight", "Squat,8,9", unit="st"), "load_kg")[0][0] == pytest.approx(126 * POUND_KG)


def test_a_part_of_a_stone_or_more_pounds_than_it_has_wait():
    assert len(aside(file("Exercise,Reps,Weight (stones and pounds)", "Squat,8,9.6", "Squat,8,9 14", "Squat,8,9 6"))) == 2


def test_a_line_below_and_the_name_of_an_exercise_name_the_unit():
    found = whole("Date,Exercise,Reps,Weight\n2024-03-01,Squat,8,100\n2024-03-02,Squat,8,100\n* all weights in lbs\n")
    assert sets(found, "load_kg") == [(100 * POUND_KG,)] * 2 and not says(found, "names no unit")
    assert sets(file("Exercise,Reps,Weight", "Squat,8,100", "Squat (lbs),8,100"), "load_kg") == [(100,), (100 * POUND_KG,)]


def test_a_header_that_leaves_out_the_bar_is_said():
    assert says(file("Exercise,Reps,Weight (excl. bar)", "Squat,8,100"), "LOOK", "bar")
    assert not says(file("Exercise,Reps,Weight (incl. bar)", "Squat,8,100"), "LOOK")


# --- the fast path -----------------------------------------------------------------------------------------------------------

ODD = ("Plank,60,,80", "Plank,45s,,80", "Squat,08:00,60,80", "Farmers carry,40m,24,80", "Farmers carry,40,24,80", "Leg press,8,20 per side,80", "Squat,8,2x20,80",
       "Squat,8,-20,80", "Squat,8,-20,80", "Pull-up,8,-20,80", "Pull-up,8,80,80", "Squat,8,80,80", "Squat (lbs),8,100,80", 'Squat,"8,6","60,65",80',
       "Squat,60 8 8,,80", "Squat,8 12 12,,80")


@pytest.mark.parametrize("first", ["Squat,8,50,80", "Plank,45s,,80", "Plank,60,,80"])
@pytest.mark.parametrize("unit", [" (kg)", ""])
def test_both_paths_agree(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, first: str, unit: str):
    monkeypatch.setattr(blocks, "FAST_BYTES", 0)
    monkeypatch.setattr(blocks, "BLOCK_BYTES", 300)
    plain = [f"Squat,{5 + n % 6},{50 + n % 20},80" for n in range(120)]
    rows = [first, *plain[:40], *ODD, *plain[40:]]
    text = f"Date,Exercise,Reps,Weight{unit},Bodyweight (kg)\n" + "".join(f"2024-03-{1 + n % 28:02},{row}\n" for n, row in enumerate(rows))
    path = tmp_path / "log.csv"
    path.write_bytes(text.encode())
    fast, careful = understand([("log.csv", path)], Answers(athlete="Ann"), today=TODAY).files[0], whole(text)
    assert took_fast(fast)
    assert_same(fast, careful)


def test_a_unit_below_the_table_is_read_by_the_careful_path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(blocks, "FAST_BYTES", 0)
    text = "Date,Exercise,Reps,Weight\n" + "2024-03-01,Squat,8,100\n" * 50 + "* all weights in lbs\n"
    path = tmp_path / "log.csv"
    path.write_bytes(text.encode())
    fast, careful = understand([("log.csv", path)], Answers(athlete="Ann"), today=TODAY).files[0], whole(text)
    assert not took_fast(fast)
    assert_same(fast, careful)


# --- the store ---------------------------------------------------------------------------------------------------------------


def test_a_name_that_is_settled_as_a_hold_is_found_again(store: Path):
    text = "Date,Athlete,Exercise,Reps\n2026-03-02,Ida,Zorble,60\n2026-03-02,Ida,Zorble,45s\n"
    bring(store, text)
    decide(store, "Zorble", "plank")
    assert ask(store, "select reps, hold_s from sets order by source_row") == [(None, 60), (None, 45)]
    assert bring(store, text)["sets_stored"] == 0
