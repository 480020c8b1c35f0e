"""Which sets of a plan that stands beside what was done were not done. Of those that were done nothing is stored as planned."""

from __future__ import annotations

import numpy as np
import pandas as pd

from etl.normalise.page import Ledger, Page, counted
from etl.shapes.plan_beside import OF_PLAN

SIDES = ("left", "right")
# What a planned set has from the row without work whose place it takes.
OF_THE_ROW = ("time", "set_no", "round_no", "segment_no", "limited_by", "pain_place", "pain_score", "body_mass_kg", "session_rpe", "minutes", "rest_s", "tempo", "note", "source_row")


def bare(page: Page) -> pd.Series:
    """True for rows of a file with a plan beside what was done that hold no work of their own, so that none of it was done."""
    if not page.has(OF_PLAN):
        return pd.Series(False, index=page.index)
    return (page.said("reps") == "") & (page.said("hold") == "") & ~of_plan(page)


def of_plan(page: Page) -> pd.Series:
    """True for the rows that the plan has put in."""
    return page.said(OF_PLAN) == "1"


def settle(page: Page, ledger: Ledger, values: pd.DataFrame, is_day: pd.Series) -> tuple[pd.Series, pd.DataFrame]:
    """True for the rows that are left out of the log, which have no reason to be set aside any more; and which of them give their place to a planned set.

    Of an exercise and day as many sets of the plan are left out as were done, the first ones; each of the others takes the place of a row without work, where
    there is one. A plan that stands on each of its rows is one; one of a single set is that of its row. Warm-ups are done beside the plan.
    """
    planned = of_plan(page)
    if not page.has(OF_PLAN):
        return planned, pd.DataFrame({"row": [], "row_empty": []}, dtype="int64")
    is_bare = bare(page)
    frame = pd.DataFrame({"group": _groups(page, values), "origin": page.rows.origin, "planned": planned, "plan": page.said("plan").str.casefold(), "side": values["side"]})
    frame["part"] = _parts(frame)
    done = ~planned & ~is_bare & (values["kind"] != "warm_up") & ~page.repeats_header
    left, right = (_summed(frame, done & (frame["side"] == side)) for side in SIDES)
    count = _summed(frame, done & ~frame["side"].isin(SIDES)) + np.maximum(left, right)
    first = planned & (frame["origin"] == frame["origin"].where(planned).groupby([frame["group"], frame["part"]]).transform("min"))
    kept = first & (_turn(frame, first) >= count) & (ledger.reason == "")
    empty = is_bare & ~is_day & (ledger.reason == "") & (values["exercise_as_written"].str.strip() != "")
    turns = [frame.loc[rows, ["group", "part"]].assign(turn=_turn(frame, rows)[rows], row=frame.index[rows]) for rows in (kept, empty)]
    pairs = turns[0].merge(turns[1], on=["group", "part", "turn"], suffixes=("", "_empty"))
    ledger.assumed.append(_told(page.header("plan"), int(kept.sum())))
    left_out = planned & ~kept | frame.index.isin(pairs["row_empty"])
    ledger.reason = ledger.reason.mask(left_out, "")
    return left_out, pairs


def in_place(values: pd.DataFrame, pairs: pd.DataFrame) -> pd.DataFrame:
    """The values, with those of a row without work in the planned set that takes its place; its amounts are the plan's. pairs: see `settle`."""
    values = values.copy()
    for field in [name for name in OF_THE_ROW if name in values]:
        said = values.loc[pairs["row_empty"], field].set_axis(pairs["row"])
        values.loc[pairs["row"], field] = said.where(said.notna() & (said != ""), values.loc[pairs["row"], field])
    return values


def _summed(frame: pd.DataFrame, where: pd.Series) -> pd.Series:
    return where.groupby([frame["group"], frame["part"]]).transform("sum")


def _turn(frame: pd.DataFrame, where: pd.Series) -> pd.Series:
    """For the rows of `where`, the how-manieth of its exercise and plan each one is, from 0."""
    return where.groupby([frame["group"], frame["part"]]).cumsum() - 1


def _groups(page: Page, values: pd.DataFrame) -> pd.Series:
    """A number for each exercise of an athlete's session."""
    keys = pd.DataFrame({"athlete": values["athlete"], "date": values["date"], "session": values["session"], "exercise": values["exercise_as_written"].str.strip().str.casefold(),
                         "modifiers": values["modifiers"]})
    return keys.groupby(list(keys), dropna=False, sort=False).ngroup()


def _parts(frame: pd.DataFrame) -> pd.Series:
    """Within each exercise of a session, a number for each plan that its rows name one after the other."""
    leads = ~frame["planned"] & (frame["plan"] != "") & ~frame["origin"].duplicated()
    said = frame["plan"].where(leads)
    before = said.groupby(frame["group"]).ffill().groupby(frame["group"]).shift()
    single = frame["planned"].groupby(frame["origin"]).transform("sum") == 1
    return (leads & ((said != before) | single)).groupby(frame["group"]).cumsum()


def _told(header: str, count: int) -> str:
    what = "all of its sets were done" if count == 0 else f"{counted(count, 'set')} of it {'was' if count == 1 else 'were'} not done and {'is' if count == 1 else 'are'} stored as planned"
    return f'column "{header}" read as the plan, and the rows beside it as what was done of it: {what}'
