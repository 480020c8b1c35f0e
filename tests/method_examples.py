"""The worked examples of the methods, computed again with the program's own functions: measure id -> given -> gives."""

from __future__ import annotations

from dataclasses import replace
from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
import pandas as pd

from dashboard.measures import acute_chronic, around, balance, counting, dose, eligibility, gaps, load_change, noise, one_rep_max, session_load
from dashboard.measures import nearness as steps
from dashboard.measures.gls import own_variance, products
from dashboard.measures.look_order import look_order
from dashboard.measures.records import heaviest
from dashboard.measures.total_change import total_change
from dashboard.measures.onset import onset
from dashboard.measures.readiness import shared_readiness
from dashboard.measures.rhythm import is_away
from dashboard.measures.trend import looks, pooled_looks
from dashboard.measures.verdict import verdicts
from dashboard.measures.window import Series
from dashboard.standing.bests import bests
from dashboard.standing.kept import bests as kept_bests
from etl import tables
from etl.findings import verdict_of
from etl.notation.loads import IN_KG
from etl.notation.things import thing
from etl.settings import RULES
from tests.strength_series import theil_sen

Given = Mapping[str, Any]


def log_rows(**columns: list) -> pd.DataFrame:
    """Sets of one day, with defaults for what is not given."""
    count = len(next(iter(columns.values())))
    plain = {"athlete": "A", "date": "2026-03-02", "time": None, "session": None, "day": 20514, "exercise": "push_up", "modifiers": None, "side": "both",
             "range": "full", "kind": "work", "set_no": np.nan, "round_no": np.nan, "segment_no": np.nan, "load_kg": np.nan, "reps": 5.0,
             "hold_s": np.nan, "rir": np.nan, "rpe": np.nan, "planned": False, "long_end": "lower"}
    return pd.DataFrame({name: columns.get(name, [value] * count) for name, value in plain.items()}).assign(set_no=np.arange(1.0, count + 1))


def weakest(g: Given) -> Given:
    (part,), (others,) = balance.weakest(*([np.array(g[name]) / g["band"]] for name in ("dose", "low", "high")))
    return {"said": ["the weakest" if p == part else "not distinguishable from it" if other else "no" for p, other in enumerate(others)]}


def credits(tiers: list) -> dose.Credits:
    base = np.atleast_2d(np.array(tiers, float))
    return dose.Credits(base, base, np.full(base.shape, "B"))


def of_week(given: Given) -> np.ndarray:
    """Doses of the heads and, last, of all of them as one part."""
    counted = dose.counted(credits(given["credits"]))
    both = np.hstack([counted, dose.pooled(counted, [[0, 1]])])
    kind = np.array([0] * given["push_ups"] + [1] * given["narrow"])
    return dose.per_week(np.ones(len(kind)), kind, np.zeros(len(kind), int), both, 1)[0]


def after(past: list, load: float) -> load_change.Against:
    return load_change.against_usual(np.array([*past, load], float)[:, None], RULES.noise_prior_part)


def last(values: np.ndarray) -> float:
    return float(values[-1, 0])


def marks(given: Given) -> dict:
    return {"marks": [str(load_change.mark(after(given["past"], load), False)[-1, 0]) for load in given["loads"]]}


def estimate(equation: str) -> Callable[[Given], dict]:
    def found(given: Given) -> dict:
        return {"e1rm": one_rep_max.EQUATIONS[equation](given["load_kg"], given["reps"])}

    return found


def kept_interval(value: float, noise_pct: float) -> tuple[float, float]:
    """Low and high of a point as the kept table has them."""
    names = ("exercise", "series", "measure", "load_kg", "reps", "rir", "hold_s", "counted", "note")
    (row,) = kept_bests(pd.DataFrame([dict.fromkeys(names) | {"line": 0, "day": 20514, "value": value, "noise": noise_pct}]), RULES).itertuples()
    return row.low, row.high


def known_log(**columns: list) -> Any:
    """A log of one exercise as the bests take it."""
    sets = log_rows(**columns).assign(strength_estimate="yes", banded=False, load_estimated=False, exercise_as_written="x", mode="reps", limited_by="", pain_score=np.nan)
    effort = counting.reserve(sets["rir"], sets["rpe"])
    sets = sets.assign(line=0, in_reserve=effort, by_body=columns.get("by_body", False), body_mass=columns.get("body_mass", 80.0))
    share = np.ones(len(sets))
    sets["system_kg"] = counting.system_load_kg(sets["load_kg"], sets["by_body"], share, sets["body_mass"])
    return type("Known", (), {"sets": sets, "athlete": "A", "equation": "lower_of_two"})()


def units(g: Given) -> dict:
    jug = thing("1 gallon jug")
    return {"kg": g["lb"] * IN_KG["lb"], "gallon_kg": jug.value}


def system_load(g: Given) -> dict:
    found = counting.system_load_kg([g["load_kg"], -30], [True] * 2, [g["share"]] * 2, [g["body_mass_kg"]] * 2)
    return {"system_kg": found[0], "assisted_kg": found[1]}


def body_share(g: Given) -> dict:
    share = tables.exercises().set_index("exercise_id")["bodymass_share"]
    fitted = [(64.09 - 0.2657 * d - 0.00177 * d**2) / 100 for d in (0, g["hands_cm"], -g["hands_cm"])]
    kept = [share["push_up"], share["incline_push_up"], share["feet_elevated_push_up"]]
    assert np.allclose(fitted, kept, atol=0.01), "the curve on the page and the catalogue's shares"
    return dict(zip(("floor", "hands", "feet"), kept, strict=True))


def body_mass(g: Given) -> dict:
    found = counting.body_mass_on([g["day"], g["far_day"]], g["logged_days"], g["logged_kg"])
    return {"kg": found[0], "far_kg": found[1]}


def hold_share(g: Given) -> dict:
    n = len(g["seconds"])
    return {"share": counting.hold_share(["plank"] * n, [0] * n, g["seconds"], [np.nan] * n)}


def tonnage(g: Given) -> dict:
    system = counting.system_load_kg([0] * 3, [True] * 3, [g["share"]] * 3, [g["body_mass_kg"]] * 3)
    return {"tonnage_kg": counting.tonnage_kg([g["reps"]] * 3, system, [False] * 3, ["both"] * 3).sum()}


def modified_credit(g: Given) -> dict:
    usual, wide = (tables.modified_credits(g["exercise"], how)[g["head"]] for how in ("", "grip_width=wide"))
    assert wide / usual == g["ratio"]
    return {"usual": usual, "wide": wide}


def dose_details(g: Given) -> dict:
    kinds = credits([[tier] for tier in g["tiers"]])
    return {"direct": dose.per_week(g["sets"], [0, 1], [0, 0], dose.direct(kinds).astype(float), 1)[0, 0]}


def estimate_noise(g: Given) -> dict:
    low, high = kept_interval(g["value"], float(eligibility.noise_pct(5, True)))
    return {"noise": eligibility.noise_pct(g["reps"], True), "unlogged": float(eligibility.noise_pct(5, False)), "low": low, "high": high}


def per_body_mass(g: Given) -> dict:
    log = known_log(reps=[g["reps"]], load_kg=[g["added"]], rir=[0.0], by_body=[True], body_mass=[g["body_mass"]])
    best = bests([log]).set_index("measure").loc["per_kg"]
    whole = best["value"] * g["body_mass"]
    return {"e1rm": whole, "per_kg": best["value"], "added_max": whole - g["body_mass"]}


def hold_series(g: Given) -> dict:
    return {"gain": 100 * np.log(g["second"]) - 100 * np.log(g["first"])}


def value_now(g: Given) -> dict:
    value, spread = np.exp(g["y"] / 100), np.exp(RULES.z_interval * g["se"] / 100)
    return {"value": value, "low": value / spread, "high": value * spread}


def trend_line(g: Given) -> dict:
    t, none = np.array(g["t"], float), np.zeros(3)
    gram = products(np.array([0, 3]), t, none, np.ones(3), np.array([t, np.ones(3), g["y"]]), 1.0).gram[0]
    spread = np.linalg.inv(gram[:2, :2])
    return {"slope": (spread @ gram[:2, 2])[0], "se": np.sqrt(spread[0, 0])}


def session_covariance(g: Given) -> dict:
    noise_pct, readiness = np.full(2, g["noise"], float), np.full(2, g["readiness"], float)
    own = own_variance(noise_pct, readiness)
    v = np.linalg.inv(products(np.array([0, 2]), np.array([0.0, 1]), readiness, own, np.eye(2), RULES.readiness_weeks, 2).solved)
    return {"variance": v[0, 0], "covariance": v[0, 1]}


def shared(g: Given) -> dict:
    """Two exercises on the same days, an even number of them a week apart, up and down alike or the second the other way."""
    days = RULES.scale_weeks * 7
    there = np.zeros((2, days))
    there[:, : 7 * g["days"] : 7] = 1
    swing = there[:1] * np.where(np.arange(days) % 14 == 0, 1.0, -1.0)
    return {how: shared_readiness(np.vstack([swing, sign * swing]), there, np.zeros(2, int), 1)[0] for how, sign in (("alike", 1), ("opposite", -1))}


def noise_scale(g: Given) -> dict:
    distances = np.array([g["distances"]], float)
    return {"factor": noise.scale_factor(distances, np.full(distances.shape, g["expected"], float), np.array([2]))[0]}


def robust_line(g: Given) -> dict:
    t, y = np.array([g["t"]], float), np.array([g["y"]], float)
    return {"slope": theil_sen(t, y, np.zeros(t.shape, int)).slope[0]}


def rate_interval(g: Given) -> dict:
    """Through a look at ten sessions: low and high stand as far from its slope as from the example's, in standard errors."""
    look = looks(np.arange(10.0), np.arange(10.0), 3.0, 0, [9.0]).iloc[0]
    below, above = ((look[side] - look["slope"]) / look["se"] for side in ("low", "high"))
    return {"low": g["slope"] + below * g["se"], "high": g["slope"] + above * g["se"]}


def cannot_rule_out(g: Given) -> dict:
    look = looks(np.arange(10.0), np.arange(10.0), 3.0, 0, [9.0]).iloc[0]
    return {"limit": g["slope"] + (look["upper_80_one_sided"] - look["slope"]) / look["se"] * g["se"]}


def verdict(g: Given) -> dict:
    slope = np.array(g["slope"], float)
    same = np.full(slope.shape, True)
    return {"verdict": verdicts(slope, np.full(slope.shape, g["se"]), same, np.full(slope.shape, g["delta"]), RULES).tolist()}


def pooled_part(g: Given) -> dict:
    t = np.arange(26.0)
    y = g["before"] * np.minimum(t - (25 - g["bend"]), 0) + g["after"] * np.maximum(t - (25 - g["bend"]), 0)
    one = pooled_looks([Series(t, 460 + y, 3.5, 0), Series(t, 480 + y, 3.5, 0)], [25.0], rules=replace(RULES, pool_se_pct={"intermediate": 9.0})).iloc[0]
    assert one["weeks"] == g["bend"]
    return {"rate": round(abs(one["slope"]), 6)}


def layoff(g: Given) -> dict:
    (found,) = gaps.layoffs(g["days"], g["days"][-1])
    return {"before": found.before, "after": found.after}


def restart(g: Given) -> dict:
    found = gaps.layoffs(g["days"], g["days"][-1])
    assert found[0].after == g["back"]
    return {"first": gaps.restarts(found, [g["back"] + 6])[0]}


def deload(g: Given) -> dict:
    sets = np.array(g["sets"], float)
    return {"deload": load_change.deload_weeks(sets, np.full(len(sets), np.nan)).astype(int)}


def usual(g: Given) -> dict:
    found = after(g["past"], 10)
    return {"usual": last(found.usual), "active": last(found.active_weeks)}


def ratio(g: Given) -> dict:
    found = after(g["past"], g["load"])
    return {"ratio": last(found.ratio), "extra": last(found.extra), "over_recent": last(found.over_recent)}


def z(g: Given) -> dict:
    return {"spread": last(after(g["past"], 10).spread), "z": [last(after(g["past"], load).z) for load in g["loads"]]}


def session_spike(g: Given) -> dict:
    return {"largest": load_change.largest_before(np.array(g["days"]), np.array(g["sets"], float)[:, None])[-1, 0]}


def climb(g: Given) -> dict:
    raised, late, early = load_change.climbs(np.array(g["sets"], float)[:, None])
    assert raised[-1, 0]
    return {"late": late[-1, 0], "early": early[-1, 0]}


def return_flag(g: Given) -> dict:
    monday = 20514
    week = gaps.return_week([gaps.Layoff(monday - g["days_away"], monday)], monday)
    return {"suggested": week.suggested, "raised": week.raised}


def balance_of(g: Given) -> dict:
    return {f"n_{name}": float(balance.effective_heads(doses)) for name, doses in g.items()}


def covered(g: Given) -> dict:
    return {"covered": balance.covered(g["dose"], g["direct"], [4] * 3, [False, False, True]).astype(int)}


def short_by(g: Given) -> dict:
    assert balance.status(g["dose"], g["low"], 20) == "below"
    return {"short": g["low"] - g["dose"]}


def acute_chronic_ratios(g: Given) -> dict:
    daily = [100.0] * 28 + [150.0] * 7
    return {"uncoupled": acute_chronic.uncoupled(g["weeks"])[-1], "coupled": acute_chronic.coupled(g["weeks"])[-1],
            "averaged": acute_chronic.smoothed_ratio(daily)[-1]}


def even_week(g: Given) -> dict:
    days = np.array([g["days"]], float)
    return {"monotony": session_load.monotony(days)[0], "strain": session_load.strain(days)[0],
            "most": session_load.largest_monotony((days > 0).sum(axis=1))[0]}


def dated(g: Given) -> dict:
    t = np.arange(60) / 2 + 0.25
    found = onset([Series(t, 450 + g["rise"] * np.minimum(t, g["bend"]), 3.5, 0)], 30.0)
    return {"week": found.week, "low": found.low, "high": found.high}


def changed(g: Given) -> dict:
    before, after = ({around.DAYS: g[f"days_{side}"], around.REPS: g[f"reps_{side}"]} for side in ("before", "after"))
    (one,) = around.named(before, after)
    return {"named": one.what, "size": one.size}


def side_difference(g: Given) -> dict:
    difference = float(balance.side_difference_pct(g["left"], g["right"]))
    one, then = ([float(end[0]) for end in balance.side_interval([[difference] * n], [[g["noise"] * 2**0.5] * n], [[g["step"]] * n])] for n in (1, g["sessions"]))
    return {"difference": difference, "low": one[0], "high": one[1], "low_then": then[0], "high_then": then[1]}


def nearness(g: Given) -> Given:
    return {"near": steps.nearness(g["possible"], 20, reserve=RULES.step_reserve), "share": float(steps.nearness(g["reps"], 12, base=8, reserve=RULES.step_reserve)),
            "before": steps.reps_before(8, 10, 8)}


def log_of(g: Given) -> pd.DataFrame:
    return pd.DataFrame({"date": range(len(g["load"])), "load_kg": g["load"], "reps": g["reps"]})


def looked_at(g: Given) -> Given:
    keys = [look_order([one]) for one in zip(g["reasons"], g["strength"], strict=True)]
    return {"place": [sorted(keys).index(key) + 1 for key in keys]}


RECOMPUTED: dict[str, Callable[[Given], dict]] = {
    "records": lambda g: {"heaviest": [heaviest(log_of(g)).set_index("repetitions")["load_kg"].loc[reps] for reps in g["reps"]]},
    "total_change": lambda g: {"least": total_change(g["low"], g["weeks"]), "most": total_change(g["high"], g["weeks"])},
    "nearness": nearness, "mist": lambda g: dict(zip(("low", "mean", "high"), steps.mist(g["days"], g["reps"], [0.08] * len(g["reps"])), strict=True)),
    "units": units, "system_load": system_load, "body_share": body_share, "body_mass": body_mass,
    "hard_set": lambda g: {"hard": counting.hard_sets(log_rows(rir=g["rir"]), beginner=False)},
    "reserve": lambda g: {"rir": counting.reserve([np.nan] * len(g["rpe"]), g["rpe"])},
    "effort_share": lambda g: {level: counting.effort_share(g["rir"], [False] * len(g["rir"]), level == "beginner") for level in ("intermediate", "beginner")},
    "range_share": lambda g: {"share": counting.range_share(g["ranges"], ["lower"] * len(g["ranges"]), [True] * len(g["ranges"]))},
    "side_share": lambda g: {"share": counting.side_share(g["side"]), "total": counting.hard_sets(log_rows(side=g["side"]), beginner=False).sum()},
    "hold_share": hold_share, "warm_up": lambda g: {"below_kg": RULES.warm_up_share * g["top_kg"]}, "tonnage": tonnage,
    "credit": lambda g: {"counted": dose.counted(credits(g["tiers"]))[0]}, "modified_credit": modified_credit,
    "finding": lambda g: {"verdict": [verdict_of(">", a, b) for a, b in zip(g["first"], g["second"], strict=True)]},
    "head_dose": lambda g: dict(zip(("sternal", "clavicular", "lateral"), of_week(g), strict=False)),
    "part_dose": lambda g: {"chest": of_week(g)[-1], "sum": of_week(g)[:2].sum()},
    "dose_range": lambda g: {name: dose.one_tier(credits(g["tiers"]), step)[0] for name, step in (("lower", -1), ("higher", 1))},
    "not_distinguishable": lambda g: {"pairs": [list(pair) for pair in balance.indistinguishable(g["dose"], g["low"], g["high"])]},
    "dose_details": dose_details, "band": lambda g: {"status": balance.status(g["dose"], *RULES.band_main).tolist()}, "coverage": covered,
    "weakest_part": weakest, "effective_heads": balance_of, "side_difference": side_difference,
    "e1rm": lambda g: {"e1rm": one_rep_max.e1rm(g["load_kg"], g["reps"])},
    "possible_reps": lambda g: {"possible": float(eligibility.effective_reps(g["done"], np.nan, g["rpe"]).reps)},
    "eligibility": lambda g: {"use": eligibility.eligible(log_rows(reps=g["reps"], rir=g["rir"])).tolist()},
    "estimate_noise": estimate_noise, "per_body_mass": per_body_mass, "reps_series": lambda g: {"delta": eligibility.worthwhile_reps_pct(g["reps"])},
    "hold_series": hold_series, "repetition_band": lambda g: {"band": eligibility.repetition_band(np.zeros(len(g["reps"])), g["reps"])},
    "value_now": value_now, **{name: estimate(name) for name in one_rep_max.EQUATIONS if name != "lower_of_two"},
    "trend_line": trend_line, "covariance": session_covariance, "shared_readiness": shared, "noise_scale": noise_scale,
    "outliers": lambda g: {"factor": noise.outlier_factor(np.array(g["z"], float), np.ones(len(g["z"])))},
    "theil_sen": robust_line, "rate_interval": rate_interval, "verdict": verdict, "cannot_rule_out": cannot_rule_out, "pooled_part": pooled_part,
    "layoff": layoff, "restart": restart, "deload": deload, "usual": usual, "ratio": ratio, "z": z, "step_up": marks, "spike": marks,
    "session_spike": session_spike, "climb": climb, "return_flag": return_flag,
    "acute_chronic": acute_chronic_ratios, "session_rpe_load": lambda g: {"load": float(session_load.session_load(g["rpe"], g["minutes"]))},
    "monotony": even_week, "onset": dated, "around_onset": changed, "short_by": short_by, "look_order": looked_at,
    "not_trained": lambda g: {"away": "yes" if is_away(g["days"], g["usual"], g["long"], g["intervals"]) else "no"},
}
