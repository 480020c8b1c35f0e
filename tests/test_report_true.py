"""What a client is told is so: a gain as it was done, the week that is meant, and the parts as the review and the page Balance have them."""

from __future__ import annotations

import re
from datetime import date, timedelta
from pathlib import Path

import pandas as pd
import pytest

from dashboard.queries import balance
from dashboard.queries import strength
from dashboard.queries.kept import store_at
from dashboard.queries.review import flags, review
from dashboard.report import content
from dashboard.report.content import Report, gather
from dashboard.sentences import client, past_week
from dashboard.sentences.numbers import day
from dashboard.standing.refresh import refresh
from etl.importing import Answers, keep, understand
from etl.store import said as records
from etl.store.athletes import say
from etl.store.marked_weeks import EASY, mark_week
from tests.logs import bring
from tests.page_runs import unescaped

FIRST = date(2026, 1, 5)  # a Monday
HEAD = "Date,Athlete,Exercise,Load (kg),Reps,RIR\n"


def monday(week: int) -> date:
    return FIRST + timedelta(weeks=week)


def log(store: Path, sets: list[str], weeks: int) -> None:
    """Bring in rows of `date,exercise,load,reps,rir` and work out the `weeks` weeks, which are over."""
    bring(store, HEAD + "".join(one.replace(",", ",Ida,", 1) + "\n" for one in sets))
    refresh(store, today=monday(weeks))


def steady(exercise: str, load: float, weeks: range, reps: int = 8) -> list[str]:
    """Two sessions a week of the same."""
    return [f"{monday(week) + timedelta(days=day)},{exercise},{load},{reps},3" for week in weeks for day in (0, 3) for _ in range(3)]


def told(store: Path, week: int, today: date | None = None) -> Report:
    return gather(store_at(store), "Ida", monday(week), today=today)


# --- a gain ---------------------------------------------------------------------------------------------------------------


def test_a_best_is_told_as_it_was_done_and_not_as_it_is_estimated(store: Path):
    log(store, [*steady("Pull-up", 0, range(9), 7), f"{monday(8) + timedelta(days=5)},Pull-up,0,8,3"], 9)
    assert told(store, 8).gain.lines == ("Pull-up: the best so far on 7 March, 8 repetitions with 3 in reserve; on 5 January it was 7 repetitions with 3 in reserve.",)


def test_a_best_of_an_estimate_has_its_load(store: Path):
    log(store, [*steady("Bench press", 60, range(9)), f"{monday(8) + timedelta(days=5)},Bench press,62.5,8,3"], 9)
    assert told(store, 8).gain.lines == ("Barbell bench press: the best so far on 7 March, 8 repetitions at 62.5 kg with 3 in reserve; "
                                            "on 5 January it was 8 repetitions at 60 kg with 3 in reserve.",)


def test_a_best_that_is_older_than_four_weeks_is_past_and_waits_for_a_newer_one(store: Path):
    sets = [*steady("Bench press", 60, range(12), 5), f"{monday(5) + timedelta(days=5)},Bench press,62.5,5,3"]
    log(store, sets, 12)
    assert told(store, 8).gain.lines[0].startswith("Barbell bench press: the best so far on 14 February, ")
    assert told(store, 9).gain.lines == ("Barbell bench press: the best was on 14 February, 5 repetitions at 62.5 kg with 3 in reserve; "
                                            "on 5 January it was 5 repetitions at 60 kg with 3 in reserve.",)


def test_of_several_bests_the_one_that_rose_most_beside_its_noise_is_told_not_the_latest(store: Path):
    """A press up by a third, then a row up by a fortieth three days later. A load that is done once only has risen from nothing."""
    last = monday(8)
    sets = [*steady("Bench press", 60, range(9), 5), *steady("Barbell row", 60, range(9), 5), f"{last + timedelta(days=1)},Bench press,80,5,3",
            f"{last + timedelta(days=4)},Barbell row,61.5,5,3", f"{last + timedelta(days=5)},Hammer curl,20,5,3"]
    log(store, sets, 9)
    assert told(store, 8).gain.lines[0].startswith("Barbell bench press: the best so far on 3 March, 5 repetitions at 80 kg")


def test_what_was_only_written_down_later_is_no_gain(store: Path):
    """The first session without effort is a lower bound, and the rest is the same set with it."""
    log(store, [one.rsplit(",", 1)[0] + "," if number < 3 else one for number, one in enumerate(steady("Bench press", 60, range(9), 5))], 9)
    assert told(store, 8).gain.lines == (client.NO_GAIN,)


def test_where_nothing_rose_in_many_weeks_that_is_said(store: Path):
    log(store, [f"{monday(0) + timedelta(days=1)},Bench press,70,8,3", *steady("Bench press", 60, range(30))], 30)
    assert told(store, 29).gain.lines == (client.NOTHING_ROSE,)


def test_of_a_first_week_no_gain_can_be_told_yet():
    row = {"athlete": "Ida", "exercise": "pull_up", "verdict": "too_little_data", "best_since": pd.NaT, "fit_to": pd.NaT}
    assert content._gain(None, pd.DataFrame([row]), None, monday(0), 12, "kg", False) == client.NO_GAIN


def test_repetitions_to_the_limit_are_said_to_be_estimated():
    assert "to the limit, as estimated" in client.gain("pull-up", "reps", 4.0, 9.0, 10, client.value("reps", 11.0, "kg"))


# --- which week is meant --------------------------------------------------------------------------------------------------


def block(store: Path, due: date, today: date) -> None:
    ends = due + timedelta(days=6)
    records.say(store, records.BLOCKS, "Ida", {"aim": "pulling", "starts": monday(4), "ends": ends, "deload_due": due}, today)
    refresh(store, today=today)


def test_in_the_week_after_a_report_the_changes_are_for_this_week(store: Path):
    log(store, steady("Barbell row", 50, range(9)), 9)
    sunday, after = told(store, 8, monday(9) - timedelta(days=1)), told(store, 8, monday(9) + timedelta(days=5))
    assert (sunday.plan.title, after.plan.title) == ("Next week", "This week")
    assert "this week" in sunday.done and "last week" in after.done
    assert any("had" in line and "this week" in line for line in sunday.plan.lines)
    said = " ".join([*after.watch.lines, *after.plan.lines])
    assert "last week" in said and "ext week" not in said and said == client.a_week_on(" ".join([*sunday.watch.lines, *sunday.plan.lines]))
    assert told(store, 8).plan.title == "Next week"  # of a week that was asked for


def test_of_a_week_that_still_runs_the_changes_are_for_itself(store: Path):
    log(store, steady("Barbell row", 50, range(10)), 9)
    assert told(store, 9).plan.title == "This week" and "so far" in told(store, 9).done


def test_a_deload_in_the_week_after_the_changes_is_said_at_their_end(store: Path):
    log(store, steady("Barbell row", 50, range(9)), 9)
    block(store, monday(10), monday(9))
    assert told(store, 8).plan.lines[-1] == "Then, from 16 March: the easy week."
    assert not any("Then" in line for line in told(store, 7).plan.lines)
    later = told(store, 9 - 1, monday(9)).plan
    assert later.title == "This week" and later.lines[-1] == "Then, from 16 March: the easy week."


def test_what_lasts_does_not_stay_as_it_is_where_the_easy_week_comes_first(store: Path):
    log(store, steady("Barbell row", 50, range(9)), 9)
    block(store, monday(9), monday(9))
    report = told(store, 8)
    assert any("Take the easy week" in line for line in report.plan.lines)
    assert report.watch.lines[0].endswith(client.EASY_FIRST) and "stays" not in report.watch.lines[0]
    assert "This week the easy week comes first." in told(store, 8, monday(9)).watch.lines[0]


def test_a_deload_that_is_due_in_the_week_of_the_changes_is_theirs(store: Path):
    log(store, steady("Barbell row", 50, range(9)), 9)
    block(store, monday(9), monday(9))
    plan = told(store, 8, monday(9)).plan
    assert plan.lines[0].startswith("Take the easy week that is due this week: ") and not any("Then" in line for line in plan.lines)


@pytest.mark.parametrize("later", [0, 3, 6])
def test_on_each_day_of_the_week_after_the_changes_are_for_this_week(store: Path, later: int):
    """Also of a report that was asked for, and on the Sunday, on which the next report could be made."""
    log(store, steady("Barbell row", 50, range(9)), 9)
    for asked in (False, True):
        report = gather(store_at(store), "Ida", monday(8), today=monday(9) + timedelta(days=later), asked=asked)
        assert report.plan.title == "This week" and "last week" in report.done


def test_where_the_week_of_the_changes_is_over_it_is_named_by_its_day(store: Path):
    log(store, steady("Barbell row", 50, range(12)), 12)
    own, past = told(store, 8), gather(store_at(store), "Ida", monday(8), today=monday(10), asked=True)
    assert past.plan.title == "For the week of 9 March" and past.done == own.done.replace("this week", "in the week of 2 March")
    assert any("this week" in line for line in own.plan.lines)
    assert past.plan.lines == tuple(line.replace("this week", "the week before") for line in own.plan.lines)
    assert not re.search("(?:this|next|last) week", " ".join([past.done, *past.watch.lines, *past.plan.lines]), re.IGNORECASE)


def test_whoever_stopped_is_given_no_week_that_is_over(store: Path):
    """The report of now of a store without a set for long; its first words are as of the log's end."""
    log(store, [*steady("Barbell row", 50, range(9)), f"{monday(9)},Barbell row,50,8,3"], 40)
    away = gather(store_at(store), "Ida", monday(11), today=monday(40))
    assert away.plan.title == past_week.WHEN_BACK and away.plan.lines[0].startswith("Begin with about 50")
    assert gather(store_at(store), "Ida", monday(9), today=monday(40)).plan.title == "For the week of 16 March"


def test_the_command_and_the_page_know_which_week_runs(store: Path, run, open_page, tmp_path: Path, monkeypatch):
    """By the real day."""
    running = date.today() - timedelta(days=date.today().weekday())
    bring_now(store, running)
    monkeypatch.chdir(tmp_path)
    for back, title in ((1, "This week"), (2, f"For the week of {day(running - timedelta(weeks=1), year=False)}"), (3, f"For the week of {day(running - timedelta(weeks=2), year=False)}")):
        week = str(running - timedelta(weeks=back))
        assert run("report", "--athlete", "Ida", "--week", week, "--out", f"{back}.html")[0] == 0
        assert f"<h2>{title}</h2>" in (tmp_path / f"{back}.html").read_text("utf-8")
        page = open_page(store, "app_pages/presentation.py", athlete="Ida", week=week)
        assert title in [unescaped(one.value) for one in page.header]


def bring_now(store: Path, running: date) -> None:
    """Nine weeks of rows up to the one that runs, which has a set on its Monday."""
    days = [running - timedelta(weeks=back) + timedelta(days=d) for back in range(9, 0, -1) for d in (0, 3)] + [running]
    keep(store, understand([("log.csv", (HEAD + "".join(f"{when},Ida,Barbell row,50,8,3\n" for when in days for _ in range(3))).encode())], Answers()))
    refresh(store)


def test_the_next_load_of_the_plan_is_in_the_clients_unit(store: Path):
    log(store, steady("Dumbbell row", 20, range(9), 20), 9)
    say(store, "Ida", shown_unit="lb", loads=[20.0, 50 * 0.45359237])
    refresh(store, today=monday(9))
    plan = " ".join(told(store, 8).plan.lines)
    assert "50 lb" in plan and " kg" not in plan


# --- parts ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("mark", [*EASY, None])
def test_in_an_easy_week_no_part_is_called_short(store: Path, mark: str | None):
    """Marked as one, or by what was done."""
    log(store, [*steady("Barbell row", 50, range(8)), *steady("Bench press", 60, range(8)), f"{monday(8)},Barbell row,50,8,3", f"{monday(8)},Bench press,60,8,3"], 9)
    if mark:
        mark_week(store, "Ida", monday(8), mark)
        refresh(store, today=monday(9))
    assert balance.shown(store_at(store), "Ida", monday(8))[1] is not None
    shelf, before = told(store, 8).figures[-1], told(store, 7).figures[-1]
    assert shelf.title == client.EASY_WEEK and "short" not in shelf.words and " short" not in str(shelf.chart.to_dict())
    assert "short" in before.words and before.title != client.EASY_WEEK


def test_in_an_easy_week_no_part_under_its_band_is_the_thing_to_watch(store: Path):
    """Rows alone leave the biceps short. That holds from week to week, and in a holiday nothing is asked of it; the episode goes on behind it."""
    log(store, [*steady("Barbell row", 50, range(9)), f"{monday(9)},Barbell row,50,8,3", *steady("Barbell row", 50, range(10, 12))], 12)
    say(store, "Ida", focus=["biceps"])
    mark_week(store, "Ida", monday(9), "holiday")
    refresh(store, today=monday(12))
    for week, short in ((8, True), (9, False), (10, True)):
        report, found = told(store, week), review(store_at(store), "Ida", monday(week))["flags"]
        assert (report.numbers.get("flag") == ("below_band", "biceps")) == short and ("the aim is 4" in report.watch.lines[0]) == short
        assert any(flag["kind"] == "below_band" for flag in found) == short
    assert told(store, 9).watch.lines == (client.NOTHING_STANDS_OUT,)
    (one,) = [flag for flag in flags(store_at(store), "Ida") if flag["kind"] == "below_band"]
    assert one["week"] < str(monday(9)) and one["until"] is None


@pytest.mark.parametrize(("athlete", "week"), [("Mina", date(2026, 9, 7)), ("Oskar", date(2026, 7, 27)), ("Oskar", date(2026, 9, 28))])
def test_the_parts_that_had_their_share_are_the_reviews_covered_ones(sample_store, athlete: str, week: date):
    """A part that has its sets from what helps it, and fewer than two of its own, is not short and not covered."""
    found, shelf = review(store_at(sample_store), athlete, week), gather(store_at(sample_store), athlete, week).figures[-1]
    held = sum(part["status"] != "below" for part in found["parts"] if part["in_focus"]) - found["covered_parts"]
    assert held == {"Mina": 2, "Oskar": 1}[athlete] * (week != date(2026, 9, 28))
    assert shelf.title.startswith(f"{found['covered_parts']} of {found['focus_parts']} parts had their share")
    assert "fewer than two" not in shelf.reading if not held else client.indirect(held) in shelf.reading


def test_the_shortest_part_stands_first_in_the_picture_and_is_the_one_to_watch(sample_store):
    words = gather(store_at(sample_store), "Oskar", date(2026, 5, 4)).figures[-1].words
    short = [float(one) for one in re.findall(r"([\d.]+) short", words)]
    assert len(short) > 1 and short == sorted(short, reverse=True) and len(set(short)) > 1
    given = pd.DataFrame([{"kind": "below_band", "subject": one, "called": one, "numbers": {}} for one in ("hip_abductors", "rectus_femoris")])
    assert content._watched(given, pd.Series(["hip_abductors", "rectus_femoris"]), ["rectus_femoris", "hip_abductors"]).subject == "rectus_femoris"


def test_a_gain_of_before_the_weeks_shown_is_none_in_them(store: Path):
    """A trend is judged over sixteen weeks; what rose in the first eight of them and stands still since rose in no week that is shown."""
    loads = [60 + 1.25 * min(week, 16) for week in range(24)]
    log(store, [f"{monday(week) + timedelta(days=later)},Bench press,{load},8,2" for week, load in enumerate(loads) for later in (0, 3) for _ in range(3)], 24)
    judged = strength.exercises(store_at(store), "Ida", monday(23)).iloc[0]
    assert judged["verdict"] == "progressing" and judged["rate_low"] > 0
    assert "stronger" not in gather(store_at(store), "Ida", monday(23), 8).gain.lines[0]
    assert "stronger" in gather(store_at(store), "Ida", monday(23), 12).gain.lines[0]
    assert "stronger" in gather(store_at(store), "Ida", monday(16), 8).gain.lines[0]
