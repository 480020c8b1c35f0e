"""Rates of change with their intervals: a line for each part or exercise, its verdict written beside its name."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil

import altair as alt
import pandas as pd
import pyarrow as pa

from dashboard.charts.picked import frame, pickable
from dashboard.sentences.numbers import signed
from dashboard.look import Look, finish, layered

STRENGTH, REPETITIONS = "strength", "repetitions or seconds"
FAR = 4  # times the median end
ROW = 40  # pixels: the name and its verdict, and the interval below them
NAME, BAR = 0.33, 0.66  # of a row, from its top
WORDS = {"declining": "declining", "plateau": "plateau", "progressing": "progressing", "undecided": "undecided",
         "hold": "on hold", "too_little_data": "too little data yet"}
SHAPES = {"declining": "triangle-down", "plateau": "square", "progressing": "triangle-up", "undecided": "circle", "on hold": "stroke"}


def rates(rows: pd.DataFrame, colours: Look, what: str = STRENGTH, picked: str | None = None) -> alt.LayerChart:
    """Of what the change is; `name`, `verdict`, `rate_pct_week`, `rate_low`, `rate_high`: one line each, in their order, around no change.

    picked: the `key` of the line that is picked, '' for none of them; None where lines cannot be picked and have no key.
    """
    drawn = _drawn(rows, _far(rows))
    # How many lines there are and how far the axis reaches follows from the rows alone: a chart that is written alike is not built anew by the browser.
    known = alt.Chart(_table(row for row in drawn if pd.notna(row["rate_low"]) and pd.notna(row["rate_high"])))
    axis = alt.Axis(title=f"change of {what}, % a week", tickCount=5, labelExpr="datum.value ? format(datum.value, '+.1~f') : '0'")
    x = alt.X("low:Q", scale=alt.Scale(nice=False, zero=False), axis=axis)
    named, line, whole = (alt.Y("line:O", axis=None, scale=alt.Scale(padding=0), **place) for place in ({"bandPosition": NAME}, {"bandPosition": BAR}, {}))
    shape = alt.Shape("word:N", scale=alt.Scale(domain=list(SHAPES), range=list(SHAPES.values())), legend=None)
    every = alt.Chart(_table(drawn))
    told = [alt.Tooltip("name:N"), alt.Tooltip("word:N", title="verdict"), alt.Tooltip("told:N", title="% a week"), alt.Tooltip("interval:N", title="80 % interval")]
    across = {"x": alt.X("start:Q"), "x2": alt.X2("end"), "y": whole}
    behind = [alt.Chart(_table(row for row in drawn if row["key"] == picked)).mark_rect(xOffset=-4, x2Offset=4, height=alt.RelativeBandSize(band=0.95), **frame(colours))
              .encode(**across)] if picked else []
    over = [] if picked is None else [pickable(every.mark_rect(fillOpacity=0).encode(**across, tooltip=told))]
    return finish(layered(
        alt.Chart(pa.table({"zero": [0.0]})).mark_rule(stroke=colours.soft, strokeWidth=1).encode(alt.X("zero:Q")),
        *behind,
        known.mark_rule(stroke=colours.pale, strokeWidth=7, strokeCap="round", clip=True).encode(x, line, x2=alt.X2("high")),
        known.mark_point(size=80, filled=True, fill=colours.done, stroke=colours.paper, strokeWidth=1, opacity=1)
        .encode(alt.X("rate_pct_week:Q"), line, shape=shape, tooltip=told),
        # A halo, so that a long name stays readable over the line of no change.
        every.mark_text(align="left", fontWeight=600, fontSize=13, fill=colours.paper, stroke=colours.paper, strokeWidth=4)
        .encode(alt.X("start:Q"), named, text=alt.Text("name:N")),
        every.mark_text(align="left", fontWeight=600, fontSize=13, fill=colours.ink).encode(alt.X("start:Q"), named, text=alt.Text("name:N")),
        every.mark_text(align="right", fontSize=12, fill=colours.soft).encode(alt.X("end:Q"), named, text=alt.Text("word:N")),
        *over,
    ), colours, alt.Step(ROW))


def _drawn(rows: pd.DataFrame, far: float) -> list[dict]:
    """What each line tells and where its ends stand, in % a week. In lists: a frame takes several times as long for so few rows."""
    columns = [name for name in ("name", "verdict", "rate_pct_week", "rate_low", "rate_high", "key") if name in rows]
    lines = [dict(zip(columns, values, strict=True)) for values in zip(*(rows[name].tolist() for name in columns), strict=True)]
    return [line | {
        "line": i, "start": -far, "end": far, "low": max(line["rate_low"], -far), "high": min(line["rate_high"], far),
        "word": WORDS.get(line["verdict"], line["verdict"]), "told": signed(line["rate_pct_week"], 2),
        "interval": f"{signed(line['rate_low'], 2)} to {signed(line['rate_high'], 2)}"} for i, line in enumerate(lines)]


def _table(drawn: Iterable[dict]) -> pa.Table:
    return pa.Table.from_pylist(list(drawn))


def in_words(rows: pd.DataFrame, what: str = STRENGTH) -> str:
    """The text alternative: each verdict with its rate and interval."""
    told = [f"{row.name_}: {WORDS.get(row.verdict, row.verdict)}"
            + (f", {signed(row.rate_pct_week, 2)} % a week ({signed(row.rate_low, 2)} to {signed(row.rate_high, 2)})"
               if pd.notna(row.rate_low) else "")
            for row in rows.rename(columns={"name": "name_"}).itertuples()]
    return f"Change of {what}, with 80 % intervals. " + "; ".join(told) + "."


def rate_in_words(row) -> str:
    """+0.60 % a week (+0.20 to +1.00), or '' where there is no verdict yet."""
    if pd.isna(row.rate_pct_week) or row.verdict == "too_little_data":
        return ""
    return f"{signed(row.rate_pct_week, 2)} % a week ({signed(row.rate_low, 2)} to {signed(row.rate_high, 2)})"


def _far(rows: pd.DataFrame) -> float:
    """How far the axis reaches either way, in whole or half %: every end of an interval, but not one far beyond the rest."""
    ends = rows[["rate_low", "rate_high"]].abs().stack().dropna()
    most = max(rows["rate_pct_week"].abs().max(), min(ends.max(), FAR * ends.median())) if len(ends) else 0
    return max(1.0, ceil(2.1 * most) / 2)
