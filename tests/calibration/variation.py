"""What a day adds to or takes from a maximum: readiness that fades within about a week, the day itself, and bad days."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

READINESS_SD, READINESS_WEEKS = 2.0, 1.0  # %, weeks: the usual day-to-day share of a repeatability of 3.5 %
BAD_DAY_SHARE, BAD_DAY = 0.05, -6.0  # of days, %


@dataclass(frozen=True)
class Variation:
    """white: SD of the day's own part, %. times: factor on readiness and bad days (1: as above)."""

    white: float
    times: float = 1.0

    def draw(self, weeks: ArrayLike, rng: np.random.Generator, shared: NDArray[np.float64] | None = None) -> NDArray[np.float64]:
        """Deviation of each day from the latent maximum, %. weeks: ascending. shared: a readiness that others have too."""
        t = np.asarray(weeks, float)
        readiness = ornstein_uhlenbeck(t, READINESS_SD, READINESS_WEEKS, rng) if shared is None else shared
        bad = np.where(rng.random(len(t)) < BAD_DAY_SHARE, BAD_DAY, 0.0)
        return self.times * (readiness + bad) + rng.normal(0, self.white, len(t))


def ornstein_uhlenbeck(weeks: ArrayLike, sd: float, memory: float, rng: np.random.Generator) -> NDArray[np.float64]:
    """A stationary process with autocorrelation exp(-gap / memory), drawn exactly at irregular times (Gillespie 1996,
    Phys Rev E 54:2084)."""
    t = np.asarray(weeks, float)
    keep = np.exp(-np.diff(t, prepend=t[:1]) / memory)
    step = rng.normal(0, sd, len(t))
    value = np.empty(len(t))
    for i in range(len(t)):
        value[i] = step[i] if i == 0 else keep[i] * value[i - 1] + np.sqrt(1 - keep[i] ** 2) * step[i]
    return value
