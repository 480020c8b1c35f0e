"""Estimates that are few beside sets of more repetitions: they are the worse days of somebody who does more, and judge an exercise no more than its part."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

from dashboard.standing.refresh import refresh
from tests.logs import TODAY, ask, bring

LAST = date(2026, 10, 19)
HEAD = "Date,Athlete,Exercise,Set,Load (kg),Reps,RIR\n"


def judged(store: Path, sessions: list[tuple[float, int, int]]) -> tuple[str, str, str]:
    """Measure and verdict of a press after these sessions (load, repetitions, reserve), two a week, and the verdict of its part."""
    days = [LAST - timedelta(weeks=back) + timedelta(days=d) for back in range(len(sessions) // 2 - 1, -1, -1) for d in (0, 3)]
    bring(store, HEAD + "".join(f"{day},Ida,Standing dumbbell shoulder press,{n},{load},{reps},{left}\n" for day, (load, reps, left) in zip(days, sessions, strict=True) for n in (1, 2, 3)))
    refresh(store, today=TODAY)
    ((measure, verdict),) = ask(store, f"select measure, verdict from kept_strength where week = '{LAST}'")
    ((of_part,),) = ask(store, f"select verdict from kept_part_strength where part = 'deltoid_clavicular' and week = '{LAST}'")
    return measure, verdict, of_part


def test_a_load_that_stands_still_is_no_gain_of_the_few_sets_with_fifteen_repetitions_and_less(store: Path):
    """Twelve kilograms for three weeks, then fourteen for thirteen: sixteen repetitions were possible on most days, fifteen on each third."""
    rising = [(12.0, 12, 2), (12.0, 13, 2), (12.0, 13, 2), (12.0, 15, 2), (12.0, 15, 2), (14.0, 12, 2)]
    assert judged(store, rising + [(14.0, 13 if day % 3 == 0 else 14, 2) for day in range(26)]) == ("reps", "plateau", "plateau")


def test_with_fifteen_repetitions_and_less_on_most_days_the_estimate_judges(store: Path):
    assert judged(store, [(round(12 + day / 8, 1), 13, 2 if day % 3 else 3) for day in range(32)])[0] == "e1rm"


def test_a_load_that_rose_is_told_where_each_new_one_begins_a_series_of_its_own(store: Path):
    """Seventeen repetitions at loads that rise: none has sessions enough for a verdict, and yet it is no standstill."""
    loads = [12.0 + 2 * (day // 6) for day in range(32)]
    assert judged(store, [(load, 15, 2) for load in loads])[:2] == ("reps", "too_little_data")
    ((reason,),) = ask(store, f"select reason from kept_strength where week = '{LAST}'")
    assert "The load has risen: 14 kg twelve weeks before." in reason
