"""Parts pooled from several exercises, what these share, longer windows for noisy series: against statsmodels and against simulation."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm
from scipy.linalg import block_diag

from dashboard.measures.bent_fit import fit_bent
from dashboard.measures.pooled import Pooled, days_with_points, first_enough, pooled, pooled_bent
from dashboard.measures.readiness import quadratic, shared_readiness
from dashboard.measures.trend import judge, looks, own_window, pooled_looks
from dashboard.measures.window import Asked, Series, Stack, stacked
from dashboard.measures.window_fit import Ups, fit_looks, ups
from dashboard.queries.kept import store_at
from dashboard.queries.people import week_to_show
from dashboard.queries.review import review
from dashboard.sentences.numbers import signed
from dashboard.sentences.strength import exercise_reasons, rate
from dashboard.standing.log import read_logs
from dashboard.standing.refresh import refresh
from dashboard.standing.strength import strength
from dashboard.standing.weekly import weekly
from etl.importing import Answers, keep, known, understand
from etl.settings import RULES
from etl.store import reading
from tests import plain_loop
from tests.calibration.athletes import FIRST_DAY, TOGETHER
from tests.calibration.population import worked_out
from tests.calibration.program import write_log
from tests.calibration.steady_loads import Repetitions, repetition_sets
from tests.strength_series import covariance, gls, quiet, series

SD, DECAY = RULES.readiness_sd_pct, np.exp(-1 / 7)
# Series taken to share no good and bad days, whatever they show.
APART = replace(RULES, shared_pairs=np.inf)
# No point is taken for an outlier.
QUIET = replace(RULES, outlier_z=99.0)


def ALWAYS(sessions, first, last):
    return np.ones(len(sessions), bool)


def training(rng: np.random.Generator, weeks: int = 30, white: float = 2.5, readiness: np.ndarray | None = None, slope: float = 0.3) -> Series:
    """Two sessions a week on whole days. readiness: by day, of all exercises; else the exercise's own."""
    day = np.sort(np.concatenate([7 * w + rng.choice(7, 2, replace=False) for w in range(weeks)]))
    form = day_form(rng, 7 * weeks) if readiness is None else readiness
    return Series(day / 7, 450 + slope * day / 7 + form[day] + rng.normal(0, white, len(day)), 3.5, 0)


def day_form(rng: np.random.Generator, days: int) -> np.ndarray:
    """An Ornstein-Uhlenbeck process by day, SD 2, a memory of one week."""
    form = np.zeros(days)
    form[0] = rng.normal(0, SD)
    for i in range(1, days):
        form[i] = DECAY * form[i - 1] + rng.normal(0, SD * np.sqrt(1 - DECAY**2))
    return form


def test_pooled_slope_against_statsmodels_through_all_points():
    """One slope, a level and readiness per exercise: block-diagonal V, one statsmodels fit."""
    rng = np.random.default_rng(21)
    exercises = [quiet(rng), quiet(rng), quiet(rng)]
    row = pooled_looks([Series(t, y + 30 * i, 3.5, 0) for i, (t, y) in enumerate(exercises)], [40.0], rules=APART, window_weeks=16).iloc[0]
    blocks, ys, xs = [], [], []
    for i, (t, y) in enumerate(exercises):
        scale = looks(t, y, 3.5, 0, [40.0])["scale"].iloc[0]
        inside = t > 24
        blocks.append(covariance(t[inside], np.full(inside.sum(), 3.5), 2.0, 1.0) * scale**2)
        ys.append(y[inside])
        xs.append(np.column_stack([t[inside] - 40, np.eye(3)[np.full(inside.sum(), i)]]))
    v = np.zeros((96, 96))
    for i, block in enumerate(blocks):
        v[32 * i : 32 * i + 32, 32 * i : 32 * i + 32] = block
    fit = sm.GLS(np.concatenate(ys), np.concatenate(xs), sigma=v).fit()
    assert row["slope"] == pytest.approx(fit.params[0], rel=1e-9)
    assert row["se"] == pytest.approx(np.sqrt(fit.normalized_cov_params[0, 0]), rel=1e-9)
    assert row["sessions"] == 32


def test_pooling_one_exercise_is_that_exercise():
    t, y = series(np.random.default_rng(22))
    weeks = np.arange(1, 41.0)
    one, alone = looks(t, y, 3.5, 0, weeks), pooled_looks([Series(t, y, 3.5, 0)], weeks)
    same = [name for name in alone if name in one]
    assert {"slope", "se", "verdict", "sessions", "fit_from"} <= set(same)
    pd.testing.assert_frame_equal(alone[same], one[same])
    pooled = pooled_looks([Series(t, y, 3.5, 0), Series([39.0], [480.0], [3.5], [0])], weeks, window_weeks=16)
    one = looks(t, y, 3.5, 0, weeks, window_weeks=16)
    for column in ("slope", "se", "sessions", "scale", "fit_from", "verdict"):
        pd.testing.assert_series_equal(pooled[column], one[column], rtol=1e-9, check_dtype=False)


def test_pooled_sessions_are_distinct_times_of_all():
    a, b = np.arange(0.5, 16), np.arange(0.5, 16, 0.5)
    row = pooled_looks([Series(a, 460 + 0 * a, 3.5, 0), Series(b, 400 + 0 * b, 3.5, 0)], [16.0], window_weeks=16).iloc[0]
    assert row["sessions"] == len(b)
    assert row["series"] == 2


def test_an_exercise_may_restart_alone():
    t, y = series(np.random.default_rng(23))
    both = pooled_looks([Series(t, y, 3.5, 0), Series(t, y, 3.5, 0, first_week=30.0)], [40.0], rules=APART, window_weeks=16).iloc[0]
    late = looks(t, y, 3.5, 0, [40.0], 30.0, window_weeks=16).iloc[0]
    full = looks(t, y, 3.5, 0, [40.0], window_weeks=16).iloc[0]
    assert both["se"] == pytest.approx((full["se"] ** -2 + late["se"] ** -2) ** -0.5, rel=1e-9)


def test_no_exercise_at_all():
    assert pooled_looks([], [1.0, 2.0])["verdict"].tolist() == ["too_little_data"] * 2


def scaled(stack: Stack, asked: Asked, scale: np.ndarray) -> Ups:
    """The ups and downs of looks, with a scale that is given."""
    return ups(stack, asked, RULES)._replace(scale=scale)


@pytest.mark.parametrize("rho", [0.0, 0.4, 1.0])
def test_variance_of_a_pooled_slope_against_the_whole_covariance(rho: float):
    """w' C w, with C from one covariance matrix over all sessions of all exercises, cross blocks and all."""
    rng = np.random.default_rng(3)
    stack = stacked([training(rng), training(rng), training(rng)])
    asked = Asked(np.arange(3), np.full(3, 30.0), np.full(3, -np.inf), np.full(3, 16.0))
    scale = np.array([1.0, 1.2, 0.8])
    fits = fit_looks(stack, asked, scaled(stack, asked, scale), RULES, weights=True)
    one = pooled(fits, scale, np.arange(3), np.zeros(3, int), np.arange(3), np.array([rho]), np.array([16.0]), ALWAYS)
    weight = fits.slope_se**-2 / (fits.slope_se**-2).sum()
    combined, blocks, times, scales = [], [], [], []
    for i in range(3):
        own = slice(stack.begin[i], stack.begin[i + 1])
        t, y = stack.t[own], stack.y[own]
        inside = (t > 14) & (t <= 30)
        v = covariance(t[inside], np.full(inside.sum(), 3.5), SD, 1.0) * scale[i] ** 2
        # what the fit gave outliers in addition is theirs alone
        line = gls(np.column_stack([t[inside] - 30, np.ones(inside.sum())]), y[inside], v)
        blocks.append(v)
        combined.append(weight[i] * line.weights[0])
        times.append(t[inside])
        scales.append(np.full(inside.sum(), scale[i]))
    a, t, s, owner = np.concatenate(combined), np.concatenate(times), np.concatenate(scales), np.repeat(np.arange(3), [len(x) for x in times])
    whole = block_diag(*blocks) + rho * (owner[:, None] != owner[None]) * np.outer(s, s) * SD**2 * np.exp(-np.abs(t[:, None] - t[None]))
    assert one.slope_se[0] ** 2 == pytest.approx(a @ whole @ a, rel=0.03)  # the fit gives outlying sessions a little more noise
    assert one.slope[0] == pytest.approx((weight * fits.slope).sum(), rel=1e-12)


def test_the_quadratic_form_against_the_matrix():
    rng = np.random.default_rng(1)
    x = rng.normal(size=(4, 30))
    matrix = 0.8 ** np.abs(np.subtract.outer(np.arange(30), np.arange(30)))
    assert quadratic(x, 0.8) == pytest.approx(np.einsum("md,de,me->m", x, matrix, x), rel=1e-12)


def shared_of(rng: np.random.Generator, shared: bool) -> float:
    form = day_form(rng, 210) if shared else None
    stack = stacked([training(rng, readiness=form) for _ in range(3)])
    asked = Asked(np.arange(3), np.full(3, 30.0), np.full(3, -np.inf), np.full(3, 16.0))
    found = ups(stack, asked, RULES)
    return float(shared_readiness(found.residuals, found.there, np.zeros(3, int), 1)[0])


def test_what_exercises_share_is_seen_where_it_is_and_not_where_it_is_not():
    rng = np.random.default_rng(5)
    together, apart = (np.array([shared_of(rng, shared) for _ in range(60)]) for shared in (True, False))
    assert together.mean() > 0.35 and apart.mean() < 0.15
    assert ((together >= 0) & (together <= 1) & (apart >= 0) & (apart <= 1)).all()
    one = shared_readiness(np.zeros((1, 182)), np.ones((1, 182)), np.zeros(1, int), 1)
    assert one.tolist() == [0.0]


def test_an_interval_of_exercises_that_go_together_is_wider():
    rng = np.random.default_rng(8)
    form = day_form(rng, 210)
    series = [training(rng, readiness=form) for _ in range(3)]
    counted, not_counted = (pooled_looks(series, [30.0], rules=replace(RULES, shared_pairs=pairs), window_weeks=16).iloc[0] for pairs in (60, np.inf))
    assert counted["slope"] == pytest.approx(not_counted["slope"], rel=1e-12)
    assert counted["se"] > 1.05 * not_counted["se"]


@pytest.mark.parametrize(("weeks", "rho"), [(8.0, 0.0), (8.0, 0.6), (12.0, 1.0)])
def test_a_bent_line_of_several_exercises_against_statsmodels(weeks: float, rho: float):
    """One fit through all sessions by statsmodels: shared slopes before and after the bend, a level for each exercise."""
    rng = np.random.default_rng(11)
    stack, scale = stacked([training(rng), training(rng), training(rng)]), np.array([1.0, 1.3, 0.9])
    asked = Asked(np.arange(3), np.full(3, 30.0), np.full(3, -np.inf), np.full(3, 16.0))
    around = scaled(stack, asked, scale)
    (bent,) = fit_bent(stack, asked, around, (weeks,), QUIET)
    days = days_with_points(around.there, np.zeros(3, int), 1)
    one = pooled_bent(bent, scale, np.arange(3), np.zeros(3, int), np.arange(3), np.array([rho]), weeks, ALWAYS, days)
    assert one.sessions.tolist() == [len(np.unique(stack.t[stack.t > 4]))]
    inside = [np.flatnonzero(stack.t[stack.begin[i] : stack.begin[i + 1]] > 4) + stack.begin[i] for i in range(3)]
    owner, at = np.repeat(np.arange(3), [len(x) for x in inside]), np.concatenate(inside)
    t, y = stack.t[at] - 30, stack.y[at]
    v = block_diag(*(covariance(stack.t[x], np.full(len(x), 3.5), SD, 1.0) * s**2 for x, s in zip(inside, scale, strict=True)))
    x = np.column_stack([np.maximum(t, -weeks), np.minimum(t + weeks, 0), np.eye(3)[owner]])
    theirs = sm.GLS(y, x, sigma=v).fit()
    assert one.slope[0] == pytest.approx(theirs.params[0], rel=1e-8)
    whole = v + rho * (owner[:, None] != owner[None]) * np.outer(scale[owner], scale[owner]) * SD**2 * np.exp(-np.abs(t[:, None] - t[None]))
    weights = (theirs.normalized_cov_params @ x.T @ np.linalg.inv(v))[0]
    assert one.slope_se[0] ** 2 == pytest.approx(weights @ whole @ weights, rel=1e-8)


def test_no_history_before_a_bend_says_nothing_of_it():
    rng = np.random.default_rng(12)
    short = training(rng, weeks=6)
    stack = stacked([short, short])
    asked = Asked(np.arange(2), np.full(2, 6.0), np.full(2, -np.inf), np.full(2, 16.0))
    (bent,) = fit_bent(stack, asked, scaled(stack, asked, np.ones(2)), (8.0,), RULES)
    assert np.isnan(pooled_bent(bent, np.ones(2), np.arange(2), np.zeros(2, int), np.arange(2), np.zeros(1), 8.0, ALWAYS, np.zeros(1)).slope).all()


def test_the_latest_bend_that_says_enough_is_taken():
    rng = np.random.default_rng(4)
    series = [training(rng) for _ in range(4)]
    row = pooled_looks(series, [30.0]).iloc[0]
    assert row["weeks"] in RULES.pool_bends and row["se"] <= RULES.pool_se_pct["intermediate"]
    strict = replace(RULES, pool_se_pct={"intermediate": 0.01})
    assert pooled_looks(series, [30.0], rules=strict)["weeks"].iloc[0] == RULES.window_weeks["intermediate"]
    later = pooled_looks(series, [30.0], rules=replace(RULES, pool_bends=(12.0,))).iloc[0]
    assert later["weeks"] == 12 and later["se"] < row["se"]
    assert pooled_looks(series[:1], [30.0])["weeks"].iloc[0] == RULES.window_weeks["intermediate"]
    early = pooled_looks([s._replace(t_weeks=s.t_weeks[:20], y=s.y[:20]) for s in series], [10.0]).iloc[0]
    assert early["weeks"] == RULES.window_weeks["intermediate"]


def test_first_enough_takes_the_last_where_none_is():
    rng = np.random.default_rng(2)
    stack = stacked([training(rng)])
    asked = Asked(np.zeros(1, int), np.array([30.0]), np.array([-np.inf]), np.array([16.0]))

    def over(weeks: float, enough: bool = True) -> Pooled:
        own = asked._replace(weeks=np.array([weeks]))
        return pooled(fit_looks(stack, own, scaled(stack, own, np.ones(1)), RULES, True), np.ones(1), np.zeros(1, int), np.zeros(1, int),
                      np.zeros(1, int), np.zeros(1), np.array([weeks]), lambda *_: np.array([enough]))

    assert first_enough([over(8), over(16)], np.array([1e-6])).weeks.tolist() == [16.0]
    assert first_enough([over(8, enough=False), over(16)], np.array([9.0])).weeks.tolist() == [16.0]
    assert first_enough([over(8), over(16)], np.array([9.0])).weeks.tolist() == [8.0]


def test_a_noisier_series_is_looked_at_over_more_weeks():
    assert own_window(np.array([0.8, 1.0, 1.35, 2.0]), "intermediate").tolist() == [16, 16, 20, 24]
    assert own_window(np.array([0.8, 1.1, 2.0]), "beginner").tolist() == [11, 12, 12]
    rng = np.random.default_rng(6)
    noisy = training(rng, weeks=40, white=6.5)
    row = looks(noisy.t_weeks, noisy.y, 3.5, 0, [40.0]).iloc[0]
    assert row["scale"] > 1.4 and row["fit_from"] < 40 - 20
    assert row["slope"] == pytest.approx(looks(noisy.t_weeks, noisy.y, 3.5, 0, [40.0], window_weeks=24)["slope"].iloc[0], rel=1e-12)


def test_a_longer_window_gives_no_verdict_on_what_is_no_longer_done():
    """The last session may lie no further back than in the level's own window."""
    rng = np.random.default_rng(6)
    noisy = training(rng, weeks=30, white=6.5)
    told = looks(noisy.t_weeks, noisy.y, 3.5, 0, np.arange(30, 45.0))
    assert (told["scale"].iloc[:6] > 1.3).all()
    idle = told["look_week"] - told["fit_to"].ffill()
    assert (told["verdict"][idle > (1 - RULES.trend_min_span) * 16] == "too_little_data").all()
    assert (told["verdict"].iloc[:6] != "too_little_data").all() and told["verdict"].iloc[-1] == "too_little_data"
    both = pooled_looks([noisy, training(rng, weeks=30)], [33.0, 40.0])
    assert (both["verdict"] == "too_little_data").tolist() == [False, True]


def test_one_more_week_is_said_where_one_look_rules_a_gain_out():
    slope, se = np.array([0.15, 0.05, 0.04, 0.15]), np.full(4, 0.15)
    found = judge(slope, se, np.ones(4, bool), np.full(4, 0.25), np.arange(4) == 0)
    assert found.flat.tolist() == [False, True, True, False]
    assert found.verdict.tolist() == ["undecided", "undecided", "plateau", "undecided"]
    table = pd.DataFrame({"slope": slope, **found._asdict(), "sessions": 30, "span_weeks": 15.0, "held": False, "measure": "e1rm", "series": "",
                          "worth": 0.25, "read_since": np.nan, "lighter": "", "best_value": np.nan, "best_since": np.nan, "idle_days": 0, "last_day": 0})
    told = exercise_reasons(table, ["intermediate"] * 4)
    assert ["One more week will tell" in text for text in told] == [False, True, False, False]
    assert ["is still possible" in text for text in told] == [True, False, False, True]


def test_every_verdict_of_the_sample_against_statsmodels_and_scipy(sample_store: Path):
    """Each look of an athlete without layoffs again, by a plain loop: the same rate, the same interval, the same word."""
    with reading(sample_store) as con:
        deload = {row[0] for row in con.execute("select week from kept_weeks where athlete = 'Oskar' and deload").fetchall()}
        kept = {tuple(row[:4]): row[4:] for row in con.execute(
            "select exercise, measure, series, week, rate_pct_week, rate_low, verdict from kept_strength where athlete = 'Oskar'").fetchall()}
    assert deload  # sessions of easy weeks are kept as not counted, which the loop reads
    compared = 0
    for (athlete, *key, week), verdict in plain_loop.exercises(sample_store):
        if athlete != "Oskar":
            continue
        rate, low, word = kept[(*key, week.date())]
        if verdict is None:
            assert word == "too_little_data", (key, week)
            continue
        assert (verdict.slope, verdict.se) == pytest.approx((rate, (rate - low) / RULES.z_interval), rel=1e-6, abs=1e-9), (key, week)
        assert word == verdict.word or (verdict.word == "flat" and word in ("plateau", "undecided")), (key, week)
        compared += 1
    assert compared > 300


def compared(store: Path, athlete: str) -> Counter:
    """Each look at a part of an athlete without layoffs again, in one fit through all sessions of its exercises, which are taken
    as independent: the same rate, interval and word. How many, by measure and whether several exercises pool."""
    with reading(store) as con:
        (log,) = read_logs(con, [athlete], 30_000).values()  # a day after every log
    found = strength([weekly(log)], [0], APART)[0].parts
    mondays = log.mondays[found["line"]].astype("datetime64[D]")
    own = {(r.part, r.measure, day): r for r, day in zip(found.itertuples(), mondays.tolist(), strict=True)}
    count = Counter()
    for (whose, part, measure, week), verdict in plain_loop.parts(store):
        one = own.get((part, measure, week.date()))
        if whose != athlete or one is None or one.held:
            continue
        if verdict is None:
            assert one.verdict == "too_little_data", (part, week)
            continue
        assert (verdict.slope, verdict.se) == pytest.approx((one.slope, one.se), rel=1e-6, abs=1e-9), (part, week)
        assert one.verdict == verdict.word or (verdict.word == "flat" and one.verdict in ("plateau", "undecided")), (part, week)
        count[measure, one.exercises > 1] += 1
    return count


def test_every_verdict_of_the_sample_s_parts_against_statsmodels(sample_store: Path):
    count = compared(sample_store, "Oskar")
    assert min(count["estimates", True], count["estimates", False], count["repetitions", False]) > 50, count


def test_parts_that_are_trained_with_light_loads_only_have_verdicts_in_repetitions(tmp_path: Path):
    """15 repetitions and more at one load, three exercises of the chest, none left for two weeks: against statsmodels, and first in the review."""
    kind = Repetitions(start=(16, 18), weeks_each=3.0, stop=99.0, weeks=26, exercises=TOGETHER)
    store = worked_out(tmp_path, "light", lambda name, rng: repetition_sets(kind, name, rng), kind.level, 1, 6)
    assert compared(store, "Athlete 0000")["repetitions", True] > 10
    week = store_at(store)
    (first, *rest) = review(week, "Athlete 0000", week_to_show(week, "Athlete 0000"))["strength"]
    assert (first["part"], first["measure"], first["exercises"]) == ("chest_sternal", "repetitions", 3) and rest
    assert "in repetitions or seconds at the same load" in first["reason"]


def test_a_part_whose_repetitions_outgrow_estimates_is_told_week_by_week_as_it_was_known_then(tmp_path: Path):
    """From eight repetitions to twenty-two at one load: the log that comes in pieces is kept as the one that comes at once."""
    kind = Repetitions(start=(9, 10), weeks_each=2.0, stop=99.0, weeks=30, exercises=TOGETHER)
    sets = list(repetition_sets(kind, "Ida", np.random.default_rng(4)))

    def kept(name: str, *ends: int) -> pd.DataFrame:
        store = tmp_path / f"{name}.duckdb"
        for weeks in ends:
            write_log(tmp_path / "log.csv", [row for row in sets if row[1] < 7 * weeks])
            after = (FIRST_DAY + 7 * weeks).item()
            keep(store, understand([("log.csv", tmp_path / "log.csv")], Answers(), known=known(store), today=after))
            refresh(store, today=after)
        with reading(store) as con:
            return con.execute("select * from kept_part_strength order by part, week").df()

    pieces, whole = kept("pieces", 2, 11, 15, 21, 30), kept("whole", 30)
    chest = whole[whole["part"] == "chest_sternal"].sort_values("week")
    assert chest["measure"].iloc[0] == "estimates" and chest["measure"].iloc[-1] == "repetitions"
    pd.testing.assert_frame_equal(pieces, whole, check_exact=False, rtol=1e-9)


def test_a_rate_is_written_as_its_three_numbers_are():
    for slope, low, high in [(0.3, -0.004, 0.604), (-0.0, -12.345, 10.0), (0.005, -0.005, 0.0149), (-1.0, -10.0, 100.001)]:
        assert rate(slope, low, high) == f"{signed(slope, 2)} % a week (80 % interval {signed(low, 2)} to {signed(high, 2)})"
