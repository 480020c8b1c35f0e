"""The kept tables: arrays of the measures as rows, one per athlete and week (their grain is in etl/sql/migrations)."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date
from typing import Any

import numpy as np
import pandas as pd
import pyarrow as pa

from dashboard.measures import balance, dose
from dashboard.measures.dose import distinct_per_week, sums
from dashboard.sentences.load import JUMPS, combined
from dashboard.standing.body import body, credits_of, part_ids
from dashboard.standing.load_flags import WHOLE, LoadView
from dashboard.standing.log import Log
from dashboard.standing.planned import planned_sets
from dashboard.standing.raised import Episode, Raised, plain
from dashboard.standing.strength import Strength
from dashboard.standing.weekly import Doses, Weekly, bands, needs_direct
from etl.settings import Rules

BY_WEEK = ("kept_weeks", "kept_heads", "kept_parts", "kept_muscles", "kept_load", "kept_strength", "kept_part_strength",
           "kept_sides", "kept_next", "kept_cautions", "kept_raised", "kept_onsets", "kept_load_columns")


def forget(con: Any, first: dict[str, date]) -> None:
    """Drop what was kept of each athlete from a week on; flags are made anew from all weeks."""
    for since, athletes, theirs in _by_day(first):
        for table, day in [*((name, "week") for name in BY_WEEK), ("kept_bests", "date")]:
            con.execute(f"delete from {table} where {theirs} and {day} >= ?", [*athletes, since])
        con.execute(f"delete from kept_flags where {theirs}", athletes)


def forget_older(con: Any, table: str, first: dict[str, date]) -> None:
    """Drop the weeks of a table before each athlete's Monday."""
    for since, athletes, theirs in _by_day(first):
        con.execute(f"delete from {table} where {theirs} and week < ?", [*athletes, since])


def _by_day(first: dict[str, date]) -> Iterator[tuple[date, list[str], str]]:
    """Each day, the athletes who have it, and SQL that is true of their rows. (A plain list of values is faster than a join.)"""
    for since in set(first.values()):
        athletes = [athlete for athlete, day in first.items() if day == since]
        yield since, athletes, f"athlete in ({', '.join('?' * len(athletes))})"


def write(con: Any, found: list[tuple[Log, int, dict[str, pd.DataFrame]]]) -> None:
    """Write each table's rows of some athletes from a line on, with the athlete and the Monday in place of the line."""
    together: dict[str, list[pa.Table]] = {}
    for log, since, own in found:
        for name, rows in own.items():
            line = rows["line"].to_numpy(int) if len(rows) else np.zeros(0, int)
            new = line >= since
            if not new.any():
                continue
            table = pa.Table.from_pandas(rows, preserve_index=False, nthreads=1).drop_columns("line")
            table = table.append_column("athlete", pa.repeat(log.athlete, len(line)))
            if name != "kept_bests":
                table = table.append_column("week", pa.array(as_dates(log.mondays[line])))
            together.setdefault(name, []).append(table if new.all() else table.filter(pa.array(new)))
    for name, tables in together.items():
        insert(con, name, pa.concat_tables(tables, promote_options="permissive"))


def bests(points: pd.DataFrame, rules: Rules) -> pd.DataFrame:
    """The best set of each session and series, with its 80 % interval."""
    factor = np.exp(rules.z_interval * points["noise"].to_numpy(float) / 100)
    return points.assign(date=as_dates(points["day"].to_numpy(int)), low=points["value"] / factor, high=points["value"] * factor)[
        ["line", "date", "exercise", "series", "measure", "value", "low", "high", "load_kg", "reps", "rir", "hold_s", "counted", "note"]]


def write_flags(con: Any, found: list[tuple[Log, list[Episode]]]) -> None:
    """All episodes of some athletes."""
    rows = [{"athlete": log.athlete, "kind": e.kind, "subject": e.subject, "week": monday_of(log, e.line),
             "until": None if e.until_line is None else monday_of(log, e.until_line), "level": e.level, "numbers": json.dumps(plain(e.numbers)),
             "message": e.message} for log, episodes in found for e in episodes]
    if rows:
        insert(con, "kept_flags", pd.DataFrame(rows))


def monday_of(log: Log, line: int) -> np.datetime64:
    """The Monday of a week of a log."""
    return as_dates(log.mondays[line : line + 1])[0]


def as_dates(days: np.ndarray) -> np.ndarray:
    """Whole days since 1970 as datetime64."""
    return np.asarray(days, int).astype("datetime64[D]").astype("datetime64[s]")


def insert(con: Any, table: str, rows: pa.Table | pd.DataFrame) -> None:
    """Append rows to a table by column name."""
    con.register("rows_to_keep", rows)
    con.execute(f"insert into {table} by name select * from rows_to_keep")
    con.unregister("rows_to_keep")


def heads(w: Weekly, since: int) -> pd.DataFrame:
    """One row per week and head; how many exercises and days trained it is counted from line `since` on."""
    b, credits = body(), credits_of(w.log.kinds)
    table = _long(w, w.heads, b.heads, "head")
    kind, line = w.log.sets["kind_no"].to_numpy(), w.log.sets["line"].to_numpy()
    table["exercises"], table["days"] = _distinct_trained(w, w.set_heads > 0, since)
    sets = dose.sets_of_kinds(w.log.sets["hard"].to_numpy(), kind, line, len(w.log.kinds), w.log.weeks)
    for letter in "ABC":
        by_grade = sets @ (w.head_credits.now * (credits.grade == letter))
        share = np.divide(by_grade, w.heads.dose, out=np.full(by_grade.shape, np.nan), where=w.heads.dose > 0)
        table[f"share_{letter.lower()}"] = share.ravel()
    table["usual"] = w.heads_usual.ravel()
    return table.assign(part=np.tile(b.head_part, w.log.weeks), muscle=np.tile(b.head_muscle, w.log.weeks))


def parts(w: Weekly, since: int, rules: Rules) -> pd.DataFrame:
    """One row per week and part; how many exercises and days trained it is counted from line `since` on."""
    b = body()
    table = _long(w, w.parts, tuple(b.parts["part_id"]), "part")
    low, high = bands(w.log, rules)
    line = w.log.sets["line"].to_numpy()
    exercises, days = _distinct_trained(w, w.set_parts > 0, since)
    side = w.log.sets["side"].to_numpy(object)
    for word in ("left", "right"):
        # A set of both sides is one on each.
        if (side == "both").all():
            table[f"{word}_sets"] = w.parts.dose.ravel()
            continue
        share = np.where(side == word, 1 / rules.one_side, np.where(side == "both", 1.0, 0.0))
        table[f"{word}_sets"] = sums(line, w.set_parts * share[:, None], w.log.weeks).ravel()
    return table.assign(
        muscle=np.tile(b.parts["muscle"], w.log.weeks), band_low=np.tile(low, w.log.weeks), band_high=np.tile(high, w.log.weeks),
        status=balance.status(w.parts.dose, low, high).ravel(), in_focus=w.focus.ravel(), usual=w.against.usual[:, :-1].ravel(),
        exercises=exercises, days=days)


def _distinct_trained(w: Weekly, trained: np.ndarray, since: int) -> list[np.ndarray]:
    """How many exercises and how many days trained each thing in each week, row by row as `_long`. trained (sets, things)."""
    new = (line := w.log.sets["line"].to_numpy()) >= since
    return [distinct_per_week(w.log.sets[label].to_numpy()[new], line[new], trained[new], w.log.weeks).ravel() for label in ("name", "day")]


def muscles(w: Weekly, since: int) -> pd.DataFrame:
    """Which heads cannot be told apart is looked up from line `since` on."""
    b = body()
    table = _long(w, w.muscles, b.muscles, "muscle")[["line", "muscle", "dose", "low", "high"]]
    effective = [balance.effective_heads(w.heads.dose[:, heads]) for heads in b.muscle_heads]
    return table.assign(effective_heads=np.column_stack(effective).ravel(), heads=np.tile([len(h) for h in b.muscle_heads], w.log.weeks),
                        not_distinguishable=[pair for of_week in zip(*(_not_distinguishable(w, heads, since) for heads in b.muscle_heads), strict=True) for pair in of_week])


def _not_distinguishable(w: Weekly, heads: list[int], since: int) -> list[str]:
    """Of each week from `since` on, pairs of a muscle's heads (ids) whose order depends on the credits, as JSON text."""
    found = ["[]"] * w.log.weeks
    trained = np.flatnonzero(w.heads.dose[since:, heads].any(axis=1)) if len(heads) > 1 else []
    for line in since + np.asarray(trained, int):
        pairs = balance.indistinguishable(w.heads.dose[line, heads], w.heads.low[line, heads], w.heads.high[line, heads])
        if pairs:
            found[line] = json.dumps([[body().heads[heads[a]], body().heads[heads[b]]] for a, b in pairs])
    return found


def load(w: Weekly, view: LoadView) -> pd.DataFrame:
    lines, subjects = view.load.shape
    return pd.DataFrame({
        "line": np.repeat(np.arange(lines), subjects), "subject": np.tile(view.subjects, lines), "load": view.load.ravel(),
        "usual": w.against.usual.ravel(), "ratio": w.against.ratio.ravel(), "z": w.against.z.ravel(),
        "mark": view.marks.ravel(), "state": view.states.ravel(), "planned_increase": view.planned_increase.ravel()})


def exercise_strength(found: Strength) -> pd.DataFrame:
    if found.exercises.empty:
        return pd.DataFrame()
    t = found.exercises
    return pd.DataFrame({
        "line": t["line"], "exercise": t["exercise"], "measure": t["measure"], "series": t["series"], "e1rm_kg": t["e1rm_kg"], "low_kg": t["low_kg"],
        "high_kg": t["high_kg"], "value": t["value"], "value_low": t["value_low"], "value_high": t["value_high"], **_rates(t),
        "best_value": t["best_value"], "best_since": _dates(t["best_since"]), "fit_from": _dates(t["fit_from_day"]),
        "fit_to": _dates(t["fit_to_day"]), "fit_from_value": t["fit_from_value"], "fit_to_value": t["fit_to_value"],
        "band_offset": t["offset"], "band_offset_se": t["offset_se"]})


def part_strength(found: Strength) -> pd.DataFrame:
    t = found.parts
    return pd.DataFrame() if t.empty else pd.DataFrame({"line": t["line"], "part": t["part"], **_rates(t), "exercises": t["exercises"], "window_weeks": t["window_weeks"], "measure": t["measure"]})


def onsets(t: pd.DataFrame) -> pd.DataFrame:
    return t.assign(**{name: _dates(t[name]) for name in ("onset", "low", "high")})


def raised(found: list[Raised]) -> pd.DataFrame:
    return pd.DataFrame([{"line": r.line, "kind": r.kind, "subject": r.subject, "level": r.level, "message": r.message,
                          "numbers": json.dumps(plain(r.numbers)), "rank": float(r.rank)} for r in found])


def weeks(w: Weekly, view: LoadView, found: list[Raised], since: int, rules: Rules) -> pd.DataFrame:
    """One row per week: what was done, coverage, and from line `since` on the one message about load."""
    s, n = w.log.sets, w.log.weeks
    line, work = s["line"].to_numpy(), (s["kind"] != "warm_up").to_numpy()
    low, _ = bands(w.log, rules)
    weakest, others = _weakest(w, low, since)
    ok = balance.covered(w.parts.dose, w.parts.direct, low, needs_direct(rules), rules) & w.focus
    focus = w.focus.sum(axis=1)
    session = s["session"].astype(str) + "|" + s["day"].astype(str)
    effort = np.bincount(line[work], s["in_reserve"].notna()[work], n) / np.maximum(np.bincount(line[work], minlength=n), 1)
    return pd.DataFrame({
        "line": np.arange(n), "so_far": np.arange(n) >= w.log.complete,
        "sessions": _distinct(session, line, n), "days": _distinct(s["day"], line, n), "hard_sets": w.whole,
        "usual_hard_sets": w.against.usual[:, -1], "repetitions": np.bincount(line[work], s["reps"].fillna(0)[work], n),
        "tonnage_kg": _known_sum(line, s["tonnage"].to_numpy(float), n), "hold_s": np.bincount(line[work], s["hold_s"].fillna(0)[work], n),
        "planned_sets": planned_sets(w, rules), "effort_logged_share": effort, "mean_rir": w.mean_rir, "deload": w.deload,
        "unmatched_sets": np.bincount(line, s["exercise"].isna(), n).astype(int), "covered": ok.sum(axis=1), "focus_parts": focus,
        "coverage": np.divide(ok.sum(axis=1), focus, out=np.full(n, np.nan), where=focus > 0), "weakest_part": weakest,
        "weakest_not_distinguishable": others,
        "message": ["" if i < since else combined(_messages(found, i, rules)) for i in range(n)], "baseline_weeks": w.against.active_weeks[:, -1].astype(int)})


def _known_sum(line: np.ndarray, value: np.ndarray, lines: int) -> np.ndarray:
    """Sums by line of what is known; NaN for a line whose every value is unknown."""
    known = ~np.isnan(value)
    total = np.bincount(line[known], value[known], lines)
    return np.where(np.bincount(line[known], minlength=lines) > 0, total, np.nan)


def _messages(found: list[Raised], line: int, rules: Rules) -> list[str]:
    """Whole body first, then the parts that stand out most, one line each."""
    here = [r for r in found if r.line == line and r.kind in JUMPS]
    here.sort(key=lambda r: (r.subject != WHOLE, -r.rank))
    first = {r.subject: r.message for r in reversed(here)}
    order = list(dict.fromkeys(r.subject for r in here))
    whole = [first[s] for s in order if s == WHOLE]
    return whole + [first[s] for s in order if s != WHOLE][: rules.message_parts]


def _weakest(w: Weekly, low: np.ndarray, since: int) -> tuple[list[str | None], list[str]]:
    """The part in focus that reaches the smallest share of its band's low end; None where none is in focus. And, from line `since` on,
    those whose order with it depends on the credits, the nearest first, as JSON text.
    """
    ids, of_low = part_ids(), np.where(low > 0, low, np.nan)  # a band that begins at 0 asks for nothing
    share, least, most = (doses / of_low for doses in (w.parts.dose, w.parts.low, w.parts.high))
    share = np.where(w.focus & (low > 0), share, np.inf)
    part, others = balance.weakest(share, least, most)
    order = np.argsort(share, axis=1, kind="stable")
    near = ["[]" if i < since else json.dumps([ids[p] for p in order[i].tolist() if others[i, p]]) for i in range(w.log.weeks)]
    return [ids[p] if p >= 0 else None for p in part.tolist()], near


def _rates(t: pd.DataFrame) -> dict[str, pd.Series]:
    return {"rate_pct_week": t["slope"], "rate_low": t["low"], "rate_high": t["high"], "verdict": t["verdict"], "reason": t["reason"],
            "sessions": t["sessions"], "one_more_week": t["flat"].astype(bool) & (t["verdict"] == "undecided") & ~t["held"].astype(bool)}


def _long(w: Weekly, doses: Doses, names: tuple[str, ...], column: str) -> pd.DataFrame:
    lines, things = doses.dose.shape
    return pd.DataFrame({
        "line": np.repeat(np.arange(lines), things), column: np.tile(names, lines), "dose": doses.dose.ravel(),
        "low": doses.low.ravel(), "high": doses.high.ravel(), "direct_sets": doses.direct.ravel()})


def _distinct(label: pd.Series, line: np.ndarray, lines: int) -> np.ndarray:
    return pd.Series(label.to_numpy()).groupby(line).nunique().reindex(range(lines), fill_value=0).to_numpy()


def _dates(days: pd.Series) -> np.ndarray:
    """Whole days as dates; none where there is no day."""
    known = days.notna().to_numpy()
    out = np.full(len(days), np.datetime64("NaT"), dtype="datetime64[s]")
    out[known] = as_dates(days[known].to_numpy())
    return out
