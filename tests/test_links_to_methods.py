"""Beside each number stands the link to its formula, where the number stands; the equation in use; why a week is not dated."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from dashboard import methods
from dashboard.command.main import EQUATIONS as SAID
from dashboard.command.main import main
from dashboard.measures.one_rep_max import EQUATIONS
from dashboard.queries.kept import store_at
from dashboard.queries.onsets import onsets
from dashboard.sentences.onset import DATED, NOT_DATED
from etl.settings import RULES
from etl.store import writing
from tests.logs import ask
from tests.page_runs import all_text, measures, unescaped

STRENGTH, THIS_WEEK, LOAD = (f"app_pages/{name}.py" for name in ("strength", "this_week", "load"))


@pytest.mark.parametrize(("picked", "own"), [
    ("barbell_bench_press", {"e1rm", "eligibility", "possible_reps"}),
    ("pull_up", {"e1rm", "per_body_mass", "eligibility", "possible_reps"}),
    ("plank", {"hold_series"})])
def test_an_exercise_links_to_what_its_series_is_made_of_and_to_nothing_else(open_page, small_store, picked, own):
    run = open_page(small_store, STRENGTH, athlete="Robin")
    run.selectbox(key="exercise").set_value(picked).run()
    found = measures(run)
    found = found[found.index("verdict") : found.index("best") + 1]
    assert len(found) == len(set(found)) and {"rate_interval", "estimate_noise", "trend_line", "best", *own} <= set(found)
    others = {"e1rm", "per_body_mass", "eligibility", "possible_reps", "hold_series", "reps_series", "repetition_band", "layoff", "onset", "around_onset"}
    assert not set(found) & (others - own)


def test_a_gain_worth_having_is_linked_where_the_verdict_speaks_of_one(open_page, small_store):
    for picked, speaks in (("pull_up", True), ("barbell_bench_press", False)):
        run = open_page(small_store, STRENGTH, athlete="Robin")
        run.selectbox(key="exercise").set_value(picked).run()
        own = measures(run)
        assert ("worthwhile_gain" in own[own.index("verdict") : own.index("best")]) == speaks


def test_the_week_links_to_the_kinds_of_flag_that_it_has(open_page, small_store, tmp_path):
    found = measures(open_page(small_store, THIS_WEEK, athlete="Robin"))
    assert {"weakest_part", "check_entry", "plateau_flag", "spike", "per_body_mass"} <= set(found)
    assert not {"below_band", "first_exposure", "side_difference"} & set(found)
    other = shutil.copy(small_store, tmp_path / "other.duckdb")
    with writing(other) as con:
        con.execute("update kept_flags set kind = 'below_band' where kind = 'check_entry'")
        con.execute("update kept_flags set kind = 'first_exposure' where kind = 'plateau'")
    found = measures(open_page(other, THIS_WEEK, athlete="Robin"))
    assert {"below_band", "first_exposure"} <= set(found) and not {"check_entry", "plateau_flag"} & set(found)


def test_load_links_to_what_makes_a_week_pale(open_page, small_store):
    assert {"week_state", "deload", "layoff"} <= set(measures(open_page(small_store, LOAD, athlete="Robin")))


def test_load_links_to_each_kind_of_flag_that_it_lists(open_page, small_store):
    found = set(measures(open_page(small_store, LOAD, athlete="Robin")))
    assert {"spike", "plateau_flag", "check_entry"} <= found and not {"below_band", "first_exposure", "side_difference"} & found
    assert all(kind in methods.of_flags() for (kind,) in ask(small_store, "select distinct kind from kept_flags"))


# --- the equation -------------------------------------------------------------------------------------------------


def test_each_equation_that_can_be_said_has_its_formula():
    """Names of the command, of the code and of the methods; of each, the code that the methods name is that equation."""
    assert set(SAID) == set(EQUATIONS)
    for name, function in EQUATIONS.items():
        measure = methods.measure(methods.of_equation(name))
        assert f"dashboard.measures.one_rep_max.{function.__name__}" in measure.code
        assert methods.chosen_equation(name) == ("" if name == methods.USUAL_EQUATION else measure.title)


def by_wathen(store: Path, tmp_path: Path) -> Path:
    """A copy in which everybody's equation is another."""
    other = Path(shutil.copy(store, tmp_path / "wathen.duckdb"))
    with writing(other) as con:
        con.execute("update athletes set equation = 'wathen'")
    return other


@pytest.mark.parametrize("page", [STRENGTH, THIS_WEEK])
def test_pages_name_an_equation_that_was_chosen_and_link_to_it(open_page, small_store, tmp_path, page):
    said = "Estimated maxima are by the equation of Wathen (1994), which was chosen for this athlete."
    usual, chosen = (open_page(store, page, athlete="Robin") for store in (small_store, by_wathen(small_store, tmp_path)))
    assert said not in unescaped(all_text(usual)) and "e1rm" in measures(usual)
    assert said in unescaped(all_text(chosen)) and "wathen" in measures(chosen) and "e1rm" not in measures(chosen)


def test_the_review_names_an_equation_that_was_chosen(sample_store, tmp_path, capsys):
    for store, name, told in ((sample_store, "lower_of_two", False), (by_wathen(sample_store, tmp_path), "wathen", True)):
        assert main(["review", "--store", str(store), "--athlete", "Oskar"]) == 0
        assert ("the equation of Wathen (1994)" in capsys.readouterr().out) == told
        assert main(["review", "--store", str(store), "--athlete", "Oskar", "--json"]) == 0
        assert json.loads(capsys.readouterr().out)["equation"] == name


# --- weeks that are not dated ---------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def one_who_stands_still(sample_store: Path) -> tuple[str, str, list]:
    """An exercise of the sample with a plateau or a decline in a week that is dated and in one that is not."""
    return ask(sample_store, """
        select v.athlete, v.exercise, v.measure, min(v.week) filter (o.week is null) as older, max(v.week) filter (o.week is not null) as late
        from kept_strength v left join kept_onsets o on (o.athlete, o.week, o.subject) = (v.athlete, v.week, v.exercise)
        where v.verdict in ('plateau', 'declining') group by all having older is not null and late is not null order by all limit 1""")[0]


def test_only_weeks_before_the_last_four_lack_a_date(sample_store: Path):
    """So that the sentence, which is said wherever a date is lacking, is true."""
    lacking = ask(sample_store, f"""
        with last as (select athlete, max(week) as week from kept_weeks group by athlete)
        select count(*), count(*) filter (v.week > last.week - {7 * RULES.onset_kept_weeks})
        from (select athlete, week, exercise as subject, verdict from kept_strength union all select athlete, week, part, verdict from kept_part_strength) v
        join last using (athlete) left join kept_onsets o on (o.athlete, o.week, o.subject) = (v.athlete, v.week, v.subject)
        where v.verdict in {DATED} and o.week is null""")[0]
    assert lacking[0] > 0 and lacking[1] == 0
    assert f"last {RULES.onset_kept_weeks} weeks" in NOT_DATED


def test_an_older_plateau_says_why_it_is_not_dated(open_page, sample_store, one_who_stands_still, capsys):
    athlete, exercise, _, older, late = one_who_stands_still
    for week, dated in ((older, False), (late, True)):
        assert (not onsets(store_at(sample_store), athlete, week).empty) == dated
        week = week.isoformat()
        run = open_page(sample_store, STRENGTH, athlete=athlete, week=week)
        run.selectbox(key="exercise").set_value(exercise).run()
        assert (NOT_DATED in unescaped(all_text(run))) != dated
        found = measures(run)
        assert ("onset" in found[found.index("verdict") : found.index("best")]) == dated
        assert (unescaped(all_text(open_page(sample_store, THIS_WEEK, athlete=athlete, week=week))).count(NOT_DATED) == 1) != dated
        assert main(["review", "--store", str(sample_store), "--athlete", athlete, "--week", week]) == 0
        assert (NOT_DATED in capsys.readouterr().out) != dated
