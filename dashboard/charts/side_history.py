"""One side against the other over time: each session's difference, and the median of eight weeks, around no difference."""

from __future__ import annotations

import altair as alt
import pandas as pd

from dashboard.look import DAY, Look, above, finish, layered
from dashboard.sentences.balance import SIDE_MEASURES, side_interval, values_are
from dashboard.sentences.numbers import counted, day, number

HEIGHT = 150
READING = ("Above the middle line the left side is the weaker one, below it the right. A point is the last session of a week, the line the median "
           "of the last eight weeks, with its 80 % interval around it. A difference is raised beyond the grey band, on the same side, in three "
           "sessions over four weeks.")


def side_history(weeks: pd.DataFrame, limit_pct: float, colours: Look) -> alt.LayerChart:
    """`weeks`: one exercise's kept_sides rows with `session_pct`, the last session's own difference (nan where the week had none), and
    difference_pct, the median of eight weeks, with its interval; all signed, + where the left is weaker. limit_pct: where the grey band ends.
    """
    drawn = weeks.assign(told=[f"left {number(row.left_value)}, right {number(row.right_value)} {values_are(row)}" for row in weeks.itertuples()],
                         interval=[side_interval(row.difference_low_pct, row.difference_high_pct) for row in weeks.itertuples()])
    far = max(1.4 * limit_pct, 1.1 * drawn[["session_pct", "difference_pct", "difference_low_pct", "difference_high_pct"]].abs().max(axis=None))
    scale = alt.Scale(domain=[-far, far], nice=False)
    axis = alt.Axis(**above("left weaker above 0, right weaker below, %"), tickCount=5, labelExpr="format(abs(datum.value), '~r')", grid=False)
    x = alt.X("week:T", axis=alt.Axis(title="week", format=DAY, grid=False, tickCount=5), scale=alt.Scale(padding=10))
    base = alt.Chart(drawn)
    told = [alt.Tooltip("week:T", format="%-d %B %Y"), alt.Tooltip("told:N", title="last session"),
            alt.Tooltip("difference_pct:Q", title="median of 8 weeks, %", format=".0f"),
            alt.Tooltip("interval:N", title="80 % interval, %")]
    shade = alt.Chart(pd.DataFrame({"low": [-limit_pct], "high": [limit_pct]}))
    return finish(layered(
        shade.mark_rect(fill=colours.band).encode(alt.Y("low:Q", scale=scale, axis=axis), y2=alt.Y2("high")),
        shade.mark_rule(stroke=colours.soft, strokeWidth=1).encode(alt.YDatum(0)),
        base.mark_area(fill=colours.pale, opacity=0.55).encode(x, alt.Y("difference_low_pct:Q"), y2=alt.Y2("difference_high_pct")),
        base.transform_filter("isValid(datum.session_pct)").mark_point(shape="circle", size=36, filled=True, fill=colours.pale, stroke=colours.done, strokeWidth=1, opacity=1)
        .encode(x, alt.Y("session_pct:Q"), tooltip=told),
        base.mark_line(stroke=colours.done, strokeWidth=2).encode(x, alt.Y("difference_pct:Q")),
    ), colours, HEIGHT)


def in_words(weeks: pd.DataFrame, name: str) -> str:
    """The text alternative: what is compared, first and last median with their intervals, and the span of single sessions."""
    first, last = weeks.iloc[0], weeks.iloc[-1]
    return (f"{name}, left against right by {SIDE_MEASURES[last['measure']]}: {_with_interval(first)} in the week of {day(first['week'])}, "
            f"{_with_interval(last)} in that of {day(last['week'])}; single sessions from {_side(weeks['session_pct'].min())} to "
            f"{_side(weeks['session_pct'].max())}, {counted(int(weeks['session_pct'].notna().sum()), 'week', 'weeks')} with a session.")


def compared_by(weeks: pd.DataFrame) -> str:
    """What the picture compares, and how many weeks it leaves out because they were compared by something else."""
    last = weeks.iloc[-1]
    left_out = f"; {counted(int(last['not_drawn']), 'week', 'weeks')} compared by something else not drawn" if last["not_drawn"] else ""
    return SIDE_MEASURES[last["measure"]] + left_out


def _with_interval(week: pd.Series) -> str:
    return f"{_side(week['difference_pct'])}, 80 % interval {side_interval(week['difference_low_pct'], week['difference_high_pct'])}"


def _side(pct: float) -> str:
    if not round(pct):
        return "no difference"
    return f"{number(abs(pct), 0)} % ({'left' if pct > 0 else 'right'} weaker)"
