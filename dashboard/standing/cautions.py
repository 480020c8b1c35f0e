"""Which cautions apply in which week: when a kind of work is new to the log, at a jump or a return, with pain, no oftener."""

from __future__ import annotations


import numpy as np
import pandas as pd

from dashboard.measures.load_change import against_usual
from dashboard.sentences.cautions import BY_TOPIC
from dashboard.standing.body import body
from dashboard.standing.load_flags import WHOLE
from dashboard.standing.raised import Raised
from dashboard.standing.weekly import Weekly
from etl import tables
from etl.notation import same_place
from etl.settings import RULES, Rules

ACHING = "elbow|wrist|shoulder"
ANCHORED = ("band", "bar", "rings", "straps", "strap", "anchor", "towel")
BENCH_DIPS = ("bench_dip", "feet_elevated_bench_dip")
BENDING = ("hinge", "trunk flexion", "trunk rotation", "trunk flexion with rotation")


def cautions(w: Weekly, raised: list[Raised], rules: Rules = RULES) -> pd.DataFrame:
    """One row per week line and topic: line, topic, message."""
    found = {(0, "start")}
    found |= {(line, "first_weeks") for line in range(min(rules.new_area_log_weeks, w.log.weeks)) if w.log.beginner}
    found |= {(r.line, "new_work") for r in raised if r.kind in ("new_area", "session_spike", "large_spike") or (r.kind == "spike" and r.subject == WHOLE)}
    found |= {(r.line, "coming_back") for r in raised if r.kind == "return"}
    for topic, rows in _kinds_of_work(w, rules).items():
        found |= {(line, topic) for line in _newly(w.log.sets.loc[rows, "line"], rules)}
    found |= {(line, topic) for topic, rows in _joints(w).items() for line in _doubled_or_running(w, rows, rules)}
    found |= _pain(w, rules)
    return pd.DataFrame([(line, topic, BY_TOPIC[topic]) for line, topic in sorted(found)], columns=["line", "topic", "message"])


def _kinds_of_work(w: Weekly, rules: Rules) -> dict[str, np.ndarray]:
    """Topic -> which sets are that kind of work."""
    sets, loaded = w.log.sets, (w.log.sets["load_kg"] > 0).to_numpy()
    own = _of_exercises().reindex(sets["exercise"].fillna(""), fill_value=False)
    is_a = {name: own[name].to_numpy(bool) for name in own}
    heavy = (sets["reps"] <= rules.reps_low_band_max) & loaded & (sets["kind"] != "warm_up")
    return {
        "breath": (heavy | (sets["hold_s"] >= rules.long_hold_s)).to_numpy(), "upside_down": is_a["upside_down"], "lowering": is_a["lowering"],
        "anchors": is_a["anchored"] | sets["load_estimated"].eq(True).to_numpy(bool), "bench_dips": is_a["bench_dip"],
        "neck": is_a["neck"] & loaded, "bending": is_a["bending"] & loaded,
    }


@tables.per_catalogue
def _of_exercises() -> pd.DataFrame:
    """Exercise id -> which kinds of work it is, a column each."""
    table = tables.by_id()
    things = table["equipment"].map(lambda text: {thing for option in tables.equipment_options(text) for thing in option})
    return pd.DataFrame({
        "upside_down": table["inverted"] == "yes", "lowering": table["mostly_eccentric"] == "yes", "anchored": things.map(lambda t: bool(t & set(ANCHORED))),
        "bench_dip": table.index.isin(BENCH_DIPS), "neck": table["movement_pattern"].str.startswith("neck"),
        "bending": table["movement_pattern"].isin(BENDING), "on_wrists": table.index.isin(tables.weight_on_wrists()["exercise_id"])})


def _newly(lines: pd.Series, rules: Rules) -> set[int]:
    """The weeks in which a kind of work came first, or again after eight weeks without it."""
    weeks = np.unique(lines.to_numpy(int))
    return {int(line) for line in weeks[np.diff(weeks, prepend=-rules.first_weeks - 1) > rules.first_weeks]}


def _joints(w: Weekly) -> dict[str, np.ndarray]:
    """Topic -> hard sets that load the elbows and wrists by gripping, or by body weight on the wrists, (n,)."""
    (grip,) = body().part_positions(["finger_flexors"])
    on_wrists = _of_exercises()["on_wrists"].reindex(w.log.sets["exercise"].fillna(""), fill_value=False).to_numpy(bool)
    return {"grip": w.set_parts[:, grip], "wrists": w.log.sets["hard"].to_numpy() * on_wrists}


def _doubled_or_running(w: Weekly, hard: np.ndarray, rules: Rules) -> set[int]:
    """Weeks whose hard sets of a kind doubled against usual, or that had some on a day after more than three days running."""
    day = w.log.sets["day"].to_numpy()
    load = np.bincount(w.log.sets["line"].to_numpy(), hard, w.log.weeks)[:, None]
    against = against_usual(load, rules.noise_prior_part, rules)
    with np.errstate(invalid="ignore"):
        doubled = (against.ratio[:, 0] >= rules.large_ratio) & (against.extra[:, 0] >= rules.large_sets_part)
    doubled[w.log.complete :] = False
    days, running = np.unique(day[hard > 0]), rules.grip_days_running
    last = days[running:][days[running:] - days[:-running] == running]
    return {int(i) for i in np.flatnonzero(doubled)} | {int(i) for i in (last - w.log.mondays[0]) // 7}


def _pain(w: Weekly, rules: Rules) -> set[tuple[int, str]]:
    """Weeks with pain above 5 of 10 or for two weeks in one place; or an ache of elbow, wrist or shoulder two sessions running."""
    noted = w.log.pain[w.log.pain["line"].between(0, w.log.weeks - 1)]
    if noted.empty:
        return set()
    found = {(int(line), "pain") for line in noted.loc[noted["pain_score"] > rules.pain_high, "line"]}
    for place, days in noted.groupby(noted["pain_place"].astype(object).map(same_place, na_action="ignore"))["day"]:
        days = np.unique(days)
        lasting = [day for day in days if np.any((day - days >= rules.pain_days) & (day - days <= 2 * rules.pain_days))]
        found |= {(int((day - w.log.mondays[0]) // 7), "pain") for day in lasting}
        sessions = np.searchsorted(w.body_days, days)
        running = days[1:][np.diff(sessions) <= 1]
        if pd.Series([place]).str.contains(ACHING).any():
            found |= {(int((day - w.log.mondays[0]) // 7), "ache") for day in running}
    return found
