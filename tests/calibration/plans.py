"""Invented athletes whose weekly sets are known: a plan over the whole body, with the ups and downs of real weeks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from tests.calibration.athletes import Set

# Exercise -> days of the week on which it stands in the plan (0: Monday).
PLAN = {
    "barbell_bench_press": (0, 4), "barbell_row": (0, 4), "front_squat": (0, 4), "romanian_deadlift": (2,), "lat_pulldown": (2,),
    "machine_shoulder_press": (2,), "dumbbell_curl": (0, 2), "triceps_pressdown": (2, 4), "dumbbell_lateral_raise": (2,),
    "seated_leg_curl": (4,), "seated_calf_raise": (0, 2), "cable_crunch": (4,),
}
SETS = (3, 6)  # of an exercise in a session, fewest and most, drawn for each athlete and exercise
SHARED, OWN = 0.14, 0.163  # SD of ln(sets) of a week, of all exercises together and of each; the parts then vary by 20 %
DRIFT = 0.003  # more sets, a week
DELOAD_WEEKS, DELOAD_TO = (4, 8), (0.40, 0.65)


@dataclass(frozen=True)
class Training:
    """weeks; jumps: week -> factor on that week's sets; lasting: the week from which on sets are 1.5 times; missed: share of
    sessions; away: first week off and how many, drawn from `away_weeks`; back: factors on the sets of the weeks after it,
    for a short and a long absence (28 days or more)."""

    weeks: int
    jump_sizes: tuple[float, ...] = ()
    jump_weeks: tuple[int, ...] = ()
    lasting: int | None = None
    missed: float = 0.0
    away: int | None = None
    away_weeks: tuple[int, ...] = (2, 3, 4)
    back: dict[bool, tuple[float, ...]] = field(default_factory=dict)
    level: str = "intermediate"


@dataclass(frozen=True)
class Truth:
    """What was done to one athlete: the size of each jump by week, how many weeks were off, and which were deloads."""

    jumps: dict[int, float]
    weeks_off: int
    deloads: tuple[int, ...] = ()


def truth(kind: Training, rng: np.random.Generator) -> Truth:
    jumps = dict(zip(kind.jump_weeks, rng.permutation(kind.jump_sizes).tolist(), strict=True))
    weeks_off = int(rng.choice(kind.away_weeks)) if kind.away is not None else 0
    return Truth(jumps, weeks_off, _deloads(kind, jumps, weeks_off, rng))


def plan_sets(kind: Training, name: str, what: Truth, rng: np.random.Generator) -> Iterator[Set]:
    base = {exercise: int(rng.integers(SETS[0], SETS[1] + 1)) for exercise in PLAN}
    for week, factor in enumerate(week_factors(kind, what, rng)):
        days = np.arange(7) + rng.integers(0, 2, 7)
        off = rng.random(7) < kind.missed
        own = dict(zip(PLAN, np.exp(rng.normal(0, OWN, len(PLAN))), strict=True))
        for exercise, planned in PLAN.items():
            for weekday in planned:
                count = 0 if off[weekday] else round(base[exercise] * factor * own[exercise])
                for number in range(count):
                    yield name, 7 * week + int(days[weekday]), exercise, number + 1, 40.0, 12, None, 2


def week_factors(kind: Training, what: Truth, rng: np.random.Generator) -> np.ndarray:
    """On the planned sets of each week."""
    factor = np.exp(rng.normal(0, SHARED, kind.weeks)) * (1 + DRIFT) ** np.arange(kind.weeks)
    factor[list(what.deloads)] *= rng.uniform(*DELOAD_TO, len(what.deloads))
    for week, size in what.jumps.items():
        factor[week] *= size
    if kind.lasting is not None:
        factor[kind.lasting:] *= 1.5
    if kind.away is not None:
        first = kind.away + what.weeks_off
        factor[kind.away:first] = 0
        after = kind.back.get(what.weeks_off >= 4, ())
        factor[first : first + len(after)] *= after
    return factor


def _deloads(kind: Training, jumps: dict[int, float], weeks_off: int, rng: np.random.Generator) -> tuple[int, ...]:
    """Every fourth to eighth week, but not within a week of anything that is to be found."""
    weeks = np.cumsum(rng.integers(DELOAD_WEEKS[0], DELOAD_WEEKS[1] + 1, kind.weeks))
    events = [*jumps]
    if kind.lasting is not None:
        events += range(kind.lasting, kind.lasting + 3)
    if kind.away is not None:
        events += range(kind.away, kind.away + weeks_off + 4)
    return tuple(int(w) for w in weeks if w < kind.weeks and all(abs(int(w) - e) > 1 for e in events))
