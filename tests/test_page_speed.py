"""What makes the pages fast changes nothing: a chart goes to the browser as it is, and a connection that a page shares keeps nobody out for long."""

from __future__ import annotations

import threading
import time
from datetime import date

import altair as alt
import pandas as pd
import pytest

from dashboard.charts import planks, rates, ribbon, shelf, stair, weekly
from dashboard.charts.picked import pickable
from dashboard.look import LIGHT, finish, layered, spec
from dashboard.queries import balance, kept, load, strength
from dashboard.queries import ribbon as ribbon_of
from dashboard.queries import stair as stair_of
from dashboard.queries import week as week_of
from dashboard.queries.kept import hold, rows, store_at
from dashboard.queries.words import WHOLE_BODY
from dashboard.sentences.decimal_mark import COMMA, POINT, mark, written_with
from etl.store import reading, writing
from tests import kept_store

ROBIN = "Robin", kept_store.LAST_WEEK


def drawn(store) -> list[alt.LayerChart]:
    at = store_at(store)
    parts = balance.parts(at, *ROBIN)
    return [weekly.weekly(load.series(at, "Robin", WHOLE_BODY, kept_store.LAST_WEEK, 12), LIGHT), shelf.shelf(parts, balance.history(at, *ROBIN), LIGHT),
            rates.rates(strength.parts(at, *ROBIN), LIGHT), ribbon.ribbon(ribbon_of.ribbon(at, *ROBIN), LIGHT)]


def of_the_sample(store) -> list[alt.LayerChart]:
    """A stair of each kind, a ribbon with pins, blocks and goals, and planks."""
    at, week = store_at(store), date(2026, 9, 28)
    stairs = [stair_of.stair(at, who, next(iter(stair_of.stairs(at, who, week))), week) for who in ("Oskar", "Tilde")]
    assert {of.kind for of in stairs} == {"loads", "ladder"}
    pair = pd.DataFrame([{"part": "lats", "upper": 8.0, "upper_low": 6.0, "upper_high": 9.0, "lower": 5.5, "lower_low": 4.0, "lower_high": 7.0}])
    return [*(stair.stair(of, LIGHT) for of in stairs), ribbon.ribbon(ribbon_of.ribbon(at, "Mina", week), LIGHT), planks.planks(pair, ("then", "now"), LIGHT)]


def test_what_is_sent_is_what_altair_would_write(small_store, sample_store):
    """The same marks, encodings and dress, layer by layer, and a frame for each; only the names of the frames are others."""
    for chart in [*drawn(small_store), *of_the_sample(sample_store)]:
        whole, sent = chart.to_dict(), spec(chart)
        assert [without_data(layer) for layer in sent["layer"]] == [without_data(layer) for layer in whole["layer"]]
        assert {key: sent[key] for key in sent.keys() - {"layer", "datasets"}} == {key: whole[key] for key in whole.keys() - {"layer", "datasets", "data"}}
        frames = {id(layer.data) for layer in chart.layer}
        assert len(sent["datasets"]) == len(frames) <= len(chart.layer)
        assert all(sent["datasets"][layer["data"]["name"]] is own.data for layer, own in zip(sent["layer"], chart.layer, strict=True))


def test_layers_without_copies_are_what_altair_makes_of_them():
    one, two = (alt.Chart(pd.DataFrame({"a": [n]})).mark_point().encode(alt.X("a:Q")) for n in (1, 2))
    assert layered(one, None, two).to_dict()["layer"] == alt.layer(one, two).to_dict()["layer"]


def test_a_selection_stands_above_the_layers_and_names_its_own():
    """As Altair writes it, but for the name that it makes up for the layer."""
    frame = pd.DataFrame({"a": [1], "key": ["x"]})

    def pair() -> tuple[alt.Chart, alt.Chart]:
        return alt.Chart(frame).mark_point().encode(alt.X("a:Q")), pickable(alt.Chart(frame).mark_rect(fillOpacity=0).encode(alt.X("a:Q")))

    ours, theirs = spec(layered(*pair())), alt.layer(*pair()).to_dict()
    made_up = theirs["params"][0]["views"][0]
    assert ours["params"] == [theirs["params"][0] | {"views": ["layer_1"]}]
    assert [layer.get("name") for layer in ours["layer"]] == [None, "layer_1"] and theirs["layer"][1]["name"] == made_up
    assert [layer["mark"] for layer in ours["layer"]] == [layer["mark"] for layer in theirs["layer"]]


def test_a_chart_of_one_layer_is_sent_too():
    frame = pd.DataFrame({"a": [1]})
    sent = spec(finish(alt.Chart(frame).mark_point().encode(alt.X("a:Q")), LIGHT, 100))
    assert sent["datasets"] == {sent["data"]["name"]: frame} and sent["height"] == 100 and "layer" not in sent


def test_a_page_that_reads_and_then_writes_waits_no_longer_than_it_is_held(tmp_path):
    path = kept_store.build(tmp_path / "held.duckdb", ("Robin",))
    store = hold(path)
    assert store == store_at(path)
    assert len(rows(store, "select athlete from athletes")) == 1
    began = time.monotonic()
    with writing(path) as con:
        con.execute("insert into athletes (athlete) values ('Sam')")
    assert time.monotonic() - began < kept.HELD_S + 5
    assert len(rows(store_at(path), "select athlete from athletes where ? = 1", 1)) == 2, "the connection that was let go is not asked"


def test_queries_of_a_page_share_one_connection_until_it_is_let_go(tmp_path, monkeypatch):
    path = kept_store.build(tmp_path / "held.duckdb", ("Robin",))
    opened = []
    monkeypatch.setattr(kept, "reading", lambda where: opened.append(where) or reading(where))
    store = hold(path)
    for n in range(5):
        rows(store, "select count(*) as n from kept_weeks where ? = ?", n, n)
    assert len(opened) == 1
    kept._HERE.held.let_go()
    rows(store, "select count(*) as n from kept_weeks where ? = ?", 9, 9)
    assert len(opened) == 2


def test_another_store_and_another_thread_are_not_asked_of_the_held_connection(tmp_path):
    one, two = (store_at(kept_store.build(tmp_path / f"{name}.duckdb", (name,))) for name in ("Robin", "Sam"))
    hold(one.path)
    assert rows(two, "select athlete from athletes where 2 = 2")["athlete"].tolist() == ["Sam"]
    seen = []
    other = threading.Thread(target=lambda: seen.append(getattr(kept._HERE, "held", None)))
    other.start()
    other.join()
    assert seen == [None]
    kept._HERE.held.let_go()


def test_what_is_remembered_is_made_anew_for_a_changed_store_and_another_decimal_mark(tmp_path):
    path = kept_store.build(tmp_path / "robin.duckdb", ("Robin",))
    made = []

    @kept.remembered
    def make(store, week):
        made.append((store, week))
        return f"{mark()} {week}"

    assert [make(store_at(path), 1) for _ in range(2)] == [f"{POINT} 1"] * 2 and len(made) == 1
    with written_with(COMMA):
        assert make(store_at(path), 1) == f"{COMMA} 1"
    with writing(path) as con:
        con.execute("insert into athletes (athlete) values ('Sam')")
    assert make(store_at(path), 1) == f"{POINT} 1" and len(made) == 3


def test_flags_of_weeks_that_are_read_together_are_those_of_each_week_by_itself(small_store):
    """Against the same asked of one week: of each flag that holds then, what its last look up to that week said."""
    store = store_at(small_store)
    found = 0
    for monday in kept_store.WEEKS:
        flags, looks = (rows(store, f"select * from {table} where athlete = 'Robin' and week <= ?", monday) for table in ("kept_flags", "kept_raised"))
        told = {}
        for flag in flags.itertuples():
            if pd.isna(flag.until) or flag.until.date() >= monday:
                of_it = looks[(looks["kind"] == flag.kind) & (looks["subject"] == flag.subject) & (looks["week"] >= flag.week)].sort_values("week")
                told[flag.kind, flag.subject, flag.week] = of_it.iloc[-1]["message"] if len(of_it) else flag.message
        shown = kept.of_span(store, week_of.FLAGS, "Robin", monday, "shown")
        assert {(row.kind, row.subject, row.week): row.message for row in shown.itertuples()} == told and len(shown) == len(told)
        found += len(told)
    assert found


@pytest.fixture(autouse=True)
def nothing_is_held():
    yield
    held = getattr(kept._HERE, "held", None)
    if held:
        held.let_go()


def without_data(layer: dict) -> dict:
    return {key: value for key, value in layer.items() if key not in ("data", "name")}


def test_the_end_of_the_program_waits_for_a_held_connection(small_store):
    """A page runs in a daemon thread, and a thread that is cut off inside the database ends the program with a fault."""
    page = threading.Thread(target=hold, args=(small_store,), daemon=True)
    page.start()
    page.join()
    closing = [one for one in threading.enumerate() if isinstance(one, threading.Timer)]
    assert closing and not any(one.daemon for one in closing)
