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

HISTORY_WEEKS = 8
# A page shows the parts of a week and of those before it: one statement for both.
PARTS = f"""
select *, dose - band_low as headroom from kept_parts
where athlete = ? and week <= ? and week > ?::date - {7 * HISTORY_WEEKS} order by part, week
"""
HEADS = "select * from kept_heads where athlete = ? and week = ?"
MUSCLES = "select * from kept_muscles where athlete = ? and week = ? order by muscle"
OWN_BANDS = "select distinct part from own_targets where athlete in ('', ?)"


def parts(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """One row per part: the kept row with `name`, `region`, and `fill` (what would fill the gap, or '')."""
    found = _of_week(store, athlete, week)
    following = of_week(store, "kept_next", athlete, week, "position")
    fills = dict(zip(following["subject"][::-1], following["action"][::-1], strict=True))  # of several of a part the first
    words, place = part_words(), {part: i for i, part in enumerate(part_words())}
    ids = found["part"].tolist()
    found = found.iloc[sorted(range(len(ids)), key=lambda i: (place.get(ids[i], len(place)), ids[i]))].reset_index(drop=True)
    return found.assign(
        name=found["part"].map(_or_id(words)), region=found["part"].map(_or_id(part_regions())),
        fill=[_fill(fills.get(part), words.get(part, "")) if status == "below" else "" for part, status in zip(found["part"], found["status"], strict=True)])


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


def history(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """part, week, dose, low, high of the HISTORY_WEEKS weeks that end with `week`."""
    return rows(store, PARTS, athlete, week, week)[["part", "week", "dose", "low", "high"]]


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


def in_focus(store: Store, athlete: str, week: date) -> list[str]:
    """The ids of the parts that are trained for."""
    found = _of_week(store, athlete, week)
    return found.loc[found["in_focus"].astype(bool), "part"].tolist()


def _of_week(store: Store, athlete: str, week: date) -> pd.DataFrame:
    found = rows(store, PARTS, athlete, week, week)
    return found[found["week"] == pd.Timestamp(week)]


def _fill(action: str | None, name: str) -> str:
    """The action without the part's name before it, which stands on the plank already."""
    text = action or ""
    plain = text[len(name) + 2 :] if text.lower().startswith(f"{name.lower()}: ") else text
    return plain[:1].upper() + plain[1:]


def _or_id(words: Mapping[str, str]) -> Callable[[object], str]:
    return lambda key: words.get(key, str(key).replace("_", " ") if isinstance(key, str) else "")
