"""What a part, a head or an exercise is called, from the catalogue: ids are for programs, words for people."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

import pandas as pd

from dashboard.sentences.numbers import begun
from etl import tables

WHOLE_BODY = "whole_body"


@cache
def part_words() -> Mapping[str, str]:
    """Part id -> the coach's word, in the catalogue's order."""
    table = tables.parts()
    return MappingProxyType(dict(zip(table["part_id"], table["coach_word"], strict=True)))


@cache
def part_regions() -> Mapping[str, str]:
    """Part id -> the region of the body, in the catalogue's order."""
    table = tables.parts()
    return MappingProxyType(dict(zip(table["part_id"], table["region"], strict=True)))


@cache
def part_muscles() -> Mapping[str, str]:
    """Part id -> the muscle that it is a part of, in the catalogue's order."""
    table = tables.parts()
    return MappingProxyType(dict(zip(table["part_id"], table["muscle"], strict=True)))


@tables.per_catalogue
def exercise_words() -> Mapping[str, str]:
    table = tables.exercises()
    return MappingProxyType(dict(zip(table["exercise_id"], table["name"], strict=True)))


@tables.per_catalogue
def exercise_titles() -> Mapping[str, str]:
    """Exercise id -> its name with a capital, for a list to choose from."""
    return MappingProxyType({identifier: begun(name) for identifier, name in exercise_words().items()})


def with_called(rows: pd.DataFrame) -> pd.DataFrame:
    """With `called`: the column `subject` in words, '' where it is empty."""
    return rows.assign(called=[called(one) if one else "" for one in rows["subject"]])


@cache
def head_words() -> Mapping[str, str]:
    """Head id -> its anatomical name (Terminologia Anatomica in English)."""
    table = tables.heads()
    return MappingProxyType(dict(zip(table["head_id"], table["ta_name"], strict=True)))


@cache
def head_and_word() -> Mapping[str, str]:
    """Head id -> the coach's word and the anatomical name, by muscle in the catalogue's order."""
    table = tables.heads()
    return MappingProxyType({row.head_id: row.ta_name if row.common_name == row.ta_name else f"{row.common_name} ({row.ta_name})" for row in table.itertuples()})


@tables.per_catalogue
def loaded_per_hand() -> frozenset[str]:
    """The exercises whose load is written for one hand."""
    table = tables.exercises()
    return frozenset(table.loc[table["per_hand"].isin(["yes", True]), "exercise_id"])


@tables.per_catalogue
def names_with_a_point() -> tuple[str, ...]:
    """The names of exercises that have a point within a number: in a text of ours they stay as they were written."""
    return tuple(name for name in exercise_words().values() if re.search(r"\d\.\d", name))


def called(identifier: str | None) -> str:
    """The word for a part, exercise or head id, or for the whole body; an unknown id reads as its own words."""
    if not identifier:
        return "not yet matched"
    if identifier == WHOLE_BODY:
        return "whole body"
    for words in (part_words(), exercise_words(), head_words()):
        if identifier in words:
            return words[identifier]
    return identifier.replace("_", " ")
