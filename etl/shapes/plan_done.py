"""What was planned and what was done of it: one work of the row, marked as planned where it was not done.

The rule: what the row says was done is its work. Done as planned is the plan; not done is the plan, marked as planned. What
can be read in two ways or in none is set aside.
"""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from etl import notation
from etl.columns import Column
from etl.columns.done_cells import BLANK, NO, NUMBER, UNKNOWN, WORK, YES, Done, done_cells
from etl.columns.plan_done import BESIDE, EMPTY
from etl.notation import Doubt, Piece
from etl.shapes import two_ways
from etl.told import LOOK

Row = dict[str, str]
COUNTS = ("set_count", "reps", "work", "ticks")  # what a column of `done` speaks of; one that the user named may not say it
SHOWN = 40  # [D] characters of a cell that a sentence repeats
NUMBERED = ("reps", "work", "hold", "set_count", "round_count")  # what would make several sets of a row that is set aside
HOLDS_WORK = ("reps", "hold", "work", "load", "set_count", "round_count")


def settled(cells: pd.DataFrame, columns: Sequence[Column]) -> tuple[pd.DataFrame, dict[int, str], list[str]]:
    """The cells without `plan` and `done`; position of a row in the file -> why it cannot be read; and what was taken for granted.

    Every row is decided by its own cells.
    """
    of = {c.field: c for c in columns if c.field == "plan" and c.unit != BESIDE or c.field == "done" or (c.field, c.unit) == ("planned", "not")}
    notes = [f'{LOOK}column "{c.header}" is empty, so that it does not say which sets were done: every row is read as done' for c in columns if c.reason == EMPTY]
    if "plan" in of and "done" not in of and "planned" not in cells:
        notes.append(f'{LOOK}column "{of["plan"].header}" says what was planned, and no column says what was done: every row is read as planned and not done '
                     f'(--columns "work={of["plan"].header}" reads it as done)')
    if not of:
        return cells, {}, notes
    cells, found = cells.copy(), of.get("done") or of.get("planned")
    if "plan" in of:
        cells = cells.rename(columns={"plan": "work"})
    if found is None or "planned" in cells and "done" in of:
        # A column of its own says which rows are planned, or none does.
        return (cells if "planned" in cells else cells.assign(planned="yes")).drop(columns="done", errors="ignore"), {}, notes
    counts = found.unit if found.unit in COUNTS else "work" if "plan" in of else "ticks"
    cells, trouble, blank = _decided(cells, found, counts)
    if blank:
        notes.append(f'{blank} {"row" if blank == 1 else "rows"} with a blank "{found.header}" read as planned and not done')
    return cells, trouble, notes


def _decided(cells: pd.DataFrame, column: Column, counts: str) -> tuple[pd.DataFrame, dict[int, str], int]:
    """The cells as the column of what was done decides them, the rows that it leaves open, and how many blanks were no work done."""
    field = column.field
    said = done_cells(cells[field]).map(lambda one: _as_tick(one, counts))
    works = pd.Series(False, index=cells.index)
    for name in set(HOLDS_WORK) & set(cells):
        works |= ~notation.is_blank(cells[name])
    blank = said.map(lambda one: one.kind) == BLANK
    plain = works & ~blank & said.map(lambda one: one.kind in (YES, NO) and not one.remark)
    done, not_done = ("yes", "no") if field == "planned" else ("", "yes")
    planned = said.map(lambda one: not_done if one.kind in (NO, BLANK) else done).where(works, "").astype("str")
    trouble, changed = {}, {}
    for at in cells.index[works & ~blank & ~plain | works & (counts == "work") & (said.map(lambda one: one.kind) == YES)]:
        row = cells.loc[at].to_dict()
        try:
            changed[at] = _row(row, said[at], counts, column.header)
        except ValueError as wrong:
            trouble[int(row["origin"])] = str(wrong)
            changed[at] = {name: "" for name in NUMBERED if name in row}
    cells = cells.drop(columns=field).assign(planned=planned)
    if changed:
        new = pd.DataFrame.from_dict(changed, orient="index")
        for name in new.columns:
            base = cells[name] if name in cells else pd.Series("", index=cells.index, dtype="str")
            cells[name] = new[name].astype("str").where(new[name].notna()).reindex(cells.index).fillna(base).astype("str")
    return cells, trouble, int((blank & works).sum())


def _as_tick(said: Done, counts: str) -> Done:
    """Nothing of it was done where a number is 0; beside ticks a 1 is one as well."""
    number = float(said.text.replace(",", ".")) if said.kind == NUMBER and said.text.replace(",", ".").replace(".", "", 1).isdecimal() else None
    if number == 0:
        return Done(NO, "", said.remark)
    return Done(YES, "", said.remark) if number == 1 and counts == "ticks" else said


def _row(row: Row, said: Done, counts: str, header: str) -> Row:
    """The cells of a row that what was done changes. Raises ValueError where it has two readings or none."""
    found = {"note": "; ".join(filter(None, (row.get("note", "").strip(), f"{header}: {said.remark}")))} if said.remark else {}
    if said.kind in (YES, NO):
        return found
    shown = said.text[:SHOWN]
    if said.kind == UNKNOWN and counts == "work" and (text := two_ways.settled(said.text, row.get("work", ""))):
        said = Done(WORK, text, said.remark)
    if said.kind == UNKNOWN and counts != "ticks" and isinstance(doubt := notation.shorthand(said.text), Doubt):
        raise ValueError(two_ways.in_words(doubt, said.text))
    if said.kind == UNKNOWN or counts == "ticks":
        raise ValueError(f'what "{shown}" in "{header}" says of the set is not known: write yes, no or what was done (8/8/4)')
    if counts == "work":
        return found | _of_plan(row, said, shown)
    if said.kind == NUMBER:
        return found | {counts: said.text}
    return found | {"reps": said.text} | ({"set_count": ""} if "set_count" in row else {})


def _of_plan(row: Row, said: Done, shown: str) -> Row:
    """What was done in the place of the plan, with the load and the side of the plan where it names none."""
    plan = notation.shorthand(row.get("work", ""))
    planned = [piece for pieces in plan for piece in pieces] if isinstance(plan, list) else []
    counted = notation.shorthand(row.get("work", ""), single=True)
    planned = planned or ([piece for pieces in counted for piece in pieces] if isinstance(counted, list) else [])
    if said.kind == NUMBER and (len(planned) != 1 or row.get("set_count", "").strip()):
        raise ValueError(f'whether "{shown}" counts the sets or the repetitions that were done is not said: write all of them (8/8/4)')
    sets = notation.shorthand(said.text, load_given=True)
    done = [piece for pieces in sets for piece in pieces] if isinstance(sets, list) else []
    if any(piece.hold for piece in planned) and not any(piece.hold for piece in done) and "s" not in said.text:
        raise ValueError(f'the plan says seconds, and whether "{shown}" does so too is not said: write the unit (30 s/25 s)')
    return {"work": said.text} | _from_plan("load", row, planned, done, shown) | _from_plan("side", row, planned, done, shown)


def _from_plan(field: str, row: Row, planned: Sequence[Piece], done: Sequence[Piece], shown: str) -> Row:
    """The plan's load or side for what was done, {} where the row or what was done says its own, or the plan none. Raises ValueError."""
    texts = [getattr(piece, field) for piece in planned]
    if not any(texts) or row.get(field, "").strip() or any(getattr(piece, field) for piece in done):
        return {}
    if len(set(texts)) == 1:
        return {field: texts[0]}
    if field == "load" and len(texts) == len(done):
        return {field: "; ".join(texts)}
    raise ValueError(f'the plan names more than one {field}, and which of them belongs to "{shown}" is not said: write it behind what was done')
