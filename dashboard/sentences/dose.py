"""How sure a dose is, in words: its range with each credit one tier lower or higher, and what it leaves undecided."""

from __future__ import annotations

import re
from collections.abc import Sequence

import pandas as pd

from dashboard.sentences.numbers import counted, listed, number

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


def weakest(part: str, others: Sequence[str], shortest: str = "") -> str:
    """The part that has least of its band, and those whose order with it depends on the credits. shortest: the part that lacks the most sets,
    where it is named beside.

    >>> weakest("grip", [], "lats"), weakest("lats", [], "lats")
    ('measured by share of its band the weakest is grip', 'the weakest is lats')

    >>> weakest("rear delt", [])
    'the weakest is rear delt'
    >>> weakest("rear delt", ["lats", "calves", "neck"])
    'the weakest is rear delt (as far as the credits tell: lats, calves and 1 more may be as weak)'
    """
    named = [*others[:MOST_NAMED], *([f"{len(others) - MOST_NAMED} more"] if len(others) > MOST_NAMED else [])]
    return f"{'measured by share of its band ' if shortest not in ('', part) else ''}the weakest is {part}" + (f" (as far as the credits tell: {listed(named)} may be as weak)" if named else "")


# What made a week easy: its mark, that a block had a deload due, or the log alone.
EASY = {"deload": "marked as a deload", "holiday": "marked as a holiday", "illness": "marked as an illness", "due": "as it was due", "": "by what was done"}


def not_judged(easy: str) -> str:
    """The title of a week whose doses say nothing of the training. easy: a key of EASY.

    >>> not_judged("holiday")
    'an easy week, marked as a holiday: its doses are not judged'
    """
    return f"an easy week, {EASY[easy]}: its doses are not judged"


def coverage(covered: int, of: int, short: int) -> str:
    """How many parts in focus are covered in a week, and what the others lack. short: those under their band.

    >>> coverage(8, 9, 1), coverage(14, 22, 6), coverage(9, 9, 0)
    ('8 of 9 focus parts are covered this week, 1 is short', '14 of 22 focus parts are covered this week, 6 are short, 2 have their sets but fewer than two direct ones', '9 of 9 focus parts are covered this week')
    """
    indirect = of - covered - short
    return (f"{number(covered)} of {number(of)} focus parts are covered this week" + (f", {counted(short, 'is', 'are')} short" if short else "")
            + (f", {counted(indirect, 'has its', 'have their')} sets but fewer than two direct ones" if indirect > 0 else ""))


def not_distinguishable(pairs: Sequence[tuple[str, str]]) -> str:
    """Pairs whose order depends on the credits; '' where there is none.

    >>> not_distinguishable([("front delt", "side delt"), ("chest", "upper chest")]), not_distinguishable([])
    ('Which has less the credits cannot tell: front delt and side delt; chest and upper chest.', '')
    """
    return f"Which has less the credits cannot tell: {'; '.join(f'{a} and {b}' for a, b in pairs)}." if pairs else ""
