"""What a week's or a day's numbers are made of: each set as logged, what it counted, and for which parts.

A row for each set and part would make the store several times as large, so that this alone is worked out when somebody looks, from the
log of one athlete, and remembered as long as the store stays as it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from pathlib import Path

import numpy as np
import pandas as pd

from dashboard.measures.numbering import is_first, numbered
from dashboard.standing.body import part_ids
from dashboard.standing.log import Log, read_logs
from dashboard.standing.weekly import Counted, counted_of
from etl.store import reading

EPOCH = date(1970, 1, 1)
KIND = ["exercise", "name", "modifiers"]
OF_NOTHING = {"day": int, "date": "datetime64[us]", "session": object, "exercise": object, "name": object, "modifiers": object, "hard": float, "set_id": int,
              "exercise_as_written": object}


@dataclass(frozen=True)
class Sets:
    """rows: one row per set that was done, in the order of the log: set_id, date, session, name (exercise id or the name as it was written),
    exercise, modifiers, hard (hard sets that it counts) and the rest of the log's columns. credits (rows, parts): what one hard set of each row counts.
    """

    rows: pd.DataFrame
    credits: Counted

    def between(self, first: date, last: date) -> Sets:
        """The sets from one day to another, both with."""
        return self._only(self.rows["day"].between((first - EPOCH).days, (last - EPOCH).days).to_numpy())

    def of_session(self, day: date, session: str) -> Sets:
        """The sets of one day that the log calls one session ('' where it says nothing)."""
        return self._only((self.rows["day"] == (day - EPOCH).days).to_numpy() & (self.rows["session"] == session).to_numpy())

    def sessions(self) -> pd.DataFrame:
        """One row per session in the order of the log: key (the day, from the second of a day on with its number), date, session, sets, hard, exercises."""
        at = numbered(self.rows["day"], self.rows["session"])
        found = self.rows.loc[is_first(at), ["date", "session"]].reset_index(drop=True).assign(
            sets=np.bincount(at), hard=np.bincount(at, self.rows["hard"]), exercises=self.rows.groupby(at)["name"].nunique().to_numpy())
        before = found.groupby("date").cumcount()
        return found.assign(key=[f"{day:%Y-%m-%d}" + (f"~{n + 1}" if n else "") for day, n in zip(found["date"], before, strict=True)])

    def gave(self) -> pd.DataFrame:
        """part, exercises, dose, low, high, direct: hard sets that came to each part, the most first; parts that got none are left out."""
        hard = self.rows["hard"].to_numpy()
        sums = {name: hard @ getattr(self.credits, at) for name, at in (("dose", "now"), ("low", "less"), ("high", "more"), ("direct", "direct"))}
        found = pd.DataFrame({"part": part_ids(), **sums})
        return found[found["dose"] > 0].sort_values("dose", ascending=False, kind="stable", ignore_index=True)

    def came_from(self, part: str) -> pd.DataFrame:
        """One row per exercise (with its grip or stance) that gave the part something: KIND, sets (rows of the log), hard (hard sets), credit,
        dose = hard x credit, low and high (with the credit one tier lower or higher), days; the most first.
        """
        return self._by_kind(part_ids().index(part)).query("dose > 0 or high > 0").sort_values("dose", ascending=False, kind="stable", ignore_index=True)

    def of(self, kinds: pd.DataFrame) -> Sets:
        """The sets of these exercises (rows with KIND)."""
        wanted = set(kinds[KIND].astype(object).fillna("").itertuples(index=False, name=None))
        own = self.rows[KIND].astype(object).fillna("").itertuples(index=False, name=None)
        return self._only(np.array([kind in wanted for kind in own], bool))

    def by_exercise(self) -> pd.DataFrame:
        """One row per exercise in the order in which they came: KIND, sets, hard, parts (part id -> hard sets, the most first)."""
        found = self._by_kind(None)
        kinds = self._kinds()
        own = [self._only(kinds == i).gave() for i in range(len(found))]
        return found.assign(parts=pd.Series([dict(zip(one["part"], one["dose"], strict=True)) for one in own], dtype=object))

    def _by_kind(self, part: int | None) -> pd.DataFrame:
        kinds, rows = self._kinds(), self.rows
        first = is_first(kinds)
        found = rows.loc[first, KIND].reset_index(drop=True).assign(
            sets=np.bincount(kinds, minlength=first.sum()), hard=np.bincount(kinds, rows["hard"], first.sum()), days=rows.groupby(kinds)["day"].nunique().to_numpy())
        if part is None:
            return found
        credit, less, more = (values[first, part] for values in (self.credits.now, self.credits.less, self.credits.more))
        return found.assign(credit=credit, dose=found["hard"] * credit, low=found["hard"] * less, high=found["hard"] * more)

    def _kinds(self) -> np.ndarray:
        return numbered(*(self.rows[name] for name in KIND))

    def _only(self, there: np.ndarray) -> Sets:
        return Sets(self.rows[there].reset_index(drop=True), _rows(self.credits, there))


def sets_of(path: str | Path, stamp: str, athlete: str) -> Sets:
    """All sets of an athlete in the store at `path` as it stands under `stamp`; none of them where nothing was done."""
    return _sets(str(path), stamp, athlete)


@lru_cache(maxsize=8)
def _sets(path: str, _stamp: str, athlete: str) -> Sets:
    with reading(path) as con:
        log: Log | None = read_logs(con, [athlete], (date.today() - EPOCH).days).get(athlete)
    if log is None:
        nothing = np.zeros((0, len(part_ids())))
        return Sets(pd.DataFrame({name: pd.Series(dtype=kind) for name, kind in OF_NOTHING.items()}), Counted(nothing, nothing, nothing, nothing))
    _, credits, _ = counted_of(log.kinds)
    rows = log.sets.assign(session=log.sets["session"].astype(object).fillna(""))
    return Sets(rows, _rows(credits, rows["kind_no"].to_numpy()))


def _rows(credits: Counted, rows: np.ndarray) -> Counted:
    return Counted(credits.now[rows], credits.less[rows], credits.more[rows], credits.direct[rows])
