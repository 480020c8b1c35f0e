"""The sentence of each verdict: why it was given, and what gain cannot be ruled out."""

from __future__ import annotations

import re
from datetime import timedelta

import numpy as np
import pandas as pd
import pytest
from scipy import stats

from dashboard.measures.trend import judge
from dashboard.sentences.strength import exercise_reasons, part_reasons
from etl.settings import RULES
from etl.store import reading

SE, WORTH = 0.15, 0.25
SURE = "with 80 % confidence"


def looks(*slopes: float, **changed: object) -> pd.DataFrame:
    """Looks of one series at these slopes, judged as the program does."""
    found = judge(np.array(slopes), np.full(len(slopes), SE), np.ones(len(slopes), bool), np.full(len(slopes), WORTH), np.arange(len(slopes)) == 0)
    return pd.DataFrame({"slope": slopes, **found._asdict(), "worth": WORTH, "sessions": 30, "span_weeks": 15.0, "held": False, "measure": "e1rm", "series": "",
                         "best_value": np.nan, "best_since": np.nan, "idle_days": 0, "last_day": 0, "exercises": 3, "mostly": "", "window_weeks": 16.0, "read_since": np.nan, "lighter": "", **changed})


def largest(slope: float) -> float:
    """The upper end of a one-sided 80 % interval, by scipy's normal distribution."""
    return slope + stats.norm.ppf(0.80) * SE


@pytest.mark.parametrize("reasons", [exercise_reasons, part_reasons])
@pytest.mark.parametrize(("slopes", "verdict"), [
    ((0.40,), "progressing"), ((0.15,), "undecided"), ((0.05,), "undecided"), ((0.05, 0.04), "plateau"), ((-0.10, -0.10), "plateau")])
def test_each_verdict_but_a_rise_tells_the_largest_gain_that_is_left(slopes, verdict, reasons):
    told, table = reasons(looks(*slopes), ["intermediate"] * len(slopes))[-1], looks(*slopes)
    assert table["verdict"].iloc[-1] == verdict
    left = largest(slopes[-1])
    assert (f"{left:.2f} % a week" in told and told.count(SURE) == 1) == (verdict != "progressing")
    assert ("is still possible" in told) == (verdict != "progressing" and left > WORTH)
    assert ("with 90 % confidence it rises" in told) == (verdict == "progressing")


@pytest.mark.parametrize("reasons", [exercise_reasons, part_reasons])
def test_a_decline_rules_out_any_gain_and_slower_falls(reasons):
    (told,) = reasons(looks(-0.50), ["intermediate"])
    assert told.endswith(f", from 30 sessions: with 95 % confidence it falls, {SURE} by {-largest(-0.50):.2f} % a week or more.")


def test_a_flat_look_that_leaves_no_gain_at_all_says_so():
    """Not sure enough for a decline (95 %), sure enough to leave no gain (80 %)."""
    slope = -0.20
    assert largest(slope) < 0
    first, second = exercise_reasons(looks(slope, slope), ["intermediate"] * 2)
    assert f"{SURE} there was less at this week's end (none at all), not yet at the one before. One more week will tell." in first
    assert second.endswith(f"{SURE} there was less at this week's end (none at all) and at the one before.")


@pytest.mark.parametrize("changed", [{"held": True}, {"idle_days": 20}])
def test_no_other_look_is_promised_where_none_comes(changed):
    """What such a look says of gains stays the same: it rules out those worth having."""
    (told,) = exercise_reasons(looks(0.05, **changed), ["intermediate"])
    assert "One more week" not in told and "still possible" not in told
    assert f"{SURE} there was less at this week's end (at most {largest(0.05):.2f} % a week), not yet at the one before. A plateau takes two such weeks running." in told


def test_too_little_data_says_what_is_lacking():
    (told,) = exercise_reasons(looks(0.4, verdict="too_little_data"), ["beginner"])
    assert told == "30 sessions that count over 15 weeks; a verdict needs 8 over 7.2 weeks or more."


@pytest.mark.parametrize(("days", "told"), [(67, "9.5"), (62, "8.8"), (63, "9"), (7, "1")])
def test_a_span_that_is_too_short_reads_as_shorter_than_what_a_verdict_needs(days, told):
    """60 % of 16 weeks are 67.2 days."""
    (reason,) = exercise_reasons(looks(0.4, verdict="too_little_data", span_weeks=days / 7), ["intermediate"])
    assert reason == f"30 sessions that count over {told} week{'s' * (told != '1')}; a verdict needs 8 over 9.6 weeks or more."


def test_too_little_data_after_a_break_says_from_which_day_on_is_read():
    (told,) = exercise_reasons(looks(0.4, verdict="too_little_data", sessions=3, span_weeks=2.0, read_since=20531), ["beginner"])
    assert told == ("3 sessions that count over 2 weeks since 19 March 2026, as what came before and right after a break is not read; "
                    "a verdict needs 8 over 7.2 weeks or more.")


def test_a_part_that_one_of_its_exercises_mostly_tells_names_it():
    told = part_reasons(looks(0.4, 0.4, 0.4, exercises=[1, 1, 2], mostly=["", "cable fly", "cable fly"]), ["intermediate"] * 3)
    assert told[0].startswith("Over 1 exercise: the trend") and told[1].startswith("Over 1 exercise, cable fly: the trend")
    assert told[2].startswith("Over 2 exercises, mostly cable fly, and 15 weeks: the trend")


def test_nothing_is_counted_where_there_is_nothing_to_count():
    empty = looks(0.4, verdict="too_little_data", sessions=0, span_weeks=np.nan, exercises=0)
    for reasons in (exercise_reasons, part_reasons):
        assert reasons(empty, ["beginner"]) == ["No session says anything of strength yet; a verdict needs 8 over 7.2 weeks or more."]
    empty = empty.assign(read_since=20531)
    for reasons in (exercise_reasons, part_reasons):
        assert reasons(empty, ["beginner"]) == ["No session counts yet: after a break sessions are read from 19 March 2026 on; a verdict needs 8 over 7.2 weeks or more."]


def test_too_little_data_of_repetitions_says_at_which_load():
    (told,) = exercise_reasons(looks(0.4, verdict="too_little_data", sessions=2, span_weeks=1.0, measure="reps", series="0 kg"), ["beginner"])
    assert told.startswith("2 sessions that count at body weight over 1 week; ")


def test_the_sample_says_after_the_planted_break_from_when_on_it_is_read(sample_store):
    """Mina was away in May: three weeks after her first session back her sessions count again; once her window lies behind it, nothing is said of it."""
    with reading(sample_store) as con:
        found = con.execute("select week, reason from kept_strength where athlete = 'Mina' and reason like '%after a break%'").fetchall()
        back = con.execute("select min(date) from sets where athlete = 'Mina' and not planned and date > '2026-05-15'").fetchone()[0]
        told = con.execute("select min(week), max(week) from kept_strength where athlete = 'Mina' and reason like '%a break%'").fetchone()
    days = {re.search(r"(?:from|since) (\d+ \w+ \d{4})", reason)[1] for _, reason in found}
    assert f"{back + timedelta(weeks=RULES.layoff_pass_weeks):%-d %B %Y}" in days
    assert told[0] <= back <= told[0] + timedelta(days=6)
    assert told[1] + timedelta(days=6) < back + timedelta(weeks=RULES.layoff_pass_weeks + RULES.window_weeks["beginner"])
