"""What to change next week, and why, in plain sentences. The default is to hold."""

from __future__ import annotations

from dashboard.sentences.dose import between
from dashboard.sentences.numbers import counted, listed, number, sets


def hold(in_focus: bool) -> tuple[str, str]:
    """Nothing asks for a change."""
    share = "Every part in focus had its share" if in_focus else "No part is in focus yet (a region needs four hard sets a week)"
    return "Keep next week as it was.", f"{share}, and no load stands out."


def no_training() -> tuple[str, str]:
    """A week without a set."""
    return "Go on where you left off.", "No set was logged this week. After more than two weeks away a return begins at about 70 % of what was usual, after four, or with care, at 50 %."


def keep_rest(more_short: int) -> tuple[str, str]:
    """All that stays, and how many parts are short beside those that were named."""
    others = f" {counted(more_short, 'more part is', 'more parts are')} short and can wait: a few changes at a time." if more_short else ""
    return "Keep the rest as it is.", f"Sets are added where a part is short or stands still, not by habit.{others}"


def add_sets(part: str, short_by: float, add: int, exercise: str, dose: float, band_low: float, low: float, high: float) -> tuple[str, str]:
    """A part below its band. exercise: one that fills it, or ''. low, high: the range of its dose."""
    instance = f", for instance {exercise}" if exercise else ""
    rest = " One or two sets a week are the usual step." if short_by > add else ""
    return (f"{part[0].upper() + part[1:]}: add {counted(add, 'set', 'sets')}{instance}.",
            f"It had {sets(dose)}{between(low, high)} and its band begins at {number(band_low)}; {number(short_by)} short.{rest}")


def trim(part: str, dose: float, band_high: float, low: float, high: float) -> tuple[str, str]:
    """A part above its band. low, high: the range of its dose."""
    return (f"{part[0].upper() + part[1:]}: trim {sets(max(1.0, round(dose - band_high)))}.",
            f"It had {sets(dose)}{between(low, high)}, and its band ends at {number(band_high)}.")


def with_pain(exercise: str, place: str, score: str) -> tuple[str, str]:
    """An exercise during which pain was noted."""
    return (f"{exercise[0].upper() + exercise[1:]}: hold, or trim and lighten it; leave it out where it goes on hurting.",
            f"Pain was noted with it this week ({place}{score}). Above 5 of 10, or for two weeks: have it seen.")


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


def after_plateau(part: str, effort_logged: bool) -> tuple[str, str]:
    """A part whose strength stands still: first effort, rest, sleep and days; then range, sets, exercise."""
    first = "effort, rest between sets, sleep and days trained" if effort_logged else "how hard the sets are (little effort is logged), rest, sleep and days trained"
    return (f"{part[0].upper() + part[1:]}: look first at {first}; then at the repetition range, then one or two sets more, then another exercise.",
            "Its strength shows a plateau. These are things to look at, not causes.")


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


def data_note(unmatched: int, names: list[str]) -> tuple[str, str]:
    """Sets that wait for a decision."""
    return (f"Say what {listed(names)} {'is' if len(names) == 1 else 'are'}, on the page Data.",
            f"{unmatched} set{'s' if unmatched > 1 else ''} this week wait for it and are in no part's count.")
