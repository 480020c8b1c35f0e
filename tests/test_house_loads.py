"""The loads in the house and the unit that is shown: said as a person writes them, in kg or lb, and shown again so."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest
from streamlit.testing.v1 import AppTest

from dashboard.measures.in_hand import next_up
from dashboard.queries.kept import store_at
from dashboard.queries.presented import shown_unit
from dashboard.queries.review import review
from dashboard.queries.stair import stair
from dashboard.queries.words import loaded_per_hand
from dashboard.sentences.stair import LOADS
from dashboard.sentences.units import loads_told
from dashboard.standing.log import read_logs
from dashboard.standing.next_week import _ready_by_line, _step
from dashboard.standing.refresh import EPOCH, refresh, stale
from dashboard.standing.weekly import Weekly, weekly
from etl import tables
from etl.notation.house import loads_in_kg
from etl.refusal import Refusal
from etl.settings import RULES
from etl.store import reading
from etl.store.athletes import say, settings
from tests.logs import ask, bring
from tests.test_said import MONDAY, TODAY, ida, log, page  # noqa: F401 - a fixture

LB = 0.45359237  # kg: NIST SP 811, exact


@pytest.mark.parametrize(("text", "unit", "loads"), [
    ("2,4, 7.5", "kg", [2, 4, 7.5]), ("7.5;2;2", "kg", [2, 7.5]), ("5, 7.5", "lb", [5 * LB, 7.5 * LB]), ("5 lb, 7.5 lb", "kg", [5 * LB, 7.5 * LB]),
    ("5,7.5lb", "kg", [5 * LB, 7.5 * LB]), ("10 kg, 5 lbs", "kg", [5 * LB, 10]), ("2 to 10 by 2", "kg", [2, 4, 6, 8, 10]), ("1.25 to 2 by 0.25 lb", "kg", [1.25 * LB, 1.5 * LB, 1.75 * LB, 2 * LB]),
    ("", "kg", []),
])
def test_loads_are_read_as_they_are_written(text: str, unit: str, loads: list[float]):
    assert loads_in_kg(text, unit) == loads


@pytest.mark.parametrize("text", ["five", "5 stone", "2 to 10", "10 to 2 by 2", "2 to 10 by 0", "1 to 9000 by 1", "2 kg to 8 lb by 2", "5 kg lb", "-5"])
def test_what_is_no_load_is_refused_in_words(text: str):
    with pytest.raises(Refusal, match="is no"):
        loads_in_kg(text, "kg")


@pytest.mark.parametrize(("text", "loads"), [
    ("6; 8; 10; 12,5; 16", [6, 8, 10, 12.5, 16]), ("6, 8, 10, 12,5, 16", [6, 8, 10, 12.5, 16]), ("6 kg, 8 kg, 12,5 kg", [6, 8, 12.5]), ("4\n7,5\n10", [4, 7.5, 10]), ("16, 12,5, 10", [10, 12.5, 16]),
    ("4 kg,7,5 kg,10 kg", [4, 7.5, 10]), ("10; 7,5", [7.5, 10]), ("2,5 to 7,5 by 2,5", [2.5, 5, 7.5]), ("2,4,6,8,10", [2, 4, 6, 8, 10]), ("2,4; 6", [2.4, 6]), ("6, 8, 12,5, 16.5", [6, 8, 12.5, 16.5]), ("8, 6, 10", [6, 8, 10]),
    ("5, 7,5, 10 lb", [5 * LB, 7.5 * LB, 10 * LB])])
def test_a_comma_is_what_the_list_makes_of_it(text: str, loads: list[float]):
    assert loads_in_kg(text, "kg") == loads


@pytest.mark.parametrize("text", ["6,8,10,12,5,16", "12,5", "12,5 kg", "1, 2,5, 6", "20,17,5,15", "9, 12,5, 10"])
def test_a_comma_that_may_be_either_is_refused_and_semicolons_are_named(text: str):
    with pytest.raises(Refusal, match="ends a load or is its decimal mark") as wrong:
        loads_in_kg(text, "kg", "--loads")
    assert "semicolons" in str(wrong.value)


@pytest.mark.parametrize("unit", ["kg", "lb"])
@pytest.mark.parametrize("text", ["5 lb, 7.5 lb", "2 kg, 4 kg, 5 lb", "2.5, 47.5", "1.25 kg, 2.5 lb, 20 kg"])
def test_what_is_shown_is_read_as_the_same(text: str, unit: str):
    loads = loads_in_kg(text, unit)
    assert loads_in_kg(loads_told(loads, unit), unit) == loads


def field(run: AppTest):
    return next(one for one in run.text_input if one.label.startswith("Loads in the house"))


def keep(run: AppTest) -> None:
    next(button for button in run.button if button.label == "Keep").click().run()


def test_settings_ask_for_loads_in_the_unit_that_is_shown(ida, monkeypatch: pytest.MonkeyPatch):  # noqa: F811
    say(ida, "Ida", shown_unit="lb")
    run = page(ida, monkeypatch, "settings", athlete="Ida", week=MONDAY.isoformat())
    assert "lb" in field(run).label
    field(run).set_value("7.5, 5, 4 kg and a bit")
    keep(run)
    assert not run.exception and "'4 kg and a bit' is no load" in run.warning[0].value.replace("\\", "") and field(run).value.startswith("7.5, 5")
    field(run).set_value("7.5 lb, 5 lb")
    keep(run)
    assert settings(ida, "Ida").loads == (5 * LB, 7.5 * LB) and field(run).value == "5, 7.5"


def test_the_command_takes_a_unit(ida, run):  # noqa: F811
    status, out, _ = run("athlete", "Ida", "--loads", "5,7.5 lb")
    assert status == 0 and "5 lb, 7.5 lb" in out and settings(ida, "Ida").loads == (5 * LB, 7.5 * LB)
    assert run("athlete", "Ida", "--loads", "heavy")[0] == 1
    assert run("athlete", "Ida", "--loads", "6; 8; 12,5; 16")[0] == 0 and settings(ida, "Ida").loads == (6, 8, 12.5, 16)
    status, _, refused = run("athlete", "Ida", "--loads", "6,8,12,5,16")
    assert status == 1 and "semicolons" in refused and settings(ida, "Ida").loads == (6, 8, 12.5, 16)


def test_a_log_in_pounds_is_shown_in_pounds_until_somebody_says_otherwise(store):
    bring(store, log())
    bring(store, log("Ole").replace("Load (kg)", "Load (lb)").replace(",12,8,", ",47.5,8,"), name="ole.csv")
    refresh(store, today=TODAY)
    assert [shown_unit(store_at(store), name) for name in ("Ida", "Ole")] == ["kg", "lb"]
    assert (settings(store, "Ole").shown_unit, settings(store, "Ole").shown_unit_said) == ("lb", False)
    say(store, "Ole", shown_unit="kg")
    assert shown_unit(store_at(store), "Ole") == "kg" and settings(store, "Ole").shown_unit_said
    assert json.dumps(settings(store, "Ida").shown_unit) == '"kg"'


def weekly_of(path) -> Weekly:
    with reading(path) as con:
        return weekly(read_logs(con, ["Ida"], (TODAY - EPOCH).days)["Ida"])


ASKED = ["Dumbbell row", "Concentration curl", "Goblet squat", "Dumbbell pullover", "Kettlebell press", "Hammer curl"]
NOT_ASKED = ["Barbell row", "Cable curl", "Seated calf raise", "Leg press", "Plate front raise"]  # a calf raise is done with a dumbbell or on a machine


@pytest.fixture(scope="module")
def at_ten(tmp_path_factory: pytest.TempPathFactory):
    """Two sessions of each at 10 kg with more repetitions than its range asks for, in a house that has 8, 10 and 12 kg."""
    path = tmp_path_factory.mktemp("house") / "s.duckdb"
    days = [MONDAY - timedelta(weeks=back) + timedelta(days=d) for back in (2, 1, 0) for d in (0, 3)]
    bring(path, "Date,Athlete,Exercise,Load (kg),Reps,RIR\n" + "".join(
        f"{day},Ida,{name},{8 if day < MONDAY - timedelta(weeks=1) else 10},40,2\n" for day in days for name in (*ASKED, *NOT_ASKED)))
    say(path, "Ida", loads=[8.0, 10.0, 12.0])
    refresh(path, today=TODAY)
    return path


@pytest.mark.parametrize(("name", "asked"), [*((name, True) for name in ASKED), *((name, False) for name in NOT_ASKED)])
def test_the_house_is_asked_where_hands_hold_the_load_and_nowhere_else(at_ten, name: str, asked: bool):
    """By the plan and by the stair alike."""
    store = store_at(at_ten)
    (exercise,) = [one for (one,) in ask(at_ten, f"select distinct exercise from sets where exercise_as_written = '{name}'")]
    (ready,) = [one for one in _ready_by_line(weekly_of(at_ten))[2] if one.exercise == exercise]
    action, _ = _step(exercise, ready, (8.0, 10.0, 12.0), RULES)
    assert ("in the house, 12 kg" in action) == asked and ("by 2 to 10 %" in action) != asked, action
    ahead = stair(store, "Ida", f"{LOADS}:{exercise}", MONDAY).ahead
    assert (ahead.name == "12 kg") == asked


def test_the_house_is_asked_for_what_nothing_but_hands_can_hold():
    """Of all exercises: whatever is loaded for one hand, and of the others those of which every way is with a dumbbell or a kettlebell."""
    known = tables.exercises().set_index("exercise_id")
    assert tables.held_in_hands() > loaded_per_hand()
    alone = known.loc[sorted(tables.held_in_hands() - loaded_per_hand()), "equipment"]
    assert len(alone) > 30 and not alone.str.contains("barbell|machine|cable|band|plate|_bar|bucket").any() and alone.str.contains("dumbbell|kettlebell").all()
    left = known[~known.index.isin(tables.held_in_hands()) & known["equipment"].str.contains("dumbbell|kettlebell")]
    assert left["equipment"].str.contains("barbell|machine").all()


def test_a_load_of_the_log_and_the_same_of_the_house_are_one():
    assert next_up(8 * LB, [8 * LB + 1e-9, 10 * LB]) == 10 * LB and next_up(10 * LB, [8 * LB]) is None


def test_one_dumbbell_alone_goes_up_to_what_is_in_the_house_and_a_change_of_it_is_noticed(store):
    days = [MONDAY - timedelta(weeks=back) + timedelta(days=d) for back in (2, 1, 0) for d in (0, 3)]
    bring(store, "Date,Athlete,Exercise,Set,Load (kg),Reps,RIR\n" + "".join(f"{day},Ida,Dumbbell row,{n},8,20,2\n" for day in days for n in (1, 2, 3)))
    refresh(store, today=TODAY)

    def told(*loads: float) -> str:
        say(store, "Ida", loads=list(loads))
        assert [athlete for athlete, _ in stale(store, TODAY)] == ["Ida"]
        refresh(store, today=TODAY)
        return next(one["action"] for one in review(store_at(store), "Ida", MONDAY)["next"] if one["subject"] == "dumbbell_row")

    assert "12 kg, is 50 % up: first more repetitions" in told(8.0, 12.0) and "no heavier load in the house" in told(6.0, 8.0)
    assert "the next load in the house, 8.5 kg." in told(8.0, 8.5)
