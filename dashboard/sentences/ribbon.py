"""Twelve weeks in words: what was planned and done, what the coach decided, and what followed four weeks later."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import pandas as pd

from dashboard.measures.verdict import TOO_LITTLE
from dashboard.sentences.marks import WORDS
from dashboard.sentences.numbers import begun, day, listed, number, sets, signed
from dashboard.sentences.strength import WORDS as VERDICTS
from etl.settings import RULES, Rules

SAYS = {"planned_increase": "planned"}  # in one word on a tile
KINDS = {"easy": "of them easy", "away": "away", "return": "of return"}
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


@dataclass(frozen=True)
class Ribbon:
    """What a ribbon shows. start, until: the Monday and the Sunday that it spans.

    weeks: one row per week of the log: week, done, usual, planned (NaN where nothing was planned), kind (full, easy, return, away, running), word.
    pins: one row per decision: number (from 1), decision_id, date, text, subject, followed. blocks: aim, starts, ends. goals: text, due, reached.
    """

    start: date
    until: date
    weeks: pd.DataFrame
    pins: pd.DataFrame
    blocks: pd.DataFrame
    goals: pd.DataFrame


def word(kind: str, mark: str) -> str:
    """The word on a week's tile: what a person marked it as, else what kind of week it was; '' for a full one.

    >>> word("easy", ""), word("away", "holiday"), word("full", "illness"), word("running", "")
    ('easy', 'holiday', 'illness', 'so far')
    """
    if mark:
        return SAYS.get(mark) or WORDS.get(mark, mark.replace("_", " ")).removeprefix("a ").removeprefix("an ")
    return {"full": "", "running": "so far"}.get(kind, kind)


def finding(of: Ribbon) -> str:
    """What the ribbon shows, as a title: Twelve weeks: 444 of 506 planned sets done."""
    weeks = of.weeks
    over = begun(f"{_count(len(weeks))} week{'s' * (len(weeks) != 1)}")
    known = weeks[weeks["planned"].notna() & (weeks["kind"] != "running")]
    if len(known):
        where = "" if len(known) == len(weeks) else f" in the {_count(len(known))} with a plan in the log"
        return f"{over}: {number(known['done'].sum(), 0)} of {number(known['planned'].sum(), 0)} planned sets done{where}"
    counts = {what: int((weeks["kind"] == kind).sum()) for kind, what in KINDS.items()}
    beside = [f"{_count(count)} {what}" for what, count in counts.items() if count]
    return f"{over}" + (f" ({listed(beside)})" if beside else "") + f" with {number(weeks['done'].sum(), 0)} hard sets"


def in_words(of: Ribbon) -> str:
    """The text alternative: each week, then each decision with what followed, the blocks and the goals."""
    told = "; ".join(_week(row) for row in of.weeks.itertuples())
    decided = " ".join(f"{row.number}. {pin(row)}" for row in of.pins.itertuples())
    framed = " ".join(f"Block from {day(row.starts)} to {day(row.ends)}: {_ended(row.aim)}" for row in of.blocks.itertuples())
    due = " ".join(f"Goal for {day(row.due)}: {_ended(row.text + (', reached' if row.reached else ''))}" for row in of.goals.itertuples())
    return " ".join(filter(None, [f"{finding(of)}. By week: {told}.", decided and f"Decisions: {decided}", framed, due]))


def pin(row) -> str:
    """One decision as a sentence below the ribbon: day, what was decided, and what followed. row: date, text, followed."""
    return f"{day(row.date, year=False)}: {_ended(row.text)} {begun(row.followed)}."


def too_early(weeks: int, rules: Rules = RULES) -> str:
    """So many of the four weeks have passed.

    >>> too_early(2)
    'too early to say (2 of 4 weeks)'
    """
    return f"too early to say ({weeks} of {rules.followed_weeks} weeks)"


def of_strength(name: str, verdict: str | None, rate: float, low: float, high: float) -> str:
    """What followed for the strength of an exercise or a part.

    >>> of_strength("biceps", "progressing", 0.6, 0.1, 1.1), of_strength("curl", None, *[float("nan")] * 3)
    ('four weeks later: biceps progressing, +0.6 % a week (+0.1 to +1.1)', 'four weeks later: curl was not in the log')
    """
    if verdict is None:
        return f"{later()}: {name} was not in the log"
    told = f"{later()}: {name} {VERDICTS.get(verdict, verdict)}" + " for a verdict" * (verdict == TOO_LITTLE)
    return told if pd.isna(rate) else f"{told}, {signed(rate, 1)} % a week ({signed(low, 1)} to {signed(high, 1)})"


def of_dose(dose: float, low: float, high: float) -> str:
    """What followed for the sets of a part.

    >>> of_dose(3.0, 4.0, 20.0), of_dose(9.0, 4.0, 20.0)
    ('3 hard sets that week, 1 short of its band', '9 hard sets that week, within its band')
    """
    where = f"{number(low - dose)} short of its band" if dose < low else f"{number(dose - high)} above its band" if dose > high else "within its band"
    return f"{sets(dose)} that week, {where}"


def of_whole_body(done: float, usual: float, kind: str) -> str:
    """What followed for the sets of the whole body.

    >>> of_whole_body(44.0, 46.0, "full"), of_whole_body(0.0, 46.0, "away")
    ('four weeks later: 44 hard sets, usual 46', 'four weeks later: a week away')
    """
    if kind == "away":
        return f"{later()}: a week away"
    return f"{later()}: {sets(done)}" + (f", usual {number(usual)}" if pd.notna(usual) else "") + ", an easy week" * (kind == "easy")


def aim_of(aim: str, deload_due: date | None) -> str:
    """A block's aim, with the week in which a deload is due."""
    return aim if deload_due is None or pd.isna(deload_due) else f"{aim} (deload due {day(deload_due, year=False)})"


def later(rules: Rules = RULES) -> str:
    """When what followed is looked at."""
    return f"{_count(rules.followed_weeks)} weeks later"


def _week(row) -> str:
    said = f", {row.word}" if row.word else ""
    of = f" of {number(row.planned)} planned" if pd.notna(row.planned) else f", usual {number(row.usual)}" if pd.notna(row.usual) else ""
    return f"{day(row.week, year=False)} {sets(row.done)}{of}{said}"


def _count(count: int) -> str:
    return NUMBERS[count] if count < len(NUMBERS) else number(count)


def _ended(text: str) -> str:
    return text if text[-1:] in ".!?…" else f"{text}."


def plain(texts: Sequence[str]) -> list[str]:
    """Each text on one line."""
    return [" ".join(str(text).split()) for text in texts]
