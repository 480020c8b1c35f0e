"""Invented athletes whose strength has a known path: their logs, one row per set, and the truth beside it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from tests.calibration.curves import WATHEN, Curve
from tests.calibration.lifts import Lifter
from tests.calibration.paths import Path
from tests.calibration.variation import READINESS_SD, READINESS_WEEKS, Variation, ornstein_uhlenbeck

FIRST_DAY = np.datetime64("2024-01-01")  # a Monday
SESSIONS, MISSED = 2, 0.10
APART = ("barbell_bench_press", "lat_pulldown", "hip_thrust")  # prime movers of three parts
TOGETHER = ("barbell_bench_press", "machine_chest_press", "dumbbell_fly")  # of one part
WHITE = 1.7  # % of the maximum; chosen so that the program's estimates vary by 3.5 % in all (a row of the table)

Set = tuple[str | int | float | None, ...]


@dataclass(frozen=True)
class Kind:
    """How one case's athletes train. deload_every: weeks, 0 for never. switch: week in which 5s become 10s, or None.
    aim: repetitions, lowest and highest, and how many are meant to be left; by chance where it is empty. shared: readiness is the person's and not each exercise's."""

    path: Path
    weeks: int
    exercises: tuple[str, ...] = APART
    level: str = "intermediate"
    variation: Variation = field(default_factory=lambda: Variation(WHITE))
    curve: Curve = WATHEN
    deload_every: int = 0
    switch: int | None = None
    aim: tuple[int, ...] = ()
    shared: bool = False


def sets_of(kind: Kind, name: str, rng: np.random.Generator) -> Iterator[Set]:
    """(athlete, day, exercise, set, load kg, repetitions, seconds, RIR) of one athlete. day: whole days from FIRST_DAY."""
    offset = int(rng.integers(kind.deload_every)) if kind.deload_every else 0
    easy = np.array([kind.deload_every > 0 and week % kind.deload_every == offset for week in range(kind.weeks)])
    days = [training_days(kind.weeks, kind.path, rng) for _ in kind.exercises]
    common = _common_readiness(days, rng) if kind.shared else None
    for exercise, own in zip(kind.exercises, days, strict=True):
        weeks = own / 7
        deviation = kind.variation.draw(weeks, rng, None if common is None else common[own])
        maximum = np.exp((kind.path.level(weeks) + deviation) / 100)
        yield from _lift(kind, name, exercise, own, maximum, easy, rng)


def training_days(weeks: int, path: Path, rng: np.random.Generator) -> np.ndarray:
    """Two random days a week, some missed, none while away."""
    days = [7 * week + np.sort(rng.choice(7, SESSIONS, replace=False)) for week in range(weeks) if not path.is_away(week)]
    every = np.concatenate(days)
    return every[rng.random(len(every)) >= MISSED]


def _common_readiness(days: list[np.ndarray], rng: np.random.Generator) -> np.ndarray:
    """By day, for all exercises."""
    last = max(int(own[-1]) for own in days)
    return ornstein_uhlenbeck(np.arange(last + 1) / 7, READINESS_SD, READINESS_WEEKS, rng)


def _lift(kind: Kind, name: str, exercise: str, days: np.ndarray, maximum: np.ndarray, easy: np.ndarray, rng: np.random.Generator) -> Iterator[Set]:
    lifter = Lifter.new(kind.curve, rng, *((4, 6) if kind.switch is not None else kind.aim))
    before = -1
    for day, of_day in zip(days, maximum * lifter.start_kg, strict=True):
        week = int(day) // 7
        if kind.switch is not None and before < kind.switch <= week:
            lifter.change_range(8, 10, 0, of_day)
        if before >= 0 and week - before > 3:
            lifter.choose(of_day * 0.95)
        before = week
        for number, (load, reps, left) in enumerate(lifter.session(of_day, rng, 2 if easy[week] else 3, bool(easy[week])), 1):
            yield name, int(day), exercise, number, load, reps, None, left
