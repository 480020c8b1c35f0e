"""The climb of a ladder and one side against the other: what is asked of the store, drawn and shown."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pandas as pd
import pytest
from streamlit.testing.v1 import AppTest

from dashboard.charts import ladder as ladder_chart
from dashboard.charts import side_history as side_chart
from dashboard.charts import strength as strength_chart
from dashboard.look import DARK, LIGHT
from dashboard.queries import ladder, side_history
from dashboard.queries.kept import Store, store_at
from dashboard.standing.refresh import refresh
from etl import tables
from etl.importing import Answers, keep, understand
from etl.store import writing
from etl.store.athletes import say
from tests import kept_store
from tests.page_runs import all_text, unescaped

MONDAY = date(2026, 1, 5)
LAST = MONDAY + timedelta(weeks=19)


def log() -> str:
    """A climb: incline push-up, push-up, weighted dip over dip with rising loads, a tuck then a straddle lever; one arm falls behind."""
    rows = ["Date,Exercise,Set,Side,Load (kg),Reps,Hold (s),RIR,Body mass (kg)"]
    for week in range(20):
        day = MONDAY + timedelta(weeks=week)
        rows.append(f"{day},Incline push-up,1,,,{10 + week},,2,70" if week < 8 else f"{day},Push-up,1,,,{6 + week // 2},,2,70")
        rows.append(f"{day},Bar dip,1,,,{8 + week % 3},,2,70" if week < 5 else f"{day},Weighted dip,1,,{2.5 * (week // 3)},6,,2,70")
        rows.append(f"{day},Tuck front lever,1,,,,{10 + week},,70" if week < 12 else f"{day},Straddle front lever,1,,,,{week - 6},,70")
        left = 20 if week < 8 else 15
        rows += [f"{day},One-arm DB press,1,L,{left},8,,2,70", f"{day},One-arm DB press,1,R,20,8,,2,70"]
        rows += [f"{day},Pistol squat,1,{side},,8,,2,70" for side in "LR"]
    return "\n".join(rows) + "\n"


@pytest.fixture(scope="module")
def climbed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("ladder") / "s.duckdb"
    say(path, "Ida", level="intermediate")
    keep(path, understand([("ida.csv", log().encode())], Answers(athlete="Ida"), today=date(2026, 11, 1)))
    refresh(path, today=date(2026, 11, 1))
    return path


@pytest.fixture
def asked(climbed: Path) -> Store:
    return store_at(climbed)


# --- which ladders, and what of each step ------------------------------------------------------------------------


def test_a_ladder_is_shown_from_its_second_step_on(asked: Store):
    assert set(ladder.ladders(asked, "Ida", LAST)) == {"push_up", "dip", "front_lever"}
    assert set(ladder.ladders(asked, "Ida", MONDAY + timedelta(weeks=6))) == {"dip"}
    assert ladder.ladders(asked, "Ida", MONDAY) == {}
    assert ladder.climb(asked, "Ida", "planche", LAST).empty


def test_each_step_has_one_measure_and_a_point_a_session(asked: Store):
    push = ladder.climb(asked, "Ida", "push_up", LAST)
    assert push.groupby("name")["measure"].agg(set).to_dict() == {"incline push-up": {"reps"}, "push-up": {"reps"}}
    # Repetitions and those in reserve.
    assert push.loc[push["name"] == "incline push-up", "value"].tolist() == [12.0 + week for week in range(8)]
    assert push["step"].is_monotonic_increasing and not push.duplicated(["step", "date"]).any()
    dip = ladder.climb(asked, "Ida", "dip", LAST)
    # Several loads are put on one scale by the estimate.
    assert dip.groupby("name")["measure"].agg(set).to_dict() == {"dip": {"reps"}, "weighted dip": {"per_kg"}}
    lever = ladder.climb(asked, "Ida", "front_lever", LAST)
    assert set(lever["measure"]) == {"hold"} and lever["value"].iloc[0] == 10


def test_a_climb_knows_nothing_of_later_weeks(asked: Store):
    week = MONDAY + timedelta(weeks=9)
    early = ladder.climb(asked, "Ida", "push_up", week)
    assert early["date"].max().date() == week
    assert len(early) == 10


# --- drawn ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["push_up", "dip", "front_lever"])
@pytest.mark.parametrize("colours", [LIGHT, DARK])
def test_lanes_rise_with_the_steps_and_hold_their_points(asked: Store, name: str, colours):
    sessions = ladder.climb(asked, "Ida", name, LAST)
    spec = ladder_chart.ladder(sessions, colours).to_dict()
    lanes, points = sorted(spec["datasets"].values(), key=len)
    order = sessions.drop_duplicates("step").sort_values("step")["name"].tolist()
    assert [lane["name"] for lane in sorted(lanes, key=lambda lane: -lane["top"])] == order
    by_name = {lane["name"]: lane for lane in lanes}
    assert len(points) == len(sessions)
    for point in points:
        lane = by_name[point["name"]]
        assert lane["top"] <= point["y_high"] <= point["y"] <= point["y_low"] <= lane["foot"]
        assert lane["start"] <= point["date"] <= lane["end"]
    # The higher the value, the higher the point.
    step = sessions[sessions["name"] == order[0]]
    drawn = [point["y"] for point in points if point["name"] == order[0]]
    assert drawn.index(min(drawn)) == step["value"].reset_index(drop=True).idxmax()
    assert spec["layer"][0]["encoding"]["x"]["axis"]["title"] == "session"


def test_a_lane_says_since_when_from_what_to_what_in_which_unit(asked: Store):
    spec = ladder_chart.ladder(ladder.climb(asked, "Ida", "dip", LAST), LIGHT).to_dict()
    said = {row["name"]: row["said"] for rows in spec["datasets"].values() for row in rows if "said" in row}
    assert said["dip"] == f"from 5 January: 10{ladder_chart.ARROW}11 repetitions"
    assert said["weighted dip"].startswith("from 9 February: ") and said["weighted dip"].endswith("× body mass")
    words = ladder_chart.in_words(ladder.climb(asked, "Ida", "front_lever", LAST))
    assert words == ("The steps of the ladder, from the lowest. tuck front lever from 5 January 2026, 12 sessions, 10 to 21 s; "
                     "straddle front lever from 30 March 2026, 8 sessions, 6 to 13 s.")


def test_one_session_alone_can_be_drawn_and_none_is_refused(asked: Store):
    sessions = ladder.climb(asked, "Ida", "push_up", LAST)
    chart = ladder_chart.ladder(sessions.head(1), LIGHT).to_dict()
    assert all(pd.notna(row["y"]) for rows in chart["datasets"].values() for row in rows if "y" in row)
    with pytest.raises(ValueError):
        ladder_chart.ladder(sessions.head(0), LIGHT)


def test_every_exercise_of_a_ladder_has_a_place_and_a_name():
    known = tables.exercises()
    assert set(known["ladder_id"]) - {""} == set(tables.ladders()["ladder_id"])


# --- one side against the other ----------------------------------------------------------------------------------------


def test_the_picture_of_sides_shows_each_session_and_the_median(asked: Store):
    weeks = side_history.side_history(asked, "Ida", LAST)
    # The pistol squat showed no difference in any session: the table says so.
    assert weeks["exercise"].unique().tolist() == ["single_arm_dumbbell_press"]
    assert len(weeks) == 20 and weeks["session_pct"].notna().all()
    assert weeks["session_pct"].iloc[0] == 0 and weeks["session_pct"].iloc[-1] == pytest.approx(25)  # (20 − 15)/20
    spec = side_chart.side_history(weeks, side_history.limit_pct(), LIGHT).to_dict()
    shade, drawn = sorted(spec["datasets"].values(), key=len)
    assert shade == [{"low": -15, "high": 15}]
    assert len(drawn) == 20
    assert "%" in spec["layer"][0]["encoding"]["y"]["axis"]["title"]
    words = side_chart.in_words(weeks, "Press")
    assert words.startswith("Press, left against right by estimated maximum: no difference, 80 % interval right 7 to left 7 weaker in the week of 5 January 2026, ")
    assert "25 % (left weaker), 80 % interval " in words and " in that of 18 May 2026" in words


def test_the_picture_of_sides_draws_the_interval_of_each_median(asked: Store):
    weeks = side_history.side_history(asked, "Ida", LAST)
    assert (weeks["difference_low_pct"] < weeks["difference_pct"]).all() and (weeks["difference_pct"] < weeks["difference_high_pct"]).all()
    spec = side_chart.side_history(weeks, side_history.limit_pct(), LIGHT).to_dict()
    (area,) = [layer for layer in spec["layer"] if layer["mark"]["type"] == "area"]
    assert (area["encoding"]["y"]["field"], area["encoding"]["y2"]["field"]) == ("difference_low_pct", "difference_high_pct")
    low, high = spec["layer"][0]["encoding"]["y"]["scale"]["domain"]
    assert low < weeks["difference_low_pct"].min() and weeks["difference_high_pct"].max() < high
    assert {"title": "80 % interval, %", "field": "interval", "type": "nominal"} in [tip for layer in spec["layer"] for tip in layer["encoding"].get("tooltip", [])]


def test_a_week_without_a_session_has_a_median_and_no_point(tmp_path: Path):
    path = tmp_path / "s.duckdb"
    gone = (MONDAY + timedelta(weeks=12)).isoformat()
    text = "\n".join(line for line in log().splitlines() if not (line.startswith(gone) and "press" in line)) + "\n"
    keep(path, understand([("ida.csv", text.encode())], Answers(athlete="Ida"), today=date(2026, 11, 1)))
    refresh(path, today=date(2026, 11, 1))
    weeks = side_history.side_history(store_at(path), "Ida", LAST).set_index("week")
    assert pd.isna(weeks.loc[gone, "session_pct"]) and pd.notna(weeks.loc[gone, "difference_pct"])
    assert weeks["session_pct"].notna().sum() == 19


# --- the page ------------------------------------------------------------------------------------------------------------


def test_strength_shows_the_climb_and_the_sides(open_page, climbed: Path):
    run = open_page(climbed, "app_pages/strength.py", athlete="Ida", week=LAST.isoformat())
    assert not run.exception
    text = unescaped(all_text(run))
    assert "The climb of a ladder" in text and ladder_chart.READING in text and side_chart.READING in text
    picked = next(box for box in run.selectbox if box.label == "Ladder")
    assert len(picked.options) == 3
    picked.set_value("dip").run()
    assert not run.exception


def test_strength_shows_no_ladder_where_none_was_climbed(open_page, small_store: Path):
    run = open_page(small_store, "app_pages/strength.py", athlete="Robin")
    assert not run.exception
    assert "The climb of a ladder" not in all_text(run)


ONSET = {"athlete": "Robin", "week": kept_store.LAST_WEEK, "subject": "pull_up", "measure": "per_kg", "verdict": "plateau", "state": "dated",
         "onset": date(2026, 1, 19), "low": date(2026, 1, 5), "high": date(2026, 2, 2), "before_pct_week": 0.6, "after_pct_week": 0.0,
         "changes": '[{"what": "hard_sets_a_week", "part": "lats", "before": 12.0, "after": 8.0}, {"what": "median_reps", "before": 5, "after": 10}]'}


def test_strength_says_since_when_and_what_to_look_at(open_page, tmp_path: Path):
    path = kept_store.build(tmp_path / "s.duckdb", ("Robin",))
    with writing(path) as con:
        con.register("one", pd.DataFrame([ONSET, ONSET | {"subject": "lats", "measure": "", "state": "open", "onset": None, "low": None, "changes": "[]"}]))
        con.execute("insert into kept_onsets by name select * from one")
    run = open_page(path, "app_pages/strength.py", athlete="Robin", week=kept_store.LAST_WEEK.isoformat())
    assert not run.exception
    text = unescaped(all_text(run))
    assert "Its rise ended about the week of 19 January (80 %: the weeks of 5 January to 2 February)." in text
    assert "hard sets a week for the lats 12 → 8; repetitions a set 5 → 10. These are things to look at, not causes." in text
    assert "It has stood still since before the week of 2 February" in text
    assert "Shaded weeks: where its rise ended" in text


def test_what_is_said_alike_is_said_once(tmp_path: Path):
    """The function for the week's page, on a page of its own."""
    path = kept_store.build(tmp_path / "s.duckdb", ("Robin",))
    with writing(path) as con:
        con.register("two_and_one", pd.DataFrame([ONSET, ONSET | {"subject": "lats", "measure": ""}, ONSET | {"subject": "plank", "measure": "hold", "state": "none"}]))
        con.execute("insert into kept_onsets by name select * from two_and_one")
    page = AppTest.from_function(_page_of_the_week, kwargs={"path": str(path), "week": kept_store.LAST_WEEK}).run()
    assert not page.exception
    lines = unescaped(all_text(page)).splitlines()
    assert len(lines) == 3 and lines[0].startswith("**Since when")
    assert lines[1].startswith("- **Lats and pull-up**: Its rise ended about the week of 19 January")
    assert lines[2].startswith("- **Plank**: When that began cannot be dated")


def _page_of_the_week(path, week):
    from dashboard.app_pages.since_when import of_the_week
    from dashboard.choices import Choice
    from dashboard.look import LIGHT
    from dashboard.queries.kept import store_at

    of_the_week(Choice(store_at(path), "Robin", week, LIGHT))


def test_the_chart_shades_the_weeks_of_a_dated_onset_only():
    fit = pd.Series(next(row for row in kept_store.strength() if row["exercise"] == "pull_up"))
    bests = pd.DataFrame([row for row in kept_store.bests() if row["exercise"] == "pull_up"]).assign(date=lambda b: pd.to_datetime(b["date"]))
    began = pd.Series(ONSET | {name: pd.Timestamp(ONSET[name]) for name in ("onset", "low", "high")})
    shaded = strength_chart.strength(bests, fit, LIGHT, began=began).to_dict()
    first = shaded["datasets"][shaded["layer"][0]["data"]["name"]][0]
    assert (first["from"][:10], first["to"][:10], first["at"][:10]) == ("2026-01-05", "2026-02-09", "2026-01-22")
    plain = strength_chart.strength(bests, fit, LIGHT).to_dict()
    undated = strength_chart.strength(bests, fit, LIGHT, began=began.replace("dated", "open")).to_dict()
    assert len(plain["layer"]) == len(undated["layer"]) == len(shaded["layer"]) - 2
