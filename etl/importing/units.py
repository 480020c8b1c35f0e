"""Loads in the wrong unit: a file whose lifts are 2.2 times, or 0.45 times, those that the athlete has in the store."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from etl import tables
from etl.importing.memory import History
from etl.normalise import Normal
from etl.refusal import Question
from etl.settings import RULES, Rules


def units_fit(normal: Normal, name: str, history: Callable[[str], History], rules: Rules = RULES) -> list[str]:
    """Sentences on lifts that jump by the ratio of pound and kilogram, where the file itself names the unit.

    history: athlete -> what the store holds of them. Raises Question where nobody said the unit.
    """
    loads = normal.sets[normal.sets["exercise"].notna() & (normal.sets["load_kg"] > 0) & ~normal.sets["planned"]]
    said = []
    for athlete, theirs in loads.groupby("athlete"):
        usual = history(athlete).loads
        medians = theirs.groupby("exercise")["load_kg"].median()
        ratios = {e: load / usual[e] for e, load in medians.items() if usual.get(e, 0) > 0}
        factor = _near(float(np.median(list(ratios.values()))), rules) if ratios else None
        if factor is None:
            continue
        example = min(ratios, key=lambda e: abs(np.log(ratios[e] / factor)))
        words = (f"{athlete}'s loads are about {factor:.1f} times those in the store ({_called(example)}: {medians[example]:.4g} kg, "
                 f"before {usual[example]:.4g} kg), as if pounds and kilograms were mixed up")
        if normal.unit_unsaid:
            raise Question(words, name, "Say which it is with --unit lb or --unit kg.")
        said.append(f"{words}: look at the unit that the file names")
    return said


def _near(ratio: float, rules: Rules) -> float | None:
    """The ratio of the two units that this one is near to, or None."""
    return next((factor for factor in (1 / rules.pound_kg, rules.pound_kg) if abs(np.log(ratio / factor)) <= rules.unit_jump_near), None)


def _called(exercise_id: str) -> str:
    table = tables.exercises()
    return str(table.loc[table["exercise_id"] == exercise_id, "name"].iloc[0])
