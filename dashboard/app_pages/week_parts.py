"""The pieces of the week's page."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial
from typing import Any

import altair as alt
import pandas as pd
import streamlit as st

from dashboard.app_pages import equation, page, since_when
from dashboard.app_pages.page import drawn, escape, how_worked_out, remark, table
from dashboard.app_pages.picking import Leading, Picked
from dashboard.charts import rates, ribbon, shelf
from dashboard.charts.exercise_rows import exercise_rows
from dashboard.charts import taken_rows
from dashboard.charts.taken_rows import RATES, taken
from dashboard.sentences import dose
from dashboard.sentences.aside import of_one
from dashboard.sentences.findings import AT_ITS_END
from dashboard.sentences.flags import apart, more
from dashboard.sentences.load import JUMPS, largest
from dashboard.sentences.ribbon import Ribbon
from dashboard.sentences.plain_parts import places
from dashboard.sentences.plan import easy_was_due
from dashboard.sentences.strength import LEVEL_ASSUMED, lacking, long_open, rising
from dashboard.sentences.numbers import begun, counted, number, sets
from dashboard.sentences.units import rows_in_unit
from dashboard.choices import Choice, to_week
from dashboard.look import Look
from dashboard.queries import balance as parts_of
from dashboard.queries import ribbon as ribbon_of
from dashboard.queries import strength as strength_of
from dashboard.queries import week as week_of
from dashboard.queries.imports import aside_of
from dashboard.queries.kept import Store, remembered
from dashboard.queries.strength import telling
from dashboard.queries.week import level as level_of
from dashboard.queries.words import WHOLE_BODY, called

WAITING = "too_little_data"
REPEATED = ("repetitions", "reps", "hold")  # measures of parts and of exercises that are no estimated maximum
SINCE = {"onset": "since when", "around_onset": "what differed"}
PARTS_SHOWN, PARTS_TOLD, ENTRIES_TOLD = 4, 8, 6
WEEKS = {"hard_set": "hard sets", "weekly_load": "their sum", "usual": "usual", "week_counts": "the other figures", "week_plan": "what was planned",
         "week_state": "easy weeks", "followed": "what followed"}
SHELF = {"part_dose": "dose", "dose_range": "its range", "band": "bands", "coverage": "coverage", "weakest_part": "the weakest",
         "not_distinguishable": "what cannot be told apart"}
PER_KG = "per_body_mass"
STRENGTH = {"verdict": "verdicts", "pooled_part": "parts", "rate_interval": "rates", "value_now": "present value", PER_KG: "kg per kg"}


def headline(choice: Choice, done: dict[str, Any], flags: pd.DataFrame) -> str:
    """The first line of a week: an easy week that was due and not taken, the one largest change of load, or what was done."""
    jumps = flags[flags["kind"].isin(JUMPS)]
    jumps = jumps.sort_values("rank", ascending=False, kind="stable").sort_values("subject", key=lambda subject: subject != WHOLE_BODY, kind="stable")
    told = [largest(row.kind, row.called, row.numbers, row.message) for row in jumps.head(1).itertuples()] or [quiet(done)]
    if not done["so_far"] and week_of.easy(choice.store, choice.athlete, choice.week) is None and week_of.deload_due(choice.store, choice.athlete, choice.week):
        told.insert(0, easy_was_due(done["hard_sets"], done["usual_hard_sets"]))
    return " ".join(told)


def quiet(done: dict[str, Any]) -> str:
    """The first line of a week without a change of load."""
    if not done["hard_sets"]:
        return "No hard sets in this week."
    if pd.isna(done["usual_hard_sets"]):
        return f"{sets(done['hard_sets'])}. What is usual is still being worked out: it takes four active weeks."
    if done["so_far"]:
        return f"{sets(done['hard_sets'])} so far; usual is {number(done['usual_hard_sets'])} in a whole week. {begun(AT_ITS_END)}."
    return f"{sets(done['hard_sets'])} against a usual {number(done['usual_hard_sets'])}; no change of load stood out."


def figures(done: dict[str, Any]) -> None:
    """Done against usual, each with its unit."""
    usual, planned = done["usual_hard_sets"], done["planned_sets"]
    shown = [
        ("Sessions", number(done["sessions"]), f"on {counted(done['days'], 'day', 'days')}"),
        ("Hard sets", number(done["hard_sets"]), f"usual {number(usual)}" if pd.notna(usual) else "no usual yet"),
        ("Repetitions", number(done["repetitions"]), "in all sets"), ("Holds", number(done["hold_s"], 0), "seconds"),
        ("Planned sets", number(planned), f"{number(done['hard_sets'])} done"),
    ]
    page.figures([figure for figure in shown if figure[1] not in ("–", "0")])


def weeks(choice: Choice) -> Callable[[], None]:
    """The ribbon of the week and those before it; returns what draws the words below."""
    of, chart = _ribbon(choice.store, choice.athlete, choice.week, choice.colours)
    st.header(escape(ribbon.finding(of)))
    rest = drawn(chart, "ribbon", Leading(to_week))

    def words() -> None:
        rest(ribbon.in_words(of), partial(taken_rows.of_ribbon, of), choice.week, ribbon.reading(of))
        if len(of.pins):
            st.markdown("\n\n".join(f"**{row.number}** {escape(ribbon.pin(row))}" for row in of.pins.itertuples()))
        how_worked_out(choice.address, {one: word for one, word in WEEKS.items() if one != "followed" or len(of.pins)})

    return words


@remembered
def _ribbon(store: Store, athlete: str, week: date, colours: Look) -> tuple[Ribbon, alt.LayerChart]:
    of = ribbon_of.ribbon(store, athlete, week)
    return of, ribbon.ribbon(of, colours, picks=True)


def balance(choice: Choice, done: dict[str, Any]) -> Callable[[], None]:
    """The parts that went short, or were nearest to it; returns what draws the words below."""
    focus, easy, weakest, chart = _shelf(choice.store, choice.athlete, choice.week, choice.colours)
    if chart is None:
        return lambda: None
    st.header(escape(begun(shelf.finding(focus, easy, bool(done["so_far"])))))
    rest = drawn(chart, "shelf weakest")

    def words() -> None:
        rest(shelf.in_words(weakest, choice.week), partial(taken, weakest, taken_rows.SHELF), choice.week, shelf.READING)
        covered = "" if easy is not None else dose.coverage(done["covered"], done["focus_parts"], int((focus["status"] == "below").sum())) + (
            f"; {dose.weakest(called(done['weakest_part']), [called(p) for p in done['weakest_not_distinguishable']], weakest['name'].iloc[0])}." if done["weakest_part"] else ".")
        remark(escape(" ".join(filter(None, [
            covered, places(zip(weakest["part"], weakest["name"], strict=True)), dose.not_distinguishable(parts_of.not_distinguishable(weakest))]))))
        how_worked_out(choice.address, SHELF)
        st.page_link("app_pages/balance.py", label="All parts and heads →", query_params=choice.address)

    return words


@remembered
def _shelf(store: Store, athlete: str, week: date, colours: Look) -> tuple[pd.DataFrame, str | None, pd.DataFrame, alt.LayerChart | None]:
    """The parts in focus, why they are not judged, the weakest of them, and these on their planks; no chart without a part."""
    found, easy = parts_of.shown(store, athlete, week)
    focus = found[found["in_focus"].astype(bool)]
    weakest = shelf.shortest_first(focus).head(PARTS_SHOWN)
    return focus, easy, weakest, None if focus.empty else shelf.shelf(weakest, parts_of.history(store, athlete, week), colours)


def strength(choice: Choice) -> Callable[[], None]:
    """The parts whose strength needs a look or is surest to rise, the rest on the page Strength; returns what draws the words below."""
    parts = strength_of.parts(choice.store, choice.athlete, choice.week)
    judged = parts[parts["verdict"] != WAITING]
    if judged.empty:
        return partial(_strength_in_words, choice, parts, judged)
    st.header(escape(begun(rising(parts, "part"))))
    below = part_rates(choice, telling(judged, PARTS_TOLD))

    def words() -> None:
        below()
        _strength_in_words(choice, parts, judged)

    return words


def _strength_in_words(choice: Choice, parts: pd.DataFrame, judged: pd.DataFrame) -> None:
    """judged: the parts that have a verdict; without one, the exercises are told."""
    if len(judged) > PARTS_TOLD:
        remark(f"{number(PARTS_TOLD)} of {number(len(judged))} parts: those that stand still or fall, then the surest.")
    exercises = strength_of.exercises(choice.store, choice.athlete, choice.week)
    if judged.empty:
        if parts.empty and exercises.empty:
            return
        st.header(escape(begun(rising(parts if len(parts) else exercises, "part" if len(parts) else "exercise"))))
        verdicts(choice, "exercise", exercises, lambda judged: exercise_table(choice, judged))
    if told := long_open(strength_of.long_open(choice.store, choice.athlete, choice.week)):
        remark(escape(told))
    equation.named(choice)
    how_worked_out(choice.address, equation.link(choice) | {one: word for one, word in STRENGTH.items() if one != PER_KG or "per_kg" in set(exercises["measure"])})
    if since_when.of_the_week(choice):
        how_worked_out(choice.address, SINCE)
    else:
        since_when.left_out(pd.concat([parts["verdict"], exercises["verdict"]]))
    st.page_link("app_pages/strength.py", label="Each part and exercise over time →", query_params=choice.address)


def exercise_table(choice: Choice, judged: pd.DataFrame) -> None:
    table(rows_in_unit(exercise_rows(judged), choice.unit), "Exercises with their present value, interval and verdict")


def part_rates(choice: Choice, judged: pd.DataFrame, picked: Picked | None = None) -> Callable[[], None]:
    """Parts with their rates; picked: where a click on one picks it. Returns what draws the words below."""
    below = rate_pictures(choice, judged.assign(key=judged["part"]), "parts", picked)

    def words() -> None:
        below()
        remark("Each part pools the exercises that train it first. Bar: 80 % interval of the change."
               + (" With loads that are too light for an estimated maximum the change is of repetitions, or of seconds held, at the same load."
                  if judged["measure"].isin(REPEATED).any() else ""))

    return words


def rate_pictures(choice: Choice, judged: pd.DataFrame, of_what: str, picked: Picked | None = None) -> Callable[[], None]:
    """Rates with their intervals, those of strength and those of repetitions or seconds apart. Returns what draws the rest of them.

    A per cent of repetitions is not a per cent of a maximum, so the two share no axis.
    """
    repeated, rest = judged["measure"].isin(REPEATED), []
    for own, what in ((judged[~repeated], rates.STRENGTH), (judged[repeated], rates.REPETITIONS)):
        if len(own):
            chart = rates.rates(own, choice.colours, what, None if picked is None else picked.value or "")
            rest.append((own, what, drawn(chart, f"rates of {of_what} {what}", picked)))

    def words() -> None:
        for own, what, of_one in rest:
            of_one(rates.in_words(own, what), partial(taken, own, RATES), choice.week)

    return words


def verdicts(choice: Choice, what: str, rows: pd.DataFrame, show: Callable[[pd.DataFrame], None]) -> None:
    """Show the rows that have a verdict, and name those that wait for one; where all of them do, what the one with the most sessions lacks."""
    waiting = rows["verdict"] == WAITING
    if not rows[~waiting].empty:
        show(rows[~waiting])
    if waiting.any():
        names = [escape(name) for name in rows.loc[waiting, "name"]]
        lacks = ""
        if waiting.all():
            most = rows.sort_values("sessions").iloc[-1]
            lacks = f" {escape(lacking(most['name'], most['reason']))}{'' if level_of(choice.store, choice.athlete)[1] else LEVEL_ASSUMED}"
        remark(f"Too little data yet for {counted(len(names), what, what + 's')}: {'; '.join(names)}.{lacks}")


def to_look_at(choice: Choice, done: dict[str, Any], flags: pd.DataFrame) -> None:
    """Entries to check, names that wait for a decision, and rows that wait to be mended."""
    entries = flags.loc[flags["kind"] == "check_entry", "message"].tolist()
    if done["unmatched_sets"]:
        entries.insert(0, f"{counted(done['unmatched_sets'], 'set', 'sets')} of this week, of exercises that are not matched yet: counted in no part.")
    aside = aside_of(choice.store, choice.athlete)
    if aside:
        entries.insert(0, of_one(aside))
    if entries:
        st.header("Entries that need a look")
        st.markdown("\n".join(f"- {escape(entry)}" for entry in entries[:ENTRIES_TOLD]))
        if rest := entries[ENTRIES_TOLD:]:
            page.folded(more({"check_entry": len(rest)}), map(apart, rest))
        if (flags["kind"] == "check_entry").any():
            how_worked_out(choice.address, {"check_entry": "entries to check"})
        part = {"part": "waits"} if done["unmatched_sets"] or aside else {"part": "sets"}
        st.page_link("app_pages/data.py", label="Go to the data →", query_params=choice.address | part)


def care(choice: Choice) -> None:
    """The cautions that apply in this week."""
    found = week_of.cautions(choice.store, choice.athlete, choice.week)
    if found:
        st.header("Care")
        st.markdown("\n".join(f"- {escape(text)}" for text in found))
