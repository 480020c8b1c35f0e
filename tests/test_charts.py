"""Charts as Vega-Lite: every axis says what it is in which unit, the data are all there, and the words say the same."""

from __future__ import annotations

import json
import math
from datetime import date

import altair as alt
import numpy as np
import pandas as pd
import pytest

from dashboard.charts import rates, ribbon, shelf, shelf_rows, strength, weekly, weekly_rows
from dashboard.sentences.numbers import counted, listed, measured, number, signed
from dashboard.sentences.points import AT_LEAST
from dashboard.charts.trend_line import trend_line
from dashboard.look import DARK, DAY, LIGHT, spec
from dashboard.queries import ribbon as ribbon_of
from dashboard.queries.kept import store_at
from tests import kept_store

UNIT_WORDS = ("hard sets", "% a week", "kg", "repetitions", "seconds")


@pytest.fixture
def parts() -> pd.DataFrame:
    rows = pd.DataFrame([kept_store.part_row(part, kept_store.LAST_WEEK) for part in kept_store.PARTS])
    return rows.assign(name=rows["part"].str.replace("_", " "), fill=np.where(rows["status"] == "below", "Add 2 sets.", ""),
                       week=pd.Timestamp(kept_store.LAST_WEEK))


@pytest.fixture
def history() -> pd.DataFrame:
    weeks = kept_store.WEEKS[-8:]
    rows = [kept_store.part_row(part, week) | {"week": pd.Timestamp(week)} for part in kept_store.PARTS for week in weeks]
    return pd.DataFrame(rows)[["part", "week", "dose", "low", "high"]]


@pytest.fixture
def series() -> pd.DataFrame:
    rows = [kept_store.load_row("whole_body", week, sets) for week, sets in zip(kept_store.WEEKS, kept_store.HARD_SETS, strict=True)]
    return pd.DataFrame(rows).assign(week=lambda frame: pd.to_datetime(frame["week"]), band_low=np.nan, band_high=np.nan, so_far=False)


@pytest.fixture
def fit() -> pd.Series:
    return pd.Series(next(row for row in kept_store.strength() if row["exercise"] == "barbell_bench_press"))


@pytest.fixture
def bests() -> pd.DataFrame:
    rows = pd.DataFrame(kept_store.bests())
    rows = rows[rows["exercise"] == "barbell_bench_press"]
    return rows.assign(date=pd.to_datetime(rows["date"]))


def axis_titles(chart: alt.TopLevelMixin) -> list[str]:
    """The titles of all axes that are drawn."""
    found = []
    for layer in chart.to_dict()["layer"]:
        for channel in ("x", "y"):
            axis = layer.get("encoding", {}).get(channel, {}).get("axis")
            if axis:
                found.append(axis["title"])
    return found


def rows_of(chart: alt.TopLevelMixin) -> list[dict]:
    return [row for rows in chart.to_dict()["datasets"].values() for row in rows]


def test_every_axis_has_a_title_with_a_unit(parts, history, series, bests, fit):
    rated = pd.DataFrame(kept_store.part_strength()).assign(name="x")
    for chart, over_time in ((shelf.shelf(parts, history, LIGHT), False), (weekly.weekly(series, LIGHT), True),
                             (rates.rates(rated, LIGHT), False), (strength.strength(bests, fit, LIGHT), True)):
        titles = set(axis_titles(chart))
        assert any(any(unit in title for unit in UNIT_WORDS) for title in titles), titles
        assert len(titles) == 1 + over_time
        assert all(titles)


def test_the_shelf_draws_every_direct_set_full_and_every_indirect_one_narrow(parts, history):
    drawn = shelf_rows.lay_out(parts, history, 24, headings=False)
    wide = sum(x2 - x for x, x2, *_ in drawn.marks["direct"])
    narrow = sum(x2 - x for x, x2, *_ in drawn.marks["indirect"])
    assert wide == pytest.approx(np.minimum(parts["direct_sets"], parts["dose"]).sum())
    assert wide + narrow == pytest.approx(parts["dose"].sum())
    assert max(x2 - x for x, x2, *_ in drawn.marks["indirect"]) == 0.5
    assert len(drawn.marks["hatches"]) == shelf_rows.STROKES * len(drawn.marks["indirect"])


def test_a_part_below_its_band_has_a_dashed_slot_as_wide_as_what_is_missing(parts, history):
    drawn = shelf_rows.lay_out(parts, history, 24, headings=False)
    short = parts[parts["status"] == "below"]
    assert [x2 - x for x, x2, *_ in drawn.marks["slots"]] == pytest.approx((short["band_low"] - short["dose"]).tolist())
    assert [text for *_, text in drawn.marks["shorts"]] == ["2.5 short", "2 short"]
    assert len(drawn.marks["fills"]) == len(short)


def test_the_rows_of_a_shelf_do_not_overlap_and_stay_inside(parts, history):
    drawn = shelf_rows.lay_out(parts, history, 24, headings=True)
    rows = drawn.told.sort_values("y")
    assert (rows["y"].to_numpy()[1:] >= rows["y2"].to_numpy()[:-1]).all()
    assert rows["y2"].max() <= drawn.height
    assert all(0 <= x <= drawn.right for marks in drawn.marks.values() for x, *_ in marks)


def test_the_history_has_a_bar_for_each_part_and_week(parts, history):
    assert len(shelf_rows.lay_out(parts, history, 24, headings=False).marks["weeks"]) == len(parts) * 8


def test_the_shelf_says_in_words_what_it_shows(parts):
    words = shelf.in_words(parts, date(2026, 3, 9))
    assert "in brackets with each credit one tier lower or higher" in words
    assert "deltoid spinal: 1.5 (0.5 to 2.5) of 4 to 20 sets, 2.5 short" in words
    assert "lats: 21 (19.5 to 22.5) of 4 to 20 sets, above its band" in words and "pronators: 0 of 2 to 8 sets" in words
    assert shelf.finding(parts) == "deltoid spinal and pronators went short"
    assert shelf.finding(parts[parts["part"] == "biceps"]) == "every part is within its band"


def test_a_running_week_has_not_gone_short_yet(parts):
    assert shelf.finding(parts, so_far=True) == "deltoid spinal and pronators are short so far"
    assert shelf.finding(parts[parts["part"] == "pronators"], so_far=True) == "pronators are short so far"
    assert shelf.finding(parts[parts["part"] == "deltoid_spinal"], so_far=True) == "deltoid spinal is short so far"


def test_an_empty_shelf_is_refused(parts, history):
    with pytest.raises(ValueError, match="at least one part"):
        shelf.shelf(parts.iloc[:0], history, LIGHT)


def test_the_weeks_that_stood_out_carry_a_word_and_not_colour_alone(series):
    words = [row["label"] for row in rows_of(weekly.weekly(series, LIGHT)) if row.get("label")]
    assert set(words) == {"deload", "layoff", "return", "step up", "large spike"}
    assert len(words) == sum(bool(week.told) for week in weekly_rows.weeks_of(series))
    shapes = [row["shape"] for row in rows_of(weekly.weekly(series, LIGHT)) if row.get("kind")]
    assert sorted(shapes) == sorted(weekly.SHAPES[word] for word in words if word in weekly.SHAPES)
    assert len(set(weekly.SHAPES.values())) == len(weekly.SHAPES) > len(weekly_rows.MARKS)
    words = weekly.in_words(series, "whole body")
    assert "9 March 2026: large spike, 74 sets" in words
    assert "22 December 2025: deload, 27 sets" in words


def test_every_week_is_drawn_even_one_without_sets(series):
    rows = [row for row in rows_of(weekly.weekly(series, LIGHT)) if "load" in row]
    assert [row["load"] for row in rows] == kept_store.HARD_SETS


def test_an_axis_of_weeks_names_mondays_and_the_last_of_them(series):
    for weeks in range(1, len(series) + 1):
        dates = weekly_rows.lay_out(weekly_rows.weeks_of(series.tail(weeks)), None)["dates"]
        named = [date.fromisoformat(row["key"]) for row in dates]
        assert all(when.weekday() == 0 for when in named)
        assert named[-1] == kept_store.LAST_WEEK
        assert len(named) <= weekly_rows.DAYS_NAMED and (len(named) > weekly_rows.DAYS_NAMED / 2 or len(named) == weeks)
        assert [row["text"] for row in dates] == [f"{when.day} {when:%b}" for when in named]
        drawn = [row for row in rows_of(weekly.weekly(series.tail(weeks), LIGHT)) if row.get("text")]
        assert [(row["x"], row["text"]) for row in drawn] == [(row["x"], row["text"]) for row in dates]


def test_bars_stand_on_their_weeks_and_the_axis_holds_all_of_them(series):
    """Each bar is as tall as its sets, in the middle of its week, below the top, which the layer over all others reaches."""
    marks, top = weekly_rows.lay_out(weekly_rows.weeks_of(series), None), weekly_rows.top_of(weekly_rows.weeks_of(series))
    bars = sorted(marks["full"] + marks["easy"], key=lambda bar: bar["x"])
    assert [bar["y2"] for bar in bars] == kept_store.HARD_SETS and not any(bar["y"] for bar in bars)
    assert [(bar["x"] + bar["x2"]) / 2 for bar in bars] == pytest.approx([n + 0.5 for n in range(len(series))])
    assert {bar["y2"] for bar in marks["hover"]} == {top} and top > series[["load", "usual"]].max(axis=None)
    assert [mark["y"] for mark in marks["usual"]] == series["usual"].dropna().tolist()


def test_how_to_read_it_tells_only_what_is_there(series):
    plain = series.assign(mark=None, state=None)
    assert weekly.reading(plain) == weekly.READING
    assert weekly.EASIER in weekly.reading(series) and weekly.EASIER in weekly.reading(plain.assign(so_far=[False] * (len(plain) - 1) + [True]))


def test_a_week_that_is_missing_leaves_its_place(series):
    marks = weekly_rows.lay_out(weekly_rows.weeks_of(series.drop(index=3)), None)
    assert [int(bar["x"]) for bar in marks["hover"]] == [n for n in range(len(series)) if n != 3]


def test_a_step_to_another_week_changes_the_rows_and_nothing_else(series):
    """The specification stays, so that the browser builds no picture anew: with and without easy weeks, marks and a frame."""
    def written(rows: pd.DataFrame, picked: str | None) -> dict:
        sent = spec(weekly.weekly(rows, LIGHT, picked))
        return {key: value for key, value in sent.items() if key != "datasets"}

    plain = series.head(6).assign(mark=None, state=None, usual=np.nan)
    last = series.tail(6)
    assert last["mark"].notna().any()
    assert written(plain, "") == written(last, "") == written(last, last["week"].iloc[-1].date().isoformat())


@pytest.mark.parametrize(("measure", "unit"), [("e1rm", "kg"), ("per_kg", "kg per kg"), ("reps", "repetitions"), ("hold", "seconds")])
def test_each_measure_of_strength_names_its_unit(measure, unit):
    assert unit in strength.axis_title(measure, "", per_hand=False)


def test_a_load_that_is_written_for_one_hand_says_so():
    assert strength.axis_title("e1rm", "", per_hand=True).endswith("per hand")
    assert strength.axis_title("reps", "8 kg", per_hand=False).startswith("repetitions at 8 kg")


def test_strength_shows_every_session_with_its_interval(bests, fit):
    rows = [row for row in rows_of(strength.strength(bests, fit, LIGHT)) if "use" in row]
    assert len(rows) == len(bests)
    assert sum(row["use"] == strength.SHOWN for row in rows) == 1
    assert all(row["low"] < row["value"] < row["high"] for row in rows)


def test_a_point_that_is_at_least_so_much_is_a_triangle_and_told(bests, fit):
    bests = bests.assign(note=[AT_LEAST, *[""] * (len(bests) - 1)], counted=True)
    rows = [row for row in rows_of(strength.strength(bests, fit, LIGHT)) if "use" in row]
    assert [row["date"] for row in rows if row["shape"] == "triangle-up"] == [min(row["date"] for row in rows)]
    assert strength.reading(bests, None) == f"A triangle: {AT_LEAST}." and strength.reading(bests.assign(note=""), None) == ""


def test_the_year_up_to_the_last_session_is_shown_and_a_longer_time_names_its_years(bests, fit):
    long = pd.concat([bests.assign(date=bests["date"] - pd.Timedelta(weeks=60)), bests], ignore_index=True)
    assert strength.lately(long)["date"].tolist() == bests["date"].tolist()

    def days(drawn: pd.DataFrame) -> set[str]:
        return {layer["encoding"]["x"]["axis"]["format"] for layer in strength.strength(drawn, fit, LIGHT).to_dict()["layer"]
                if "axis" in layer["encoding"].get("x", {})}

    assert days(bests) == {DAY} and days(long) == {strength.MONTH}


def test_a_best_of_before_the_picture_has_no_ring(bests, fit):
    fit["best_value"], fit["best_since"] = 999.0, bests["date"].iloc[0]

    def ringed(drawn: pd.DataFrame) -> list[dict]:
        return [row for row in rows_of(strength.strength(drawn, fit, LIGHT)) if str(row.get("text", "")).startswith("best ")]

    assert len(ringed(bests)) == 1 and not ringed(bests.iloc[1:])


def test_a_picture_is_written_alike_for_one_week_and_another(bests, fit, sample_store):
    """Else the browser builds it anew, which takes five times as long as to draw other rows."""
    nothing = fit.copy()
    nothing[["fit_from_value", "best_value"]] = np.nan
    notes = pd.DataFrame({"date": [bests["date"].iloc[0]], "text": ["slow"]})
    rated = pd.DataFrame(kept_store.part_strength()).assign(name="x", key="x")
    at, week = store_at(sample_store), date(2026, 9, 28)
    pairs = [[strength.strength(bests, fit, LIGHT, notes=notes, picks=True), strength.strength(bests, nothing, LIGHT, picks=True)],
             [rates.rates(rated, LIGHT, picked=""), rates.rates(rated.head(1), LIGHT, picked="")],
             [ribbon.ribbon(ribbon_of.ribbon(at, who, week), LIGHT, picks=True) for who in ("Oskar", "Tilde")]]
    for one, other in pairs:
        one, other = ({key: value for key, value in spec(chart).items() if key != "datasets"} for chart in (one, other))
        for drawn in (one, other):  # a ribbon with more pins or blocks is taller
            drawn.pop("height")
            for layer in drawn["layer"]:
                layer["encoding"].get("y", {}).pop("scale", None)
        assert one == other


def test_the_trend_line_goes_through_the_ends_of_the_fit_and_its_band_is_as_wide_as_the_interval_at_the_end(fit):
    fit["rate_low"], fit["rate_high"] = 0.5, 0.7
    line = trend_line(fit)
    assert line["value"].iloc[[0, -1]].tolist() == pytest.approx([fit["fit_from_value"], fit["fit_to_value"]])
    told = math.log(fit["value_high"] / fit["value_low"])
    assert math.log(line["band_high"].iloc[-1] / line["band_low"].iloc[-1]) == pytest.approx(told)
    assert (line["band_low"] < line["value"]).all()


def test_without_a_fit_no_line_is_drawn(bests, fit):
    unfitted = fit.copy()
    unfitted["fit_from_value"] = np.nan
    assert trend_line(unfitted).empty
    drawn, fitted = (strength.strength(bests, one, LIGHT) for one in (unfitted, fit))
    assert not [row for row in rows_of(drawn) if "band_low" in row]
    assert len([row for row in rows_of(fitted) if "band_low" in row]) > 2


def test_rates_keep_the_order_and_leave_out_the_interval_of_what_has_none():
    rated = pd.DataFrame(kept_store.part_strength()).assign(name=lambda frame: frame["part"])
    rows = rows_of(rates.rates(rated, LIGHT))
    assert [row["name"] for row in rows if row.get("word") == "too little data yet"] == ["biceps"]
    assert "chest_sternal: progressing, +0.60 % a week (+0.20 to +1.00)" in rates.in_words(rated)
    assert "biceps: too little data yet." in rates.in_words(rated)


@pytest.mark.parametrize("colours", [LIGHT, DARK])
def test_text_can_be_read_on_the_paper(colours):
    """WCAG 2.2, success criterion 1.4.3: a contrast of 4.5 to 1 for text."""
    for name in ("ink", "soft", "missing"):
        assert contrast(getattr(colours, name), colours.paper) >= 4.5, name
        assert contrast(getattr(colours, name), colours.band) >= 4.5, name


@pytest.mark.parametrize("colours", [LIGHT, DARK])
def test_blocks_can_be_told_from_the_paper(colours):
    """WCAG 2.2, success criterion 1.4.11: a contrast of 3 to 1 for what carries meaning."""
    assert contrast(colours.done, colours.paper) >= 3
    assert contrast(colours.hatch, colours.pale) >= 2


def contrast(one: str, other: str) -> float:
    """The contrast ratio of WCAG 2.2 between two sRGB colours (#rrggbb)."""
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def test_contrast_of_black_on_white_is_21():
    """WCAG 2.2: 'Contrast ratios can range from 1 to 21'."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


def test_no_chart_asks_for_anything_from_elsewhere(parts, history, series):
    for chart in (shelf.shelf(parts, history, LIGHT), weekly.weekly(series, DARK)):
        spec = chart.to_dict()
        spec.pop("$schema")
        assert "http" not in json.dumps(spec)


def test_numbers_are_written_without_needless_decimals():
    assert [number(value) for value in (4.0, 2.5, None, float("nan"), -1.25, 0.0, 12345.0)] == [
        "4", "2.5", "–", "–", "\u22121.2", "0", "12\u202f345"]
    assert (measured(1.3, 2), signed(0.6, 2), signed(-0.6, 2), signed(0.001, 2)) == ("1.30", "+0.60", "\u22120.60", "0.00")
    assert (listed(["a"]), listed(["a", "b", "c"]), counted(1, "row", "rows")) == ("a", "a, b and c", "1 row")
