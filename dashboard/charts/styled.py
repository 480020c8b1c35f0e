"""Marks of several looks in one layer: each row brings its own. A chart of few layers is written alike in every week, and a browser builds no other one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import altair as alt
import pyarrow as pa


def rows_of(marks: Mapping[str, Iterable[dict]], looks: Mapping[str, Mapping[str, Any]]) -> pa.Table:
    """The marks of these kinds, each with the look of its kind, in the order of `looks`: the last is drawn over the others.

    A row that lacks what another has, has null there; without a row there is no column either.
    """
    rows = [{**row, **look} for kind, look in looks.items() for row in marks[kind]]
    names = dict.fromkeys(name for row in rows for name in row)
    return pa.table({name: [row.get(name) for row in rows] for name in names})


def of_row(*names: str) -> dict[str, alt.Expr]:
    """Properties of a mark that each row brings, by their names."""
    return {name: alt.expr(f"datum.{name}") for name in names}
