"""How sure a dose is, in words: its range with each credit one tier lower or higher, and what it leaves undecided."""

from __future__ import annotations

import re
from collections.abc import Sequence

import pandas as pd

from dashboard.sentences.numbers import listed, number

RANGES = "Ranges in brackets: with each credit one tier lower or higher."
MOST_NAMED = 2
RANGE = re.compile(r" \(\d\S* to \d\S*\)")


def between(low: float | None, high: float | None) -> str:
    """The range of a dose, to stand behind its number; '' where there is none, as of the whole body, or where no credit can move it.

    >>> between(11.0, 19.5), between(float("nan"), float("nan")), between(0.0, 0.0)
    (' (11 to 19.5)', '', '')
    """
    return "" if pd.isna(low) or pd.isna(high) or low == high else f" ({number(low)} to {number(high)})"


def has_range(message: str) -> bool:
    """Whether a dose's range stands in a message about load.

    >>> has_range("Lats: 15 hard sets this week (11 to 19), usual is 10"), has_range("Whole body: 40 hard sets (+50 %)")
    (True, False)
    """
    return bool(RANGE.search(message))


def weakest(part: str, others: Sequence[str]) -> str:
    """The part that has least of its band, and those whose order with it depends on the credits.

    >>> weakest("rear delt", [])
    'the weakest is rear delt'
    >>> weakest("rear delt", ["lats", "calves", "neck"])
    'the weakest is rear delt (not distinguishable from lats, calves and 1 more)'
    """
    named = [*others[:MOST_NAMED], *([f"{len(others) - MOST_NAMED} more"] if len(others) > MOST_NAMED else [])]
    return f"the weakest is {part}" + (f" (not distinguishable from {listed(named)})" if named else "")


def not_distinguishable(pairs: Sequence[tuple[str, str]]) -> str:
    """Pairs whose order depends on the credits; '' where there is none.

    >>> not_distinguishable([("front delt", "side delt"), ("chest", "upper chest")]), not_distinguishable([])
    ('Not distinguishable: front delt and side delt; chest and upper chest.', '')
    """
    return f"Not distinguishable: {'; '.join(f'{a} and {b}' for a, b in pairs)}." if pairs else ""
