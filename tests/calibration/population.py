"""One population of invented athletes, in a store that the program has worked out."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from zlib import crc32

import numpy as np

from tests.calibration.athletes import Set
from tests.calibration.counting import Figure
from tests.calibration.program import work_out, write_log


@dataclass(frozen=True)
class Result:
    """One row of the table: a figure, and perhaps what information allows. target: where it depends on another figure."""

    case_id: str
    figure: Figure
    bound: float | None = None
    bound_is: str = ""
    note: str = ""
    target_high: float | None = None


@dataclass(frozen=True)
class Point:
    """One point of a curve."""

    curve: str
    series: str
    x: float
    x_unit: str
    figure: Figure


Found = list[Result | Point]
Make = Callable[[str, np.random.Generator], Iterator[Set]]


def athlete_rng(seed: int, population: str, number: int) -> np.random.Generator:
    """The same athlete whatever else is run."""
    return np.random.default_rng([seed, crc32(population.encode()), number])


def name_of(number: int) -> str:
    return f"Athlete {number:04d}"


def worked_out(folder: Path, population: str, make: Make, level: str, athletes: int, seed: int) -> Path:
    """The path of a store with `athletes` invented athletes, worked out."""
    log, store = folder / f"{population}.csv", folder / f"{population}.duckdb"
    write_log(log, (row for i in range(athletes) for row in make(name_of(i), athlete_rng(seed, population, i))))
    work_out(store, log, level)
    return store
