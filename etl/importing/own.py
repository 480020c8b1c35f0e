"""What the keeper of a store changes in the catalogue: taken in, taken back, and what follows for the sets in the store."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from etl import tables
from etl.importing.memory import known_by
from etl.importing.naming import settle_name
from etl.names import Match, Matcher, normalise_name
from etl.own import find
from etl.own.table import changes_in, rows_of, text_of
from etl.own.what import OWN_ID, Changes, OwnExercise, OwnName
from etl.read import read_table
from etl.refusal import Refusal
from etl.store import own, reading, set_changes, writing

KINDS = ("exercises", "credits", "targets", "names")
MOST_BYTES = 5_000_000  # [D] a larger file is no table of changes


def changes(path: str | Path) -> Changes:
    """All that was changed in the store at `path`; names: what was decided on a written name."""
    with reading(path) as con:
        return _changes(con)


def table_of_changes(path: str | Path) -> str:
    """The same as CSV, to be taken in by another store or after a spreadsheet."""
    return text_of(changes(path))


def rows_of_changes(path: str | Path) -> list[dict[str, str]]:
    """The same, a dict for each row, without its empty cells."""
    return rows_of(changes(path))


def take_in(path: str | Path, data: bytes, name: str) -> dict[str, int]:
    """Take in a table of changes, whole or not at all, in place of earlier ones on the same things.

    Returns how many exercises, credits, targets and names it held, and sets_settled. Raises Refusal with the rows that are wrong.
    """
    if len(data) > MOST_BYTES:
        raise Refusal("The file is too large for a table of changes", name, "evenset changes --out FILE.csv writes one to begin with.")
    table = read_table(data, name)
    with writing(path) as con:
        athletes = [athlete for (athlete,) in con.execute("select athlete from athletes").fetchall()]
        found = changes_in(table.header, table.rows.to_numpy().tolist(), table.line_no.tolist(), athletes, tables.in_use().own.exercises)
        if not found:
            raise Refusal("The table holds no change", name, "Each row says in the column 'change' what it is: exercise, credit, target or name.")
        return put(con, found)


def change(path: str | Path, said: Changes) -> dict[str, int]:
    """Put changes that were checked into the store at `path`; returns what `take_in` returns."""
    with writing(path) as con:
        return put(con, said)


def put(con: Any, said: Changes) -> dict[str, int]:
    """The same within the caller's transaction."""
    _same_work(con, said.exercises)
    # What is said of a name goes before what an exercise's own name says.
    names = [*(OwnName(normalise_name(one.name), one.exercise_id) for one in said.exercises), *said.names]
    with _settling(con) as settled:
        own.write(con, said.exercises, said.credits, said.targets)
        for one in names:
            con.execute("insert or replace into name_decisions values (?, ?, ?, now()::timestamp)", [one.written, one.exercise_id, one.modifiers])
        _check(con)
    return {kind: len(getattr(said, kind)) for kind in KINDS} | {"sets_settled": sum(settled.values())}


def take_back_exercise(path: str | Path, exercise_id: str) -> int:
    """Take an exercise of one's own away, with its credits and what names meant by it; returns how many sets that settled anew.

    Its sets stay in the log, and wait for a match where the catalogue does not know their name.
    """
    with writing(path) as con:
        if not con.execute("select 1 from own_exercises where exercise_id = ?", [exercise_id]).fetchall():
            raise Refusal(f"There is no exercise of your own '{exercise_id}'", "", "evenset changes lists them.")
        with _settling(con) as settled:
            _drop_exercises(con, [exercise_id])
        return sum(settled.values())


def take_back_credits(path: str | Path, exercise: str) -> int:
    """Give a shipped exercise its shipped credits again; returns how many were changed."""
    with writing(path) as con:
        exercise_id = find.exercise(exercise, "exercise")
        if exercise_id.startswith(OWN_ID):
            raise Refusal(f"The credits of {exercise_id} are your own", "", "Change them, or take the exercise away.")
        gone = con.execute("delete from own_credits where exercise_id = ? returning head_id", [exercise_id]).fetchall()
        if not gone:
            raise Refusal(f"No credit of {exercise_id} was changed", "", "evenset changes lists what was.")
        own.settle(con)
        _work_out_anew(con)
        return len(gone)


def take_back_target(path: str | Path, part: str, athlete: str = "") -> None:
    """Give a part the band of the level again, for everybody ("") or for one athlete."""
    with writing(path) as con:
        gone = con.execute("delete from own_targets where part = ? and athlete = ? returning part", [find.part(part, "part"), athlete]).fetchall()
        if not gone:
            others = con.execute("select athlete from own_targets where part = ? order by athlete", [find.part(part, "part")]).fetchall()
            said = ", ".join(f"{part}/{name}" if name else part for (name,) in others)
            raise Refusal(f"No target was set for {part}", athlete or "for everybody", f"One was set for {said}: say that." if said else "evenset changes lists what was.")
        _work_out_anew(con)


def restore(path: str | Path) -> dict[str, int]:
    """Use the shipped catalogue as it is: all of one's own exercises, credits, targets and decisions on names go.

    Returns how many of each there were, and sets_settled.
    """
    with writing(path) as con:
        had = _changes(con)
        with _settling(con) as settled:
            _drop_exercises(con, [one.exercise_id for one in had.exercises])
            for table in ("own_credits", "own_targets", "name_decisions"):
                con.execute(f"delete from {table}")
            own.settle(con)
        return {kind: len(getattr(had, kind)) for kind in KINDS} | {"sets_settled": sum(settled.values())}


def _changes(con: Any) -> Changes:
    laid = own.read(con)
    ids = {normalise_name(one.name): one.exercise_id for one in laid.exercises}
    decided = con.execute("select name_key, exercise, modifiers from name_decisions order by name_key").fetchall()
    names = tuple(OwnName(*row) for row in decided if ids.get(row[0]) != row[1])  # an exercise's own name comes with it
    return Changes(laid.exercises, laid.credits, tuple(own.targets(con)), names)


def _same_work(con: Any, exercises: tuple[OwnExercise, ...]) -> None:
    """Bare numbers of sets in the store were read as repetitions or as seconds: that cannot turn under them."""
    before = {one.exercise_id: one.mode for one in own.read(con).exercises}
    for one in exercises:
        turned = before.get(one.exercise_id, one.mode) != one.mode
        if turned and con.execute("select count(*) from sets where exercise = ?", [one.exercise_id]).fetchall()[0][0]:
            was = {"reps": "repetitions", "hold": "seconds"}[before[one.exercise_id]]
            raise Refusal(f"The sets of '{one.name}' in the store are counted in {was}", one.exercise_id, "Take the exercise away first, and add it as another one.")


def _check(con: Any) -> None:
    """An exercise of one's own trains something directly: else it would count in no part. A shipped one trains something."""
    laid, credits = own.read(con), tables.credits()
    direct, some = set(credits.loc[credits["credit"] >= 1, "exercise_id"]), set(credits["exercise_id"])
    for one in laid.exercises:
        if one.exercise_id not in direct:
            raise Refusal(f"'{one.name}' trains no head directly", one.exercise_id, "Give at least one head a credit of 1, or say which exercise it is like.")
    for bare in sorted({one.exercise_id for one in laid.credits} - some):
        raise Refusal(f"{bare} would train nothing", "credit", "Leave at least one of its heads a credit above 0.")


@contextmanager
def _settling(con: Any) -> Iterator[Counter[str]]:
    """Settle every written name whose meaning is another one on leaving; the counter then holds its sets."""
    settled: Counter[str] = Counter()
    written = [name for (name,) in con.execute("select distinct exercise_as_written from sets").fetchall()]
    before, facts = known_by(con).decisions, _facts()
    was = _meant(written, before)
    yield settled
    now = _meant(written, known_by(con).decisions)
    keys = {normalise_name(name) for name in written if _told(was[name]) != _told(now[name])}
    others = [exercise for exercise, said in _facts().items() if facts.get(exercise, said) != said]
    keys |= {key for (key,) in con.execute("select distinct name_key from sets where exercise in (select unnest(?::text[]))", [others]).fetchall()}
    for key in sorted(keys):
        settled[key] = settle_name(con, key, before, {name: match for name, match in was.items() if normalise_name(name) == key})
    own.let_go(con)
    _work_out_anew(con)


def _facts() -> dict[str, tuple[str, str, float]]:
    """What decides how the sets of one's own exercises are read: bare numbers as seconds, light sets as warm-ups."""
    return {one.exercise_id: (one.mode, one.load_basis, one.bodymass_share) for one in tables.in_use().own.exercises}


def _meant(written: list[str], decisions: dict[str, tuple[str, str]]) -> dict[str, Match]:
    return dict(zip(written, Matcher.from_catalogue(decisions).match(written), strict=True))


def _told(match: Match) -> tuple[str | None, str, str]:
    return match.exercise, match.modifiers, match.side


def _work_out_anew(con: Any) -> None:
    """Everybody's weeks are worked out anew: what a head, a part or an exercise counts is another.

    The text is another one with each change, so that who is working them out finds that there was one meanwhile.
    """
    con.execute("insert or replace into meta select 'worked_out_with', 'changed after ' || value from meta where key = 'stamp'")


def _drop_exercises(con: Any, ids: list[str]) -> None:
    """Take exercises away, with what was decided by them; corrections that named them say what the names of their sets mean."""
    for table in ("own_exercises", "own_credits"):
        con.execute(f"delete from {table} where exercise_id in (select unnest(?::text[]))", [ids])
    con.execute("delete from name_decisions where exercise in (select unnest(?::text[]))", [ids])
    own.settle(con)
    by_name = Matcher.from_catalogue(known_by(con).decisions)
    for one in set_changes.changes_of(con):
        for side, said in (("original", one.original), ("changed", one.changed or {})):
            if said.get("exercise") in ids:
                (match,) = by_name.match([(one.original | said)["exercise_as_written"]])
                means = {"exercise": match.exercise, "modifiers": match.modifiers or None}
                set_changes.amend(con, one, means, side)
                if side == "changed":
                    set_changes.update(con, "sets", means, "set_id", one.set_id)
