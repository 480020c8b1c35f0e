"""What changes the numbers of an import most: files without any load, and files of which every row was set aside. Said once for all of them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import pyarrow as pa
import pyarrow.compute as pc

from etl import notation, tables
from etl.columns.content import FITS, sample_of
from etl.columns.headers import CONTAINED, names_share
from etl.normalise.page import quoted, unread
from etl.told import LOOK, NO_LOADS, otherwise, which

if TYPE_CHECKING:
    from etl.importing.plan import Understood

REPETITIONS = "repetitions"  # in each reason to set a row aside that a column of them would lift
NUMBERINGS = ("set_no", "round_no", "segment_no")  # a column that is taken for one of these may be the repetitions


def gravest(files: Sequence[Understood]) -> list[str]:
    """Sentences for a person to read first: each names its files, which of their columns are not read, and how to say which is which."""
    there = [file for file in files if file.normal]
    found = []
    if bare := [file for file in there if _lacks_loads(file)]:
        found.append(f"{LOOK}no column of loads was found in {_named(bare)}, {NO_LOADS} although some of the exercises are usually loaded. "
                     + _where(bare, "load", "the loads"))
    if lost := [file for file in there if _all_aside(file)]:
        reason = _usual_reason(lost)
        way = _where(lost, "reps", "the repetitions") if REPETITIONS in reason else f"Look at how the columns were read {otherwise('columns')}, or mend the file."
        found.append(f'{LOOK}every row of {_named(lost)} was set aside, most often because of "{reason}". {way}')
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


def _where(files: Sequence[Understood], field: str, what: str) -> str:
    """Which columns may hold what is missing, once for all files that have the same ones, and how to say it; else that none does."""
    of: dict[tuple[str, ...], list[str]] = {}
    for file in files:
        if headers := _may_hold(file, field):
            of.setdefault(headers, []).append(file.name)
    if not of:
        return f"None of the other columns holds what {what} are written with: add a column of them to the file, and import it again."
    told = quoted(next(iter(of))) if len(of) == 1 else "; ".join(f"{quoted(headers)} ({', '.join(names)})" for headers, names in of.items())
    return f"Of the other columns {told} may hold {what}. If one of them does, {which(field)}"


def _may_hold(file: Understood, field: str) -> tuple[str, ...]:
    """Headers of the columns that are not read, or are taken for a numbering by one word of their header, of whose cells most can be repetitions, or loads."""
    found = []
    for column in file.columns:
        by_a_word = field == "reps" and column.field in NUMBERINGS and column.confidence <= CONTAINED
        if column.part or column.field is not None and not by_a_word:
            continue
        cells = sample_of(file.table.rows.iloc[:, column.position])
        fits = notation.read_repetitions(cells)["reps"].notna() if field == "reps" else notation.read_loads(cells)["value"].notna()
        if len(cells) and float(fits.mean()) >= FITS and column.header not in found:
            found.append(column.header)
    return tuple(found)


def _named(files: Sequence[Understood]) -> str:
    names = ", ".join(file.name for file in files)
    return names if len(files) == 1 else f"{len(files)} files ({names})"


def _usual_reason(files: Sequence[Understood]) -> str:
    counts: dict[str, int] = {}
    for reason in (text for file in files for text in file.normal.set_aside["reason"]):
        counts[reason] = counts.get(reason, 0) + 1
    return max(counts, key=counts.__getitem__)
