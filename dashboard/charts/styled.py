"""Marks of several looks in one layer: each row brings its own. A chart of few layers is written alike in every week, and a browser builds no other one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import altair as alt
import pyarrow as pa

Looks = Mapping[str, Mapping[str, Any]]  # kind of mark -> what each of its rows brings
STROKE = ("stroke", "strokeWidth", "dash", "gap")  # what a row with a stroke brings: its colour, and the rest in pixels


def rows_of(marks: Mapping[str, Iterable[dict]], looks: Looks) -> pa.Table:
    """The marks of these kinds, each with the look of its kind, in the order of `looks`: the last is drawn over the others.

    A row that lacks what another has, has null there; without a row there is no column either.
    """
    rows = [{**row, **look} for kind, look in looks.items() for row in marks[kind]]
    names = dict.fromkeys(name for row in rows for name in row)
    return pa.table({name: [row.get(name) for row in rows] for name in names})


def of_row(*names: str) -> dict[str, alt.Expr]:
    """Properties of a mark that each row brings, by their names."""
    return {name: alt.expr(f"datum.{name}") for name in names}


def stroke_of_row() -> dict[str, alt.Expr]:
    """The stroke that each row brings (STROKE). Dash and gap are two numbers: a list in a cell would reach the browser as no list, and be drawn solid."""
    return of_row("stroke", "strokeWidth") | {"strokeDash": alt.expr("[datum.dash, datum.gap]")}


def stroke(colour: str, width: float, dash: float = 1.0, gap: float = 0.0) -> dict[str, Any]:
    """What a row brings for `stroke_of_row`; solid without a gap."""
    return dict(zip(STROKE, (colour, width, dash, gap), strict=True))
