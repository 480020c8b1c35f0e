"""Sets that nobody tagged and that look like warm-ups. The identity of a set does not change with it."""

from __future__ import annotations

from functools import cache

import duckdb
import pandas as pd

from etl import tables
from etl.marts import mart
from etl.settings import RULES, Rules


def assume(con: duckdb.DuckDBPyConnection, touched: str, parameters: dict | None = None, rules: Rules = RULES) -> None:
    """Settle the kind of untagged sets. touched: SQL that gives the (athlete, date, exercise) to look at, with its parameters.

    All sets of such a day are settled anew: a later file may bring the heavier set that makes the earlier ones warm-ups.
    """
    con.execute(f"create or replace temp table touched as {touched}", parameters or {})
    con.register("exercise_loads", _exercise_loads())
    con.execute(mart("import/warm_ups"), {"share": rules.warm_up_share})
    con.unregister("exercise_loads")
    con.execute("update sets set kind = kinds.kind from kinds where kinds.set_id = sets.set_id and sets.kind <> kinds.kind")


@cache
def _exercise_loads() -> pd.DataFrame:
    table = tables.exercises()
    return pd.DataFrame({
        "exercise_id": table["exercise_id"], "by_body": table["load_basis"] == "body", "share": table["bodymass_share"].fillna(0.0)})
