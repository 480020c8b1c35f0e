"""What a person answered for files of one header. Runs inside the caller's transaction."""

from __future__ import annotations

import json

import duckdb


def remember(
    con: duckdb.DuckDBPyConnection, shape: str, columns: dict[str, str], day_first: bool | None, unit: str | None, again: int | None,
) -> None:
    """Keep the answers of the newest import, or those given when import `again` was read again, which hold from the next import on.

    What was not answered ({} or None) stays as it was for that header.
    """
    if columns or day_first is not None or unit:
        con.execute("insert into shapes_seen select ?, coalesce(max(import_id), 0) + ?, coalesce(?, max(import_id), 0), ?, ?, ? from imports",
                    [shape, int(again is not None), again, json.dumps(columns, ensure_ascii=False) if columns else None, day_first, unit])


def all_of(con: duckdb.DuckDBPyConnection, until: int | None = None) -> dict[str, tuple[dict[str, str], bool | None, str | None]]:
    """Shape -> the last answers given: columns, day_first, unit; none of imports that were undone.

    until: as they stood when that import was made, also those of imports that were undone since.
    """
    found = con.execute(
        "select shape, last(columns order by rowid) filter (columns is not null), last(day_first order by rowid) filter (day_first is not null), "
        "last(unit order by rowid) filter (unit is not null) from shapes_seen "
        "where import_id <= $b or ($b::integer is null and given_for not in (select import_id from imports where undone)) group by shape",
        {"b": until}).fetchall()
    return {shape: (json.loads(columns) if columns else {}, day_first, unit) for shape, columns, day_first, unit in found}
