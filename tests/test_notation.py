"""The text of cells -> values. Expected values are what a careful person reads in the cell."""

import time
from datetime import date, datetime, timedelta
from fractions import Fraction

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from etl import notation
from etl.notation.dates import weekday
from etl.notation.loads import IN_KG
from etl.notation.things import GALLON_L, WATER_KG_PER_L
from etl.settings import RULES

POUND_KG = Fraction(45359237, 100_000_000)  # NIST Special Publication 811 (2008), appendix B.8: exact
INCH_CM = Fraction(254, 100)  # NIST Special Publication 811 (2008), appendix B.8: exact
GALLON_INCHES = 231  # the US liquid gallon in cubic inches, by definition


def column(*cells):
    return pd.Series(list(cells), dtype="str")


def one(series):
    value = series.iloc[0]
    return None if pd.isna(value) else value


def test_the_stone_is_14_pounds():
    """Weights and Measures Act 1985 (UK), schedule 1, from memory: 14 lb, and so 6.35029318 kg."""
    assert Fraction(str(IN_KG["st"])) == 14 * POUND_KG == Fraction("6.35029318")


def test_the_pound_is_that_of_nist():
    assert Fraction(str(RULES.pound_kg)) == POUND_KG


def test_the_gallon_is_that_of_nist_and_the_water_that_of_20_degrees():
    """NIST Special Publication 811 (2008), appendix B.8, gives 3.785 412 L, rounded; Tanaka et al. 2001 998.207 kg/m3, from memory."""
    assert Fraction(str(GALLON_L)) == GALLON_INCHES * INCH_CM**3 / 1000
    assert round(GALLON_L, 6) == 3.785412
    assert WATER_KG_PER_L == round(998.207 / 1000, 4)


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
    assert notation.decimal_mark(column("8,8,6", "10,10,10", "62.5")) == "."  # lists say nothing


@given(st.integers(-10**6, 10**6), st.integers(0, 99))
def test_a_written_number_is_read_back(whole, hundredths):
    cell = f"{whole},{hundredths:02}"
    assert one(notation.read_numbers(column(cell))) == float(cell.replace(",", "."))


@pytest.mark.parametrize(("cell", "value", "unit"), [
    ("20", 20, ""), ("20 kg", 20, "kg"), ("20kgs", 20, "kg"), ("45lb", 45, "lb"), ("45 lbs.", 45, "lb"),
    ("BW", 0, ""), ("bodyweight", 0, ""), ("body weight", 0, ""), ("BW+10", 10, ""), ("BW + 10 kg", 10, "kg"),
    ("BW-20", -20, ""), ("BW - 20 lb", -20, "lb"), ("10kg + BW", 10, "kg"), ("-20", -20, ""), ("+10", 10, ""),
    ("2x20", 20, ""), ("20 each", 20, ""), ("20 kg x2", 20, "kg"), ("assisted 20", -20, ""), ("20 kg assist", -20, "kg"),
    ("1,250.5", 1250.5, ""), ("1.250,5 kg", 1250.5, "kg"), ("60 kg.", 60, "kg"), ("kg 60", 60, "kg"), ("60KGS", 60, "kg"), ("22,5 kg", 22.5, "kg"),
    ("20kg/44lb", 20, "kg"), ("44 lb (20 kg)", 20, "kg"), ("45 lb / 20 kg", 20, "kg"), ("20 kg kettlebell", 20, "kg"), ("kettlebell 16", 16, ""),
    ("Körpergewicht", 0, ""), ("Eigengewicht + 10 kg", 10, "kg"), ("poids du corps", 0, ""), ("PDC+5", 5, ""), ("peso corporal", 0, ""),
    ("corpo libero", 0, ""), ("peso do corpo", 0, ""), ("Lichaamsgewicht", 0, ""), ("KG", None, ""), ("2 stone", 2, "st"), ("2.5 st", 2.5, "st"),
    ("11 st 4 lb", 158, "lb"), ("11st 4", 158, "lb"), ("11 stone 4½ lbs", 158.5, "lb"), ("11 st / 154 lb", 154, "lb"), ("70 kg (11 st)", 70, "kg"),
    ("11 st 14", None, ""), ("11 st / 80 kg", None, ""), ("st 11", None, ""), ("bucket 10 stones", None, ""), ("3 pond", None, ""),
    ("25 lb / 10 kg", None, ""),
    ("20 kg/25 kg", None, ""), ("2 plates", None, ""), ("3x20", None, "")])
def test_loads(cell, value, unit):
    found = notation.read_loads(column(cell))
    assert (one(found["value"]), found["unit"].iloc[0]) == (value, unit)


@pytest.mark.parametrize(("cell", "value", "basis"), [
    ("20/side", 20, "per_side"), ("20 per side", 20, "per_side"), ("20 kg each side", 20, "per_side"), ("plates 20 per side", 20, "per_side"),
    ("2.5 kg plates per side", 2.5, "per_side"), ("20 kg plate each side", 20, "per_side"), ("22,5 kg/side", 22.5, "per_side"),
    ("20 kg pro Seite", 20, "per_side"), ("20 kg par côté", 20, "per_side"), ("20 por lado", 20, "per_side"),
    ("20 per hand", 20, "per_hand"), ("20 each", 20, "per_hand"), ("20 ea", 20, "per_hand"), ("2x20", 20, "pair"), ("2 x 20 kg", 20, "pair"),
    ("20/hand", 20, "per_hand"), ("8 kg each hand", 8, "per_hand"), ("20 kg x2", 20, "pair"), ("2 x 16 kg kettlebells", 16, "per_hand"),
    ("20", 20, ""), ("20 kg plate", 20, ""), ("BW+10", 10, ""), ("2 plates per side", None, ""),
    ("2x20 per side", None, "per_side")])  # one plate of 20 on each side, or two
def test_what_a_load_is_written_of(cell, value, basis):
    found = notation.read_loads(column(cell))
    assert (one(found["value"]), found["basis"].iloc[0]) == (value, basis)


@pytest.mark.parametrize(("cell", "kg", "thing"), [
    ("gallon of water", 3.7786, "water jug"), ("1 gallon jug", 3.7786, "water jug"), ("2 gallons", 7.5572, "water jug"),
    ("half a gallon", 1.8893, "water jug"),
    ("½ gallon", 1.8893, "water jug"), ("2 gallon jug", 7.5572, "water jug"), ("5 l water", 4.991, "water"), ("5 L jug of water", 4.991, "water jug"),
    ("2 L bottle", 1.9964, "water bottle"), ("1.5l bottle", 1.4973, "water bottle"), ("500 ml bottle", 0.4991, "water bottle"),
    ("2 x 1.5 L bottles", 1.4973, "water bottle"), ("6-L-Kanister", 5.9892, "water can"), ("1,5-L-Flasche", 1.4973, "water bottle"),
    ("10 l bucket of water", 9.982, "bucket"), ("bag 12 kg", 12, "bag"), ("12 kg bag", 12, "bag"), ("backpack 10kg", 10, "backpack"),
    ("rucksack ~12kg", 12, "backpack"), ("sandbag 20", 20, "sandbag"), ("bucket of sand 15 kg", 15, "bucket"), ("suitcase 15 kg", 15, "suitcase"),
    ("water jug 5 kg", 5, "water jug"), ("BW + backpack 10 kg", 10, "backpack")])
def test_home_made_loads_are_guesses(cell, kg, thing):
    found = notation.read_loads(column(cell)).iloc[0]
    assert found["value"] == pytest.approx(kg, abs=5e-5) and found["unit"] in ("kg", "") and found["object"] == thing and found["estimated"]


@pytest.mark.parametrize("cell", ["kettlebell 16", "16 kg kettlebell", "20 kg plate", "medicine ball 5 kg", "bar 20 kg", "20", "2x20 kg dumbbells"])
def test_iron_says_what_it_weighs(cell):
    found = notation.read_loads(column(cell)).iloc[0]
    assert found["value"] > 0 and not found["estimated"] and found["object"] == ""


@pytest.mark.parametrize("cell", ["2 bags", "2 gallon jugs", "20 l backpack", "10 l bucket", "box 50", "5 l", "gallon of milk", "2 bottles", "jug 5",
                                  "5 l bucket of sand", "backpack 10 kg 12 kg", "half 10 kg bag", "bag 12 litres"])
def test_a_thing_whose_weight_the_cell_does_not_say_is_not_read(cell):
    found = notation.read_loads(column(cell)).iloc[0]
    assert pd.isna(found["value"]) and found["object"] == ""


def test_a_thing_without_any_size_is_words():
    assert notation.read_loads(column("suitcase", "bucket of sand", "20 l backpack"))["wordy"].tolist() == [True, True, False]


@given(st.integers(-150, 800).map(lambda quarters: quarters / 4), st.sampled_from(["kg", "lb", "lbs", "KG", "kilos"]), st.sampled_from([".", ","]))
def test_a_written_load_is_read_back(value, unit, mark):
    found = notation.read_loads(column(f"{value:g} {unit}".replace(".", mark)), mark).iloc[0]
    assert (found["value"], found["unit"]) == (value, "lb" if unit.startswith("lb") else "kg")


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
    ("1 min", 60), ("1.5 min", 90), ("1,5 min", 90), ("1'30\"", 90), ("45\"", 45), ("1:02:03", 3723), ("1h 2m", 3720), ("00:00:45", 45),
    ("1 min 30 s", 90),
    ("90 Sek", 90), ("90 Sekunden", 90), ("2 Minuten", 120), ("45 seg", 45), ("30 segundos", 30), ("30 secondes", 30), ("2 minuti", 120),
    ("30 secondi", 30),
    ("2 minutos", 120), ("30 seconden", 30), ("1 Std", 3600), ("PT45S", 45), ("PT1M30S", 90), ("PT1H2M3.5S", 3723.5), ("1\u203230\u2033", 90)])
def test_durations(cell, seconds):
    assert one(notation.durations_s(column(cell))) == seconds


@pytest.mark.parametrize("cell", ["", "soon", "0:75", "1:60:00", "1:2:3:4", "m", "5 m 4 m", "PT", "P1D", "10 kg", "min", "45 sets"])
def test_what_is_no_duration(cell):
    assert one(notation.durations_s(column(cell))) is None


def test_in_minutes_two_parts_are_hours_and_minutes():
    assert notation.durations_s(column("65", "1:05", "0:01:30"), "min").tolist() == [3900, 3900, 90]


@pytest.mark.parametrize(("cell", "clock"), [
    ("18:30", "18:30"), ("6:30 pm", "18:30"), ("12:05 AM", "00:05"), ("7 am", "07:00"), ("18:30:59", "18:30"),
    ("2024-03-05 18:30", "18:30"), ("2024-03-05T18:30:00.250+0100", "18:30"), ("18:30+01", "18:30"), ("18:30+01:00[Europe/Berlin]", "18:30"),
    ("24:00", ""), ("18:60", ""), ("13 pm", ""), ("7", ""), ("", "")])
def test_times_of_day(cell, clock):
    assert notation.clock_times(column(cell)).iloc[0] == clock


@pytest.mark.parametrize("cell", [
    "2024-03-05", "2024/3/5", "2024.03.05", "20240305", "2024-03-05T18:30:00Z", "2024-03-05 18:30", "5/3/2024", "05.03.2024",
    "5-3-24", "05/03/2024, 18:30", "5 March 2024", "5th Mar 2024", "05-Mar-24", "March 5, 2024", "Tue, Mar 5, 2024", "Tuesday 05/03/2024",
    "2024-03-05Z", "2024-03-05+01:00", "2024-W10-2", "2024W102", "2024-Mar-05",
    "5. März 2024", "5 Mrz 24", "Di., 05.03.2024", "Dienstag, den 5. März 2024", "5 mars 2024", "mardi 5 mars 2024", "mar. 05/03/2024",
    "le 5 mars 2024",
    "5 de marzo de 2024", "martes, 5 de marzo de 2024", "mar 5 mar 2024", "5 marzo 2024", "martedì 5 marzo 2024", "5 de março de 2024",
    "terça-feira, 5 de março de 2024", "5 maart 2024", "di 5 mrt 2024", "05.03.24"])
def test_dates(cell):
    assert one(notation.read_dates(column(cell), day_first=True)["date"]).date() == date(2024, 3, 5)


@pytest.mark.parametrize(("cell", "day"), [
    ("1er janvier 2025", (1, 1)), ("1º de enero de 2025", (1, 1)), ("6 févr. 2025", (2, 6)), ("6 avril 2025", (4, 6)), ("6 mai 2025", (5, 6)),
    ("6 mei 2025", (5, 6)),
    ("6 mayo 2025", (5, 6)), ("6 maggio 2025", (5, 6)), ("6 juin 2025", (6, 6)), ("6 giugno 2025", (6, 6)), ("6 juil. 2025", (7, 6)),
    ("6 luglio 2025", (7, 6)),
    ("1er août 2025", (8, 1)), ("6 agosto 2025", (8, 6)), ("6 sept. 2025", (9, 6)), ("6 settembre 2025", (9, 6)), ("6 Okt. 2025", (10, 6)),
    ("6 outubro 2025", (10, 6)),
    ("6 ottobre 2025", (10, 6)), ("6 nov. 2025", (11, 6)), ("6. Dezember 2025", (12, 6)), ("6 dic 2025", (12, 6)), ("6 décembre 2025", (12, 6)),
    ("6 de enero de 2025", (1, 6)), ("6 gennaio 2025", (1, 6)), ("6 gen 2025", (1, 6)), ("6 fevereiro 2025", (2, 6)), ("Mo., 06.01.2025", (1, 6))])
def test_names_of_months_and_days_in_seven_languages(cell, day):
    assert one(notation.read_dates(column(cell), day_first=True)["date"]).date() == date(2025, *day)


@given(st.dates(date(1950, 1, 1), date(2049, 12, 31)))
def test_an_iso_week_date_is_read_back(day):
    year, week, weekday = day.isocalendar()
    assert one(notation.read_dates(column(f"{year}-W{week:02}-{weekday}"), True)["date"]).date() == day


@pytest.mark.parametrize(("cell", "day", "clock"), [
    ("38749", date(2006, 2, 1), ""),  # ECMA-376, Date Representation: DATEVALUE("01-Feb-2006") is 38749 in the 1900 date base system
    ("45663", date(2025, 1, 6), ""), ("45670.75", date(2025, 1, 13), "18:00"), ("45670,5", date(2025, 1, 13), "12:00"),
    ("45663.99999", date(2025, 1, 7), "00:00"),
    ("20000", date(1954, 10, 3), ""), ("80000", date(2119, 1, 11), ""), ("19999", None, ""), ("80001", None, ""), ("2025-01-06", date(2025, 1,
    6), "")])
def test_serial_numbers_are_days_since_1899_12_30_only_where_told(cell, day, clock):
    found = notation.read_dates(column(cell), True, serials=True).iloc[0]
    assert (None if pd.isna(found["date"]) else found["date"].date(), found["time"]) == (day, clock)
    assert "-" in cell or one(notation.read_dates(column(cell), True)["date"]) is None


@given(st.datetimes(datetime(1960, 1, 1), datetime(2100, 1, 1)).map(lambda moment: moment.replace(second=0, microsecond=0)))
def test_a_serial_number_is_read_back_to_the_minute(moment):
    serial = (moment - datetime(1899, 12, 30)) / timedelta(days=1)
    found = notation.read_dates(column(f"{serial:.8f}"), True, serials=True).iloc[0]
    clock = moment.strftime("%H:%M") if serial % 1 else ""  # midnight or no time: a serial number does not tell
    assert found["date"].date() == moment.date() and found["time"] == clock


@pytest.mark.parametrize(("cells", "are"), [
    (("45663", "45670.75", "", "-"), True), (("45663", "2025-01-06"), False), (("45663", "12"), False), (("20250106",), False), (("", "-"), False),
    ((), False),
    (("45663", "45 663"), False)])
def test_a_column_of_serial_numbers_is_told(cells, are):
    assert notation.are_serials(column(*cells)) is are


@pytest.mark.parametrize("cell", [
    "", "31/02/2024", "2024-13-01", "2024-00-10", "0000-01-01", "5 Smarch 2024", "2024-03", "45356", "1:30", "05/03-2024",
    "2024-03-05 later", "today", "2024-W54-1", "2024-W10", "2024-W10-8", "5 jui 2024", "5 ma 2024", "mar 2024", "5mar2024 x"])
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


@pytest.mark.parametrize(("cells", "day_first"), [
    (("Mon 3/2/2026", "Wed 3/4/2026"), False),  # 2 and 4 March 2026 are a Monday and a Wednesday, 3 April a Friday
    (("Mo 2/3/2026", "Mi 4/3/2026"), True), (("Fri 3/2/2026", "Sat 3/4/2026"), None), (("Mon 3/2/2026", "3/4/2026"), False)])
def test_days_of_the_week_settle_the_order(cells, day_first):
    assert notation.day_first_from(column(*cells)) is day_first


@given(st.dates(date(1950, 1, 1), date(2049, 12, 31)))
def test_the_day_of_the_week_before_a_date_is_found(day):
    """Against the calendar of Python."""
    assert weekday(f"{day:%A} {day}") == weekday(f"{day:%a}, {day:%d/%m/%Y}") == day.weekday()
    assert weekday(str(day)) is None


@pytest.mark.parametrize(("cell", "value"), [
    ("8", 8), ("8.5", 8.5), ("8,5", 8.5), ("@8", 8), ("RPE 8", 8), ("@ 8.5", 8.5), ("8/10", 8), ("2 RIR", 2), ("hard", None),
    ("RPE8.5", 8.5), ("RPE: 8", 8), ("0", 0), ("2 in reserve", 2), ("2 reps in reserve", 2), ("RIR2", 2), ("1-2", 1.5), ("1–2 RIR", 1.5),
    ("7-8", 7.5),
    ("8-8.5", 8.25), ("8-8,5", 8.25), ("@7-8", 7.5), ("RPE 9-10", 9.5), ("8-10", 9), ("0-10", None), ("1-2-3", None), ("failure", None),
    ("7/8", None), ("", None)])
def test_efforts(cell, value):
    assert one(notation.read_efforts(column(cell))) == value


@pytest.mark.parametrize(("cell", "reps", "hold_s", "side"), [
    ("10", 10, None, ""), ("10 reps", 10, None, ""), ("x10", 10, None, ""), ("45s", None, 45, ""), ("0:45", None, 45, ""),
    ("10/side", 10, None, "each"), ("8 each", 8, None, "each"), ("8L", 8, None, "left"), ("8 R", 8, None, "right"), ("10.5", 10.5, None, ""),
    ("12 Wdh.", 12, None, ""), ("10 répétitions", 10, None, ""), ("10 per leg", 10, None, "each"), ("10 pro Seite", 10, None, "each"),
    ("10 par côté", 10, None, "each"), ("10 links", 10, None, "left"), ("30s/side", None, 30, "each"), ("30 s each side", None, 30, "each"),
    ("45 sec L", None, 45, "left"), ("PT45S", None, 45, ""), ("1 min", None, 60, "")])
def test_repetitions(cell, reps, hold_s, side):
    found = notation.read_repetitions(column(cell))
    assert (one(found["reps"]), one(found["hold_s"]), found["side"].iloc[0], found["read"].iloc[0]) == (reps, hold_s, side, True)


@pytest.mark.parametrize("cell", ["AMRAP", "8-10", "3x8", "10+2", "?", "10,8", "10.3", "10.3/side", "soon/side", "each"])
def test_repetitions_that_no_single_number_stands_for(cell):
    assert not notation.read_repetitions(column(cell))["read"].iloc[0]


@pytest.mark.parametrize(("read", "cell", "word"), [
    (notation.sides, "L", "left"), (notation.sides, "Right", "right"), (notation.sides, "both", "both"),
    (notation.sides, "each side", "each"), (notation.sides, "middle", ""),
    (notation.kinds, "Warm-up", "warm_up"), (notation.kinds, "W", "warm_up"), (notation.kinds, "drop set", "drop"),
    (notation.kinds, "rest-pause", "rest_pause"), (notation.kinds, "cluster", "cluster"), (notation.kinds, "working", "work"),
    (notation.kinds, "blue", ""), (notation.ranges, "full", "full"), (notation.ranges, "bottom half", "lower_half"),
    (notation.ranges, "Upper half", "upper_half"), (notation.ranges, "partial", "part"), (notation.limits, "Breathing", "breath"),
    (notation.units, "LBS", "lb"), (notation.units, "stone", "st"), (notation.units, "newton", ""), (notation.booleans, "Yes", "yes"), (notation.booleans, "0", "no"),
    (notation.states, "Scheduled", "planned"), (notation.states, "completed", "done")])
def test_words_of_the_trade(read, cell, word):
    assert read(column(cell)).iloc[0] == word


@pytest.mark.parametrize("unit", ["1", "1 ", "a", " ", "x10,", "1:", "1.1,", "é", "- ", "gallon ", "½", "\n"])
def test_a_very_long_cell_is_passed_over_at_once(unit):
    text = column((unit * 100_000)[:100_000], "5" + " " * 100_000 + "kg", "5")
    begin = time.perf_counter()
    assert notation.read_loads(text)["value"].iloc[2] == 5 and notation.read_repetitions(text)["reps"].iloc[2] == 5
    for read in (notation.durations_s, notation.read_efforts, notation.read_numbers, notation.clock_times, notation.are_serials,
        notation.day_first_from):
        read(text)
    assert notation.read_dates(text, True)["date"].isna().all() and not notation.are_serials(text)
    assert time.perf_counter() - begin < 1


@given(st.lists(st.text(max_size=12), max_size=5))
def test_any_text_is_read_or_missing_and_raises_nothing(cells):
    text = column(*cells)
    results = [notation.read_numbers(text), notation.read_loads(text), notation.durations_s(text), notation.read_dates(text, True),
               notation.read_efforts(text), notation.read_repetitions(text), notation.sides(text), notation.clock_times(text)]
    assert {len(result) for result in results} == {len(cells)}
    assert notation.day_first_from(text) in (True, False, None)
