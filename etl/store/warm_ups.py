"""Sets that nobody tagged and that look like warm-ups. The identity of a set does not change with it."""

from __future__ import annotations

from typing import Any

import duckdb
import pandas as pd

from etl import tables
from etl.marts import mart
from etl.settings import RULES, Rules

AMONG_ASKED = "(s.athlete, s.date, s.exercise) in (select athlete, date, exercise from asked)"


def assume(con: duckdb.DuckDBPyConnection, touched: str, parameters: dict | None = None, rules: Rules = RULES) -> None:
    """Settle the kind of untagged sets. touched: SQL that gives the (athlete, date, exercise) to look at, with its parameters.

    All sets of such a day are settled anew: a later file may bring the heavier set that makes the earlier ones warm-ups.
    """
    con.execute(f"create or replace temp table asked as {touched}", parameters or {})
    _settle(con, AMONG_ASKED, {}, rules)


def assume_import(con: duckdb.DuckDBPyConnection, number: int, alone: bool, rules: Rules = RULES) -> None:
    """The same for the days of an import. alone: the store holds no other sets of these athletes and days."""
    if not alone:
        return assume(con, "select distinct athlete, date, exercise from sets where import_id = $n and exercise is not null", {"n": number}, rules)
    untagged = "import_id = ? and kind_source = 'assumed' and rpe is null and rir is null"
    if con.execute(f"select exists (select 1 from sets where {untagged})", [number]).fetchall()[0][0]:
        _settle(con, "s.import_id = $n", {"n": number}, rules)
    return None


def _settle(con: duckdb.DuckDBPyConnection, asked: str, parameters: dict[str, Any], rules: Rules) -> None:
    con.register("exercise_loads", _exercise_loads())
    con.execute(mart("import/system_loads"))
    con.execute(mart("import/suspects").format(asked=asked), {"share": rules.warm_up_share} | parameters)
    if con.execute("select count(*) from touched").fetchall()[0][0]:
        con.execute(mart("import/warm_ups"), {"share": rules.warm_up_share})
        con.execute("update sets set kind = kinds.kind from kinds where kinds.set_id = sets.set_id and sets.kind <> kinds.kind")
    con.execute("drop view system_loads")
    con.unregister("exercise_loads")


@tables.per_catalogue
def _exercise_loads() -> pd.DataFrame:
    table = tables.exercises()
    return pd.DataFrame({
        "exercise_id": table["exercise_id"], "by_body": table["load_basis"] == "body", "share": table["bodymass_share"].fillna(0.0)})
