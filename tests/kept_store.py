"""A small store of kept tables for the page tests: invented numbers for two invented athletes."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from math import log
from pathlib import Path

import pandas as pd

from dashboard.sentences.cautions import BY_TOPIC
from dashboard.standing.refresh import fingerprint
from etl.store import writing

LAST_WEEK = date(2026, 3, 9)
WEEKS = [LAST_WEEK - timedelta(weeks=back) for back in range(15, -1, -1)]
HARD_SETS = [44, 46, 45, 47, 27, 46, 48, 44, 45, 0, 24, 40, 46, 47, 48, 74]
HOSTILE = "Ash ![](http://198.51.100.7/p.png) **b** $x$ :red[y] :smile: <img src=http://198.51.100.7/q.png> [z](http://198.51.100.7/) # _u_"
# part: dose, how far the range reaches, direct sets, usual, band, in focus
PARTS = {
    "deltoid_clavicular": (6.0, 0.8, 3, 8.0, (4, 20), True),
    "deltoid_acromial": (10.0, 0.6, 9, 9.5, (4, 20), True),
    "deltoid_spinal": (1.5, 1.0, 0, 2.0, (4, 20), True),
    "biceps": (8.0, 1.0, 6, 9.0, (4, 20), True),
    "triceps_brachii_long_head": (5.0, 1.5, 3, 6.0, (4, 20), True),
    "chest_sternal": (9.0, 0.5, 8, 8.0, (4, 20), True),
    "lats": (21.0, 1.5, 16, 11.0, (4, 20), True),
    "vasti": (8.5, 0.5, 8, 8.0, (4, 20), True),
    "gluteus_maximus": (6.5, 1.5, 3, 6.0, (4, 20), True),
    "wrist_extensors": (3.5, 0.5, 3, 2.5, (2, 8), False),
    "pronators": (0.0, 0.0, 0, 0.5, (2, 8), False),
    "finger_flexors": (5.0, 1.0, 2, 5.5, (2, 8), False),
}
NO_MARK = {LAST_WEEK: "large_spike", WEEKS[12]: "step_up"}
STATES = {WEEKS[0]: "baseline", WEEKS[1]: "baseline", WEEKS[4]: "deload", WEEKS[9]: "layoff", WEEKS[10]: "return"}


def build(path: Path, athletes: tuple[str, ...] = ("Robin", HOSTILE)) -> Path:
    """Write the kept tables of `athletes` to a new store at `path` and return the path."""
    with writing(path) as con:
        for name, rows in tables(athletes).items():
            con.register("some_rows", pd.DataFrame(rows))
            con.execute(f"insert into {name} by name select * from some_rows")
            con.unregister("some_rows")
        con.execute("insert into meta values ('worked_out_with', ?)", [fingerprint()])
    return path


def tables(athletes: tuple[str, ...]) -> dict[str, list[dict]]:
    """The rows of each kept table, by table name."""
    kept = {"imports": imports(), "set_aside": set_aside()}
    for athlete in athletes:
        for name, rows in one_athlete(athlete).items():
            kept.setdefault(name, []).extend({"athlete": athlete} | row for row in rows)
    return kept


def one_athlete(athlete: str) -> dict[str, list[dict]]:
    return {
        "athletes": [{"level": "intermediate", "focus": "[]", "equipment": "[]"}],
        "kept_weeks": [week_row(week, sets) for week, sets in zip(WEEKS, HARD_SETS, strict=True)],
        "kept_parts": [part_row(part, week) for week in WEEKS for part in PARTS],
        "kept_heads": [head_row(part, week) for week in WEEKS for part in PARTS],
        "kept_cautions": [{"week": LAST_WEEK, "topic": "new_work", "message": BY_TOPIC["new_work"]}],
        "kept_muscles": [{"week": LAST_WEEK, "muscle": "deltoid", "dose": 15.0, "low": 11.5, "high": 18.0, "effective_heads": 2.1, "heads": 3, "not_distinguishable": "[]"}],
        "kept_load": [load_row("whole_body", week, sets) for week, sets in zip(WEEKS, HARD_SETS, strict=True)]
        + [load_row(part, week, PARTS[part][0]) for week in WEEKS for part in PARTS],
        "kept_bests": bests(), "kept_strength": strength(), "kept_part_strength": part_strength(),
        "kept_flags": flags(), "kept_sides": sides(), "kept_next": following(),
    }


def week_row(week: date, sets: int) -> dict:
    return {
        "week": week, "so_far": False, "sessions": 4 if sets else 0, "days": 4 if sets else 0, "hard_sets": float(sets),
        "usual_hard_sets": 46.0, "repetitions": sets * 9, "tonnage_kg": sets * 310.0, "hold_s": 90.0, "planned_sets": 50.0,
        "effort_logged_share": 0.8, "mean_rir": 2.1, "deload": week == WEEKS[4], "unmatched_sets": 2, "covered": 8,
        "focus_parts": 9, "coverage": 8 / 9, "weakest_part": "deltoid_spinal", "baseline_weeks": 0,
        "weakest_not_distinguishable": '["biceps", "lats", "deltoid_acromial"]',
        "message": "Hard sets were 74 against a usual 46 (+61 %), most of all for the lats." if week == LAST_WEEK else "",
    }


def part_row(part: str, week: date) -> dict:
    dose, reach, direct, usual, (low, high), in_focus = PARTS[part]
    dose = dose if week == LAST_WEEK else max(0.0, usual + (week.day % 5 - 2) / 2)
    status = "below" if dose < low else "above" if dose > high else "within"
    return {
        "week": week, "part": part, "muscle": "deltoid", "dose": dose, "low": max(0.0, dose - reach), "high": dose + reach,
        "direct_sets": float(min(direct, dose)), "usual": usual, "band_low": float(low), "band_high": float(high),
        "status": status, "in_focus": in_focus, "exercises": 2, "days": 2, "left_sets": dose, "right_sets": dose,
    }


def head_row(part: str, week: date) -> dict:
    row = part_row(part, week)
    return {key: row[key] for key in ("week", "muscle", "dose", "low", "high", "direct_sets", "usual", "exercises", "days")} | {
        "head": part, "part": part, "share_a": 0.2, "share_b": 0.5, "share_c": 0.3}


def load_row(subject: str, week: date, load: float) -> dict:
    usual = 46.0 if subject == "whole_body" else PARTS[subject][3]
    whole = subject == "whole_body"
    return {
        "week": week, "subject": subject, "load": float(load), "usual": None if STATES.get(week) == "baseline" else usual,
        "ratio": load / usual, "z": log(load / usual) / 0.2 if load else None,
        "mark": NO_MARK.get(week, "") if whole else "", "state": STATES.get(week, "") if whole else "",
    }


def bests() -> list[dict]:
    rows = []
    for exercise, measure, start, step, reps in (("barbell_bench_press", "e1rm", 80.0, 0.5, 6), ("plank", "hold", 45.0, 1.0, None),
                                                 ("pull_up", "per_kg", 1.2, 0.004, 8)):
        for i, week in enumerate(WEEKS):
            value = start + step * i + step * (i % 3 - 1)
            rows.append({"date": week + timedelta(days=1), "exercise": exercise, "series": "", "measure": measure, "value": value,
                         "low": value * 0.96, "high": value * 1.04, "load_kg": 70.0, "reps": reps, "rir": 2.0, "hold_s": None,
                         "counted": i != 3, "note": "" if i != 3 else "it hurt, or pain ended it: in no trend"})
    return rows


def strength() -> list[dict]:
    base = {"series": "", "rate_pct_week": 0.6, "rate_low": 0.2, "rate_high": 1.0, "sessions": 16,
            "fit_from": WEEKS[0] + timedelta(days=1), "fit_to": LAST_WEEK + timedelta(days=1)}
    tops = pd.DataFrame(bests()).sort_values("value").groupby("exercise").last()
    made = []
    for exercise, measure, first, last, verdict, reason in (
            ("barbell_bench_press", "e1rm", 79.5, 87.5, "progressing", "It rises by 0.6 % a week (80 % interval 0.2 to 1.0)."),
            ("plank", "hold", 45.0, 60.0, "undecided", "A gain of up to 1.0 % a week cannot be ruled out."),
            ("pull_up", "per_kg", 1.2, 1.26, "plateau", "The gain is below 0.25 % a week at two looks running.")):
        kg = last if measure == "e1rm" else None
        made += [base | {"week": week, "exercise": exercise, "measure": measure, "e1rm_kg": kg, "low_kg": kg and kg * 0.97,
                         "high_kg": kg and kg * 1.03, "value": last, "value_low": last * 0.97, "value_high": last * 1.03,
                         "verdict": verdict, "reason": reason, "best_value": tops.loc[exercise, "value"],
                         "best_since": tops.loc[exercise, "date"], "fit_from_value": first,
                         "fit_to_value": last} for week in (WEEKS[-2], LAST_WEEK)]
    return made


def part_strength() -> list[dict]:
    return [{"week": LAST_WEEK, "part": part, "rate_pct_week": rate, "rate_low": rate - 0.4, "rate_high": rate + 0.4,
             "verdict": verdict, "reason": reason, "exercises": 2, "sessions": 30, "measure": "repetitions" if part == "soleus" else "estimates"}
            for part, rate, verdict, reason in (
                ("soleus", 1.4, "progressing", "Two exercises rise together, in repetitions."),
                ("chest_sternal", 0.6, "progressing", "Two exercises rise together."),
                ("lats", 0.05, "plateau", "The gain is below 0.25 % a week at two looks running."),
                ("vasti", 0.3, "undecided", "A gain of up to 0.7 % a week cannot be ruled out."),
                ("biceps", float("nan"), "too_little_data", "6 of the 8 sessions that a verdict needs."))]


def flags() -> list[dict]:
    return [
        {"kind": "large_spike", "subject": "whole_body", "week": LAST_WEEK, "until": LAST_WEEK, "level": "alert",
         "numbers": '{"load": 74, "usual": 46}', "message": "Whole body: 74 hard sets against a usual 46 (1.6 times)."},
        {"kind": "check_entry", "subject": "barbell_bench_press", "week": LAST_WEEK, "until": LAST_WEEK, "level": "note",
         "numbers": '{"load_kg": 154}', "message": "Bench press of 154 kg looks like 70 kg written in pounds."},
        {"kind": "plateau", "subject": "pull_up", "week": WEEKS[-2], "until": None, "level": "review",
         "numbers": "{}", "message": f"Pull-up: no worthwhile gain at two looks running. {HOSTILE}"},
    ]


def sides() -> list[dict]:
    return [{"week": LAST_WEEK, "exercise": "dumbbell_row", "left_value": 24.0, "right_value": 30.0, "unit": "kg",
             "difference_pct": 20.0, "weaker": "left", "sessions": 5}]


def following() -> list[dict]:
    return [
        {"week": LAST_WEEK, "position": 1, "subject": "deltoid_spinal", "action": "Add 2 sets of rear-delt raise.",
         "reason": "The rear delt had 1.5 hard sets; its band starts at 4."},
        {"week": LAST_WEEK, "position": 2, "subject": "lats", "action": "Take back 4 sets of pulling.",
         "reason": f"The lats had 21 hard sets against a usual 11. {HOSTILE}"},
    ]


def imports() -> list[dict]:
    return [{"import_id": 1, "made_at": datetime(2026, 3, 15, 18, 30), "rows_read": 412, "rows_with_sets": 405, "sets_stored": 405,
             "days_stored": 3, "already_stored": 2, "rows_set_aside": 2, "undone": False, "answers": "{}",
             "files": '["training.csv"]', "assumed": '["loads are in kg"]'}]


def set_aside() -> list[dict]:
    return [{"import_id": 1, "file": "training.csv", "row": 17, "text": "2026-13-40,Bench,5", "reason": "no readable date"},
            {"import_id": 1, "file": "training.csv", "row": 90, "text": "2026-03-01,,8", "reason": "no exercise"}]
