"""One exercise of one invented athlete: what is done in each session, as a log would have it.

Loads go in plate steps and up when the top of the repetition range was reached with repetitions left. Repetitions are whole.
Repetitions in reserve are misjudged (Halperin et al. 2022, doi:10.1007/s40279-021-01559-x: 0.95 too few on average; the
spread of about one is here part the person's own and part the set's) and sometimes not logged.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.calibration.curves import Curve

PLATES = 2.5  # kg
BIAS, BIAS_SD, GUESS_SD = 0.95, 0.8, 0.6  # repetitions: mean and spread between people, spread from set to set
NOT_LOGGED = 0.10  # share of sets
SETS, TIRING = 3, 0.6  # sets a session, repetitions less in each later set
MOST, MOST_LEFT = 60, 6  # repetitions that anyone does, and has a feeling for when they are left
DAY_STEP = 0.05  # of the load, on a day far from the usual
EASIER = 0.90  # load on return and in a deload, share of the usual

Row = tuple[float, int, int | None]  # load (kg), repetitions, repetitions in reserve as logged


@dataclass
class Lifter:
    """State of one exercise. low, high: the repetition range; left: how many are meant to be left."""

    start_kg: float
    curve: Curve
    low: int
    high: int
    left: int
    bias: float
    load: float = 0.0

    @classmethod
    def new(cls, curve: Curve, rng: np.random.Generator, low: int | None = None, high: int | None = None, left: int | None = None) -> Lifter:
        low = int(rng.integers(3, 7)) if low is None else low
        high = min(low + 3, 10) if high is None else high
        if left is None:
            left = 0 if high >= 10 else 1 if high >= 9 else int(rng.integers(1, 3))
        one = cls(float(rng.uniform(60, 140)), curve.of_one_person(rng), low, high, left, float(rng.normal(BIAS, BIAS_SD)))
        one.choose(one.start_kg)
        return one

    def choose(self, maximum: float) -> None:
        """A load that allows about the middle of the range."""
        self.load = _plates(maximum * self.curve.share((self.low + self.high) / 2 + self.left + max(self.bias, 0)))

    def change_range(self, low: int, high: int, left: int, maximum: float) -> None:
        self.low, self.high, self.left = low, high, left
        self.choose(maximum)

    def session(self, maximum: float, rng: np.random.Generator, sets: int = SETS, easy: bool = False) -> list[Row]:
        """maximum: of this day, kg. easy: a deload's session, lighter and with more left; it moves no load."""
        load = _plates(self.load * EASIER) if easy else self.load
        rows = [self._set(load, maximum, 0, rng, easy)]
        if not easy:
            load = self._of_the_day(rows[0])
            self._next_load(rows[0])
        rows += [self._set(load, maximum, number, rng, easy) for number in range(1, sets)]
        return [(load, reps, None if rng.random() < NOT_LOGGED else left) for load, reps, left in rows]

    def _set(self, load: float, maximum: float, number: int, rng: np.random.Generator, easy: bool) -> Row:
        possible = max(int(min(self.curve.repetitions(load / maximum), MOST) - number * TIRING), 1)
        felt = possible - self.bias + rng.normal(0, GUESS_SD)
        wanted = int(np.clip(round(felt) - self.left, 1, self.high))
        reps = min(self.low if easy else wanted, possible)
        # Where one more was tried and failed, it is known that none was left.
        return load, reps, 0 if wanted > possible and not easy else int(np.clip(round(felt) - reps, 0, MOST_LEFT))

    def _of_the_day(self, first: Row) -> float:
        """The load of the later sets: changed where the first set shows a day far from the usual."""
        load, reps, left = first
        step = max(PLATES, _plates(DAY_STEP * load))
        if reps >= self.high and left >= self.left + 2:
            return load + step
        return max(PLATES, load - step) if reps < self.low - 1 else load

    def _next_load(self, first: Row) -> None:
        _, reps, left = first
        if reps >= self.high and left >= self.left:
            self.load += PLATES
        elif reps < self.low:
            self.load = max(PLATES, self.load - PLATES)


def _plates(kg: float) -> float:
    return max(PLATES, PLATES * round(kg / PLATES))
