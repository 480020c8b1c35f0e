"""Dates that leave out their year: how they are read, where the year is looked for, and how it is asked for and answered."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from streamlit.testing.v1 import AppTest

from dashboard import choices
from dashboard.command.main import main
from etl import notation
from etl.importing import Answers, Understood, keep, known, read_again, understand
from etl.normalise.year_said import years_in
from etl.notation.yearless import HALF_A_YEAR, yearless, years_on
from etl.refusal import Question, Refusal
from etl.store import reading

TODAY = date(2026, 11, 25)
HEAD = "Date,Exercise,Reps"


def column(*cells: str) -> pd.Series:
    return pd.Series(list(cells), dtype="str")


def log(*days: str, exercise: str = "Bench press") -> str:
    return "\n".join([HEAD, *(f"{day},{exercise},8" for day in days)])


def read(text: str, name: str = "log.csv", store: Path | None = None, today: date = TODAY, **said) -> Understood:
    answers = Answers(**({"athlete": "Ida"} | said))
    extra = {"known": known(store)} if store else {}
    return understand([(name, text.encode())], answers, today=today, **extra).files[0]


def days_of(text: str, **said) -> list[str]:
    found = read(text, **said)
    assert found.refusal is None, str(found.refusal)
    return found.normal.sets["date"].dt.strftime("%Y-%m-%d").tolist()


def refused(text: str, **said) -> Refusal:
    found = read(text, **said)
    assert found.refusal is not None
    return found.refusal


# --- cells -----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("cell", [
    "5 March", "5 Mar", "5th March", "March 5", "Mar 5", "Mar. 5", "Tue 5 March", "Tuesday, 5 March", "5. März", "5 Mrz", "Di., 5. März", "Dienstag, den 5. März",
    "5 mars", "mardi 5 mars", "mar. 5 mars", "le 5 mars", "5 de marzo", "martes, 5 de marzo", "mar 5 mar", "5 marzo", "5 de março", "5 maart", "di 5 mrt", "5/3", "5.3.", "05.03.",
    "05.03", "5-3", "Tue 5/3", "Di 5.3.", "5 March 18:30", "5/3, 6:30 pm"])
def test_a_day_and_its_month(cell):
    assert yearless(cell).month_and_day(day_first=True) == (3, 5)
    assert notation.lack_year(column(cell)).iloc[0]


@pytest.mark.parametrize("cell", ["5 March 2024", "2024-03-05", "5/3/24", "31 February", "13/13", "32/1", "5", "Tue", "March", "March 2024", "18:30", "5/3 later", "3x5", "",
                                  "5 reps", "Squat 5", "5/3/1", "60 kg", "1/2 gallon jug"])
def test_what_is_no_day_without_its_year(cell):
    assert yearless(cell) is None


@pytest.mark.parametrize(("cell", "named", "signed"), [
    ("12 Jan", True, True), ("Mon 3/2", True, True), ("3/2", False, True), ("03.02.", False, True), ("03.02", False, True), ("3.2", False, False), ("8-10", False, False),
    ("Set 1", False, False), ("3 set", False, False), ("out 5", False, False), ("Sep 1", True, True)])
def test_how_sure_a_text_is_a_date(cell, named, signed):
    """ "Set 1" and "out 5" begin like September in Italian and October in Portuguese."""
    assert notation.lack_year(column(cell)).iloc[0]
    assert (notation.lack_year(column(cell), notation.NAMED).iloc[0], notation.lack_year(column(cell), notation.SIGNED).iloc[0]) == (named, signed)


@settings(max_examples=200)
@given(st.dates(date(2001, 1, 1), date(2020, 12, 31)), st.lists(st.integers(0, HALF_A_YEAR - 30), min_size=1, max_size=30), st.booleans())
def test_the_order_gives_each_date_its_year_whichever_way_it_runs(first, gaps, newest_first):
    """Against the dates themselves, of a log without a gap of half a year."""
    days = [first]
    for gap in gaps:
        days.append(days[-1] + timedelta(days=gap))
    ups = [b - a for a, b in zip(days, days[1:], strict=False) if a.year == b.year and a != b]
    if newest_first and not ups:
        return  # each step goes past New Year: which way it runs is not told
    shown = days[::-1] if newest_first else days
    offsets, clear = years_on(column(*(f"{day:%d %B}" for day in shown)), True)
    assert clear and offsets.tolist() == [day.year - days[0].year for day in shown]


@given(st.lists(st.text(max_size=12), max_size=5), st.booleans())
def test_any_text_is_a_day_or_none(cells, day_first):
    text = column(*cells)
    assert len(notation.lack_year(text)) == len(years_on(text, day_first)[0]) == len(cells)


# --- where the year is looked for -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("text", "name", "who"), [
    ("Training 2025\n" + log("12 Jan", "14 Jan"), "log.csv", "line above"), (log("12 Jan", "14 Jan"), "log_2025.csv", "file's name"),
    (log("12 Jan", "14 Jan").replace("Date", "Date (2025)"), "log.csv", "header"), (log("12 Jan 2025", "14 Jan"), "log.csv", "other dates"),
    (log("12 Jan", "14 Jan 2025"), "log.csv", "other dates"),
    ("Year,Date,Exercise,Reps\n2025,12 Jan,Squat,8\n2025,14 Jan,Squat,8", "log.csv", "column of years"),
    ("2025,12 Jan,14 Jan\nBench press,3x8,3x8", "log.csv", "header")])
def test_the_year_is_taken_from_where_the_file_says_it_and_that_is_said(text, name, who):
    assert sorted(set(days_of(text, name=name))) == ["2025-01-12", "2025-01-14"]
    assert any("leave out their year" in said and who in said for said in read(text, name=name).normal.assumed)


def test_the_nearest_place_that_says_a_year_wins_and_a_person_over_all_but_the_cells():
    text = "Training 2024\n" + log("12 Jan", "14 Jan")
    assert days_of(text, name="export_2025.csv")[0] == "2024-01-12"
    assert days_of(text, year=2023)[0] == "2023-01-12"
    assert days_of(log("12 Jan 2025", "14 Jan"), year=2023) == ["2025-01-12", "2025-01-14"]


@pytest.mark.parametrize(("name", "oldest"), [
    ("winter 2024-25.csv", 2024), ("2025-2026.csv", 2025), ("log 2026.csv", 2025), ("log 2022.csv", None), ("log 2023 to 2026.csv", None), ("log 1900.csv", None)])
def test_a_year_of_a_log_over_new_year_may_be_the_old_or_the_new_one(name, oldest):
    """2026 can only be the new year, since December 2026 is to come; 2022 may be either, and so it is asked."""
    text = log("22 Dec", "29 Dec", "5 Jan")
    if oldest is None:
        assert isinstance(refused(text, name=name), Question)
    else:
        assert days_of(text, name=name) == [f"{oldest}-12-22", f"{oldest}-12-29", f"{oldest + 1}-01-05"]


@pytest.mark.parametrize(("text", "years"), [
    ("log 2025", {2025}), ("Winter 2025/26", {2025, 2026}), ("2025-2026", {2025, 2026}), ("2000 kcal", set()), ("2025-12-05", {2025}), ("20251205", set()), ("1980 lbs", set()),
    ("2,025", set()), ("week 12", set())])
def test_years_in_a_text(text, years):
    assert years_in([text]) == years


def test_a_year_that_cannot_be_is_not_taken_from_the_file():
    assert isinstance(refused(log("12 Dec"), name="log 2026.csv"), Question), "12 December 2026 is to come"
    assert isinstance(refused(log("Mon 3/2", "Wed 3/4"), name="log 2025.csv"), Question), "2 March 2025 is a Sunday, 3 February and 3 April are no Monday and Wednesday"
    assert days_of(log("Mon 3/2", "Wed 3/4"), name="log 2026.csv") == ["2026-03-02", "2026-03-04"]


def test_a_longer_export_of_a_stored_log_is_of_the_same_year(store: Path):
    keep(store, understand([("log.csv", log("12 Jan", "14 Jan").encode())], Answers("Ida", year=2025), today=TODAY))
    longer = read(log("12 Jan", "14 Jan", "16 Jan"), store=store)
    assert longer.normal.sets["date"].dt.year.tolist() == [2025] * 3 and any("stored log" in said for said in longer.normal.assumed)
    assert isinstance(read(log("3 Feb", "5 Feb"), store=store).refusal, Question), "none of these days is stored"


# --- the order -------------------------------------------------------------------------------------------------------------


def test_dates_that_go_back_by_more_than_half_a_year_are_of_the_next_year():
    assert days_of(log("1 Sep", "29 Dec", "5 Jan", "1 Mar"), year=2024) == ["2024-09-01", "2024-12-29", "2025-01-05", "2025-03-01"]
    with_a_gap = log("3 Jan", "10 Jan", "1 Sep", "8 Sep", "25 Aug")
    assert days_of(with_a_gap, year=2025) == ["2025-01-03", "2025-01-10", "2025-09-01", "2025-09-08", "2025-08-25"], "a gap is no year, nor is a slip in the order"


def test_the_newest_first():
    assert days_of(log("12 Jan", "5 Jan", "29 Dec", "22 Dec"), year=2025) == ["2026-01-12", "2026-01-05", "2025-12-29", "2025-12-22"]


def test_a_file_sorted_by_exercise_begins_anew_with_each():
    text = log("4 Jan", "20 Nov") + log("4 Jan", "20 Nov", exercise="Deadlift").removeprefix(HEAD)
    assert days_of(text, year=2025) == ["2025-01-04", "2025-11-20"] * 2
    text = log("29 Dec", "5 Jan") + log("29 Dec", "5 Jan", exercise="Deadlift").removeprefix(HEAD)
    assert days_of(text, year=2025) == ["2025-12-29", "2026-01-05"] * 2


@pytest.mark.parametrize("text", [
    log("29 Dec", "5 Jan") + log("5 Jan", "12 Jan", exercise="Deadlift").removeprefix(HEAD) + log("29 Dec", "5 Jan", exercise="Curl").removeprefix(HEAD),
    log("4 Sep", "20 Dec") + log("4 Jan", "20 Feb", exercise="Deadlift").removeprefix(HEAD), log("1 Mar", "20 Dec", "5 Jan", "1 Sep", "3 Feb")])
def test_an_order_that_does_not_tell_the_years_is_refused_with_what_to_do(text):
    refusal = refused(text, year=2024)
    assert not isinstance(refusal, Question) and "Write the year into the dates" in str(refusal)


def test_two_readings_of_day_and_month_that_give_other_years_are_asked_about():
    """2 Dec to 12 Jan go past New Year, Feb 12 to Dec 1 do not."""
    text = log("2/12", "12/1")
    assert "--day-first" in str(refused(text, year=2024))
    assert days_of(text, year=2024, day_first=True) == ["2024-12-02", "2025-01-12"]
    assert days_of(text, year=2024, day_first=False) == ["2024-02-12", "2024-12-01"]


# --- asked and answered ----------------------------------------------------------------------------------------------------


def test_the_question_names_the_oldest_date_and_how_to_answer_it():
    asked = refused(log("5 Jan", "29 Dec", "22 Dec"))
    assert isinstance(asked, Question) and "of which year" in asked.what and '"22 Dec"' in asked.what and "--year" in asked.do
    assert "2026 or 2020" in refused(log("Mon 3/2", "Wed 3/4")).what, "the years in which the days of the week are right"


@pytest.mark.parametrize(("said", "words"), [
    (2026, "2026-12-12, which is in the future"), (2027, "which is in the future"), (26, "no year in which"), (1949, "no year in which"), (2028, "no year in which"), (-1, "no year")])
def test_a_year_that_cannot_be_is_refused_in_words(said, words):
    assert words in str(refused(log("12 Dec"), year=said))


def test_planned_sets_may_lie_in_the_future():
    text = "Date,Exercise,Reps,Planned\n14 Nov,Squat,8,no\n12 Dec,Squat,8,yes"
    assert days_of(text, year=2026) == ["2026-11-14", "2026-12-12"]
    assert "in the future" in str(refused(text.replace("yes", "no"), year=2026))


def test_days_of_the_week_that_are_not_those_of_the_year_are_said():
    found = read(log("Mon 2 March", "Wed 4 March"), year=2025)
    assert any(said.startswith("LOOK") and "day of the week" in said for said in found.normal.assumed)


def test_a_date_without_its_year_among_others_is_a_slip():
    found = read(log(*(f"2026-01-0{n}" for n in range(1, 9)), "9 Jan"))
    assert found.normal.set_aside["reason"].tolist() == ['"9 Jan" leaves out its year'] and len(found.normal.sets) == 8


def test_the_time_behind_a_date_without_its_year_is_kept():
    found = read(log("12 Jan 18:30", "14/1"), year=2025).normal.sets
    assert found["time"].tolist()[0] == "18:30" and found["date"].dt.day.tolist() == [12, 14]


def test_an_import_is_read_again_with_its_year_and_with_another(store: Path):
    keep(store, understand([("log.csv", log("12 Jan", "14 Jan").encode())], Answers("Ida", year=2025), today=TODAY))
    assert read_again(store, 1, Answers())["sets_stored"] == 2
    read_again(store, 1, Answers(year=2024))
    with reading(store) as con:
        assert con.execute("select distinct year(date) from sets").fetchall() == [(2024,)]


def test_the_command_asks_and_takes_the_answer(tmp_path: Path, capsys: pytest.CaptureFixture):
    path = tmp_path / "log.csv"
    path.write_text(log("Mon 3/2", "Wed 3/4"))
    words = ["import", str(path), "--athlete", "Ida", "--store", str(tmp_path / "s.duckdb")]
    assert main(words) == 1 and "--year YEAR" in capsys.readouterr().err
    assert main([*words, "--year", "2020"]) == 0
    assert main(["again", "1", "--year", "2015", "--store", str(tmp_path / "s.duckdb")]) == 0
    with reading(tmp_path / "s.duckdb") as con:
        assert [str(day) for (day,) in con.execute("select date from sets order by date").fetchall()] == ["2015-03-02", "2015-03-04"]


def test_the_page_asks_and_takes_the_answer(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("EVENSET_STORE", str(tmp_path / "page.duckdb"))
    run = AppTest.from_file(str(Path(choices.__file__).parent / "app.py"), default_timeout=30).run().switch_page("app_pages/data.py").run()
    run.file_uploader[0].set_value(("log.csv", log("12 Jan", "14 Jan").encode(), "text/csv")).run()
    run.text_input(key="import_athlete").set_value("Ida").run()
    assert "of which year" in run.warning[0].value and "--" not in run.warning[0].value
    run.number_input(key="import_year").set_value(2025).run()
    assert not run.warning and not run.exception
    next(button for button in run.button if button.label == "Store it").click().run()
    run.session_state["data_section"] = "imports"
    run.run()
    run.number_input(key="again_year_1").set_value(2024)
    next(button for button in run.button if button.label == "Read again").click().run()
    assert not run.exception
    with reading(tmp_path / "page.duckdb") as con:
        assert [str(day) for (day,) in con.execute("select date from sets order by date").fetchall()] == ["2024-01-12", "2024-01-14"]
