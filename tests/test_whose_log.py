"""Whose log is meant and shown: another athlete's own week, the way from an import to its athletes, names with accents, and what waits of one."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from dashboard.queries import clients as clients_of
from dashboard.queries import week as week_of
from dashboard.queries.kept import store_at
from dashboard.standing.refresh import refresh
from etl.importing import decide
from etl.names import Matcher
from etl.store.known import folded, meant, nearest
from tests.logs import bring
from tests.page_runs import all_text, nodes, unescaped
from tests.test_said import HEAD, MONDAY, TODAY, log, page

ANNE = "Anne-Sophie O\u2019Neill"
EARLIER = MONDAY - timedelta(weeks=8)


def links(run: AppTest, label: str) -> list[str]:
    return [node.proto.query_string for node in nodes(run.main) if node.type == "page_link" and label in unescaped(node.proto.label)]


@pytest.fixture
def two(store: Path) -> Path:
    """Anne, whose log ends eight weeks before Ida's, with a name that nobody knows."""
    bring(store, log(weeks=10))
    theirs = log(ANNE).replace(str(MONDAY), str(EARLIER)).replace(str(MONDAY + timedelta(days=3)), str(EARLIER + timedelta(days=3)))
    bring(store, "".join(line for line in theirs.splitlines(keepends=True) if line < str(EARLIER + timedelta(days=7)) or line == HEAD)
          + f"{EARLIER},{ANNE},Garage sled pelican,1,20,8,2,,,\n", name="anne.csv")
    refresh(store, today=TODAY)
    return store


def test_another_athlete_begins_with_their_own_last_week(two: Path, monkeypatch: pytest.MonkeyPatch):
    between = EARLIER - timedelta(weeks=1)
    run = page(two, monkeypatch, "", athlete="Ida", week=MONDAY.isoformat())
    for name, week in ((ANNE, EARLIER), ("Ida", MONDAY)):
        run.selectbox(key="chosen_athlete").set_value(name).run()
        assert run.query_params["week"] in (week.isoformat(), [week.isoformat()])
    run = page(two, monkeypatch, "", athlete="Ida", week=between.isoformat())
    assert run.selectbox(key="chosen_week").value == between, "an address that names the week is followed"


def test_after_an_import_its_athletes_are_one_link_away_and_what_waits_of_it_is_said(two: Path, monkeypatch: pytest.MonkeyPatch):
    run = page(two, monkeypatch, "data", athlete="Ida", week=MONDAY.isoformat())
    text = HEAD + f"{MONDAY},Jorun,Bench press,1,60,8,2,,,\n{MONDAY},Jorun,Garage sled,1,20,8,2,,,\nnever,Jorun,Bench press,1,60,8,2,,,\n"
    run.file_uploader[0].set_value(("jorun.csv", text.encode(), "text/csv")).run()
    next(button for button in run.button if button.label == "Store it").click().run()
    assert not run.exception
    assert "1 exercise of it waits for a match and 1 row of it was set aside" in unescaped(run.success[0].value), "of this import, not of all"
    (asked,) = links(run, "See Jorun's last week")
    assert "athlete=Jorun" in asked and f"week={MONDAY}" in asked


def test_a_name_is_found_without_its_accents_and_apostrophes(two: Path, run):
    assert meant("anne-sophie o'neill", ["Ida", ANNE]) == ANNE and meant("Zoe", ["Zoe", "Zoë"]) == "Zoe"
    assert meant("ZOE", ["Zoe", "Zoë"]) is None and meant("", ["Ida"]) is None and meant("'", ["Ida"]) is None
    everyone = clients_of.clients(store_at(two), clients_of.seen(store_at(two), TODAY))
    for sought in ("oneill", "O'Neill", "anne sophie", "NEILL"):
        assert [one.athlete for one in clients_of.picked(everyone, "all", sought)] == [ANNE], sought
    assert run("review", "--athlete", "anne-sophie o'neill")[0] == 0
    assert run("note", "--athlete", "Anne Sophie ONeill", "slept well")[0] == 0


def test_few_names_are_suggested_for_one_that_is_not_there(store: Path, run):
    names = [f"Athlete {n:02}" for n in range(30)] + [ANNE]
    bring(store, HEAD + "".join(f"{MONDAY},{name},Bench press,1,60,8,2,,,\n" for name in names))
    refresh(store, today=TODAY)
    assert nearest("O'Neil", names)[0] == ANNE and len(nearest("Athlete", names)) == 5 and folded("Zoë") == "zoe"
    for argv in (("review", "--athlete", "Athlete 7x"), ("athlete", "Athlete 7x"), ("note", "--athlete", "Athlete 7x", "hello")):
        status, _, err = run(*argv)
        assert status == 1 and 1 <= sum(name in err for name in names) <= 5, err


def test_a_name_that_is_settled_as_none_waits_no_more(two: Path, monkeypatch: pytest.MonkeyPatch):
    def waits() -> tuple[int, AppTest]:
        return int(week_of.done(store_at(two), ANNE, EARLIER)["unmatched_sets"]), page(two, monkeypatch, "", athlete=ANNE, week=EARLIER.isoformat())

    count, run = waits()
    assert count == 1 and "not matched yet" in all_text(run) and all("part=waits" in asked for asked in links(run, "Go to the data"))
    decide(two, "Garage sled pelican", "")
    refresh(two, today=TODAY)
    count, run = waits()
    assert count == 0 and "not matched yet" not in all_text(run)


def test_the_link_to_what_waits_opens_it_for_the_athlete(two: Path, monkeypatch: pytest.MonkeyPatch):
    bring(two, HEAD + f"{MONDAY},Ida,Wobble thing,1,20,8,2,,,\n", name="more.csv")
    refresh(two, today=TODAY)
    run = page(two, monkeypatch, "", athlete=ANNE, week=EARLIER.isoformat())
    run.query_params["part"] = "waits"
    run.switch_page("app_pages/data.py").run()
    assert not run.exception
    shown = [box.label for box in run.selectbox if box.key.startswith("match_")]
    assert ["Garage sled pelican" in unescaped(label) for label in shown] == [True]
    run.checkbox(key="waits_of_one").set_value(False).run()
    assert len([box for box in run.selectbox if box.key.startswith("match_")]) == 2
    (asked, _) = links(run, "Make it an exercise of my own")
    assert "own=" in asked


def test_the_form_of_an_own_exercise_holds_the_name_that_was_asked_for(two: Path, monkeypatch: pytest.MonkeyPatch):
    run = page(two, monkeypatch, "", athlete="Ida", week=MONDAY.isoformat())
    run.query_params["own"] = "Garage sled pelican"
    run.switch_page("app_pages/exercises.py").run()
    assert not run.exception and run.text_input(key="own_exercise_name").value == "Garage sled pelican"


@pytest.mark.parametrize(("written", "chosen"), [("pelican curl neg", False), ("lat pulldwon", True), ("Babrell curl", True), ("Garage sled pelican", False)])
def test_only_a_match_that_is_hardly_doubtful_is_chosen_beforehand(written: str, chosen: bool):
    (match,) = Matcher.from_catalogue().match([written])
    assert match.exercise is None and match.sure is chosen


@pytest.mark.parametrize(("who", "chosen"), [(("Robin",), "Robin"), (("Robin", "Ida"), "Ida")])
def test_after_an_import_of_somebody_else_they_are_shown(two: Path, monkeypatch: pytest.MonkeyPatch, who: tuple[str, ...], chosen: str):
    run = page(two, monkeypatch, "data", athlete="Ida", week=MONDAY.isoformat())
    rows = "Date,Athlete,Exercise,Load (kg),Reps\n" + "".join(f"{EARLIER},{name},Hammer curl,10,8\n{EARLIER},{name},Calf raise,10,8\n" for name in who)
    run.file_uploader[0].set_value(("theirs.csv", rows.encode(), "text/csv")).run()
    assert f"Calf raise, {len(who)} set{'s' * (len(who) > 1)}: perhaps standing calf raise, seated calf raise or " in unescaped(all_text(run))
    next(button for button in run.button if button.label == "Store it").click().run()
    assert not run.exception and run.selectbox(key="chosen_athlete").value == chosen
    assert run.selectbox(key="chosen_week").value == (EARLIER if chosen == "Robin" else MONDAY)


@pytest.mark.parametrize(("name", "state", "value"), [("look_up", "look_up_section", "exercise"), ("exercises", "exercise", "hammer_curl")])
def test_a_link_to_an_exercise_opens_it_also_where_the_page_before_showed_the_same(two: Path, monkeypatch: pytest.MonkeyPatch, name: str, state: str, value: str):
    run = page(two, monkeypatch, "strength", athlete="Ida", exercise="hammer_curl")
    run.query_params["exercise"] = "hammer_curl"  # as the page's own links have it
    run.run()
    run.switch_page(f"app_pages/{name}.py").run()
    assert not run.exception and run.session_state[state] == value
