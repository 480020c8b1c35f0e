"""The numbers of a ribbon and of a stair, two stretches side by side, and bests that one set is the best of."""

from __future__ import annotations

import re
from datetime import date

import pandas as pd

from dashboard.charts.block_rows import value_rows, week_rows
from dashboard.charts.set_rows import heaviest_rows
from dashboard.charts.taken_rows import of_ribbon, of_stair
from dashboard.queries import blocks, ribbon, stair
from dashboard.queries.kept import store_at
from tests.page_runs import all_text, told, unescaped

WEEK = date(2026, 9, 28)


def test_the_numbers_of_a_ribbon_are_those_that_are_drawn(sample_store):
    drawn = ribbon.ribbon(store_at(sample_store), "Oskar", WEEK)
    rows = of_ribbon(drawn)
    assert rows["hard sets"].tolist() == drawn.weeks["done"].tolist() and len(rows) == 12
    assert [text for text in rows["decided"] if text] == [" ".join(drawn.pins.loc[pins, "text"]) for pins in _by_week(drawn.pins)]
    assert not [name for name in rows if "_" in name]


def _by_week(pins: pd.DataFrame) -> list:
    weeks = pins["date"].dt.to_period("W")
    return [weeks == week for week in weeks.unique()]


def test_the_numbers_of_a_stair_are_its_sessions_with_the_step_of_each(sample_store):
    store = store_at(sample_store)
    which = next(iter(stair.stairs(store, "Mina", WEEK)))
    drawn = stair.stair(store, "Mina", which, WEEK)
    rows = of_stair(drawn)
    assert len(rows) == len(drawn.sessions) and set(rows["step"]) == set(drawn.steps["name_"]) and rows["session"].is_monotonic_increasing
    assert rows["best set"].tolist() == drawn.sessions.sort_values("date", kind="stable")["told"].tolist()
    assert not [name for name in rows if "_" in name]


def test_numbers_of_repetitions_of_one_set_stand_in_one_row():
    found = pd.DataFrame({"repetitions": [1, 2, 3, 4], "load_kg": [70.0, 70.0, 60.0, 60.0], "reps": [2, 2, 5, 5], "date": pd.to_datetime(["2026-03-02"] * 4)})
    assert heaviest_rows(found, False)["repetitions"].tolist() == ["1 to 2", "3 to 4"]
    assert heaviest_rows(found.iloc[:1], False)["repetitions"].tolist() == ["1"]


def test_two_stretches_are_headed_by_their_days_and_whole_weeks_the_older_first(sample_store, open_page):
    store = store_at(sample_store)
    pair = [(date(2026, 8, 3), date(2026, 8, 24)), (date(2026, 9, 7), WEEK)]
    rows = week_rows([blocks.weeks(store, "Oskar", one) for one in pair], pair)
    assert list(rows)[1:] == ["older: 3 August – 30 August 2026, 4 whole weeks", "newer: 7 September – 4 October 2026, 4 whole weeks"]
    assert blocks.usual(["2026-09-07_2026-09-28", "2026-08-10_2026-08-31"]) == ("2026-08-10_2026-08-31", "2026-09-07_2026-09-28")
    run = open_page(sample_store, "app_pages/look_up.py", athlete="Oskar", first="2026-09-07_2026-09-28", second="2026-08-03_2026-08-24")
    run.session_state["look_up_section"] = "blocks"
    run.query_params["first"], run.query_params["second"] = "2026-09-07_2026-09-28", "2026-08-03_2026-08-24"
    run.run()
    assert not run.exception
    drawn = [words for words in told(run) if words.startswith("Estimated maximum, ")]
    values = [blocks.values(store, "Oskar", one, "lb").query("measure == 'e1rm'") for one in pair]
    assert len(drawn) == 1 and len(value_rows(*values)) > 3
    one = value_rows(*values).iloc[0]
    assert re.search(rf"{one['upper']:.1f}".rstrip("0").rstrip(".") + r" .*the older; " + rf"{one['lower']:.1f}".rstrip("0").rstrip("."), drawn[0])
    assert "Everything above is of whole weeks" in unescaped(all_text(run))
