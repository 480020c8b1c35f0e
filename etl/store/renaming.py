"""An athlete under another name. Runs inside the caller's transaction."""

from __future__ import annotations

from typing import Any

import duckdb

from etl.refusal import Refusal
from etl.store import erase, marked_weeks, own, said, spellings
from etl.store.corrected import rename as rename_changes
from etl.store.known import athletes as everybody
from etl.store.stale import mark_stale

NAME_LONGEST = 80  # [D] letters: a longer text is no name


def rename(con: duckdb.DuckDBPyConnection, name: str, to: str) -> dict[str, Any]:
    """Give everything of an athlete another name, and remember the old one as a spelling of it; returns athlete, was, sets and days.

    to: a name that nobody has, which may be one that the athlete had before. Raises Refusal for an athlete that the store does not have,
    and for a name that is blank, longer than NAME_LONGEST letters, the athlete's own or somebody else's.
    """
    old, new = spellings.meant_by(con, name), _checked(to)
    _check_free(con, old, new)
    first = spellings.first_day(con, old)
    con.execute("delete from athlete_spellings where spelling = ?", [new.casefold()])  # a name that the athlete had is theirs again
    spellings.remember(con, old, new)
    rename_changes(con, old, new)
    con.execute("update athletes set athlete = ? where athlete = ?", [new, old])
    moved = con.execute("update sets set athlete = ? where athlete = ? returning set_id", [new, old]).fetchall()
    days = spellings.move_days(con, old, new)
    spellings.drop_worked_out(con, old)
    if first is not None:
        mark_stale(con, {new: first})
    marked_weeks.move(con, old, new)
    own.move_targets(con, old, new)
    said.move(con, old, new)
    return {"athlete": new, "was": old, "sets": len(moved), "days": days}


def _checked(to: str) -> str:
    """The name as it is kept: one line, with single blanks."""
    name = " ".join(to.split())
    if not name:
        raise Refusal("The new name is blank", "", "Write the name that the athlete is to have.", field="name")
    if len(name) > NAME_LONGEST:
        raise Refusal(f"The new name is longer than {NAME_LONGEST} letters", "", "Shorten it.", field="name")
    return name


def _check_free(con: duckdb.DuckDBPyConnection, old: str, new: str) -> None:
    if new == old:
        raise Refusal(f"The athlete is called '{old}' already", "", "Nothing was changed.", field="name")
    there = next((one for one in everybody(con) if one != old and one.casefold() == new.casefold()), None)
    there = there or spellings.all_of(con).get(new.casefold(), old)
    if there != old:
        raise Refusal(f"'{new}' is the name of another athlete" + ("" if there == new else f", {there}"), "",
                      "Choose another one; if both are one person, bring them together (evenset merge, or the page Data).", field="name")
    held = con.execute("select min(import_id) from (select import_id from sets where athlete = $a union all select import_id from days where athlete = $a)",
                       {"a": old}).fetchall()[0][0]
    if held is not None and erase.name_hash(new) in erase.hashes(con, held):
        # What stands in the kept files of that import under an erased name is never read again.
        raise Refusal(f"An athlete called '{new}' was erased", "", "Choose another name.", field="name")
