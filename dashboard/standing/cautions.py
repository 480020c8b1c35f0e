"""Which cautions apply in which week: when a kind of work is new to the log, at a jump or a return, with pain, no oftener."""

from __future__ import annotations

import numpy as np
import pandas as pd

from dashboard.sentences.cautions import BY_TOPIC
from dashboard.standing.body import body
from dashboard.standing.load_flags import WHOLE
from dashboard.standing.raised import Raised
from dashboard.standing.weekly import Weekly
from etl import tables
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
    found |= {(line, "grip") for line in _gripping(w, rules)}
    found |= _pain(w, rules)
    return pd.DataFrame([(line, topic, BY_TOPIC[topic]) for line, topic in sorted(found)], columns=["line", "topic", "message"])


def _kinds_of_work(w: Weekly, rules: Rules) -> dict[str, np.ndarray]:
    """Topic -> which sets are that kind of work."""
    table = tables.exercises().set_index("exercise_id")
    own = table.reindex(w.log.sets["exercise"].fillna("")).reset_index(drop=True)
    sets, loaded = w.log.sets, (w.log.sets["load_kg"] > 0).to_numpy()
    things = own["equipment"].fillna("").map(lambda text: {t for option in tables.equipment_options(text) for t in option})
    heavy = (sets["reps"] <= rules.reps_low_band_max) & loaded & (sets["kind"] != "warm_up")
    return {
        "breath": (heavy | (sets["hold_s"] >= rules.long_hold_s)).to_numpy(),
        "upside_down": (own["inverted"] == "yes").to_numpy(),
        "lowering": (own["mostly_eccentric"] == "yes").to_numpy(),
        "anchors": (things.map(lambda t: bool(t & set(ANCHORED))) | sets["load_estimated"].eq(True).to_numpy()).to_numpy(),
        "bench_dips": own.index.isin(np.flatnonzero(sets["exercise"].isin(BENCH_DIPS))),
        "neck": (own["movement_pattern"].fillna("").str.startswith("neck").to_numpy() & loaded),
        "bending": (own["movement_pattern"].isin(BENDING).to_numpy() & loaded),
    }


def _newly(lines: pd.Series, rules: Rules) -> set[int]:
    """The weeks in which a kind of work came first, or again after eight weeks without it."""
    weeks = np.unique(lines.to_numpy(int))
    return {int(line) for line in weeks[np.diff(weeks, prepend=-rules.first_weeks - 1) > rules.first_weeks]}


def _gripping(w: Weekly, rules: Rules) -> set[int]:
    """Weeks whose grip-heavy sets doubled against usual, or came on more than three days running."""
    (grip,) = body().part_positions(["finger_flexors"])
    ratio, extra = w.against.ratio[:, grip], w.against.extra[:, grip]
    with np.errstate(invalid="ignore"):
        doubled = (ratio >= rules.large_ratio) & (extra >= rules.large_sets_part)
    days = np.unique(w.log.sets["day"].to_numpy()[w.set_parts[:, grip] > 0])
    streak = np.array([np.all(np.isin(day - np.arange(rules.grip_days_running + 1), days)) for day in days], bool)
    return {int(i) for i in np.flatnonzero(doubled)} | {int((day - w.log.mondays[0]) // 7) for day in days[streak]}


def _pain(w: Weekly, rules: Rules) -> set[tuple[int, str]]:
    """Weeks with pain above 5 of 10 or for two weeks in one place; or an ache of elbow, wrist or shoulder two sessions running."""
    noted = w.log.pain[w.log.pain["line"].between(0, w.log.weeks - 1)]
    if noted.empty:
        return set()
    found = {(int(line), "pain") for line in noted.loc[noted["pain_score"] > rules.pain_high, "line"]}
    for place, days in noted.groupby(noted["pain_place"].str.lower())["day"]:
        days = np.unique(days)
        lasting = [day for day in days if np.any((day - days >= rules.pain_days) & (day - days <= 2 * rules.pain_days))]
        found |= {(int((day - w.log.mondays[0]) // 7), "pain") for day in lasting}
        sessions = np.searchsorted(w.body_days, days)
        running = days[1:][np.diff(sessions) <= 1]
        if pd.Series([place]).str.contains(ACHING).any():
            found |= {(int((day - w.log.mondays[0]) // 7), "ache") for day in running}
    return found
