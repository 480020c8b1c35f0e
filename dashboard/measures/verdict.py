"""From a slope and its standard error to a verdict, always in the same order."""

from __future__ import annotations

import numpy as np

from etl.settings import Rules

TOO_LITTLE = "too_little_data"
VERDICTS = (TOO_LITTLE, "declining", "progressing", "plateau", "undecided")


def verdicts(
    slope: np.ndarray, se: np.ndarray, enough: np.ndarray, worthwhile_pct: np.ndarray | float, rules: Rules, begins: np.ndarray | None = None,
) -> np.ndarray:
    """One of `VERDICTS` per look, for looks in order of time; all (L,), slope, SE and gain in % a week.

    begins: True at the first look of each series, where several stand one after another.

    too_little_data where not `enough`; declining where β + 1.6449 SE < 0; progressing where
    β − 1.2816 SE > 0; plateau where β + 0.8416 SE is below the smallest worthwhile gain at this look and at
    the one before, so that gains worth having are ruled out; else undecided. That a slope does not differ
    from zero is never a plateau: during steady progress of 0.5 % a week it would be one most of the time.
    """
    ruled_out = flat(slope, se, enough, worthwhile_pct, rules)
    before = np.concatenate([[False], ruled_out])[:-1]
    if begins is not None:
        before &= ~np.asarray(begins, bool)
    in_order = [
        ~_known(slope, se, enough),
        slope + rules.z_declining * se < 0,
        slope - rules.z_progressing * se > 0,
        ruled_out & before,
    ]
    return np.select(in_order, VERDICTS[:-1], default=VERDICTS[-1])


def flat(slope: np.ndarray, se: np.ndarray, enough: np.ndarray, worthwhile_pct: np.ndarray | float, rules: Rules) -> np.ndarray:
    """Whether a look by itself rules out a gain worth having, (L,). An undecided look that does: one more week will tell."""
    return _known(slope, se, enough) & (slope + rules.z_plateau * se < worthwhile_pct)


def _known(slope: np.ndarray, se: np.ndarray, enough: np.ndarray) -> np.ndarray:
    return np.asarray(enough, dtype=bool) & np.isfinite(slope) & np.isfinite(se)
