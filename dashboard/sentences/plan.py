"""What to change next week, and why, in plain sentences. The default is to hold."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date

from dashboard.sentences.dose import EASY, between
from dashboard.sentences.numbers import begun, counted, day, few, listed, number, sets

NOTED_NOW = re.compile(r"^(Pain was noted(?: with it)?) this week")


def hold(in_focus: bool) -> tuple[str, str]:
    """Nothing asks for a change."""
    share = "Every part in focus had its share" if in_focus else "No part is in focus yet (a region needs four hard sets a week)"
    return "Keep next week as it was.", f"{share}, and no load stands out."


def comes_from(week: date, shown: date, so_far: bool) -> str:
    """From which week the changes come that stand beside the week `shown`; '' where that is over and they are its own.

    >>> comes_from(date(2026, 11, 16), date(2026, 11, 23), True)
    'This week still runs: these come from the week of 16 November and are for this one. What comes after it is worked out on its Sunday.'
    >>> comes_from(date(2026, 11, 23), date(2026, 11, 23), True)
    'So far: from this week as it stands on its last day.'
    """
    if week < shown:
        return f"This week still runs: these come from the week of {day(week, year=False)} and are for this one. What comes after it is worked out on its Sunday."
    return "So far: from this week as it stands on its last day." if so_far else ""


def told_later(reason: str) -> str:
    """A reason as it reads beside a later week.

    >>> told_later("Pain was noted with it this week (left elbow). Above 5 of 10, or for two weeks: have it seen.")
    'Pain was noted with it that week (left elbow). Above 5 of 10, or for two weeks: have it seen.'
    """
    return NOTED_NOW.sub(r"\1 that week", reason)


def no_training() -> tuple[str, str]:
    """A week without a set."""
    return "Go on where you left off.", "No set was logged this week. After more than two weeks away a return begins at about 70 % of what was usual, after four, or with care, at 50 %."


KEEP_REST = "Keep the rest as it is."


def keep_rest(more_short: int, more: int = 0) -> tuple[str, str]:
    """All that stays; how many parts are short beside those that were named, and how many other changes were left out."""
    waiting = [*([counted(more_short, "more part is short", "more parts are short")] if more_short else []), *([counted(more, "other change is left out", "other changes are left out")] if more else [])]
    others = f" {listed(waiting)}, and can wait: a few changes at a time." if waiting else ""
    return KEEP_REST, f"Sets are added where a part is short or stands still, not by habit.{others}"


def add_sets(part: str, short_by: float, add: int, exercise: str, dose: float, band_low: float, low: float, high: float, without: int = 0) -> tuple[str, str]:
    """A part below its band. exercise: one that fills it, or ''. low, high: the range of its dose. without: weeks with training, up to this one, in
    which no set trained it directly.
    """
    instance = f", for instance {exercise}" if exercise else ""
    rest = " One or two sets a week are the usual step." if short_by > add else ""
    return (f"{part[0].upper() + part[1:]}: add {counted(add, 'set', 'sets')}{instance}.",
            f"It had {sets(dose)}{between(low, high)} and its band begins at {number(band_low)}; {number(short_by)} short.{undirected(without)}{rest}")


UNDIRECTED, UNDIRECTED_MOST = 2, 8  # [D] weeks without a direct set from which on it is said, and up to which they are counted


def undirected(weeks: int) -> str:
    """For how long no set trained a part directly; '' where that is not worth a word.

    >>> undirected(1), undirected(3), undirected(8)
    ('', ' No set trained it directly in the last 3 weeks.', ' No set trained it directly in the last 8 weeks, or longer.')
    """
    if weeks < UNDIRECTED:
        return ""
    return f" No set trained it directly in the last {number(min(weeks, UNDIRECTED_MOST))} weeks{', or longer' if weeks >= UNDIRECTED_MOST else ''}."


def trim(part: str, dose: float, band_high: float, low: float, high: float, direct: float | None = None, by: Sequence[str] = ()) -> tuple[str, str]:
    """A part above its band. low, high: the range of its dose. direct: how many of its sets trained it directly, where that is known. by: the
    exercises of these, the most used first.

    >>> trim("lats", 24.0, 20.0, 12.0, 25.5, 22.0, ["pull-up"])[1]
    'It had 24 hard sets (12 to 25.5), 22 of them direct (pull-up), and its band ends at 20.'
    """
    if direct is None or direct == dose:
        of_them = f", by {few(by)}" if by else ""
    else:
        of_them = f", {number(direct)} of them direct" + (f" ({few(by)})" if by else "")
    return (f"{part[0].upper() + part[1:]}: trim {sets(max(1.0, round(dose - band_high)))}.",
            f"It had {sets(dose)}{between(low, high)}{of_them}, and its band ends at {number(band_high)}.")


def with_pain(about: str, place: str, score: float, see: bool) -> tuple[str, str]:
    """An exercise or a part that pain was noted with; '' for a place alone. score: of 10, or NaN. see: it is strong, or lasts."""
    where = f"{place}{f', {number(score)} of 10' if score == score else ''}"
    then = ", and have it seen before more is done" if see else ""
    if not about:
        return (f"{begun(place)}: leave out or lighten what brings the pain on; what does not may stay{then}.",
                f"Pain was noted this week ({where}), with no exercise said. Above 5 of 10, or for two weeks: have it seen.")
    return (f"{begun(about)}: hold, or trim and lighten it; leave it out where it goes on hurting{then}.",
            f"Pain was noted with it this week ({where}). Above 5 of 10, or for two weeks: have it seen.")


TAKE_EASY = "Take the easy week"


def easy_due(usual: float, low: float, high: float, aim: str, starts: date, ends: date) -> tuple[str, str]:
    """A deload is due in the week after. usual: hard sets, or NaN. low, high: shares of it. aim, starts, ends: of the block."""
    share = f"{number(100 * low, 0)} to {number(100 * high, 0)} % of the usual"
    much = f"about {number(round(low * usual))} to {sets(round(high * usual))}, {share} {number(usual)}" if usual == usual else f"about {share} sets"
    return (f"{TAKE_EASY} that is due next week: {much}, at the loads of now, with two or more repetitions further in reserve.",
            f"{block(aim, starts, ends)} has its deload due then. No sets and no loads are added in it.")


def easy_not_taken(done: float, usual: float, aim: str, starts: date, ends: date) -> tuple[str, str]:
    """A deload was due in this week, which was trained like any other."""
    return f"{TAKE_EASY} next week, or decide to go on without it.", f"{easy_was_due(done, usual)} {block(aim, starts, ends)} had its deload due. Nothing is added until that is decided."


def easy_was_due(done: float, usual: float) -> str:
    """A week that was to be easy, and was not.

    >>> easy_was_due(39.0, 39.0)
    'An easy week was due; 39 of a usual 39 hard sets were done.'
    """
    return f"An easy week was due; {number(done)}{f' of a usual {number(usual)}' if usual == usual else ''} hard sets were done."


def after_easy(usual: float, why: str) -> tuple[str, str]:
    """The week after an easy one. why: a key of EASY."""
    much = f", about {sets(round(usual))}" if usual == usual else ""
    return f"Go back to what was usual{much}.", f"This week was easy, {EASY[why]}, so its doses ask for nothing."


def after_illness() -> tuple[str, str]:
    """The week after one that was marked as an illness."""
    return "Once you are well, begin below what was usual and see how it goes.", f"This week was {EASY['illness']}, so its doses ask for nothing."


def block(aim: str, starts: date, ends: date) -> str:
    """A block by its aim and its days.

    >>> block("more pulling", date(2026, 10, 19), date(2026, 11, 29))
    'The block “more pulling” (19 October to 29 November 2026)'
    """
    return f"The block “{aim}” ({day(starts, year=starts.year != ends.year)} to {day(ends)})"


def after_rise(load: float, usual: float) -> tuple[str, str]:
    """The whole body after another change of load than a spike: a large session, or a climb."""
    return (f"Whole body: repeat this week’s {sets(load)}, or trim a few.", f"Its load changed much; usual is {number(usual)}. Nothing is added beside that.")


def after_jump(part: str, load: float, usual: float, low: float, high: float) -> tuple[str, str]:
    """A part or the whole body after a spike. low, high: the range of a part's dose, NaN of the whole body."""
    span = between(low, high)
    this = f"This week had {sets(load)}{span}," if span else "This week was"
    return (f"{part[0].upper() + part[1:]}: stay at or under {sets(load)}, or go back towards {number(usual)}.",
            f"{this} {number(load / usual, 1)} times the usual {number(usual)}; repeating or trimming is the common choice.")


def ramp(share: float, usual: float) -> tuple[str, str]:
    """The week after a week of return."""
    return (f"About {sets(round(share * usual))} in all next week.",
            f"You are coming back from a break: {number(100 * share, 0)} % of the {number(usual)} before it is the next step of the ramp.")


def after_plateau(part: str, effort_logged: bool, mostly: str = "") -> tuple[str, str]:
    """A part whose strength stands still: first effort, rest, sleep and days; then range, sets, exercise. mostly: the exercise that nearly alone
    tells it, where there are others.
    """
    first = "effort, rest between sets, sleep and days trained" if effort_logged else "how hard the sets are (little effort is logged), rest, sleep and days trained"
    return (f"{part[0].upper() + part[1:]}: look first at {first}; then at the repetition range, then one or two sets more, then another exercise.",
            f"Its strength shows a plateau{f', told mostly by {mostly}' if mostly else ''}. These are things to look at, not causes.")


HARDER = "add a little load, a pause or a slower lowering"


def heavier_of_any(least: float, most: float) -> str:
    """The next load where any may be at hand. least, most: the step, per cent."""
    return f"the next load up, by {least} to {most} %; where the step at hand is larger, first more repetitions or a slower lowering"


def heavier_in_the_house(load: float, heavier: float | None, most: float) -> str:
    """The next load among those in the house, kg in one hand; None: there is none. most: the largest usual step, per cent.

    >>> heavier_in_the_house(10, 10.5, 10)
    'the next load in the house, 10.5 kg'
    """
    if heavier is None:
        return "there is no heavier load in the house: more repetitions, a slower lowering or a pause"
    step = 100 * (heavier / load - 1)
    told = f"the next load in the house, {number(heavier, 2)} kg"
    return told if step <= most else f"{told}, is {number(step, 0)} % up: first more repetitions or a slower lowering, then that load for fewer"


def next_of_ladder(step: str) -> str:
    """The next step of a ladder."""
    return f"one set of the next step, {step}, the rest as now"


def next_load(exercise: str, load: str, reps: int, top: int, heavier: str) -> tuple[str, str]:
    """All sets reached the top of the range with repetitions in reserve, twice."""
    return (f"{exercise[0].upper() + exercise[1:]}: {heavier}.",
            f"All sets reached {top} or more repetitions{load} with one or more in reserve, two sessions running (last time {reps}).")


SAY_WHAT = "Say what"


def data_note(unmatched: int, names: list[str]) -> tuple[str, str]:
    """Sets that wait for a decision."""
    one = unmatched == 1
    return (f"{SAY_WHAT} {listed(names)} {'is' if len(names) == 1 else 'are'}, on the page Data.",
            f"{counted(unmatched, 'set', 'sets')} this week {'waits' if one else 'wait'} for it and {'is' if one else 'are'} in no part's count, so nothing is added to a part before that.")
