"""What stands on a pair of planks: a week and what is usual, two stretches of weeks, one session."""

from __future__ import annotations

import pandas as pd

UNKNOWN = float("nan")
USUAL = ("this week", "usual")
AGAINST_USUAL = {"name": "part", "upper": "hard sets this week", "upper_low": "each credit a tier lower", "upper_high": "each credit a tier higher", "lower": "usual, hard sets"}
DONE_HERE = {column: heading for column, heading in AGAINST_USUAL.items() if column != "lower"} | {"upper": "hard sets"}  # of one session


def against_usual(parts: pd.DataFrame) -> pd.DataFrame:
    """Rows of `planks` from rows of `queries.load.parts`, in their order."""
    return pd.DataFrame({"name": parts["name"], "upper": parts["load"], "upper_low": parts["low"], "upper_high": parts["high"], "lower": parts["usual"],
                         "lower_low": UNKNOWN, "lower_high": UNKNOWN})


def one(gave: pd.DataFrame, names: pd.Series) -> pd.DataFrame:
    """Rows of `planks` with one plank: what came to each part (`standing.traced`). names: of the parts, row by row."""
    return pd.DataFrame({"name": names, "upper": gave["dose"], "upper_low": gave["low"], "upper_high": gave["high"], "lower": UNKNOWN, "lower_low": UNKNOWN,
                         "lower_high": UNKNOWN})


def side_by_side(first: pd.DataFrame, second: pd.DataFrame, names: dict[str, str]) -> pd.DataFrame:
    """Rows of `planks` from part, dose, low, high of two stretches; parts that got nothing in either are left out. The most of both first.

    names: part id -> its word. A part that one stretch does not know got nothing in it.
    """
    both = {side: own.set_index("part")[["dose", "low", "high"]].astype(float) for side, own in (("upper", first), ("lower", second))}
    parts = both["upper"].index.union(both["lower"].index)
    rows = pd.concat([own.reindex(parts).fillna(0.0).rename(columns={"dose": side, "low": f"{side}_low", "high": f"{side}_high"}) for side, own in both.items()], axis=1)
    rows = rows[rows["upper"] + rows["lower"] > 0]
    order = rows[["upper", "lower"]].max(axis=1).sort_values(ascending=False, kind="stable").index
    rows = rows.loc[order]
    return rows.assign(name=[names.get(part, part) for part in rows.index]).reset_index(drop=True)
