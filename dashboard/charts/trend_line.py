"""The fitted line of a kept verdict, as points to draw: straight in ln(value), with the band that its interval gives."""

from __future__ import annotations

import numpy as np
import pandas as pd

POINTS = 25
COLUMNS = ["date", "value", "band_low", "band_high"]


def trend_line(fit: pd.Series) -> pd.DataFrame:
    """date, value, band_low, band_high along the fit; empty where nothing was fitted.

    fit: a kept_strength row. The band is 80 % for the height of the line. It is drawn from the two intervals that are
    kept, that of the slope (rate_low to rate_high) and that of the value at the end (value_low to value_high): in
    ln(value) the half-width at a time t from the middle is sqrt(level**2 + (slope half-width * t)**2), and `level` is
    what the end's interval leaves after the slope's share.
    """
    needed = fit[["fit_from_value", "fit_to_value", "fit_from", "fit_to"]]
    if needed.isna().any():
        return pd.DataFrame(columns=COLUMNS, dtype=float)
    start, end = pd.Timestamp(fit["fit_from"]), pd.Timestamp(fit["fit_to"])
    share = np.linspace(0.0, 1.0, POINTS)
    weeks = (share - 0.5) * ((end - start) / pd.Timedelta(weeks=1))
    line = np.log(fit["fit_from_value"]) + share * np.log(fit["fit_to_value"] / fit["fit_from_value"])
    half = _half_width(fit, weeks)
    return pd.DataFrame({"date": start + share * (end - start), "value": np.exp(line), "band_low": np.exp(line - half),
                         "band_high": np.exp(line + half)})


def _half_width(fit: pd.Series, weeks: np.ndarray) -> np.ndarray:
    slope = (fit["rate_high"] - fit["rate_low"]) / 200 if pd.notna(fit["rate_low"]) else 0.0
    at_end = np.log(fit["value_high"] / fit["value_low"]) / 2 if pd.notna(fit["value_low"]) else 0.0
    level_squared = max(at_end**2 - (slope * weeks[-1]) ** 2, (at_end / 2) ** 2)
    return np.sqrt(level_squared + (slope * weeks) ** 2)
