"""The loads in the house and the unit that is shown: said as a person writes them, in kg or lb, and shown again so."""

from __future__ import annotations

import json

import pytest
from streamlit.testing.v1 import AppTest

from dashboard.queries.kept import store_at
from dashboard.queries.presented import shown_unit
from dashboard.sentences.units import loads_told
from dashboard.standing.refresh import refresh
from etl.notation.house import loads_in_kg
from etl.refusal import Refusal
from etl.store.athletes import say, settings
from tests.logs import bring
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


def test_a_log_in_pounds_is_shown_in_pounds_until_somebody_says_otherwise(store):
    bring(store, log())
    bring(store, log("Ole").replace("Load (kg)", "Load (lb)").replace(",12,8,", ",47.5,8,"), name="ole.csv")
    refresh(store, today=TODAY)
    assert [shown_unit(store_at(store), name) for name in ("Ida", "Ole")] == ["kg", "lb"]
    assert (settings(store, "Ole").shown_unit, settings(store, "Ole").shown_unit_said) == ("lb", False)
    say(store, "Ole", shown_unit="kg")
    assert shown_unit(store_at(store), "Ole") == "kg" and settings(store, "Ole").shown_unit_said
    assert json.dumps(settings(store, "Ida").shown_unit) == '"kg"'
