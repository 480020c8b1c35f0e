"""One side against the other, and since when a verdict holds: what is asked of the store, drawn and shown."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pandas as pd
import pytest
from streamlit.testing.v1 import AppTest

from dashboard.charts import side_history as side_chart
from dashboard.charts import strength as strength_chart
from dashboard.look import LIGHT
from dashboard.queries import side_history
from dashboard.queries.kept import Store, store_at
from dashboard.standing.refresh import refresh
from etl.importing import Answers, keep, understand
from etl.store import writing
from etl.store.athletes import say
from tests import kept_store
from tests.page_runs import all_text, folded, unescaped

MONDAY = date(2026, 1, 5)
LAST = MONDAY + timedelta(weeks=19)


def log() -> str:
    """One arm falls behind in the press; the squat on one leg shows no difference."""
    rows = ["Date,Exercise,Set,Side,Load (kg),Reps,RIR,Body mass (kg)"]
    for week in range(20):
        day = MONDAY + timedelta(weeks=week)
        left = 20 if week < 8 else 15
        rows += [f"{day},One-arm DB press,1,L,{left},8,2,70", f"{day},One-arm DB press,1,R,20,8,2,70"]
        rows += [f"{day},Pistol squat,1,{side},,8,2,70" for side in "LR"]
    return "\n".join(rows) + "\n"


@pytest.fixture(scope="module")
def pressed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("sides") / "s.duckdb"
    say(path, "Ida", level="intermediate")
    keep(path, understand([("ida.csv", log().encode())], Answers(athlete="Ida"), today=date(2026, 11, 1)))
    refresh(path, today=date(2026, 11, 1))
    return path


@pytest.fixture
def asked(pressed: Path) -> Store:
    return store_at(pressed)


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


def test_strength_shows_the_sides(open_page, pressed: Path):
    run = open_page(pressed, "app_pages/strength.py", athlete="Ida", week=LAST.isoformat())
    assert not run.exception
    assert side_chart.READING not in unescaped(all_text(run)), "the pictures wait until they are asked for"
    run.session_state["request_sides"] = ["The difference over time"]
    run.run()
    assert not run.exception and side_chart.READING in unescaped(all_text(run))


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
    text = "\n".join([unescaped(all_text(run)), *folded(run)])
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

    def onset(drawn: dict) -> list[dict]:
        assert drawn["layer"][0]["mark"]["type"] == "rect"
        return drawn["datasets"][drawn["layer"][0]["data"]["name"]]

    (first,) = onset(shaded)
    assert (first["from"][:10], first["to"][:10], first["at"][:10]) == ("2026-01-05", "2026-02-09", "2026-01-22")
    assert not onset(strength_chart.strength(bests, fit, LIGHT).to_dict())
    assert not onset(strength_chart.strength(bests, fit, LIGHT, began=began.replace("dated", "open")).to_dict())
