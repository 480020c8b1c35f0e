"""The text of cells -> values. Expected values are what a careful person reads in the cell."""

from datetime import date
from fractions import Fraction

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from etl import notation
from etl.settings import RULES

POUND_KG = Fraction(45359237, 100_000_000)  # NIST Special Publication 811 (2008), appendix B.8: exact


def column(*cells):
    return pd.Series(list(cells), dtype="str")


def one(series):
    value = series.iloc[0]
    return None if pd.isna(value) else value


def test_the_pound_is_that_of_nist():
    assert Fraction(str(RULES.pound_kg)) == POUND_KG


@pytest.mark.parametrize(("cell", "value"), [
    ("20", 20), ("20.5", 20.5), ("62,5", 62.5), ("1,250", 1250), ("1,250.5", 1250.5), ("1.250,5", 1250.5), ("+5", 5),
    ("-5", -5), ("\u22125", -5), ("- 5", -5), ("2½", 2.5), (".5", 0.5), ("1'250", 1250), ("5.", 5), ("007", 7)])
def test_numbers(cell, value):
    assert one(notation.read_numbers(column(cell))) == value


@pytest.mark.parametrize("cell", ["", "abc", "1e5", "inf", "nan", "1.2.3", "12..5", "2o", "1,25,0", "5-8", "٣"])
def test_what_is_no_number(cell):
    assert one(notation.read_numbers(column(cell))) is None


def test_the_decimal_mark_is_that_of_the_whole_column():
    """"1,250" alone is 1250; beside "62,5" its comma is a decimal one."""
    assert notation.read_numbers(column("1,250")).tolist() == [1250]
    assert notation.read_numbers(column("1,250", "62,5")).tolist() == [1.25, 62.5]
    assert notation.read_numbers(column("1.250", "62,5")).tolist() == [1250, 62.5]
    assert notation.read_numbers(column("22.679", "45.359")).tolist() == [22.679, 45.359]


@given(st.integers(-10**6, 10**6), st.integers(0, 99))
def test_a_written_number_is_read_back(whole, hundredths):
    cell = f"{whole},{hundredths:02}"
    assert one(notation.read_numbers(column(cell))) == float(cell.replace(",", "."))


@pytest.mark.parametrize(("cell", "value", "unit"), [
    ("20", 20, ""), ("20 kg", 20, "kg"), ("20kgs", 20, "kg"), ("45lb", 45, "lb"), ("45 lbs.", 45, "lb"),
    ("BW", 0, ""), ("bodyweight", 0, ""), ("body weight", 0, ""), ("BW+10", 10, ""), ("BW + 10 kg", 10, "kg"),
    ("BW-20", -20, ""), ("BW - 20 lb", -20, "lb"), ("10kg + BW", 10, "kg"), ("-20", -20, ""), ("+10", 10, ""),
    ("2x20", 20, ""), ("20 each", 20, ""), ("20 kg x2", 20, "kg"), ("assisted 20", -20, ""), ("20 kg assist", -20, "kg")])
def test_loads(cell, value, unit):
    found = notation.read_loads(column(cell)).iloc[0]
    assert (found["value"], found["unit"]) == (value, unit)


def test_a_body_weight_word_and_a_guess_are_marked():
    found = notation.read_loads(column("BW+10", "~30 kg", "30?", "30"))
    assert found["body"].tolist() == [True, False, False, False]
    assert found["estimated"].tolist() == [False, True, True, False]


def test_words_without_a_number_are_told_from_numbers_that_cannot_be_read():
    found = notation.read_loads(column("red band", "2o", "", "20/25"))
    assert found["value"].isna().all()
    assert found["wordy"].tolist() == [True, False, False, False]


@pytest.mark.parametrize(("cell", "seconds"), [
    ("45", 45), ("45 s", 45), ("45sec", 45), ("45.5", 45.5), ("0:45", 45), ("1:30", 90), ("1m30s", 90), ("1m30", 90),
    ("1 min", 60), ("1.5 min", 90), ("1'30\"", 90), ("1:02:03", 3723), ("1h 2m", 3720)])
def test_durations(cell, seconds):
    assert one(notation.durations_s(column(cell))) == seconds


@pytest.mark.parametrize("cell", ["", "soon", "0:75", "1:60:00", "1:2:3:4", "m", "5 m 4 m"])
def test_what_is_no_duration(cell):
    assert one(notation.durations_s(column(cell))) is None


def test_in_minutes_two_parts_are_hours_and_minutes():
    assert notation.durations_s(column("65", "1:05", "0:01:30"), "min").tolist() == [3900, 3900, 90]


@pytest.mark.parametrize(("cell", "clock"), [
    ("18:30", "18:30"), ("6:30 pm", "18:30"), ("12:05 AM", "00:05"), ("7 am", "07:00"), ("18:30:59", "18:30"),
    ("2024-03-05 18:30", "18:30"), ("24:00", ""), ("18:60", ""), ("13 pm", ""), ("7", ""), ("", "")])
def test_times_of_day(cell, clock):
    assert notation.clock_times(column(cell)).iloc[0] == clock


@pytest.mark.parametrize("cell", [
    "2024-03-05", "2024/3/5", "2024.03.05", "20240305", "2024-03-05T18:30:00Z", "2024-03-05 18:30", "5/3/2024", "05.03.2024",
    "5-3-24", "05/03/2024, 18:30", "5 March 2024", "5th Mar 2024", "05-Mar-24", "March 5, 2024", "Tue, Mar 5, 2024", "Tuesday 05/03/2024"])
def test_dates(cell):
    assert one(notation.read_dates(column(cell), day_first=True)["date"]).date() == date(2024, 3, 5)


@pytest.mark.parametrize("cell", [
    "", "31/02/2024", "2024-13-01", "2024-00-10", "0000-01-01", "5 Smarch 2024", "2024-03", "45356", "1:30", "05/03-2024",
    "2024-03-05 later", "today"])
def test_what_is_no_date(cell):
    assert one(notation.read_dates(column(cell), day_first=True)["date"]) is None


def test_two_digit_years_span_1950_to_2049():
    found = notation.read_dates(column("1/1/50", "1/1/99", "1/1/00", "1/1/49"), True)["date"].dt.year
    assert found.tolist() == [1950, 1999, 2000, 2049]


def test_a_time_behind_a_date_is_read_and_the_day_is_the_one_written():
    found = notation.read_dates(column("2024-03-05T23:30:00+02:00"), True).iloc[0]
    assert found["date"].date() == date(2024, 3, 5) and found["time"] == "23:30"


@pytest.mark.parametrize(("cells", "day_first"), [
    (("03/04/2024", "13/04/2024"), True),
    (("03/04/2024", "04/13/2024"), False),
    (("03/04/2024", "04/04/2024"), None),
    (("03/04/2024",), None),
    (("13/04/2024", "04/13/2024"), None),  # the column contradicts itself
    (("01/03/2024", "01/05/2024", "01/08/2024", "02/02/2024"), False),  # goes up by month first only
    (("02/02/2024", "01/08/2024", "01/05/2024", "01/03/2024"), False),  # a log whose newest day stands first
    (("01/03/2024", "05/03/2024", "09/03/2024", "02/04/2024"), True),
    (("2024-03-05", "3 Apr 2024"), True),  # nothing to decide
    (("03/03/2024", "04/04/2024"), True)])  # both readings are the same days
def test_the_order_of_dates_is_decided_over_the_column(cells, day_first):
    assert notation.day_first_from(column(*cells)) is day_first


def test_a_reading_in_the_future_gives_way():
    assert notation.day_first_from(column("05/11/2024", "05/12/2024"), date(2024, 6, 1)) is False


@pytest.mark.parametrize(("cell", "value"), [
    ("8", 8), ("8.5", 8.5), ("8,5", 8.5), ("@8", 8), ("RPE 8", 8), ("@ 8.5", 8.5), ("8/10", 8), ("2 RIR", 2), ("hard", None), ("7-8", None)])
def test_efforts(cell, value):
    assert one(notation.read_efforts(column(cell))) == value


@pytest.mark.parametrize(("cell", "reps", "hold_s", "side"), [
    ("10", 10, None, ""), ("10 reps", 10, None, ""), ("x10", 10, None, ""), ("45s", None, 45, ""), ("0:45", None, 45, ""),
    ("10/side", 10, None, "each"), ("8 each", 8, None, "each"), ("8L", 8, None, "left"), ("8 R", 8, None, "right")])
def test_repetitions(cell, reps, hold_s, side):
    found = notation.read_repetitions(column(cell))
    assert (one(found["reps"]), one(found["hold_s"]), found["side"].iloc[0], found["read"].iloc[0]) == (reps, hold_s, side, True)


@pytest.mark.parametrize("cell", ["AMRAP", "8-10", "3x8", "10+2", "?"])
def test_repetitions_that_no_single_number_stands_for(cell):
    assert not notation.read_repetitions(column(cell))["read"].iloc[0]


@pytest.mark.parametrize(("read", "cell", "word"), [
    (notation.sides, "L", "left"), (notation.sides, "Right", "right"), (notation.sides, "both", "both"),
    (notation.sides, "each side", "each"), (notation.sides, "middle", ""),
    (notation.kinds, "Warm-up", "warm_up"), (notation.kinds, "W", "warm_up"), (notation.kinds, "drop set", "drop"),
    (notation.kinds, "rest-pause", "rest_pause"), (notation.kinds, "cluster", "cluster"), (notation.kinds, "working", "work"),
    (notation.kinds, "blue", ""), (notation.ranges, "full", "full"), (notation.ranges, "bottom half", "lower_half"),
    (notation.ranges, "Upper half", "upper_half"), (notation.ranges, "partial", "part"), (notation.limits, "Breathing", "breath"),
    (notation.units, "LBS", "lb"), (notation.units, "stone", ""), (notation.booleans, "Yes", "yes"), (notation.booleans, "0", "no"),
    (notation.states, "Scheduled", "planned"), (notation.states, "completed", "done")])
def test_words_of_the_trade(read, cell, word):
    assert read(column(cell)).iloc[0] == word


@given(st.lists(st.text(max_size=12), max_size=5))
def test_any_text_is_read_or_missing_and_raises_nothing(cells):
    text = column(*cells)
    results = [notation.read_numbers(text), notation.read_loads(text), notation.durations_s(text), notation.read_dates(text, True),
               notation.read_efforts(text), notation.read_repetitions(text), notation.sides(text), notation.clock_times(text)]
    assert {len(result) for result in results} == {len(cells)}
    assert notation.day_first_from(text) in (True, False, None)
