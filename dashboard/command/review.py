"""`evenset review` and `evenset flags`: what the pages show, in words or as JSON."""

from __future__ import annotations

import argparse
import json
from datetime import date
from math import inf
from typing import Any

import pandas as pd

from dashboard import methods
from dashboard.command.main import CAUTION
from dashboard.command.people import find, find_week
from dashboard.queries import review as asked
from dashboard.queries.balance import not_distinguishable
from dashboard.queries.kept import Store, store_at
from dashboard.queries.people import athletes
from dashboard.queries.presented import shown_unit
from dashboard.queries.week import counted_by_kind, first_told
from dashboard.queries.words import called
from dashboard.sentences.aside import BY_COMMAND, of_one
from dashboard.sentences.dose import RANGES, has_range, not_judged, weakest
from dashboard.sentences.dose import not_distinguishable as told_apart
from dashboard.sentences.numbers import amount, counted, number, sets, signed
from dashboard.sentences.flags import more
from dashboard.sentences.load import JUMPS, without_plan
from dashboard.sentences.marks import WORDS as MARKED_AS
from dashboard.sentences.plan import comes_from
from dashboard.sentences.onset import DATED, NOT_DATED
from dashboard.sentences.strength import WORDS, by_equation
from dashboard.sentences.units import in_unit
from dashboard.standing.refresh import refresh
from etl.store import store_path

MOST = 8
FORMULAS = "Formula, source and limits of every number: the page Methods (evenset open)."


def review(options: argparse.Namespace) -> None:
    """One week of one athlete."""
    store = fresh(options.store)
    athlete = find(store, options.athlete)
    found = asked.review(store, athlete, find_week(store, athlete, options.week))
    print(json.dumps(found, ensure_ascii=False) if options.json else "\n".join(_words(found, shown_unit(store, athlete))))


def flags(options: argparse.Namespace) -> None:
    """Each flag that the log would have raised, from what was known at each week's end."""
    store = fresh(options.store)
    athlete = find(store, options.athlete) if options.athlete or not athletes(store) else None
    found = asked.flags(store, athlete)
    print(json.dumps({"flags": found}, ensure_ascii=False) if options.json else _flag_lines(store, found))


def fresh(said: str | None) -> Store:
    """The store, with what an interrupted import left stale worked out first."""
    path = store_path(said)
    refresh(path)
    return store_at(path)


def _words(r: dict[str, Any], unit: str) -> list[str]:
    """unit: of the loads, as on the athlete's pages; in JSON they are in kg."""
    so_far = " so far" if r["so_far"] else ""
    head = f"{r['athlete']} ({r['level']}), week of {_day(r['week'])}{so_far}"
    lines = ["", *_done(r["done"], r["marked"]), "", *_parts(r), "", *_strength(r["strength"], by_equation(methods.chosen_equation(r["equation"])))]
    if r["message"]:
        lines += ["", "Load", f"  {r['message']}"]
    lines += _flags(r)
    if r["next"]:
        lines += ["", " ".join(filter(None, ["Next week.", comes_from(date.fromisoformat(r["next_from"]), date.fromisoformat(r["week"]), r["so_far"])])).removesuffix("."), *(f"  {n['action']} {n['reason']}" for n in r["next"])]
    if r["cautions"]:
        lines += ["", "Care", *(f"  {text}" for text in r["cautions"])]
    aside = ["", of_one(r["rows_set_aside"], BY_COMMAND)] if r["rows_set_aside"] else []
    return [head, *(in_unit(line, unit) for line in lines), *aside, "", FORMULAS, CAUTION]


def _flags(r: dict[str, Any]) -> list[str]:
    """The first of the flags that are not in the one message about load; the others, and those of its kinds that it leaves out, are only counted."""
    found = pd.DataFrame(r["flags"], columns=asked.FLAG_KEYS)
    load = found["kind"].isin(JUMPS)
    jumps = [message for message in found.loc[load, "message"] if without_plan(message) not in r["message"]]
    told, rest = first_told(found.assign(called=found["subject"].map(called))[~load], r["not_judged"] is not None)
    other = [f"  [{f.level}] {f.message}" for f in told.itertuples()]
    if len(rest):
        other.append(f"  and {more(counted_by_kind(rest))} (evenset flags lists all)")
    if jumps:
        other.append(f"  and {len(jumps)} more about the load of single parts (evenset flags lists all)")
    return ["", "Flags", *other] if other else []


def _done(done: dict[str, Any], marked: str | None) -> list[str]:
    usual = f" (usual {number(done['usual_hard_sets'])})" if done["usual_hard_sets"] is not None else " (no usual yet)"
    planned = f" of {number(done['planned'])} planned" if done["planned"] is not None else ""
    lines = ["Done", f"  {counted(done['sessions'], 'session', 'sessions')}, {sets(done['hard_sets'])}{planned}{usual}, {number(done['repetitions'], 0)} repetitions"]
    if done["hold_s"]:
        lines.append(f"  {number(done['hold_s'], 0)} s held")
    lines.append(f"  effort logged on {number(100 * (done['effort_logged_share'] or 0), 0)} % of sets")
    if marked:
        lines.append(f"  marked as {MARKED_AS[marked]}")
    if done["deload"]:
        lines.append("  an easy week (a deload): left out of trends and of what is usual")
    if done["unmatched_sets"]:
        lines.append(f"  {counted(done['unmatched_sets'], 'set', 'sets')} of exercises that the catalogue lacks: counted in all, in no part")
    return lines


def _parts(r: dict[str, Any]) -> list[str]:
    focus = [p for p in r["parts"] if p["in_focus"]]
    others = [called(part) for part in r["weakest_not_distinguishable"]]
    judged = f"{r['covered_parts']} of {r['focus_parts']} covered" + (f", {weakest(called(r['weakest_part']), others)}" if r["weakest_part"] else "")
    lines = [f"Parts in focus: {judged if r['not_judged'] is None else not_judged(r['not_judged'])}"]
    if r["not_judged"] is None and sum(p["status"] != "below" for p in focus) != r["covered_parts"]:
        lines.append("  covered asks beside the band for two direct sets, where the part is of the deltoids, the triceps or the calves")
    lines.append("  hard sets (direct 1, indirect 0.5) and what they would be with each credit one tier lower or higher")
    for p in sorted(focus, key=lambda p: p["dose"] / p["band_low"] if p["band_low"] else inf):
        lines.append(f"  {called(p['part']):34} {number(p['dose']):>5}  ({number(p['low'])} to {number(p['high'])})   "
                     f"band {number(p['band_low'])} to {number(p['band_high'])}   {p['status'] if r['not_judged'] is None else ''}".rstrip())
    if focus and (pairs := not_distinguishable(pd.DataFrame(focus))):
        lines.append(f"  {told_apart(pairs)}")
    return lines if focus else ["Parts in focus: none yet (a region needs four hard sets a week)"]


def _strength(found: list[dict[str, Any]], equation: str) -> list[str]:
    pooled, single = [s for s in found if "part" in s], [s for s in found if "exercise" in s]
    told = [s for s in pooled if s["verdict"] != "too_little_data" and s["exercises"] > 1]
    lines = ["Strength (80 % intervals)", *([f"  {equation}"] if equation else [])]
    head = len(lines)
    for s in told:
        lines.append(f"  {called(s['part'])}, from {s['exercises']} exercises: {WORDS[s['verdict']]}, {_rate(s)}")
        lines += _began(s)
    for s in single[:MOST]:
        rate = f", {_rate(s)}" if s["rate_pct_week"] is not None and s["verdict"] != "too_little_data" else ""
        places = 2 if s["measure"] == "per_kg" else 1
        span = f"{amount(s['value'], s['measure'])} ({number(s['value_low'], places)} to {number(s['value_high'], places)})"
        lines.append(f"  {called(s['exercise'])}: {span}, {WORDS[s['verdict']]}{rate}")
        lines += _began(s)
    if len(single) > MOST:
        lines.append(f"  and {len(single) - MOST} more exercises (--json lists all)")
    if any(s["verdict"] in DATED and not s["onset"] for s in [*told, *single[:MOST]]):
        lines.append(f"  {NOT_DATED}")
    return lines if len(lines) > head else ["Strength: nothing to estimate from yet"]


def _began(s: dict[str, Any]) -> list[str]:
    """Since when, and what differed around then, where it stands still or falls."""
    return [f"    {s['onset']['message']}"] if s["onset"] else []


def _rate(s: dict[str, Any]) -> str:
    return f"{signed(s['rate_pct_week'], 2)} % a week ({signed(s['rate_low'], 2)} to {signed(s['rate_high'], 2)})"


def _flag_lines(store: Store, found: list[dict[str, Any]]) -> str:
    """A line for each flag, with its loads in the unit of its athlete's pages."""
    if not found:
        return "The log raises no flag."
    units = {athlete: shown_unit(store, athlete) for athlete in {f["athlete"] for f in found}}
    lines = [f"{f['athlete']}  {f['week']} to {f['until'] or 'now, still holding':19}  {f['level']:6}  {f['kind']:15}  {in_unit(f['message'], units[f['athlete']])}" for f in found]
    ranges = [RANGES] if any(has_range(f["message"]) for f in found) else []
    return "\n".join([*lines, "", *ranges, FORMULAS, CAUTION])


def _day(text: str) -> str:
    when = date.fromisoformat(text)
    return f"{when.day} {when:%B %Y}"
