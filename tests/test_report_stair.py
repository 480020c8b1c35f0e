"""Which stair a client is shown: by itself not one that hurt lately, else the one that was chosen, on the page, in its files and on the command line."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from shutil import copyfile

import pandas as pd
import pytest
import streamlit

from dashboard.queries import stair
from dashboard.queries.kept import store_at
from dashboard.queries.words import exercise_words
from dashboard.report import content, figures
from dashboard.report.content import gather
from dashboard.standing.refresh import refresh
from etl.store import said
from tests.climbing import monday, path  # noqa: F401 - path is a fixture
from tests.page_runs import unescaped

TODAY = date(2026, 11, 1)
WEEK = monday(19)
BY_ITSELF, CHOSEN = "Dumbbell curl", "Barbell bench press"


@pytest.fixture
def ben(path: Path, store: Path) -> Path:  # noqa: F811
    """The store of Ada and Ben, to be written to."""
    copyfile(path, store)
    return store


def hurt(store: Path, subject: str, when: date, kind: str = "pain", athlete: str = "Ben") -> None:
    said.say(store, said.NOTES, athlete, {"date": when, "kind": kind, "place": "left elbow", "subject": subject}, TODAY)
    refresh(store, today=TODAY)


def shown(store: Path, which: str | None = None, week: date = WEEK, athlete: str = "Ben") -> str:
    """The title of the picture of the stair."""
    (of,) = [one for one in gather(store_at(store), athlete, week, which=which).figures if one.reading.startswith(figures.READ_STAIR.partition("{")[0])]
    return of.title


# --- by itself --------------------------------------------------------------------------------------------------------------


def test_a_stair_whose_exercise_hurt_in_the_last_four_weeks_is_not_shown_by_itself(ben: Path):
    assert shown(ben).startswith(BY_ITSELF)
    hurt(ben, "dumbbell_curl", WEEK - timedelta(weeks=3))
    assert not shown(ben).startswith(BY_ITSELF)
    assert shown(ben, "loads:dumbbell_curl").startswith(BY_ITSELF)  # it can be chosen
    hurt(ben, "weighted_dip", WEEK)
    assert not shown(ben).startswith((BY_ITSELF, "Weighted dip"))


def test_a_gain_of_what_hurt_lately_is_told_after_others_and_the_chosen_one_before_them(ben: Path):
    def gain(which: str | None = None) -> str:
        return gather(store_at(ben), "Ben", WEEK, which=which).gain.lines[0]

    first = gain()
    exercise, of_it = next((one, name) for one, name in exercise_words().items() if first.lower().startswith(name.lower()))
    hurt(ben, exercise, WEEK - timedelta(weeks=1))
    assert not gain().lower().startswith(of_it.lower())
    assert gain(f"loads:{exercise}") == first


@pytest.mark.parametrize(("subject", "when", "kind"), [
    ("dumbbell_curl", WEEK - timedelta(weeks=3, days=1), "pain"), ("dumbbell_curl", WEEK + timedelta(weeks=1), "pain"), ("dumbbell_curl", WEEK, "soreness"), ("", WEEK, "pain")],
    ids=["older", "later", "soreness", "nothing said"])
def test_pain_that_is_older_or_later_or_of_nothing_named_leaves_the_stair(ben: Path, subject: str, when: date, kind: str):
    hurt(ben, subject, when, kind)
    assert shown(ben).startswith(BY_ITSELF)


def test_the_pain_of_somebody_else_changes_nothing(ben: Path):
    hurt(ben, "dumbbell_curl", WEEK, athlete="Ada")
    assert shown(ben).startswith(BY_ITSELF)


def test_pain_that_was_noted_with_a_part_is_of_the_exercises_that_train_it_first(ben: Path):
    hurt(ben, "biceps", WEEK)
    assert not shown(ben).startswith(BY_ITSELF)


def test_of_a_progression_the_step_stood_on_counts_and_one_that_hurt_is_shown_where_there_is_no_other(ben: Path):
    store, week = store_at(ben), monday(18)
    of = stair.stair(store, "Ada", "ladder:push_up", week)
    lower, stood = (of.sessions.loc[of.sessions["step"] == step, "exercise"].iloc[0] for step in (0, of.current))
    assert not stair.hurts(of, {lower}) and stair.hurts(of, {stood}) and lower != stood
    hurt(ben, stood, week, athlete="Ada")
    assert list(stair.stairs(store, "Ada", week)) == ["ladder:push_up"] and shown(ben, week=week, athlete="Ada").startswith("Push-up")


# --- chosen -----------------------------------------------------------------------------------------------------------------


def test_the_chosen_stair_is_shown_and_the_gain_of_its_exercise_before_others(ben: Path):
    assert shown(ben, "loads:barbell_bench_press").startswith(CHOSEN)
    assert shown(ben, "loads:back_squat") == shown(ben)  # of which there is nothing
    rising = pd.DataFrame({"exercise": ["a", "b"], "name": ["a", "b"], "measure": "e1rm", "verdict": "progressing", "rate_low": [2.0, 1.0], "fit_to": pd.Timestamp(WEEK)})
    assert content._best_trend(rising, WEEK, 12)["exercise"] == "a"
    assert content._best_trend(rising, WEEK, 12, {"b"})["exercise"] == "b" and content._best_trend(rising, WEEK, 12, {"c"})["exercise"] == "a"
    assert {"push_up", "knee_push_up"} <= stair.exercises_of("ladder:push_up") and stair.exercises_of("loads:back_squat") == {"back_squat"}


def test_loads_of_an_exercise_that_is_called_as_its_progression_are_told_apart(ben: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(stair, "_ladder_names", lambda: {"dip": "dumbbell curl"})
    names = stair.stairs(store_at(ben), "Ben", WEEK)
    assert (names["ladder:dip"], names["loads:dumbbell_curl"]) == ("dumbbell curl", "dumbbell curl, loads")


def test_the_page_offers_the_stairs_of_this_athlete_alone_and_keeps_the_choice_in_the_address(ben: Path, open_page):
    page = open_page(ben, "app_pages/presentation.py", athlete="Ben", week=WEEK.isoformat())
    (select,) = page.selectbox
    assert select.label == "Stair" and select.value is None and "stair" not in page.query_params
    names = stair.stairs(store_at(ben), "Ben", WEEK)
    assert [one.casefold() for one in select.options] == [name.casefold() for name in names.values()] and not any("push-up" in one for one in select.options)
    select.set_value("loads:barbell_bench_press").run()
    assert not page.exception and [head.value for head in page.header if unescaped(head.value).startswith(CHOSEN)]
    assert page.query_params["stair"] in ("loads:barbell_bench_press", ["loads:barbell_bench_press"])


def test_a_link_opens_the_chosen_stair_and_one_of_somebody_else_is_said_to_be_none(ben: Path, open_page):
    def opened(which: str) -> tuple[list[str], str]:
        page = open_page(ben, "app_pages/presentation.py", athlete="Ben", week=WEEK.isoformat(), stair=which)
        assert not page.exception
        return [unescaped(head.value) for head in page.header], " ".join(one.value for one in page.warning)

    heads, warned = opened("loads:barbell_bench_press")
    assert [head for head in heads if head.startswith(CHOSEN)] and not warned
    heads, warned = opened("ladder:push_up")
    assert [head for head in heads if head.startswith(BY_ITSELF)] and "not among these" in warned and not any("ush-up" in head for head in heads)


@pytest.mark.parametrize(("address", "title"), [({}, BY_ITSELF), ({"stair": "loads:barbell_bench_press"}, CHOSEN)])
def test_the_files_of_the_page_hold_the_stair_that_it_shows(ben: Path, open_page, monkeypatch: pytest.MonkeyPatch, address: dict, title: str):
    given = {}
    monkeypatch.setattr(streamlit, "download_button", lambda label, data, *_, **__: given.update({label: data}))
    open_page(ben, "app_pages/presentation.py", athlete="Ben", week=WEEK.isoformat(), **address)
    (other,) = {BY_ITSELF, CHOSEN} - {title}
    text = given["HTML, one file"]().decode("utf-8")
    assert f">{title}: " in text and f">{other}: at" not in text


@pytest.mark.parametrize("named", ["bench press", "Barbell bench press", "barbell_bench_press", "loads:barbell_bench_press"])
def test_the_command_takes_an_exercise_by_its_name_or_id(ben: Path, run, tmp_path: Path, named: str):
    assert run("report", "--athlete", "Ben", "--week", WEEK.isoformat(), "--out", str(tmp_path / "b.html"), "--stair", named)[0] == 0
    assert f">{CHOSEN}: " in (tmp_path / "b.html").read_text("utf-8")


@pytest.mark.parametrize("named", ["push-up (horizontal press)", "push_up", "Feet elevated push-up"])
def test_the_command_takes_a_progression_or_a_step_of_it(ben: Path, run, tmp_path: Path, named: str):
    assert run("report", "--athlete", "Ada", "--week", monday(18).isoformat(), "--out", str(tmp_path / "a.html"), "--stair", named)[0] == 0
    assert ">Push-up" in (tmp_path / "a.html").read_text("utf-8")


@pytest.mark.parametrize("named", ["back squat", "one-arm push-up", "no such thing", "push-up", ""])
def test_what_was_not_trained_is_refused_with_what_there_is_of_this_athlete(ben: Path, run, tmp_path: Path, named: str):
    status, out, err = run("report", "--athlete", "Ben", "--week", WEEK.isoformat(), "--out", str(tmp_path / "b.html"), "--stair", named)
    assert (status, out) == (1, "") and f"Ben has no stair '{named}'" in err and "There are: barbell bench press, dumbbell curl," in err
    assert "horizontal press" not in err and not (tmp_path / "b.html").exists()


def test_one_stair_is_not_asked_for_in_the_reports_of_all(ben: Path, run, tmp_path: Path):
    status, _, err = run("report", "--all", "--out", str(tmp_path / "all"), "--stair", "dip")
    assert status == 1 and "One stair was asked for in the reports of all" in err and not (tmp_path / "all").exists()
