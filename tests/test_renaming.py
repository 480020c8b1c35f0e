"""An athlete under another name: everything goes with it, later files follow, and it can be taken back."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

import dashboard
from dashboard.standing.refresh import refresh
from etl.importing import Answers, correct, erase_athlete, keep, known, merge_athletes, read_again, rename_athlete, understand, undo
from etl.own.what import Changes, OwnTarget
from etl.importing.own import change
from etl.refusal import Refusal
from etl.store import reading, said
from etl.store.athletes import say, settings
from etl.store.marked_weeks import mark_week
from etl.store.renaming import NAME_LONGEST
from etl.store.said import BLOCKS, DECISIONS, GOALS, NOTES
from etl.store.spellings import tables_of_athletes
from tests.logs import THREE, TODAY, ask, bring, set_of

MONDAY = date(2026, 10, 19)
HEAD = "Date,Athlete,Exercise,Set,Load (kg),Reps,Body mass (kg)\n"
RECORDS = ((NOTES, {"date": MONDAY, "text": "slept badly"}), (GOALS, {"text": "twelve", "due": date(2027, 1, 31)}),
           (BLOCKS, {"aim": "more pulling", "starts": MONDAY, "ends": MONDAY + timedelta(days=41)}), (DECISIONS, {"date": MONDAY, "text": "curls first"}))


def log(weeks: int = 6) -> str:
    days = sorted(MONDAY - timedelta(weeks=back) + timedelta(days=d) for back in range(weeks) for d in (0, 3))
    return HEAD + f"{days[0]},ida_k,,,,,71\n" + "".join(f"{day},ida_k,Bench press,{n},60,8,\n" for day in days for n in (1, 2, 3))


@pytest.fixture
def ida(store: Path) -> Path:
    bring(store, log())
    refresh(store, today=TODAY)
    return store


def names(store: Path) -> dict[str, set[str]]:
    """Table -> the athletes in it, of those that are not empty."""
    with reading(store) as con:
        found = {table: {name for (name,) in con.execute(f"select distinct athlete from {table}").fetchall()} for table in tables_of_athletes(con)}
    return {table: people for table, people in found.items() if people}


def test_everything_of_an_athlete_goes_with_the_name(ida: Path):
    say(ida, "ida_k", level="advanced", loads=[2.0, 4.0])
    for table, values in RECORDS:
        said.say(ida, table, "ida_k", values, TODAY)
    mark_week(ida, "ida_k", MONDAY, "deload", today=TODAY)
    change(ida, Changes((), (), (OwnTarget("ida_k", "biceps", 4.0, 8.0, ""),), ()))
    correct(ida, set_of(ida, "set_no = 1"), load_kg=55)
    refresh(ida, today=TODAY)
    before, of_weeks = names(ida), ask(ida, "select * exclude (athlete) from kept_weeks order by week")
    assert {"sets", "days", "athletes", "marked_weeks", "own_targets", "set_changes", "notes", "goals", "blocks", "decisions", "kept_weeks"} <= before.keys()
    assert rename_athlete(ida, "IDA_K", "  Ida   Kovar ") == {"athlete": "Ida Kovar", "was": "ida_k", "sets": 36, "days": 1}
    refresh(ida, today=TODAY)
    assert names(ida) == {table: {"Ida Kovar"} for table in (*before, "athlete_spellings")}
    assert settings(ida, "Ida Kovar").level == "advanced" and settings(ida, "Ida Kovar").loads == (2.0, 4.0)
    assert ask(ida, "select * exclude (athlete) from kept_weeks order by week") == of_weeks


def test_a_newer_export_under_the_old_spelling_brings_only_what_is_new(ida: Path):
    correct(ida, set_of(ida, "set_no = 1"), load_kg=55)
    rename_athlete(ida, "ida_k", "Ida Kovar")
    for spelling in ("ida_k", "Ida_K", "Ida Kovar"):
        report = bring(ida, log().replace("ida_k", spelling), name="same.csv")
        assert (report["sets_stored"], report["days_stored"]) == (0, 0), spelling
    assert bring(ida, log(8), name="newer.csv")["sets_stored"] == 12
    assert names(ida)["sets"] == {"Ida Kovar"} and known(ida).athletes == {"ida_k": "Ida Kovar"}


def test_a_file_that_says_the_athlete_by_its_own_name_or_by_an_answer_follows(store: Path):
    text = "Date,Exercise,Set,Load (kg),Reps\n2026-03-02,Bench press,1,60,8\n"
    newer = text + "2026-03-04,Bench press,1,60,8\n"

    def folder(text: str) -> dict:
        return keep(store, understand([("ida_k.csv", text.encode())], Answers(), known=known(store), names_give_athlete=True, today=TODAY))

    number = folder(text)["import"]
    rename_athlete(store, "ida k", "Ida Kovar")
    assert folder(newer)["sets_stored"] == 1 and bring(store, newer, Answers(athlete="ida k"))["sets_stored"] == 0
    assert read_again(store, number, Answers(unit="kg"))["sets_stored"] == 1
    undo(store, number)
    assert ask(store, "select athlete, count(*) from sets group by 1") == [("Ida Kovar", 2)]


def test_a_large_file_under_the_old_spelling_follows(ida: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    rename_athlete(ida, "ida_k", "Ida Kovar")
    path = tmp_path / "newer.csv"
    path.write_text(log(8))
    monkeypatch.setattr("etl.fast.blocks.FAST_BYTES", 1)
    assert keep(ida, understand([("newer.csv", path)], Answers(), known=known(ida), today=TODAY))["sets_stored"] == 12
    assert names(ida)["sets"] == {"Ida Kovar"}


@pytest.mark.parametrize(("chain", "spellings"), [(("B", "A"), {"b": "A"}), (("B", "C"), {"a": "C", "b": "C"}), (("B", "C", "A"), {"b": "A", "c": "A"}), (("a",), {"a": "a"}),
                                                  (("a", "A"), {"a": "A"})])
def test_a_name_can_be_changed_again_and_back(store: Path, chain: tuple[str, ...], spellings: dict[str, str]):
    text = THREE.replace("Ida", "A")
    bring(store, text)
    was = "A"
    for name in chain:
        rename_athlete(store, was, name)
        was = name
    assert known(store).athletes == spellings
    for spelling in ("A", *chain):
        assert bring(store, text.replace(",A,", f",{spelling},"), name=f"{spelling}.csv")["sets_stored"] == 0, spelling
    assert ask(store, "select athlete, count(*) from sets group by 1") == [(chain[-1], 3)]
    assert ask(store, "select athlete from athletes") == [(chain[-1],)]


def test_a_name_that_cannot_be_is_refused(store: Path):
    bring(store, THREE)
    bring(store, THREE.replace("Ida", "Una"), name="una.csv")
    bring(store, THREE.replace("Ida", "U. Nagy"), name="nagy.csv")
    merge_athletes(store, "U. Nagy", "Una")
    before = names(store)
    for name, word in (("Una", "another athlete"), ("UNA", "another athlete, Una"), ("u. nagy", "another athlete, Una"), (" \n", "blank"), ("Ida", "already"),
                       ("x" * (NAME_LONGEST + 1), "longer than 80")):
        with pytest.raises(Refusal, match=word):
            rename_athlete(store, "Ida", name)
    with pytest.raises(Refusal, match="no athlete 'Nobody'"):
        rename_athlete(store, "Nobody", "Somebody")
    assert names(store) == before


def test_the_name_of_an_erased_athlete_whose_rows_stand_in_the_same_file_is_refused(store: Path):
    """Under that name the rows would be left out when the file is read again."""
    both = THREE + THREE.removeprefix(THREE.split("\n")[0] + "\n").replace("Ida", "Ole")
    number = bring(store, both)["import"]
    erase_athlete(store, "Ole")
    with pytest.raises(Refusal, match="was erased"):
        rename_athlete(store, "Ida", "ole")
    rename_athlete(store, "Ida", "Ida Kovar")
    assert read_again(store, number, Answers(unit="kg"))["sets_stored"] == 3


def test_erasing_a_renamed_athlete_leaves_neither_name(ida: Path):
    rename_athlete(ida, "ida_k", "Ida Kovar")
    erase_athlete(ida, "Ida Kovar")
    assert not names(ida) and b"ida_k" not in ida.read_bytes() and b"Ida Kovar" not in ida.read_bytes()


def test_an_athlete_is_renamed_from_the_command_line(ida: Path, run):
    status, out, _ = run("athlete", "ida_k", "--rename", "Ida Kovar")
    assert status == 0 and out.startswith("'ida_k' is called 'Ida Kovar' from now on")
    known_now = json.loads(run("athlete", "Ida Kovar", "--rename", "Ida K.", "--level", "beginner", "--json")[1])
    assert (known_now["athlete"], known_now["level"]) == ("Ida K.", "beginner")
    status, _, said_then = run("athlete", "Ida K.", "--rename", "")
    assert status == 1 and "blank" in said_then
    assert json.loads(run("review", "--athlete", "Ida K.", "--json")[1])["athlete"] == "Ida K."


def test_an_athlete_is_renamed_on_the_page_and_the_address_follows(ida: Path, monkeypatch: pytest.MonkeyPatch):
    bring(ida, log().replace("ida_k", "Una"), name="una.csv")
    refresh(ida)
    monkeypatch.setenv("EVENSET_STORE", str(ida))
    run = AppTest.from_file(str(Path(dashboard.__file__).parent / "app.py"), default_timeout=60)
    run.query_params["athlete"], run.query_params["week"] = "ida_k", MONDAY.isoformat()
    run.run()
    run.switch_page("app_pages/settings.py").run()

    def rename(to: str) -> None:
        next(one for one in run.text_input if one.label == "Name").set_value(to)
        next(one for one in run.button if one.label == "Rename").click().run()
        assert not run.exception

    rename("Una")
    assert ["another athlete" in one.value for one in run.warning] == [True]
    rename("Ida Kovar")
    assert not run.warning and "Ida Kovar" in run.title[0].value and "from now on" in run.success[0].value
    assert dict(run.query_params) == {"athlete": "Ida Kovar", "week": MONDAY.isoformat()}
    run.button(key="undo").click().run()
    assert not run.exception and not run.warning and dict(run.query_params) == {"athlete": "ida_k", "week": MONDAY.isoformat()}
    assert names(ida)["sets"] == {"ida_k", "Una"} and names(ida)["kept_weeks"] == {"ida_k", "Una"}


def test_a_link_to_the_old_name_leads_to_the_new_one(ida: Path, open_page):
    bring(ida, log().replace("ida_k", "Una"), name="una.csv")
    rename_athlete(ida, "ida_k", "Zoe Kovar")
    refresh(ida)
    for page in ("app_pages/this_week.py", "app_pages/presentation.py"):
        run = open_page(ida, page, athlete="ida_k", week=MONDAY.isoformat())
        assert not run.exception and not run.warning and not run.error
        assert dict(run.query_params) == {"athlete": "Zoe Kovar", "week": MONDAY.isoformat()}
