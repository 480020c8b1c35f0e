"""Rows that were set aside: mended, left out, taken back, and remembered for the next file that holds them."""

from __future__ import annotations

from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from etl.importing import Answers, keep, known, mend, mend_all, mended_rows, understand, undo, unmend, waiting
from etl.refusal import Refusal
from tests.logs import BAD, HEAD, PLAIN, ROW, THREE, TODAY, ask, bring

GOOD_4 = ["2026-03-02", "Ida", "Bench press", "4", "60", "8", "2", ""]


def test_mended_rows_are_taken_in_and_the_next_export_does_not_bring_the_mistake_back(store: Path):
    number = bring(store, BAD)["import"]
    assert waiting(store)["row"].tolist() == [5, 6]
    table = waiting(store, number, "log.csv")
    assert table.columns.tolist() == ["import_id", "file", "row", "reason", "Date", "Athlete", "Exercise", "Set", "Load (kg)", "Reps", "RIR", "Note"]
    assert table["Date"].tolist() == ["2026-02-31", "2026-03-02"]
    report = mend(store, number, "log.csv", {5: GOOD_4, 6: None})
    assert (report["taken_in"], report["left_out"], report["sets_stored"], report["still_set_aside"]) == (1, 1, 1, [])
    assert ask(store, "select set_no, import_id, source_row from sets where set_no > 3") == [(4, number, 5)]
    assert waiting(store).empty
    again = bring(store, BAD, name="next.csv")
    assert (again["sets_stored"], again["rows_set_aside"]) == (0, 0)
    assert again["already_stored"] == 5, "the row that was left out counts as stored"


def test_the_counts_of_an_import_are_right_after_mending(store: Path):
    number = bring(store, BAD)["import"]
    mend(store, number, "log.csv", {5: GOOD_4})
    assert ask(store, "select rows_read, sets_stored, already_stored, rows_set_aside from imports") == [(5, 4, 0, 1)]


def test_a_row_that_is_mended_badly_stays_set_aside_and_can_be_mended_again(store: Path):
    number = bring(store, BAD)["import"]
    report = mend(store, number, "log.csv", {5: [*GOOD_4[:5], "lots", "2", ""]})
    assert report["taken_in"] == 0 and report["still_set_aside"][0]["row"] == 5 and "lots" in report["still_set_aside"][0]["text"]
    assert waiting(store)["row"].tolist() == [5, 6]
    assert mend(store, number, "log.csv", {5: GOOD_4})["taken_in"] == 1


def test_a_row_that_two_imports_set_aside_is_mended_in_both(store: Path):
    first = bring(store, BAD)["import"]
    bring(store, BAD, name="log.csv")
    assert len(waiting(store)) == 2, "listed once"
    mend(store, waiting(store)["import_id"].iloc[0], "log.csv", {5: GOOD_4, 6: None})
    assert waiting(store).empty
    undo(store, first)
    assert ask(store, "select count(*) from sets") == [(4,)] and waiting(store).empty


@pytest.mark.parametrize(("rows", "says"), [({2: GOOD_4}, "not waiting"), ({99: None}, "not waiting")])
def test_only_waiting_rows_can_be_mended(store: Path, rows: dict, says: str):
    number = bring(store, BAD)["import"]
    with pytest.raises(Refusal, match=says):
        mend(store, number, "log.csv", rows)
    with pytest.raises(Refusal, match="no file"):
        mend(store, number, "other.csv", rows)


def test_equal_rows_cannot_be_mended_differently(store: Path):
    number = bring(store, THREE + "2026-02-31,Ida,Bench press,4,60,8,2,\n" * 2)["import"]
    with pytest.raises(Refusal, match="same cells"):
        mend(store, number, "log.csv", {5: GOOD_4, 6: None})


DAY = "Back squat,1,5,60\n{0}Back squat,2,xx,60\n"
UNDER_DATES = "date,exercise,set,reps,load_kg\n" + "".join(f"{day},,,,\n," + DAY.format(",") for day in ("2026-03-02", "2026-03-04"))
DATES_AMONG = "exercise,set,reps,load_kg\n" + "".join(f"{day},,,\n" + DAY.format("") for day in ("2026-03-02", "2026-03-04"))


@pytest.mark.parametrize(("text", "cells"), [(UNDER_DATES, ["", "Back squat", "2", "8", "60"]), (DATES_AMONG, ["Back squat", "2", "8", "60"])])
def test_a_row_is_mended_under_its_own_date_only(store: Path, text: str, cells: list[str]):
    ida = Answers(athlete="Ida")
    number = bring(store, text, ida)["import"]
    report = mend(store, number, "log.csv", {4: cells})
    assert (report["taken_in"], report["sets_stored"]) == (1, 1) and waiting(store)["row"].tolist() == [7]
    assert ask(store, "select date::text from sets where set_no = 2") == [("2026-03-02",)]
    again = bring(store, text, ida, name="next.csv")
    assert (again["sets_stored"], again["rows_set_aside"]) == (0, 1)


def test_of_two_equal_rows_on_one_day_not_one_alone_is_mended(store: Path):
    number = bring(store, THREE + "2026-03-02,Ida,Bench press,4,60,many,2,\n" * 2)["import"]
    with pytest.raises(Refusal, match="2 rows have the same cells"):
        mend(store, number, "log.csv", {5: GOOD_4})
    assert mend(store, number, "log.csv", {5: GOOD_4, 6: GOOD_4})["sets_stored"] == 2


def test_two_files_of_one_name_are_told_apart(store: Path):
    bad = [HEAD + ROW.format(n=n, load=60) + f"2026-02-31,Ida,Bench press,{n + 5},60,8,2,\n" for n in (1, 2)]
    keep(store, understand([("log.csv", text.encode()) for text in bad], Answers(), known=known(store), today=TODAY))
    assert waiting(store)["file"].tolist() == ["log.csv", "log.csv (2)"]
    report = mend_all(store, {(1, "log.csv (2)"): {3: ["2026-03-02", "Ida", "Bench press", "7", "60", "8", "2", ""]}})
    assert report["taken_in"] == 1 and waiting(store)["file"].tolist() == ["log.csv"]
    assert ask(store, "select source.split('#')[1], source_row from sets where set_no = 7") == [("log.csv (2)", 3)]


def test_a_mended_row_with_more_cells_than_the_table_is_not_cut(store: Path):
    number = bring(store, BAD)["import"]
    report = mend(store, number, "log.csv", {5: [*GOOD_4, "and more"]})
    assert report["taken_in"] == 0 and "9 cells" in report["still_set_aside"][0]["reason"]


def test_a_row_that_is_as_it_waits_is_not_mended(store: Path):
    number = bring(store, BAD)["import"]
    report = mend(store, number, "log.csv", {5: ["2026-02-31", "Ida", "Bench press", "4", "60", "8", "2", ""]})
    assert report["taken_in"] == 0 and mended_rows(store).empty


def test_what_was_mended_and_left_out_is_listed_and_taken_back(store: Path):
    number = bring(store, BAD)["import"]
    mend(store, number, "log.csv", {5: GOOD_4, 6: None})
    again = bring(store, BAD, name="next.csv")
    assert any("1 row left out" in text for text in again["assumed"])
    done = mended_rows(store).set_index("row")
    assert done.loc[5, "cells"] == GOOD_4 and done.loc[6, "cells"] is None and "many" in done.loc[6, "text"]
    assert unmend(store, done.loc[6, "key"]) == 2, "it waits in both imports"
    assert unmend(store, done.loc[5, "key"]) == 2
    assert ask(store, "select count(*) from sets") == [(3,)] and mended_rows(store).empty
    assert set(waiting(store)["row"]) == {5, 6}
    assert ask(store, "select sum(sets_stored), sum(rows_set_aside) from imports") == [(3, 4)]
    with pytest.raises(Refusal, match="neither mended"):
        unmend(store, done.loc[5, "key"])


def test_headers_named_as_the_list_of_waiting_rows_is_are_kept_apart(store: Path):
    number = bring(store, "date,athlete,exercise,set,reps,load_kg,row,file,leave out,c0,\n2026-03-02,Ida,Squat,1,xx,60,a,b,c,d,e\n")["import"]
    found = waiting(store, number, "log.csv")
    assert not found.columns.duplicated().any() and found["row"].tolist() == [2]
    assert found.iloc[0, 4:].tolist() == ["2026-03-02", "Ida", "Squat", "1", "xx", "60", "a", "b", "c", "d", "e"]


def test_rows_are_taken_back_and_an_import_is_read_again_on_the_page(store: Path, monkeypatch: pytest.MonkeyPatch):
    number = bring(store, PLAIN + "2026-03-02,Ida,Curl,3,20,many\n")["import"]
    bring(store, PLAIN, name="again.csv")
    mend(store, number, "log.csv", {4: None})
    monkeypatch.setenv("EVENSET_STORE", str(store))
    page = AppTest.from_file(str(Path(__file__).parent.parent / "dashboard" / "app.py"), default_timeout=60).run().switch_page("app_pages/data.py")
    page.session_state["data_section"] = "waits"
    next(button for button in page.run().button if button.label == "Take back").click().run()
    assert not page.exception and mended_rows(store).empty and waiting(store)["row"].tolist() == [4]
    page.session_state["data_section"] = "imports"
    unit = page.run().selectbox(key=f"again_unit_{number}")
    assert unit.options[0] == "as it was said"
    unit.set_value("lb")
    next(button for button in page.button if button.label == "Read again" and str(number) in button.key).click().run()
    assert not page.exception and "Import 2 holds rows of the same log" in page.success[0].value
