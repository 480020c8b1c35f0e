"""Trend and verdict against published implementations of the same estimators, and against simulated training."""

import doctest
from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm
from numpy.testing import assert_allclose
from scipy.stats import kendalltau, linregress, theilslopes

from dashboard.measures import gls as gls_module
from dashboard.measures import noise, theil_sen as theil_sen_module, trend, verdict, window, window_fit
from dashboard.measures.eligibility import noise_pct
from dashboard.measures.gls import covariance, gls
from dashboard.measures.one_rep_max import e1rm
from dashboard.measures.theil_sen import masked_median, theil_sen
from dashboard.measures.trend import looks, pooled_looks
from dashboard.measures.verdict import verdicts
from dashboard.measures.window import Series
from etl.refusal import Refusal
from etl.settings import RULES

# An invented check series; its slopes were computed once with scipy 1.17.1 (linregress, theilslopes).
DAYS = np.array([0, 3, 7, 10, 14, 18, 21, 24, 28, 32, 35, 39, 42, 45, 49, 52])
T = DAYS / 7
Y = np.array([100, 101.5, 99, 102, 103.5, 101, 104, 105.5, 104.5, 105, 104, 106, 105, 104.5, 105.5, 105])
LINE = np.column_stack([np.ones(16), T])
# Series taken to share no good and bad days, whatever they show.
APART = replace(RULES, shared_pairs=np.inf)


def series(rng, weeks=40, slope=0.5, stop=np.inf, sd=3.5):
    """Two sessions a week around a straight line that stops; times, y."""
    t = np.arange(weeks).repeat(2) + np.tile([1 / 7, 4 / 7], weeks)
    return t, 460 + slope * np.minimum(t, stop) + rng.normal(0, sd, len(t))


# --- estimators ------------------------------------------------------------------------------------------


def test_gls_with_equal_noise_against_scipy_linregress():
    fit = gls(LINE, Y, np.eye(16))
    assert fit.coefficients[1] == pytest.approx(0.7318177049769956, abs=1e-12)
    assert fit.coefficients == pytest.approx([linregress(T, Y).intercept, linregress(T, Y).slope], rel=1e-12)


def test_gls_against_statsmodels_with_a_full_covariance():
    v = covariance(T, np.linspace(3, 6, 16), 2.0, 1.0)
    fit = gls(LINE, Y, v)
    theirs = sm.GLS(Y, LINE, sigma=v).fit()
    assert fit.coefficients == pytest.approx(theirs.params, rel=1e-9)
    # their standard errors are rescaled by the residuals; normalized_cov_params is (X'V^-1X)^-1 as known
    assert_allclose(fit.covariance, theirs.normalized_cov_params, rtol=1e-9)
    assert_allclose(fit.covariance, np.linalg.inv(LINE.T @ np.linalg.inv(v) @ LINE), rtol=1e-9)


def test_a_stack_of_fits_is_each_of_them():
    rng = np.random.default_rng(3)
    y, v = rng.normal(size=(4, 16)), np.stack([covariance(T, np.full(16, s), 2.0, 1.0) for s in (3, 4, 5, 6)])
    stacked = gls(np.broadcast_to(LINE, (4, 16, 2)), y, v)
    for i in range(4):
        alone = gls(LINE, y[i], v[i])
        assert_allclose(stacked.coefficients[i], alone.coefficients, rtol=1e-10)
        assert_allclose(stacked.covariance[i], alone.covariance, rtol=1e-10)


def test_a_covariance_that_is_none_is_refused():
    with pytest.raises(np.linalg.LinAlgError):
        gls(LINE[:2], Y[:2], [[1, 2], [2, 1]])


def test_covariance_of_readiness_against_its_definition():
    """Ornstein-Uhlenbeck: s² on the diagonal in all, s²/e one time constant apart."""
    v = covariance([0.0, 1.0, 1.0], [3.5, 3.5, 1.0], 2.0, 1.0)
    assert np.diag(v) == pytest.approx([12.25, 12.25, 4.01])
    assert v[0, 1] == pytest.approx(4 / np.e)
    assert v[1, 2] == pytest.approx(4)
    assert np.linalg.eigvalsh(v).min() > 0


@pytest.mark.parametrize("seed", range(5))
def test_theil_sen_against_scipy(seed):
    rng = np.random.default_rng(seed)
    n = 9 + seed
    t, y = np.sort(rng.integers(0, 20, n)) / 2.0, rng.normal(size=n)
    line = theil_sen(t[None], y[None], np.zeros((1, n), int), np.ones((1, n), bool))
    theirs = theilslopes(y, t, method="joint")
    assert line.slope[0] == pytest.approx(theirs.slope, rel=1e-12)
    assert_allclose(line.residuals[0], y - theirs.intercept - theirs.slope * t, atol=1e-12)


@pytest.mark.parametrize("seed", range(5))
def test_theil_sen_leaves_no_rank_correlation_by_scipy_kendalltau(seed):
    """Sen 1968 defines the slope as the one whose residuals have Kendall's tau 0 with time: half the pairs rise, half fall."""
    rng = np.random.default_rng(seed)
    t, y = np.sort(rng.uniform(0, 16, 20)), rng.normal(0, 3, 20)
    line = theil_sen(t[None], y[None], np.zeros((1, 20), int))
    tau = kendalltau(t, y - line.slope[0] * t, variant="c").statistic
    assert abs(tau) < 1 / 190 * 2  # 190 pairs: the median of an even number lies between two of them
    assert abs(kendalltau(t, y - (line.slope[0] + 0.5) * t, variant="c").statistic) > 0.2


def test_standard_error_with_known_noise_against_statsmodels_hac():
    """Newey-West errors know nothing of the noise's form and estimate it from the residuals; over many series both agree. HAC is
    known to be a little short in samples of this size (Andrews 1991, doi:10.2307/2938229, from memory).
    """
    rng, sessions = np.random.default_rng(17), 480
    t = np.arange(240).repeat(2) + np.tile([1 / 7, 4 / 7], 240)
    v = covariance(t, np.full(sessions, 3.5), RULES.readiness_sd_pct, RULES.readiness_weeks)
    x, root = np.column_stack([t, np.ones(sessions)]), np.linalg.cholesky(v)
    known = np.sqrt(gls(x, t, v).covariance[0, 0])
    drawn = [sm.OLS(root @ rng.normal(size=sessions), x) for _ in range(80)]
    hac = np.mean([one.fit(cov_type="HAC", cov_kwds={"maxlags": 14}).bse[0] for one in drawn])
    assert 0.87 < hac / known < 1.0
    assert np.mean([one.fit().bse[0] for one in drawn]) / known < 0.78  # what it would be if near sessions shared nothing


def test_theil_sen_of_the_check_series_with_padding():
    t, y, used = (np.append(x, [fill] * 3)[None] for x, fill in ((T, 1e3), (Y, -1e3), (np.ones(16, bool), False)))
    line = theil_sen(t, y, np.zeros((1, 19), int), used)
    assert line.slope[0] == pytest.approx(0.6463068181818182, abs=1e-12)
    assert np.isnan(line.residuals[0, 16:]).all()


def test_theil_sen_gives_each_band_its_level():
    band = (np.arange(16) % 2)[None]
    line = theil_sen(T[None], 0.5 * T[None] + 7 * band, band, np.ones((1, 16), bool))
    assert line.slope[0] == pytest.approx(0.5)
    assert np.abs(line.residuals).max() < 1e-12


def test_masked_median_against_numpy():
    rng = np.random.default_rng(0)
    values, used = rng.normal(size=(30, 7)), rng.random((30, 7)) < 0.6
    used[0] = False
    expected = [np.median(v[u]) if u.any() else np.nan for v, u in zip(values, used, strict=True)]
    assert_allclose(masked_median(values, used), expected)


def test_scale_follows_the_noise_and_is_clipped():
    rng = np.random.default_rng(5)
    by_sd = [looks(*series(rng, sd=sd), 3.5, 0, [40.0])["scale"].iloc[0] for sd in (0.1, 3.5, 7.0, 35.0)]
    assert by_sd[0] == RULES.scale_low
    assert by_sd[1] == pytest.approx(1, abs=0.3)
    assert by_sd[2] == pytest.approx(2, abs=0.5)
    assert by_sd[3] == RULES.scale_high


# --- looks -----------------------------------------------------------------------------------------------


def one_look_by_statsmodels(t, y, band, look, scale):
    """The last look again, through statsmodels: same window, V scaled, no point beyond 2 SD."""
    inside = (t > look - 16) & (t <= look)
    v = covariance(t[inside], np.full(inside.sum(), 3.5), 2.0, 1.0) * scale**2
    x = np.column_stack([t[inside] - look, band[inside] == 0, band[inside] == 1]).astype(float)
    fit = sm.GLS(y[inside], x[:, x.any(axis=0)], sigma=v).fit()
    return fit.params, np.sqrt(np.diag(fit.normalized_cov_params))


def quiet(rng, weeks=40):
    """A series whose residuals stay within 2 SD, so that none is down-weighted."""
    t = np.arange(weeks).repeat(2) + np.tile([1 / 7, 4 / 7], weeks)
    return t, 460 + 0.3 * t + rng.uniform(-2.5, 2.5, len(t))


@pytest.mark.parametrize("bands", [1, 2])
def test_a_look_against_statsmodels(bands):
    rng = np.random.default_rng(11)
    t, y = quiet(rng)
    band = rng.integers(0, bands, len(t))
    y = y + 6 * band
    last = looks(t, y, 3.5, band, np.arange(1, 41.0)).iloc[-1]
    params, se = one_look_by_statsmodels(t, y, band, 40.0, last["scale"])
    assert [last["slope"], last["se"]] == pytest.approx([params[0], se[0]], rel=1e-9)
    assert [last["level_now"], last["level_se"]] == pytest.approx([params[1 + band[-1]], se[1 + band[-1]]], rel=1e-9)
    assert last["fit_to_y"] - last["fit_from_y"] == pytest.approx(last["slope"] * last["span_weeks"])
    assert last["fit_from"] == t[t > 24][0]


def test_the_interval_against_the_normal_distribution():
    """Two-sided 80 %: 1.2816 SE; one-sided 80 %: 0.8416 SE (standard normal quantiles)."""
    row = looks(*series(np.random.default_rng(2)), 3.5, 0, [40.0]).iloc[0]
    assert (row["high"] - row["slope"]) / row["se"] == pytest.approx(1.28155, abs=1e-4)
    assert (row["slope"] - row["low"]) / row["se"] == pytest.approx(1.28155, abs=1e-4)
    assert (row["upper_80_one_sided"] - row["slope"]) / row["se"] == pytest.approx(0.84162, abs=1e-4)


def test_an_offset_between_repetition_bands_is_not_progress():
    """Sixes and eights first, then threes that estimate 8 % higher: the slope stays the true 0."""
    t = np.arange(32) / 2 + 0.25
    band = np.where(t < 8, 1, 0)
    row = looks(t, 460 + 8.0 * (band == 0), 3.5, band, [16.0]).iloc[0]
    assert row["slope"] == pytest.approx(0, abs=1e-9)
    assert row["level_now"] == pytest.approx(468)
    mixed = looks(t, 460 + 8.0 * (band == 0), 3.5, 0, [16.0]).iloc[0]
    assert mixed["slope"] > 0.5


def test_looks_never_use_the_future():
    rng = np.random.default_rng(7)
    t, y = series(rng)
    changed = np.where(t > 30, y - 40, y)
    weeks = np.arange(1, 41.0)
    before, after = looks(t, y, 3.5, 0, weeks), looks(t, changed, 3.5, 0, weeks)
    pd.testing.assert_frame_equal(before.iloc[:30], after.iloc[:30], check_exact=True)
    assert after["slope"].iloc[38] < before["slope"].iloc[38] - 1


def test_a_look_alone_is_the_look_among_others():
    t, y = series(np.random.default_rng(8))
    among = looks(t, y, 3.5, 0, np.arange(1, 41.0)).iloc[[29]].drop(columns="verdict").reset_index(drop=True)
    alone = looks(t, y, 3.5, 0, [30.0]).drop(columns="verdict")
    pd.testing.assert_frame_equal(among, alone, rtol=1e-9)


def test_order_of_points_does_not_matter_and_blanks_are_left_out():
    rng = np.random.default_rng(9)
    t, y = series(rng)
    mixed = rng.permutation(len(t))
    shuffled = looks(np.append(t[mixed], [3.0, np.nan]), np.append(y[mixed], [np.nan, 400]), 3.5, 0, [20.0, 40.0])
    pd.testing.assert_frame_equal(shuffled, looks(t, y, 3.5, 0, [20.0, 40.0]), rtol=1e-12)


def test_nothing_before_a_restart_is_used():
    t, y = series(np.random.default_rng(4))
    weeks = np.arange(1, 41.0)
    first = np.where(weeks > 20, 20 + 1 / 7, -np.inf)
    restarted = looks(t, y, 3.5, 0, weeks, first)
    assert restarted["fit_from"].iloc[25] == pytest.approx(20 + 1 / 7)
    wild = looks(t, np.where(t < 20, y * 0.5, y), 3.5, 0, weeks, first)
    pd.testing.assert_frame_equal(restarted.iloc[20:], wild.iloc[20:], rtol=1e-9)
    assert (restarted["verdict"].iloc[20:28] == "too_little_data").all()


def test_a_bad_day_moves_the_slope_less_than_its_weight():
    t, y = quiet(np.random.default_rng(6))
    bad = y.copy()
    bad[-2] -= 25
    clean, spoilt = (looks(t, values, 3.5, 0, [40.0]).iloc[0] for values in (y, bad))
    inside = t > 24
    x = np.column_stack([t[inside], np.ones(inside.sum())])
    plain = gls(x, (bad - y)[inside], covariance(t[inside], np.full(inside.sum(), 3.5), 2.0, 1.0))
    assert abs(spoilt["slope"] - clean["slope"]) < 0.5 * abs(plain.coefficients[0])


def test_empty_and_short_series_say_too_little():
    empty = looks([], [], [], [], [1.0, 2.0])
    assert empty["verdict"].tolist() == ["too_little_data"] * 2
    assert empty["sessions"].tolist() == [0, 0]
    one = looks([0.5], [460.0], 3.5, 0, [1.0]).iloc[0]
    assert (one["sessions"], one["verdict"]) == (1, "too_little_data")
    assert np.isnan(one["slope"])
    seven = looks(np.linspace(0.1, 15, 7), np.full(7, 460.0), 3.5, 0, [15.0, 16.0])
    assert (seven["verdict"] == "too_little_data").all()
    short = looks(np.linspace(8, 15.9, 12), np.full(12, 460.0), 3.5, 0, [16.0])
    assert short["verdict"].tolist() == ["too_little_data"]


def test_an_unknown_level_is_refused():
    with pytest.raises(Refusal, match="no level named expert"):
        looks(T, Y, 3.5, 0, [8.0], level="expert")


# --- verdicts --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("slope", "se", "verdict_"),
    [
        (-1.0, 0.2, "declining"),
        (-0.3, 0.2, "plateau"),  # not below 0 at 95 %: -0.3 + 0.329 > 0
        (0.05, 0.2, "plateau"),  # 0.05 + 0.168 < 0.25
        (0.05, 0.03, "progressing"),  # also below the worthwhile gain: progress comes first
        (0.10, 0.2, "undecided"),  # 0.10 + 0.168 > 0.25
        (0.00, 0.5, "undecided"),  # no different from 0, and no plateau
        (0.60, 0.2, "progressing"),
    ],
)
def test_verdicts_come_in_order(slope, se, verdict_):
    both = [np.full(2, x) for x in (slope, se)]
    assert verdicts(*both, np.array([True, True]), 0.25, RULES)[1] == verdict_
    assert verdicts(*both, np.array([True, False]), 0.25, RULES)[1] == "too_little_data"


def test_a_plateau_needs_two_looks_running():
    slope, se = np.array([0.0, 0.0, 0.5, 0.0, 0.0]), np.array([0.1, 0.1, 0.5, 0.1, 0.1])
    given = verdicts(slope, se, np.ones(5, bool), 0.25, RULES)
    assert given.tolist() == ["undecided", "plateau", "undecided", "undecided", "plateau"]
    held = verdicts(slope, se, np.array([False, True, True, True, True]), 0.25, RULES)
    assert held[1] == "undecided"


def test_a_caller_may_set_the_gain_and_the_window():
    t, y = series(np.random.default_rng(12), slope=0.0)
    strict, loose = (looks(t, y, 3.5, 0, [39.0, 40.0], worthwhile_pct=g)["verdict"].iloc[1] for g in (0.001, 2.0))
    assert (strict, loose) == ("undecided", "plateau")
    assert looks(t, y, 3.5, 0, [40.0], window_weeks=8)["sessions"].iloc[0] == 16
    assert looks(t, y, 3.5, 0, [40.0], level="beginner")["sessions"].iloc[0] in (22, 24)


# --- several exercises -----------------------------------------------------------------------------------


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


# --- simulated training ----------------------------------------------------------------------------------

# Repetitions possible at % of maximum: the handbook table (NSCA Essentials, second-hand), not our equation.
HANDBOOK = np.array([[75, 10], [77, 9], [80, 8], [83, 7], [85, 6], [87, 5], [90, 4], [93, 3], [95, 2], [100, 1]], dtype=float)


def training(rng, weeks, pct_week, stop):
    """An invented lifter: true maximum, a slow and a daily condition, plates of 2.5 kg, whole repetitions.

    Condition is a random walk pulled back each session, and 1 session in 20 is a bad day.
    """
    t = np.sort((np.arange(weeks)[:, None] + rng.permuted(np.tile(np.arange(1, 7), (weeks, 1)), axis=1)[:, :2] / 7).ravel())
    slow = np.zeros(len(t))
    for i in range(1, len(t)):
        slow[i] = 0.6 * slow[i - 1] + rng.normal(0, 1.5)
    able = 100 * np.exp((pct_week * np.minimum(t, stop) + slow + rng.normal(0, 1.8, len(t)) - 6 * (rng.random(len(t)) < 0.05)) / 100)
    usual = 100 * np.exp(pct_week * np.minimum(t, stop) / 100)
    load = np.round(usual * 0.82 / 2.5) * 2.5
    reps = np.maximum(1, np.floor(np.interp(100 * load / able, *HANDBOOK.T) + rng.normal(0, 0.5, len(t))))
    return t, 100 * np.log(e1rm(load, reps)), noise_pct(reps, True)


def test_steady_progress_is_seldom_called_a_plateau_and_a_stop_is_found():
    """The reach that trend.py states: about 0.2 false plateaus a year; 94 % found by 20 weeks."""
    rng = np.random.default_rng(2024)
    weeks, people = np.arange(1, 53.0), 40
    false_starts, found, progressing = 0, 0, 0.0
    for _ in range(people):
        steady = looks(*training(rng, 52, 0.5, np.inf), 0, weeks)["verdict"].to_numpy()
        called = steady == "plateau"
        false_starts += (called[1:] & ~called[:-1]).sum()
        progressing += (steady[16:] == "progressing").mean() / people
        stopped = looks(*training(rng, 44, 0.5, 20), 0, weeks[:44])["verdict"].to_numpy()
        found += (stopped[20:40] == "plateau").any()
    assert false_starts / people < 0.4
    assert progressing > 0.8
    assert found / people > 0.8


def test_the_standard_error_is_as_wide_as_the_slopes_scatter():
    """Slopes of 120 steady series, in standard errors from the truth: SD 1 (normal theory)."""
    rng = np.random.default_rng(31)
    rows = [looks(*series(rng, weeks=30, slope=0.4), 3.5, 0, [30.0]).iloc[0] for _ in range(120)]
    z = [(row["slope"] - 0.4) / row["se"] for row in rows]
    # white noise only, so the fit, which allows for shared readiness, is somewhat wide
    assert 0.55 < np.std(z) < 1.1
    assert abs(np.mean(z)) < 0.25


@pytest.mark.parametrize("module", [gls_module, theil_sen_module, noise, verdict, window, window_fit, trend])
def test_the_examples_in_the_docstrings(module):
    assert doctest.testmod(module).failed == 0
