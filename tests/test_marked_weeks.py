"""Weeks that a person has marked, and what the log's own plan says: the same numbers, shown as planned; a deload that is said."""

from __future__ import annotations

import csv
import json
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

from dashboard.charts import weekly, weekly_rows
from dashboard.command.main import main
from dashboard.look import LIGHT
from dashboard.measures.load_change import deload_weeks
from dashboard.queries.kept import store_at
from dashboard.queries.load import series
from dashboard.queries.review import flags, review
from dashboard.sentences.load import LIMITS, as_planned, combined
from dashboard.standing.refresh import refresh, stale
from etl.export import export
from etl.importing import Answers, erase_athlete, keep, known, merge_athletes, understand
from etl.refusal import Refusal
from etl.store.marked_weeks import mark_week, marked_weeks, take_back_mark
from tests.logs import ask
from tests.page_runs import all_text, unescaped

TODAY = date(2026, 11, 1)
FIRST = date(2026, 1, 5)
HEAD = "Date,Athlete,Exercise,Set,Load (kg),Reps,RIR,Planned\n"
SPIKE = FIRST + timedelta(weeks=8)
LOADS = ("spike", "large_spike", "session_spike", "climb", "return", "new_area")


def sets(week: int, squats: int, athlete: str = "Ida", planned: str = "", exercise: str = "Squat") -> list[str]:
    """A week of two days with so many sets on each."""
    return [f"{FIRST + timedelta(days=7 * week + d)},{athlete},{exercise},{n},80,5,2,{planned}\n" for d in (0, 3) for n in range(1, squats + 1)]


def steady(athlete: str = "Ida", last: int = 12) -> list[str]:
    """Eight weeks of twelve sets, and one of `last` on each day."""
    return [row for week in range(8) for row in sets(week, 6, athlete)] + sets(8, last, athlete)


def bring(store: Path, rows: list[str], name: str = "log.csv") -> None:
    keep(store, understand([(name, (HEAD + "".join(rows)).encode())], Answers(), known=known(store), today=TODAY))
    refresh(store, today=TODAY)


def mark(store: Path, day: date, as_: str = "planned_increase", athlete: str = "Ida") -> None:
    mark_week(store, athlete, day, as_, today=TODAY)
    refresh(store, today=TODAY)


def jumps(store: Path, week: date = SPIKE) -> dict[tuple[str, str], dict]:
    return {(f["kind"], f["subject"]): f for f in flags(store_at(store), "Ida") if f["week"] == week.isoformat() and f["kind"] in LOADS}


def test_a_marked_increase_shows_the_same_numbers_as_planned(store: Path):
    bring(store, steady())
    before, message = jumps(store), review(store_at(store), "Ida", SPIKE)["message"]
    assert ("large_spike", "whole_body") in before and not any("planned" in f["numbers"] for f in before.values())
    mark(store, SPIKE + timedelta(days=2))
    after = jumps(store)
    assert after.keys() == before.keys()
    for key, flag in after.items():
        assert flag["numbers"] == before[key]["numbers"] | {"planned": True}
        assert flag["level"] == before[key]["level"] and flag["message"] == before[key]["message"] + " The sets were planned."
    said = review(store_at(store), "Ida", SPIKE)
    assert said["message"] == message.replace(LIMITS, "The sets were planned. " + LIMITS) and said["marked"] == "planned_increase"


def test_a_mark_that_is_taken_back_leaves_everything_as_it_was(store: Path):
    bring(store, steady())
    tables = ("kept_weeks", "kept_load", "kept_flags", "kept_raised", "kept_strength", "kept_next", "kept_cautions")
    before = [ask(store, f"select * from {table} order by all") for table in tables]
    for as_ in ("planned_increase", "deload"):
        mark(store, SPIKE, as_)
        assert [ask(store, f"select * from {table} order by all") for table in tables] != before
        assert take_back_mark(store, "Ida", SPIKE) == as_
        refresh(store, today=TODAY)
        assert [ask(store, f"select * from {table} order by all") for table in tables] == before


def test_a_week_that_the_log_planned_is_marked_without_a_word_said(store: Path):
    """Planned rows beside those of what was done: done is at most 1.1 times the plan (common practice, no source)."""
    bring(store, steady() + sets(8, 12, planned="yes"))
    assert all(f["numbers"].get("planned") is True for f in jumps(store).values()) and jumps(store)


@pytest.mark.parametrize(("planned", "is_planned"), [(11, True), (10, False), (2, False)])
def test_more_than_about_what_was_planned_was_not_planned(store: Path, planned: int, is_planned: bool):
    """24 sets done: at most 1.1 times 22, more than 1.1 times 20. A few planned rows, as of sets that were left out, say nothing of the rest."""
    bring(store, steady() + sets(8, planned, planned="yes"))
    assert {f["numbers"].get("planned", False) for f in jumps(store).values()} == {is_planned}


def test_a_plan_speaks_for_the_parts_that_it_holds(store: Path):
    """Twelve planned sets of a bench press do not plan as many squats; the whole body has twice what was planned."""
    bring(store, steady() + sets(8, 12, exercise="Bench press") + sets(8, 12, planned="yes", exercise="Bench press"))
    found = jumps(store)
    assert found["new_area", "chest_sternal"]["numbers"]["planned"] is True
    assert "planned" not in found["large_spike", "vasti"]["numbers"] and "planned" not in found["large_spike", "whole_body"]["numbers"]


def test_the_one_message_says_once_what_was_planned():
    spike, lats, vasti = "Whole body: 40 hard sets.", "Lats: 9 hard sets.", "Vasti: 8 hard sets."
    assert combined([as_planned(spike), as_planned(lats)]) == f"{spike} {lats} The sets were planned. {LIMITS}"
    assert combined([spike, as_planned(lats), as_planned(vasti)]) == f"{spike} {lats} {vasti} Planned of these: lats and vasti. {LIMITS}"
    assert combined([spike]) == f"{spike} {LIMITS}" and combined([]) == ""


def test_in_words_no_planned_flag_is_counted_twice(store: Path, capsys: pytest.CaptureFixture):
    """The command tells in the message what it tells, and counts only the others."""
    bring(store, steady())
    main(["review", "--week", SPIKE.isoformat(), "--store", str(store)])
    before = [line for line in capsys.readouterr().out.splitlines() if "more about the load" in line]
    mark(store, SPIKE)
    main(["review", "--week", SPIKE.isoformat(), "--store", str(store)])
    assert [line for line in capsys.readouterr().out.splitlines() if "more about the load" in line] == before


def test_a_marked_deload_is_a_deload_whatever_it_held(store: Path):
    bring(store, [row for week in range(10) for row in sets(week, 6)])
    week = FIRST + timedelta(weeks=6)
    assert not review(store_at(store), "Ida", week)["done"]["deload"]
    mark(store, week, "deload")
    said = review(store_at(store), "Ida", week)
    assert said["done"]["deload"] and said["marked"] == "deload"
    assert ask(store, f"select distinct state from kept_load where week = '{week}' and subject = 'whole_body'") == [("deload",)]


def test_a_marked_deload_is_no_week_to_compare_with_and_counts_among_one_in_three():
    """By hand: after 20, 20, 20, 20 a 12 is 60 % of the median; marked weeks stay out of the four before and of the three."""
    hard, nothing = np.array([20.0] * 4 + [12.0] * 2 + [20.0] * 2), np.full(8, np.nan)
    assert np.flatnonzero(deload_weeks(hard, nothing)).tolist() == [4]
    said = np.arange(8) == 3
    assert np.flatnonzero(deload_weeks(hard, nothing, marked=said)).tolist() == [3], "of two weeks after a marked one none is found"
    assert np.flatnonzero(deload_weeks(hard, nothing, marked=np.isin(np.arange(8), [3, 4, 5]))).tolist() == [3, 4, 5], "what is said is not limited"


def test_only_weeks_from_the_mark_on_are_worked_out_again(store: Path):
    bring(store, steady())
    week = FIRST + timedelta(weeks=4)
    mark_week(store, "Ida", week, "deload", today=TODAY)
    assert stale(store, TODAY) == [("Ida", week)]
    refresh(store, today=TODAY)
    assert stale(store, TODAY) == []


def test_a_week_ahead_can_be_marked_and_counts_when_it_comes(store: Path):
    bring(store, steady()[: 8 * 12])
    mark(store, SPIKE)
    assert stale(store, TODAY) == [] and len(marked_weeks(store, "Ida")) == 1
    bring(store, steady(), "longer.csv")
    assert jumps(store) and all(f["numbers"]["planned"] for f in jumps(store).values())


def test_a_week_has_one_mark(store: Path):
    bring(store, steady())
    mark(store, SPIKE)
    mark(store, SPIKE + timedelta(days=6), "deload")
    assert [(row.week.date(), row.mark) for row in marked_weeks(store, "Ida").itertuples()] == [(SPIKE, "deload")]


def test_what_cannot_be_marked_is_said(store: Path):
    bring(store, steady())
    for athlete, day, as_, words in (("Ole", SPIKE, "deload", "no athlete 'Ole'"), ("Ida", date(2025, 12, 1), "deload", "no log in the week"),
                                     ("Ida", date(2028, 1, 3), "deload", "more than a year ahead"), ("Ida", SPIKE, "rest", "cannot be marked")):
        with pytest.raises(Refusal, match=words):
            mark_week(store, athlete, day, as_, today=TODAY)
    with pytest.raises(Refusal, match="is not marked"):
        take_back_mark(store, "Ida", SPIKE)
    assert ask(store, "select count(*) from marked_weeks") == [(0,)]


def test_the_command_marks_lists_and_takes_back(store: Path, capsys: pytest.CaptureFixture):
    bring(store, steady())

    def run(*words: str) -> tuple[int, str, str]:
        status = main(["mark", *words, "--store", str(store)])
        return status, *capsys.readouterr()

    assert run()[1] == "Ida has no marked week.\n"
    assert "2 March 2026 is marked as a planned increase" in run("--athlete", "ida", "--week", "2026-03-05", "--as", "planned-increase")[1]
    assert json.loads(run("--week", "2026-W10", "--as", "deload", "--json")[1]) == {"athlete": "Ida", "weeks": [{"week": "2026-03-02", "mark": "deload"}]}
    assert "a deload" in run()[1]
    assert run("--week", "2026-W10")[0] == 1 and run("--as", "deload")[0] == 1
    assert "no longer marked" in run("--week", "2026-W10", "--take-back")[1]
    status, out, err = run("--week", "2026-W10", "--take-back")
    assert (status, out) == (1, "") and "is not marked" in err


def test_marks_are_erased_with_their_athlete(store: Path):
    bring(store, steady() + steady("Ole"))
    for athlete in ("Ida", "Ole"):
        mark(store, SPIKE, athlete=athlete)
    erase_athlete(store, "Ida")
    assert ask(store, "select athlete from marked_weeks") == [("Ole",)]
    assert ask(store, "select distinct athlete from kept_load_columns") == [("Ole",)]


def test_marks_move_with_a_merged_spelling_and_the_athlete_s_own_stay(store: Path):
    bring(store, steady() + sets(9, 6, "Ida K"))
    late = FIRST + timedelta(weeks=9)
    mark(store, SPIKE)
    for week in (late, late + timedelta(weeks=1)):
        mark_week(store, "Ida K", week, "deload", today=TODAY)
    mark(store, late, "planned_increase")
    merge_athletes(store, "Ida K", "Ida")
    refresh(store, today=TODAY)
    assert ask(store, "select athlete, week, mark from marked_weeks order by week") == [
        ("Ida", SPIKE, "planned_increase"), ("Ida", late, "planned_increase"), ("Ida", late + timedelta(weeks=1), "deload")]
    assert ask(store, "select distinct athlete from kept_load_columns") == [("Ida",)]


def test_a_moved_mark_works_the_weeks_out_from_it_on(store: Path):
    """The other spelling's mark lies before its merged sets' last change: the week is known by the mark afterwards."""
    bring(store, steady() + sets(0, 6, "Ida K", exercise="Bench press"))
    mark_week(store, "Ida K", SPIKE, "planned_increase", today=TODAY)
    merge_athletes(store, "Ida K", "Ida")
    refresh(store, today=TODAY)
    assert jumps(store) and all(f["numbers"]["planned"] for f in jumps(store).values())


def test_marks_are_exported_with_the_rest(store: Path, tmp_path: Path):
    bring(store, steady() + steady("Ole"))
    for athlete in ("Ida", "Ole"):
        mark(store, SPIKE, athlete=athlete)
    export(store, tmp_path / "out", athlete="Ole")
    with (tmp_path / "out" / "marked_weeks.csv").open(encoding="utf-8", newline="") as file:
        (row,) = csv.DictReader(file)
    assert (row["athlete"], row["week"], row["mark"]) == ("Ole", SPIKE.isoformat(), "planned_increase") and date.fromisoformat(row["said_on"])


def test_the_weekly_picture_shows_a_planned_increase_by_shape_and_word(store: Path):
    bring(store, steady())
    mark(store, SPIKE)
    mark(store, FIRST + timedelta(weeks=6))
    drawn = series(store_at(store), "Ida", "whole_body", SPIKE, 12)
    chart = weekly.weekly(drawn, LIGHT).to_dict()
    assert {row["label"] for rows in chart["datasets"].values() for row in rows if row.get("label")} == {"large, planned", "planned"}
    (layer,) = [layer for layer in chart["layer"] if layer["mark"]["type"] == "point"]
    points = [row for row in chart["datasets"][layer["data"]["name"]] if row.get("kind")]
    assert [point["fill"] for point in points] == [LIGHT.paper] * 2, "hollow, with the outline of a mark"
    assert layer["mark"]["stroke"] == LIGHT.missing and all(point["strokeWidth"] > 0 for point in points)
    assert [point["shape"] for point in points] == [weekly.SHAPES["planned"], weekly.SHAPES["large spike"]]
    assert "2 March 2026: large spike, planned, 24 sets" in weekly.in_words(drawn, "whole body") and "hollow shape" in weekly.reading(drawn)


def test_every_word_of_the_picture_has_room(store: Path):
    """6.2 pixels a letter above the bar and its shape, in a plot of 220."""
    bring(store, steady())
    mark(store, SPIKE)
    weeks = weekly_rows.weeks_of(series(store_at(store), "Ida", "whole_body", SPIKE, 12))
    named = [week for week in weeks if week.label]
    assert named
    for week in named:
        assert weekly_rows.HEIGHT * (1 - week.tall / weekly_rows.top_of(weeks)) >= weekly_rows.SHAPE + weekly_rows.LETTER * len(week.label)


@pytest.mark.parametrize("page", ["app_pages/load.py", "app_pages/this_week.py"])
def test_a_week_is_marked_on_a_page_with_two_clicks_and_taken_back(store: Path, open_page, page: str):
    bring(store, steady())
    run = open_page(store, page, athlete="Ida", week=SPIKE.isoformat())
    run.button(key="mark_planned_increase").click().run()
    assert not run.exception and ask(store, "select mark from marked_weeks") == [("planned_increase",)]
    assert "is marked as a planned increase" in run.success[0].value
    assert "The sets were planned" in unescaped(all_text(run))
    run.button(key="mark_back").click().run()
    assert not run.exception and ask(store, "select count(*) from marked_weeks") == [(0,)]
    assert "The sets were planned" not in unescaped(all_text(run))


def test_the_page_says_the_limits_beside_the_columns(store: Path, open_page):
    bring(store, steady())
    run = open_page(store, "app_pages/load.py", athlete="Ida", week=SPIKE.isoformat())
    run.session_state["request_lists"] = ["More columns, for the curious"]
    text = unescaped(all_text(run.run()))
    for words in ("raises a flag", "cannot pass 4", "no useful prediction", "cannot exceed 1.464", "No session RPE with minutes is logged"):
        assert words in text, words
