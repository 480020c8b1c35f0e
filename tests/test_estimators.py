"""The estimators of a trend against published implementations of the same: GLS, its covariance, the Theil-Sen line."""

import doctest

import numpy as np
import pytest
import statsmodels.api as sm
from numpy.testing import assert_allclose
from scipy.stats import kendalltau, linregress, theilslopes

from dashboard.measures import gls as gls_module, medians, noise, readiness, theil_sen as theil_sen_module, trend, verdict, window, window_fit
from dashboard.measures.gls import own_variance, products
from dashboard.measures.medians import median
from dashboard.measures.theil_sen import pair_slopes, slopes_within
from etl.settings import RULES
from tests.strength_series import LINE, T, Y, covariance, gls, theil_sen


def of_one_window(x, y, noise, readiness):
    """Coefficients and (X'V⁻¹X)⁻¹ of one window from its products; V⁻¹X beside them."""
    n, columns = len(y), np.column_stack([x, y]).T
    own = np.maximum(np.broadcast_to(noise, n) ** 2 - readiness**2, 0.01)
    found = products(np.array([0, n]), T[:n], np.full(n, readiness), own, columns, 1.0, x.shape[1])
    spread = np.linalg.inv(found.gram[0, :-1, :-1])
    return spread @ found.gram[0, :-1, -1], spread, found.solved


def test_gls_with_equal_noise_against_scipy_linregress():
    coefficients, _, _ = of_one_window(LINE, Y, 1.0, 0.0)
    assert coefficients[1] == pytest.approx(0.7318177049769956, abs=1e-12)
    assert coefficients == pytest.approx([linregress(T, Y).intercept, linregress(T, Y).slope], rel=1e-12)


def test_gls_against_statsmodels_with_a_full_covariance():
    noise = np.linspace(3, 6, 16)
    v = covariance(T, noise, 2.0, 1.0)
    coefficients, spread, solved = of_one_window(LINE, Y, noise, 2.0)
    theirs = sm.GLS(Y, LINE, sigma=v).fit()
    assert coefficients == pytest.approx(theirs.params, rel=1e-9)
    # their standard errors are rescaled by the residuals; normalized_cov_params is (X'V^-1X)^-1 as known
    assert_allclose(spread, theirs.normalized_cov_params, rtol=1e-9)
    assert_allclose(solved, np.linalg.solve(v, LINE).T, rtol=1e-9)


def test_products_of_many_windows_are_those_of_each():
    """Windows of all lengths, none among them, points at one time, and numbers of each point's own; V by its definition."""
    rng, lengths = np.random.default_rng(3), np.array([3, 0, 41, 1, 12, 12, 5])
    start = np.r_[0, np.cumsum(lengths)]
    n = start[-1]
    t = np.concatenate([np.sort(rng.integers(0, 30, k) / 3) for k in lengths])
    noise, readiness, columns = rng.uniform(2.5, 6, n), rng.uniform(0.5, 2, n), rng.normal(size=(4, n))
    found = products(start, t, readiness, noise**2 - readiness**2, columns, 1.3, 3)
    for k, (a, b) in enumerate(zip(start[:-1], start[1:], strict=True)):
        here = slice(a, b)
        solved = np.linalg.solve(covariance(t[here], noise[here], readiness[here], 1.3), columns[:, here].T) if b > a else np.zeros((0, 4))
        assert_allclose(found.solved[:, here], solved.T[:3], atol=1e-12)
        assert_allclose(found.gram[k], columns[:, here] @ solved, atol=1e-12)


def test_covariance_of_readiness_against_its_definition():
    """Ornstein-Uhlenbeck: s² on the diagonal in all, s²/e one time constant apart."""
    readiness = np.full(3, 2.0)
    own = own_variance(np.array([3.5, 3.5, 1.0]), readiness)
    v = np.linalg.inv(products(np.array([0, 3]), np.array([0.0, 1.0, 1.0]), readiness, own, np.eye(3), 1.0, 3).solved)
    assert np.diag(v) == pytest.approx([12.25, 12.25, 4.01])
    assert v[0, 1] == pytest.approx(4 / np.e)
    assert v[1, 2] == pytest.approx(4)
    assert np.linalg.eigvalsh(v).min() > 0


@pytest.mark.parametrize("seed", range(5))
def test_theil_sen_against_scipy(seed):
    rng = np.random.default_rng(seed)
    n = 9 + seed
    t, y = np.sort(rng.integers(0, 20, n)) / 2.0, rng.normal(size=n)
    line = theil_sen(t[None], y[None], np.zeros((1, n), int))
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


def test_theil_sen_of_the_check_series():
    assert theil_sen(T[None], Y[None], np.zeros((1, 16), int)).slope[0] == pytest.approx(0.6463068181818182, abs=1e-12)


def test_slopes_of_pairs_are_those_within_each_window():
    """Two series end to end, one with two sessions at one time and two bands; windows anywhere in them, against all pairs."""
    rng, begin = np.random.default_rng(5), np.array([0, 12, 30])
    t = np.concatenate([np.sort(rng.integers(0, 9, k) / 2) for k in (12, 18)])
    y, band = rng.normal(size=30), rng.integers(0, 2, 30)
    slopes = pair_slopes(t, y, band, begin, 99.0)
    assert slopes.shape == (17, 30)
    for first, points in ((0, 12), (3, 5), (12, 18), (20, 1)):
        own = slice(first, first + points)
        within = slopes_within(slopes, np.array([first]), points)[0]
        expected = [(y[j] - y[i]) / (t[j] - t[i]) for i in range(first, own.stop) for j in range(i + 1, own.stop) if band[i] == band[j] and t[i] != t[j]]
        assert sorted(within[~np.isnan(within)]) == pytest.approx(sorted(expected))
    assert len(pair_slopes(t, y, band, begin, 1.0)) < 17


def test_theil_sen_gives_each_band_its_level():
    band = (np.arange(16) % 2)[None]
    line = theil_sen(T[None], 0.5 * T[None] + 7 * band, band)
    assert line.slope[0] == pytest.approx(0.5)
    assert np.abs(line.residuals).max() < 1e-12


@pytest.mark.filterwarnings("ignore:All-NaN slice:RuntimeWarning")
@pytest.mark.parametrize("width", [1, 6, 7])
def test_median_against_numpy(width):
    rng = np.random.default_rng(0)
    values = np.where(rng.random((30, width)) < 0.3, np.nan, rng.normal(size=(30, width)))
    values[0], values[1] = np.nan, np.arange(width)
    assert_allclose(median(values), np.nanmedian(values, axis=1))
    assert_allclose(median(values[1:2]), np.median(values[1:2], axis=1))


@pytest.mark.parametrize("module", [gls_module, medians, theil_sen_module, noise, readiness, verdict, window, window_fit, trend])
def test_the_examples_in_the_docstrings(module):
    assert doctest.testmod(module).failed == 0
