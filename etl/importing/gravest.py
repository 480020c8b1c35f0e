"""What changes the numbers of an import most: files without any load, and files of which every row was set aside. Said once for all of them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import pyarrow as pa
import pyarrow.compute as pc

from etl import tables
from etl.columns.headers import names_share
from etl.normalise.page import quoted, unread
from etl.told import LOOK, NO_LOADS, which

if TYPE_CHECKING:
    from etl.importing.plan import Understood


def gravest(files: Sequence[Understood]) -> list[str]:
    """Sentences for a person to read first: each names its files, which of their columns are not read, and how to say which is which."""
    there = [file for file in files if file.normal]
    found = []
    if bare := [file for file in there if _lacks_loads(file)]:
        found.append(f"{LOOK}no column of loads was found in {_named(bare)}, {NO_LOADS} although some of the exercises are usually loaded. "
                     f'{_unread_of(bare)} If one of them holds the loads, {which("load")}')
    if lost := [file for file in there if _all_aside(file)]:
        found.append(f'{LOOK}every row of {_named(lost)} was set aside, most often because of "{_usual_reason(lost)}". '
                     f'{_unread_of(lost)} If one of them holds what is missing, {which("reps")}')
    return found


def rank(text: str) -> int:
    """Where a sentence of one file stands among the others, from 0: no loads, what has to be looked at, all else."""
    return 0 if NO_LOADS in text else 1 if text.startswith(LOOK) else 2


def _lacks_loads(file: Understood) -> bool:
    """Whether no set has a load though some exercise is loaded by more than the body. Shares of a maximum have a sentence of their own."""
    if any(c.field == "load" or c.field is None and names_share(c.header) for c in file.columns) or not _unread(file):
        return False
    loads, exercises = (_values(file, name) for name in ("load_kg", "exercise"))
    return not loads and bool(exercises & _loaded())


def _all_aside(file: Understood) -> bool:
    return bool(len(file.normal.set_aside)) and not len(file.normal.sets) and not len(file.normal.days)


def _values(file: Understood, name: str) -> set:
    """The distinct values of a column of a file's sets; a file read by the fast path has an Arrow table of them."""
    sets = file.normal.sets
    if not isinstance(sets, pa.Table):
        return set(sets[name].dropna())
    return set(pc.unique(sets[name]).to_pylist()) - {None} if name in sets.column_names else set()


@tables.per_catalogue
def _loaded() -> frozenset[str]:
    """Exercises whose load is not that of the body."""
    table = tables.exercises()
    return frozenset(table.loc[table["load_basis"] == "external", "exercise_id"])


def _unread(file: Understood) -> tuple[str, ...]:
    """Headers of the columns that are not read and hold something."""
    return tuple(unread(file.columns, file.table.rows))


def _unread_of(files: Sequence[Understood]) -> str:
    """The columns that are not read, once for all files that have the same ones."""
    of: dict[tuple[str, ...], list[str]] = {}
    for file in files:
        of.setdefault(_unread(file), []).append(file.name)
    if len(of) == 1:
        return f"Not read: {quoted(next(iter(of))) or 'no column'}."
    return "Not read: " + "; ".join(f"{quoted(headers) or 'no column'} ({', '.join(names)})" for headers, names in of.items()) + "."


def _named(files: Sequence[Understood]) -> str:
    names = ", ".join(file.name for file in files)
    return names if len(files) == 1 else f"{len(files)} files ({names})"


def _usual_reason(files: Sequence[Understood]) -> str:
    counts: dict[str, int] = {}
    for reason in (text for file in files for text in file.normal.set_aside["reason"]):
        counts[reason] = counts.get(reason, 0) + 1
    return max(counts, key=counts.__getitem__)
