"""Two exercises head by head: a point for each on the scale of credits, joined by a line; a circle and a square tell them apart."""

from __future__ import annotations

import altair as alt
import pandas as pd

from dashboard.look import PLAIN, Look, finish, layered
from dashboard.sentences.catalogue import compared_words
from dashboard.sentences.numbers import number

ROW = 40  # pixels
READING = ("Each line is one head; the circle is the first exercise, the square the second, where each stands on what one set counts. Each credit is unsure "
           "by one tier: where that could turn the order, and no study found it so, the two are not distinguishable.")


def compared(rows: pd.DataFrame, names: tuple[str, str], colours: Look) -> alt.LayerChart:
    """rows: those of `queries.catalogue.compared`. Raises ValueError without a row."""
    if rows.empty:
        raise ValueError("two exercises train at least one head")
    height = ROW * len(rows)
    drawn = rows.assign(name_y=[i * ROW + 13 for i in range(len(rows))], y=[i * ROW + 27 for i in range(len(rows))], said=[compared_words(row) for row in rows.itertuples()])
    alike = drawn["credit_a"] == drawn["credit_b"]
    points = pd.concat([drawn.assign(credit=drawn[f"credit_{side}"], which=name, grade=drawn[f"grade_{side}"], y=drawn["y"] + alike * aside)
                        for side, name, aside in zip("ab", names, (-4, 4), strict=True)])
    scale = alt.Scale(domain=[-0.03, 1.03], nice=False)
    x = alt.X("credit:Q", scale=scale, axis=alt.Axis(title="what one hard set counts", values=[0, 0.25, 0.5, 1], titleAnchor="start", labelExpr=PLAIN))
    y = alt.Y("y:Q", scale=alt.Scale(domain=[height, 0], nice=False), axis=None)
    shape = alt.Shape("which:N", scale=alt.Scale(domain=list(names), range=["circle", "square"]), legend=alt.Legend(orient="top", title=None, columns=1, labelLimit=320))
    fill = alt.Fill("which:N", scale=alt.Scale(domain=list(names), range=[colours.done, colours.missing]), legend=None)
    row = alt.Chart(drawn)
    return finish(layered(
        row.mark_rule(stroke=colours.line, strokeWidth=4, strokeCap="round").encode(alt.X("credit_a:Q", scale=scale), y, x2=alt.X2("credit_b")),
        alt.Chart(points).mark_point(size=90, filled=True, stroke=colours.paper, strokeWidth=1, opacity=1).encode(
            x, y, shape=shape, fill=fill, tooltip=[alt.Tooltip("name:N", title="head"), alt.Tooltip("which:N", title="exercise"),
                                                   alt.Tooltip("credit:Q", title="credit"), alt.Tooltip("grade:N", title="evidence")]),
        row.mark_text(align="left", fontWeight=600, fontSize=13, fill=colours.ink).encode(alt.XDatum(-0.03), alt.Y("name_y:Q"), text=alt.Text("name:N")),
        row.mark_text(align="right", fontSize=12, fill=colours.soft).encode(alt.XDatum(1.03), alt.Y("name_y:Q"), text=alt.Text("said:N")),
    ), colours, height)


def in_words(rows: pd.DataFrame, names: tuple[str, str]) -> str:
    """The text alternative."""
    told = [f"{row.name_} {number(row.credit_a, 2)} and {number(row.credit_b, 2)}, {compared_words(row)}" for row in rows.rename(columns={"name": "name_"}).itertuples()]
    return f"{names[0]} and {names[1]}, what one set counts: {'; '.join(told)}."
