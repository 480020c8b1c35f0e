"""When plateaus and declines of a week began, in numbers and in words."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pandas as pd

from dashboard.queries.kept import Store, of_week
from dashboard.queries.words import part_words
from dashboard.sentences.onset import around_sentence, onset_sentence



def onsets(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """One row per exercise or part with a plateau or a decline in that week; the index is its id.

    `told` dates it, `around` says what else differed ('' where it is not dated), `changed` is the list behind that.
    """
    found = of_week(store, "kept_onsets", athlete, week, "subject, measure")
    changed = found["changes"].map(json.loads).astype(object)
    told = [onset_sentence(r.verdict, r.state, *(_day(d) for d in (r.onset, r.low, r.high))) for r in found.itertuples()]
    around = [around_sentence(c, part_words()) if state == "dated" else "" for c, state in zip(changed, found["state"], strict=True)]
    return found.assign(changed=changed, told=told, around=around).set_index("subject", drop=False)


def as_objects(found: pd.DataFrame) -> dict[str, dict[str, Any]]:
    """Subject -> its onset for JSON: onset, low, high (ISO dates of Mondays, or None), changed, and the sentence."""
    return {r.subject: {"onset": _iso(r.onset), "low": _iso(r.low), "high": _iso(r.high), "changed": r.changed,
                        "message": " ".join(filter(None, [r.told, r.around]))} for r in found.itertuples()}


def _day(when: Any) -> date | None:
    return None if pd.isna(when) else pd.Timestamp(when).date()


def _iso(when: Any) -> str | None:
    return None if pd.isna(when) else _day(when).isoformat()
