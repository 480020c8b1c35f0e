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

COLUMNS = ["athlete", "day", "line", "exercise", "measure", "series", "value", "noise", "readiness", "band", "estimated_from", "load_kg", "reps", "rir", "hold_s", "body_mass",
           "counted", "note"]
SERIES = ["athlete", "exercise", "measure", "series"]


def bests(logs: list[Log], rules: Rules = RULES) -> pd.DataFrame:
    """One row per session day and series, columns COLUMNS; each series in order of time, those of one exercise together."""
    sets = pd.concat([log.sets for log in logs], ignore_index=True)
    equation = sets["athlete"].map({log.athlete: log.equation for log in logs}).to_numpy(object)
    used = (sets["exercise"].notna() & (sets["kind"] != "warm_up")).to_numpy()
    sets, equation = sets[used].reset_index(drop=True), equation[used]
    effort = effective_reps(sets["reps"], sets["rir"], sets["rpe"], rules)
    sets = sets.assign(effective=effort.reps, rir=sets["in_reserve"], note=np.where(effort.logged, "", "no effort logged: a lower bound"))
    found = [_estimates(sets, effort.logged, equation, rules), _repetitions(sets, rules), _holds(sets, rules)]
    return pd.concat([f[COLUMNS] for f in found], ignore_index=True).sort_values([*SERIES, "day"], ignore_index=True)


def _estimates(sets: pd.DataFrame, logged: np.ndarray, equation: np.ndarray, rules: Rules) -> pd.DataFrame:
    """e1rm or per_kg: of each session the highest estimate that may enter a trend, else the highest faint one."""
    use = eligible(sets, (sets["strength_estimate"] == "yes").to_numpy() & ~sets["banded"].to_numpy(), rules)
    system, effective = np.full(len(sets), np.nan), sets["effective"].to_numpy()
    for name in pd.unique(equation):
        rows = equation == name
        system[rows] = e1rm(sets["system_kg"].to_numpy(float)[rows], effective[rows], name, rules)
    points = sets.assign(
        measure=np.where(sets["by_body"], "per_kg", "e1rm"), series="",
        value=np.where(sets["by_body"], system / sets["body_mass"], system),
        noise=noise_pct(effective, logged, rules), readiness=rules.readiness_sd_pct,
        band=repetition_band(effective, rules.reps_low_band_max), estimated_from=effective, counted=use == "trend")
    return _highest(points[(use != "none") & ~points["load_estimated"].eq(True) & points["value"].gt(0)], ["athlete", "exercise", "day"])


def _repetitions(sets: pd.DataFrame, rules: Rules) -> pd.DataFrame:
    """reps: the most repetitions (with those in reserve) of each session at each load and object."""
    hard_enough = ~(sets["effective"] - sets["reps"] > rules.rir_max_estimate)
    sets = sets[(sets["range"] == "full") & sets["hold_s"].isna() & hard_enough & sets["effective"].ge(1)]
    thing = np.where(sets["load_estimated"].eq(True), sets["exercise_as_written"], np.where(sets["banded"], "with a band", "")).astype(object)
    points = sets.assign(
        measure="reps", series=_label(sets["load_kg"]) + np.where(thing != "", " " + thing, ""),
        value=sets["effective"], noise=rules.noise_reps_pct, readiness=rules.readiness_reps_pct, band=0, estimated_from=0, counted=True)
    return _highest(points, ["athlete", "exercise", "day", "series"])


def _holds(sets: pd.DataFrame, rules: Rules) -> pd.DataFrame:
    """hold: the longest hold of each session, of one variant and load."""
    sets = sets[sets["hold_s"].gt(0) & (sets["mode"] == "hold")]
    variant = sets["modifiers"].fillna("").map(lambda m: f" {m}" if m else "").astype("str")
    points = sets.assign(measure="hold", series=_label(sets["load_kg"]) + variant, value=sets["hold_s"], noise=rules.noise_hold_pct,
                         readiness=rules.readiness_hold_pct, band=0, estimated_from=0, counted=True, note="")
    return _highest(points, ["athlete", "exercise", "day", "series"])


def _label(load: pd.Series) -> pd.Series:
    """A load as the label of a series: 7.5 kg."""
    code, loads = pd.factorize(load.fillna(0.0).round(2))
    return pd.Series(np.array([f"{kg:g} kg" for kg in loads], object)[code], index=load.index, dtype="str") if len(load) else load.astype("str")


def _highest(points: pd.DataFrame, by: list[str]) -> pd.DataFrame:
    return points.sort_values(["counted", "value"], ascending=False, kind="stable").drop_duplicates(by)
