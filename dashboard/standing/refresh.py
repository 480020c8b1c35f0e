"""Working out an athlete's standing and keeping it in the store, from the first week that a change touches."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from datetime import date, timedelta
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

import duckdb
import pandas as pd

from dashboard.standing import kept
from dashboard.standing.balance_flags import band_flags, side_flags, sides
from dashboard.standing.cautions import cautions
from dashboard.standing.entry_flags import entry_flags
from dashboard.standing.load_flags import load_flags, load_view
from dashboard.standing.log import Log, read_log
from dashboard.standing.next_week import Planner
from dashboard.standing.raised import Raised, episodes
from dashboard.standing.strength import strength
from dashboard.standing.strength_flags import strength_flags
from dashboard.standing.weekly import weekly
from etl.marts import mart
from etl.settings import RULES, Rules
from etl.store import reading, writing

Progress = Callable[[float, str], None]
EPOCH = date(1970, 1, 1)


def refresh(path: str | Path, today: date | None = None, progress: Progress = lambda share, text: None, rules: Rules = RULES) -> int:
    """Work out again what is stale, each athlete in a transaction of its own. Returns how many athletes there were."""
    today = today or date.today()
    waiting, failed = stale(path, today), []
    for i, (athlete, since) in enumerate(waiting):
        progress(i / len(waiting), f"Working out {athlete}")
        try:
            with writing(path) as con:
                refresh_one(con, athlete, (since - EPOCH).days, (today - EPOCH).days, rules)
        except duckdb.Error:
            raise
        except Exception as error:  # noqa: BLE001 - one athlete's log must not keep the others from being worked out
            failed.append(error)
    if failed:
        raise failed[0]
    if waiting:
        with writing(path) as con:
            con.execute("insert or replace into meta values ('worked_out_with', ?)", [fingerprint()])
    return len(waiting)


@cache
def fingerprint() -> str:
    """What the kept tables depend on beside the log: the catalogue, the settings, and the code that works them out."""
    mark = hashlib.sha256()
    for package, folder, ending in (("etl", "catalogue", ".csv"), ("etl", "", "settings.py"), ("dashboard", "measures", ".py"),
                                    ("dashboard", "standing", ".py"), ("dashboard", "sentences", ".py")):
        place = files(package) / folder if folder else files(package)
        for file in sorted((f for f in place.iterdir() if f.name.endswith(ending)), key=lambda f: f.name):
            mark.update(file.read_bytes())
    return mark.hexdigest()


def stale(path: str | Path, today: date | None = None) -> list[tuple[str, date]]:
    """Athletes whose standing must be worked out again, and from which Monday on: after a change of their log, and once
    a week that was still running has ended; all of them where the catalogue or the rules have changed.
    """
    with reading(path) as con:
        return con.execute(mart("stale_weeks"), {"today": today or date.today(), "worked_out_with": fingerprint()}).fetchall()


def refresh_one(con: Any, athlete: str, since_day: int, today: int, rules: Rules = RULES) -> None:
    """One athlete, inside the caller's transaction."""
    log = read_log(con, athlete, today, rules)
    first = EPOCH + timedelta(days=since_day)
    kept.forget(con, athlete, first if log is not None else date.min)
    if log is not None:
        _keep(con, log, max(0, (since_day - int(log.mondays[0])) // 7), rules)
    con.execute("delete from stale where athlete = ?", [athlete])


def _keep(con: Any, log: Log, since: int, rules: Rules) -> None:
    w = weekly(log, rules)
    view = load_view(w, rules)
    found = strength(w, since, rules)
    side_table = sides(w, rules)
    raised = [*load_flags(w, view, rules), *band_flags(w, rules), *side_flags(w, side_table),
              *strength_flags(found, log.complete), *entry_flags(w, found.points, rules)]
    fresh = [r for r in raised if r.line >= since]
    kept.write(con, log, since, {
        "kept_heads": kept.heads(w), "kept_parts": kept.parts(w, rules), "kept_muscles": kept.muscles(w),
        "kept_load": kept.load(w, view), "kept_strength": kept.exercise_strength(w, found), "kept_part_strength": kept.part_strength(found),
        "kept_sides": side_table, "kept_weeks": kept.weeks(w, view, raised, rules),
        "kept_cautions": cautions(con, w, raised, rules), "kept_next": _next(w, view, found, since, rules), "kept_raised": kept.raised(fresh),
    })
    kept.write_bests(con, log, found.points, since)
    kept.write_flags(con, log, episodes(_all_raised(con, log), log.complete - 1))


def _next(w: Any, view: Any, found: Any, since: int, rules: Rules) -> pd.DataFrame:
    planner = Planner(w, view, found, rules)
    rows = [(line, i, subject, action, reason) for line in range(since, w.log.complete)
            for i, (subject, (action, reason)) in enumerate(planner.changes(line))]
    return pd.DataFrame(rows, columns=["line", "position", "subject", "action", "reason"])


def _all_raised(con: Any, log: Log) -> list[Raised]:
    """All weeks' flags, those kept from earlier and the new ones."""
    rows = con.execute("select week, kind, subject, level, message, numbers, rank from kept_raised where athlete = ? order by week", [log.athlete]).fetchall()
    first = EPOCH + timedelta(days=int(log.mondays[0]))
    return [Raised((week - first).days // 7, kind, subject, level, message, json.loads(numbers), rank)
            for week, kind, subject, level, message, numbers, rank in rows]
