"""The estimators of a trend against published implementations of the same: GLS, its covariance, the Theil-Sen line."""

import doctest

import numpy as np
import pytest
import statsmodels.api as sm
from numpy.testing import assert_allclose
from scipy.stats import kendalltau, linregress, theilslopes

from dashboard.measures import gls as gls_module, noise, theil_sen as theil_sen_module, trend, verdict, window, window_fit
from dashboard.measures.gls import covariance, gls
from dashboard.measures.theil_sen import masked_median, theil_sen
from etl.settings import RULES
from tests.strength_series import LINE, T, Y


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


@pytest.mark.parametrize("module", [gls_module, theil_sen_module, noise, verdict, window, window_fit, trend])
def test_the_examples_in_the_docstrings(module):
    assert doctest.testmod(module).failed == 0
