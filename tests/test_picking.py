"""What is picked filters the page and stands in the address; what a picture is drawn from can be taken as CSV, and no cell of it is a formula."""

from __future__ import annotations

import csv as reader
import io
from datetime import date, timedelta

import pandas as pd
import pytest
import vl_convert

from dashboard.charts import planks, rates, shelf, weekly
from dashboard.charts.picked import PICKED
from dashboard.charts.plank_rows import AGAINST_USUAL, against_usual
from dashboard.charts.taken_rows import RATES, SHELF, WEEKLY, taken
from dashboard.look import LIGHT
from dashboard.queries import balance, load, people, strength
from dashboard.queries.kept import store_at
from dashboard.rendered import png, svg
from dashboard.sentences.findings import load_finding, strength_finding
from dashboard.spreadsheet import csv
from dashboard.standing.traced import sets_of
from tests import kept_store
from tests.page_runs import all_text, charts, nodes, unescaped
from tests.text_in_svg import boxes

STRENGTH, BALANCE, LOAD = (f"app_pages/{name}.py" for name in ("strength", "balance", "load"))
WEEK = date(2026, 9, 21)


def read(table: pd.DataFrame) -> list[list[str]]:
    return list(reader.reader(io.StringIO(csv(table).decode("utf-8-sig"))))


# --- as CSV -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("cell", ["=1+1", "+1+1", "-1+1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "＝1", "−1+1".replace("−", "-"), '=HYPERLINK("http://198.51.100.7")'])
def test_no_cell_and_no_heading_begins_like_a_formula(cell):
    rows = read(pd.DataFrame({cell: [cell, "a" + cell]}))
    assert rows == [["'" + cell], ["'" + cell], ["a" + cell]]


def test_numbers_stay_numbers_and_days_are_iso_dates():
    rows = read(pd.DataFrame({"n": [-2.5, None], "text": ["−20", "1\u202f250.5"], "day": pd.to_datetime(["2026-03-09", None])}))
    assert rows == [["n", "text", "day"], ["-2.5", "-20", "2026-03-09"], ["", "1250.5", ""]]


def test_the_csv_of_each_main_picture_holds_the_numbers_that_are_drawn(small_store):
    store, week = store_at(small_store), kept_store.LAST_WEEK
    parts = balance.parts(store, "Robin", week)
    rows = read(taken(parts, SHELF))
    at = {heading: i for i, heading in enumerate(rows[0])}
    assert {row[at["part"]]: float(row[at["hard sets"]]) for row in rows[1:]} == dict(zip(parts["name"], parts["dose"], strict=True))
    drawn = shelf.shelf(parts, balance.history(store, "Robin", week), LIGHT).to_dict()
    assert {row["dose"] for data in drawn["datasets"].values() for row in data if "dose" in row} == {f"{dose:g}" for dose in parts["dose"]}
    series = load.series(store, "Robin", "whole_body", week, 26)
    rows = read(taken(series, WEEKLY))
    assert [float(row[1]) for row in rows[1:]] == kept_store.HARD_SETS and rows[-1][0] == "2026-03-09"
    judged = strength.parts(store, "Robin", week)
    rows = read(taken(judged, RATES))
    assert rows[0] == list(RATES.values()) and [row[0] for row in rows[1:]] == judged["name"].tolist()


def test_a_hostile_name_in_a_picture_is_no_formula_in_its_csv():
    rows = pd.DataFrame({"name": ["=cmd|' /C calc'!A0"], "verdict": ["undecided"], "rate_pct_week": [-0.2], "rate_low": [-0.5], "rate_high": [0.1]})
    assert read(taken(rows, RATES))[1] == ["'=cmd|' /C calc'!A0", "undecided", "-0.2", "-0.5", "0.1"]


# --- the pictures -------------------------------------------------------------------------------------------------------


def pickable_charts(store) -> dict:
    week = kept_store.LAST_WEEK
    judged = strength.parts(store, "Robin", week).dropna(subset=["rate_low"])
    parts = balance.parts(store, "Robin", week)
    return {"rates": lambda picked: rates.rates(judged.assign(key=judged["part"]), LIGHT, picked=picked),
            "shelf": lambda picked: shelf.shelf(parts, balance.history(store, "Robin", week), LIGHT, headings=True, picked=picked),
            "weekly": lambda picked: weekly.weekly(load.series(store, "Robin", "whole_body", week, 26), LIGHT, picked=picked)}


@pytest.mark.parametrize(("kind", "key"), [("rates", "lats"), ("shelf", "lats"), ("weekly", "2026-03-02")])
def test_exactly_one_layer_can_be_picked_from_and_what_is_picked_is_framed(small_store, kind, key):
    draw = pickable_charts(store_at(small_store))[kind]
    plain, open_, framed = (draw(picked).to_dict() for picked in (None, "", key))
    assert "params" not in plain
    for one in (open_, framed):
        assert [param["name"] for param in one["params"]] == [PICKED] and len(one["params"][0]["views"]) == 1
    for one in (open_, framed):
        assert vl_convert.vegalite_to_svg(one | {"width": 400}).startswith("<svg"), "it can be drawn"
    if kind == "weekly":  # its frame is a row of the boxes, behind all others
        boxes, without = (one["datasets"][one["layer"][0]["data"]["name"]] for one in (framed, open_))
        assert len(framed["layer"]) == len(open_["layer"]) == len(plain["layer"]) and len(boxes) == len(without) + 1
        assert (boxes[0]["key"], boxes[0]["stroke"]) == (key, LIGHT.done) and not any(row.get("key") for row in boxes[1:])
        return
    assert len(framed["layer"]) == len(open_["layer"]) + 1 == len(plain["layer"]) + 1 + (kind == "rates")
    assert any([row["key"] for row in data] == [key] for data in framed["datasets"].values() if data and "key" in data[0])


@pytest.mark.parametrize("kind", ["rates", "shelf", "weekly"])
def test_a_picture_can_be_taken_as_svg_and_png(small_store, kind):
    chart = pickable_charts(store_at(small_store))[kind]("")
    assert "<svg" in svg(chart, 900) and "<text" in svg(chart, 900)
    assert png(chart, 900)[:8] == b"\x89PNG\r\n\x1a\n"


def test_two_planks_stand_for_each_part_and_the_words_say_the_same(small_store):
    rows = against_usual(load.parts(store_at(small_store), "Robin", kept_store.LAST_WEEK))
    drawn = planks.planks(rows, ("this week", "usual"), LIGHT).to_dict()
    made = [row for data in drawn["datasets"].values() for row in data if "side" in row]
    lats = {row["side"]: row["value"] for row in made if row["part"] == "Lats"}
    assert lats == {"upper": 21.0, "lower": 11.0}
    assert "Lats: 21 (19.5 to 22.5) this week; 11 usual" in planks.in_words(rows, ("this week", "usual"), "Hard sets")
    assert rows["name"].iloc[0] == "lats", "the furthest from its usual stands first"
    assert list(taken(rows, AGAINST_USUAL))[0] == "part"


@pytest.mark.parametrize("width", [320, 740])
def test_the_numbers_behind_planks_end_within_the_picture(width):
    """A long interval behind a long plank, and behind short ones; a wide picture gives the planks the most of it."""
    values = [(630.1, 614.3, 646.2), (495.6, 484.2, 507.5), (65.7, 64.1, 1067.5)]
    rows = pd.DataFrame([{"name": f"lift {n}", "upper": value, "upper_low": low, "upper_high": high, "lower": value, "lower_low": low, "lower_high": high}
                         for n, (value, low, high) in enumerate(values)])
    for some in (rows, rows.head(2), rows.tail(1)):
        found, wide, _ = boxes(planks.planks(some, ("then", "now"), LIGHT), width)
        told = [box for box in found if "to" in box.text]
        assert len(told) == 2 * len(some) and max(box.right for box in told) <= wide
        assert width < 700 or max(box.left for box in told) > 0.6 * wide


@pytest.mark.parametrize(("verdicts", "said"), [
    (["progressing", "progressing", "declining"], "A and b rise, c falls"), (["plateau"] * 3, "A, b and c stand still"),
    (["undecided"] * 3, "No verdict yet: all 3 parts undecided")])
def test_a_title_says_what_the_strength_picture_shows(verdicts, said):
    assert strength_finding(["a", "b", "c"], verdicts) == said


def test_a_title_never_calls_an_unmarked_week_a_jump():
    assert load_finding("whole body", 60, None, None, 46, "", "", pd.NA).endswith("usual 46: no jump")
    assert load_finding("whole body", 80, None, None, 46, "spike", "", True).endswith("a spike, planned")


# --- the pages ----------------------------------------------------------------------------------------------------------


def test_a_part_of_strength_filters_its_exercises_and_stands_in_the_address(open_page, small_store):
    run = open_page(small_store, STRENGTH, athlete="Robin")
    assert unescaped(run.title[0].value) == "Calf, lower and chest rise; lats stand still; 1 undecided"
    assert len(run.selectbox(key="exercise").options) == 3
    run.selectbox(key="part").set_value("lats").run()
    assert run.selectbox(key="exercise").options == ["pull-up, per kg of body mass"]
    assert run.query_params["part"] == "lats"
    assert "Lats: plateau" in unescaped(all_text(run)) and "Pull-up: plateau" in unescaped(all_text(run))
    run.selectbox(key="part").set_value(None).run()
    assert "part" not in run.query_params and len(run.selectbox(key="exercise").options) == 3


def test_a_link_opens_what_is_picked_and_one_that_leads_nowhere_is_said(open_page, small_store):
    run = open_page(small_store, STRENGTH, athlete="Robin")
    run.query_params["part"], run.query_params["exercise"] = "chest_sternal", "barbell_bench_press"
    run.run()
    assert run.selectbox(key="part").value == "chest_sternal" and run.selectbox(key="exercise").value == "barbell_bench_press"
    run.query_params["part"] = "**tail**"
    run.run()
    assert run.selectbox(key="part").value is None
    assert 'asks for "**tail**", which is not among these' in unescaped(run.warning[0].value)
    run.selectbox(key="part").set_value("lats").run()
    assert not run.warning


def test_the_frame_in_the_picture_follows_the_list(open_page, small_store):
    run = open_page(small_store, BALANCE, athlete="Robin")
    before = charts(run)[0].spec
    run.selectbox(key="part").set_value("biceps").run()
    assert charts(run)[0].spec != before and charts(run)[0].id.endswith("_part_biceps")


def test_balance_traces_a_part_to_the_sets_that_gave_it(open_page, sample_store):
    store = store_at(sample_store)
    run = open_page(sample_store, BALANCE, athlete="Oskar", week=WEEK.isoformat())
    run.selectbox(key="part").set_value("lats").run()
    own = balance.parts(store, "Oskar", WEEK).set_index("part").loc["lats"]
    assert f"Lats: where its {own['dose']:g} hard sets ({own['low']:g} to {own['high']:g}) came from" in unescaped(all_text(run))
    found = run.table[0].value
    assert unescaped(found.iloc[-1, -1]) == f"{own['dose']:g} ({own['low']:g} to {own['high']:g})", "the last row is the sum, and the shelf's number"
    assert len(run.dataframe) == 2, "the sets as logged, and the heads of this part"


def test_what_every_part_got_adds_up_to_the_shelf(sample_store):
    """Of every athlete and part of a week: sums over exercises, and over sets, are the kept doses."""
    store = store_at(sample_store)
    for athlete in people.athletes(store):
        week = sets_of(store.path, store.stamp, athlete).between(WEEK, WEEK + timedelta(days=6))
        gave = week.gave().set_index("part")
        kept = balance.parts(store, athlete, WEEK).set_index("part")
        trained = kept[kept["dose"] > 0]
        assert set(gave.index) == set(trained.index) and len(trained) > 5
        for part in trained.index:
            source = week.came_from(part)
            for name in ("dose", "low", "high"):
                assert source[name].sum() == pytest.approx(kept.loc[part, name]) == gave.loc[part, name]
            assert gave.loc[part, "direct"] == pytest.approx(kept.loc[part, "direct_sets"])


def test_a_week_of_load_is_picked_and_shown(open_page, small_store):
    run = open_page(small_store, LOAD, athlete="Robin")
    assert unescaped(run.title[0].value) == "Whole body: 74 hard sets, usual 46: a large spike"
    run.selectbox(key="of_week").set_value(kept_store.WEEKS[4].isoformat()).run()
    assert unescaped(run.title[0].value) == "Whole body: 27 hard sets, usual 46: a deload"
    assert run.query_params["of_week"] == kept_store.WEEKS[4].isoformat() and run.query_params["week"] == kept_store.LAST_WEEK.isoformat()
    assert f"Week of {kept_store.WEEKS[4].day} " in all_text(run)


def test_a_picture_makes_no_file_before_it_is_asked_for(open_page, small_store, monkeypatch):
    def never(*_):
        raise AssertionError("nothing was asked for")

    for name in ("vegalite_to_svg", "vegalite_to_png"):
        monkeypatch.setattr(vl_convert, name, never)
    run = open_page(small_store, BALANCE, athlete="Robin")
    assert not run.exception
    run.session_state["take_shelf"] = True
    files = [node.proto for node in nodes(run.run().main) if node.type == "download_button"]
    assert not run.exception and len(files) >= 4 and all(file.deferred_file_id for file in files)
