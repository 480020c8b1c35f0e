"""`evenset athlete`, and finding the athlete and the week that a command is about."""

from __future__ import annotations

import argparse
import json
import re
from dataclasses import asdict
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from dashboard.command.progress import refreshed
from dashboard.queries.kept import Store
from dashboard.queries.words import called
from dashboard.queries.people import athletes, week_to_show, weeks
from dashboard.sentences.units import KG, LB, loads_told
from etl import tables
from etl.importing import rename_athlete
from etl.notation.house import loads_in_kg
from etl.refusal import Refusal
from etl.store import known as people
from etl.store import reading, store_path
from etl.store.athletes import say, settings


def athlete(options: argparse.Namespace) -> None:
    """Write what was said of an athlete, and show what is known."""
    store = store_path(options.store)
    said = {"level": options.level, "focus": _focus(options.focus), "equipment": _list(options.equipment), "warm_ups": options.warm_ups,
            "equation": options.equation, "shown_unit": options.shown_unit, "loads": _loads(options), "shows": _shows(options.client_sees)}
    renamed = rename_athlete(store, options.name, options.rename) if options.rename is not None else None
    name = renamed["athlete"] if renamed else options.name
    if saying := any(value is not None for value in said.values()):
        say(store, name, **said)
    if saying or renamed:
        refreshed(store)
    known = _known(store, name)
    if options.json:
        print(json.dumps(known, ensure_ascii=False))
        return
    if renamed:
        print(f"'{renamed['was']}' is called '{name}' from now on, also in later files that write '{renamed['was']}'.")
    print(f"{known['athlete']}: {known['level']}{'' if known['level_said'] else ' (assumed; --level says another)'}")
    print(f"  in focus: {', '.join(map(called, known['focus'])) or 'the main parts of the regions that the log trains'}")
    print(f"  equipment: {', '.join(known['equipment']) or 'not said'}")
    unit = known["shown_unit"]
    loads = loads_told(known["loads"], unit)
    print(f"  loads in the house: {loads or 'any'}{f' {unit}' if loads and not loads.endswith((KG, LB)) else ''}; "
          f"shown in {unit}{'' if known['shown_unit_said'] else ' (as most of the log; --shown-unit says another)'}")
    print(f"  a client sees beside the training: {', '.join(known['shows']) or 'nothing'}")
    print(f"  warm-ups: {known['warm_ups']}; one-repetition maximum by {known['equation'].replace('_', ' ')}")


def find(store: Store, name: str | None) -> str:
    """The athlete with training who was named, or the only one. Raises Refusal with the names there are."""
    return _one_of(athletes(store), store.path, name)


def find_stored(path: Path, name: str | None) -> str:
    """The same among all who have rows in the store, also of planned sets alone."""
    with reading(path) as con:
        known = [n for (n,) in con.execute("select athlete from sets union select athlete from days order by athlete").fetchall()]
    return _one_of(known, str(path), name)


def _one_of(known: list[str], path: str, name: str | None) -> str:
    if not known:
        raise Refusal("The store holds no training yet", path, "Import a log (evenset import FILE.csv), or look at the sample (evenset demo).")
    if name is None and len(known) == 1:
        return known[0]
    if name and (one := people.meant(name, known)):
        return one
    raise people.nobody(name, known, "--athlete") if name else Refusal("There are several athletes", "--athlete", people.suggestion(None, known))


def find_week(store: Store, name: str, said: str | None) -> date:
    """The Monday of the week that was said (a date in it, or 2025-W47), or the last full week with training."""
    known = weeks(store, name)
    if said is None:
        return week_to_show(store, name)
    monday = monday_of(said)
    if monday not in known:
        raise Refusal(f"{name} has no log in the week of {monday.isoformat()}", "--week", f"There are weeks from {known[0]} to {known[-1]}.")
    return monday


def monday_of(said: str) -> date:
    """The Monday of the week that a date, or an ISO week such as 2025-W47, lies in. Raises Refusal for what is neither."""
    try:
        iso = re.fullmatch(r"(\d{4})-?W(\d{1,2})", said.strip(), re.IGNORECASE)
        day = date.fromisocalendar(int(iso[1]), int(iso[2]), 1) if iso else date.fromisoformat(said.strip())
    except ValueError:
        raise Refusal(f"'{said}' is no week", "--week", "Write a date such as 2025-11-17, or a week such as 2025-W47.") from None
    return day - timedelta(days=day.weekday())


def _list(text: str | None) -> list[str] | None:
    return None if text is None else [item.strip() for item in text.split(",") if item.strip()]


def _focus(text: str | None) -> list[str] | None:
    """Part ids from ids or coach's words; [] for the default."""
    if text is None or text.strip() == "auto":
        return None if text is None else []
    parts = tables.parts()
    by_word = dict(zip(parts["coach_word"].str.casefold(), parts["part_id"], strict=True)) | {p: p for p in parts["part_id"]}
    named = _list(text) or []
    unknown = [name for name in named if name.casefold() not in by_word]
    if unknown:
        raise Refusal(f"There is no part '{unknown[0]}'", "--focus", f"The parts are: {', '.join(parts['coach_word'])}.")
    return [by_word[name.casefold()] for name in named]


def _loads(options: argparse.Namespace) -> list[float] | None:
    """Loads in kg, the lightest first; [] for any. A number without a unit is in kg, whatever is shown: a script says the same for everybody."""
    text = options.loads
    return None if text is None else [] if text.strip() == "any" else loads_in_kg(text, KG, "--loads")


def _shows(text: str | None) -> list[str] | None:
    return [] if text is not None and text.strip() == "none" else _list(text)


def _known(store: Any, name: str) -> dict[str, Any]:
    return {"athlete": name, **asdict(settings(store, name))}
