"""The page Data: a file from its upload to the store, columns corrected by hand, and an import taken back."""

from __future__ import annotations

import json

import pytest
from streamlit.testing.v1 import AppTest

from dashboard import choices
from dashboard.app_pages.page import escape
from dashboard.app_pages.stored_sets import _value
from dashboard.queries import imports, people
from dashboard.queries.kept import store_at
from etl.fast import blocks
from etl.importing import Answers, keep, known, understand
from etl.store import reading
from tests.page_runs import all_text, nodes, unescaped

LOG = b"""Date,Exercise,Weight (kg),Reps,RIR
2026-03-02,Bench press,60,8,2
2026-03-02,Bench press,60,8,2
2026-03-02,Garage sled,20,8,2
never,Bench press,60,8,2
"""


def test_data_lists_what_came_in_and_what_was_set_aside(open_page, small_store):
    run = section(open_page(small_store, "app_pages/data.py"), "imports")
    assert [f"Import {n}" in unescaped(all_text(run)) for n in imports.imports(store_at(small_store))["import_id"]].count(False) == 0
    assert imports.set_aside(store_at(small_store))["reason"].tolist() == ["no readable date", "no exercise"]


def test_a_file_goes_from_upload_over_preview_to_the_store(open_page, tmp_path):
    store = tmp_path / "fresh.duckdb"
    run = open_page(store, "app_pages/data.py")
    run.file_uploader[0].set_value(("log.csv", LOG, "text/csv")).run()
    assert run.warning, "the file names no athlete, so one is asked for"
    run.text_input(key="import_athlete").set_value("Robin").run()
    assert "**4 rows read: 3 new sets, 0 already stored, 1 row set aside.**" in all_text(run)
    next(button for button in run.button if button.label == "Store it").click().run()
    assert not run.exception
    assert "3 sets stored" in run.success[0].value.replace("\\", "")
    assert people.athletes(store_at(store)) == ["Robin"]
    assert "1 exercise waits for a match" in all_text(section(run, "waits"))
    assert "1 row set aside" in all_text(run)


def section(run: AppTest, name: str) -> AppTest:
    """The page Data with another of its parts open."""
    run.session_state["data_section"] = name
    return run.run()


def bring(run: AppTest, text: str) -> AppTest:
    return run.file_uploader[0].set_value(("log.csv", text.encode(), "text/csv")).run()


def test_the_preview_shows_rows_beside_what_they_became(open_page, tmp_path):
    run = bring(open_page(tmp_path / "rows.duckdb", "app_pages/data.py"), (
        "Date,Athlete,Exercise,Side,Weight (lb),Reps,Secs,Body mass (kg)\n"
        "2026-03-02,Robin,Bench press,,100,8,,\n2026-03-02,Robin,Plank,,,,40,\n2026-03-02,Robin,Dumbbell row,each,20,8,,\n"
        "never,Robin,Bench press,,100,8,,\n2026-03-03,Robin,,,,,,80\n2026-03-04,Robin,Bench press,,100,8,,\n"))
    rows = run.table[0].value.map(unescaped)
    assert rows["row"].tolist() == ["2", "3", "4", "", "5", "6"], "five rows, and one that is two sets"
    assert rows["exercise"].tolist()[:4] == ["barbell bench press", "plank", "single-arm dumbbell row, left", "single-arm dumbbell row, right"]
    assert rows["load"].tolist()[:1] == ["45.4 kg (100 lb)"]
    assert rows[escape("reps or seconds")].tolist()[:2] == ["8 reps", "40 s"]
    assert rows["exercise"].tolist()[4:] == ['set aside: "never" cannot be read as a date', "values of the day, no set"]
    assert rows[escape("as written")][0] == "2026-03-02 | Robin | Bench press | 100 | 8"
    assert "79 % sure" in unescaped(all_text(run)), "one date in six cannot be read"


def test_where_every_row_is_set_aside_the_page_says_what_to_do(open_page, tmp_path):
    run = bring(open_page(tmp_path / "aside.duckdb", "app_pages/data.py"), "Date,Athlete,Exercise,Circuit,Reps\n2026-03-02,Robin,Bench press,A arms,many\n")
    labels = [button.label for button in run.button]
    assert "Store it" not in labels and "Keep the rows to be mended" in labels
    assert any("every row was set aside" in warning.value and "which column is which" in warning.value for warning in run.warning)
    next(button for button in run.button if button.label == "Keep the rows to be mended").click().run()
    assert not run.exception and "1 row of it was set aside" in run.success[0].value.replace("\\", "")


def role(run: AppTest, header: str):
    """The choice of what a column is read as."""
    return next(box for box in run.selectbox if box.label.replace("\\", "") == header)


def test_a_large_upload_shows_the_same_and_is_stored(open_page, tmp_path, monkeypatch: pytest.MonkeyPatch):
    text = "Date,Athlete,Exercise,Set,Weight (lb),Reps\n2026-03-02,Robin,Bench press,1,100,8\nnever,Robin,Bench press,1,100,8\n" + "".join(
        f"2026-03-{1 + n % 28:02},Robin,Garage sled,{n},100,8\n" for n in range(60))
    small = bring(open_page(tmp_path / "small.duckdb", "app_pages/data.py"), text)
    with monkeypatch.context() as large:
        large.setattr(blocks, "FAST_BYTES", 0)
        large.setattr("etl.importing.preview._understand_one", None)  # the careful path reads none of it
        run = bring(open_page(tmp_path / "large.duckdb", "app_pages/data.py"), text)
        assert not run.exception
    assert all_text(run) == all_text(small)
    assert run.table[0].value.equals(small.table[0].value)
    next(button for button in run.button if button.label == "Store it").click().run()
    assert not run.exception and "61 sets stored" in run.success[0].value.replace("\\", "")


def test_columns_that_are_not_recognised_are_asked_for(open_page, tmp_path):
    run = bring(open_page(tmp_path / "columns.duckdb", "app_pages/data.py"), "aaa,bbb,ccc,kg,ddd\n2026-03-02,Robin,Rope thing,60,8\n")
    assert "--" not in run.warning[0].value, "a page names no option of a command"
    run.text_input(key="import_athlete").set_value("Robin").run()
    role(run, "ccc").set_value("exercise").run()
    role(run, "ddd").set_value("repetitions").run()
    assert not run.warning
    assert "1 row read: 1 new set" in all_text(run)
    run.run()
    assert "1 row read: 1 new set" in all_text(run), "what was said is kept"


@pytest.mark.parametrize("fast_bytes", [blocks.FAST_BYTES, 0], ids=["small", "large"])
@pytest.mark.parametrize(("picked", "field"), [("effort as RPE", "rpe"), ("repetitions in reserve", "rir")])
def test_while_one_column_is_asked_about_the_others_are_shown_as_what_they_are(open_page, tmp_path, monkeypatch, fast_bytes, picked, field):
    monkeypatch.setattr(blocks, "FAST_BYTES", fast_bytes)
    text = "Date,Athlete,Exercise,Load,Reps,Effort\n2026-03-02,Robin,Bench press,60,8,2\n2026-03-04,Robin,Bench press,60,8,3\n"
    run = bring(open_page(tmp_path / "asked.duckdb", "app_pages/data.py"), text)
    assert "never says more than 3" in unescaped(run.warning[0].value) and not run.exception
    now = {header: role(run, header).value for header in text.split("\n")[0].split(",")}
    assert now == {"Date": "date", "Athlete": "athlete", "Exercise": "exercise", "Load": "load", "Reps": "repetitions", "Effort": "not used"}
    assert "the question is about it" in unescaped(all_text(run)) and "not recognised" not in unescaped(all_text(run))
    role(run, "Effort").set_value(picked).run()
    assert not run.warning and not run.exception and "2 rows read: 2 new sets" in all_text(run)
    next(button for button in run.button if button.label == "Store it").click().run()
    assert not run.exception
    with reading(tmp_path / "asked.duckdb") as con:
        assert con.execute(f"select {field} from sets order by date").fetchall() == [(2.0,), (3.0,)]


def test_a_column_read_as_something_else_answers_a_question_without_loss(open_page, tmp_path):
    """The athlete's column is said to be the exercise; the athlete may then be found elsewhere."""
    run = bring(open_page(tmp_path / "moved.duckdb", "app_pages/data.py"), "Date,Client,Athlete,Load,Reps\n2026-03-02,Rope thing,Robin,60,8\n")
    assert run.warning and role(run, "Client").value == "athlete"
    role(run, "Client").set_value("exercise").run()
    assert not run.warning and "1 row read: 1 new set" in all_text(run)
    assert (role(run, "Client").value, role(run, "Athlete").value) == ("exercise", "athlete")


def test_a_column_read_wrongly_is_corrected_and_kept_for_the_next_file(open_page, tmp_path):
    store, text = tmp_path / "roles.duckdb", "Date,Athlete,Exercise,Reps,Load,Iron\n2026-03-02,Robin,Bench press,8,1,60\n"
    run = bring(open_page(store, "app_pages/data.py"), text)
    assert run.table[0].value.map(unescaped)["load"].tolist() == ["1 kg"]
    role(run, "Iron").set_value("load").run()
    assert run.table[0].value.map(unescaped)["load"].tolist() == ["60 kg"]
    next(button for button in run.button if button.label == "Store it").click().run()
    again = understand([("next.csv", text.replace("-02", "-03").encode())], Answers(), known=known(store)).files[0]
    assert again.normal.sets["load_kg"].tolist() == [60.0]


def test_a_column_can_be_left_unused(open_page, tmp_path):
    run = bring(open_page(tmp_path / "unused.duckdb", "app_pages/data.py"), "Date,Athlete,Exercise,Reps,Load\n2026-03-02,Robin,Bench press,8,60\n")
    role(run, "Load").set_value("not used").run()
    assert run.table[0].value.map(unescaped)["load"].tolist() == ["–"]


def test_the_sample_opens_from_an_empty_store_and_takes_no_files(open_page, sample_store, tmp_path, monkeypatch):
    monkeypatch.setattr("dashboard.sample.sample_path", lambda: sample_store)
    run = open_page(tmp_path / "mine.duckdb")
    next(button for button in run.button if button.label == "Open the sample").click().run()
    assert run.selectbox(key=choices.ATHLETE).value in people.athletes(store_at(sample_store))
    run.switch_page("app_pages/data.py").run()
    assert not run.file_uploader
    assert not [button for button in run.button if button.label == "Take this import back"]
    run.button(key="leave_sample").click().run()
    assert run.file_uploader
    assert not run.query_params
    assert "This is the sample" not in all_text(run)


def test_an_import_can_be_taken_back_on_the_page(open_page, tmp_path):
    store = tmp_path / "back.duckdb"
    keep(store, understand([("log.csv", LOG)], Answers(athlete="Robin")))
    run = section(open_page(store, "app_pages/data.py"), "imports")
    next(button for button in run.button if button.label == "Take this import back").click().run()
    assert "3 sets went" in run.success[0].value.replace("\\", "")


def test_some_files_of_an_import_are_read_again_on_the_page(open_page, tmp_path):
    store = tmp_path / "files.duckdb"
    log = b"Date,Exercise,Set,Load,Reps\n2026-03-02,Curl,1,20,10\n"
    keep(store, understand([("ida.csv", log), ("kai.csv", log)], Answers(), names_give_athlete=True))
    run = section(open_page(store, "app_pages/data.py"), "imports")
    run.multiselect(key="again_files_1").set_value(["kai.csv"])
    again = next(button for button in run.button if button.label == "Read again").click().run()
    assert [one.value for one in again.warning] == ["Choose what is otherwise in these files as well."]
    again.selectbox(key="again_unit_1").set_value("lb")
    next(button for button in run.button if button.label == "Read again").click().run()
    assert not run.exception and "was read again" in run.success[0].value
    with reading(store) as con:
        assert con.execute("select athlete, round(load_kg, 2) from sets order by 1").fetchall() == [("ida", 20.0), ("kai", 9.07)]


def test_the_tick_that_leaves_a_row_out_stays_in_sight_before_wide_rows(open_page, tmp_path):
    run = open_page(tmp_path / "wide.duckdb", "app_pages/data.py")
    wide = "Date,Athlete,Exercise,Weight (kg),Reps," + ",".join(f"Other {n}" for n in range(12))
    run.file_uploader[0].set_value(("log.csv", f"{wide}\n2026-03-02,Robin,Bench press,60,8{',x' * 12}\nnever,Robin,Bench press,60,8{',x' * 12}\n".encode(), "text/csv")).run()
    next(button for button in run.button if button.label == "Store it").click().run()
    for part, tick in (("waits", "leave out"), ("sets", "remove")):
        table = next(node for node in nodes(section(run, part).main) if node.type == "dataframe")
        assert table.value.columns[0] == tick and json.loads(table.proto.columns)[tick]["pinned"]


def test_body_weight_is_called_so_in_the_first_rows(open_page, tmp_path):
    run = bring(open_page(tmp_path / "body.duckdb", "app_pages/data.py"), "Date,Athlete,Exercise,Weight (lb),Reps\n2026-03-02,Robin,Pull-up,BW,8\n2026-03-02,Robin,Curl,47.5,8\n")
    assert run.table[0].value.map(unescaped)["load"].tolist() == ["body weight", "21.5 kg (47.5 lb)"]
    assert "Loads are in lb, from the header Weight (lb)." in unescaped(all_text(run))


def test_loads_of_a_log_in_pounds_are_corrected_in_pounds(open_page, tmp_path):
    run = bring(open_page(tmp_path / "lb.duckdb", "app_pages/data.py"), "Date,Athlete,Exercise,Weight (lb),Reps\n2026-03-02,Robin,Curl,47.5,8\n")
    next(button for button in run.button if button.label == "Store it").click().run()
    table = next(node for node in nodes(section(run, "sets").main) if node.type == "dataframe")
    assert table.value["load_kg"].tolist() == [47.5] and json.loads(table.proto.columns)["load_kg"]["label"] == "load, lb"
    assert _value("load_kg", 50.0, {}, "lb") == 50 * 0.45359237 and _value("reps", 50.0, {}, "lb") == 50.0
