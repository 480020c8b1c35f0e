"""A goal with a number: what it can be of, how far it is, and when it is reached; the same on the pages, on the client's and on the command line."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

import pytest

from dashboard.queries import said as said_of
from dashboard.queries.kept import store_at
from dashboard.queries.strength import heaviest
from dashboard.report.content import gather
from dashboard.sentences.client_beside import of_target
from dashboard.sentences.said import goal_now
from dashboard.standing.refresh import refresh
from etl.refusal import Refusal
from etl.store import said
from etl.store.athletes import say
from etl.store.said import GOALS
from tests.logs import ask, bring
from tests.page_runs import all_text, unescaped

TODAY = date(2026, 11, 1)
MONDAY = date(2026, 10, 19)
HEAD = "Date,Athlete,Exercise,Set,Set type,Load,Reps,RIR,Range,Planned\n"
LB = 0.45359237


def sets(*rows: tuple[int, str]) -> str:
    """A log of Ida's squats: (days before the week's Sunday, what follows the exercise)."""
    sunday = MONDAY + timedelta(days=6)
    return HEAD + "".join(f"{sunday - timedelta(days=back)},Ida,Back squat,{n},{row}\n" for n, (back, row) in enumerate(rows, 1))


def steady() -> list[tuple[int, str]]:
    return [(7 * week + day, "work,60 kg,5,2,full,") for week in range(10) for day in (2, 5)]


def squat(store: Path, measure: str, target: float) -> int:
    return said.say(store, GOALS, "Ida", {"text": "a good squat", "due": date(2027, 1, 31), "subject": "barbell_back_squat", "measure": measure, "target": target}, TODAY)


def of_client(store: Path, week: date = MONDAY) -> str:
    (line,) = [line for section in gather(store_at(store), "Ida", week).beside if section.title == "Goals" for line in section.lines]
    return line


@pytest.fixture
def ida(store: Path) -> Path:
    bring(store, sets(*steady(), (8, "work,70 kg,1,2,full,"), (3, "warm-up,95 kg,1,8,full,"), (1, "work,62.5 kg,5,2,full,")))
    refresh(store, today=TODAY)
    return store


# --- reached --------------------------------------------------------------------------------------------------------------


def test_a_goal_within_the_interval_is_not_called_reached(ida: Path):
    value, low, high = said_of.goal_now(store_at(ida), "Ida", MONDAY, "barbell_back_squat", "e1rm")
    assert low < value < high
    for target, told, client in ((low - 0.1, "reached", "; the goal was "), ((low + value) / 2, "the goal within its uncertainty", " or more is not sure yet."), (value + 1, "1 kg to go", " of ")):
        assert goal_now("e1rm", target, value, low, high).endswith(f"), {told}")
        number = squat(ida, "e1rm", target)
        assert client in of_client(ida) and ("the goal was" in of_client(ida)) == (told == "reached")
        said.take_back(ida, GOALS, number)


def test_an_end_that_a_conversion_leaves_a_hair_below_is_at_the_target():
    assert goal_now("load", 155 * LB + 0.004, 155 * LB, 155 * LB, 155 * LB, "lb") == "now 155 lb, reached"
    assert of_target("load", 155 * LB, 155 * LB, 155 * LB + 0.004, "lb") == "155 lb; the goal was 155 lb"
    assert goal_now("load", 70.3, 70.28, 70.28, 70.28) == "now 70.28 kg, 0.02 kg to go"


# --- a load that is lifted ------------------------------------------------------------------------------------------------


def test_a_load_is_the_heaviest_of_a_work_set_up_to_the_week(ida: Path):
    store = store_at(ida)
    assert heaviest(store, "Ida", "barbell_back_squat", MONDAY) == 70.0  # not the warm-up's
    assert said_of.goal_now(store, "Ida", MONDAY, "barbell_back_squat", "load") == (70.0, 70.0, 70.0)
    assert heaviest(store, "Ida", "barbell_back_squat", MONDAY - timedelta(weeks=3)) == 60.0  # nothing of later
    assert said_of.goal_now(store, "Ida", MONDAY, "barbell_bench_press", "load") is None
    assert said_of.goal_now(store, "Ole", MONDAY, "barbell_back_squat", "load") is None


@pytest.mark.parametrize(("back", "row", "counts"), [
    (83, "work,90 kg,1,2,full,", True), (84, "work,90 kg,1,2,full,", False), (1, "work,90 kg,1,2,lower half,", False), (1, "work,90 kg,0,0,full,", False),
    (1, "drop,90 kg,3,0,full,", False), (1, "work,90 kg,1,2,full,yes", False)],
    ids=["twelve weeks", "older", "half a range", "not lifted", "no work set", "planned"])
def test_only_a_work_set_over_the_full_range_in_twelve_weeks_counts(store: Path, back: int, row: str, counts: bool):
    bring(store, sets(*steady(), (back, row)))
    refresh(store, today=TODAY)
    assert ask(store, "select count(*) from sets where load_kg = 90") == [(1,)]
    assert heaviest(store_at(store), "Ida", "barbell_back_squat", MONDAY) == (90.0 if counts else 60.0)


def test_a_goal_of_a_load_is_told_on_the_client_page_as_it_was_lifted_in_the_athletes_unit(ida: Path):
    squat(ida, "load", 72.5)
    assert of_client(ida) == "a good squat, by 31 January 2027, now 70 kg of 72.5 kg."
    say(ida, "Ida", shown_unit="lb")
    assert of_client(ida) == "a good squat, by 31 January 2027, now 154.3 lb of 159.8 lb."


def test_the_command_keeps_a_goal_of_a_load_and_refuses_one_that_cannot_be(ida: Path, run):
    words = ("goal", "--athlete", "Ida", "--by", "2026-12-20", "--about", "back squat", "--of", "load")
    status, out, _ = run(*words, "--target", "72.5", "72.5 on the bar")
    assert status == 0 and "72.5 on the bar (barbell back squat, 72.5 kg)" in out
    (kept,) = json.loads(run("goal", "--athlete", "Ida", "--json")[1])["goals"]
    assert (kept["measure"], kept["target"]) == ("load", 72.5)
    assert run(*words, "--target", "1001", "too much")[0] == 1
    with pytest.raises(Refusal, match="one exercise"):
        said.say(ida, GOALS, "Ida", {"text": "x", "due": TODAY, "subject": "biceps", "measure": "load", "target": 10.0}, TODAY)


@pytest.mark.parametrize(("unit", "entered", "kg", "told"), [("kg", 70.0, 70.0, "now 70 kg, reached"), ("lb", 160.0, 160 * LB, "now 154.3 lb, 5.7 lb to go")])
def test_the_form_takes_a_load_in_the_athletes_unit(ida: Path, open_page, unit: str, entered: float, kg: float, told: str):
    say(ida, "Ida", shown_unit=unit)
    page = open_page(ida, "app_pages/settings.py", athlete="Ida", week=MONDAY.isoformat())
    page.button(key="add_goal_day").click().run()
    assert f"{unit}, load lifted" in page.selectbox(key="of_goal_day").options and f"{unit}, estimated maximum" in page.selectbox(key="of_goal_day").options
    page.text_input(key="text_goal_day").set_value("a good squat")
    page.selectbox(key="of_goal_day").set_value("load")
    page.selectbox(key="about_goal_day").set_value("barbell_back_squat")
    page.number_input(key="target_goal_day").set_value(entered)
    next(button for button in page.button if button.label == "Keep it").click().run()
    assert not page.exception and not page.warning
    assert ask(ida, "select measure, target from goals") == [("load", pytest.approx(kg))]
    assert told in unescaped(all_text(page))
