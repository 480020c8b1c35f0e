"""What hurt in a week, in the log or noted beside it, and what the plan says of it first."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pandas as pd

from dashboard.sentences import plan as say
from dashboard.standing.body import part_ids, part_words
from dashboard.standing.entry_flags import exercise_names
from dashboard.standing.weekly import Weekly
from etl.notation import NOT_SAID, same_place
from etl.settings import RULES, Rules

Change = tuple[str, tuple[str, str]]
COLUMNS = ["line", "day", "exercise", "pain_place", "pain_score"]


def pain_by_line(w: Weekly, rules: Rules = RULES) -> tuple[dict[int, list[Change]], set[int]]:
    """Week line -> what hurt, the worst first: exercises and parts that pain was noted with, then places that it was noted at with neither.
    And the lines with pain that is strong or lasts while nobody said what brings it on: nothing is added in them.
    """
    noted = _noted(w)
    held: set[int] = set()
    if noted.empty:
        return {}, held
    lasting = _lasting(w.log.pain, rules)
    words: Mapping[str, str] = exercise_names() | dict(zip(part_ids(), part_words(), strict=True))
    found: dict[int, list[Change]] = {}
    for line, rows in noted.groupby("line"):
        with_one = rows[rows["exercise"] != ""].drop_duplicates("exercise")
        alone = rows[(rows["exercise"] == "") & ~rows["place"].isin(with_one["place"])].drop_duplicates("place")
        for row in (*with_one.itertuples(), *alone.itertuples()):
            see = bool(row.pain_score > rules.pain_high) or (int(line), row.place) in lasting
            if see and not row.exercise:
                held.add(int(line))
            found.setdefault(int(line), []).append((row.exercise, say.with_pain(words.get(row.exercise, ""), row.pain_place, row.pain_score, see)))
    return found, held


def _noted(w: Weekly) -> pd.DataFrame:
    """line, exercise (or part, '' for neither), pain_place as written, place (as `same_place` has it), pain_score; the worst first."""
    sets, beside = w.log.sets, w.log.pain
    hurt = np.flatnonzero(sets["pain_place"].notna() | (sets["pain_score"] > 0) | (sets["limited_by"] == "pain"))
    beside = beside[beside["line"].between(0, w.log.weeks - 1)]
    rows = [part[COLUMNS].astype({"exercise": object, "pain_place": object}) for part in (sets.iloc[hurt], beside) if len(part)]
    if not rows:
        return pd.DataFrame(columns=[*COLUMNS, "place"])
    found = pd.concat(rows, ignore_index=True)
    known = found["exercise"].isin([*exercise_names(), *part_ids()])
    found["exercise"] = found["exercise"].where(known, "").astype(object)
    found["pain_place"] = found["pain_place"].where(found["pain_place"].notna(), NOT_SAID).astype(object)
    found["place"] = found["pain_place"].map(same_place)
    return found.sort_values("pain_score", ascending=False, kind="stable")


def _lasting(noted: pd.DataFrame, rules: Rules) -> set[tuple[int, str]]:
    """(week line, place) of pain that was noted at the place already two weeks before, or up to four."""
    found = set()
    for place, rows in noted.groupby(noted["pain_place"].astype(object).map(same_place, na_action="ignore")):
        days = rows["day"].to_numpy(int)
        for day, line in zip(days, rows["line"].to_numpy(int), strict=True):
            before = day - days
            if np.any((before >= rules.pain_days) & (before <= 2 * rules.pain_days)):
                found.add((int(line), str(place)))
    return found
