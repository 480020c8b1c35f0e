"""Wherever a dose of a head, part or muscle is told its range is told too, and what cannot be told apart within the ranges is said.

A range is the dose with each credit one tier lower and higher (decided here). A squat trains the vasti directly: 24 sets are 24 (12 to 24),
since a credit of 1 falls to 0.5 and rises no further.
"""

from __future__ import annotations

import json
import shutil
from datetime import timedelta
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from dashboard.charts import weekly
from dashboard.charts.head_rows import muscle_rows
from dashboard.command.main import main
from dashboard.look import LIGHT
from dashboard.measures.balance import weakest
from dashboard.measures.load_change import climbs, of_late
from dashboard.queries import balance, load
from dashboard.queries.kept import store_at
from dashboard.queries.review import review
from dashboard.sentences import plan
from dashboard.sentences.dose import RANGES, has_range
from dashboard.sentences.load import LIMITS, combined
from dashboard.standing.refresh import refresh
from etl.store import writing
from tests import kept_store
from tests.logs import ask
from tests.page_runs import all_text, measures, unescaped
from tests.test_load_flags import FIRST, TODAY, back, day, log_of, raised, steady, week
from tests.test_own_changes import take_in

SPIKE = FIRST + timedelta(weeks=8)
OF_A_WEEK = ("spike", "large_spike", "return", "new_area")
BOTH = {"load_low", "load_high"}


@pytest.fixture(scope="module")
def jumped(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Eight weeks of 12 squats, then twice as many."""
    return log_of(tmp_path_factory.mktemp("jumped") / "s.duckdb", steady(8) + week(8, 12))


def of_sample(sample_store: Path, *kinds: str) -> list[tuple]:
    """athlete, week, kind, subject, numbers, message of each look that raised one."""
    found = ask(sample_store, f"select athlete, week, kind, subject, numbers, message from kept_raised where kind in {kinds + ('',)}")
    return [(athlete, monday, kind, subject, json.loads(numbers), message) for athlete, monday, kind, subject, numbers, message in found]


def ranges_of(sample_store: Path) -> dict[tuple, tuple[float, float]]:
    return {(athlete, monday, part): (low, high) for athlete, monday, part, low, high in ask(sample_store, "select athlete, week, part, low, high from kept_parts")}


# --- changes of load ---------------------------------------------------------------------------------------------------------------------------------


def test_a_spike_of_a_part_tells_its_range_and_one_of_the_whole_body_none(jumped: Path):
    found = raised(jumped, "large_spike")
    part, whole = found["large_spike", "vasti", 8], found["large_spike", "whole_body", 8]
    assert (part["numbers"]["load_low"], part["numbers"]["load"], part["numbers"]["load_high"]) == (12, 24, 24)
    assert part["message"].startswith("Vasti: 24 hard sets this week (12 to 24), usual is 12 (+100 %), and")
    assert not BOTH & set(whole["numbers"]) and not has_range(whole["message"])


def test_a_session_tells_its_own_range_not_the_week_s(store: Path):
    found = raised(log_of(store, steady(8) + day(56, 9) + day(59, 3)), "session_spike")
    assert found["session_spike", "vasti", 8]["message"].startswith("Vasti: 9 hard sets in one session (4.5 to 9); the largest")


def test_a_climb_tells_the_range_of_its_mean(store: Path):
    """Means of 14 and 10 sets over four active weeks; the deload of 4 sets between them is in neither."""
    rows = [row for number, count in enumerate([5, 5, 5, 5, 2, 7, 7, 7, 7]) for row in week(number, count)]
    flag = raised(log_of(store, rows), "climb", subject="vasti")["climb", "vasti", 8]
    assert (flag["numbers"]["last_four"], flag["numbers"]["last_four_low"], flag["numbers"]["last_four_high"]) == (14, 7, 14)
    assert flag["message"].startswith("Vasti: 14 hard sets a week (7 to 14) over the last four active weeks, 10 over the four before")


def test_the_mean_of_late_is_that_of_the_same_weeks_as_the_climb_s():
    rng = np.random.default_rng(4)
    loads = np.cumsum(rng.uniform(0, 2, (40, 6)), axis=0) * (rng.random((40, 6)) > 0.2)
    found, late, _ = climbs(loads)
    at = np.nonzero(found)
    assert len(at[0]) > 5
    assert of_late(loads, loads, *at) == pytest.approx(late[at])
    assert of_late(loads, 3 * loads, *at) == pytest.approx(3 * late[at])


def test_a_return_and_a_new_area_tell_their_range(store: Path):
    returned = raised(log_of(store, back(4, [1.2])), "return", subject="vasti")
    (flag,) = returned.values()
    assert (flag["numbers"]["load_low"], flag["numbers"]["load_high"]) == (12, 24) and "had 24 hard sets (12 to 24), 120 % of the 20 before it" in flag["message"]
    store = log_of(store.with_name("b.duckdb"), steady(9) + week(8, 3, exercise="Bench press"))
    new = raised(store, "new_area")["new_area", "chest_sternal", 8]
    assert [new["numbers"][f"session_sets{end}"] for end in ("", "_low", "_high")] == [3, 1.5, 3]
    assert new["message"].startswith("Chest: 6 hard sets this week (3 to 6), no usual yet; up to 3 sets and 15 repetitions in a session.")


def test_every_flag_about_a_week_s_load_of_a_part_has_the_range_that_is_kept_of_that_week(sample_store: Path):
    kept = ranges_of(sample_store)
    flags = of_sample(sample_store, *OF_A_WEEK)
    assert len({kind for _, _, kind, *_ in flags}) > 2
    for athlete, monday, _, subject, numbers, message in flags:
        if subject == "whole_body":
            assert not BOTH & set(numbers) and not has_range(message)
        else:
            assert (numbers["load_low"], numbers["load_high"]) == pytest.approx(kept[athlete, monday, subject], abs=1e-4)
            assert has_range(message) and numbers["load_low"] <= numbers["load"] <= numbers["load_high"]


def test_the_one_message_says_once_and_last_what_a_range_is(jumped: Path):
    message = review(store_at(jumped), "Ida", SPIKE)["message"]
    assert message.endswith(f"{LIMITS} {RANGES}") and message.count(RANGES) == 1 and message.count(" to 24)") > 1
    assert combined(["Whole body: 40 hard sets this week, usual is 20 (+100 %)."]).endswith(LIMITS)


def test_no_range_is_read_into_other_brackets():
    for text in ("Pull-up (chest to bar): check the entry.", "It rises by 0.6 % a week (80 % interval 0.2 to 1.0).", "Whole body: 74 hard sets (+61 %)."):
        assert not has_range(text)


# --- bands and changes -------------------------------------------------------------------------------------------------------------------------------


def test_a_part_below_its_band_tells_the_range_of_its_mean(store: Path):
    rows = steady(8, 4) + [row for number in range(8) for row in week(number, 1, exercise="Seated leg curl")]
    found = raised(log_of(store, rows), "below_band", subject="hamstrings_two_joint")
    (flag,) = found.values()
    numbers = flag["numbers"]
    weeks = ask(store, f"select avg(dose), avg(low), avg(high) from kept_parts where part = 'hamstrings_two_joint' "
                       f"and week between '{FIRST + timedelta(weeks=2)}' and '{FIRST + timedelta(weeks=5)}'")
    assert (numbers["mean"], numbers["mean_low"], numbers["mean_high"]) == pytest.approx(weeks[0])
    assert f"{numbers['mean']:g} hard sets a week ({numbers['mean_low']:g} to {numbers['mean_high']:g}) over the last 4 full weeks" in flag["message"]


def test_a_change_says_how_sure_the_dose_is_that_it_rests_on():
    assert plan.add_sets("lats", 1.0, 1, "", 3.0, 4.0, 1.5, 5.0)[1] == "It had 3 hard sets (1.5 to 5) and its band begins at 4; 1 short."
    assert plan.trim("lats", 24.0, 20.0, 12.0, 25.5)[1] == "It had 24 hard sets (12 to 25.5), and its band ends at 20."
    assert plan.after_jump("lats", 24.0, 12.0, 12.0, 24.0)[1].startswith("This week had 24 hard sets (12 to 24), 2 times the usual 12;")
    assert plan.after_jump("whole body", 80.0, 40.0, np.nan, np.nan)[1].startswith("This week was 2 times the usual 40;")
    assert plan.add_sets("lats", 4.0, 2, "", 0.0, 4.0, 0.0, 0.0)[1].startswith("It had 0 hard sets and its band")


def test_the_changes_of_a_week_tell_the_ranges_that_are_kept(sample_store: Path):
    kept = ranges_of(sample_store)
    told = [row for row in ask(sample_store, "select athlete, week, subject, reason from kept_next where reason like '%its band%'") if row[3].startswith("It had")]
    assert len(told) > 10
    for athlete, monday, part, reason in told:
        low, high = kept[athlete, monday, part]
        assert has_range(reason) == (low < high), reason


def test_a_week_whose_flags_are_all_of_load_has_no_other_lines(sample_store: Path, capsys: pytest.CaptureFixture):
    main(["review", "--athlete", "Oskar", "--week", "2026-07-27", "--store", str(sample_store)])
    out = capsys.readouterr().out
    assert "more about the load of single parts" in out and "nan" not in out


def test_words_of_the_command_say_what_brackets_are(jumped: Path, capsys: pytest.CaptureFixture):
    main(["flags", "--athlete", "Ida", "--store", str(jumped)])
    assert capsys.readouterr().out.count(RANGES) == 1
    main(["review", "--athlete", "Ida", "--week", SPIKE.isoformat(), "--store", str(jumped)])
    out = capsys.readouterr().out
    assert "one tier lower or higher" in out and "had 24 hard sets (12 to 24)" not in out, "the whole body jumped, and it has no range"


# --- muscles -----------------------------------------------------------------------------------------------------------------------------------------


def test_a_muscle_has_a_range_in_the_store_in_json_and_in_the_table(sample_store: Path):
    assert ask(sample_store, "select count(*) from kept_muscles where low is null or high is null or not low <= dose or not dose <= high") == [(0,)]
    (athlete, monday), = ask(sample_store, "select athlete, max(week) from kept_weeks group by athlete order by athlete limit 1")
    found = {m["muscle"]: m for m in review(store_at(sample_store), athlete, monday)["muscles"]}
    rows = muscle_rows(balance.muscles(store_at(sample_store), athlete, monday)).set_index("muscle")
    assert len(rows) > 5
    for muscle, row in rows.iterrows():
        low, high = (float(end) for end in row["range, sets"].split(" to "))
        assert (low, high) == pytest.approx((found[muscle]["low"], found[muscle]["high"]), abs=0.05)


def test_a_muscle_s_range_holds_those_of_its_parts(sample_store: Path):
    """Per set the highest credit among the heads: never below any part's, never above all of them together."""
    found = ask(sample_store, "select m.low, m.high, max(p.low), max(p.high), sum(p.low), sum(p.high) from kept_muscles m join kept_parts p "
                              "using (athlete, week, muscle) group by athlete, week, muscle, m.low, m.high")
    assert len(found) > 100
    assert all(most_low <= low + 1e-9 <= sum_low + 2e-9 and most_high <= high + 1e-9 <= sum_high + 2e-9
               for low, high, most_low, most_high, sum_low, sum_high in found)


# --- the picture of a part's load --------------------------------------------------------------------------------------------------------------------


def test_the_load_of_a_part_is_drawn_with_a_line_for_its_range(jumped: Path):
    series = load.series(store_at(jumped), "Ida", "vasti", SPIKE, 26)
    chart = weekly.weekly(series, LIGHT).to_dict()
    ranged = series[series["high"] > series["low"]]
    (lines,) = [layer for layer in chart["layer"] if layer["mark"]["type"] == "rule"]
    assert [lines["encoding"][channel]["field"] for channel in ("x", "x2", "y", "y2")] == ["x", "x2", "y", "y2"]
    upright = [row for row in chart["datasets"][lines["data"]["name"]] if row["y2"] > row["y"]]
    assert [(row["y"], row["y2"]) for row in upright] == list(zip(ranged["low"], ranged["high"], strict=True)) and len(ranged)
    assert all(row["x"] == row["x2"] == ranged.index[n] + 0.5 and row["strokeWidth"] > 0 for n, row in enumerate(upright))
    rows = [row for rows in chart["datasets"].values() for row in rows if "told_range" in row]
    assert rows[-1]["told_range"] == "12 to 24" and all(row["y2"] >= high for row, high in zip(rows, series["high"], strict=True))
    assert any(tip["field"] == "told_range" for layer in chart["layer"] for tip in layer["encoding"].get("tooltip", []))
    words = weekly.in_words(series, "vasti")
    assert "2 March 2026: 24 (12 to 24), usual 12." in words and "large spike, 24 sets (12 to 24)" in words
    assert weekly.RANGED in weekly.reading(series)


def test_the_load_of_the_whole_body_has_no_range(jumped: Path):
    series = load.series(store_at(jumped), "Ida", "whole_body", SPIKE, 26)
    assert "told_range" not in json.dumps(weekly.weekly(series, LIGHT).to_dict()["layer"])
    assert not has_range(weekly.in_words(series, "whole body")) and weekly.RANGED not in weekly.reading(series)


def test_the_page_of_a_part_s_load_explains_and_links_its_range(open_page, small_store):
    run = open_page(small_store, "app_pages/load.py", athlete="Robin")
    assert "dose_range" not in measures(run)
    run.selectbox(key="of").set_value("lats").run()
    assert weekly.RANGED.strip() in unescaped(all_text(run))
    assert "dose_range" in measures(run)


# --- what cannot be told apart -----------------------------------------------------------------------------------------------------------------------


def test_the_weakest_against_a_plain_loop():
    rng = np.random.default_rng(11)
    share = rng.integers(0, 6, (200, 7)) / 2.0
    low, high = share * rng.uniform(0.3, 1, share.shape), share * rng.uniform(1, 2, share.shape)
    share[rng.random(share.shape) < 0.3] = np.inf
    share[5] = np.inf
    part, others = weakest(share, low, high)
    for i, row in enumerate(share.tolist()):
        asked = [p for p, value in enumerate(row) if value < np.inf]
        first = min(asked, key=lambda p: (row[p], p), default=-1)
        assert part[i] == first
        assert np.flatnonzero(others[i]).tolist() == [p for p in asked if p != first and (low[i, p] < high[i, first] or row[p] == row[first])]


def test_the_weakest_part_names_those_it_cannot_be_told_from(sample_store: Path):
    store = store_at(sample_store)
    for athlete, monday in ask(sample_store, "select athlete, max(week) from kept_weeks group by athlete"):
        found = review(store, athlete, monday)
        parts = {p["part"]: p for p in found["parts"] if p["in_focus"]}
        own = parts[found["weakest_part"]]
        share = {part: p["dose"] / p["band_low"] for part, p in parts.items()}
        others = [part for part, p in parts.items() if part != own["part"]
                  and (p["low"] / p["band_low"] < own["high"] / own["band_low"] or share[part] == share[own["part"]])]
        assert sorted(found["weakest_not_distinguishable"]) == sorted(others)
        assert [share[part] for part in found["weakest_not_distinguishable"]] == sorted(share[part] for part in others), "the nearest first"


def test_a_band_that_begins_at_nothing_is_never_the_weakest(store: Path, capsys: pytest.CaptureFixture):
    """A target of a part from 0 on asks for nothing, however little the part had."""
    log_of(store, steady(8))
    weak = review(store_at(store), "Ida", SPIKE - timedelta(weeks=1))["weakest_part"]
    take_in(store, f"change,part,low,high\ntarget,{weak},0,4\n")
    refresh(store, today=TODAY)
    assert review(store_at(store), "Ida", SPIKE - timedelta(weeks=1))["weakest_part"] != weak
    main(["review", "--athlete", "Ida", "--store", str(store)])
    assert "Parts in focus: " in capsys.readouterr().out


def test_the_week_s_page_and_the_command_name_two_and_count_the_others(sample_store: Path, capsys: pytest.CaptureFixture):
    main(["review", "--athlete", "Oskar", "--store", str(sample_store)])
    (line,) = [line for line in capsys.readouterr().out.splitlines() if line.startswith("Parts in focus:")]
    assert ", the weakest is " in line and "(as far as the credits tell: " in line and line.endswith(" more may be as weak)") and line.count(",") == 2


def test_parts_of_one_muscle_that_cannot_be_told_apart_are_named_together():
    """Side and front delt overlap; the rear delt does not; the lats are of another muscle than all of them."""
    parts = pd.DataFrame([("deltoid_clavicular", 8.0, 4.0, 10.0), ("deltoid_acromial", 10.0, 9.0, 11.0), ("deltoid_spinal", 1.0, 0.5, 2.0), ("lats", 9.0, 4.5, 12.0)],
                         columns=["part", "dose", "low", "high"])
    assert balance.not_distinguishable(parts) == [("side delt", "front delt")]
    assert balance.not_distinguishable(parts.iloc[[0, 3]]) == balance.not_distinguishable(parts.iloc[:0]) == []


def test_pages_and_words_say_which_parts_cannot_be_told_apart(open_page, small_store, sample_store: Path, tmp_path: Path, capsys: pytest.CaptureFixture):
    """In the small store the deltoid's parts lie far apart: 6, 10 and 1.5 with little range."""
    assert "the credits cannot tell" not in all_text(open_page(small_store, "app_pages/balance.py", athlete="Robin"))
    wide = shutil.copy(small_store, tmp_path / "wide.duckdb")
    with writing(wide) as con:
        con.execute("update kept_parts set low = dose / 3, high = dose * 2 where part like 'deltoid%'")
    for page, pairs in (("app_pages/balance.py", "side delt and front delt; front delt and rear delt."), ("app_pages/this_week.py", "front delt and rear delt.")):
        text = unescaped(all_text(open_page(wide, page, athlete="Robin")))
        assert text.count(f"Which has less the credits cannot tell: {pairs}") == 1 == text.count("the credits cannot tell: "), page
    main(["review", "--athlete", "Mina", "--store", str(sample_store)])
    assert capsys.readouterr().out.count("  Which has less the credits cannot tell: ") == 1


def test_what_the_small_store_shows_of_a_muscle(small_store):
    (row,) = muscle_rows(balance.muscles(store_at(small_store), "Robin", kept_store.LAST_WEEK)).to_dict("records")
    assert (row["hard sets"], row["range, sets"]) == ("15", "11.5 to 18")
