"""The pictures of a client's report, each with what it shows as its title, its text alternative and a line on how to read it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from math import ceil

import altair as alt
import pandas as pd

from dashboard.charts import shelf, strength, weekly
from dashboard.look import Look
from dashboard.queries import balance, load
from dashboard.queries import strength as strength_of
from dashboard.queries.kept import Store
from dashboard.queries.words import WHOLE_BODY, loaded_per_hand
from dashboard.sentences import client as say
from dashboard.sentences.numbers import begun

PARTS_SHOWN, HISTORY_WEEKS = 6, 8
STEP = 8  # hard sets that a plank grows by, so that it is as long next month unless much more is done
READ_SHELF = "A full block is a hard set, a hatched one counts half. Shaded: the aim. The line above: how sure the number is. At the right: the last eight weeks."
READ_STRENGTH = "A point is the best set of a session, the thin line how sure it is; line and shade are the trend."
READ_WEEKS = "A bar is a week, the line across it what is usual. Pale: an easy week, or one that is still running."


@dataclass(frozen=True)
class Figure:
    """title: what it shows. words: its text alternative. reading: how to read it."""

    title: str
    chart: alt.TopLevelMixin
    words: str
    reading: str


def figures(store: Store, athlete: str, week: date, weeks: int, exercise: tuple[str, str] | None, colours: Look) -> tuple[Figure, ...]:
    """At most three, over `weeks` weeks. exercise: (id, measure) of the one that the report speaks of, None where there is none."""
    found = (_weeks(store, athlete, week, weeks, colours), _strength(store, athlete, week, weeks, exercise, colours), _shelf(store, athlete, week, colours))
    return tuple(one for one in found if one)


def _weeks(store: Store, athlete: str, week: date, weeks: int, colours: Look) -> Figure | None:
    drawn = load.series(store, athlete, WHOLE_BODY, week, weeks)
    if drawn.empty:
        return None
    return Figure("Hard sets, week by week", weekly.weekly(drawn, colours), weekly.in_words(drawn, "whole body"), READ_WEEKS)


def _strength(store: Store, athlete: str, week: date, weeks: int, exercise: tuple[str, str] | None, colours: Look) -> Figure | None:
    if exercise is None:
        return None
    fit = strength_of.exercises(store, athlete, week).loc[exercise]
    bests = strength_of.bests(store, athlete, *exercise, week)
    bests = bests[bests["date"] >= pd.Timestamp(week) - pd.Timedelta(weeks=weeks - 1)]
    if bests.empty:
        return None
    chart = strength.strength(bests, fit, colours, exercise[0] in loaded_per_hand())
    return Figure(f"{begun(fit['name'])}, the best set of each session", chart, strength.in_words(bests, fit), READ_STRENGTH)


def _shelf(store: Store, athlete: str, week: date, colours: Look) -> Figure | None:
    """The parts in focus that are nearest to the low end of their aim, in the catalogue's order."""
    found = balance.parts(store, athlete, week)
    focus = found[found["in_focus"].astype(bool)]
    if focus.empty:
        return None
    shown = focus.loc[focus["headroom"].nsmallest(PARTS_SHOWN).index.sort_values()].assign(fill="")
    history = balance.history(store, athlete, week, HISTORY_WEEKS)
    chart = shelf.shelf(shown, history, colours, _reach(shown, history))
    beside = f", {len(shown)} of {len(focus)} parts" if len(shown) < len(focus) else ""
    title = say.shares(*(focus.loc[focus["status"] == status, "name"].tolist() for status in ("below", "above")), bool(focus["dose"].any()))
    return Figure(title, chart, shelf.in_words(shown, week), READ_SHELF + (f" Shown{beside}: those with least to spare." if beside else ""))


def _reach(parts: pd.DataFrame, history: pd.DataFrame) -> float:
    """Hard sets that the planks are long: what the weeks shown need, in steps."""
    own = history[history["part"].isin(parts["part"])]
    return STEP * ceil((max(parts[["dose", "high", "usual", "band_high"]].max(axis=None), own[["dose", "high"]].max(axis=None)) + 0.5) / STEP)
