"""Who needs a look first: a fixed order of kinds of reason, the strongest first of one kind. There is no score."""

from __future__ import annotations

from collections.abc import Sequence

# What asks for a look first, the most pressing in front; what asks for one with time, as it stands so for weeks; and behind it what is only news.
# [C] a coach's convention; no study orders them.
FIRST = ("pain", "not_trained", "alert", "flag", "falling", "part_short", "to_check", "back")
STANDS = ("verdict", "stands")
NEWS = ("nothing_new", "away_as_marked", "first_time", "part_back", "verdict_eased", "best")
ASKS = (*FIRST, *STANDS)
KINDS = (*ASKS, *NEWS)
GROUPS = {"first": FIRST, "stands": STANDS, "rest": NEWS}  # in the order that `look_order` gives


def look_order(reasons: Sequence[tuple[str, float]]) -> tuple[tuple[int, float], ...]:
    """A key to sort athletes by, from their reasons: (kind, how strong within its kind), in any order.

    Two athletes are compared by their first reasons, then by their second ones, and so on; who has fewer comes later, who has none last.
    Raises ValueError for a kind that is none of KINDS.
    """
    return (*sorted((KINDS.index(kind), -strength) for kind, strength in reasons), (len(KINDS), 0.0))


def asks_for_a_look(kinds: Sequence[str]) -> bool:
    """Whether any of the kinds is more than news."""
    return any(kind in ASKS for kind in kinds)


def group(kinds: Sequence[str]) -> str:
    """The key of GROUPS that somebody belongs to by the most pressing of these kinds; who has none belongs to the rest.

    >>> group(["best", "stands", "pain"]), group(["best", "stands"]), group(["best"]), group([])
    ('first', 'stands', 'rest', 'rest')
    """
    return next((name for name, own in GROUPS.items() if any(kind in own for kind in kinds)), "rest")
