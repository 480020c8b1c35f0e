"""Why an athlete needs a look, and what changed since the week before, each kind of reason in one sentence."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from typing import NamedTuple

import pandas as pd

from dashboard.sentences.grammar import plural
from dashboard.sentences.load import without_plan
from dashboard.sentences.marks import WORDS
from dashboard.sentences.numbers import amount, begun, counted, day, few, number, sets
from dashboard.sentences.units import in_unit

QUIET = "Nothing stands out."
TITLES = {
    "pain": "Pain", "not_trained": "Not trained", "alert": "Load", "flag": "New flag", "falling": "Falling", "verdict": "Strength stopped", "part_short": "Went short", "to_check": "To check",
    "stands": "Long without a rise",
    "nothing_new": "No newer log", "away_as_marked": "Away as marked", "first_time": "New exercise", "back": "Back", "part_back": "Back in its band", "verdict_eased": "Strength turned", "best": "Best so far",
}
GROUPS = {"first": "Need a look first", "stands": "Something has stood still for weeks", "rest": "The others"}
TURNED = {"declining": "declining", "plateau": "standing still", "progressing": "progressing", "undecided": "undecided"}
MOST = 2  # of one kind that are told one by one
PLACES = {"per_kg": 2, "hold": 0}
ESTIMATED = {"e1rm": "estimated maximum ", "per_kg": "estimated maximum "}
NAMED = 3
NO_BREAK = "\u00a0"


class Best(NamedTuple):
    """A best that fell in the week: of what, its value with the 80 % interval, and the best before it."""

    name: str
    measure: str
    value: float
    low: float
    high: float
    before: float


def pain(noted: Sequence[tuple]) -> str:
    """noted: day, place (or what was written), score of 10 or NaN, and where that is known for how many weeks running; the latest first.

    >>> pain([(date(2026, 3, 12), "left knee", 5.0)])
    'Noted on 12 March: left knee, 5 of 10.'
    >>> pain([(date(2026, 3, 12), "knee", float("nan"), 3)])
    'Noted on 12 March: knee, 3 weeks running.'
    """
    told = [f"{day(when, year=False)}: {place}" + (f", {number(score)} of 10" if pd.notna(score) else "") + (f", {weeks[0]} weeks running" if weeks and weeks[0] > 1 else "")
            for when, place, score, *weeks in noted[:MOST]]
    return f"Noted on {'; on '.join(told)}{_more(len(noted) - MOST)}."


def not_trained(days: int, last: date, usual: float, marked: int = 0) -> str:
    """usual: days between two days of training, NaN where nothing is usual yet; marked: how many of the days are of a holiday or an illness.

    >>> not_trained(16, date(2026, 3, 1), float("nan")), not_trained(16, date(2026, 3, 1), 3.5)
    ('No set for 16 days, since 1 March 2026.', 'No set for 16 days, since 1 March 2026; usual is every 3.5 days.')
    >>> not_trained(16, date(2026, 3, 1), float("nan"), 7)
    'No set for 16 days, since 1 March 2026; 9 of them are not marked as a holiday or an illness.'
    """
    rhythm = "" if pd.isna(usual) else f"; usual is every {'day' if usual == 1 else f'{number(usual)} days'}"
    of_them = f"; {number(days - marked)} of them {'is' if days - marked == 1 else 'are'} not marked as a holiday or an illness" if marked else ""
    return f"No set for {counted(days, 'day', 'days')}, since {day(last)}{of_them}{rhythm}."


def came_in(came: date, today: date) -> str:
    """When something of somebody without a newer set last came in: they may have trained, and not brought the log in. came: the day of that import.

    >>> came_in(date(2026, 11, 23), date(2026, 11, 30)), came_in(date(2025, 11, 23), date(2026, 1, 4)), came_in(date(2026, 11, 30), date(2026, 11, 30))
    ('Nothing new has come in from them since 23 November.', 'Nothing new has come in from them since 23 November 2025.', 'What came in from them today holds nothing newer.')
    """
    if came >= today:
        return "What came in from them today holds nothing newer."
    return f"Nothing new has come in from them since {day(came, year=came.year != today.year)}."


def nothing_new(days: int, last: date, came: date, today: date) -> str:
    """Somebody who had trained as usual when their log last came in, and of whom there is nothing since.

    >>> nothing_new(9, date(2026, 11, 20), date(2026, 11, 23), date(2026, 11, 29))
    'No set for 9 days, since 20 November 2026. Nothing new has come in from them since 23 November, so that they may have trained.'
    """
    return f"No set for {counted(days, 'day', 'days')}, since {day(last)}. {came_in(came, today).rstrip('.')}, so that they may have trained."


def away_as_marked(days: int, last: date, weeks: int, marks: Sequence[str]) -> str:
    """Somebody whose time without a set a person has marked. weeks: how many are marked, as which of marks.WORDS.

    >>> away_as_marked(16, date(2026, 3, 1), 2, ["holiday"]), away_as_marked(16, date(2026, 3, 1), 2, ["illness", "holiday"])
    ('No set for 16 days, since 1 March 2026: 2 weeks are marked as a holiday.', 'No set for 16 days, since 1 March 2026: 2 weeks are marked as a holiday and an illness.')
    """
    told = " and ".join(WORDS[mark] for mark in sorted(set(marks)))
    return f"No set for {counted(days, 'day', 'days')}, since {day(last)}: {counted(weeks, 'week is', 'weeks are')} marked as {told}."


def last_with_training(days: int) -> str:
    """
    >>> last_with_training(29)
    'No set for 29 days: this is the last week with training.'
    """
    return f"No set for {counted(days, 'day', 'days')}: this is the last week with training."


def flags(messages: Sequence[str], same: int = 0) -> str:
    """The first message, and how many more there are. same: how many of these are of the same rise in load, told by its parts.

    >>> flags(["Whole body: 90 hard sets.", *["Lats: 20 hard sets."] * 40, "Lats climb."], 40)
    'Whole body: 90 hard sets. The same rise shows in 40 parts (each on the page Load). And 1 more flag.'
    """
    more = len(messages) - 1 - same
    of_it = [f"The same rise shows in {counted(same, 'part', 'parts')} (each on the page Load)."] if same else []
    return " ".join([without_plan(messages[0]), *of_it, *([f"And {counted(more, 'more flag', 'more flags')}."] if more > 0 else [])])


def verdicts(turned: Sequence[tuple[str, str]]) -> str:
    """turned: name, and the verdict that it turned to.

    >>> verdicts([("chest", "plateau"), ("calf, upper", "plateau"), ("bench press", "declining"), ("glutes", "progressing"), ("abs", "progressing")])
    'Chest; calf, upper: standing still now. Bench press is declining now. Glutes and abs are progressing now.'
    """
    by_now: dict[str, list[str]] = {}
    for name, now in turned:
        by_now.setdefault(now, []).append(name)
    return " ".join(f"{begun(few(names))}{_are(names)} {TURNED[now]} now." for now, names in by_now.items())


def stands(parts: Sequence[tuple[str, bool, int]], most: int, quiet: int) -> str:
    """Parts whose verdict has been that they stand still or fall for weeks, and of which nobody has decided anything. How often running is counted; it
    dates nothing: when it began is told on the page Strength, where it can be. parts: name, whether it falls, for how many weeks; most: weeks that are
    looked back at; quiet: weeks without a decision.

    >>> stands([("chest", False, 9), ("lats", False, 26), ("biceps", True, 5)], 26, 4)
    'No rise found: chest (9 weeks running); lats (26 weeks running or more). Falling: biceps (5 weeks running). No decision about them in the last 4 weeks.'
    """
    told = []
    for word, falls in (("No rise found", False), ("Falling", True)):
        own = [f"{name} ({counted(weeks, 'week', 'weeks')} running{' or more' if weeks >= most else ''})" for name, falling, weeks in parts if falling == falls]
        told += [f"{word}: {_named(own)}."] if own else []
    return " ".join([*told, f"No decision about {'it' if len(parts) == 1 else 'them'} in the last {counted(quiet, 'week', 'weeks')}."])


def parts_short(parts: Sequence[str]) -> str:
    """
    >>> parts_short(["lats", "biceps"])
    'Below their bands, and not the week before: lats; biceps.'
    """
    return f"Below {_bands(parts)}, and not the week before: {_named(parts)}."


def parts_back(parts: Sequence[str]) -> str:
    """
    >>> parts_back(["lats"])
    'No longer below its band: lats.'
    """
    return f"No longer below {_bands(parts)}: {_named(parts)}."


def to_check(messages: Sequence[str], unmatched: int) -> str:
    """Entries that look like a slip, and sets of exercises that are not matched."""
    names = f"{counted(unmatched, 'set has', 'sets have')} an exercise that is not matched yet." if unmatched else ""
    return " ".join(filter(None, [flags(messages) if messages else "", names]))


def back(hard_sets: float) -> str:
    """The first week after a break of the whole body."""
    return f"First week after a break: {sets(hard_sets)}."


def best(found: Sequence[Best]) -> str:
    """The largest new best with its interval, whether the best before it lies inside that interval, and how many more there are.

    >>> best([Best("bench press", "e1rm", 92.5, 88.4, 96.8, 90.0)])
    'Bench press: estimated maximum 92.5 kg (80 % interval 88.4 to 96.8 kg), before it 90 kg, within its uncertainty.'
    >>> best([Best("plank", "hold", 70.0, 63.0, 77.0, 60.0), Best("pull-up", "reps", 12.0, 10.8, 13.3, 11.0)])
    'Plank: 70 s (80 % interval 63 to 77), before it 60, beyond its uncertainty; and 1 more.'
    """
    one, places = found[0], PLACES.get(found[0].measure, 1)
    unit = " kg" if one.measure == "e1rm" else ""  # with each number, so that it can be turned into pounds
    interval = f" (80 % interval {number(one.low, places)} to {number(one.high, places)}{unit})" if pd.notna(one.low) else ""
    sure = "" if pd.isna(one.low) else f", {'beyond' if one.before < one.low else 'within'} its uncertainty"
    more = f"; and {number(len(found) - 1)} more" if len(found) > 1 else ""
    return f"{begun(one.name)}: {ESTIMATED.get(one.measure, '')}{amount(one.value, one.measure)}{interval}, before it {number(one.before, places)}{unit}{sure}{more}."


def last_trained(days: int, last: date, today: bool) -> str:
    """The day stays on one line. days: before the day that is looked at, which is today or a week's Sunday.

    >>> last_trained(0, date(2026, 3, 9), True), last_trained(1, date(2026, 3, 8), True), last_trained(3, date(2026, 3, 6), False)
    ('today', 'yesterday', '3 days before, 6\\xa0March')
    """
    when = day(last, year=False).replace(" ", NO_BREAK)
    if today and days < 2:
        return ("today", "yesterday")[days]
    return f"{counted(days, 'day', 'days')} {'ago' if today else 'before'}, {when}" if days else f"that day, {when}"


def done(sessions: int, hard_sets: float, usual: float, planned: float) -> str:
    """
    >>> done(4, 44.0, 46.0, float("nan")), done(0, 0.0, float("nan"), 12.0)
    ('4 sessions, 44 hard sets, usual 46', 'no session, no usual yet, 12 planned')
    """
    told = f"{counted(sessions, 'session', 'sessions')}, {sets(hard_sets)}" if sessions else "no session"
    return f"{told}, {f'usual {number(usual)}' if pd.notna(usual) else 'no usual yet'}" + (f", {number(planned)} planned" if pd.notna(planned) else "")


def _are(names: Sequence[str]) -> str:
    """The verb of some names; a colon where one of them holds a comma, after which a verb reads badly."""
    if any("," in name for name in names):
        return ":"
    return " are" if len(names) > 1 or plural(names[0]) else " is"


def _named(names: Sequence[str]) -> str:
    """The first names; a name may hold a comma."""
    return "; ".join([*names[:NAMED], *([f"{number(len(names) - NAMED)} more"] if len(names) > NAMED else [])])


def _bands(parts: Sequence[str]) -> str:
    return "its band" if len(parts) == 1 else "their bands"


def _more(count: int) -> str:
    return f", and {number(count)} more" if count > 0 else ""


def heading(people: int, first: int, standing: int, away: int, silent: int = 0) -> str:
    """What the table says of all. first: those who need a look first; standing: those of whom only something stands still; away: of the first;
    silent: of all, those of whom there is no newer log.

    >>> heading(30, 4, 15, 1), heading(3, 0, 1, 0), heading(1, 0, 0, 0)
    ('4 of 30 need a look first, 1 of them with no set for clearly longer than usual; in 15 more something has stood still for weeks.', 'Nobody needs a look first; in 1 something has stood still for weeks.', 'Nobody needs a look.')
    >>> heading(30, 0, 0, 0, 24)
    'Nobody needs a look. Of 24 no newer log has come in.'
    """
    gone = f", {number(away)} of them with no set for clearly longer than usual" if away else ""
    who = f"{number(first)} of {number(people)} need{'s' if first == 1 else ''} a look first{gone}" if first else f"Nobody needs a look{' first' if standing else ''}"
    still = f"; in {number(standing)}{' more' if first else ''} something has stood still for weeks" if standing else ""
    return f"{who}{still}." + (f" Of {number(silent)} no newer log has come in." if silent else "")


def group_title(group: str, people: int) -> str:
    """
    >>> group_title("first", 4), group_title("stands", 15)
    ('Need a look first: 4', 'Something has stood still for weeks: 15')
    """
    return f"{GROUPS[group]}: {number(people)}"


def no_newer_log(newest: date) -> str:
    """A store that no new log has come into for long.

    >>> no_newer_log(date(2026, 11, 20))
    'No log is newer than 20 November 2026: bring the newest in first. Until then days are counted to the end of that week.'
    """
    return f"No log is newer than {day(newest)}: bring the newest in first. Until then days are counted to the end of that week."


def in_their_unit(kind: str, text: str, athlete: str, unit_of: Callable[[str], str]) -> str:
    """The sentence of a reason in the athlete's unit, which is asked for only where a load stands in it; what a person wrote of pain stays.

    >>> in_their_unit("best", "Bench press: 45.359237 kg.", "Oskar", lambda athlete: "lb"), in_their_unit("pain", "Noted: the 10 kg bell.", "Oskar", lambda athlete: "lb")
    ('Bench press: 100 lb.', 'Noted: the 10 kg bell.')
    """
    return in_unit(text, unit_of(athlete)) if kind != "pain" and " kg" in text else text
