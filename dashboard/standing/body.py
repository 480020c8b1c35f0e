"""The catalogue as the measures need it: heads, parts and muscles in a fixed order, and credits as arrays."""

from __future__ import annotations

from dataclasses import dataclass
from collections.abc import Sequence
from functools import cache

import numpy as np
import pandas as pd

from dashboard.measures.dose import Credits
from etl import tables



@dataclass(frozen=True)
class Body:
    """Heads, parts, muscles as tuples of ids; for each part and muscle the positions of its heads."""

    heads: tuple[str, ...]
    head_muscle: tuple[str, ...]
    head_part: tuple[str, ...]
    parts: pd.DataFrame
    part_heads: list[list[int]]
    muscles: tuple[str, ...]
    muscle_heads: list[list[int]]

    def part_positions(self, part_ids: list[str]) -> list[int]:
        order = {part: i for i, part in enumerate(self.parts["part_id"])}
        return [order[part] for part in part_ids if part in order]


@cache
def body() -> Body:
    """The body as the shipped catalogue has it."""
    heads = tables.heads()
    position = {head: i for i, head in enumerate(heads["head_id"])}
    parts = tables.parts().reset_index(drop=True)
    members = [[position[h] for h in text.split("|")] for text in parts["heads"]]
    of_head = {i: part for part, found in zip(parts["part_id"], members, strict=True) for i in found}
    muscles = tuple(dict.fromkeys(heads["muscle"]))
    return Body(
        tuple(heads["head_id"]), tuple(heads["muscle"]), tuple(of_head.get(i, "") for i in range(len(heads))), parts, members,
        muscles, [list(np.flatnonzero(heads["muscle"] == m)) for m in muscles])


@cache
def part_ids() -> tuple[str, ...]:
    """Id of each part, in order."""
    return tuple(body().parts["part_id"])


@cache
def part_words() -> tuple[str, ...]:
    """The coach's word for each part, in order."""
    return tuple(body().parts["coach_word"])


def base_credits(exercises: Sequence[str]) -> np.ndarray:
    """Credits as the catalogue has them, (exercises, heads)."""
    rows = {exercise: i for i, exercise in enumerate(exercises)}
    heads = {head: i for i, head in enumerate(body().heads)}
    table = tables.credits()
    own = table[table["exercise_id"].isin(rows)]
    out = np.zeros((len(rows), len(heads)))
    out[own["exercise_id"].map(rows).to_numpy(int), own["head_id"].map(heads).to_numpy(int)] = own["credit"]
    return out


@tables.per_catalogue(maxsize=64)
def credits_of(kinds: tuple[tuple[str, str], ...]) -> Credits:
    """Credits of each kind of set, arrays (kinds, heads)."""
    found = [_credits(*kind) for kind in kinds]
    return Credits(*(np.stack([getattr(c, name) for c in found]) for name in ("base", "now", "grade")))


@tables.per_catalogue
def _credits(exercise: str, modifiers: str) -> Credits:
    at = {head: i for i, head in enumerate(body().heads)}
    base, now, grade = np.zeros(len(at)), np.zeros(len(at)), np.full(len(at), "", dtype="<U1")
    own = _by_exercise().get(exercise)
    if own is not None:
        columns = [at[h] for h in own["head_id"]]
        base[columns], grade[columns] = own["credit"], own["grade"]
        for head, credit in tables.modified_credits(exercise, modifiers).items():
            now[at[head]] = credit
    return Credits(base, now, grade)


@tables.per_catalogue
def _by_exercise() -> dict[str, pd.DataFrame]:
    return dict(list(tables.credits().groupby("exercise_id")))


def prime_parts(exercise: str) -> list[int]:
    """Positions of the parts whose prime mover the exercise is: credit 1 for one of their heads."""
    return _prime_parts().get(exercise, [])


@tables.per_catalogue
def _prime_parts() -> dict[str, list[int]]:
    place = {part: i for i, part in enumerate(part_ids())}
    return {exercise: [place[part] for part in parts] for exercise, parts in tables.trained_first().items()}
