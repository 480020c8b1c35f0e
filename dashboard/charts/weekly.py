"""Weekly hard sets as bars: what is usual, what was planned, and the weeks that stood out."""

from __future__ import annotations

from math import ceil

import altair as alt
import pandas as pd

from dashboard.charts.picked import frame, pickable
from dashboard.sentences.dose import between
from dashboard.sentences.numbers import day, number
from dashboard.look import DAY, Look, above, finish, layered

HEIGHT = 220
LETTER, SHAPE = 6.2, 24  # pixels: of a word written upward, and of the shape below it
DAYS_NAMED = 6
EASY = ("deload", "holiday", "illness", "layoff", "return")
MARKS = {"step_up": "step up", "spike": "spike", "large_spike": "large spike"}
AS_PLANNED = {"": "planned", "step up": "step, planned", "spike": "spike, planned", "large spike": "large, planned"}
STATES = {"deload": "deload", "holiday": "holiday", "illness": "illness", "layoff": "layoff", "return": "return", "baseline": "baseline"}
READING = "Line across a bar: what is usual. Pale and dashed: an easy, returning or running week. A week that stood out has a shape and a word."
BANDED = " Shaded: the band."
RANGED = " Upright line: how sure the number is, from each credit one tier lower to one higher."
PLANNED = " Thin outline: what was planned."
INCREASE = ' A hollow shape and the word "planned": an increase that was planned.'
SHAPES = {"step up": "triangle-up", "spike": "diamond", "large spike": "cross"}
PLANNED_SHAPE = {"planned": "circle"}  # of a marked week in which nothing stood out


def weekly(series: pd.DataFrame, colours: Look, picked: str | None = None) -> alt.LayerChart:
    """Bars of `load` by `week` with `usual`; optional low, high, band_low, band_high, planned, mark, state, so_far, planned_increase.

    Bars of an easy, returning or running week are pale, dashed and (but for the last) named; a mark has a shape and a word,
    and the shape is hollow where the increase was planned. picked: the Monday of the week that is picked, as an ISO date, '' for none; None where
    weeks cannot be picked.
    """
    drawn = _columns(series)
    base = alt.Chart(drawn)
    x = alt.X("left:T", scale=alt.Scale(nice=False),
              axis=alt.Axis(title="week, by its Monday", format=DAY, grid=False, values=_mondays(drawn)))
    y = alt.Y("load:Q", axis=alt.Axis(**above("hard sets a week"), tickCount=5), scale=alt.Scale(domain=[0, _top(drawn)], nice=False))
    layers = [_column(alt.Chart(drawn[drawn["key"] == picked]), x, _top(drawn), **frame(colours))] if picked else []
    layers += [_band(drawn, colours, x, y)] if drawn["band_low"].notna().any() else []
    full = ~alt.datum.easy
    layers += [
        base.transform_filter(full).mark_rect(fill=colours.done, cornerRadius=2).encode(x, y, x2=alt.X2("until"), y2=alt.Y2("zero")),
        base.transform_filter(~full).mark_rect(fill=colours.pale, stroke=colours.done, strokeDash=[3, 2], cornerRadius=2)
        .encode(x, y, x2=alt.X2("until"), y2=alt.Y2("zero")),
        base.mark_rule(stroke=colours.ink, strokeWidth=2).encode(x, alt.Y("usual:Q"), x2=alt.X2("until")),
    ]
    if drawn["planned"].notna().any():
        outline = base.mark_rect(fillOpacity=0, stroke=colours.ink, strokeWidth=1, cornerRadius=2)
        layers.append(outline.encode(x, alt.Y("planned:Q"), x2=alt.X2("until"), y2=alt.Y2("zero")))
    if ranged := bool(drawn["high"].notna().any()):
        sure = base.transform_filter(alt.datum.high > alt.datum.low)
        layers.append(sure.mark_rule(stroke=colours.ink, strokeWidth=1.5).encode(alt.X("week:T"), alt.Y("low:Q"), y2=alt.Y2("high")))
    over = _hover(base, x, _top(drawn), ranged)
    layers += _named(drawn, colours) + [over if picked is None else pickable(over)]
    return finish(layered(*layers), colours, HEIGHT)


def reading(series: pd.DataFrame) -> str:
    """How to read the chart of this series."""
    said = {"low": RANGED, "planned": PLANNED, "band_low": BANDED}
    increase = INCREASE if "planned_increase" in series and series["planned_increase"].eq(True).any() else ""
    return READING + "".join(text for column, text in said.items() if column in series and series[column].notna().any()) + increase


def in_words(series: pd.DataFrame, subject: str) -> str:
    """The text alternative: the last week, with its range, against usual, and every week that stood out."""
    drawn = _columns(series)
    last = drawn.iloc[-1]
    stood = [f"{day(row.week)}: {row.told}, {number(row.load)} sets{between(row.low, row.high)}" for row in drawn.itertuples() if row.told]
    usual = f", usual {number(last.usual)}" if pd.notna(last.usual) else ", no usual yet"
    return (f"Hard sets a week, {subject}, {len(series)} weeks. Week of {day(last.week)}: {number(last.load)}{between(last.low, last.high)}{usual}. "
            + ("Stood out: " + "; ".join(stood) + "." if stood else "No week stood out."))


def _columns(series: pd.DataFrame) -> pd.DataFrame:
    """The series with what drawing needs: where a bar ends, the words of marks and states, blanks for what is absent."""
    for absent, blank in (("low", None), ("high", None), ("band_low", None), ("band_high", None), ("planned", None), ("mark", ""), ("state", ""), ("so_far", False),
                          ("planned_increase", False)):
        if absent not in series:
            series = series.assign(**{absent: blank})
    mark = series["mark"].map(MARKS).fillna("")
    state = series["state"].map(STATES).fillna("")
    planned = series["planned_increase"].eq(True)
    label = mark.where(mark != "", state.where(series["state"] != "baseline", ""))
    half = pd.Timedelta(days=3)
    return series.assign(
        key=series["week"].dt.strftime("%Y-%m-%d"), left=series["week"] - half, until=series["week"] + half, zero=0.0, mark=mark, state=state,
        easy=series["state"].isin(EASY) | series["so_far"].fillna(False).astype(bool),
        so_far=series["so_far"].fillna(False).astype(bool), hollow=planned,
        label=label.mask(planned, label.map(AS_PLANNED).fillna(label + ", planned")), told=label.mask(planned, (label + ", planned").str.removeprefix(", ")),
        tall=series[["load", "high", "usual", "planned"]].max(axis=1), kind=mark.mask(planned & (mark == ""), "planned"),
        told_load=series["load"].map(number), told_range=[between(*ends).strip(" ()") for ends in zip(series["low"], series["high"], strict=True)],
        told_usual=series["usual"].map(number))


def _top(drawn: pd.DataFrame) -> float:
    """Room above each bar, and above a bar with a word for that word."""
    named = drawn[drawn["label"] != ""]
    word = SHAPE + LETTER * named["label"].str.len()
    return max(4.0, 1.08 * drawn["tall"].max(), (named["tall"] * HEIGHT / (HEIGHT - word)).max() if len(named) else 0.0)


def _mondays(drawn: pd.DataFrame) -> list[alt.DateTime]:
    """Every so many Mondays, the last among them, so that the days have room on a narrow screen."""
    weeks = drawn["week"].sort_values().tolist()
    return [_when(week) for week in weeks[:: -ceil(len(weeks) / DAYS_NAMED)][::-1]]


def _when(day: pd.Timestamp) -> alt.DateTime:
    return alt.DateTime(year=day.year, month=day.month, date=day.day)


def _band(drawn: pd.DataFrame, colours: Look, x: alt.X, y: alt.Y) -> alt.Chart:
    ends = drawn.assign(band_top=drawn["band_high"].clip(upper=_top(drawn)), right=drawn["week"] + pd.Timedelta(days=4))
    return alt.Chart(ends).mark_rect(fill=colours.band).encode(x, alt.Y("band_low:Q"), x2=alt.X2("right"), y2=alt.Y2("band_top"))


def _named(drawn: pd.DataFrame, colours: Look) -> list[alt.Chart]:
    """A shape and a word over each week that stood out."""
    said = drawn.loc[drawn["label"] != "", ["week", "tall", "kind", "label", "hollow"]]
    marked = said[said["kind"] != ""]
    x, y, shapes = alt.X("week:T"), alt.Y("tall:Q"), SHAPES | PLANNED_SHAPE
    shape = alt.Shape("kind:N", scale=alt.Scale(domain=list(shapes), range=list(shapes.values())), legend=None)
    layers = []
    for hollow, these in marked.groupby("hollow"):
        fill = colours.paper if hollow else colours.missing
        point = alt.Chart(these).mark_point(size=70, filled=True, fill=fill, stroke=colours.missing, strokeWidth=1.5 if hollow else 0, opacity=1, yOffset=-9)
        layers.append(point.encode(x, y, shape=shape))
    if not said.empty:
        word = alt.Chart(said).mark_text(angle=270, align="left", baseline="middle", dx=18, fontSize=12, fill=colours.ink)
        layers.append(word.encode(x, y, text=alt.Text("label:N")))
    return layers


def _hover(base: alt.Chart, x: alt.X, top: float, ranged: bool) -> alt.Chart:
    told = [alt.Tooltip("week:T", title="week of", format="%-d %B %Y"), alt.Tooltip("told_load:N", title="hard sets"),
            *([alt.Tooltip("told_range:N", title="if each credit moves a tier")] if ranged else []), alt.Tooltip("told_usual:N", title="usual"), alt.Tooltip("told:N", title="stands out")]
    return _column(base, x, top, fillOpacity=0).encode(tooltip=told)


def _column(base: alt.Chart, x: alt.X, top: float, **style: object) -> alt.Chart:
    """A week over the whole height."""
    return base.mark_rect(**style).encode(x, alt.YDatum(0), x2=alt.X2("until"), y2=alt.datum(top))
