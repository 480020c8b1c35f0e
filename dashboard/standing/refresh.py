"""Working out an athlete's standing and keeping it in the store, from the first week that a change touches."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator
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
from dashboard.standing.load_flags import LoadView, load_flags, load_view
from dashboard.standing.log import Log, read_logs
from dashboard.standing.load_columns import load_columns
from dashboard.standing.next_week import Planner
from dashboard.standing.onset import first_dated, onsets
from dashboard.standing.raised import Raised, episodes
from dashboard.standing.strength import Strength, strength
from dashboard.standing.strength_flags import strength_flags
from dashboard.standing.weekly import Weekly, weekly
from dashboard.sentences.decimal_mark import POINT, written_with
from etl.marts import mart
from etl.settings import RULES, Rules
from etl.store import reading, writing
from etl.tables import in_use

Progress = Callable[[float, str], None]
Stale = list[tuple[str, date]]
# Worked out in one transaction: at most so many, where they all have little to say.
SETS_AT_ONCE, ATHLETES_AT_ONCE = 40_000, 40
EPOCH = date(1970, 1, 1)


def refresh(path: str | Path, today: date | None = None, progress: Progress = lambda share, text: None, rules: Rules = RULES) -> int:
    """Work out again what is stale, some athletes in one transaction. Returns how many athletes there were."""
    today = today or date.today()
    with reading(path) as con:
        waiting, known, mark = _waiting(con, today), con.execute("select value from meta where key = 'worked_out_with'").fetchone(), fingerprint()
    failed, done = [], 0
    for some in batches(path, waiting):
        progress(done / len(waiting), f"Working out {some[0][0]}" + (f" and {len(some) - 1} more" if len(some) > 1 else ""))
        failed += _work_out(path, some, (today - EPOCH).days, rules)
        done += len(some)
    if failed:
        raise failed[0]
    if waiting and known != (mark,):
        with writing(path) as con:
            # Where the catalogue was changed meanwhile, those who were worked out before that still wait.
            con.execute("insert or replace into meta select 'worked_out_with', $mark where $known is not distinct from "
                        "(select value from meta where key = 'worked_out_with')", {"mark": mark, "known": known and known[0]})
    return len(waiting)


def _work_out(path: str | Path, some: Stale, today: int, rules: Rules) -> list[Exception]:
    """Some athletes at once; where that fails, one by one, so that one athlete's log keeps no other from being worked out."""
    try:
        with writing(path) as con:
            refresh_some(con, some, today, rules)
    except duckdb.Error:
        raise
    except Exception as error:  # noqa: BLE001 - whatever is wrong with one log, the others are not to wait for it
        if len(some) == 1:
            return [error]
        return [failure for one in some for failure in _work_out(path, [one], today, rules)]
    return []


def batches(path: str | Path, waiting: Stale) -> Iterator[Stale]:
    """Athletes that are worked out together: so many that their sets and what is made of them fit into memory easily."""
    if len(waiting) < 2:
        yield from [waiting] if waiting else []
        return
    with reading(path) as con:
        sets = dict(con.execute("select athlete, count(*) from sets where athlete in (select unnest(?::text[])) group by athlete", [[a for a, _ in waiting]]).fetchall())
    some, count = [], 0
    for athlete, since in waiting:
        own = sets.get(athlete, 0)
        if some and (count + own > SETS_AT_ONCE or len(some) >= ATHLETES_AT_ONCE):
            yield some
            some, count = [], 0
        some, count = [*some, (athlete, since)], count + own
    yield some


def fingerprint() -> str:
    """What the kept tables depend on beside the log: the catalogue and what the store's keeper changed in it, the settings, and the code."""
    return _shipped() + in_use().key


@cache
def _shipped() -> str:
    mark = hashlib.sha256()
    for package, folder, ending in (("etl", "catalogue", ".csv"), ("etl", "", "settings.py"), ("etl", "", "tables.py"), ("dashboard", "measures", ".py"),
                                    ("dashboard", "standing", ".py"), ("dashboard", "sentences", ".py")):
        place = files(package) / folder if folder else files(package)
        for file in sorted((f for f in place.iterdir() if f.name.endswith(ending)), key=lambda f: f.name):
            mark.update(file.read_bytes())
    return mark.hexdigest()


def stale(path: str | Path, today: date | None = None) -> Stale:
    """Athletes whose standing must be worked out again, and from which Monday on: after a change of their log, and once
    a week that was still running has its Sunday or has ended; all of them where the catalogue or the rules have changed.
    """
    with reading(path) as con:
        return _waiting(con, today or date.today())


def _waiting(con: Any, today: date) -> Stale:
    return con.execute(mart("stale_weeks"), {"today": today, "worked_out_with": fingerprint()}).fetchall()


@written_with(POINT)  # what is kept has no reader yet
def refresh_some(con: Any, some: Stale, today: int, rules: Rules = RULES) -> None:
    """Some athletes, inside the caller's transaction."""
    logs = read_logs(con, [athlete for athlete, _ in some], today, rules)
    weeks = {athlete: weekly(log, rules) for athlete, log in logs.items()}
    # Another program may have changed an earlier week since it was asked what is stale; and what is kept of the last weeks
    # alone has to be made anew where these are others now.
    marked = dict(con.execute("select athlete, from_week from stale where athlete in (select unnest(?::text[]))", [[a for a, _ in some]]).fetchall())
    first = {athlete: min(since, marked.get(athlete, since)) for athlete, since in some}
    since = {athlete: max(0, min(((first[athlete] - EPOCH).days - int(log.mondays[0])) // 7, first_dated(weeks[athlete], rules)))
             for athlete, log in logs.items()}
    kept.forget(con, {athlete: EPOCH + timedelta(days=int(logs[athlete].mondays[since[athlete]])) if athlete in logs else date.min for athlete, _ in some})
    found = dict(zip(logs, strength(list(weeks.values()), list(since.values()), rules), strict=True))
    kept.write(con, [(logs[athlete], since[athlete], _tables(weeks[athlete], found[athlete], since[athlete], rules)) for athlete in logs])
    kept.forget_older(con, "kept_onsets", {athlete: EPOCH + timedelta(days=int(logs[athlete].mondays[first_dated(w, rules)])) for athlete, w in weeks.items()})
    kept.write_flags(con, [(log, episodes(raised, log.complete - 1)) for log, raised in _all_raised(con, logs)])
    con.execute("delete from stale where athlete in (select unnest(?::text[]))", [[athlete for athlete, _ in some]])


def _tables(w: Weekly, found: Strength, since: int, rules: Rules) -> dict[str, pd.DataFrame]:
    """The rows of each kept table of one athlete, with the line of their week."""
    view = load_view(w, rules)
    side_table = sides(w, rules)
    raised = flags_of(w, view, found, side_table, rules)
    return {
        "kept_heads": kept.heads(w, since), "kept_parts": kept.parts(w, since, rules), "kept_muscles": kept.muscles(w, since), "kept_load": kept.load(w, view),
        "kept_load_columns": load_columns(w, rules),
        "kept_strength": kept.exercise_strength(found), "kept_part_strength": kept.part_strength(found), "kept_sides": side_table,
        "kept_weeks": kept.weeks(w, view, raised, since, rules), "kept_cautions": cautions(w, raised, rules),
        "kept_next": _next(w, view, found, raised, since, rules), "kept_raised": kept.raised([r for r in raised if r.line >= since]), "kept_bests": kept.bests(found.points, rules),
        "kept_onsets": kept.onsets(onsets(w, found, since, rules)),
    }


def flags_of(w: Weekly, view: LoadView, found: Strength, side_table: pd.DataFrame, rules: Rules = RULES) -> list[Raised]:
    """Every flag of one athlete's complete weeks, as each week's look raises it."""
    return [*load_flags(w, view, rules), *band_flags(w, rules), *side_flags(w, side_table), *strength_flags(found, w.log.complete),
            *entry_flags(w, found.points, rules)]


def _next(w: Weekly, view: LoadView, found: Strength, raised: list[Raised], since: int, rules: Rules) -> pd.DataFrame:
    planner = Planner(w, view, found, raised, rules)
    rows = [(line, i, subject, action, reason) for line in range(since, w.log.reviewed)
            for i, (subject, (action, reason)) in enumerate(planner.changes(line))]
    return pd.DataFrame(rows, columns=["line", "position", "subject", "action", "reason"])


def _all_raised(con: Any, logs: dict[str, Log]) -> list[tuple[Log, list[Raised]]]:
    """All weeks' flags of each log, those kept from earlier and the new ones."""
    rows = con.execute("select athlete, week, kind, subject, level, message, numbers, rank from kept_raised "
                       "where athlete in (select unnest(?::text[])) order by athlete, week", [list(logs)]).fetchall()
    found: dict[str, list[Raised]] = {athlete: [] for athlete in logs}
    first = {athlete: EPOCH + timedelta(days=int(log.mondays[0])) for athlete, log in logs.items()}
    for athlete, week, kind, subject, level, message, numbers, rank in rows:
        found[athlete].append(Raised((week - first[athlete]).days // 7, kind, subject, level, message, json.loads(numbers), rank))
    return [(logs[athlete], raised) for athlete, raised in found.items()]
