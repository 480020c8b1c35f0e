"""What a client reads: the week's findings and the plan in words that nobody has to be taught. Never a reason that has to do with pain."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any, NamedTuple

import pandas as pd

from dashboard.sentences.cautions import BY_TOPIC
from dashboard.sentences.grammar import plural
from dashboard.sentences.numbers import begun, counted, day, number, sets, together
from dashboard.sentences.past_week import meant
from dashboard.sentences.units import in_unit, load
from etl.settings import RULES, Rules

HURTS = "Where something hurts, people commonly hold or lighten the load. Pain above 5 of 10, or pain that has lasted two weeks: have it seen by a qualified professional."
OF_PAIN = ("ache", "pain")  # topics of cautions that would tell of it: the sentence above stands for them in every client's foot
COUNTS = "A hard set is a set that ended near what was possible, or one of which the log says nothing else; it counts for the muscles that it trains, and half for those that help."
BETWEEN = " \u201cBetween\u201d tells how sure a gain is: the wider, the less."
NOTHING_STANDS_OUT = "Nothing stands out this week."
NO_GAIN = "No gain can be told yet: a trend takes some weeks of the same exercise."
NOTHING_ROSE = "Nothing rose clearly in these weeks."
HOLD = "The rest stays as it is."
NO_GAIN_AWAY = "No gain can be told of weeks without training."
EASIER_BACK = "The first weeks back go easier."
STAYS = " Next week it stays as it is."
EASY_FIRST = " Next week the easy week comes first."


def heading(weeks: int, until: date) -> str:
    """What the page is of: 12 weeks to 4 October 2026."""
    return f"{counted(weeks, 'week', 'weeks')} to {day(until)}"


def counts(gain: str) -> str:
    """What the page's words mean. gain: what it says of a gain.

    >>> counts("Plank: the best so far.") == COUNTS, counts("Plank: longer holds, between +4 and +9 %.").endswith("the wider, the less.")
    (True, True)
    """
    return COUNTS + BETWEEN * ("between " in gain)


THIS_WEEK, LAST_WEEK, SO_FAR, LAST_OF_LOG = "this week", "last week", "this week so far", "in the last week of the log"
NEXT_WEEK = "Next week"
A_WEEK_ON = {"next week as it was": "this week as the last one was", "stands out this week": "stood out last week", "next week": "this week", "this week": "last week"}


def a_week_on(text: str) -> str:
    """A sentence of ours about a week and the next one, as it is read in that next one.

    >>> a_week_on("Lats: add 2 sets. They had about 2 this week."), a_week_on("This week had more than usual. Next week it stays as it is.")
    ('Lats: add 2 sets. They had about 2 last week.', 'Last week had more than usual. This week it stays as it is.')
    >>> a_week_on("Keep next week as it was."), a_week_on("Nothing stands out this week.")
    ('Keep this week as the last one was.', 'Nothing stood out last week.')
    """
    return meant(text, A_WEEK_ON)


def easy_then(monday: date) -> str:
    """That the week after the one that the changes are for is to be easy.

    >>> easy_then(date(2026, 11, 30))
    'Then, from 30 November: the easy week.'
    """
    return f"Then, from {day(monday, year=False)}: the easy week."


def done(sessions: float, hard_sets: float, usual: float | None, planned: float | None, when: str) -> str:
    """The week's sets, of those planned where there was a plan, else beside what is usual. when: one of THIS_WEEK, LAST_WEEK, SO_FAR and LAST_OF_LOG, or `past_week.in_week`.

    >>> done(4, 86.0, 66.0, None, THIS_WEEK)
    '4 sessions and 86 hard sets this week; usual is 66.'
    >>> done(4, 46.0, 44.0, 50.0, THIS_WEEK), done(1, 12.0, None, None, SO_FAR)
    ('4 sessions and 46 of 50 planned sets this week.', '1 session and 12 hard sets this week so far.')
    >>> done(4, 52.0, 44.0, 50.0, LAST_OF_LOG)
    '4 sessions and 52 hard sets in the last week of the log; 50 were planned.'
    >>> done(0, 0.0, 66.0, None, THIS_WEEK)
    'No training this week; usual is 66 hard sets.'
    """
    if not sessions:
        return f"No training {when}" + ("." if usual is None or pd.isna(usual) else f"; usual is {sets(usual)}.")
    known = planned is not None and not pd.isna(planned)
    if known and hard_sets <= planned:
        return f"{counted(int(sessions), 'session', 'sessions')} and {number(hard_sets)} of {number(planned)} planned sets {when}."
    beside = f"; {number(planned)} were planned" if known else "" if usual is None or pd.isna(usual) else f"; usual is {number(usual)}"
    return f"{counted(int(sessions), 'session', 'sessions')} and {sets(hard_sets)} {when}{beside}."


def over_weeks(sessions: float, trained: int, weeks: int) -> str:
    """Sessions in the weeks that the page shows.

    >>> over_weeks(41, 11, 12)
    '41 sessions in the last 12 weeks, with training in 11 of them.'
    >>> over_weeks(3, 1, 1)
    'This is the first week of the log.'
    >>> over_weeks(0, 0, 12)
    'No session in the last 12 weeks.'
    """
    if weeks == 1:
        return "This is the first week of the log."
    if not sessions:
        return f"No session in the last {counted(weeks, 'week', 'weeks')}."
    return f"{counted(int(sessions), 'session', 'sessions')} in the last {counted(weeks, 'week', 'weeks')}, with training in {'each' if trained == weeks else trained} of them."


def no_set_since(last: date) -> str:
    """
    >>> no_set_since(date(2026, 10, 30))
    'No set since 30 October 2026.'
    """
    return f"No set since {day(last)}."


def span(low: float, high: float) -> str:
    """A change with its span, in whole per cents, or in tenths where both are small.

    >>> span(2.2, 5.1), span(-3.4, -1.2), span(0.2, 0.8), span(-0.1, 4.0)
    ('between +2 and +5\xa0%', 'between −3 and −1\xa0%', 'between +0.2 and +0.8\xa0%', 'between 0 and +4\xa0%')
    """
    places = 0 if max(abs(low), abs(high)) >= 2 else 1
    ends = [("+" if round(end, places) > 0 else "") + number(end, places) for end in (low, high)]
    return f"between {ends[0]} and {ends[1]}\u00a0%"


RISES = {"reps": "more repetitions, ", "hold": "longer holds, "}


def gain(name: str, measure: str, low: float, high: float, weeks: int, now: str, then: date | None = None) -> str:
    """What rose. low, high: the change over `weeks` weeks, %. now: the present value in words, or ''. then: the last day of them, where that is past.

    >>> gain("plank", "hold", 4.2, 9.1, 10, "about 52 seconds")
    'Plank: longer holds, between +4 and +9\xa0% in 10 weeks, now about 52 seconds.'
    """
    when = "then" if then else "now"
    return f"{begun(name)}: {RISES.get(measure, 'stronger, ')}{span(low, high)} in {counted(weeks, 'week', 'weeks')}{f' up to {day(then, year=False)}' if then else ''}{f', {when} {now}' if now else ''}."


def value(measure: str, value: float, unit: str) -> str:
    """A present value in words; '' where it would have to be explained.

    >>> value("e1rm", 30.62, "kg"), value("e1rm", 45.359237, "lb"), value("hold", 52.1, "kg"), value("per_kg", 1.2, "kg")
    ('about 31 kg for one repetition, as estimated', 'about 100 lb for one repetition, as estimated', 'about 52 seconds', '')
    >>> value("reps", 11.0, "kg")
    'about 11 repetitions to the limit, as estimated'
    """
    if pd.isna(value):
        return ""
    return {"e1rm": f"about {load(value, unit)} for one repetition, as estimated", "reps": f"about {number(value, 0)} repetitions to the limit, as estimated",
            "hold": f"about {number(value, 0)} seconds"}.get(measure, "")


AWAY = {"illness": "away"}


def week_word(word: str) -> str:
    """The word on a week of the client's ribbon: an illness is not told."""
    return AWAY.get(word, word)


def one_set(load_kg: float, reps: float, seconds: float, reserve: float, band: bool, unit: str) -> str:
    """A set as it was done; NaN for what is not known of it. load_kg: below 0 where it helps.

    >>> nan = float("nan")
    >>> one_set(40.0, 8.0, nan, 3.0, False, "kg"), one_set(nan, 12.0, nan, nan, True, "kg"), one_set(nan, nan, 52.0, nan, False, "kg")
    ('8 repetitions at 40 kg with 3 in reserve', '12 repetitions with a band', '52 seconds')
    >>> one_set(-20.0, 1.0, nan, 0.0, False, "kg"), one_set(9.0718, 8.0, nan, 1.0, True, "lb"), one_set(nan, nan, nan, nan, False, "kg")
    ('1 repetition with 20 kg of help and none in reserve', '8 repetitions at 20 lb with a band and 1 in reserve', '')
    """
    much = counted(reps, "repetition", "repetitions") if reps == reps else counted(seconds, "second", "seconds") if seconds == seconds else ""
    told = in_unit(f"{number(abs(load_kg), 2)} kg", unit)
    by = [f"{told} of help"] * (load_kg < 0) + ["a band"] * band + [f"{number(reserve) if reserve else 'none'} in reserve"] * (reserve == reserve)
    return much and much + f" at {told}" * (load_kg > 0) + f" with {' and '.join(by)}" * bool(by)


def best(name: str, now: str, since: date, past: bool, first: date | None = None, then: str = "") -> str:
    """A best of the weeks shown, where no trend can be told. past: it is too old to be told as where somebody is. first, then: the first session of these
    weeks and what was done in it; '' where that is not at hand.

    >>> best("pull-up", "8 repetitions", date(2026, 11, 19), False, date(2026, 9, 24), "5 repetitions with 1 in reserve")
    'Pull-up: the best so far on 19 November, 8 repetitions; on 24 September it was 5 repetitions with 1 in reserve.'
    >>> best("pull-up", "9 repetitions", date(2026, 9, 24), True)
    'Pull-up: the best was on 24 September, 9 repetitions.'
    """
    before = f"; on {day(first, year=False)} it was {then}" if first is not None and then else ""
    return f"{begun(name)}: the best {'was' if past else 'so far'} on {day(since, year=False)}, {now}{before}."


MUCH = "{what} had {about}{load} hard sets, and usual is {about}{usual}: much at once."
# What a client is told to watch, the weightiest first: kind of flag -> words with its numbers. Sets of a part are "about": they hang on what helps how much.
WATCHED = {
    "large_spike": MUCH,
    "spike": MUCH,
    "return": "{what} had {about}{load} hard sets, {about}{usual_before} before the {days_away} days away: the first weeks back go easier.",
    "declining": "{what} {has} gone down lately.",
    "session_spike": "{what} had {about}{load} hard sets in one session; the largest of the 30 days before had {about}{largest_30_days}.",
    "climb": "{load_of} {has} climbed from {about}{four_before} to {about}{last_four} hard sets a week.",
    "side_difference": "{what}: the {weaker} side is about {behind}\u00a0% behind.",
    "plateau": "{what} {has} stood still lately.",
    "below_band": "{what} had {lately} lately; the aim is {low} or more.",
    "new_area": "{what} had {about}{load} hard sets, which is new: some soreness is ordinary.",
    "first_exposure": "{what} {are} new or back after eight weeks: some soreness is ordinary.",
}


NONE_OF_IT = "no hard set"
AT_ONCE = ("large_spike", "spike", "return")  # these stand before what the plan is about
LASTING = ("declining", "side_difference", "plateau", "below_band")


def watch(kind: str, name: str, numbers: Mapping[str, Any], whole: bool, then: str = "", alike: int = 0) -> str:
    """One thing to watch, from a flag. whole: the flag is of the whole body, whose sets are counted, not estimated. then: what is said of the next week
    where it is one that lasts, STAYS, EASY_FIRST or ''. alike: how many other parts had less than their aim. '' for a kind that is no client's.

    >>> watch("plateau", "lats", {}, False, STAYS), watch("plateau", "lats", {}, False, EASY_FIRST)
    ('Lats have stood still lately. Next week it stays as it is.', 'Lats have stood still lately. Next week the easy week comes first.')
    >>> watch("below_band", "lats", {"mean": 2.5, "low": 4}, False), watch("below_band", "lats", {"mean": 0.0, "low": 4}, False)
    ('Lats had about 2.5 hard sets a week lately; the aim is 4 or more.', 'Lats had no hard set lately; the aim is 4 or more.')
    >>> watch("below_band", "lats", {"mean": 2.5, "low": 4}, False, "", 1), watch("below_band", "lats", {"mean": 2.5, "low": 4}, False, STAYS, 12)[66:]
    ('Lats had about 2.5 hard sets a week lately; the aim is 4 or more. The same goes for 1 other part.', 'The same goes for 12 other parts. Next week it stays as it is.')
    """
    what, about, load_of = ("This week", "", "The load") if whole else (begun(name), "about ", begun(name))
    shown = {key: number(value) if isinstance(value, int | float) else value for key, value in numbers.items()}
    behind = number(abs(numbers["difference_pct"]), 0) if "difference_pct" in numbers else ""
    mean = number(numbers.get("mean"))
    others = f" The same goes for {counted(alike, 'other part', 'other parts')}." if alike and kind == "below_band" else ""
    lately = NONE_OF_IT if mean == "0" else f"{about}{mean} hard sets a week"
    return WATCHED.get(kind, "").format(**shown, lately=lately, what=what, about=about, load_of=load_of, behind=behind, **_verbs(name, whole)) + others + then * (kind in LASTING)


def _verbs(name: str, whole: bool = False) -> dict[str, str]:
    """`{has}` and `{are}` as the name takes them."""
    return {"has": "have", "are": "are"} if not whole and plural(name) else {"has": "has", "are": "is"}


class _Kind(NamedTuple):
    """A change of `sentences.plan`, known by its reason, and how a client is told of it. `{called}`, `{action}` and the groups of `reason` stand in `words`."""

    reason: str
    words: str


AMOUNT = r"[\d.,\u202f]+"
PLAN = (
    _Kind(r"^Pain was noted this week .*, with no exercise said\.", ""),
    _Kind(r"^Pain was noted ", "{called}: hold it, or make it lighter."),
    _Kind(r" waits? for it and (?:is|are) in no part's count", ""),
    _Kind(rf"^It had (?P<dose>{AMOUNT}) hard sets?.* its band begins at (?P<low>{AMOUNT});", "{action} It had {some} this week, and the aim is {low} or more."),
    _Kind(rf"^It had (?P<dose>{AMOUNT}) hard sets?.*?(?:direct \((?P<direct>[^()]+)\)|, by (?P<by>.+?))?, and its band ends at (?P<high>{AMOUNT})\.$",
          "{action} It had {some} this week{most}, and the aim is {high} at most."),
    _Kind(r"^Its strength shows a plateau[.,]", "{called} {has} stood still: first a look at effort, rest between sets, sleep and the days of training."),
    _Kind(r"^You are coming back from a break", "{action} You are coming back from a break."),
    _Kind(r"^This week was marked as an illness", "Begin below what was usual, and see how it goes."),
    _Kind(rf" times the usual {AMOUNT}; repeating or trimming ", "{action} This week had much more than usual."),
    _Kind(r"^All sets reached (?P<top>\d+) or more ", "{action} All its sets reached {top} or more, two sessions running."),
    _Kind(r"^Sets are added where ", HOLD),
)


def plan(called: str, action: str, reason: str) -> str:
    """A change of the next week as a client reads it; '' for one that is the coach's own business. action, reason: of `sentences.plan`.

    >>> plan("lats", "Lats: trim 4 hard sets.", "It had 24 hard sets (12 to 25.5), 22 of them direct (pull-up), and its band ends at 20.")
    'Lats: trim 4 hard sets. It had about 24 this week, mostly from pull-up, and the aim is 20 at most.'
    >>> plan("lats", "Lats: trim 4 hard sets.", "It had 24 hard sets, and its band ends at 20.")
    'Lats: trim 4 hard sets. It had about 24 this week, and the aim is 20 at most.'
    """
    for kind in PLAN:
        if found := re.search(kind.reason, reason):
            said = found.groupdict()
            some = NONE_OF_IT if said.get("dose") == "0" else f"about {said.get('dose')}"
            by = said.get("direct") or said.get("by")
            return kind.words.format(called=begun(called), action=action, some=some, most=f", mostly from {by}" if by else "", **_verbs(called), **said)
    return action


def restart(days: int, rules: Rules = RULES) -> str:
    """How training begins again after so many days without a set, by the shares that are suggested then.

    >>> restart(10)
    'Go on where you left off.'
    >>> restart(20), restart(29)
    ('Begin with about 70\xa0% of what was usual, and go up from week to week.', 'Begin with about 50\xa0% of what was usual, and go up from week to week.')
    """
    if days <= rules.layoff_days:
        return "Go on where you left off."
    first = (rules.return_long_suggested if days >= rules.return_long_days else rules.return_short_suggested)[0]
    return f"Begin with about {number(100 * first, 0)}\u00a0% of what was usual, and go up from week to week."


EASY_WEEK = "An easy week: no part is judged by its sets"  # why it was easy may be an illness, which is not told
NEXT_NAMED = 2  # parts that a title names


def shares(parts: int, covered: int, acted_on: Sequence[str], above: Sequence[str], trained: bool) -> str:
    """Whether the parts in focus had their share of the week, as a title: how many did, where that is most of them, and which the plan is about.

    parts, covered: how many there are, and how many are covered, as the review counts them. acted_on, above: names of parts, those that get more next
    week and those that had more.

    >>> shares(12, 9, ["rear delt (back of the shoulder)"], [], True), shares(12, 9, [], [], True), shares(12, 3, ["lats", "chest", "abs"], [], True)
    ('9 of 12 parts had their share; next comes rear delt (back of the shoulder)', '9 of 12 parts had their share', 'Next come lats and chest')
    >>> shares(12, 12, [], ["lats"], True), shares(12, 12, [], [], True), shares(12, 3, [], [], True), shares(12, 0, ["lats"], [], False)
    ('Every part had its share, and lats had more', 'Every part had its share', 'The sets of the week, part by part', 'No training in the week')
    """
    if not trained:
        return "No training in the week"
    if covered == parts:
        return "Every part had its share" + (f", and {together(above[:NEXT_NAMED])} had more" if above else "")
    named = acted_on[:NEXT_NAMED]
    said = [f"{number(covered)} of {number(parts)} parts had their share"] * (2 * covered >= parts) + [f"next come{'s' * (len(named) == 1)} {together(named)}"] * bool(named)
    return begun("; ".join(said)) or "The sets of the week, part by part"


def indirect(parts: int) -> str:
    """Parts that are not short and not covered.

    >>> indirect(1), indirect(2)
    ('1 part has its sets, but fewer than two that train it directly.', '2 parts have their sets, but fewer than two that train them directly.')
    """
    return f"{counted(parts, 'part has its', 'parts have their')} sets, but fewer than two that train {'it' if parts == 1 else 'them'} directly."


def over_all(done: float, planned: float | None, weeks: int) -> str:
    """The sets of all weeks, as a title. planned: where each week had a plan.

    >>> over_all(994.0, None, 12), over_all(444.0, 506.0, 12)
    ('994 hard sets in 12 weeks', '444 of 506 planned sets in 12 weeks')
    """
    told = f"{number(done)} of {number(planned)} planned sets" if planned is not None else sets(done)
    return f"{told} in {counted(weeks, 'week', 'weeks')}"


def cautions(found: list[str]) -> list[str]:
    """The cautions of a client's foot: those of the week, but for pain what every foot says."""
    return [*(text for text in found if text not in {BY_TOPIC[topic] for topic in OF_PAIN}), HURTS]
