"""`evenset clients`: who needs a look first and why, over all athletes, in words or as JSON."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from datetime import date
from functools import partial

from dashboard.command.main import CAUTION
from dashboard.command.output import json_text
from dashboard.command.people import monday_of
from dashboard.command.review import fresh
from dashboard.queries import clients as asked
from dashboard.queries.clients import Client, Seen
from dashboard.queries.imports import aside_by_athlete
from dashboard.queries.kept import Store
from dashboard.queries.presented import shown_unit
from dashboard.sentences import aside
from dashboard.sentences import clients as say
from dashboard.sentences.numbers import day
from etl.refusal import Refusal


def clients(options: argparse.Namespace) -> None:
    """All athletes in one list, in the order of the page."""
    store = fresh(options.store)
    at = _seen(store, options.week)
    found = asked.clients(store, at) if at else ()
    if options.json:
        print(json_text({"clients": asked.as_objects(found, at) if at else [], "rows_set_aside": aside_by_athlete(store)}))
        return
    if at is None:
        raise Refusal("No week of training is complete yet", store.path, "Import a log (evenset import FILE.csv), or look at the sample (evenset demo).")
    print("\n".join(_words(store, found, at)))


def _seen(store: Store, said: str | None) -> Seen | None:
    monday = monday_of(said) if said else None
    known = asked.weeks_to_see(store)
    if monday and monday not in known:
        raise Refusal(f"Nobody has a complete week of training from {monday.isoformat()} on", "--week",
                      f"There are weeks from {known[-1]} to {known[0]}." if known else "There is none yet.")
    return asked.seen(store, date.today(), monday)


def _words(store: Store, found: Sequence[Client], at: Seen) -> list[str]:
    of_all, stale = asked.summary(store, found, at, date.today())
    lines = [f"Week of {day(at.week)}. {of_all}", *filter(None, [stale, aside.of_all(aside_by_athlete(store), aside.BY_COMMAND)])]
    groups = asked.grouped(found)
    for name, one in ((name, one) for name, own in groups.items() for one in own):
        lines += ["", say.group_title(name, len(groups[name]))] if len(groups) > 1 and one is groups[name][0] else []
        lines += ["", f"{one.athlete}: last trained {say.last_trained(one.days_ago, one.last_trained, at.today)}; "
                      f"{say.done(one.sessions, one.hard_sets, one.usual, one.planned)}",
                  *([f"  {say.TITLES[reason.kind]}. {say.in_their_unit(reason.kind, reason.text, one.athlete, partial(shown_unit, store))}" for reason in one.reasons] or [f"  {say.QUIET}"])]
    return [*lines, "", CAUTION]
