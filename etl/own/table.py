"""A person's changes of the catalogue as one table: a row per change, for a spreadsheet. The same table is written and read.

`change` says what a row is, and the other columns that it needs: exercise (name, and either `like` or what the exercise is),
credit (exercise, head, credit), target (part, low, high; athlete, where it is one athlete's), name (written, exercise, modifiers).
"""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields, replace
from typing import Any

from etl import tables
from etl.names.index import by_key
from etl.names.words import Words, key_of, normalise_name, words_of
from etl.own import find
from etl.own.what import OWN_ID, Changes, OwnCredit, OwnExercise, OwnName, OwnTarget
from etl.refusal import Refusal
from etl.settings import RULES, Rules

OF_EXERCISE = tuple(field.name for field in fields(OwnExercise) if field.name not in ("exercise_id", "name", "note"))
COLUMNS = ("change", "exercise", "name", "like", "head", "credit", "part", "low", "high", "athlete", "written", "modifiers", "note", *OF_EXERCISE)
KINDS = ("exercise", "credit", "target", "name")
ALLOWED = {
    "laterality": ("bilateral", "unilateral", "alternating"), "mode": ("reps", "hold"), "load_basis": ("external", "body"), "per_hand": ("no", "yes"),
    "long_end": ("none", "lower", "upper"), "level": ("beginner", "intermediate", "advanced"), "inverted": ("no", "yes"),
    "mostly_eccentric": ("no", "yes"), "strength_estimate": ("yes", "no"),
}  # fmt: skip
USUAL_REPS = (8.0, 12.0)  # [C] where nothing is said of an exercise that is counted
SHARE_MAX, TARGET_MAX = 1.1, 60.0  # [D] of body mass; hard sets a week
NAME_MAX, NOTE_MAX, WRONG_SHOWN = 80, 300, 5  # [D] letters, letters, rows that one message lists
AN_ID, ID_MAX = re.compile(r"own(?:_[^\W_]+)+"), 160  # [D] letters: a name written out may be longer than as one sees it
JOINERS = "\u200c\u200d"  # unseen, and part of how some scripts are written


def text_of(changes: Changes) -> str:
    """The table as CSV (RFC 4180, \\n between the rows), in an order that does not depend on when a change was made."""
    out = io.StringIO()
    writer = csv.DictWriter(out, COLUMNS, restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows_of(changes))
    return out.getvalue()


def rows_of(changes: Changes) -> list[dict[str, str]]:
    """The rows of the table, without their empty cells."""
    rows = [
        *({"change": "exercise", "exercise": one.exercise_id, "name": one.name, "note": one.note} | {column: _plain(getattr(one, column)) for column in OF_EXERCISE}
          for one in changes.exercises),
        *({"change": "credit", "exercise": c.exercise_id, "head": c.head_id, "credit": _plain(c.credit), "note": c.note} for c in changes.credits),
        *({"change": "target", "part": t.part_id, "low": _plain(t.low), "high": _plain(t.high), "athlete": t.athlete, "note": t.note} for t in changes.targets),
        *({"change": "name", "written": n.written, "exercise": n.exercise_id, "modifiers": n.modifiers} for n in changes.names),
    ]
    return [{column: cell for column, cell in row.items() if cell} for row in rows]


def _plain(value: Any) -> str:
    return "" if value is None else f"{value:g}" if isinstance(value, float) else str(value)


def changes_in(header: Sequence[str], rows: Iterable[Sequence[str]], lines: Iterable[int], athletes: Iterable[str], had: Sequence[OwnExercise] = (),
               rules: Rules = RULES) -> Changes:
    """The changes that a table holds. had: exercises of one's own that the store has already; athletes: whom the store knows.

    Raises Refusal that lists the rows that are wrong, each with what and what to do: a table is taken in whole or not at all.
    """
    places = {name.strip().casefold(): at for at, name in enumerate(header) if name.strip()}
    if "change" not in places:
        raise Refusal("The table has no column 'change'", "header", f"Its columns are: {', '.join(COLUMNS)}.")
    if unknown := [name for name in places if name not in COLUMNS]:
        raise Refusal(f"The table has a column '{unknown[0][:find.SHOWN]}' that means nothing here", "header", f"Its columns are: {', '.join(COLUMNS)}.")
    told = [(line, {name: row[at].strip() if at < len(row) else "" for name, at in places.items()}) for line, row in zip(lines, rows, strict=True)]
    told = [(line, cells) for line, cells in told if any(cells.values())]
    reading = _Reading(tuple(had), frozenset(athletes), rules)
    # What an exercise of one's own is has to be known before a credit speaks of it, in whichever order the rows stand.
    for kind in KINDS:
        for line, cells in told:
            if cells["change"].casefold() == kind:
                reading.row(kind, cells, f"line {line}")
    for line, cells in told:
        if cells["change"].casefold() not in KINDS:
            reading.wrong.append(Refusal(f"'{cells['change'][:find.SHOWN]}' is no kind of change", f"line {line}", f"It is one of: {', '.join(KINDS)}."))
    return reading.whole()


class _Reading:
    """The rows that were read so far, and what is wrong with others."""

    def __init__(self, had: tuple[OwnExercise, ...], athletes: frozenset[str], rules: Rules) -> None:
        self.had, self.athletes, self.rules = had, athletes, rules
        self.exercises: dict[str, OwnExercise] = {}
        self.written: set[Words] = set()  # the words of their names
        self.alike: dict[tuple[str, str], OwnCredit] = {}  # of the exercises that they are like
        self.credits: dict[tuple[str, str], OwnCredit] = {}
        self.targets: dict[tuple[str, str], OwnTarget] = {}
        self.names: dict[str, OwnName] = {}
        self.wrong: list[Refusal] = []

    def row(self, kind: str, cells: Mapping[str, str], where: str) -> None:
        try:
            {"exercise": self._exercise, "credit": self._credit, "target": self._target, "name": self._name}[kind](cells, where)
        except Refusal as refusal:
            self.wrong.append(refusal)

    def whole(self) -> Changes:
        if self.wrong:
            more = len(self.wrong) - WRONG_SHOWN
            said = " ".join(str(refusal) for refusal in self.wrong[:WRONG_SHOWN]) + (f" And {more} more." if more > 0 else "")
            raise Refusal(f"{said} Nothing was taken in") if len(self.wrong) > 1 else self.wrong[0]
        return Changes(*(tuple(found.values()) for found in (self.exercises, self.alike | self.credits, self.targets, self.names)))

    def _known(self) -> tuple[OwnExercise, ...]:
        return (*self.exercises.values(), *self.had)

    def _exercise(self, cells: Mapping[str, str], where: str) -> None:
        one, alike = own_exercise(cells, where)
        key = key_of(words_of(one.name))
        if one.exercise_id in self.exercises or key in self.written:
            raise Refusal(f"The exercise '{one.name}' stands in the table twice", where, "Leave one of them.")
        self.exercises[one.exercise_id] = one
        self.written.add(key)
        self.alike |= {(credit.exercise_id, credit.head_id): credit for credit in alike}

    def _credit(self, cells: Mapping[str, str], where: str) -> None:
        exercise = find.exercise(cells.get("exercise", ""), where, self._known())
        head, credit = find.head(cells.get("head", ""), where), _number(cells, "credit", where, 0.0, 1.0)
        if credit not in self.rules.credit_tiers:
            raise Refusal(f"A credit cannot be {credit:g}", where, f"It is one of: {', '.join(f'{tier:g}' for tier in self.rules.credit_tiers)}.")
        _say(self.credits, (exercise, head), OwnCredit(exercise, head, credit, _note(cells)), where)

    def _target(self, cells: Mapping[str, str], where: str) -> None:
        part, athlete = find.part(cells.get("part", ""), where), cells.get("athlete", "")
        if athlete and athlete not in self.athletes:
            raise Refusal(f"There is no athlete '{athlete[:find.SHOWN]}'", where, f"Known are: {', '.join(sorted(self.athletes)) or 'none yet'}; empty is everybody.")
        low, high = (_number(cells, end, where, 0.0, TARGET_MAX) for end in ("low", "high"))
        if low is None or high is None or not low < high:
            raise Refusal("A target needs a low end and a higher one", where, "Give both in hard sets a week, such as 4 and 12.")
        _say(self.targets, (athlete, part), OwnTarget(athlete, part, low, high, _note(cells)), where)

    def _name(self, cells: Mapping[str, str], where: str) -> None:
        written, said = cells.get("written", ""), cells.get("exercise", "")
        if not written:
            raise Refusal("No name is written", where, "Give the name in the column 'written', as the log has it.")
        exercise = find.exercise(said, where, self._known()) if said else ""
        said = OwnName(normalise_name(written), exercise, find.modifiers(cells.get("modifiers", ""), where) if exercise else "")
        _say(self.names, said.written, said, where)


def _say(found: dict[Any, Any], key: Any, said: Any, where: str) -> None:
    """Put what a row says under its key. Raises Refusal where an earlier row says otherwise of the same thing."""
    if found.setdefault(key, said) != said:
        raise Refusal("An earlier row says otherwise of the same thing", where, "Leave one of them.")


def own_exercise(cells: Mapping[str, str], where: str = "") -> tuple[OwnExercise, tuple[OwnCredit, ...]]:
    """An exercise of one's own from the cells of a row, with the credits of the exercise that it is `like`, in place of all it had.

    What is not said is as in the exercise that it is like, else the usual. Raises Refusal for what does not fit together.
    """
    name = " ".join(cells.get("name", "").split())
    if not name or len(name) > NAME_MAX:
        raise Refusal("An exercise needs a name", where, f"Give one of at most {NAME_MAX} letters.")
    identifier = cells.get("exercise", "").casefold() or OWN_ID + "_".join(normalise_name(name).split())
    _is_free(identifier, name, where)
    said = {column: cells[column] for column in OF_EXERCISE if cells.get(column)}
    like = find.exercise(cells["like"], where) if cells.get("like") else ""
    base = _like(like) if like else {}
    known = set(tables.exercises()["movement_pattern"])
    pattern = find.one_of(said.get("movement_pattern", base.get("movement_pattern", "")), where, "movement pattern", known)
    chosen = {column: find.one_of(said.get(column, base.get(column, values[0])), where, column.replace("_", " "), values) for column, values in ALLOWED.items()}
    held, by_body = chosen["mode"] == "hold", chosen["load_basis"] == "body"
    share = _number(said | ({} if "bodymass_share" in said else {"bodymass_share": _plain(base.get("bodymass_share"))}), "bodymass_share", where, 0.0, SHARE_MAX)
    if by_body and not share:
        raise Refusal("An exercise that one's own body loads needs the share of body mass", where, "Give bodymass_share, such as 0.64 for a push-up.")
    low, high = (None, None) if held else (_reps(said, base, at, where) for at in (0, 1))
    if low is not None and high is not None and not low < high:
        raise Refusal("The usual repetitions go from a lower number to a higher one", where, "Give reps_low and reps_high, such as 8 and 12.")
    equipment = "".join(said.get("equipment", str(base.get("equipment", "bodyweight"))).casefold().split())
    if not all(option and all(thing.replace("_", "").isalpha() for thing in option.split("+")) for option in equipment.split("|")):
        raise Refusal(f"'{equipment[:find.SHOWN]}' is no list of equipment", where, "Write alternatives with | and things needed together with +: bench+dumbbells|barbell.")
    one = OwnExercise(identifier, name, pattern, equipment, bodymass_share=(share or 0.0) if by_body else 0.0, reps_low=low, reps_high=high,
                      note=_note(cells), **chosen)
    return (replace(one, strength_estimate="no") if held else one), _alike(identifier, like) if like else ()


def _alike(identifier: str, like: str) -> tuple[OwnCredit, ...]:
    table, now = tables.credits(), tables.modified_credits(like)
    before = table.loc[table["exercise_id"] == identifier, "head_id"]
    return tuple(OwnCredit(identifier, head, credit, f"as {like}") for head, credit in (dict.fromkeys(before, 0.0) | now).items())


def _is_free(identifier: str, name: str, where: str) -> None:
    """An own exercise has an id and a name that no shipped one has."""
    if not any(letter.isalpha() for word in words_of(name) for letter in word) or any(_is_unseen(letter) for letter in name):
        raise Refusal(f"The name '{name}' has no word by which it could be told from others", where, "Give the name as you write it in your log.")
    if len(identifier) > ID_MAX or not AN_ID.fullmatch(identifier):
        raise Refusal(f"The id '{identifier[:NAME_MAX]}' is not one of an exercise of your own", where,
                      f"Leave the column 'exercise' empty, or write {OWN_ID} and small letters, digits and _. To change a shipped exercise, change its credits.")
    same = by_key().get(key_of(words_of(name)))
    if same and same.exercise != identifier:
        raise Refusal(f"The name '{name}' is that of an exercise already", where, f"Choose another, or change the credits of {same.exercise}.")


def _is_unseen(letter: str) -> bool:
    """Whether it is a mark that steers a terminal or turns the direction of text."""
    return unicodedata.category(letter) in ("Cc", "Cf") and letter not in JOINERS


def _like(exercise_id: str) -> dict[str, Any]:
    table = tables.exercises()
    return table[table["exercise_id"] == exercise_id].iloc[0].to_dict()


def _reps(said: Mapping[str, str], base: Mapping[str, Any], at: int, where: str) -> float:
    column = ("reps_low", "reps_high")[at]
    number = _number(said, column, where, 1.0, 100.0)
    usual = base.get(column)
    return number if number is not None else USUAL_REPS[at] if usual is None or usual != usual else float(usual)


def _number(cells: Mapping[str, str], column: str, where: str, low: float, high: float) -> float | None:
    text = cells.get(column, "")
    if not text or text == "nan":
        if column == "credit":
            raise Refusal("No credit is given", where, "Give 1, 0.5, 0.25, or 0 for a head that is not trained.")
        return None
    try:
        number = float(text.replace(",", "."))
    except ValueError:
        number = float("nan")
    if not low <= number <= high:
        raise Refusal(f"'{text[:find.SHOWN]}' is no {column.replace('_', ' ')}", where, f"Give a number from {low:g} to {high:g}.")
    return number


def _note(cells: Mapping[str, str]) -> str:
    return " ".join(cells.get("note", "").split())[:NOTE_MAX]
