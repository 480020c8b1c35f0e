"""Every finding of evidence.csv held against the credits: `python -m tests.findings` prints agree, tie and contradict.

`python -m tests.findings FILE.csv` does so for other findings, in the columns of evidence.csv. Not a validation: many credits were
drafted with these studies at hand.
"""

from __future__ import annotations

import sys

import pandas as pd

from etl import tables
from etl.findings import AGREES, CONTRADICTS, TIE, judged


def told(found: pd.DataFrame) -> list[str]:
    """The counts, by kind of measurement too, and each contradiction with its reason."""
    growth = found["metric"].str.contains(r"MRI|ultrasound|thickness|volume|CSA|cross-section|muscle mass", case=False, regex=True)
    lines = [f"{len(found)} findings of {found['source_id'].nunique()} sources: {_counts(found)}",
             f"  growth: {_counts(found[growth])}", f"  activity, force, models: {_counts(found[~growth])}"]
    for row in found[found["verdict"] == CONTRADICTS].itertuples():
        b = f" {row.relation} {row.catalogue_ref_b}" if row.comparison == "exercise" else f" {row.relation} {row.exercise_b}"
        lines += [f"contradicts {row.claim_id}  {row.head_id}: {row.catalogue_ref_a}{b}, credits {row.credit_a:g} and {row.credit_b:g} ({row.source_id})",
                  f"    {row.reason or 'NO REASON IS WRITTEN'}"]
    return lines


def _counts(found: pd.DataFrame) -> str:
    count = found["verdict"].value_counts()
    return ", ".join(f"{word} {count.get(verdict, 0)}" for word, verdict in (("agree", AGREES), ("tie", TIE), ("contradict", CONTRADICTS)))


if __name__ == "__main__":
    given = pd.read_csv(sys.argv[1], dtype="str", keep_default_na=False) if len(sys.argv) > 1 else tables.evidence()
    given["reason"] = given.get("reason", "")
    print("\n".join(told(judged(given))))
