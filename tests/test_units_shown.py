"""Loads in pounds where a person asks for them: 1 lb = 0.45359237 kg exactly (international pound, 1959). What a person wrote stays as it was written."""

from __future__ import annotations

from datetime import date, timedelta

import pandas as pd
import pytest

from dashboard.queries.kept import store_at
from dashboard.queries.strength import bests, exercises, in_unit as series_in_unit
from dashboard.queries.stair import stair
from dashboard.sentences.stair import LOADS
from dashboard.sentences.numbers import number
from dashboard.sentences.units import as_written, heading_in_unit, in_unit, rows_in_unit, table_in_unit
from dashboard.standing.refresh import refresh
from etl.store import said
from etl.store.athletes import say
from etl.store.said import GOALS
from tests.logs import bring
from tests.page_runs import all_text, told, unescaped
from tests.test_said import HEAD, MONDAY, TODAY, ida, log, page  # noqa: F401 - a fixture

LB = 0.45359237


@pytest.mark.parametrize(("text", "turned"), [
    ("45.359237 kg", "100 lb"), ("1\u202f000 kg", "2\u202f204.6 lb"), ("at 10 kg with 2 in reserve", "at 22 lb with 2 in reserve"), ("1.34 kg per kg of body mass", "1.34 kg per kg of body mass"),
    ("20 to 25 kg", "44 to 55.1 lb"), ("30 repetitions", "30 repetitions"), ("100 kg (90.0 to 110.0), then 3 (1 to 5)", "220.5 lb (198.4 to 242.5), then 3 (1 to 5)"), ("12kg", "12kg"),
])
def test_loads_in_a_text_of_ours(text: str, turned: str):
    assert in_unit(text, "lb") == turned and in_unit(text, "kg") == text


POUNDS = sorted({step * n for step, most in ((0.5, 60), (1.25, 60), (2.5, 300)) for n in range(1, most)})


def test_what_was_written_in_pounds_is_read_in_pounds_again():
    """Our texts hold a tenth of a kilogram, and a load of the log is kept exactly."""
    assert {in_unit(f"at {number(pounds * LB)} kg", "lb") for pounds in POUNDS} == {f"at {number(pounds, 2)} lb" for pounds in POUNDS}
    assert table_in_unit(pd.DataFrame({"load, kg": [number(18.1)]}), "lb")["load, lb"].tolist() == ["40"]
    assert [as_written(pounds * LB) for pounds in (2.5, 47.5, 135.0)] == ["2.5 lb", "47.5 lb", "135 lb"]
    assert [as_written(kg, "lb") for kg in (2.5, 20.0, 7.25)] == ["2.5 kg", "20 kg", "7.25 kg"]


def test_a_step_of_a_stair_is_called_as_it_was_written(store):
    bring(store, log().replace("Load (kg)", "Load (lb)").replace(",12,8,", ",47.5,8,"))
    refresh(store, today=TODAY)
    found = stair(store_at(store), "Ida", f"{LOADS}:hammer_curl", MONDAY)
    assert [in_unit(name, "lb") for name in found.steps["name_"]] == ["47.5 lb"]
    assert {in_unit(text, "lb") for text in found.sessions["told"]} == {"47.5 lb × 8, 2 in reserve"}


def test_tables_turn_over_what_their_headings_call_a_load():
    rows = pd.DataFrame({"load, kg": ["10", "", "none added", "\u22125"], "repetitions": ["10"] * 4, "note": ["10 kg bell"] * 4})
    turned = table_in_unit(rows, "lb")
    assert turned["load, lb"].tolist() == ["22", "", "none added", "\u221211"] and turned["repetitions"].tolist() == ["10"] * 4 and turned["note"].tolist() == ["10 kg bell"] * 4
    assert table_in_unit(rows, "kg") is rows and rows_in_unit(rows, "lb", "note")["note"].iloc[0] == "22 lb bell"
    assert heading_in_unit("estimated maximum, kg per kg of body mass", "lb") == "estimated maximum, kg per kg of body mass"


def test_a_series_keeps_its_shape(sample_store):
    """Every value of an estimated maximum by one factor; what is no load, and the trend in per cent, as they were."""
    store, week = store_at(sample_store), date(2026, 9, 28)
    fit = exercises(store, "Oskar", week).loc[("barbell_bench_press", "e1rm")]
    points = bests(store, "Oskar", "barbell_bench_press", "e1rm", week)
    turned, fit_lb = series_in_unit(points, fit, "lb")
    assert (turned["value"] * LB).to_numpy() == pytest.approx(points["value"].to_numpy()) and turned["reps"].equals(points["reps"])
    assert fit_lb["best_value"] * LB == pytest.approx(fit["best_value"]) and fit_lb["rate_pct_week"] == fit["rate_pct_week"]
    assert series_in_unit(points, fit, "kg")[0] is points


@pytest.mark.parametrize("name", ["", "strength"])
def test_the_pages_of_an_athlete_in_pounds_hold_no_kilogram_of_ours(ida, monkeypatch: pytest.MonkeyPatch, name: str):  # noqa: F811
    said.say(ida, GOALS, "Ida", {"text": "a bench press of 70 kg", "due": date(2026, 12, 24), "subject": "barbell_bench_press", "measure": "e1rm", "target": 70.0}, TODAY)
    say(ida, "Ida", shown_unit="lb")
    run = page(ida, monkeypatch, name, athlete="Ida", week=MONDAY.isoformat(), exercise="barbell_bench_press")
    text = unescaped(all_text(run)) + " ".join(str(table.value) for table in run.table)
    assert " lb" in text
    assert [line for line in text.splitlines() if " kg" in line.replace("a bench press of 70 kg", "").replace("kg per kg", "")] == []
    assert not [words for words in told(run) if " kg" in words.replace("kg per kg", "")]
    say(ida, "Ida", shown_unit="kg")


def test_repetitions_at_no_load_are_at_body_weight(store):
    """The best of a series without a load, in the reason of its verdict."""
    days = [MONDAY - timedelta(weeks=back) + timedelta(days=d) for back in range(30) for d in (0, 3)]
    bring(store, HEAD + "".join(f"{day},Ida,Push-up,1,0,{12 + n % 3},2,,,\n" for n, day in enumerate(sorted(days))))
    refresh(store, today=TODAY)
    reasons = " ".join(exercises(store_at(store), "Ida", MONDAY)["reason"])
    assert "at body weight" in reasons and "0 kg" not in reasons
