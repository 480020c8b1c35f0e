"""The committed run of the calibration, as it was written: cases.csv, curves.csv, run.csv in dashboard/calibration."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

import pandas as pd

from etl.refusal import Refusal

CASES = ("case_id", "group", "what", "unit", "target", "target_low", "target_high", "value", "low", "high", "athletes", "bound", "bound_is", "met", "note")
CURVES = ("curve", "series", "x", "x_unit", "value", "low", "high", "athletes")
OTHER = ("case_id", "value", "low", "high", "met")
RUN = ("key", "value")
NUMBERS = {"target_low", "target_high", "value", "low", "high", "athletes", "bound", "x"}
# Targets beside those that were set beforehand: what is asked of an exercise is asked of these as well.
ADDED = ("cover_pooled", "cover_shared", "cover_body", "cover_reps", "cover_reps_part", "cover_holds", "cover_value", "reps_part_false", "holds_false",
         "holds_found_16", "holds_found_20", "body_false", "body_found_16")


@dataclass(frozen=True)
class Calibration:
    """cases: one row per case, with other_value, other_low, other_high and other_met of athletes at whom nobody looked while the rules
    were decided, NaN and '' where there are none; curves: one row per curve, series and x; about: what was run, key -> value."""

    cases: pd.DataFrame
    curves: pd.DataFrame
    about: Mapping[str, str]


@dataclass(frozen=True)
class Targets:
    """How many targets there are and are reached (by the figure); near: reached, but not by the whole 95 % interval; added: of ADDED;
    other: how many of the targets are reached by the other athletes, None where not all were measured."""

    targets: int
    reached: int
    near: int
    added: int
    added_reached: int
    other: int | None


def targets(cases: pd.DataFrame) -> Targets:
    """Of the rows of a run's cases."""
    aimed = cases[cases["met"] != ""]
    reached, added = aimed["met"] == "yes", aimed["case_id"].isin(ADDED)
    inside = ~(aimed["low"] < aimed["target_low"]) & ~(aimed["high"] > aimed["target_high"])
    other = None if (aimed["other_met"] == "").any() else int((aimed["other_met"] == "yes").sum())
    return Targets(*(int(rows.sum()) for rows in (aimed["met"] != "", reached, reached & ~inside, added, added & reached)), other)


def calibration(folder: Path | Traversable | None = None) -> Calibration | None:
    """The run that is committed, or the one in `folder`; None where there is none.

    Numbers are floats, NaN where empty; texts are never missing. Raises Refusal where a file lacks a column or a number is none.
    """
    place = folder or files("dashboard") / "calibration"
    if not all((place / f"{name}.csv").is_file() for name in ("cases", "curves", "run")):
        return None
    about = _read(place / "run.csv", RUN)
    cases = _read(place / "cases.csv", CASES)
    other = _read(place / "other.csv", OTHER) if (place / "other.csv").is_file() else pd.DataFrame(columns=list(OTHER))
    beside = cases[["case_id"]].merge(other[list(OTHER)], on="case_id", how="left").drop(columns="case_id").set_axis(cases.index).add_prefix("other_")
    cases = cases.join(beside.assign(other_met=beside["other_met"].fillna("")))
    return Calibration(cases, _read(place / "curves.csv", CURVES), dict(zip(about["key"], about["value"], strict=True)))


def _read(file: Path | Traversable, columns: tuple[str, ...]) -> pd.DataFrame:
    with file.open(encoding="utf-8", newline="") as text:
        table = pd.read_csv(text, dtype="str", keep_default_na=False)
    lacking = [name for name in columns if name not in table]
    if lacking:
        raise Refusal(f"The calibration has no column {lacking[0]}", file.name, "Run python -m tests.calibration again.")
    numbers = [name for name in columns if name in NUMBERS and columns != RUN]
    try:
        return table.assign(**{name: pd.to_numeric(table[name].replace("", None)).astype(float) for name in numbers})
    except ValueError as error:
        raise Refusal(f"The calibration has a number that is none ({error})", file.name, "Run python -m tests.calibration again.") from None
