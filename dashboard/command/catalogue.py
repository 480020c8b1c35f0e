"""`evenset lookup` and `evenset changes`: what the catalogue says, and what the keeper of the store changed in it."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pandas as pd

from dashboard.command.output import json_text, new_file
from dashboard.command.progress import refreshed
from dashboard.queries import catalogue
from dashboard.queries.review import plain
from dashboard.queries.words import called
from dashboard.sentences.catalogue import changed_lines, compared_words, credit_words, evidence_words
from dashboard.sentences.numbers import counted
from etl.importing import own
from etl.own import find
from etl.refusal import Refusal
from etl.store import reading, store_path

SHOWN = 20  # exercises that the words of a head list; --json has all


def lookup(options: argparse.Namespace) -> None:
    """An exercise, a head, or two exercises head by head."""
    with reading(store_path(options.store)):
        pass  # whose catalogue it is that is looked up
    kind, identifier = _which(options.what, ("exercise", options.what, find.exercise), ("head", options.what, find.head))
    if options.against:
        if kind == "head":
            raise Refusal("A head cannot be compared", "--against", "Name two exercises.")
        _compared(identifier, find.exercise(options.against, "--against"), options.json)
    else:
        {"exercise": _exercise, "head": _head}[kind](identifier, options.json)


def _which(said: str, *kinds: tuple[str, str, Callable[[str, str], str]], otherwise: str = "The page Exercises lists both.") -> tuple[str, str]:
    """The kind and the id of what was said. kinds: each with what to look for and how it is found; the first that has it."""
    hints = []
    for kind, text, found in kinds:
        try:
            return kind, found(text, "WHAT")
        except Refusal as refusal:
            hints += [refusal.do] if refusal.do.startswith(("Did you mean", "Name one of them")) else []
    raise Refusal(f"There is {' and '.join(f'no {kind}' for kind, *_ in kinds)} '{said[:find.SHOWN]}'", "WHAT", " ".join(hints) or otherwise)


def _exercise(identifier: str, as_json: bool) -> None:
    found, heads = catalogue.exercise(identifier), catalogue.heads_of(identifier)
    steps, variants, findings = catalogue.steps_of(identifier), catalogue.variants_of(identifier), catalogue.findings_of(identifier)
    if as_json:
        print(json_text({"exercise": identifier, "name": found.name, "own": found.own, "facts": dict(found.facts), "other_names": list(found.other_names),
                         "heads": _rows(heads), "ladder": _rows(steps), "variants": _rows(variants), "findings": _rows(findings)}))
        return
    print(f"{found.name} ({identifier})" + (", an exercise of your own" if found.own else ""))
    print("\n".join(f"  {label}: {value}" for label, value in found.facts.items()))
    print("Heads:\n" + "\n".join(f"  {credit_words(row.base, row.credit)}  {row.name_}  {evidence_words(row.grade, row.note, row.other_reading)}"
                                for row in heads.rename(columns={"name": "name_"}).itertuples()))
    if len(steps):
        print(f"Ladder, {catalogue.ladder_name(identifier)}:")
        print("\n".join(f"  {row.step}{'*' if row.here else ' '} {row.name_}" + (f": {row.enter}" if row.enter else "")
                        for row in steps.rename(columns={"name": "name_"}).itertuples()))
    if len(variants):
        print("Variants:\n" + "\n".join(f"  {row.modifier}={row.value}: {row.what}" + (f" [{row.grade}] {row.note}" if row.grade else "") for row in variants.itertuples()))
    if len(findings):
        print("Studies:\n" + "\n".join(f"  {row.says} ({row.measured}; {row.who}). {row.source} [{row.verdict}]" for row in findings.itertuples()))


def _head(identifier: str, as_json: bool) -> None:
    found = catalogue.exercises_of(identifier)
    if as_json:
        print(json_text({"head": identifier, "name": called(identifier), "exercises": _rows(found)}))
        return
    print(f"{called(identifier)} ({identifier}) is trained by {counted(len(found), 'exercise', 'exercises')}")
    print("\n".join(f"  {credit_words(row.credit, row.credit)}  {row.name_}  {evidence_words(row.grade, row.note, row.other_reading)}"
                    for row in found.head(SHOWN).rename(columns={"name": "name_"}).itertuples()))
    if len(found) > SHOWN:
        print(f"  and {len(found) - SHOWN} more: --json lists all")


def _compared(one: str, other: str, as_json: bool) -> None:
    found, findings = catalogue.compared(one, other), catalogue.findings_of(one, other)
    if as_json:
        print(json_text({"a": one, "b": other, "heads": _rows(found), "findings": _rows(findings)}))
        return
    print(f"{called(one)} against {called(other)}")
    print("\n".join(f"  {row.name_}: {row.credit_a:g} and {row.credit_b:g} ({compared_words(row)})" for row in found.rename(columns={"name": "name_"}).itertuples()))
    print("\n".join(f"  {row.says} ({row.measured}). {row.source}" for row in findings.itertuples()) or "  No study in the catalogue compares the two.")


def _rows(table: pd.DataFrame) -> list[dict[str, Any]]:
    return [{name: plain(value) for name, value in row.items()} for row in table.to_dict("records")]


def changes(options: argparse.Namespace) -> None:
    """List, write, take in or take back what was changed."""
    store = store_path(options.store)
    if options.take_in:
        _done(options, {"taken_in": _taken_in(store, Path(options.take_in))})
    elif options.take_back:
        _done(options, {"sets_settled": _taken_back(store, options.take_back)})
    elif options.restore:
        _restore(store, options)
    elif options.out:
        _write(store, options.out)
        print(json_text({"written": options.out}) if options.json else
              f"{options.out}: a row for each change. evenset changes --take-in {options.out} takes it in, here or in another store")
    elif options.json:
        print(json_text({"changes": own.rows_of_changes(store)}))
    else:
        print("\n".join(changed_lines(own.changes(store), called)) or "Nothing is changed: the catalogue is as it was shipped.")


def _taken_in(store: Path, file: Path) -> dict[str, int]:
    try:
        data = file.read_bytes()
    except OSError as error:
        raise Refusal(f"The file cannot be read: {error.strerror}", str(file), "Check its name, and try again.") from error
    done = own.take_in(store, data, file.name)
    refreshed(store)
    return done


def _taken_back(store: Path, said: str) -> int:
    """What `said` names: an exercise of one's own, a shipped exercise whose credits were changed, or a part with a target."""
    laid, done = {one.exercise_id for one in own.changes(store).exercises}, 0
    part, _, athlete = said.partition("/")
    kind, identifier = _which(said, ("exercise", said, find.exercise), ("part", part, find.part), otherwise="evenset changes lists what was changed.")
    if kind == "part":
        own.take_back_target(store, identifier, athlete)
    elif identifier in laid:
        done = own.take_back_exercise(store, identifier)
    else:
        own.take_back_credits(store, identifier)
    refreshed(store)
    return done


def _restore(store: Path, options: argparse.Namespace) -> None:
    if options.out:
        _write(store, options.out)
    elif not options.yes:
        raise Refusal("Nothing was restored", "evenset changes --restore", "Add --out FILE.csv to keep the changes in a file first, or --yes to let them go.")
    done = own.restore(store)
    refreshed(store)
    _done(options, {"restored": done})


def _write(store: Path, name: str) -> None:
    text = own.table_of_changes(store)
    with new_file(Path(name)) as out:
        out.write(text)


def _done(options: argparse.Namespace, report: dict[str, Any]) -> None:
    if options.json:
        print(json_text(report))
        return
    told = next(iter(report.values()))
    if "taken_in" in report:
        print(f"Taken in: {_counts(told)}. {counted(told['sets_settled'], 'set', 'sets')} settled anew.")
    elif "restored" in report:
        print(f"The shipped catalogue is in use again. Gone: {_counts(told)}. {counted(told['sets_settled'], 'set', 'sets')} settled anew.")
    else:
        print(f"Taken back. {counted(told, 'set', 'sets')} settled anew.")


def _counts(told: dict[str, int]) -> str:
    words = {"exercises": ("exercise", "exercises"), "credits": ("credit", "credits"), "targets": ("target", "targets"), "names": ("name", "names")}
    return ", ".join(counted(told[kind], *both) for kind, both in words.items())
