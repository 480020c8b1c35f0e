"""Lifts of one's own body: the strength for each kilogram of body mass follows a known path while body mass goes its own way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from tests.calibration.athletes import WHITE, Set, training_days
from tests.calibration.curves import WATHEN
from tests.calibration.lifts import Lifter
from tests.calibration.paths import Path
from tests.calibration.variation import Variation

SHARES = {"pull_up": 0.98, "dip": 0.97, "push_up": 0.66}  # of body mass that is moved: invented, near to what the program takes and not equal
MASS, RATIO = (58.0, 95.0), (1.35, 1.8)  # kg; maximum of the whole system, in body masses moved
DRIFT, WATER = 0.15, 0.7  # % a week, up or down; % from day to day (common practice, no source)


@dataclass(frozen=True)
class Bodies:
    """How one case's athletes train; body mass is written in the log at each session."""

    path: Path
    weeks: int
    level: str = "intermediate"
    variation: Variation = field(default_factory=lambda: Variation(WHITE))


def body_sets(kind: Bodies, name: str, rng: np.random.Generator) -> Iterator[Set]:
    """(athlete, day, exercise, set, added kg, repetitions, seconds, RIR, body mass kg) of one athlete."""
    start, drift = rng.uniform(*MASS), rng.uniform(-DRIFT, DRIFT)
    mass = start * np.exp((drift * np.arange(7 * kind.weeks) / 7 + rng.normal(0, WATER, 7 * kind.weeks)) / 100)
    for exercise, share in SHARES.items():
        days = training_days(kind.weeks, kind.path, rng)
        lifter = Lifter.new(WATHEN, rng)
        lifter.start_kg = start * share * rng.uniform(*RATIO)
        # What a kilogram of body mass can do, times the body of the day.
        able = np.exp((kind.path.level(days / 7) + kind.variation.draw(days / 7, rng)) / 100) * mass[days] / start
        lifter.choose(lifter.start_kg * able[0])
        for day, maximum in zip(days, able * lifter.start_kg, strict=True):
            for number, (load, reps, left) in enumerate(lifter.session(maximum, rng), 1):
                added = round(load - share * mass[day], 2)
                yield name, int(day), exercise, number, added, reps, None, left, round(mass[day], 1)
