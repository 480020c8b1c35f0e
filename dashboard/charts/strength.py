"""One exercise over time: the best set of each session with its interval, and the trend with its 80 % band."""

from __future__ import annotations

import altair as alt
import numpy as np
import pandas as pd

from dashboard.sentences.decimal_mark import told
from dashboard.sentences.numbers import day, measured, number
from dashboard.sentences.points import AT_LEAST
from dashboard.charts.picked import KEY, pickable
from dashboard.charts.trend_line import trend_line
from dashboard.look import DAY, Look, above, finish, layered
from dashboard.sentences.units import KG, as_lifted, at_load, heading_in_unit, in_unit

HEIGHT = 300
UNITS = {"e1rm": "kg", "per_kg": "kg per kg of body mass", "reps": "repetitions", "hold": "seconds"}
MEASURES = {"e1rm": "estimated one-repetition maximum, kg", "per_kg": "estimated maximum, kg per kg of body mass",
            "reps": "repetitions at one load, with those in reserve", "hold": "longest hold, seconds"}
PLACES = {"e1rm": 1, "per_kg": 2, "reps": 0, "hold": 0}
UNLOADED = "0 kg"
LATELY = pd.Timedelta(weeks=52)  # [D] in a longer one a trend of some weeks is a smudge
MONTH = "%b %Y"  # a day of the year says nothing where there are several years
COUNTED = "counts in the trend"
SHOWN = "shown only"


def strength(bests: pd.DataFrame, fit: pd.Series, colours: Look, per_hand: bool = False, began: pd.Series | None = None, unit: str = KG,
             notes: pd.DataFrame | None = None, picks: bool = False) -> alt.LayerChart:
    """Points of one exercise and measure (kept_bests rows) and its fit (a kept_strength row).

    began: its kept_onsets row; the weeks in which a dated plateau or decline began are shaded. unit: of the loads. notes: date and text of
    what a person said about the exercise; a day of a session has a pennant then. picks: a click on a point picks its day.

    Filled points count in the trend, a triangle as at least so much; hollow ones are shown only, and their note says why. The best so far is ringed where its day is drawn.
    """
    measure = fit["measure"]
    places = PLACES[measure]
    drawn = bests[["date", "value", "low", "high", "note"]].assign(  # each column is sent with each point
        use=bests["counted"].map({True: COUNTED, False: SHOWN}), **_forms((bests["note"] == AT_LEAST).to_numpy()), told=bests["value"].map(lambda value: number(value, places)),
        interval=[f"{measured(low, places)} to {measured(high, places)}" for low, high in zip(bests["low"], bests["high"], strict=True)],
        best_set=[as_lifted(*one, unit) for one in zip(*(bests[name].astype(float).tolist() for name in ("load_kg", "reps", "hold_s", "rir")), strict=True)],
        **({KEY: bests["date"].dt.strftime("%Y-%m-%d")} if picks else {}))
    title = heading_in_unit(in_unit(axis_title(measure, bests["series"].iloc[0] if len(bests) else "", per_hand), unit), unit)
    y = alt.Y("low:Q", axis=alt.Axis(**above(title), tickCount=6), scale=alt.Scale(zero=False, nice=True))
    years = bests["date"].iloc[-1] - bests["date"].iloc[0] > LATELY if len(bests) else False
    x = alt.X("date:T", axis=alt.Axis(title="session", format=MONTH if years else DAY, grid=False, tickCount=6), scale=alt.Scale(padding=14))
    return finish(layered(*_onset(began, colours), *_trend(fit, colours), *_points(drawn, x, y, colours), *_best(drawn, fit, colours, places),
                          _noted(drawn, notes, colours), _picks(drawn) if picks else None), colours, HEIGHT)


def _forms(at_least: np.ndarray) -> dict[str, np.ndarray]:
    """Shape and size of the points that count: a triangle looks smaller than a circle of its size."""
    return {"shape": np.where(at_least, "triangle-up", "circle"), "size": np.where(at_least, 95, 55)}


def lately(bests: pd.DataFrame) -> pd.DataFrame:
    """The best sets of the year up to the last one."""
    return bests if bests.empty else bests[bests["date"] > bests["date"].iloc[-1] - LATELY]


def axis_title(measure: str, series: str, per_hand: bool) -> str:
    """What is drawn, at which load or variant, and its unit."""
    if series == UNLOADED and measure == "reps":
        return "repetitions, no added load, with those in reserve"
    if series and measure == "reps":
        return f"repetitions at {told(at_load(series))}, with those in reserve"
    return MEASURES[measure] + (", per hand" if per_hand and measure == "e1rm" else "")


def in_words(bests: pd.DataFrame, fit: pd.Series, unit: str = KG) -> str:
    """The text alternative: first and last value, the trend's ends and the best."""
    unit, places = heading_in_unit(UNITS[fit["measure"]], unit), PLACES[fit["measure"]]
    first, last = bests.iloc[0], bests.iloc[-1]
    at_first, at_last = (number(one["value"], places) for one in (first, last))
    told = f"{len(bests)} sessions from {day(first['date'])} to {day(last['date'])}: {at_first} {unit} at first, {'as much' if at_first == at_last else f'{at_last} {unit}'} at last. "
    if pd.notna(fit["fit_from_value"]):
        told += (f"Trend from {number(fit['fit_from_value'], places)} to {number(fit['fit_to_value'], places)} {unit}. ")
    if pd.notna(fit["best_value"]):
        told += f"Best {number(fit['best_value'], places)} {unit}, since {day(fit['best_since'])}."
    return told.strip()


def reading(bests: pd.DataFrame, began: pd.Series | None) -> str:
    """What a triangle is, and the shade of an onset; '' without them."""
    told = [f"A triangle: {AT_LEAST}."] if bests["note"].eq(AT_LEAST).any() else []
    if _is_dated(began):
        told.append(f"Shaded weeks: where {BEGAN[began['verdict']]}, with 80 %; the dashed line is the likeliest week.")
    return " ".join(told)


BEGAN = {"plateau": "its rise ended", "declining": "it began to fall"}


def _is_dated(began: pd.Series | None) -> bool:
    return began is not None and began["state"] == "dated"


def _onset(began: pd.Series | None, colours: Look) -> list[alt.Chart]:
    """The weeks in which it began, over the whole height, and the likeliest one."""
    week = pd.Timedelta(days=7)
    base = _there([{"from": began["low"], "to": began["high"] + week, "at": began["onset"] + week / 2}] if _is_dated(began) else [])
    return [base.mark_rect(fill=colours.band, opacity=0.8).encode(alt.X("from:T"), x2=alt.X2("to")),
            base.mark_rule(stroke=colours.soft, strokeDash=[4, 3]).encode(alt.X("at:T"))]


def _there(rows: list[dict]) -> alt.Chart:
    """A layer's rows, also where there are none: with as many layers in each week a chart is written alike, and the browser does not build it anew."""
    return alt.Chart(pd.DataFrame(rows))


def _trend(fit: pd.Series, colours: Look) -> list[alt.Chart]:
    base, x = alt.Chart(trend_line(fit)), alt.X("date:T")
    return [
        base.mark_area(fill=colours.pale, opacity=0.55).encode(x, alt.Y("band_low:Q"), y2=alt.Y2("band_high")),
        base.mark_line(stroke=colours.done, strokeWidth=2).encode(x, alt.Y("value:Q")),
    ]


def _told() -> list[alt.Tooltip]:
    return [alt.Tooltip("date:T", title="session", format="%-d %B %Y"), alt.Tooltip("told:N", title="value"),
            alt.Tooltip("interval:N", title="interval"), alt.Tooltip("best_set:N", title="best set"), alt.Tooltip("use:N", title="use"),
            alt.Tooltip("note:N", title="note")]


def _points(drawn: pd.DataFrame, x: alt.X, y: alt.Y, colours: Look) -> list[alt.Chart]:
    base = alt.Chart(drawn)
    told = _told()
    at = alt.Y("value:Q")
    return [
        base.mark_rule(stroke=colours.soft, strokeWidth=1, opacity=0.7).encode(x, y, y2=alt.Y2("high")),
        base.transform_filter(alt.datum.use == COUNTED)
        .mark_point(filled=True, fill=colours.done, stroke=colours.paper, strokeWidth=1.5, opacity=1)
        .encode(x, at, alt.Shape("shape:N", scale=None, legend=None), alt.Size("size:Q", scale=None, legend=None), tooltip=told),
        base.transform_filter(alt.datum.use == SHOWN)
        .mark_point(shape="circle", size=45, filled=True, fill=colours.paper, stroke=colours.soft, strokeWidth=1.2, opacity=1)
        .encode(x, at, tooltip=told),
    ]


def _noted(drawn: pd.DataFrame, notes: pd.DataFrame | None, colours: Look) -> alt.Chart:
    """A pennant above each point of a day with a note, which tells it."""
    said = drawn.merge(notes[["date", "text"]], on="date")[["date", "high", "text"]].to_dict("records") if notes is not None else []
    told = [alt.Tooltip("date:T", title="note of", format="%-d %B %Y"), alt.Tooltip("text:N", title="note")]
    return _there(said).mark_point(shape="triangle-right", size=70, filled=True, fill=colours.missing, opacity=1, yOffset=-12, xOffset=4).encode(
        alt.X("date:T"), alt.Y("high:Q"), tooltip=told)


def _picks(drawn: pd.DataFrame) -> alt.Chart:
    """An unseen, larger point over each."""
    return pickable(alt.Chart(drawn).mark_point(shape="circle", size=220, filled=True, opacity=0).encode(alt.X("date:T"), alt.Y("value:Q"), tooltip=_told()))


def _best(drawn: pd.DataFrame, fit: pd.Series, colours: Look, places: int) -> list[alt.Chart]:
    """A ring around the best so far, with its value."""
    known = pd.notna(fit["best_value"]) and pd.notna(fit["best_since"]) and not drawn.empty and pd.Timestamp(fit["best_since"]) >= drawn["date"].iloc[0]
    point = [{"date": fit["best_since"], "value": fit["best_value"], "text": f"best {number(fit['best_value'], places)}"}] if known else []
    base = _there(point).encode(alt.X("date:T"), alt.Y("value:Q"))
    return [base.mark_point(shape="circle", size=170, filled=False, stroke=colours.missing, strokeWidth=1.5),
            base.mark_text(align="right", dx=-12, dy=-10, fontSize=12, fill=colours.missing).encode(text=alt.Text("text:N"))]
