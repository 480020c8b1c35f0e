"""The best set of each session: the points of every strength series, and which series each look uses.

Measures: e1rm (kg, of the load as written), per_kg (estimated maximum of the whole system / body mass), reps
(repetitions at one load), hold (seconds of one variant).
"""

from __future__ import annotations

import numpy as np
import pandas as pd

from dashboard.measures.eligibility import effective_reps, eligible, noise_pct, repetition_band
from dashboard.measures.one_rep_max import e1rm
from dashboard.standing.log import Log
from etl.settings import RULES, Rules

COLUMNS = ["day", "exercise", "measure", "series", "value", "noise", "band", "load_kg", "reps", "rir", "hold_s", "body_mass", "counted", "note"]


def bests(log: Log, rules: Rules = RULES) -> pd.DataFrame:
    """One row per session day, exercise and series, columns COLUMNS; sorted by exercise and day."""
    sets = log.sets[log.sets["exercise"].notna() & (log.sets["kind"] != "warm_up")].copy()
    found = [_estimates(sets, log, rules), _repetitions(sets, rules), _holds(sets, rules)]
    return pd.concat([f[COLUMNS] for f in found], ignore_index=True).sort_values(["exercise", "day", "measure"], ignore_index=True)


def _estimates(sets: pd.DataFrame, log: Log, rules: Rules) -> pd.DataFrame:
    """e1rm or per_kg: of each session the highest estimate that may enter a trend, else the highest faint one."""
    effort = effective_reps(sets["reps"], sets["rir"], sets["rpe"], rules)
    use = eligible(sets.assign(athlete=log.athlete), (sets["strength_estimate"] == "yes").to_numpy() & ~sets["banded"].to_numpy(), rules)
    system = e1rm(sets["system_kg"].to_numpy(float), effort.reps, log.equation, rules)
    points = sets.assign(
        measure=np.where(sets["by_body"], "per_kg", "e1rm"), series="",
        value=np.where(sets["by_body"], system / sets["body_mass"], system),
        noise=noise_pct(effort.reps, effort.logged, rules), band=repetition_band(effort.reps, rules.reps_low_band_max),
        counted=use == "trend", rir=sets["in_reserve"],
        note=np.where(effort.logged, "", "no effort logged: a lower bound"))
    points = points[(use != "none") & ~points["load_estimated"].eq(True) & points["value"].gt(0)]
    return _highest(points, ["exercise", "day"])


def _repetitions(sets: pd.DataFrame, rules: Rules) -> pd.DataFrame:
    """reps: the most repetitions (with those in reserve) of each session at each load and object."""
    effort = effective_reps(sets["reps"], sets["rir"], sets["rpe"], rules)
    load = sets["load_kg"].fillna(0.0)
    thing = np.where(sets["load_estimated"].eq(True), sets["exercise_as_written"], np.where(sets["banded"], "with a band", "")).astype(object)
    points = sets.assign(
        measure="reps", series=_label(load) + np.where(thing != "", " " + thing, ""),
        value=effort.reps, noise=rules.noise_reps_pct, band=0, counted=True, rir=sets["in_reserve"],
        note=np.where(effort.logged, "", "no effort logged: a lower bound"))
    hard_enough = ~(effort.reps - sets["reps"] > rules.rir_max_estimate)
    return _highest(points[(sets["range"] == "full") & sets["hold_s"].isna() & hard_enough & points["value"].ge(1)], ["exercise", "day", "series"])


def _holds(sets: pd.DataFrame, rules: Rules) -> pd.DataFrame:
    """hold: the longest hold of each session, of one variant and load."""
    variant = sets["modifiers"].fillna("").map(lambda m: f" {m}" if m else "").astype("str")
    points = sets.assign(
        measure="hold", series=_label(sets["load_kg"].fillna(0.0)) + variant, value=sets["hold_s"],
        noise=rules.noise_hold_pct, band=0, counted=True, rir=sets["in_reserve"], note="")
    return _highest(points[points["value"].gt(0) & (sets["mode"] == "hold")], ["exercise", "day", "series"])


def _label(load: pd.Series) -> pd.Series:
    """A load as the label of a series: 7.5 kg."""
    return load.round(2).map("{:g} kg".format).astype("str")


def _highest(points: pd.DataFrame, by: list[str]) -> pd.DataFrame:
    return points.sort_values(["counted", "value"], ascending=False, kind="stable").drop_duplicates(by)
