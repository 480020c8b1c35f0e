"""The one sentence of a week that the athlete will read."""

from __future__ import annotations

import pandas as pd

from dashboard.sentences.numbers import begun, measured

KEEP = "keep next week as it was"


def remember(done: float, usual: float, parts: pd.DataFrame, following: pd.DataFrame, hurting: bool) -> str:
    """What went well, and the first thing to change.

    done, usual: hard sets, NaN where unknown. parts: pooled verdicts (name, verdict, rate_pct_week, rate_low, rate_high).
    following: the week's changes in order (action). hurting: pain was noted.
    """
    if not done:
        return "Nothing was logged this week; the next session counts for more than a perfect one."
    first = following["action"].iloc[0].rstrip(".") if len(following) else ""
    then = f"next week: {first[:1].lower() + first[1:]}" if first else KEEP
    return begun(f"{_good(done, usual, parts)}; {'what hurts comes first, so ' if hurting else ''}{then}.")


def _good(done: float, usual: float, parts: pd.DataFrame) -> str:
    """The surest gain; else that the week was done."""
    rising = parts[parts["verdict"] == "progressing"]
    if len(rising):
        best = rising.sort_values("rate_low", ascending=False).iloc[0]
        return f"{best['name']} {'are' if best['name'].endswith('s') else 'is'} getting stronger, between {measured(max(best['rate_low'], 0.0))} and {measured(best['rate_high'])} % a week"
    if usual == usual and done >= usual:
        return "all of the usual work is done"
    return "the week is done"
