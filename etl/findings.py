"""What published studies found, held against the tables: does the credit of a head order two exercises as the study did?

A tie is no support: three tiers cannot tell apart all that a study can. Agreement is no validation either, since credits were
drafted with many of these studies at hand; what it shows is where the tables say the contrary.
"""

from __future__ import annotations

import re

import numpy as np
import pandas as pd

from etl import tables

AGREES, TIE, CONTRADICTS = "agrees", "tie", "contradicts"
HEAD = "head B: "  # begins the other side of a comparison of two heads in one exercise
COUNTED_ALIKE = 0.25  # [D] credits (0 to 1) that differ by less after a grip or a stance are of one tier

BETWEEN_WORDS = re.compile(r"(?<=[a-z])-(?=[a-z])")  # by-side is by_side, but 45-60 is a range


def judged(findings: pd.DataFrame | None = None) -> pd.DataFrame:
    """The findings (columns of evidence.csv; default: those of the catalogue) with credit_a, credit_b and verdict.

    `>`: a above b agrees, equal is a tie, below contradicts. `~` (alike): equal agrees, one tier apart is a tie, more contradicts.
    Raises Refusal for an exercise that the catalogue in use does not have.
    """
    table = tables.evidence() if findings is None else findings.copy()
    a = [credit(row.catalogue_ref_a, row.head_id) for row in table.itertuples()]
    b = [credit(*_other(row)) for row in table.itertuples()]
    verdict = [verdict_of(relation, *pair) for relation, *pair in zip(table["relation"], a, b, strict=True)]
    return table.assign(credit_a=a, credit_b=b, verdict=verdict)


def _other(row) -> tuple[str, str]:
    if row.comparison == "head":
        return row.catalogue_ref_a, row.exercise_b.removeprefix(HEAD)
    return row.catalogue_ref_b, row.head_id


def credit(reference: str, head: str) -> float:
    """A head's credit in an exercise that is written as `exercise_id` or `exercise_id@modifier=value;...`; 0 for none."""
    exercise, _, modifiers = reference.partition("@")
    return tables.modified_credits(exercise, BETWEEN_WORDS.sub("_", modifiers)).get(head, 0.0)


def verdict_of(relation: str, a: float, b: float) -> str:
    """One finding's verdict. relation: `>` or `~`; a, b: the credits of its two sides.

    >>> verdict_of(">", 1, 0.5), verdict_of(">", 1, 1), verdict_of("~", 1, 0.25)
    ('agrees', 'tie', 'contradicts')
    """
    if relation == ">":
        return AGREES if a > b else TIE if a == b else CONTRADICTS
    apart = abs(_tier(a) - _tier(b))
    return AGREES if abs(a - b) < COUNTED_ALIKE or apart == 0 else TIE if apart == 1 else CONTRADICTS


def _tier(value: float) -> int:
    """The place of the tier that is nearest to a credit, the higher of two: 0 none, 1 of 0.25, 2 of 0.5, 3 direct."""
    tiers = np.array([1.0, 0.5, 0.25, 0.0])
    return len(tiers) - 1 - int(np.abs(tiers - value).argmin())
