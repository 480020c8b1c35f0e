"""The calibration in pictures: what is found by when, which verdict at which true rate, which jump is seen."""

from __future__ import annotations

import altair as alt
import pandas as pd

from dashboard.look import Look, above, finish, layered
from dashboard.sentences.numbers import number

HEIGHT = 260
VERDICTS = ("progressing", "undecided", "plateau", "declining")
SHAPES = ("circle", "square", "diamond", "triangle-up")
DASHES = ([1, 0], [6, 3], [2, 3], [10, 3, 2, 3], [4, 2], [1, 4])
ROOM_FOR_A_WORD = 9  # per cent of a bar
POINTS_TOLD = 7  # of a line, in words
AXES = {
    "found": "weeks after the gain stopped", "jumps": "larger than usual, %", "cover": "true rate, % a week", "verdicts": "true rate, % a week",
}
ENDS = {"found": "stops found, %", "jumps": "changes found, %", "cover": "weeks whose interval holds the truth, %", "verdicts": "weeks, %"}


def lines(points: pd.DataFrame, colours: Look) -> alt.LayerChart:
    """A line for each series of one curve, from its `x` and `value` (%), with a shade from `low` to `high`."""
    curve, series = points["curve"].iloc[0], list(dict.fromkeys(points["series"]))
    base = alt.Chart(_told(points))
    x = alt.X("x:Q", axis=alt.Axis(title=AXES.get(curve, points["x_unit"].iloc[0]), grid=False, tickCount=6), scale=alt.Scale(nice=False))
    y = alt.Y("value:Q", axis=_per_cent(curve), scale=alt.Scale(domain=[0, 100]))
    legend = _legend(1, symbolStrokeWidth=2, symbolSize=250)
    colour = alt.Color("series:N", sort=series, scale=alt.Scale(domain=series, range=_turns(_strokes(colours), series)), legend=legend)
    dash = alt.StrokeDash("series:N", sort=series, scale=alt.Scale(domain=series, range=_turns(DASHES, series)), legend=legend)
    shades = [alt.Chart(points[points["series"] == one]).mark_area(fill=fill, opacity=0.16).encode(x, alt.Y("low:Q"), y2=alt.Y2("high"))
              for one, fill in zip(series, _turns(_strokes(colours), series), strict=True)]
    return finish(layered(
        *shades,
        base.mark_line(strokeWidth=2).encode(x, y, strokeDash=dash, color=colour),
        base.mark_point(size=60, opacity=0).encode(x, y, tooltip=_tooltip(curve)),
    ), colours, HEIGHT)


def shares(points: pd.DataFrame, colours: Look) -> alt.LayerChart:
    """A bar for each true rate: the share of weeks in each verdict, written in the bars where there is room."""
    drawn = _stacked(_told(points))
    x = alt.X("at:O", sort=None, axis=alt.Axis(title=AXES["verdicts"], labelAngle=0, grid=False))
    y = alt.Y("from:Q", axis=_per_cent("verdicts"), scale=alt.Scale(domain=[0, 100]))
    fills = alt.Scale(domain=list(VERDICTS), range=[colours.done, colours.band, colours.pale, colours.plank])
    on_dark = alt.condition(alt.datum.series == "progressing", alt.value(colours.paper), alt.value(colours.ink))
    return finish(layered(
        alt.Chart(drawn).mark_bar(stroke=colours.paper, strokeWidth=1).encode(
            x, y, y2=alt.Y2("to"), fill=alt.Fill("series:N", scale=fills, sort=list(VERDICTS), legend=_legend(2)), tooltip=_tooltip("verdicts")),
        alt.Chart(drawn[drawn["value"] >= ROOM_FOR_A_WORD]).mark_text(fontSize=12).encode(x, alt.Y("middle:Q"), text=alt.Text("share:N"), fill=on_dark),
    ), colours, HEIGHT)


def points(curve: pd.DataFrame, colours: Look, aim: float | None = None) -> alt.LayerChart:
    """A point with its interval for each `x` and series; `aim`: the level that is meant, as a dashed line."""
    name, series = curve["curve"].iloc[0], list(dict.fromkeys(curve["series"]))
    base = alt.Chart(_told(curve))
    x = alt.X("at:O", sort=None, axis=alt.Axis(title=AXES.get(name, curve["x_unit"].iloc[0]), labelAngle=0, grid=False))
    scale = alt.Scale(domain=[0 if aim is None else 50, 100])
    y = alt.Y("value:Q", axis=_per_cent(name), scale=scale)
    legend = _legend(2) if len(series) > 1 else None
    shape = alt.Shape("series:N", sort=series, scale=alt.Scale(domain=series, range=_turns(SHAPES, series)), legend=legend)
    colour = alt.Fill("series:N", sort=series, scale=alt.Scale(domain=series, range=_turns(_strokes(colours), series)), legend=legend)
    beside = alt.XOffset("series:N", sort=series)
    aimed = alt.Chart(pd.DataFrame({"aim": [aim]})).mark_rule(stroke=colours.ink, strokeDash=[4, 3]).encode(alt.Y("aim:Q", scale=scale))
    return finish(layered(
        *([aimed] if aim is not None else []),
        base.mark_rule(stroke=colours.soft, strokeWidth=2).encode(x, alt.Y("low:Q", scale=scale), y2=alt.Y2("high"), xOffset=beside),
        base.mark_point(size=80, filled=True, opacity=1, stroke=colours.paper, strokeWidth=1)
        .encode(x, y, xOffset=beside, shape=shape, fill=colour, tooltip=_tooltip(name)),
    ), colours, HEIGHT)


def in_words(curve: pd.DataFrame, title: str) -> str:
    """The text alternative: each series with its values."""
    name = AXES.get(curve["curve"].iloc[0], "")
    told = [f"{series}: " + ", ".join(f"{number(row.value, 0)} % at {number(row.x, 2)}" for row in _some(own).itertuples())
            for series, own in curve.groupby("series", sort=False)]
    return f"{title}, by {name}. " + "; ".join(told) + "."


def _some(own: pd.DataFrame) -> pd.DataFrame:
    """Few enough points to be listened to: every so many, the first and the last among them."""
    step = max(1, (len(own) - 1) // POINTS_TOLD)
    return own if step == 1 else pd.concat([own.iloc[:-1:step], own.iloc[[-1]]])


def _told(points: pd.DataFrame) -> pd.DataFrame:
    """With each figure in words, and where it stands on a divided axis; in the order of x."""
    ordered = points.sort_values("x", kind="stable")
    return ordered.assign(told=[f"{number(row.value)} % ({number(row.low)} to {number(row.high)})" for row in ordered.itertuples()],
                          at=ordered["x"].map(lambda x: ("+" if x > 0 else "") + number(x, 2)))


def _stacked(points: pd.DataFrame) -> pd.DataFrame:
    place = {word: i for i, word in enumerate(VERDICTS)}
    ordered = points.assign(place=points["series"].map(place)).sort_values(["x", "place"])
    top = ordered.groupby("x")["value"].cumsum()
    return ordered.assign(**{"from": top - ordered["value"], "to": top}, middle=top - ordered["value"] / 2,
                          share=ordered["value"].map(lambda value: f"{number(value, 0)} %"))


def _per_cent(curve: str) -> alt.Axis:
    return alt.Axis(**above(ENDS.get(curve, "%")), tickCount=5)


def _legend(columns: int, **look: object) -> alt.Legend:
    """Below the picture, where it takes no room from the axis' title."""
    return alt.Legend(title=None, orient="bottom", columns=columns, labelLimit=320, **look)


def _strokes(colours: Look) -> tuple[str, ...]:
    return colours.done, colours.missing, colours.ink, colours.hatch, colours.soft, colours.plank


def _turns(values: tuple, series: list[str]) -> list:
    """A value for each series, from the first again where they run out."""
    return [values[i % len(values)] for i in range(len(series))]


def _tooltip(curve: str) -> list[alt.Tooltip]:
    return [alt.Tooltip("series:N", title="case"), alt.Tooltip("at:N", title=AXES.get(curve, "at")), alt.Tooltip("told:N", title="share, with its interval")]
