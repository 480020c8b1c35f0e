"""The verdicts again, one after another, by statsmodels and scipy alone: what the program is held against, in results and in speed.

It knows no layoffs, deloads and shared readiness: for logs without the first two, and it does less for parts than the program.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pandas as pd
import statsmodels.api as sm
from scipy.linalg import block_diag
from scipy.stats import theilslopes

from dashboard.sentences.points import AT_LEAST
from dashboard.standing.body import body, prime_parts
from etl.settings import RULES
from etl.store import reading

# Noise of an estimate, of repetitions and of holds, and the readiness within each, % (one SD).
NOISE = {"e1rm": (None, RULES.readiness_sd_pct), "per_kg": (None, RULES.readiness_sd_pct), "reps": (RULES.noise_reps_pct, RULES.readiness_reps_pct),
         "hold": (RULES.noise_hold_pct, RULES.readiness_hold_pct)}


class Verdict(NamedTuple):
    """slope and se in % a week, and the word, without the look before (a plateau is "flat")."""

    slope: float
    se: float
    word: str


class Window(NamedTuple):
    """Points of one series at one look: weeks from the look, y, band, V."""

    t: np.ndarray
    y: np.ndarray
    band: np.ndarray
    v: np.ndarray


def run(store: str | Path) -> None:
    """Every look of every exercise and part in the store."""
    for _ in (*exercises(store), *parts(store)):
        pass


def exercises(store: str | Path) -> Iterator[tuple[tuple, Verdict | None]]:
    """(athlete, exercise, measure, series, week) and its verdict, None where there is too little data."""
    points, levels = _points(store)
    for row in _ask(store, "select athlete, exercise, measure, series, week from kept_strength order by all").itertuples(index=False):
        level, end = levels.get(row.athlete, "intermediate"), _end(row.week)
        series = points.get((row.athlete, row.exercise, row.measure, row.series))
        one = None if series is None else window(series, row.measure, end, RULES.window_weeks[level], _longer(row.measure, level))
        yield tuple(row), None if one is None else _verdict([one], _least(series, row.measure, level, end), RULES.window_weeks[level])


def _longer(measure: str, level: str) -> tuple:
    return () if measure == "reps" else RULES.noisy_windows[level]


def _least(series: pd.DataFrame, measure: str, level: str, end: float) -> float:
    """The least gain worth having, % a week: one repetition in four weeks; of a hold as much more as its noise, 8 % to 3.5 %."""
    if measure == "reps":
        last = series[series["t"] <= end]["value"].iloc[-1]
        return 100 * np.log((last + RULES.reps_series_gain) / last) / RULES.reps_series_weeks
    return RULES.worthwhile_pct[level] * (8 / 3.5 if measure == "hold" else 1)



def parts(store: str | Path) -> Iterator[tuple[tuple, Verdict | None]]:
    """(athlete, part, week) and its verdict, exercises taken as independent."""
    points, levels = _points(store)
    sessions = _ask(store, "select * from kept_bests order by date, coalesce(load_kg, 0)")
    sessions = dict(list(sessions.assign(t=sessions["date"].to_numpy().astype("datetime64[D]").astype(int) / 7).groupby(["athlete", "exercise", "measure"])))
    ids = list(body().parts["part_id"])
    of_part: dict[tuple[str, str], list[tuple]] = {}
    for key in points:
        for part in prime_parts(key[1]):
            of_part.setdefault((key[0], ids[part], "estimates" if key[2] in ("e1rm", "per_kg") else "repetitions"), []).append(key)
    for row in _ask(store, "select athlete, part, measure, week from kept_part_strength order by all").itertuples(index=False):
        level, end, found = levels.get(row.athlete, "intermediate"), _end(row.week), None
        own = of_part[row.athlete, row.part, row.measure]
        series = [(points[key], key[2]) for key in own if row.measure == "estimates" or key == _current(sessions, key, end)]
        cut = [(window(*one, end, RULES.window_weeks[level], _longer(one[1], level), 1), one) for one in series]
        cut = [(seen, one) for seen, one in cut if seen is not None and _says(seen)]
        if cut:
            least = float(np.mean([_least(*one, level, end) for _, one in cut]))
            target = RULES.pool_se_pct[level] if row.measure == "estimates" else RULES.pool_se_worths * least
            if len(series) > 1:
                found = _bent([one for one in (window(*one, end, RULES.scale_weeks, least=1) for one in series) if one is not None], level, least, target)
            found = found or _verdict([seen for seen, _ in cut], least, RULES.window_weeks[level])
        yield tuple(row), found


def _current(sessions: dict[tuple, pd.DataFrame], key: tuple, end: float) -> tuple:
    """The series that the exercise's latest session belongs to, its heaviest load."""
    until = sessions[key[:3]][sessions[key[:3]]["t"] <= end]
    return (*key[:3], until["series"].iloc[-1]) if len(until) else ()


def _says(seen: Window) -> bool:
    """Whether a look's points say anything of a slope: two times within one repetition band."""
    return any(len(np.unique(seen.t[seen.band == band])) > 1 for band in np.unique(seen.band))


def _bent(cut: list[Window], level: str, least: float, target: float) -> Verdict | None:
    """The slope since the latest bend that says enough, in one fit through all points; None where none does."""
    if len(cut) < 2:
        return None
    t, levels = np.concatenate([one.t for one in cut]), _levels(cut)
    if -t.max() > (1 - RULES.trend_min_span) * RULES.window_weeks[level]:
        return None
    for weeks in RULES.pool_bends:
        if len(np.unique(np.rint(7 * t))) < RULES.trend_min_sessions or t.max() - t.min() < weeks + RULES.pool_before_weeks:
            continue
        x = np.column_stack([np.maximum(t, -weeks), np.minimum(t + weeks, 0.0), *levels])
        fit = sm.GLS(np.concatenate([one.y for one in cut]), x, sigma=block_diag(*(one.v for one in cut))).fit()
        if np.sqrt(fit.normalized_cov_params[0, 0]) <= target:
            return _word(fit.params[0], np.sqrt(fit.normalized_cov_params[0, 0]), least)
    return None


def window(series: pd.DataFrame, measure: str, end: float, weeks: float, noisy: tuple = (), least: int = RULES.trend_min_sessions) -> Window | None:
    """The points of a look with their covariance; None with fewer than `least`. noisy: (scale, weeks) of longer windows."""
    t, y = series["t"].to_numpy(), 100 * np.log(series["value"].to_numpy())
    reps, logged = series["effective"].to_numpy(), series["logged"].to_numpy()
    noise, readiness = NOISE[measure]
    sd = np.select([reps <= limit for limit, _ in RULES.noise_pct], [value for _, value in RULES.noise_pct]) + np.where(logged, 0, RULES.noise_no_effort_extra)
    sd = sd if noise is None else np.full(len(t), noise)
    band = series["band"].to_numpy()
    long = (t <= end) & (t > end - RULES.scale_weeks)
    if long.sum() < 2:
        return None
    rest = _residuals(t[long], y[long], band[long]) / sd[long]
    free = max(long.sum() - 1 - len(np.unique(band[long])), 0)
    variance = (RULES.mad_sd * np.median(np.abs(rest))) ** 2 * long.sum() / max(free, 1)
    scale = np.clip(np.sqrt((free * variance + RULES.scale_pseudo_n) / (free + RULES.scale_pseudo_n)), RULES.scale_low, RULES.scale_high)
    use = (t <= end) & (t > end - [weeks, *(own for above, own in noisy if scale > above)][-1])
    if use.sum() < max(least, 2):
        return None
    t, y, band, sd = t[use], y[use], band[use], sd[use]
    v = np.diag(sd**2 - readiness**2) + readiness**2 * np.exp(-np.abs(t[:, None] - t[None]) / RULES.readiness_weeks)
    v = v * scale**2
    z = np.abs(_residuals(t, y, band)) / (scale * sd)
    v[np.diag_indices(len(t))] += (scale * sd) ** 2 * (np.maximum(1, (z / RULES.outlier_z) ** 2) - 1)
    return Window(t - end, y, band, v)


def _verdict(cut: list[Window], least: float, weeks: float) -> Verdict | None:
    """One slope through the points of all series, a level for each series and band."""
    t = np.concatenate([one.t for one in cut])
    days = np.unique(np.rint(7 * t))
    if len(days) < RULES.trend_min_sessions or t.max() - t.min() < RULES.trend_min_span * weeks or -t.max() > (1 - RULES.trend_min_span) * weeks:
        return None
    fit = sm.GLS(np.concatenate([one.y for one in cut]), np.column_stack([t, *_levels(cut)]), sigma=block_diag(*(one.v for one in cut))).fit()
    return _word(fit.params[0], np.sqrt(fit.normalized_cov_params[0, 0]), least)


def _levels(cut: list[Window]) -> list[np.ndarray]:
    """A column for each series and repetition band."""
    return [np.concatenate([(other.band == band) * 1.0 if other is one else np.zeros(len(other.t)) for other in cut]) for one in cut for band in np.unique(one.band)]


def _word(slope: float, se: float, least: float) -> Verdict:
    if slope + RULES.z_declining * se < 0:
        return Verdict(slope, se, "declining")
    if slope - RULES.z_progressing * se > 0:
        return Verdict(slope, se, "progressing")
    return Verdict(slope, se, "flat" if slope + RULES.z_plateau * se < least else "undecided")


def _residuals(t: np.ndarray, y: np.ndarray, band: np.ndarray) -> np.ndarray:
    """From the Theil-Sen line of all pairs within a band, and the median of each band."""
    if len(np.unique(band)) == 1:
        slope = theilslopes(y, t).slope
    else:
        i, j = np.triu_indices(len(t), 1)
        pairs = (band[i] == band[j]) & (t[i] != t[j])
        slope = np.median((y[j] - y[i])[pairs] / (t[j] - t[i])[pairs]) if pairs.any() else 0.0
    rest = y - slope * t
    for one in np.unique(band):
        rest[band == one] -= np.median(rest[band == one])
    return rest


def _points(store: str | Path) -> tuple[dict[tuple, pd.DataFrame], dict[str, str]]:
    points = _ask(store, "select * from kept_bests order by athlete, exercise, measure, series, date")
    points["band"] = np.concatenate([_bands(own["reps"].tolist()) if key[2] in ("e1rm", "per_kg") else [0] * len(own)
                                     for key, own in points.groupby(["athlete", "exercise", "measure", "series"])])
    points = points[points["counted"]]
    points = points.assign(t=points["date"].to_numpy().astype("datetime64[D]").astype(int) / 7, effective=points["reps"] + points["rir"].fillna(0),
                           logged=points["note"].isin(["", AT_LEAST]))
    return dict(list(points.groupby(["athlete", "exercise", "measure", "series"]))), dict(_ask(store, "select athlete, level from athletes").itertuples(index=False))


def _bands(reps: list[float]) -> list[int]:
    """0 for few repetitions, 1 for many, by the middle of three sessions; between five and six, and at the second, as before."""
    found = [int(reps[0] > RULES.reps_low_band_max)]
    for i in range(1, len(reps)):
        middle = np.median(reps[max(i - RULES.reps_band_sessions + 1, 0) : i + 1])
        stays = i + 1 < RULES.reps_band_sessions or RULES.reps_low_band_max < middle <= RULES.reps_band_keeps
        found.append(found[-1] if stays else int(middle > RULES.reps_low_band_max))
    return found


def _end(week: pd.Timestamp) -> float:
    """The Sunday of a week, in weeks."""
    return ((week - pd.Timestamp(1970, 1, 1)).days + 6) / 7


def _ask(store: str | Path, sql: str) -> pd.DataFrame:
    with reading(store) as con:
        return con.execute(sql).df()
