"""The best set of each session: the points of every strength series, and which series each look uses.

Measures: e1rm (kg, of the load as written), per_kg (estimated maximum of the whole system / body mass), reps
(repetitions at one load), hold (seconds of one variant).
"""

from __future__ import annotations

import numpy as np
import pandas as pd

from dashboard.measures.eligibility import SET_KEY, Effort, effective_reps, eligible, noise_pct, outdone, repetition_band
from dashboard.measures.numbering import is_first, numbered
from dashboard.measures.one_rep_max import e1rm
from dashboard.sentences.points import AT_LEAST, BESIDE_LOGGED, LOWER, PAINFUL
from dashboard.standing.log import Log
from etl.settings import RULES, Rules

ESTIMATES = ("e1rm", "per_kg")
REPEATED = ("reps", "hold")
SERIES = ["athlete", "exercise", "measure", "series"]
OF_SET = ["athlete", "day", "line", "exercise", "load_kg", "reps", "rir", "hold_s", "body_mass"]
READ = list(dict.fromkeys([
    *OF_SET, *SET_KEY, "kind", "rpe", "in_reserve", "segment_no", "range", "planned", "strength_estimate", "banded", "by_body", "system_kg", "load_estimated",
    "exercise_as_written", "modifiers", "mode", "limited_by", "pain_score"]))


def bests(logs: list[Log], rules: Rules = RULES) -> pd.DataFrame:
    """One row per session day and series, each series in order of time, those of one exercise together.

    Columns: SERIES, OF_SET of the set, value, noise, readiness, band, counted, note. Two kinds of points are shown and count in no trend beside
    those that `eligible` leaves out: a set that hurt or that pain ended, and a lower bound among sessions whose effort is logged.
    """
    sets = pd.concat([log.sets[READ] for log in logs], ignore_index=True)
    equation = np.repeat(np.array([log.equation for log in logs], object), [len(log.sets) for log in logs])
    used = (sets["exercise"].notna() & (sets["kind"] != "warm_up")).to_numpy()
    sets, equation = sets[used], equation[used]
    effort = effective_reps(sets["reps"], sets["rir"], sets["rpe"], rules)
    sets["rir"], session = sets["in_reserve"], numbered(sets["athlete"], sets["exercise"], sets["day"])
    painful = (sets["pain_score"].astype(float).ge(rules.pain_no_trend) | sets["limited_by"].eq("pain")).to_numpy(bool)
    found = [_estimates(sets, session, effort, painful, equation, rules), _repetitions(sets, session, effort, painful, rules)]
    if sets["hold_s"].notna().any():
        found.append(_holds(sets, session, painful, rules))
    table = pd.concat(found, ignore_index=True)
    texts = [pd.factorize(table[name].to_numpy(object), sort=True)[0] for name in reversed(SERIES)]
    table = table.iloc[np.lexsort((table["day"], *texts))].reset_index(drop=True)
    beside = ~table["logged"].to_numpy(bool) & _effort_is_usual(table, rules)
    table = table.drop(columns="logged").assign(counted=table["counted"].to_numpy(bool) & ~beside, note=np.where(beside & table["note"].eq(LOWER), BESIDE_LOGGED, table["note"]))
    estimates = table["measure"].isin(ESTIMATES).to_numpy()
    own = table[estimates]
    band = np.zeros(len(table), int)
    band[estimates] = repetition_band(numbered(own["athlete"], own["exercise"], own["measure"]), own["reps"], rules)
    return table.assign(band=band)


def _estimates(sets: pd.DataFrame, session: np.ndarray, effort: Effort, painful: np.ndarray, equation: np.ndarray, rules: Rules) -> pd.DataFrame:
    """e1rm or per_kg: of each session the highest estimate of a set near the maximum, else of one further away; of what hurt where there is nothing else."""
    use = eligible(sets, (sets["strength_estimate"] == "yes").to_numpy() & ~sets["banded"].to_numpy(), rules)
    system, known = sets["system_kg"].to_numpy(float), ~sets["load_estimated"].eq(True).to_numpy()
    beyond, more = ((np.isin(use, of) & known & ~painful) for of in (("beyond",), ("far", "beyond")))
    # Else a tired set would stand in for one that was too many for an estimate, and who passes 15 repetitions would be told to fall.
    use = np.where((use == "far") & outdone(system, session, beyond), "none", use)
    value, by_body = np.full(len(sets), np.nan), sets["by_body"].to_numpy(bool)
    for name in pd.unique(equation):
        own = equation == name
        value[own] = e1rm(system[own], effort.reps[own], name, rules)
    value[by_body] /= sets["body_mass"].to_numpy(float)[by_body]
    rows = np.flatnonzero(np.isin(use, ("near", "far")) & known & (value > 0))
    at = rows[_highest(value[rows], session[rows], np.where(painful, 0, 1 + (use == "near"))[rows])]
    reps, less = effort.reps[at], outdone(system, session, more)[at] & (use[at] == "near")
    return sets[OF_SET].iloc[at].assign(
        measure=np.where(by_body[at], "per_kg", "e1rm"), series="", value=value[at], noise=noise_pct(reps, effort.logged[at], rules),
        readiness=rules.readiness_sd_pct, counted=~painful[at], logged=effort.logged[at],
        note=np.where(less & effort.logged[at] & ~painful[at], AT_LEAST, _note(effort.logged[at], painful[at])))


def _repetitions(sets: pd.DataFrame, session: np.ndarray, effort: Effort, painful: np.ndarray, rules: Rules) -> pd.DataFrame:
    """reps: the most repetitions (with those in reserve) of each session at each load and object."""
    hard_enough = ~(effort.reps - sets["reps"].to_numpy(float) > rules.rir_max_estimate)
    rows = np.flatnonzero(((sets["range"] == "full") & sets["hold_s"].isna()).to_numpy() & hard_enough & (effort.reps >= 1))
    guessed, thing = sets["load_estimated"].eq(True).to_numpy(), np.where(sets["banded"], "with a band", "").astype(object)
    thing[guessed] = sets["exercise_as_written"][guessed]
    series = _label(sets["load_kg"], thing)
    at = rows[_highest(effort.reps[rows], numbered(session, series)[rows], ~painful[rows])]
    return sets[OF_SET].iloc[at].assign(
        measure="reps", series=series[at], value=effort.reps[at], noise=rules.noise_reps_pct, readiness=rules.readiness_reps_pct,
        counted=~painful[at], logged=effort.logged[at], note=_note(effort.logged[at], painful[at]))


def _holds(sets: pd.DataFrame, session: np.ndarray, painful: np.ndarray, rules: Rules) -> pd.DataFrame:
    """hold: the longest hold of each session, of one variant and load."""
    there = np.flatnonzero(sets["hold_s"].gt(0) & (sets["mode"] == "hold"))
    sets, session, painful = sets[[*OF_SET, "modifiers"]].iloc[there], session[there], painful[there]
    variant = sets["modifiers"].fillna("").str.replace(r"(^|;)equipment=[^;]*", "", regex=True)  # its load says it
    series = _label(sets["load_kg"], variant.to_numpy(object))
    at = _highest(sets["hold_s"].to_numpy(float), numbered(session, series), ~painful)
    own = sets.drop(columns="modifiers").iloc[at]
    return own.assign(measure="hold", series=series[at], value=own["hold_s"], noise=rules.noise_hold_pct, readiness=rules.readiness_hold_pct,
                      counted=~painful[at], logged=True, note=np.where(painful[at], PAINFUL, ""))


def _note(logged: np.ndarray, painful: np.ndarray) -> np.ndarray:
    return np.select([painful, ~logged], [PAINFUL, LOWER], "")


def _effort_is_usual(points: pd.DataFrame, rules: Rules) -> np.ndarray:
    """Whether effort is logged at enough of a point's series up to it, itself among them, (n,): by what was known on its day. points: in order of series
    and time.
    """
    begin = np.maximum.accumulate(np.where(is_first(numbered(*(points[name] for name in SERIES))), np.arange(len(points)), 0))
    so_far = np.r_[0, np.cumsum(points["logged"].to_numpy(bool))]
    at = np.arange(len(points))
    return so_far[at + 1] - so_far[np.maximum(begin, at + 1 - rules.effort_usual_of)] >= rules.effort_usual_least


def _label(load: pd.Series, variant: np.ndarray) -> np.ndarray:
    """A load, and what else tells series apart, as the label of a series: 7.5 kg."""
    code, loads = pd.factorize(load.fillna(0.0).round(2))
    label, named = np.array([f"{kg:g} kg" for kg in loads], object)[code], variant != ""
    label[named] += " " + variant[named]
    return label


def _highest(value: np.ndarray, session: np.ndarray, before: np.ndarray) -> np.ndarray:
    """The row of the highest value of each session among those with the highest `before`, the first of equals."""
    order = np.lexsort((-value, -before.astype(int)))
    return order[is_first(session[order])]
