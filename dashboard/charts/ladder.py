"""The climb of a ladder: a lane for each step, the harder above; in it the best set of each session.

A lane begins with the first session on its step, so that the lanes rise like stairs. Height within a lane is the value on
that lane's own scale; across lanes it says nothing, since steps are not measured in one unit.
"""

from __future__ import annotations

import altair as alt
import pandas as pd

from dashboard.charts.strength import PLACES
from dashboard.look import DAY, Look, finish, layered
from dashboard.sentences.numbers import counted, day, measured, number

LANE, NAME, SAID, FOOT = 106, 16, 33, 14  # pixels from a lane's top: its whole, its name, what is said of it, the room below
READING = ("A lane is a step, the harder one above; it begins with the first session on it. A point is the best set of a session, a thin "
           "line its 80 % interval. Heights are on each lane’s own scale.")
ARROW = " \u2192 "
UNITS = {"e1rm": "kg", "per_kg": "× body mass", "reps": "repetitions", "hold": "s"}


def ladder(sessions: pd.DataFrame, colours: Look) -> alt.LayerChart:
    """`sessions`: rows of `queries.ladder.climb`: date, step, name, measure, value, low, high, loads. Raises ValueError without any."""
    if sessions.empty:
        raise ValueError("a ladder needs at least one session")
    points, lanes = _placed(sessions)
    height = LANE * len(lanes)
    scale = alt.Scale(domain=[height, 0], nice=False, zero=False)

    def x(field: str) -> alt.X:
        return alt.X(f"{field}:T", scale=alt.Scale(padding=6), axis=alt.Axis(title="session", format=DAY, grid=False, tickCount=6))

    def y(field: str) -> alt.Y:
        return alt.Y(f"{field}:Q", scale=scale, axis=None)

    told = [alt.Tooltip("name:N", title="step"), alt.Tooltip("date:T", title="session", format="%-d %B %Y"), alt.Tooltip("told:N", title="best set"),
            alt.Tooltip("interval:N", title="80 % interval")]
    lane, point = alt.Chart(lanes), alt.Chart(points)
    return finish(layered(
        lane.mark_rect(fill=colours.band, cornerRadius=3).encode(x("start"), y("top"), x2=alt.X2("end"), y2=alt.Y2("foot")),
        lane.mark_rule(stroke=colours.plank, strokeWidth=3, strokeCap="round").encode(x("start"), y("foot"), x2=alt.X2("end")),
        point.mark_rule(stroke=colours.soft, strokeWidth=1, opacity=0.8).encode(x("date"), y("y_low"), y2=alt.Y2("y_high")),
        point.mark_point(shape="circle", size=28, filled=True, fill=colours.done, stroke=colours.paper, strokeWidth=1, opacity=1)
        .encode(x("date"), y("y"), tooltip=told),
        lane.mark_text(align="left", baseline="alphabetic", fontWeight=600, fontSize=13, fill=colours.ink).encode(x("left"), y("name_y"), text=alt.Text("name:N")),
        lane.mark_text(align="left", baseline="alphabetic", fontSize=12, fill=colours.soft).encode(x("left"), y("said_y"), text=alt.Text("said:N")),
    ), colours, height)


def in_words(sessions: pd.DataFrame) -> str:
    """The text alternative: each step from the lowest, since when, and from what to what."""
    told = [f"{own['name'].iloc[0]} from {day(own['date'].iloc[0])}, {counted(len(own), 'session', 'sessions')}, {_said(own, ' to ')}"
            for _, own in sessions.groupby("step")]
    return "The steps of the ladder, from the lowest. " + "; ".join(told) + "."


def _placed(sessions: pd.DataFrame) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Points and lanes with their heights in pixels from the top."""
    steps = sorted(sessions["step"].unique(), reverse=True)
    points, lanes = [], []
    for i, step in enumerate(steps):
        own = sessions[sessions["step"] == step]
        top, foot = i * LANE + SAID + 6, (i + 1) * LANE - FOOT
        least, most = own["low"].min(), own["high"].max()

        def at(value: pd.Series, foot: int = foot, top: int = top, least: float = least, most: float = most) -> pd.Series:
            return foot - 4 - (value - least) / (most - least or 1.0) * (foot - top - 8)

        places = PLACES[own["measure"].iloc[0]]
        points.append(own.assign(
            y=at(own["value"]), y_low=at(own["low"]), y_high=at(own["high"]), told=[_set(row) for row in own.itertuples()],
            interval=[f"{measured(low, places)} to {measured(high, places)}" for low, high in zip(own["low"], own["high"], strict=True)]))
        lanes.append({"name": own["name"].iloc[0], "start": own["date"].min(), "end": own["date"].max(), "top": top, "foot": foot,
                      "name_y": i * LANE + NAME, "said_y": i * LANE + SAID, "left": sessions["date"].min(),
                      "said": f"from {day(own['date'].iloc[0], year=False)}: {_said(own, ARROW)}"})
    columns = ["date", "name", "y", "y_low", "y_high", "told", "interval"]
    return pd.concat(points)[columns], pd.DataFrame(lanes)


def _said(own: pd.DataFrame, arrow: str) -> str:
    """First and last value of a step with its unit: 6 → 12 repetitions."""
    measure = own["measure"].iloc[0]
    first, last = (number(own["value"].iloc[i], PLACES[measure]) for i in (0, -1))
    several = " at several loads" if measure == "reps" and own["loads"].iloc[0] > 1 else ""
    return f"{first if len(own) == 1 else first + arrow + last} {UNITS[measure]}{several}"


def _set(row) -> str:
    """The set behind a point: 10 kg × 6, 2 in reserve; 18 s."""
    load = f"{number(row.load_kg)} kg" if pd.notna(row.load_kg) and row.load_kg else ""
    times = f"{number(row.reps)}" if pd.notna(row.reps) else f"{number(row.hold_s)} s" if pd.notna(row.hold_s) else ""
    reserve = f", {number(row.rir)} in reserve" if pd.notna(row.rir) else ""
    return " × ".join(filter(None, [load, times])) + reserve
