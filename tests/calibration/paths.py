"""What truly becomes of a lift: the latent maximum, in % of its start on a log scale, by week."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray


@dataclass(frozen=True)
class Path:
    """A steady gain (% a week) up to `stop` (week number, inf: never), with a layoff that may lie between.

    away: first and last week (both included) in which nothing is trained. Nothing is gained in these, and on return the
    maximum is `loss` % lower.
    """

    gain: float
    stop: float = np.inf
    away: tuple[int, int] | None = None
    loss: float = 0.0

    def level(self, weeks: ArrayLike) -> NDArray[np.float64]:
        """100 ln(maximum / maximum at week 0), at times in weeks."""
        t = np.asarray(weeks, float)
        trained = t.copy()
        lost = np.zeros_like(t)
        if self.away is not None:
            first, last = self.away[0], self.away[1] + 1
            trained = np.where(t < first, t, np.where(t < last, first, t - (last - first)))
            lost = np.where(t >= last, self.loss, 0.0)
        return self.gain * np.minimum(trained, self.stop) - lost

    def is_away(self, week: int) -> bool:
        return self.away is not None and self.away[0] <= week <= self.away[1]
