"""Parts, heads and muscles against their bands in one week, and the weeks before it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
import json
from datetime import date

import pandas as pd

from dashboard.measures.balance import indistinguishable
from dashboard.queries.kept import Store, of_week, rows
from dashboard.queries.week import easy
from dashboard.queries.words import called, head_words, part_muscles, part_regions, part_words

PARTS = "select *, dose - band_low as headroom from kept_parts where athlete = ? and week = ?"
HISTORY = """
select part, week, dose, low, high from kept_parts
where athlete = ? and week <= ? and week > ?::date - 7 * ? order by part, week
"""
HEADS = "select * from kept_heads where athlete = ? and week = ?"
MUSCLES = "select * from kept_muscles where athlete = ? and week = ? order by muscle"
OWN_BANDS = "select distinct part from own_targets where athlete in ('', ?)"


def parts(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """One row per part: the kept row with `name`, `region`, and `fill` (what would fill the gap, or '')."""
    found = rows(store, PARTS, athlete, week)
    fills = dict(of_week(store, "kept_next", athlete, week, "position")[["subject", "action"]].drop_duplicates("subject").itertuples(index=False))
    found = found.assign(
        name=found["part"].map(_or_id(part_words())), region=found["part"].map(_or_id(part_regions())),
        order=found["part"].map({part: i for i, part in enumerate(part_words())}),
    )
    found["fill"] = [_fill(fills.get(row.part), part_words().get(row.part, "")) if row.status == "below" else "" for row in found.itertuples()]
    return found.sort_values(["order", "part"], ignore_index=True).drop(columns="order")


def shown(store: Store, athlete: str, week: date) -> tuple[pd.DataFrame, str | None]:
    """`parts` as a page shows them, and why the week's doses are not judged (`queries.week.easy`): in an easy week no part is called short and
    none is filled.
    """
    found, why = parts(store, athlete, week), easy(store, athlete, week)
    return (found if why is None else found.assign(status="not_judged", fill="")), why


def own_bands(store: Store, athlete: str) -> list[str]:
    """The words of the parts whose band the keeper of the store set, for this athlete or for everybody, in the catalogue's order."""
    said = set(rows(store, OWN_BANDS, athlete)["part"])
    return [word for part, word in part_words().items() if part in said]


def history(store: Store, athlete: str, week: date, weeks: int) -> pd.DataFrame:
    """part, week, dose, low, high of the `weeks` weeks that end with `week`."""
    return rows(store, HISTORY, athlete, week, week, weeks)


def heads(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """One row per head: the kept row with `name` (the head) and `part_name`, in the catalogue's order."""
    found = rows(store, HEADS, athlete, week)
    order = {head: i for i, head in enumerate(head_words())}
    found = found.assign(name=found["head"].map(_or_id(head_words())), part_name=found["part"].map(_or_id(part_words())),
                         order=found["head"].map(order))
    return found.sort_values(["order", "head"], ignore_index=True).drop(columns="order")


def muscles(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """One row per muscle: dose, low, high, effective_heads, heads, `pairs` (names of heads that cannot be told apart)."""
    found = rows(store, MUSCLES, athlete, week)
    named = [[tuple(head_words().get(head, head) for head in pair) for pair in json.loads(text)] for text in found["not_distinguishable"]]
    return found.assign(pairs=pd.Series(named, dtype=object))


def not_distinguishable(parts: pd.DataFrame) -> list[tuple[str, str]]:
    """Pairs of parts of one muscle, in words, whose order depends on the credits. parts: part, dose, low, high of one week."""
    muscle = parts["part"].map(part_muscles())
    several = parts[muscle.duplicated(keep=False)]
    return [(called(own["part"].iloc[a]), called(own["part"].iloc[b])) for _, own in several.groupby(muscle, sort=False)
            for a, b in indistinguishable(own["dose"], own["low"], own["high"])]


def _fill(action: str | None, name: str) -> str:
    """The action without the part's name before it, which stands on the plank already."""
    text = action or ""
    plain = text[len(name) + 2 :] if text.lower().startswith(f"{name.lower()}: ") else text
    return plain[:1].upper() + plain[1:]


def _or_id(words: Mapping[str, str]) -> Callable[[object], str]:
    return lambda key: words.get(key, str(key).replace("_", " ") if isinstance(key, str) else "")
