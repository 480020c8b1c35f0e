"""Who needs a look first: a fixed order of kinds of reason, the strongest first of one kind. There is no score."""

from __future__ import annotations

from collections.abc import Sequence

# What asks for a look, the most pressing first, and behind it what is only news. [C] a coach's convention; no study orders them.
ASKS = ("pain", "not_trained", "alert", "flag", "verdict", "part_short", "to_check", "stands")
NEWS = ("first_time", "back", "part_back", "verdict_eased", "best")
KINDS = (*ASKS, *NEWS)


def look_order(reasons: Sequence[tuple[str, float]]) -> tuple[tuple[int, float], ...]:
    """A key to sort athletes by, from their reasons: (kind, how strong within its kind), in any order.

    Two athletes are compared by their first reasons, then by their second ones, and so on; who has fewer comes later, who has none last.
    Raises ValueError for a kind that is none of KINDS.
    """
    return (*sorted((KINDS.index(kind), -strength) for kind, strength in reasons), (len(KINDS), 0.0))


def asks_for_a_look(kinds: Sequence[str]) -> bool:
    """Whether any of the kinds is more than news."""
    return any(kind in ASKS for kind in kinds)
