"""What an exercise trains, drawn: a bar for each head of the muscles that it trains, as long as its credit.

Full is direct, hatched is indirect, a thin bar explains only; a dashed slot is a head of the same muscle that it does not train. The
line above a bar is how far the credit reaches with one tier more or less, a hollow diamond what the other side of a dispute reads.
Positions: x is the credit, 0 to 1; y is in pixels, from the top.
"""

from __future__ import annotations

import altair as alt
import pandas as pd

from dashboard.look import PLAIN, Look, finish, layered
from dashboard.sentences.catalogue import grade_word
from dashboard.sentences.numbers import number

TIERS = (0.0, 0.25, 0.5, 1.0)
HEADING, NAME, LINE, BAR, GAP = 26, 17, 11, 14, 10  # heights in pixels, from the top of a row
THIN = 5  # pixels: the bar of a credit that explains only
STROKES = 10  # hatching of an indirect bar
KINDS = ("direct", "indirect", "hatches", "explains", "slots", "reach", "other", "headings", "names", "said")
READING = (
    "One bar for each head, as long as what a set counts for it. Full: direct, 1. Hatched: indirect, 0.5. Thin: it takes part, 0.25, which explains "
    "and stays out of totals. A dashed slot is a head of the same muscle that the exercise does not train. The line above a bar shows one tier more "
    "or less, which is how sure a credit is; a hollow diamond is what others read where coaches or studies differ. The letter is the evidence."
)


def credits(heads: pd.DataFrame, untrained: pd.DataFrame, colours: Look) -> alt.LayerChart:
    """heads: rows of `queries.catalogue.heads_of`; untrained: muscle and name of the other heads of these muscles.

    Raises ValueError without a head.
    """
    if heads.empty:
        raise ValueError("an exercise trains at least one head")
    marks, height = _lay_out(heads, untrained)
    x = alt.X("x:Q", scale=alt.Scale(domain=[0, 1.02], nice=False),
              axis=alt.Axis(title="what one hard set counts", values=list(TIERS), grid=True, titleAnchor="start", labelExpr=PLAIN))
    y = alt.Y("y:Q", scale=alt.Scale(domain=[height, 0], nice=False), axis=None)

    def made(kind: str) -> alt.Chart:
        return alt.Chart(pd.DataFrame(marks[kind], columns=["x", "x2", "y", "y2", "text"]))

    told = [alt.Tooltip("text:N", title="head")]
    layers = {
        "slots": lambda c: c.mark_rect(fillOpacity=0, stroke=colours.soft, strokeDash=[4, 3], cornerRadius=3).encode(x, y, x2=alt.X2("x2"), y2=alt.Y2("y2"), tooltip=told),
        "direct": lambda c: c.mark_rect(fill=colours.done, cornerRadius=3).encode(x, y, x2=alt.X2("x2"), y2=alt.Y2("y2"), tooltip=told),
        "indirect": lambda c: c.mark_rect(fill=colours.pale, cornerRadius=3).encode(x, y, x2=alt.X2("x2"), y2=alt.Y2("y2"), tooltip=told),
        "hatches": lambda c: c.mark_rule(stroke=colours.hatch, strokeWidth=1).encode(x, y, x2=alt.X2("x2"), y2=alt.Y2("y2")),
        "explains": lambda c: c.mark_rect(fill=colours.soft, cornerRadius=2).encode(x, y, x2=alt.X2("x2"), y2=alt.Y2("y2"), tooltip=told),
        "reach": lambda c: c.mark_rule(stroke=colours.ink, strokeWidth=2).encode(x, y, x2=alt.X2("x2"), y2=alt.Y2("y2")),
        "other": lambda c: c.mark_point(shape="diamond", size=70, fillOpacity=0, stroke=colours.missing, strokeWidth=2, opacity=1).encode(x, y, tooltip=told),
        "headings": lambda c: c.mark_text(align="left", fontSize=11, fontWeight=600, fill=colours.soft).encode(x, y, text=alt.Text("text:N")),
        "names": lambda c: c.mark_text(align="left", fontSize=13, fontWeight=600, fill=colours.ink).encode(x, y, text=alt.Text("text:N")),
        "said": lambda c: c.mark_text(align="right", fontSize=12, fill=colours.soft).encode(x, y, text=alt.Text("text:N")),
    }
    return finish(layered(*(draw(made(kind)) for kind, draw in layers.items() if marks[kind])), colours, height)


def in_words(heads: pd.DataFrame, name: str) -> str:
    """The text alternative."""
    told = [f"{row.name_} {row.tier}" for row in heads.rename(columns={"name": "name_"}).itertuples()]
    return f"What {name} trains: {'; '.join(told)}."


def _lay_out(heads: pd.DataFrame, untrained: pd.DataFrame) -> tuple[dict[str, list[tuple]], int]:
    marks: dict[str, list[tuple]] = {kind: [] for kind in KINDS}
    top = 0
    for muscle, own in heads.groupby("muscle", sort=False):
        others = untrained[untrained["muscle"] == muscle]
        if len(own) + len(others) > 1:
            marks["headings"].append((0, 0, top + HEADING - 10, 0, str(muscle).upper()))
            top += HEADING
        for row in own.rename(columns={"name": "name_"}).itertuples():
            _bar(marks, row, top)
            top += NAME + LINE + BAR + GAP
        for name in others["name"]:
            marks["names"].append((0, 0, top + 12, 0, name))
            marks["said"].append((1.02, 0, top + 12, 0, "not trained"))
            marks["slots"].append((0, 1, top + NAME + LINE, top + NAME + LINE + BAR, f"{name}: not trained"))
            top += NAME + LINE + BAR + GAP
    return marks, top


def _bar(marks: dict[str, list[tuple]], row, top: float) -> None:
    at, foot = top + NAME + LINE, top + NAME + LINE + BAR
    told = f"{row.name_}: {row.tier}"
    marks["names"].append((0, 0, top + 12, 0, row.name_))
    marks["said"].append((1.02, 0, top + 12, 0, f"{row.tier}, {grade_word(row.grade)}"))
    kind = "direct" if row.base == 1 else "indirect" if row.base == 0.5 else "explains"
    marks[kind].append((0, row.credit, foot - THIN if kind == "explains" else at, foot, told))
    if kind == "indirect":
        marks["hatches"] += [(row.credit * n / STROKES, row.credit * (n + 1) / STROKES, foot, at, "") for n in range(STROKES)]
    tier = TIERS.index(row.base)
    marks["reach"].append((TIERS[tier - 1], TIERS[min(tier + 1, len(TIERS) - 1)], at - 4, at - 4, ""))
    if row.other_reading == row.other_reading:
        marks["other"].append((row.other_reading, 0, at - 4, 0, f"others read {number(row.other_reading, 2)}: {row.note}"))
