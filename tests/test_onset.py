"""The dating of plateaus and declines: against other implementations, against simulated training, and as it is kept and told."""

from __future__ import annotations

import doctest
import json
import shutil
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest
import ruptures
import statsmodels.api as sm
from numpy.testing import assert_allclose

from dashboard.command.main import main
from dashboard.measures import around, onset as onset_module
from dashboard.measures.onset import DATED, NONE, OPEN, Dating, Profile, chances, middles_of_weeks, onset, profiles, together
from dashboard.measures.onset import onsets as onsets_of
from dashboard.measures.trend import pooled_looks
from dashboard.measures.window import Series
from dashboard.queries.kept import store_at
from dashboard.queries.onsets import onsets
from dashboard.queries.review import review
from dashboard.sentences import bands, onset as words
from dashboard.sentences.onset import NOT_CAUSES, around_sentence, onset_sentence
from dashboard.standing.refresh import refresh
from etl.importing import Answers, keep, understand
from etl.settings import RULES
from etl.store import writing
from etl.store.athletes import say
from etl.store.imports import mark_stale
from etl.store.marked_weeks import mark_week
from tests.logs import ask
from tests.strength_series import covariance

BREAKS = np.arange(3.0, 28.0)


def two_series(seed: int = 2) -> list[Series]:
    """Two exercises over 30 weeks, one of them in two bands, both bent at week 15."""
    rng = np.random.default_rng(seed)
    t = np.sort(rng.uniform(0, 30, 50))
    band = (rng.random(50) < 0.4).astype(int)
    y = 450 + 0.8 * np.minimum(t, 15) + 2.5 * band + rng.normal(0, 3, 50)
    later = np.sort(rng.uniform(4, 30, 30))
    return [Series(t, y, np.where(band, 4.0, 3.5), band),
            Series(later, 500 + 0.8 * np.minimum(later, 15) + rng.normal(0, 3, 30), np.full(30, 3.5), np.zeros(30, int))]


def training(rng: np.random.Generator, weeks: int, stop: float, before: float, after: float, sd: float = 3.5) -> Series:
    """Two sessions a week of a value that changes its slope once; day-to-day form is carried over from session to session."""
    t = np.arange(weeks).repeat(2) + np.tile([-6 / 7, -2 / 7], weeks)
    form = np.zeros(len(t))
    for i in range(1, len(t)):
        form[i] = 0.6 * form[i - 1] + rng.normal(0, 1.6 * sd / 3.5)
    value = 100 * np.exp((before * np.minimum(t, stop) + after * np.maximum(t - stop, 0)) / 100)
    measured = value * (1 + (form + rng.normal(0, np.sqrt(sd**2 - (2 * sd / 3.5) ** 2), len(t))) / 100)
    return Series(t, 100 * np.log(measured), np.full(len(t), 3.5), np.zeros(len(t), int))


def profile(series: list[Series], breaks: np.ndarray, scales: list[float] | None = None) -> Profile:
    """Of one dating."""
    points = together([series], [breaks])
    return profiles(points, np.array(scales or [1.0] * len(series)), np.ones(len(points.y)))[0][0]


# --- against other implementations --------------------------------------------------------------------------------


def test_profile_against_statsmodels_gls_at_every_break():
    series = two_series()
    found = profile(series, BREAKS, [1.0, 1.4])
    t, y = (np.concatenate([getattr(s, name) for s in series]) for name in ("t_weeks", "y"))
    levels = np.zeros((80, 3))
    levels[:50, 0], levels[:50, 1], levels[50:, 2] = series[0].band == 0, series[0].band == 1, 1
    v = np.zeros((80, 80))
    v[:50, :50] = covariance(series[0].t_weeks, series[0].noise, RULES.readiness_sd_pct, RULES.readiness_weeks)
    v[50:, 50:] = covariance(series[1].t_weeks, series[1].noise, RULES.readiness_sd_pct, RULES.readiness_weeks) * 1.4**2
    inverse = np.linalg.inv(v)

    def square(rest):
        return rest @ inverse @ rest

    alone = square(sm.GLS(y, levels, sigma=v).fit().resid)
    after, fall = found.slopes()
    for i, at in enumerate(BREAKS):
        fit = sm.GLS(y, np.column_stack([levels, t, np.minimum(t - at, 0)]), sigma=v).fit()
        assert_allclose([after[i], fall[i]], fit.params[-2:], rtol=1e-7)
        assert found.gain()[i] == pytest.approx(alone - square(fit.resid), rel=1e-7)
    best = BREAKS[np.argmin([square(sm.GLS(y, np.column_stack([levels, t, np.minimum(t - at, 0)]), sigma=v).fit().resid) for at in BREAKS])]
    assert BREAKS[np.argmax(found.gain())] == best


def test_best_break_against_ruptures_on_its_check_series():
    """A rise of ten and ten alike: ruptures' continuous cost gives [10, 20] (strength.md §11), the first index after the bend."""
    y = np.r_[np.arange(100, 110), np.full(10, 109)].astype(float)
    theirs = ruptures.Dynp(model="clinear", min_size=2, jump=1).fit(y).predict(1)
    assert theirs == ruptures.Pelt(model="clinear", min_size=2, jump=1).fit(y).predict(pen=1) == [10, 20]
    found = profile([Series(np.arange(20.0), y, np.full(20, 3.5), np.zeros(20, int))], np.arange(1.0, 19.0))
    assert found.breaks[np.argmax(found.gain())] == theirs[0] - 1
    after, fall = (slope[8] for slope in found.slopes())
    assert (after, fall) == (pytest.approx(0, abs=1e-9), pytest.approx(1))


@pytest.mark.parametrize("knot", [8, 15, 22])
def test_best_break_against_ruptures_with_noise(knot: int):
    t = np.arange(32.0)
    y = 100 + 1.5 * np.minimum(t, knot) + np.random.default_rng(knot).normal(0, 0.6, 32)
    design = np.column_stack([y, t, np.ones(32)])
    theirs = ruptures.Dynp(model="linear", min_size=3, jump=1).fit(design).predict(1)[0]
    found = profile([Series(t, y, np.full(32, 2.1), np.zeros(32, int))], np.arange(2.0, 30.0))
    ours = found.breaks[np.argmax(found.gain())]
    # Their two lines need not meet, so that they may part some steps beside the bend.
    assert abs(ours - knot) <= 2 and abs(ours - theirs) <= 4


def test_chances_against_integration_over_both_slopes():
    """The closed form, against the posterior summed over a fine grid of slopes."""
    found = profile(two_series(5), BREAKS)
    after, fall = np.meshgrid(np.linspace(-4, 4, 1601), np.linspace(0.0025, 5.9975, 1200), indexing="ij")
    prior_after = np.exp(-0.5 * ((after - 0.1) / 0.4) ** 2)
    prior_fall = np.exp(-0.5 * ((fall - 0.5) / 0.6) ** 2)
    prior_after, prior_fall = prior_after / prior_after[:, 0].sum(), prior_fall / prior_fall[0].sum()
    weights = []
    for i in range(len(BREAKS)):
        fit = (after * found.after_y[i] + fall * found.fall_y[i] - 0.5 * (
            after**2 * found.after_after[i] + 2 * after * fall * found.after_fall[i] + fall**2 * found.fall_fall[i]))
        weights.append(0.8 / len(BREAKS) * np.sum(np.exp(fit - 20) * prior_after * prior_fall))
    straight = after[:, 0] * found.after_y[0] - 0.5 * after[:, 0] ** 2 * found.after_after[0]
    weights.append(0.2 * np.sum(np.exp(straight - 20) * prior_after[:, 0]))
    assert_allclose(chances(found, 0.1, 0.4, 0.5, 0.6, 0.2), np.array(weights) / np.sum(weights), rtol=2e-3, atol=1e-9)


def test_several_datings_are_each_of_them():
    """Fitted together: series of other lengths, other breaks, bands, and one without anything to date."""
    alone = [Dating(two_series(5), 20.0), Dating([training(np.random.default_rng(2), 40, 22, 0.8, 0.0)], 40.0), Dating([], 9.0), Dating(two_series(7)[:1], 14.0, "declining", 0.1)]
    for one, by_itself in zip(onsets_of(alone), (onset(*d) for d in alone), strict=True):
        assert one.state == by_itself.state
        assert_allclose(one[1:], by_itself[1:], rtol=1e-9, equal_nan=True)


# --- what it uses, and what it does with little -------------------------------------------------------------------


def test_nothing_after_the_look_or_before_the_restart_is_used():
    whole = training(np.random.default_rng(4), 50, 20, 1.0, 0.0)
    until = Series(*(np.asarray(part)[whole.t_weeks <= 34] for part in whole[:4]))
    assert onset([whole], 34.0) == onset([until], 34.0)
    inside = Series(*(np.asarray(part)[until.t_weeks >= 10] for part in until[:4]))
    assert onset([whole._replace(first_week=10.0)], 34.0) == onset([inside], 34.0)


def test_a_level_of_its_own_for_each_series_and_band():
    series = two_series()
    raised = [series[0]._replace(y=series[0].y + 40 * series[0].band), series[1]._replace(y=series[1].y - 90)]
    assert_allclose(onset(raised, 30.0)[1:], onset(series, 30.0)[1:], rtol=1e-6)


@pytest.mark.parametrize("series", [[], [Series([1.0, 2.0], [1.0, 2.0], 3.5, 0)], [Series([2.0] * 9, np.arange(9.0), 3.5, 0)]])
def test_too_little_is_not_dated(series: list[Series]):
    assert onset(series, 20.0).state == NONE


def test_breaks_are_the_middles_of_the_weeks_between_first_and_last_session():
    series = Series(np.array([0.0, 3.0]), np.zeros(2), np.ones(2), np.zeros(2, int))  # Sundays, as a look is
    assert_allclose(middles_of_weeks([series], 3.0), np.array([1, 2, 3]) - 6 / 7 + 0.5)


def test_a_bend_by_itself_is_dated_to_its_week():
    t = np.arange(40).repeat(2) + np.tile([-6 / 7, -2 / 7], 40)
    sharp = Series(t, 450 + 3 * np.minimum(t, 20.0), np.full(80, 3.5), np.zeros(80, int))
    found = onset([sharp], 39.0)
    assert found.state == DATED and abs(found.week - 20) <= 1
    assert (found.before, found.after) == (pytest.approx(3, abs=0.2), pytest.approx(0, abs=0.2))


# --- how often the weeks named hold the truth -----------------------------------------------------------------------

CASES = {  # verdict, level, exercises: slope before and after, % a week, drawn from these
    ("plateau", "intermediate", 1): ((0.375, 1.0), (-0.2, 0.2)), ("plateau", "beginner", 1): ((0.75, 2.0), (-0.4, 0.4)),
    ("plateau", "intermediate", 3): ((0.375, 1.0), (-0.2, 0.2)), ("declining", "intermediate", 1): ((-0.1, 0.75), (-1.25, -0.25)),
}


def dated(rng: np.random.Generator, verdict: str, level: str, many: int, before: float, after: float, stop: float):
    """The onset at a look within eight weeks after the verdict first came, or None where it did not come."""
    weeks = int(max(stop, 0)) + 28
    series = [training(rng, weeks, stop, before, after) for _ in range(many)]
    looks = np.arange(int(max(stop, 0)) + 2, weeks, dtype=float)
    said = np.flatnonzero(pooled_looks(series, looks, level=level)["verdict"] == verdict)
    at = said[said <= said[0] + 7] if len(said) else []
    return onset(series, float(looks[rng.choice(at)]), verdict, RULES.worthwhile_pct[level]) if len(at) else None


@pytest.mark.parametrize("case", CASES)
def test_the_weeks_named_hold_the_truth_in_four_of_five(case: tuple):
    """At 2 sessions a week and 3.5 % noise, truths spread around what is usual; with 400 each: 0.89, 0.83, 0.87 and 0.85, in 9, 5, 6 and 7 weeks named."""
    verdict, level, many = case
    rng, held, dated_to = np.random.default_rng(11), [], []
    while len(held) < 120:
        before, after, stop = rng.uniform(*CASES[case][0]), rng.uniform(*CASES[case][1]), rng.uniform(10, 34)
        found = dated(rng, verdict, level, many, before, after, stop)
        if found is not None and found.state != NONE:
            # The weeks are named by their middles.
            held.append((found.state == OPEN or found.low - 0.5 <= stop) and stop <= found.high + 0.5)
            dated_to.append(found.state == DATED)
    assert 0.75 <= np.mean(held) <= 0.97  # two SE of 120 about 80 to 92 %
    assert np.mean(dated_to) > 0.75


def test_what_was_flat_from_the_first_day_is_not_given_a_date():
    rng = np.random.default_rng(8)
    found = [one for one in (dated(rng, "plateau", "intermediate", 1, 0.0, 0.0, -1.0) for _ in range(80)) if one is not None]
    assert len(found) > 40
    assert np.mean([one.state == DATED for one in found]) <= 0.12


# --- what else changed ------------------------------------------------------------------------------------------------


def test_a_difference_is_named_from_its_limit_on():
    before = {around.HARD_SETS: 12.0, around.DAYS: 2.0, around.RIR: 2.0, around.REPS: 6.0, around.MASS: 80.0, around.GAP: 5.0, around.LOGGED: 0.9}
    just = {around.HARD_SETS: 9.0, around.DAYS: 1.5, around.RIR: 3.0, around.REPS: 8.0, around.MASS: 78.4, around.GAP: 12.0, around.LOGGED: 0.65}
    for what, after in just.items():
        assert [one.what for one in around.named(before, before | {what: after})] == [what]
        short = after + 0.1 * (before[what] - after)
        assert around.named(before, before | {what: short}) == []
    assert len(around.named(before, just)) == RULES.around_named
    assert around.named(before, dict.fromkeys(before, np.nan)) == []


def steady(rng: np.random.Generator, weeks: int) -> dict[str, float]:
    """Weeks of two days and twelve sets, 20 % weekly noise, 6 % of sessions missed: nothing changes but by chance."""
    days = rng.binomial(2, 0.94, weeks)
    sets = 6 * days * np.exp(rng.normal(0, 0.2, weeks))
    gaps = np.where(rng.random(2 * weeks) < 0.06, 7.0, 3.5) + rng.normal(0, 0.7, 2 * weeks)
    count = int(sets.sum())
    return {around.HARD_SETS: sets.mean(), around.DAYS: days.mean(), around.RIR: rng.normal(2, 1, count).mean(),
            around.REPS: float(np.median(rng.integers(6, 11, count))), around.MASS: 80 + rng.normal(0, 0.4), around.GAP: gaps.max(),
            around.LOGGED: rng.binomial(count, 0.93) / count}


def test_steady_training_has_nothing_named():
    """With chance alone, in about one of sixteen (4,000 drawn); four tenths less work for good, in nearly all."""
    rng = np.random.default_rng(3)
    pairs = [(steady(rng, 8), steady(rng, int(rng.integers(6, 20)))) for _ in range(400)]
    assert np.mean([bool(around.named(before, after)) for before, after in pairs]) <= 0.10
    less = [after | {around.HARD_SETS: after[around.HARD_SETS] * 0.6} for _, after in pairs]
    assert np.mean([any(one.what == around.HARD_SETS for one in around.named(before, after)) for (before, _), after in zip(pairs, less, strict=True)]) >= 0.9


def test_words_say_when_and_name_no_cause():
    dates = date(2026, 5, 4), date(2026, 4, 13), date(2026, 5, 25)
    assert onset_sentence("plateau", "dated", *dates) == "Its rise ended about the week of 4 May (80 %: the weeks of 13 April to 25 May)."
    assert onset_sentence("declining", "dated", *dates).startswith("It began to fall about the week of 4 May")
    assert "before the week of 25 May" in onset_sentence("plateau", "open", None, None, dates[2])
    assert "cannot be dated" in onset_sentence("plateau", "none", None, None, None)
    every = [{"what": what, "before": 0.5, "after": 2.0} for what in words.WORDS]
    told = around_sentence(every)
    assert told.endswith(NOT_CAUSES) and f"50{words.ARROW}200 %" in told
    assert not any(word in told.lower() for word in ("because", "due to", "caused", "led to", "owing"))
    assert set(words.WORDS) == {around.HARD_SETS, around.DAYS, around.RIR, around.REPS, around.MASS, around.GAP, around.LOGGED}


@pytest.mark.parametrize("module", [onset_module, around, words, bands])
def test_worked_values_in_the_docstrings(module):
    assert doctest.testmod(module).failed == 0


def test_every_setting_of_the_dating_has_unit_mark_and_source():
    told = {row["name"]: row for row in RULES.described()}
    names = [name for name in told if name.startswith(("onset_", "around_"))]
    assert len(names) >= 12
    assert all(told[name][key] for name in names for key in ("unit", "mark", "source"))


# --- kept and told ------------------------------------------------------------------------------------------------------

FIRST = date(2026, 1, 5)
STOP, WEEKS = 20, 38


def log(sets_before: int = 6, sets_after: int = 3) -> str:
    """A bench press that rises 1 % a week for 20 weeks and stands from then on, with fewer sets from then on; a steady squat."""
    rng, rows = np.random.default_rng(6), ["Date,Exercise,Set,Load (kg),Reps,RIR,Body mass (kg)"]
    for week in range(WEEKS):
        for weekday in (0, 3):
            day = FIRST + timedelta(weeks=week, days=weekday)
            bench = 80 * np.exp(0.01 * min(week + weekday / 7, STOP)) * (1 + rng.normal(0, 0.025))
            rows += [f"{day},Barbell bench press,{n},{bench:.1f},6,2,80" for n in range(1, (sets_before if week < STOP else sets_after) + 1)]
            rows += [f"{day},Back squat,{n},{100 * np.exp(0.006 * week) * (1 + rng.normal(0, 0.02)):.1f},5,2,80" for n in (1, 2, 3)]
    return "\n".join(rows) + "\n"


def bring(path: Path, text: str, today: date = date(2026, 11, 1)) -> Path:
    say(path, "Ida", level="intermediate")
    keep(path, understand([("ida.csv", text.encode())], Answers(athlete="Ida"), today=today))
    refresh(path, today=today)
    return path


@pytest.fixture(scope="module")
def stopped(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return bring(tmp_path_factory.mktemp("onset") / "s.duckdb", log())


LAST = FIRST + timedelta(weeks=WEEKS - 1)


def test_a_planted_stop_is_dated_and_the_dose_around_it_is_named(stopped: Path):
    found = onsets(store_at(stopped), "Ida", LAST)
    row = found.loc["barbell_bench_press"]
    true = FIRST + timedelta(weeks=STOP)
    assert row["low"].date() <= true <= row["high"].date() + timedelta(days=6)
    assert (row["high"] - row["low"]).days <= 7 * 12
    changed = {one["what"]: one for one in row["changed"]}
    assert changed["hard_sets_a_week"]["before"] == pytest.approx(12, abs=1.5)
    assert changed["hard_sets_a_week"]["after"] == pytest.approx(6, abs=1.5)
    assert set(changed) == {"hard_sets_a_week"}
    assert NOT_CAUSES in row["around"]


@pytest.mark.parametrize("away, mark, named", [(STOP + 4, None, True), (STOP + 4, "holiday", False), (STOP + 4, "illness", False), (STOP + 4, "deload", True),
                                               (STOP + 13, None, False), (STOP - 4, None, True), (STOP - 4, "holiday", False), (STOP - 14, None, False)])
def test_days_off_are_named_near_the_onset_only_and_not_where_a_mark_explains_them(tmp_path: Path, away: int, mark: str | None, named: bool):
    """Twice a week but for one week without sessions: eleven days, where four are usual."""
    path, gone = tmp_path / "away.duckdb", FIRST + timedelta(weeks=away)
    rest = [line for line in log().splitlines() if not gone.isoformat() <= line[:10] <= (gone + timedelta(days=6)).isoformat()]
    bring(path, "\n".join(rest) + "\n")
    if mark:
        mark_week(path, "Ida", gone, mark, LAST)
        refresh(path, today=date(2026, 11, 1))
    row = onsets(store_at(path), "Ida", LAST).loc["barbell_bench_press"]
    assert row["state"] == "dated" and abs((row["onset"].date() - FIRST).days / 7 - STOP) <= 3
    found = [one for one in row["changed"] if one["what"] == around.GAP]
    assert [sorted((one["before"], one["after"])) for one in found] == [[4, 11]] * named


def test_only_plateaus_and_declines_are_dated(stopped: Path):
    judged = ask(stopped, "select exercise, week from kept_strength where verdict in ('plateau', 'declining') "
                          "union select part, week from kept_part_strength where verdict in ('plateau', 'declining') order by all")
    first = LAST - timedelta(weeks=RULES.onset_kept_weeks - 1)
    judged = [(subject, week) for subject, week in judged if week >= first]
    assert judged
    assert ask(stopped, "select subject, week from kept_onsets order by all") == judged
    assert not [subject for subject, _ in judged if subject == "back_squat"]
    wrong = ask(stopped, "select count(*) from kept_onsets where low > onset or onset > high or high > week or extract(dow from high) <> 1")
    assert wrong == [(0,)]


def test_a_look_knows_nothing_of_later_weeks(tmp_path: Path, stopped: Path):
    lines = log().splitlines()
    end = FIRST + timedelta(weeks=WEEKS - 1, days=-1)
    first = LAST - timedelta(weeks=RULES.onset_kept_weeks - 1)
    early = bring(tmp_path / "s.duckdb", "\n".join([lines[0], *(line for line in lines[1:] if line[:10] <= end.isoformat())]) + "\n")
    sql = f"select * from kept_onsets where week between '{first}' and '{end}' order by week, subject"
    assert len(ask(early, sql)) >= 2
    assert ask(early, sql) == ask(stopped, sql)


def test_a_log_that_becomes_shorter_is_dated_anew(tmp_path: Path, stopped: Path):
    """Removing the last week makes another the last one; it is dated as if the log had never been longer."""
    one_week, end = replace(RULES, onset_kept_weeks=1), LAST - timedelta(days=1)
    shorter = tmp_path / "shorter.duckdb"
    shutil.copy(stopped, shorter)

    def again(since: date) -> list:
        with writing(shorter) as con:
            con.execute("delete from sets where date > ?", [since])
            mark_stale(con, {"Ida": since})
        refresh(shorter, today=date(2026, 11, 1), rules=one_week)
        return ask(shorter, "select subject, week, onset, low, high, state from kept_onsets order by all")

    assert {week for _, week, *_ in again(LAST + timedelta(days=6))} == {LAST}
    found = again(end)
    assert {week for _, week, *_ in found} == {LAST - timedelta(weeks=1)}
    assert found == ask(stopped, f"select subject, week, onset, low, high, state from kept_onsets where week = '{LAST - timedelta(weeks=1)}' order by all")


def test_review_gives_the_onset_as_numbers_and_in_words(stopped: Path, capsys: pytest.CaptureFixture):
    entries = review(store_at(stopped), "Ida", LAST)["strength"]
    began = {entry.get("exercise") or entry["part"]: entry["onset"] for entry in entries}
    bench = began["barbell_bench_press"]
    assert set(bench) == {"onset", "low", "high", "changed", "message"}
    assert date.fromisoformat(bench["low"]) <= date.fromisoformat(bench["onset"]) <= date.fromisoformat(bench["high"])
    assert any(onset is None for onset in began.values())
    json.dumps(entries)
    assert main(["review", "--store", str(stopped), "--athlete", "Ida", "--week", LAST.isoformat()]) == 0
    assert bench["message"] in capsys.readouterr().out


def test_an_erased_athlete_has_no_onsets(tmp_path: Path):
    store = bring(tmp_path / "s.duckdb", log())
    assert ask(store, "select count(*) from kept_onsets")[0][0] > 0
    assert main(["erase", "--store", str(store), "--athlete", "Ida", "--yes"]) == 0
    assert ask(store, "select count(*) from kept_onsets") == [(0,)]
