"""What a page's picture shows, as its title: one sentence."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from dashboard.sentences.dose import between
from dashboard.sentences.grammar import plural
from dashboard.sentences.numbers import begun, counted, number, together

MOVES = {"progressing": ("rises", "rise"), "plateau": ("stands still", "stand still"), "declining": ("falls", "fall")}
UNDECIDED, NAMED = "undecided", 3
MARKS = {"step_up": "a step up", "spike": "a spike", "large_spike": "a large spike"}
EASY = {"deload": "a deload", "holiday": "a holiday", "illness": "an illness", "layoff": "a layoff", "return": "a return"}

AT_ITS_END = "changes of load are judged at its end"  # of a week that still runs


def strength_finding(names: Sequence[str], verdicts: Sequence[str], what: str = "parts") -> str:
    """Which parts (or exercises) rise, stand still and fall, and of how many that is open; more than three are counted.

    >>> strength_finding(["chest", "lats", "calves"], ["progressing", "plateau", "undecided"])
    'Chest rises, lats stand still, 1 undecided'
    >>> strength_finding(["calf, upper", "abs", "lats"], ["progressing", "progressing", "plateau"])
    'Calf, upper and abs rise; lats stand still'
    >>> strength_finding(list("abcde"), ["progressing"] * 4 + ["undecided"])
    '4 parts rise, 1 undecided'
    >>> strength_finding(["chest"], ["too_little_data"])
    'Too little data yet for a verdict'
    """
    found = {verdict: [name for name, one in zip(names, verdicts, strict=True) if one == verdict] for verdict in (*MOVES, UNDECIDED)}
    told = [f"{together(own) if len(own) <= NAMED else f'{number(len(own))} {what}'} {words[len(own) > 1 or plural(own[0])]}" for verdict, words in MOVES.items() if (own := found[verdict])]
    if found[UNDECIDED]:
        told.append(f"{number(len(found[UNDECIDED]))} undecided" if told else f"No verdict yet: all {number(len(found[UNDECIDED]))} {what} undecided")
    return begun(("; " if any("," in one for one in told) else ", ").join(told)) if told else "Too little data yet for a verdict"


def load_finding(subject: str, load: float, low: float | None, high: float | None, usual: float | None, mark: str, state: str, planned: bool | None, parts: int = 0,
                 so_far: bool = False) -> str:
    """A week's load against usual, and whether it jumped. parts: of the whole body, how many of its parts did. so_far: the week still runs, and
    is not judged yet.

    >>> load_finding("whole body", 74, None, None, 46, "large_spike", "", False)
    'Whole body: 74 hard sets, usual 46: a large spike'
    >>> load_finding("lats", 21, 19.5, 22.5, 20, "", "", False), load_finding("lats", 21, None, None, None, "", "baseline", False)
    ('Lats: 21 hard sets (19.5 to 22.5), usual 20: no jump', 'Lats: 21 hard sets, no usual yet')
    >>> load_finding("whole body", 56, None, None, 46, "", "", False, 8)
    'Whole body: 56 hard sets, usual 46: no jump as a whole, but of 8 parts'
    >>> load_finding("whole body", 51, None, None, 57, "", "", False, so_far=True), load_finding("whole body", 91, None, None, 39, "large_spike", "", False, so_far=True)
    ('Whole body: 51 hard sets so far, usual 57 in a whole week; changes of load are judged at its end', 'Whole body: 91 hard sets so far, usual 39 in a whole week: already a large spike')
    """
    told = f"{begun(subject)}: {number(load)} hard sets{between(low, high)}" + " so far" * so_far
    if usual is None or pd.isna(usual):
        return f"{told}, no usual yet"
    told += f", usual {number(usual)}" + " in a whole week" * so_far
    if so_far and mark not in MARKS and state not in EASY:
        return f"{told}; {AT_ITS_END}"
    of_parts = f" as a whole, but of {counted(parts, 'part', 'parts')}" if parts else ""
    jumped = MARKS.get(mark, EASY.get(state, f"no jump{of_parts}"))
    return f"{told}: {'already ' * (so_far and mark in MARKS)}{jumped}" + (", planned" if mark in MARKS and pd.notna(planned) and planned else "")


def blocks_finding(hard: tuple[float, float], sessions: tuple[float, float]) -> str:
    """Two stretches of weeks, the older one first: means of their whole weeks of training, missing where there is none.

    >>> blocks_finding((44.5, 40.0), (4.0, 4.0)), blocks_finding((44.5, 50.0), (1.0, 4.0))
    ('40 hard sets a week after 44.5; 4 sessions a week in both', '50 hard sets a week after 44.5; 4 sessions a week after 1')
    >>> blocks_finding((float("nan"), 40.0), (float("nan"), 4.0))
    'Two stretches, and no whole week of training in the older'
    """
    empty = [name for name, one in zip(("the older", "the newer"), hard, strict=True) if pd.isna(one)]
    if empty:
        return f"Two stretches, and no whole week of training in {'either' if len(empty) > 1 else empty[0]}"
    first, second = (number(one) for one in sessions)
    of_sessions = f"{second} {'session' if second == '1' else 'sessions'} a week"
    return f"{number(hard[1])} hard sets a week after {number(hard[0])}; {of_sessions} " + ("in both" if first == second else f"after {first}")


def whole_weeks(weeks: int, holidays: int = 0, illnesses: int = 0) -> str:
    """Of how many weeks a stretch's means are, and what was left out.

    >>> whole_weeks(4), whole_weeks(3, 1)
    ('4 whole weeks', '3 whole weeks of training, 1 marked as a holiday left out')
    >>> whole_weeks(1, 0, 2), whole_weeks(0, 1, 1)
    ('1 whole week of training, 2 marked as an illness left out', 'no whole week of training, 1 marked as a holiday and 1 as an illness left out')
    """
    away = [f"{number(count)} {'marked ' * (not others)}as {what}" for count, what, others in
            ((holidays, "a holiday", 0), (illnesses, "an illness", holidays)) if count]
    told = counted(weeks, "whole week", "whole weeks") if weeks else "no whole week"
    return f"{told} of training, {' and '.join(away)} left out" if away else told


def session_finding(sets: int, hard: float, bests: int) -> str:
    """One session.

    >>> session_finding(18, 15.5, 1), session_finding(1, 1, 0)
    ('18 sets, 15.5 of them hard, 1 new best', '1 set, 1 of them hard')
    """
    return f"{counted(sets, 'set', 'sets')}, {number(hard)} of them hard" + (f", {counted(bests, 'new best', 'new bests')}" if bests else "")
