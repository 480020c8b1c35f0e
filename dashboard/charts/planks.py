"""Two planks for each part, one above the other: this week and what is usual, or one stretch of weeks and another.

The upper plank is full, the lower one hatched and pale; the upright line across a plank's end is how sure the number is. Positions: x is hard
sets; y is in pixels, from the top.
"""

from __future__ import annotations

from math import ceil

import altair as alt
import pandas as pd

from dashboard.charts.lines import long
from dashboard.look import PLAIN, Look, finish, layered
from dashboard.sentences.dose import between
from dashboard.sentences.numbers import begun, number

NAME, PLANK, APART, GAP = 17, 11, 3, 14  # heights in pixels
STROKE = 7  # pixels that a stroke of the hatching is wide, on a picture of 700
ROOM = 1.4  # times the longest plank, at least: for the numbers behind it
NARROW, BEHIND = 310.0, 14  # pixels of a narrow picture, and of what stands around a number
LEAST = 8.0  # hard sets that the picture is wide; with fewer, two sets would look like a week's work
SIDES = ("upper", "lower")


def planks(rows: pd.DataFrame, names: tuple[str, str], colours: Look, unit: str = "hard sets") -> alt.LayerChart:
    """rows: `name`, upper, upper_low, upper_high, lower, lower_low, lower_high, hard sets, nan where there is none; in their order.

    names: of the upper and the lower plank, in a few words. Raises ValueError without a row.
    """
    if rows.empty:
        raise ValueError("planks need at least one part")
    made, far = _laid(rows, names)
    height, hatches = int(made["foot"].max()) + GAP, _hatches(made, far)
    scale = alt.Scale(domainMin=0, domainMax=_end(made, far), nice=False, zero=False)
    x = alt.X("zero:Q", scale=scale, axis=alt.Axis(title=unit, titleAnchor="start", tickCount=6, grid=False, labelExpr=PLAIN))
    y = alt.Y("top:Q", scale=alt.Scale(domain=[height, 0], nice=False, zero=False), axis=None)
    told = [alt.Tooltip("part:N", title="part"), alt.Tooltip("which:N", title="plank"), alt.Tooltip("said:N", title=unit)]
    base = alt.Chart(made)
    # A layer without a mark would be a picture without a word for a screen reader.
    upper, lower, ranged = (alt.Chart(own) if len(own) else None for own in (*(made[made["side"] == side] for side in SIDES), made[made["high"] > made["low"]]))
    return finish(layered(
        upper and upper.mark_rect(fill=colours.done, cornerRadius=2).encode(x, y, x2=alt.X2("value"), y2=alt.Y2("foot"), tooltip=told),
        lower and lower.mark_rect(fill=colours.pale, stroke=colours.hatch, strokeDash=[3, 2], cornerRadius=2).encode(x, y, x2=alt.X2("value"), y2=alt.Y2("foot"), tooltip=told),
        *([alt.Chart(hatches).mark_rule(stroke=colours.hatch, strokeWidth=1).encode(alt.X("x:Q"), alt.Y("y:Q"), x2=alt.X2("x2"), y2=alt.Y2("y2"))] if len(hatches) else []),
        *(ranged and ranged.mark_rule(stroke=stroke, strokeWidth=wide).encode(alt.X("low:Q"), alt.Y("middle:Q"), x2=alt.X2("high")) for stroke, wide in ((colours.paper, 5), (colours.ink, 2))),
        base.mark_text(align="left", baseline="middle", dx=5, fontSize=12, fill=colours.soft).encode(alt.X("end:Q"), alt.Y("middle:Q"), text=alt.Text("said:N")),
        base.transform_filter(alt.datum.first).mark_text(align="left", baseline="alphabetic", fontWeight=600, fontSize=12, fill=colours.ink)
        .encode(alt.XDatum(0), alt.Y("name_y:Q"), text=alt.Text("part:N")),
    ), colours, height)


def reading(names: tuple[str, str], ranged: bool) -> str:
    """What the two planks are. ranged: whether any has a range."""
    return f"Upper, full: {names[0]}. Lower, hatched: {names[1]}." + (" Line across: how sure the number is, from each credit one tier lower to one higher." if ranged else "")


def in_words(rows: pd.DataFrame, names: tuple[str, str], what: str) -> str:
    """The text alternative. what: what all of it is, as the beginning of a sentence."""
    told = ["; ".join(filter(None, [f"{begun(row.part)}: {_said(row.upper, row.upper_low, row.upper_high)} {names[0]}" if pd.notna(row.upper) else "",
                                    f"{'' if pd.notna(row.upper) else begun(row.part) + ': '}{_said(row.lower, row.lower_low, row.lower_high)} {names[1]}" if pd.notna(row.lower) else ""]))
            for row in rows.rename(columns={"name": "part"}).itertuples()]
    return f"{what}. {'. '.join(told)}."


def _laid(rows: pd.DataFrame, names: tuple[str, str]) -> tuple[pd.DataFrame, float]:
    """One row per plank, and how far the longest reaches."""
    made, top = [], 0
    for row in rows.rename(columns={"name": "part"}).to_dict("records"):
        top, first = top + NAME, True
        for side, which in zip(SIDES, names, strict=True):
            value, low, high = row[side], row[f"{side}_low"], row[f"{side}_high"]
            if pd.isna(value):
                continue
            end = max(value, high) if pd.notna(high) else value
            made.append({"part": begun(row["part"]), "side": side, "which": which, "zero": 0.0, "value": value, "low": low, "high": high, "end": end, "top": top,
                         "foot": top + PLANK, "middle": top + PLANK / 2, "name_y": top - 4, "first": first, "said": _said(value, low, high)})
            top, first = top + PLANK + APART, False
        top += GAP - APART
    laid = pd.DataFrame(made)
    return laid, max(LEAST, ceil(laid["end"].max()))


def _end(made: pd.DataFrame, far: float) -> alt.Expr:
    """How far the axis goes: so that the number behind each plank ends within the picture, however narrow that is."""
    room = made["said"].map(long) + BEHIND
    tight = (made["end"] / (1 - (room / NARROW).clip(upper=0.8))).idxmax()
    return alt.expr(f"max({ROOM * far}, {made['end'][tight]} / (1 - min(0.8, {room[tight]} / width)))")


def _hatches(made: pd.DataFrame, far: float) -> pd.DataFrame:
    """Slanting strokes over each lower plank."""
    step = far * STROKE / 700
    strokes = [{"x": at, "x2": min(at + step, row.value), "y": row.foot, "y2": row.top} for row in made[made["side"] == "lower"].itertuples()
               for at in (i * 2 * step for i in range(int(row.value / (2 * step)) + 1)) if at < row.value]
    return pd.DataFrame(strokes, columns=["x", "x2", "y", "y2"])


def _said(value: float, low: float, high: float) -> str:
    return f"{number(value)}{between(low, high)}"
