"""What came into the store, and what did not get in."""

from __future__ import annotations

import json
from functools import lru_cache

import pandas as pd

from dashboard.queries.kept import Store, rows
from etl.importing.mending import WAITING
from etl.importing.whose_rows import whose_rows

IMPORTS = "select * from imports order by import_id desc"
# Names on which nobody has decided, "none of these" included.
UNMATCHED = """
select exercise_as_written, count(*) as sets, coalesce(mode(nullif(regexp_extract(modifiers, '(?:^|;)equipment=([^;]*)', 1), '')), '') as thing,
    (select count(*) from sets s where s.name_key = any_value(sets.name_key) and s.exercise is not null) as others
from sets
where exercise is null and name_key not in (select name_key from name_decisions) and (athlete = ?1 or ?1 is null)
group by exercise_as_written order by sets desc, exercise_as_written
"""
UNMATCHED_OF = """
select count(distinct exercise_as_written) as names from sets
where import_id = ? and exercise is null and name_key not in (select name_key from name_decisions)
"""
# Whose weeks an import holds, who has most of it first.
PEOPLE = """
select athlete, count(*) as sets from sets where import_id = ? and athlete in (select athlete from kept_weeks) group by athlete order by sets desc, athlete
"""


def people_of(store: Store, import_id: int) -> list[str]:
    """The athletes of an import who have weeks to see, those with most of its sets first."""
    return rows(store, PEOPLE, import_id)["athlete"].tolist()


def imports(store: Store) -> pd.DataFrame:
    """One row per import, newest first; `files` in words, `names` a list of those of its files, `assumed` a list of sentences."""
    found = rows(store, IMPORTS)
    names = found["files"].map(_file_names)
    return found.assign(files=names.map(", ".join), names=names.astype(object), assumed=found["assumed"].map(_listed).astype(object))


def set_aside(store: Store) -> pd.DataFrame:
    """The rows that could not be read: import_id, file, row, reason, text; one that several imports hold is listed once."""
    return rows(store, WAITING, None, None)


@lru_cache(maxsize=4)
def _whose(store: Store) -> tuple[tuple[str | None, str, int], ...]:
    return tuple((athlete, file, count) for (athlete, file), count in whose_rows(store.path).items()) if len(set_aside(store)) else ()


def aside_of(store: Store, athlete: str) -> dict[str, int]:
    """File -> how many of its rows wait to be mended that are known to be the athlete's."""
    return {file: count for whose, file, count in _whose(store) if whose == athlete}


def aside_by_athlete(store: Store) -> list[dict[str, object]]:
    """athlete (None where nobody can tell), file and rows of all that waits to be mended, those with most rows first."""
    return [{"athlete": whose, "file": file, "rows": count} for whose, file, count in _whose(store)]


def unmatched(store: Store, athlete: str | None = None) -> pd.DataFrame:
    """The exercises that no catalogue entry was found for, of one athlete or all: exercise_as_written, sets, thing (what most of them say
    that they were done with, '' for nothing), others (sets of that name that have an exercise, by what they were done
    with); most sets first.
    """
    return rows(store, UNMATCHED, athlete)


def unmatched_of(store: Store, import_id: int) -> int:
    """How many of an import's exercises wait for a match."""
    return int(rows(store, UNMATCHED_OF, import_id)["names"].iloc[0])


def waiting_count(store: Store) -> int:
    """How many rows and names wait for an answer."""
    return len(set_aside(store)) + len(unmatched(store))


def _listed(text: str) -> list:
    found = json.loads(text) if isinstance(text, str) and text else []
    return found if isinstance(found, list) else [found]


def _file_names(text: str) -> list[str]:
    return [item.get("name", "") if isinstance(item, dict) else str(item) for item in _listed(text)]
