"""The methods as data: every measure with its formula, source, valid range, settings and mark.

Chapters are TOML files beside this one, sources a CSV table (those of the catalogue count too). What a setting is worth
stands in `etl.settings.Rules` alone; a measure names the settings that it uses. What was measured of it stands in the
committed calibration alone; a limit names the figure (`figures.py`).
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

import pandas as pd

from dashboard.methods.figures import filled
from dashboard.sentences.decimal_mark import told
from dashboard.sentences.numbers import MINUS, day
from etl import tables
from etl.refusal import Refusal
from etl.settings import Rules

USUAL_EQUATION, USUAL_MEASURE = "lower_of_two", "e1rm"
MARKS = {"P": "published", "C": "convention of the trade", "D": "decided here"}
CHECKED = {
    "full_text": "read in full", "abstract": "abstract read", "second_hand": "second-hand: read in a text that quotes it",
    "memory": "from memory, not checked", "none": "no source to check",
}


@dataclass(frozen=True)
class Source:
    """A source and how far it was checked: a key of `CHECKED`."""

    citation: str
    doi: str
    checked: str
    note: str


@dataclass(frozen=True)
class Example:
    """A worked example: what goes in, what comes out, and a sentence with {names} of both.

    columns: for an example of several rows, heading -> the name whose values stand under it.
    """

    text: str
    given: Mapping[str, Any]
    gives: Mapping[str, Any]
    columns: Mapping[str, str] = field(default_factory=dict)

    @property
    def told(self) -> str:
        """The sentence with its numbers."""
        return self.text.format(**{name: words(value) for name, value in {**self.given, **self.gives}.items()})

    @property
    def rows(self) -> list[dict[str, str]]:
        """The rows of `columns`, as text."""
        values = {**self.given, **self.gives}
        named = {heading: [words(one) for one in values[name]] for heading, name in self.columns.items()}
        return [dict(zip(named, row, strict=True)) for row in zip(*named.values(), strict=True)]


@dataclass(frozen=True)
class Measure:
    """One measure. formula: lines of LaTeX; symbols: LaTeX -> words with unit; settings: field of `Rules` -> what it does."""

    id: str
    title: str
    says: str
    mark: str
    range: str
    limits: str
    rule: str = ""
    mark_note: str = ""
    formula: tuple[str, ...] = ()
    symbols: Mapping[str, str] = field(default_factory=dict)
    settings: Mapping[str, str] = field(default_factory=dict)
    sources: tuple[str, ...] = ()
    code: tuple[str, ...] = ()
    shown: tuple[str, ...] = ()
    example: Example | None = None


@dataclass(frozen=True)
class Chapter:
    """Measures that belong together, in the order in which they are read."""

    id: str
    title: str
    says: str
    measures: tuple[Measure, ...]


@cache
def chapters() -> tuple[Chapter, ...]:
    """All chapters in order."""
    read = [tomllib.loads(file.read_text("utf-8")) for file in files(__package__).iterdir() if file.name.endswith(".toml")]
    return tuple(_chapter(one) for one in sorted(read, key=lambda one: one["order"]))


@cache
def measures() -> Mapping[str, Measure]:
    """Id -> measure, in the order of the chapters."""
    return MappingProxyType({one.id: one for chapter in chapters() for one in chapter.measures})


def measure(identifier: str) -> Measure:
    """The measure of an id. Raises Refusal for an id that there is not."""
    if identifier not in measures():
        raise Refusal(f"There is no measure '{identifier}'", "measure", "The page Methods lists all.")
    return measures()[identifier]


def of_equation(equation: str) -> str:
    """The measure of a one-repetition-maximum equation (`dashboard.measures.one_rep_max.EQUATIONS`)."""
    return USUAL_MEASURE if equation == USUAL_EQUATION else equation


def chosen_equation(equation: str) -> str:
    """Its title where it is another than the usual one, else ''."""
    return "" if equation == USUAL_EQUATION else measure(equation).title


@cache
def sources() -> Mapping[str, Source]:
    """Source id -> source: the methods' own table, and the catalogue's."""
    own = pd.read_csv(files(__package__) / "sources.csv", dtype="str", keep_default_na=False)
    both = pd.concat([tables.sources(), own])[["source_id", "citation", "doi", "checked", "note"]]
    return MappingProxyType({row.source_id: Source(row.citation, row.doi, row.checked, row.note) for row in both.itertuples()})


@cache
def columns() -> pd.DataFrame:
    """One row per column that a page, the command line or an export shows: table, column, measure (its id), what (for a
    column that is no measure: a name, a day, a sentence).
    """
    return pd.read_csv(files(__package__) / "columns.csv", dtype="str", keep_default_na=False)


@cache
def of_flags() -> Mapping[str, str]:
    """Kind of flag -> its measure."""
    kinds = columns().query("table == 'flag kinds'")
    return MappingProxyType(dict(zip(kinds["column"], kinds["measure"], strict=True)))


def settings_used(one: Measure) -> list[dict[str, str]]:
    """One row per setting of a measure: what it does, its value with unit, its mark, its source, its name in the settings."""
    known = {about["name"]: about for about in Rules.described()}
    return [{"what": what, **_setting(known[name])} for name, what in one.settings.items()]


def all_settings() -> list[dict[str, str]]:
    """One row per setting of the program, and the measures that use it, by title."""
    used = {about["name"]: [one.title for one in measures().values() if about["name"] in one.settings] for about in Rules.described()}
    return [_setting(about) | {"used": "; ".join(used[about["name"]])} for about in Rules.described()]


def words(value: Any) -> str:
    """A value of a setting or of an example as it is written on the page.

    >>> words(MappingProxyType({"beginner": 0.5, "advanced": 0.1})), words((4.0, 20.0)), words(-1.5), words(((8, 3.5), (10, 4.0)))
    ('beginner 0.5, advanced 0.1', '4, 20', '−1.5', '8: 3.5, 10: 4')
    """
    if isinstance(value, Mapping):
        return ", ".join(f"{key} {words(one)}" for key, one in value.items())
    if isinstance(value, list | tuple):
        paired = all(isinstance(one, list | tuple) and len(one) == 2 for one in value)
        return ", ".join(f"{words(one[0])}: {words(one[1])}" if paired else words(one) for one in value)
    if isinstance(value, date):
        return day(value)
    if isinstance(value, float | int) and not isinstance(value, bool):
        return _number(value)
    return str(value).replace("_", " ")


def _number(value: float) -> str:
    """As many digits as it has; four where they do not end."""
    if value != value:
        return "none"
    short = f"{value:.8g}"
    return (short if float(short) == value else f"{value:.4g}").replace("-", MINUS)


def _setting(about: Mapping[str, Any]) -> dict[str, str]:
    value = f"{words(about['value'])} {about['unit']}" if about["unit"] not in ("date", "muscle") else words(about["value"])
    return {"value": value, "mark": about["mark"], "source": about["source"], "name": about["name"]}


def _chapter(read: Mapping[str, Any]) -> Chapter:
    return Chapter(read["id"], read["title"], read["says"], tuple(_measure(one) for one in read["measure"]))


def _measure(read: Mapping[str, Any]) -> Measure:
    lists = {name: tuple(read.get(name, ())) for name in ("formula", "sources", "code", "shown")}
    maps = {name: MappingProxyType(read.get(name, {})) for name in ("symbols", "settings")}
    example = Example(**read["example"]) if "example" in read else None
    plain = {name: text for name, text in read.items() if name not in {*lists, *maps, "example"}}
    plain["limits"] = filled(plain["limits"])
    return Measure(**plain, **lists, **maps, example=example)


def source_words(source: Source) -> str:
    """A source in one line, without its DOI: the citation and how far it was checked."""
    checked = CHECKED[source.checked] if source.checked != "none" else ""
    beside = "; ".join(filter(None, [checked, told(source.note)]))
    return source.citation.rstrip(".") + (f" ({beside})" if beside else "")
