"""Writing the data package. A cell is written as it stands in the store: nothing is put before a text that looks like a formula."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timezone
from pathlib import Path
from typing import Any

import duckdb

from etl import tables
from etl.export import described
from etl.export.described import Field
from etl.refusal import Refusal
from etl.store import known, reading
from etl.store.instance import CONFIG, literal
from etl.store.said import TABLES

Progress = Callable[[float, str], None]
ROWS_AT_ONCE = 100_000  # [D] held in memory while a table is written
BLOCK = 1 << 20
# https://datapackage.org/standard/data-package/ and .../table-schema/
PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json"
ABOUT = (
    "A strength-training log in a normal form, one row per set, and what was worked out of it week by week. Cells are as they are: "
    "a spreadsheet may take a text that begins with =, +, - or @ for a formula. Each table is there as CSV and as Parquet.")
# Rows without an athlete's name in the store: in an export of one athlete only those of files that hold nobody else's sets, with no
# other known athlete's name in them.
SET_ASIDE = """
select distinct on (s.file, s.row, s.text, s.reason) s.import_id, s.file, s.row, s.text, s.reason
from set_aside s join imports i on i.import_id = s.import_id
where not i.undone and ($athlete::text is null or (
    exists (select 1 from sets x where x.import_id = s.import_id and x.athlete = $athlete and regexp_replace(x.source, '#[^#]*$', '') = s.file)
    and not exists (select 1 from sets x where x.athlete <> $athlete and regexp_replace(x.source, '#[^#]*$', '') = s.file)
    and not exists (select 1 from athletes a where a.athlete <> $athlete and contains(lower(s.text), lower(a.athlete)))))
order by s.file, s.row, s.text, s.reason, s.import_id
"""

# What a person said has the athlete's name in its own table, so that one athlete's package holds nobody else's.
SAID = {table.name: table for table in TABLES}

MARKED_WEEKS = """
select athlete, week, mark, said_at::date as said_on from marked_weeks
where $athlete::text is null or athlete = $athlete order by athlete, week
"""


@dataclass(frozen=True)
class _Table:
    """One table of the package. sql: run on the store with $athlete (null for all); None for a table of the catalogue."""

    name: str
    title: str
    fields: tuple[Field, ...]
    sql: str | None
    key: tuple[str, ...] = ()


def export(path: str | Path, folder: str | Path, athlete: str | None = None, progress: Progress = lambda share, text: None) -> dict[str, Any]:
    """Write the store as a data package into a folder, which is made; files of an earlier export there are replaced.

    athlete: only that one's rows (as the store writes the name). Returns folder and rows (table -> rows written). Either all files are
    written or none. Raises Refusal for an athlete that the store does not have, and where the folder cannot be written.
    """
    folder = Path(folder)
    part = folder.with_name(f".{folder.name}.{os.getpid()}.part")
    try:
        part.mkdir(parents=True)
        rows = _write(path, part, athlete, progress)
        folder.mkdir(parents=True, exist_ok=True)
        for file in sorted(part.iterdir()):
            os.replace(file, folder / file.name)
    except (OSError, duckdb.IOException) as error:
        raise Refusal("The export cannot be written", str(folder),
                      f"Check the folder and the space that is left. ({str(error).splitlines()[0]})") from error
    finally:
        shutil.rmtree(part, ignore_errors=True)
    return {"folder": str(folder), "rows": rows}


def _write(path: str | Path, part: Path, athlete: str | None, progress: Progress) -> dict[str, int]:
    rows, resources, listed = {}, [], _tables()
    with reading(path) as con, duckdb.connect(config=CONFIG) as out:
        if athlete is not None:
            known.check(con, athlete, "--athlete")
        for position, table in enumerate(listed):
            progress(position / len(listed), f"Writing {table.name}.csv")
            rows[table.name] = _write_table(con, out, table, part, athlete)
            resources += [_resource(part, table, "csv"), _resource(part, table, "parquet")]
    about = {"$schema": PROFILE, "name": "evenset-log", "title": "Strength-training log", "description": ABOUT,
             "created": datetime.now(timezone.utc).isoformat(timespec="seconds"), "resources": resources}
    (part / "datapackage.json").write_text(json.dumps(about, ensure_ascii=False, indent=2) + "\n", encoding="utf-8")
    return rows


def _write_table(con: duckdb.DuckDBPyConnection, out: duckdb.DuckDBPyConnection, table: _Table, part: Path, athlete: str | None) -> int:
    """Both files of a table; returns its rows. The store's connection may touch no file, so another one writes them."""
    columns = ", ".join(f'"{f.name}"' for f in table.fields)
    csv, parquet = (literal((part / f"{table.name}.{kind}").as_posix()) for kind in ("csv", "parquet"))
    if table.sql is None:
        out.register("source", _catalogue(table.name))
    else:
        out.register("source", con.sql(table.sql, params={"athlete": athlete}).to_arrow_reader(ROWS_AT_ONCE))
    out.execute(f"copy (select {columns} from source) to {parquet} (format parquet, compression zstd)")
    out.unregister("source")
    out.execute(f"copy (select * from read_parquet({parquet})) to {csv} (format csv, header)")
    return out.execute(f"select count(*) from read_parquet({parquet})").fetchall()[0][0]


def _tables() -> tuple[_Table, ...]:
    return (
        _Table("sets", "The set log: one row per set, or per segment of a set", described.SETS,
               _of("sets", described.SETS, "athlete, date, coalesce(time, ''), set_id")),
        _Table("days", "One row per row of a log that holds only body mass, exertion or pain of a day", described.DAYS,
               _of("days", described.DAYS, "athlete, date, source_row")),
        _Table("weekly_heads", "One row per athlete, week and head", described.WEEKLY_HEADS,
               _of("kept_heads", described.WEEKLY_HEADS, "athlete, week, head"), ("athlete", "week", "head")),
        _Table("weekly_strength", "One row per athlete, week and exercise whose strength is measured", described.WEEKLY_STRENGTH,
               _of("kept_strength", described.WEEKLY_STRENGTH, "athlete, week, exercise")),
        _Table("marked_weeks", "One row per athlete and week that a person has marked", described.MARKED_WEEKS, MARKED_WEEKS, ("athlete", "week")),
        *(_Table(name, title, fields, _of(name, fields, f"athlete, {SAID[name].due}, {SAID[name].key}"), (SAID[name].key,)) for name, title, fields in (
            ("notes", "One row per note, pain or soreness that a person has written down", described.NOTES),
            ("goals", "One row per goal", described.GOALS), ("blocks", "One row per block of training", described.BLOCKS),
            ("decisions", "One row per decision of the coach", described.DECISIONS))),
        _Table("set_aside", "One row per row of a log that could not be read", described.SET_ASIDE, SET_ASIDE),
        _Table("exercises", "One row per exercise of the catalogue", _exercise_fields(), None, ("exercise_id",)),
        _Table("credits", "One row per exercise and head that it trains", described.CREDITS, None, ("exercise", "head")),
    )


def _of(table: str, fields: tuple[Field, ...], order: str) -> str:
    return f"select {', '.join(f.name for f in fields)} from {table} where $athlete::text is null or athlete = $athlete order by {order}"


def _exercise_fields() -> tuple[Field, ...]:
    return tuple(Field(name, described.EXERCISE_KINDS.get(name, "string"), name.replace("_", " ")) for name in tables.exercises().columns)


def _catalogue(name: str) -> Any:
    if name == "exercises":
        return tables.exercises().replace("", None)
    return tables.credits().rename(columns={"exercise_id": "exercise", "head_id": "head"}).replace("", None)


def _resource(part: Path, table: _Table, kind: str) -> dict[str, Any]:
    """One file of the package as a resource of the Data Package specification."""
    file = part / f"{table.name}.{kind}"
    found: dict[str, Any] = {
        "name": table.name if kind == "csv" else f"{table.name}-parquet", "type": "table", "title": table.title, "path": file.name, "format": kind,
        "mediatype": "text/csv" if kind == "csv" else "application/vnd.apache.parquet", "bytes": file.stat().st_size, "hash": f"sha256:{_sha256(file)}",
        "schema": {"fields": [f.described() for f in table.fields], "missingValues": [""]}}
    if table.key:
        found["schema"]["primaryKey"] = list(table.key)
    if kind == "csv":
        found |= {"encoding": "utf-8", "dialect": {"delimiter": ",", "quoteChar": '"', "doubleQuote": True, "header": True}}
    return found


def _sha256(file: Path) -> str:
    mark = hashlib.sha256()
    with file.open("rb") as stream:
        while block := stream.read(BLOCK):
            mark.update(block)
    return mark.hexdigest()
