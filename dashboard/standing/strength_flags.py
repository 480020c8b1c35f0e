"""Flags about strength: plateau and declining, of exercises and of parts that pool several exercises."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
import pandas as pd

from dashboard.sentences.numbers import begun
from dashboard.standing.body import part_ids, part_words
from dashboard.standing.entry_flags import exercise_names
from dashboard.standing.raised import Raised
from dashboard.standing.strength import Strength

NUMBERS = {"rate_pct_week": "slope", "rate_low": "low", "rate_high": "high", "sessions": "sessions", "cannot_rule_out_pct_week": "upper_80_one_sided"}


def strength_flags(found: Strength, complete: int) -> list[Raised]:
    """One flag per week, and exercise or part, whose verdict is plateau or declining."""
    words = dict(zip(part_ids(), part_words(), strict=True))
    return [*_raised(found.exercises, "exercise", exercise_names(), 1, complete), *_raised(found.parts, "part", words, 2, complete)]


def _raised(table: pd.DataFrame, subject: str, names: Mapping[str, str], least: int, complete: int) -> Iterable[Raised]:
    """Of the rows of complete weeks, those whose verdict raises a flag. least: how many exercises a part pools for it."""
    if table.empty:
        return
    verdict = table["verdict"].to_numpy(object)
    raises = ((verdict == "plateau") | (verdict == "declining")) & (table["line"].to_numpy() < complete)
    rows = np.flatnonzero(raises if least == 1 else raises & (table["exercises"].to_numpy() >= least))
    shown = (table[name].to_numpy()[rows].tolist() for name in ("line", subject, "reason", *NUMBERS.values()))
    for kind, line, one, reason, *numbers in zip(verdict[rows], *shown, strict=True):
        yield Raised(line, kind, one, "review", f"{begun(names[one])}: {kind}. {reason}", dict(zip(NUMBERS, numbers, strict=True)))
