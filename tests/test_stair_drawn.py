"""The stair as a picture: where its treads, dots and words stand, whatever a log gives."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from dashboard.charts import stair as chart
from dashboard.charts import stair_rows
from dashboard.charts.lines import long, wrapped
from dashboard.look import DARK, LIGHT
from dashboard.queries.kept import Store
from dashboard.sentences.stair import LADDER, LOADS, Ahead, Stair
from tests.climbing import MONDAY, asked, climb, monday, path  # noqa: F401 - asked and path are fixtures
from tests.text_in_svg import boxes

NARROW, REPORT, WIDE = 331, 640, 1200  # pixels; a phone's column of 343 less the margins of a page's element


def test_treads_rise_with_the_steps_and_span_the_weeks_in_which_they_were_trained(asked: Store):
    of = climb(asked, 11)
    drawn = stair_rows.lay_out(of)
    by_height = sorted({tread["y"] for tread in drawn.marks["treads"]}, reverse=True)
    assert len(by_height) == len(of.steps) == 5
    assert stair_rows.visits(of)[4] == [(42.0, 63.0)]
    # Knee push-ups were left for four weeks, so they have two treads.
    assert stair_rows.visits(of)[2] == [(21.0, 35.0), (63.0, 84.0)]
    assert [tread["x"] for tread in drawn.marks["treads"] if tread["y"] == by_height[2]] == [21.0, 63.0]


@pytest.mark.parametrize("week", [0, 8, 11, 14, 18, 25])
def test_every_dot_stands_over_its_tread_and_the_nearer_the_higher(asked: Store, week: int):
    of = climb(asked, week)
    drawn = stair_rows.lay_out(of)
    treads = [(tread["x"], tread["x2"], tread["y"]) for tread in drawn.marks["treads"]]
    assert len(drawn.marks["points"]) == len(of.sessions)
    for point in drawn.marks["points"]:
        assert any(left <= point["x"] <= right and 0 < foot - point["y"] <= drawn.room for left, right, foot in treads)
    met = [point for point in drawn.marks["points"] if point["met"]]
    assert len(met) == (of.sessions["near"] >= 1).sum()
    lines = [line["y"] for line in drawn.marks["asked"]]
    assert all(min(abs(line - point["y"]) for line in lines if line >= point["y"] - 0.01) < drawn.room / 2 for point in met)
    for kind in ("mist", "core"):
        assert all(row["y2"] <= row["y"] for row in drawn.marks[kind])
        assert all(0 <= row["x"] <= drawn.days for row in drawn.marks[kind])


def test_the_axis_spans_the_weeks_whatever_was_trained(asked: Store):
    specs = [chart.stair(climb(asked, week), LIGHT).to_dict() for week in (0, 8, 18, 25)]
    domains = {tuple(spec["layer"][0]["encoding"]["x"]["scale"]["domain"]) for spec in specs}
    assert domains == {(0, 84 * (1 + stair_rows.COMING))}


def test_a_next_step_that_was_stood_on_before_opens_on_its_own_row(asked: Store):
    """Back on knee push-ups: the low incline is next, and has its row already."""
    of = climb(asked, 11)
    assert (of.ahead.name, of.ahead.step) == ("low incline push-up", 3) and of.back
    drawn = stair_rows.lay_out(of)
    rows = {tread["y"] for tread in drawn.marks["treads"]}
    (ahead,) = drawn.marks["next_treads"]
    assert ahead["y"] in rows and ahead["x"] == drawn.days and not drawn.marks["next_names"] and drawn.marks["opens"]


@pytest.mark.parametrize("seed", range(12))
def test_a_solid_body_never_lies_under_two_treads_of_one_week(seed: int):
    """Where loads alternate, only the lowest of a week stands on the ground; every week that was trained has one. In the one week of a step up both do."""
    drawn = stair_rows.lay_out(invented(seed))
    treads, bodies = (sorted((one["x"], one["x2"], one["y"]) for one in drawn.marks[kind]) for kind in ("treads", "bodies"))
    for day in np.arange(3.5, drawn.days, 7):
        over = [foot for left, right, foot in treads if left < day < right]
        below = [top - stair_rows.TREAD for left, right, top in bodies if left < day < right]
        assert (max(over) in below) if over else not below, day
        for left, right, foot in [tread for tread in treads if tread[0] < day < tread[1] and tread[2] in below and tread[2] < max(over)]:
            assert all(low < left and min(high, right) - left <= 7 for low, high, other in treads if other > foot and low < day < high), "a step up, and no standing on both"


def test_names_have_their_strip_alone(asked: Store):
    for week in range(0, 26, 2):
        drawn = stair_rows.lay_out(climb(asked, week))
        lines = [(row["y"] - 11, row["y"] + 3) for kind in ("names", "places", "next_names", "opens") for row in drawn.marks[kind]]
        for point in drawn.marks["points"]:
            assert not any(top < point["y"] + 3 and point["y"] - 3 < bottom for top, bottom in lines)
        assert all(0 <= top and bottom <= drawn.height for top, bottom in lines)


def invented(seed: int) -> Stair:
    """Any stair that a log could give: 1 to 9 steps in any order, with gaps, long names, and any next step."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(1, 10))
    names = ["bodyweight triceps extension, hands elevated", "62.5 kg", "SINGLE-ARM KETTLEBELL CLEAN AND PRESS",
             "Averyveryverylongnameofone'sownwithoutanyblankinitwhatsoever", "dip"]
    steps = pd.DataFrame({"step": range(count), "name_": rng.choice(names, count), "number": range(1, count + 1),
                          "place": [f"step {i + 1} of {count}" for i in range(count)], "asks": "3 × 20 with one or more in reserve, in two sessions", "scale": "rule", "last": rng.random(count) < 0.2})
    days = np.sort(rng.integers(0, 84, 40))
    near = rng.normal(0.8, 0.4, 40)
    on = np.r_[np.arange(count), rng.integers(0, count, 40 - count)]
    sessions = pd.DataFrame({"date": pd.Timestamp(MONDAY) + pd.to_timedelta(days, unit="D"), "exercise": "dumbbell_curl", "step": on, "near": near, "mist_low": near - 0.2,
                             "mist_middle": near, "mist_high": near + 0.2, "told": "12, 1 in reserve", "interval": "10 to 14", "value": 13.0, "measure": "reps"})
    sessions = sessions.drop_duplicates(["date", "step"]).sort_values(["date", "step"], ignore_index=True)
    ahead = rng.choice([None, Ahead(names[0], "opens at 3 × 20 with one or more in reserve, in two sessions; support on rings, arms straight, 20 s"),
                        Ahead(names[2], "opens at 16 repetitions with one or more in reserve on all sets, in two sessions", int(rng.integers(0, count)))])
    return Stair("any", str(rng.choice([LADDER, LOADS])), MONDAY, monday(11, 6), steps, sessions, ahead, int(rng.integers(0, count)), 1, MONDAY, monday(11),
                 back=False, top=False, left_out=0)


@pytest.mark.parametrize("width", [NARROW, REPORT, WIDE])
@pytest.mark.parametrize("seed", range(10))
def test_no_text_leaves_the_drawing_or_meets_another(seed: int, width: int):
    found, wide, tall = boxes(chart.stair(invented(seed), LIGHT), width)
    assert len(found) > 4
    assert not [box for box in found if box.left < 0 or box.right > wide or box.top < 0 or box.bottom > tall]
    assert not [(one.text, other.text) for i, one in enumerate(found) for other in found[:i] if one.meets(other)]


@pytest.mark.parametrize("colours", [LIGHT, DARK])
def test_what_is_reached_has_a_shape_of_its_own(asked: Store, colours):
    of = climb(asked, 14)
    assert (of.sessions["near"] >= 1).any() and chart.MET in chart.reading(of) and chart.AHEAD in chart.reading(of)
    spec = chart.stair(of, colours).to_dict()
    (points,) = [layer for layer in spec["layer"] if layer.get("encoding", {}).get("shape")]
    assert points["encoding"]["shape"]["scale"]["range"] == ["circle", "diamond"]
    assert chart.MET not in chart.reading(climb(asked, 1))


def test_lines_hold_what_they_are_broken_from():
    text = "opens at 3 × 20 with one or more in reserve, in two sessions; support on rings, arms straight, 20 s"
    for room in (90.0, 150.0, 296.0):
        lines = wrapped(text, room)
        assert " ".join(lines) == text and all(long(line) <= room for line in lines)
    assert "".join(wrapped("x" * 100, 90.0)) == "x" * 100 and wrapped("") == []
