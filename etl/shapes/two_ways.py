"""A pair such as "12/12 @ 40 kg", which may be two sets or two sides: the plan beside it may settle it, else it is said how each is written."""

from __future__ import annotations

import re

from etl import notation
from etl.notation import Doubt

TWO_WAYS = ("may be two sets or two sides", "may be two sets, two sides, a range, or sets and repetitions")
_PAIR = re.compile(r"\s*(?P<one>\d+)\s*/\s*(?P<other>\d+)\s*(?P<load>@.*)?", re.ASCII)


def settled(cell: str, plan: str) -> str | None:
    """The pair written so that it can only be two sets, where the plan beside it says two; None where it does not, and for a cell of another kind.

    >>> settled("12/12 @ 40 kg", "2x12 @ 40 kg"), settled("7/8", "2x8"), settled("12/12", "3x12"), settled("12/12", "2x12 each side")
    ('2x12 @ 40 kg', '7; 8', None, None)
    """
    pair, planned = _PAIR.fullmatch(cell), notation.shorthand(plan)
    if pair is None or not isinstance(planned, list) or len(planned) != 2 or any(len(pieces) != 1 or pieces[0].side for pieces in planned):
        return None
    text = _two_sets(pair)
    read = notation.shorthand(text, load_given=True)
    return text if isinstance(read, list) and len(read) == 2 else None


def in_words(doubt: Doubt, cell: str) -> str:
    """Why the cell waits, and for a pair how each of its readings is written so that it is accepted.

    >>> in_words(Doubt('"12/12 @ 40 kg" may be two sets or two sides'), "12/12 @ 40 kg")
    '"12/12 @ 40 kg" may be two sets or two sides: write "2x12 @ 40 kg" for two sets, "L 12 / R 12 @ 40 kg" for two sides'
    """
    pair = _PAIR.fullmatch(cell)
    if pair is None or not doubt.text.endswith(TWO_WAYS):
        return doubt.text
    return f'{doubt.text}: write "{_two_sets(pair)}" for two sets, "L {pair["one"]} / R {pair["other"]}{_load(pair)}" for two sides'


def _two_sets(pair: re.Match[str]) -> str:
    one, other, load = pair["one"], pair["other"], _load(pair)
    return f"2x{one}{load}" if one == other else f"{one}{load}; {other}{load}"


def _load(pair: re.Match[str]) -> str:
    return f" {pair['load'].strip()}" if pair["load"] else ""
