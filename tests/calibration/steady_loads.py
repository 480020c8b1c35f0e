"""Lifts at one load and holds: latent repetitions or seconds that follow a known path."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from tests.calibration.athletes import Set, training_days
from tests.calibration.lifts import BIAS, BIAS_SD, NOT_LOGGED, SETS
from tests.calibration.paths import Path
from tests.calibration.variation import BAD_DAY, BAD_DAY_SHARE, READINESS_SD, READINESS_WEEKS, ornstein_uhlenbeck

LIGHT = ("dumbbell_lateral_raise", "dumbbell_fly", "goblet_squat")
HELD = ("plank", "dead_hang", "wall_sit")
TIRING, GUESS_SD = 1.5, 1.0  # repetitions: less in each later set, misjudged from set to set in long sets
USUAL = 3.5  # %: the repeatability that readiness and bad days are a part of
HOLD_SD = 8.0  # % of the seconds, no source


@dataclass(frozen=True)
class Repetitions:
    """One repetition more in `weeks_each` weeks, up to week `stop`; then no more."""

    start: tuple[float, float]
    weeks_each: float
    stop: float
    weeks: int
    level: str = "intermediate"
    exercises: tuple[str, ...] = LIGHT

    def level_at(self, weeks: np.ndarray) -> np.ndarray:
        return np.minimum(weeks, self.stop) / self.weeks_each


@dataclass(frozen=True)
class Holds:
    """Seconds that grow by a steady share."""

    path: Path
    weeks: int
    level: str = "intermediate"


def repetition_sets(kind: Repetitions, name: str, rng: np.random.Generator) -> Iterator[Set]:
    """Best possible repetitions vary from day to day by 0.54 + 0.04 r: 0.7 at 4 to 5, 1.1 at 14 (Mitter et al. 2022,
    doi:10.1371/journal.pone.0268074), the line carried on."""
    for exercise in kind.exercises:
        days = training_days(kind.weeks, Path(0.0), rng)
        start, bias, load = rng.uniform(*kind.start), rng.normal(BIAS, BIAS_SD), float(rng.choice([6, 8, 10, 12]))
        able = start + kind.level_at(days / 7)
        possible = able + (0.54 + 0.04 * able) * unit_noise(days / 7, rng)
        left = int(rng.integers(1, 3))
        for day, most in zip(days, possible, strict=True):
            for number in range(SETS):
                most_now = max(int(most - number * TIRING), 1)
                felt = most_now - bias + rng.normal(0, GUESS_SD)
                reps = int(np.clip(round(felt) - left, 1, most_now))
                logged = None if rng.random() < NOT_LOGGED else max(round(felt) - reps, 0)
                yield name, int(day), exercise, number + 1, load, reps, None, logged


def hold_sets(kind: Holds, name: str, rng: np.random.Generator) -> Iterator[Set]:
    for exercise in HELD:
        days = training_days(kind.weeks, Path(0.0), rng)
        best = rng.uniform(25, 60) * np.exp((kind.path.level(days / 7) + HOLD_SD * unit_noise(days / 7, rng)) / 100)
        for day, seconds in zip(days, best, strict=True):
            for number in range(SETS):
                yield name, int(day), exercise, number + 1, None, None, max(int(seconds * 0.9**number), 1), None


def unit_noise(weeks: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """Noise of SD 1 made up as a maximum's: readiness, bad days, and white noise for the rest."""
    bad_sd = abs(BAD_DAY) * np.sqrt(BAD_DAY_SHARE * (1 - BAD_DAY_SHARE))
    white = np.sqrt(USUAL**2 - READINESS_SD**2 - bad_sd**2)
    readiness = ornstein_uhlenbeck(weeks, READINESS_SD, READINESS_WEEKS, rng)
    bad = np.where(rng.random(len(weeks)) < BAD_DAY_SHARE, BAD_DAY, 0.0)
    return (readiness + bad + rng.normal(0, white, len(weeks))) / USUAL
