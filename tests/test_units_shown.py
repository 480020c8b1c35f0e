"""Loads in pounds where a person asks for them: 1 lb = 0.45359237 kg exactly (international pound, 1959). What a person wrote stays as it was written."""

from __future__ import annotations

import json
import re
from datetime import date, timedelta

import pandas as pd
import pytest

from dashboard.command.main import main
from dashboard.queries.kept import store_at
from dashboard.queries.strength import bests, exercises, in_unit as series_in_unit
from dashboard.queries.stair import stair
from dashboard.queries.words import called
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


# --- the words of the command -------------------------------------------------------------------------------------------


def command(capsys: pytest.CaptureFixture, store, *words: str) -> str:
    assert main([*words, "--store", str(store)]) == 0
    return capsys.readouterr().out


def in_kg(text: str) -> list[str]:
    """The lines of a text that tell a load in kilograms."""
    return [line for line in text.splitlines() if re.search(r"\d kg\b(?! per kg)", line)]


def test_the_review_tells_pounds_to_who_logs_in_pounds_and_its_json_is_in_kg(sample_store, capsys):
    asked = ("review", "--athlete", "Oskar", "--week", "2026-09-28")
    told, found = command(capsys, sample_store, *asked), json.loads(command(capsys, sample_store, *asked, "--json"))
    assert not in_kg(told)
    names = dict(re.findall(r"^  ([\w -]+): ([\d.]+) lb \(", told, re.MULTILINE))
    estimates = [one for one in found["strength"] if one.get("measure") == "e1rm" and "exercise" in one and called(one["exercise"]) in names]
    assert len(estimates) > 3
    for one in estimates:
        assert float(names[called(one["exercise"])]) == pytest.approx(one["e1rm_kg"] / LB, abs=0.2)  # the words hold a tenth of a kilogram
    assert not re.search(r"\d lb", json.dumps(found))
    assert in_kg(command(capsys, sample_store, "review", "--athlete", "Mina", "--week", "2026-09-28"))


def test_flags_of_several_athletes_are_each_in_their_own_unit(sample_store, store, run, capsys):
    lines, found = command(capsys, sample_store, "flags").splitlines(), json.loads(command(capsys, sample_store, "flags", "--json"))["flags"]
    oskar = [f["message"] for f in found if f["athlete"] == "Oskar"]
    assert in_kg("\n".join(oskar)) and [line for line in lines if line.startswith("Oskar")] and not in_kg("\n".join(line for line in lines if line.startswith("Oskar")))
    days = [MONDAY - timedelta(weeks=back) + timedelta(days=d) for back in range(9, -1, -1) for d in (0, 3)]
    rows = "".join(f"{day},{{}},Bench press,{60 if day != days[-1] else 132.5},5,2\n" for day in days for _ in range(2))
    for name, unit in (("Ida", "kg"), ("Ole", "lb")):
        bring(store, f"Date,Athlete,Exercise,Load ({unit}),Reps,RIR\n" + rows.format(*[name] * 2 * len(days)), name=f"{name}.csv")
    refresh(store, today=TODAY)
    odd = {line.split("  ")[0]: line for line in run("flags")[1].splitlines() if "as if pounds and kilograms" in line}
    assert "132.5 kg is 2.21 times the usual 60 kg" in odd["Ida"] and "132.5 lb is 2.21 times the usual 60 lb" in odd["Ole"]


def test_sets_are_listed_with_their_loads_as_they_were_written(sample_store, store, run, capsys):
    told, found = (command(capsys, sample_store, "sets", "--athlete", "Oskar", "--week", "2026-W40", *more) for more in ((), ("--json",)))
    loads = [float(one) for one in re.findall(r", ([\d.]+) lb", told)]
    assert loads and not in_kg(told) and all(load % 2.5 == 0 for load in loads), "what his gym has"
    assert [one["load_kg"] / LB for one in json.loads(found)["sets"] if one["load_kg"]] == pytest.approx([load for load in loads if load])
    bring(store, "Date,Athlete,Exercise,Load,Reps\n2026-03-02,Ida,Curl,45 lb,8\n2026-03-02,Ida,Curl,20 kg,9\n2026-03-02,Ida,Assisted pull-up,-20 kg,9\n")
    listed = run("sets", "--athlete", "Ida")[1]
    assert [end for end in ("8 repetitions, 45 lb", "9 repetitions, 20 kg", "9 repetitions, \u221220 kg") if end not in listed] == []


def test_a_goal_and_the_list_of_clients_are_in_the_athletes_unit(store, run):
    days = [MONDAY - timedelta(weeks=back) + timedelta(days=d) for back in range(12, -1, -1) for d in (0, 3)]
    bring(store, "Date,Athlete,Exercise,Load (lb),Reps,RIR\n" + "".join(f"{day},Ida,Bench press,{100 + 2.5 * n},5,2\n" for n, day in enumerate(days)))
    refresh(store, today=TODAY)
    told = run("goal", "--athlete", "Ida", "--by", "2027-03-01", "--about", "barbell bench press", "--of", "e1rm", "--target", "90.718474", "a bench press of 70 kg")[1]
    assert "Kept as number" in told
    for text in (told, run("goal", "--athlete", "Ida")[1]):
        assert "a bench press of 70 kg (barbell bench press, 200 lb)" in text
    assert json.loads(run("goal", "--athlete", "Ida", "--json")[1])["goals"][0]["target"] == pytest.approx(200 * LB)
    listed, found = run("clients", "--week", MONDAY.isoformat())[1], json.loads(run("clients", "--week", MONDAY.isoformat(), "--json")[1])
    (best,) = [one["text"] for one in found["clients"][0]["reasons"] if one["kind"] == "best"]
    assert " kg" in best and in_unit(best, "lb") in listed and not in_kg(listed)


def test_a_set_is_corrected_in_the_unit_that_it_is_listed_in(store, run):
    bring(store, "Date,Athlete,Exercise,Load (lb),Reps\n2026-03-02,Ida,Curl,45,8\n2026-03-02,Ida,Assisted pull-up,-45,8\n")
    for number, said, kg in (("1", "47.5 lb", 47.5 * LB), ("1", "20", 20.0), ("2", "-30LBS", -30 * LB)):
        assert run("correct", number, f"--load-kg={said}")[0] == 0
        assert kg in [one["load_kg"] for one in json.loads(run("sets", "--athlete", "Ida", "--json")[1])["sets"]]
    assert "no number" in run("correct", "1", "--load-kg", "many lb")[2]
