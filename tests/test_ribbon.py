"""The ribbon: what is asked of the store, where its tiles, words and pins stand, and what is said of what followed."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pandas as pd
import pytest

from dashboard.charts import ribbon as chart
from dashboard.charts import ribbon_rows
from dashboard.look import DARK, LIGHT
from dashboard.queries import ribbon
from dashboard.queries.kept import store_at
from dashboard.sentences import ribbon as say
from dashboard.sentences.ribbon import Ribbon
from dashboard.standing.refresh import refresh
from etl.importing import Answers, keep, understand
from etl.store import writing
from etl.store.athletes import say as say_athlete
from tests import kept_store
from tests.page_runs import all_text, unescaped
from tests.text_in_svg import boxes

MONDAY = date(2026, 1, 5)
LAST = MONDAY + timedelta(weeks=15)
NOW = datetime(2026, 4, 1)
NARROW, REPORT, WIDE = 331, 640, 1200  # pixels; a phone's column of 343 less the margins of a page's element
LONG = "and a very long decision that goes on about what was changed, with Averyveryverylongwordwithoutanyblankinitwhatsoever in it"


def monday(week: int, later: int = 0) -> date:
    return MONDAY + timedelta(weeks=week, days=later)


def planned_log(own_rows: bool) -> str:
    """Twelve sets a day, three days a week for sixteen weeks, half of them in week 10 and none in week 12; one of a day left out now and then.

    own_rows: the plan stands in rows of its own; else only what was left out is marked as planned.
    """
    rows = ["Date,Exercise,Set,Load (kg),Reps,RIR,Planned"]
    for week in range(16):
        for later in (0, 2, 4):
            for name, load in (("Bench press", 60 + week), ("Barbell row", 50 + week), ("Back squat", 80 + week)):
                for n in range(1, (3 if week == 10 else 5)):
                    left_out = week == 12 or (n == 4 and (week + later) % 5 == 0)
                    row = f"{monday(week, later)},{name},{n},{load},8"
                    if own_rows or left_out:
                        rows.append(f"{row},,yes")
                    if not left_out:
                        rows.append(f"{row},2,")
    return "\n".join(rows) + "\n"


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("ribbon") / "s.duckdb"
    logs = [("Cleo.csv", planned_log(True).encode()), ("Dag.csv", planned_log(False).encode())]
    for name in ("Cleo", "Dag"):
        say_athlete(path, name, level="intermediate")
    keep(path, understand(logs, Answers(), names_give_athlete=True, today=date(2026, 11, 1)))
    with writing(path) as con:
        def put(table: str, *values: object) -> None:
            con.execute(f"insert into {table} values ({', '.join('?' * len(values))})", list(values))

        put("marked_weeks", "Cleo", monday(12), "illness", NOW)
        put("marked_weeks", "Cleo", monday(14), "planned_increase", NOW)
        put("marked_weeks", "Cleo", monday(15), "training_camp", NOW)
        put("decisions", 1, "Cleo", monday(5), "Bench press first", "barbell_bench_press", NOW)
        put("decisions", 2, "Cleo", monday(5, 2), "Two sets less\nfor the back", "lats", NOW)
        put("decisions", 3, "Cleo", monday(6, 2), "**Easier** " + LONG, "", NOW)
        put("decisions", 4, "Cleo", monday(13, 6), "On the last Sunday but two", "whole_body", NOW)
        put("decisions", 5, "Cleo", monday(16), "After the last week", "", NOW)
        put("blocks", 6, "Cleo", "Strength", monday(2), monday(9, 6), None, NOW)
        put("blocks", 7, "Cleo", "One week of nothing but technique " + LONG, monday(10), monday(10, 6), None, NOW)
        put("blocks", 8, "Cleo", "Peak", monday(11), monday(20), monday(14), NOW)
        put("blocks", 9, "Cleo", "Later", monday(16), monday(20), None, NOW)
        put("goals", 10, "Cleo", "Bench press 80 kg for eight in good form, and the squat with it", monday(8), "", None, None, monday(9), NOW)
        put("goals", 11, "Cleo", "Weigh-in", monday(15, 6), "", None, None, None, NOW)
    refresh(path, today=date(2026, 11, 1))
    return path


@pytest.fixture
def asked(path: Path):
    return store_at(path)


# --- what is asked of the store ---------------------------------------------------------------------------------------


def test_a_plan_in_rows_of_its_own_and_one_beside_what_was_done_say_the_same(asked):
    cleo, dag = (ribbon.ribbon(asked, name, LAST).weeks.set_index("week") for name in ("Cleo", "Dag"))
    assert cleo["planned"].tolist() == [18.0 if week == monday(10) else 36.0 for week in cleo.index.date]
    known = dag["planned"].dropna()
    assert len(known) == 7 and (known == cleo.loc[known.index, "planned"]).all()
    # What was done as planned leaves no planned row beside what was done.
    assert (dag.loc[dag["planned"].isna(), "done"] == cleo.loc[dag["planned"].isna(), "planned"]).all()


def test_a_week_has_its_kind_and_its_word(asked):
    weeks = ribbon.ribbon(asked, "Cleo", LAST).weeks.set_index(pd.Index(range(4, 16)))
    assert weeks["word"].to_dict() == {**dict.fromkeys(range(4, 16), ""), 10: "easy", 12: "illness", 14: "planned", 15: "training camp"}
    assert weeks.loc[[10, 12, 15], "kind"].tolist() == ["easy", "away", "full"]
    assert ribbon.ribbon(asked, "Dag", LAST).weeks["word"].tolist()[8] == "away"


def test_a_ribbon_knows_nothing_of_later_weeks(asked):
    now = ribbon.ribbon(asked, "Cleo", monday(9))
    assert now.weeks["week"].max().date() == monday(9)
    assert now.pins["number"].tolist() == [1, 2, 3] and now.pins["followed"].iloc[2] == "too early to say (3 of 4 weeks)"
    assert now.blocks["aim"].tolist() == ["Strength"] and now.goals["reached"].tolist() == [True]
    # What had not been reached by that Sunday is not said to be.
    assert ribbon.ribbon(asked, "Cleo", monday(8)).goals["reached"].tolist() == [False]
    assert "After the last week" not in ribbon.ribbon(asked, "Cleo", LAST).pins["text"].tolist()
    assert "Later" not in ribbon.ribbon(asked, "Cleo", LAST).blocks["aim"].tolist()


def test_decisions_are_those_of_the_weeks_shown(asked):
    """The last day before the window is not in it, its first is."""
    assert len(ribbon.ribbon(asked, "Cleo", LAST, 11).pins) == 4  # begins on Monday of week 5, the day of the first
    assert ribbon.ribbon(asked, "Cleo", LAST, 10).pins["date"].dt.date.min() == monday(6, 2)


def test_what_followed_does_not_change_when_weeks_are_added(asked):
    """Looked at from its fourth week on, a decision is followed by the same, whichever week is shown."""
    shown = {ribbon.followed(asked, "Cleo", "lats", monday(5, 2), monday(week)) for week in range(9, 16)}
    assert len(shown) == 1 and "too early" not in shown.pop()


def test_a_window_before_the_log_has_no_rows_for_it(asked):
    early = ribbon.ribbon(asked, "Cleo", monday(2))
    assert len(early.weeks) == 3 and early.start == monday(-9) and early.until == monday(2, 6)
    assert ribbon.ribbon(asked, "Nobody", LAST).weeks.empty
    assert len(ribbon.ribbon(asked, "Cleo", LAST, 8).weeks) == 8


# --- what followed, in words -------------------------------------------------------------------------------------------


def test_what_followed_is_told_of_the_subject_it_was_about(asked):
    bench, lats, body, late = ribbon.ribbon(asked, "Cleo", LAST).pins["followed"]
    assert bench.startswith("four weeks later: barbell bench press ")
    assert lats.startswith("four weeks later: lats ") and lats.endswith(" hard sets that week, within its band")
    assert body == "four weeks later: 18 hard sets, usual 34.5, an easy week"
    assert late == "too early to say (2 of 4 weeks)"
    assert ribbon.followed(asked, "Cleo", "plank", monday(5), LAST) == "four weeks later: plank was not in the log"
    assert ribbon.followed(asked, "Cleo", "", monday(8), LAST) == "four weeks later: a week away"


def test_a_running_fourth_week_is_too_early(tmp_path: Path):
    path = kept_store.build(tmp_path / "s.duckdb", ("Robin",))
    with writing(path) as con:
        con.execute("update kept_weeks set so_far = true where week = ?", [kept_store.LAST_WEEK])
    decided = kept_store.LAST_WEEK - timedelta(weeks=4)
    assert ribbon.followed(store_at(path), "Robin", "", decided, kept_store.LAST_WEEK) == "too early to say (3 of 4 weeks)"


def test_the_rate_of_a_verdict_stands_with_its_interval(small_store: Path):
    told = ribbon.followed(store_at(small_store), "Robin", "barbell_bench_press", kept_store.WEEKS[-5], kept_store.LAST_WEEK)
    assert told == "four weeks later: barbell bench press progressing, +0.6 % a week (+0.2 to +1.0)"
    part = ribbon.followed(store_at(small_store), "Robin", "lats", kept_store.WEEKS[-5], kept_store.LAST_WEEK)
    assert part == "four weeks later: lats plateau, +0.1 % a week (\u22120.4 to +0.5); 21 hard sets that week, 1 above its band"


@pytest.mark.parametrize(("planned", "kinds", "title"), [
    ([42, 44], ["full", "full"], "Two weeks: 80 of 86 planned sets done"),
    ([42, np.nan], ["full", "full"], "Two weeks: 40 of 42 planned sets done in the one with a plan in the log"),
    ([np.nan, np.nan], ["full", "easy"], "Two weeks (one of them easy) with 80 hard sets"),
    ([42, 44], ["full", "running"], "Two weeks: 40 of 42 planned sets done in the one with a plan in the log"),
])
def test_the_title_counts_what_was_planned_or_what_was_done(planned, kinds, title):
    assert say.finding(SimpleNamespace(weeks=pd.DataFrame({"done": [40.0, 40.0], "planned": planned, "kind": kinds}))) == title


def test_words_say_every_week_decision_block_and_goal(asked):
    words = chart.in_words(ribbon.ribbon(asked, "Cleo", LAST))
    assert words.startswith("Twelve weeks: 360 of 414 planned sets done. By week: 2 February 36 hard sets of 36 planned; ")
    assert "30 March 0 hard sets of 36 planned, illness" in words and "2. 11 February: Two sets less for the back. Four weeks later: lats " in words
    assert "Block from 23 March 2026 to 25 May 2026: Peak (deload due 13 April)." in words and "Goal for 26 April 2026: Weigh-in." in words


# --- where it stands -------------------------------------------------------------------------------------------------------


def lay_out(of, top: float = 40.0) -> ribbon_rows.Drawn:
    return ribbon_rows.lay_out(of, top)


def test_a_tile_is_as_tall_as_its_sets(asked):
    of = ribbon.ribbon(asked, "Cleo", LAST)
    marks = lay_out(of).marks
    fills = sorted(marks["done"] + marks["easy"], key=lambda mark: mark["x"])
    trained = of.weeks[of.weeks["done"] > 0]
    assert [fill["y2"] - fill["y"] for fill in fills] == pytest.approx((trained["done"] / 40 * ribbon_rows.TALL).tolist())
    assert len(marks["easy"]) == 1 and marks["hatches"]
    assert [mark["y2"] - mark["y"] for mark in marks["planned"]] == pytest.approx((of.weeks["planned"] / 40 * ribbon_rows.TALL).tolist())
    assert not marks["usual"] and not marks["past_planned"]


def test_what_is_usual_is_outlined_where_it_was_not_reached_and_crossed_where_it_was_passed(asked):
    of = ribbon.ribbon(asked, "Dag", LAST)
    marks = lay_out(of).marks
    open_weeks = of.weeks[of.weeks["planned"].isna()]
    assert [mark["y2"] - mark["y"] for mark in marks["usual"]] == pytest.approx(((open_weeks["usual"] - open_weeks["done"]).clip(lower=0) / 40 * ribbon_rows.TALL).loc[lambda left: left > 0].tolist())
    assert len(marks["past_usual"]) == (open_weeks["done"] > open_weeks["usual"]).sum() > 0


def test_pictures_with_one_top_have_one_scale(asked):
    early, late = ribbon.ribbon(asked, "Cleo", monday(2)), ribbon.ribbon(asked, "Cleo", LAST)
    top = max(chart.top_of(early.weeks), chart.top_of(late.weeks))
    for of in (early, late):
        full = of.weeks.loc[of.weeks["done"].gt(0) & of.weeks["kind"].eq("full"), "done"]
        marks = sorted(lay_out(of, top).marks["done"], key=lambda mark: mark["x"])
        assert [(mark["y2"] - mark["y"]) / sets for mark, sets in zip(marks, full, strict=True)] == pytest.approx([ribbon_rows.TALL / top] * len(full))


def test_pins_carry_the_numbers_of_the_sentences_and_those_of_a_week_stand_apart(asked):
    of = ribbon.ribbon(asked, "Cleo", LAST)
    marks = lay_out(of).marks
    assert [mark["number"] for mark in marks["pins"]] == of.pins["number"].tolist() == [1, 2, 3, 4]
    assert [mark["x"] for mark in marks["pins"]] == [1.5, 1.5, 2.5, 9.5]
    assert marks["pins"][1]["y"] - marks["pins"][0]["y"] >= ribbon_rows.PIN


def test_a_block_that_goes_on_is_left_open(asked):
    of = ribbon.ribbon(asked, "Cleo", LAST)
    marks = lay_out(of).marks
    # Strength began before, Peak goes on after.
    assert len(marks["brackets"]) == 3 and len(marks["posts"]) == 4
    assert all(0 <= mark["x"] < mark["x2"] <= 12 for mark in marks["brackets"])


def invented(seed: int) -> Ribbon:
    """Twelve weeks of anything that can be in a log."""
    rng = np.random.default_rng(seed)
    weeks = pd.DataFrame({"week": [pd.Timestamp(monday(i)) for i in range(12)], "done": np.where(rng.random(12) < 0.2, 0.0, rng.integers(1, 130, 12)),
                          "usual": np.where(rng.random(12) < 0.3, np.nan, 86.0), "planned": np.where(rng.random(12) < 0.5, np.nan, rng.integers(1, 120, 12))})
    weeks["kind"] = rng.choice(["full", "easy", "return", "running"], 12)
    weeks.loc[weeks["done"] == 0, "kind"] = "away"
    weeks["word"] = [say.word(kind, mark) for kind, mark in zip(weeks["kind"], rng.choice(["", "", "", "deload", "planned_increase", "holiday", "illness", "training_camp"], 12), strict=True)]
    days = sorted(int(x) for x in rng.integers(0, 84, 6))
    pins = pd.DataFrame({"number": range(1, 7), "date": [pd.Timestamp(monday(0, x)) for x in days], "text": [LONG] * 6, "followed": ["too early to say (1 of 4 weeks)"] * 6})
    starts = sorted(int(x) for x in rng.integers(-20, 80, 4))
    texts = rng.choice(["Strength", "Volume for back and rear delts, the rest held", LONG, "Return", "HYPERTROPHY " * 4], 4)
    blocks = pd.DataFrame({"aim": texts, "starts": [pd.Timestamp(monday(0, x)) for x in starts], "ends": [pd.Timestamp(monday(0, max(6, x + int(rng.integers(0, 60))))) for x in starts]})
    goals = pd.DataFrame({"text": rng.choice(["Weigh-in", LONG], 2), "due": [pd.Timestamp(monday(0, int(x))) for x in (0, rng.integers(0, 84))], "reached": [True, False]})
    return Ribbon(MONDAY, monday(11, 6), weeks, pins, blocks, goals)


@pytest.mark.parametrize("width", [NARROW, REPORT, WIDE])
@pytest.mark.parametrize("seed", range(8))
def test_no_text_leaves_the_drawing_or_meets_another(seed: int, width: int):
    found, wide, tall = boxes(chart.ribbon(invented(seed), LIGHT), width)
    assert len(found) > 30
    outside = [box for box in found if box.left < 0 or box.right > wide or box.top < 0 or box.bottom > tall]
    assert not outside
    assert not [(one.text, other.text) for i, one in enumerate(found) for other in found[:i] if one.meets(other)]


@pytest.mark.parametrize("colours", [LIGHT, DARK])
def test_an_easy_week_is_told_by_more_than_its_colour(asked, colours):
    spec = chart.ribbon(ribbon.ribbon(asked, "Cleo", LAST), colours).to_dict()
    rows = [row for dataset in spec["datasets"].values() for row in dataset]
    assert "easy" in {row.get("text") for row in rows}
    assert len([row for row in rows if row.get("stroke") == colours.hatch and row["y"] > row["y2"] and row["x"] < row["x2"]]) > 3


def test_the_reading_tells_only_what_is_drawn(asked):
    every = chart.reading(ribbon.ribbon(asked, "Cleo", LAST))
    for text in (chart.PLANNED, chart.EASY, chart.BLOCKS, chart.GOALS, chart.PINS):
        assert text in f"{every} "
    plain = chart.reading(ribbon.ribbon(asked, "Dag", monday(2)))
    assert not any(text in plain for text in (chart.EASY, chart.BLOCKS, chart.GOALS, chart.PINS))


# --- the page ------------------------------------------------------------------------------------------------------------


def test_this_week_shows_the_ribbon_with_its_sentences_escaped(open_page, path: Path):
    run = open_page(path, athlete="Cleo", week=monday(14).isoformat())
    assert not run.exception
    assert chart.finding(ribbon.ribbon(store_at(path), "Cleo", monday(14))) in [unescaped(one.value) for one in run.header]
    told = next(one.value for one in run.markdown if "Bench press first" in one.value)
    assert told.count("\n\n") == 3 and r"\*\*Easier\*\*" in told
    assert chart.PINS in unescaped(all_text(run))
    early = open_page(path, athlete="Dag", week=LAST.isoformat())
    assert not early.exception and "What followed" not in all_text(early)
