"""The one sentence of a week that the athlete will read."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from dashboard.sentences.client import restart
from dashboard.sentences.grammar import agrees
from dashboard.sentences.numbers import begun, counted, few, measured, number
from dashboard.sentences.plan import SAY_WHAT, TAKE_EASY

KEEP = "keep next week as it was"
PAIN = "Pain was noted "  # how a reason of `sentences.plan` begins
ANY = "hold or lighten what brings it on, and leave it out where it goes on hurting"


def remember(done: float, usual: float, parts: pd.DataFrame, following: pd.DataFrame, hurting: Sequence[tuple[str, Sequence[str]]] = (), so_far: bool = False,
             when: str = "next week") -> str:
    """What went well, and the first thing to change; before that, what hurts, and what to do about it.

    done, usual: hard sets, NaN where unknown. parts: pooled verdicts (name, verdict, rate_pct_week, rate_low, rate_high).
    following: the changes in order (action, reason). hurting: each place that hurt, with what it hurt with, in words. so_far: the week still runs. when: the
    week that the changes are for.
    """
    if not done and not hurting:
        return "Nothing was logged this week so far." if so_far else "Nothing was logged this week; the next session counts for more than a perfect one."
    if hurting:
        # The changes may come from the week before, and be about something else that hurt then.
        of_these = [row.action for row in following.itertuples() if row.reason.startswith(PAIN) and any(f"({place}" in row.reason for place, _ in hurting)]
        first = _told([*of_these, ANY][0])
        if len(hurting) == 1 and len(hurting[0][1]) <= 1:  # then what it is about has just been said
            first = first.removeprefix(f"{[*hurting[0][1], hurting[0][0]][0].lower()}: ")
        named = few([hurts(place, about) for place, about in hurting])
        easy = "; and take the easy week" if following["action"].str.startswith(TAKE_EASY).any() else ""
        return f"{begun(named)} hurt{'s' if len(hurting) == 1 else ''}, and that comes first: {first}{easy}."
    of_training = [action for action in following["action"] if not action.startswith(SAY_WHAT)]
    first = of_training[0] if of_training else ""
    ahead = "" if "next week" in first.lower() else f"{when}: "  # a change that names the week itself
    return begun(f"{_good(done, usual, parts, so_far)}; {f'{ahead}{_told(first)}' if first else KEEP}.")


def hurts(place: str, about: Sequence[str]) -> str:
    """A place that hurts, and what it hurts with where that is said.

    >>> hurts("left elbow", ["hammer curl"]), hurts("left elbow", [])
    ('left elbow (hammer curl)', 'left elbow')
    """
    return f"{place} ({few(list(about))})" if about else place


def after_break(days: int) -> str:
    """In place of it on the last week with training of somebody who returns with less than was usual.

    >>> after_break(24)
    'After 24 days without a set: begin with about 70\xa0% of what was usual, and go up from week to week.'
    """
    return f"After {counted(days, 'day', 'days')} without a set: {_told(restart(days))}."


def _told(action: str) -> str:
    return f"{action[:1].lower()}{action[1:]}".rstrip(".")


def _good(done: float, usual: float, parts: pd.DataFrame, so_far: bool) -> str:
    """The surest gain; else that the week was done."""
    rising = parts[parts["verdict"] == "progressing"]
    if len(rising):
        best = rising.sort_values("rate_low", ascending=False).iloc[0]
        return (f"{agrees(best['name'], 'is getting stronger', 'are getting stronger')}, "
                f"between {measured(max(best['rate_low'], 0.0))} and {measured(best['rate_high'])} % a week")
    if usual == usual and done >= usual:
        return "all of the usual work is done"
    if so_far:
        return f"{number(done)} hard sets are done so far" + (f" of a usual {number(usual)}" if usual == usual else "")
    return "the week is done"
