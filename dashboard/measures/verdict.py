"""From a slope and its standard error to a verdict, always in the same order."""

from __future__ import annotations

import numpy as np

from etl.settings import Rules

VERDICTS = ("too_little_data", "declining", "progressing", "plateau", "undecided")


def verdicts(slope: np.ndarray, se: np.ndarray, enough: np.ndarray, worthwhile_pct: np.ndarray, rules: Rules) -> np.ndarray:
    """One of `VERDICTS` per look, for looks in order of time; all (L,), slope, SE and gain in % a week.

    too_little_data where not `enough`; declining where β + 1.6449 SE < 0; progressing where
    β − 1.2816 SE > 0; plateau where β + 0.8416 SE is below the smallest worthwhile gain at this look and at
    the one before, so that gains worth having are ruled out; else undecided. That a slope does not differ
    from zero is never a plateau: during steady progress of 0.5 % a week it would be one most of the time.
    """
    known = np.asarray(enough, dtype=bool) & np.isfinite(slope) & np.isfinite(se)
    flat = known & (slope + rules.z_plateau * se < worthwhile_pct)
    flat_before = np.concatenate([[False], flat[:-1]])
    in_order = [
        ~known,
        slope + rules.z_declining * se < 0,
        slope - rules.z_progressing * se > 0,
        flat & flat_before,
    ]
    return np.select(in_order, VERDICTS[:-1], default=VERDICTS[-1])
