"""Whether strength rises, and how sure that is: every part, then what is picked of it; the climb of a ladder; the two sides."""

from __future__ import annotations

from datetime import date
from functools import partial

import pandas as pd
import streamlit as st

from dashboard.app_pages import empty, equation, said
from dashboard.app_pages.page import escape, folded, how_worked_out, on_request, picture, remark, table
from dashboard.app_pages.since_when import in_words, left_out, since_when
from dashboard.app_pages.picking import Leading, Picked, picking
from dashboard.app_pages.said_forms import note_on
from dashboard.app_pages.week_parts import WAITING, exercise_table, part_rates, rate_pictures, verdicts
from dashboard.charts import rates, side_history, stair, strength
from dashboard.charts.exercise_rows import side_rows
from dashboard.charts.taken_rows import BESTS, SIDES, of_stair, taken
from dashboard.sentences.bands import band_sentence
from dashboard.sentences.findings import strength_finding
from dashboard.sentences.numbers import begun, day, number
from dashboard.sentences.stair import stair_in_unit
from dashboard.sentences.strength import HELD
from dashboard.sentences.units import heading_in_unit, in_unit, rows_in_unit
from dashboard.choices import Choice, current, one_of
from dashboard.queries import said as said_of
from dashboard.queries import side_history as sides_of
from dashboard.queries import stair as stair_of
from dashboard.queries import strength as strength_of
from dashboard.queries.onsets import onsets
from dashboard.queries.words import loaded_per_hand

UNKNOWN = float("nan")
ESTIMATES = ("e1rm", "per_kg")
VERDICT = {"verdict": "the verdict", "rate_interval": "its interval", "worthwhile_gain": "a gain worth having", "cannot_rule_out": "gains not ruled out",
           "layoff": "the break", "onset": "since when", "around_onset": "what differed"}
POINTS = {"per_body_mass": "per kg of body mass", "reps_series": "repetitions at one load", "hold_series": "holds", "eligibility": "filled and hollow points",
          "possible_reps": "repetitions in reserve", "estimate_noise": "how sure each is", "trend_line": "the line", "repetition_band": "repetition bands",
          "best": "the best so far"}
ESTIMATE = {"eligibility", "possible_reps"}
OF_MEASURE = {"e1rm": ESTIMATE, "per_kg": {"per_body_mass", *ESTIMATE}, "reps": {"reps_series", "possible_reps"}, "hold": {"hold_series"}}
ALL = {"value_now": "present values", "per_body_mass": "kg per kg", "which_series": "which series", "found_within": "how often a verdict is right"}
PARTS = {"pooled_part": "a part's verdict", "rate_interval": "its interval", "shared_readiness": "what exercises share", "worthwhile_gain": "a gain worth having",
         "cannot_rule_out": "gains not ruled out"}
STAIR = {"stair": "the steps", "nearness": "how near", "mist": "the mist"}
READING = (
    "A filled point counts in the trend, a hollow one is shown only. Thin lines: how sure each estimate is. "
    "Line and shade: the trend over the weeks that it looks at, with its 80 % band."
)

NOTED = "A pennant: a note on that day, told below."
CLICK = "A click on a point opens a note on it."


def show(choice: Choice) -> None:
    exercises = rows_in_unit(strength_of.exercises(choice.store, choice.athlete, choice.week), choice.unit, "reason").set_index("exercise", drop=False)
    parts = strength_of.parts(choice.store, choice.athlete, choice.week)
    if exercises.empty:
        st.title("Strength")
        st.markdown("No exercise has a series yet. A series starts with the first set that has a load, repetitions or seconds.")
        return
    judged = exercises if parts.empty else parts
    st.title(escape(strength_finding(judged["name"].tolist(), judged["verdict"].tolist(), "exercises" if parts.empty else "parts")))
    began = onsets(choice.store, choice.athlete, choice.week)
    picked = picking("part", dict(zip(parts["part"], parts["name"].map(begun), strict=True)))
    drawn, told, single, stairs = (st.container() for _ in range(4))  # the pictures are sent first
    with drawn:
        if len(parts):
            verdicts(choice, "part", parts, lambda judged: part_rates(choice, judged, picked)())
    with stairs:
        _stairs(choice)
    own = exercises if picked.value is None else exercises[exercises["exercise"].isin(strength_of.exercises_of(picked.value))]
    with single:
        if own.empty:
            remark("No exercise of this part has a series yet.")
        else:
            _exercises(choice, own, picked.options.get(picked.value), began)
    with told:
        _parts(choice, parts, began, picked)
    _sides(choice, None if picked.value is None else set(own["exercise"]))


def _parts(choice: Choice, parts: pd.DataFrame, began: pd.DataFrame, picked: Picked) -> None:
    """What is said of the parts, or of the one that is picked."""
    if parts.empty:
        return
    how_worked_out(choice.address, PARTS)
    picked.choose("Part", "All parts: pick one here or in the picture" if (parts["verdict"] != WAITING).any() else "All parts")
    if picked.value is not None:
        part = parts.set_index("part").loc[picked.value]
        st.header(escape(begun(f"{part['name']}: {rates.WORDS.get(part['verdict'], part['verdict'])}")))
        st.markdown(escape(part["reason"]))
        since_when(began, picked.value, part["verdict"])
        said.under_trend(choice, picked.value)
        return
    folded("Why: the reason for each verdict", [(begun(name), f"{reason} {in_words(began, part)}".strip())
                                                for part, name, reason in zip(parts["part"], parts["name"], parts["reason"], strict=True)])
    if began.empty:
        left_out(parts["verdict"])


def _exercises(choice: Choice, exercises: pd.DataFrame, part: str | None, began: pd.DataFrame) -> None:
    """The exercises of a part, or all of them; one of them over time. part: its word."""
    picked = picking("exercise", dict(zip(exercises["exercise"], exercises["series_name"], strict=True)), exercises["exercise"].iloc[0])
    of_which = f"Exercises that train the {part.lower()} first" if part else "All exercises"
    if part:
        st.markdown(f"**{escape(of_which)}**")
        _rates(choice, exercises, picked)
    equation.named(choice)
    picked.choose("Exercise")
    _exercise(choice, exercises.loc[picked.value], began)
    rates_of_all = {} if part else {"The rates of all exercises": lambda: _rates(choice, exercises, picked)}
    on_request("exercises", rates_of_all | {"Present values of all of them": lambda: _values(choice, exercises)})


def _values(choice: Choice, exercises: pd.DataFrame) -> None:
    verdicts(choice, "exercise", exercises, lambda judged: exercise_table(choice, judged))
    how_worked_out(choice.address, {one: word for one, word in ALL.items() if one != "per_body_mass" or "per_kg" in set(exercises["measure"])})


def _rates(choice: Choice, exercises: pd.DataFrame, picked: Picked) -> None:
    judged = exercises[exercises["verdict"] != WAITING]
    rate_pictures(choice, judged.assign(key=judged["exercise"]), "exercises", picked)()


def _exercise(choice: Choice, fit: pd.Series, began: pd.DataFrame) -> None:
    bests, fit = strength_of.in_unit(strength_of.bests(choice.store, choice.athlete, fit["exercise"], fit["measure"], choice.week), fit, choice.unit)
    st.header(escape(begun(f"{fit['name']}: {rates.WORDS.get(fit['verdict'], fit['verdict'])}")))
    st.markdown(escape(fit["reason"]))
    since_when(began, fit["exercise"], fit["verdict"])
    how_worked_out(choice.address, {one: word for one, word in VERDICT.items() if one in _of_the_verdict(fit, began)})
    offset = band_sentence(fit.get("band_offset", UNKNOWN), fit.get("band_offset_se", UNKNOWN))
    shown = strength.lately(bests)
    if not bests.empty:
        per_hand = fit["exercise"] in loaded_per_hand()
        noted = said_of.notes_about(choice.store, choice.athlete, choice.week, fit["exercise"])
        bent = began.loc[fit["exercise"]] if fit["exercise"] in began.index else None
        picture(strength.strength(shown, fit, choice.colours, per_hand, bent, choice.unit, noted, not choice.sample), strength.in_words(shown, fit, choice.unit), partial(taken, shown, BESTS, choice.unit),
                "bests", f"{fit['exercise']} {choice.week}",
                None if choice.sample else Leading(lambda iso: note_on(fit["exercise"], date.fromisoformat(iso))))
        remark(" ".join(filter(None, [READING, NOTED if len(noted) else "", "" if choice.sample else CLICK, escape(offset), strength.reading(shown, bent)])))
    said.under_trend(choice, fit["exercise"])
    if pd.notna(fit["best_value"]):
        places, unit = strength.PLACES[fit["measure"]], heading_in_unit(strength.UNITS[fit["measure"]], choice.unit)
        higher = shown[~shown["counted"].astype(bool) & (shown["value"] > fit["best_value"])].sort_values("value", kind="stable").tail(1)
        beside = [f" A hollow point stands higher, {number(row.value, places)} {unit} on {day(row.date)}: shown, but not counted." for row in higher.itertuples()]
        st.markdown(f"Best so far: {number(fit['best_value'], places)} {unit}, since {day(fit['best_since'])}.{''.join(beside)}")
    before = f", and every session since {day(bests['date'].iloc[0])}" if len(shown) < len(bests) else ", load by load"
    st.page_link("app_pages/look_up.py", label=f"Its bests{before} →", query_params={**choice.address, "exercise": fit["exercise"]})
    of_points = {"estimate_noise", "trend_line", "best", *OF_MEASURE[fit["measure"]], *(["repetition_band"] if offset else [])}
    by = equation.link(choice) if fit["measure"] in ESTIMATES else {}
    how_worked_out(choice.address, by | {one: word for one, word in POINTS.items() if one in of_points})


def _of_the_verdict(fit: pd.Series, began: pd.DataFrame) -> set[str]:
    """The measures that the verdict's sentences speak of."""
    if fit["verdict"] == WAITING:
        return {"verdict"}
    dated = began.loc[fit["exercise"]] if fit["exercise"] in began.index else None
    return ({"verdict", "rate_interval"} | ({"cannot_rule_out"} if fit["verdict"] != "progressing" else set())
            | ({"worthwhile_gain"} if fit["verdict"] in ("plateau", "undecided") else set())
            | ({"layoff"} if fit["reason"].startswith(HELD) else set())
            | (set() if dated is None else {"onset"} | ({"around_onset"} if dated["around"] else set())))


def _stairs(choice: Choice) -> None:
    climbed = stair_of.stairs(choice.store, choice.athlete, choice.week)
    if not climbed:
        return
    heading = st.container()
    chosen = one_of("Steps of a progression, or loads of an exercise", {one: begun(in_unit(name, choice.unit)) for one, name in climbed.items()}, "stair", width=420)
    drawn = stair_in_unit(stair_of.stair(choice.store, choice.athlete, chosen, choice.week), choice.unit)
    heading.header(escape(stair.finding(drawn)))
    picture(stair.stair(drawn, choice.colours, not choice.sample), stair.in_words(drawn), partial(of_stair, drawn, choice.unit), "stair", f"{chosen} {choice.week}",
            None if choice.sample else Leading(_note_on_dot), f"{stair.reading(drawn)}{'' if choice.sample else f' {CLICK}'}")
    said.notes_about(choice, drawn.sessions["exercise"].unique(), drawn.start)
    how_worked_out(choice.address, STAIR)


def _note_on_dot(key: str) -> None:
    day, exercise = key.split(" ", 1)
    note_on(exercise, date.fromisoformat(day))


def _sides(choice: Choice, exercises: set[str] | None) -> None:
    """Left and right of these exercises, of all where None."""
    sides = strength_of.sides(choice.store, choice.athlete, choice.week)
    sides = sides if exercises is None else sides[sides["exercise"].isin(exercises)]
    if sides.empty:
        return
    st.header("Left and right")
    table(rows_in_unit(side_rows(sides), choice.unit), "Left against right, by exercise")
    weeks = sides_of.side_history(choice.store, choice.athlete, choice.week)
    weeks = weeks[weeks["exercise"].isin(sides["exercise"])]
    if not weeks.empty:
        on_request("sides", {"The difference over time": lambda: _sides_drawn(choice, weeks)})
    remark("The difference is (stronger \u2212 weaker) / stronger, the median of the last eight weeks; one in seconds or repetitions is not one of strength. "
           "Matching the weaker side’s repetitions hides it.")
    how_worked_out(choice.address, {"side_difference": "left and right"})


def _sides_drawn(choice: Choice, weeks: pd.DataFrame) -> None:
    for left, right in _in_twos(list(weeks.groupby("exercise", sort=False))):
        for place, drawn in zip(st.columns(2, gap="large"), (left, right), strict=True):
            if drawn is not None:
                with place:
                    _side(choice, drawn[1])
    remark(side_history.READING)


def _in_twos(drawn: list) -> list[tuple]:
    """Pairs, the last with None where one is over."""
    return list(zip(drawn[::2], [*drawn[1::2], None], strict=False))


def _side(choice: Choice, weeks: pd.DataFrame) -> None:
    name = begun(weeks["name"].iloc[0])
    st.markdown(f"**{escape(name)}**, {escape(side_history.compared_by(weeks))}")
    picture(side_history.side_history(weeks, sides_of.limit_pct(), choice.colours), side_history.in_words(weeks, name), partial(taken, weeks, SIDES),
            f"sides {weeks['exercise'].iloc[0]}", choice.week)


if current().athlete:
    show(current())
else:
    empty.show()
