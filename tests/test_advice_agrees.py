"""What a week advises agrees with what was planned, what hurts and what stood out: no line contradicts another, and none the week's own headline."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pandas as pd
import pytest

from dashboard.app_pages import week_parts
from dashboard.charts import shelf
from dashboard.queries import balance
from dashboard.queries import strength as strength_of
from dashboard.queries import week as weeks_of
from dashboard.queries.kept import store_at
from dashboard.queries.review import review
from dashboard.sentences import client, clients, plan
from dashboard.sentences.findings import strength_finding
from dashboard.sentences.grammar import plural
from dashboard.sentences.load import largest
from dashboard.sentences.numbers import begun, few
from dashboard.sentences.plan import comes_from
from dashboard.sentences.remember import remember
from dashboard.standing.refresh import refresh, stale
from etl import tables
from etl.importing import Answers, keep, understand
from etl.settings import RULES
from etl.store import said
from etl.store.athletes import say
from etl.store.marked_weeks import EASY, mark_week
from etl.store.said import BLOCKS, NOTES
from tests.logs import ask, bring
from tests.page_runs import all_text, told as told_beside, unescaped

TODAY = date(2026, 10, 26)  # a Monday: the week of the 19th is over
LAST = date(2026, 10, 19)
HEAD = "Date,Athlete,Exercise,Set,Load (kg),Reps,RIR,Pain place,Pain score\n"
SESSION = (("Bench press", 60), ("Barbell row", 50), ("Back squat", 80), ("Hammer curl", 12))


def week(monday: date, sets: int = 3, reps: int = 8, pain: dict[str, tuple[str, float]] | None = None, days: tuple[int, ...] = (0, 2, 4)) -> str:
    """Three sessions of four exercises; pain: exercise -> place and score on each of its sets."""
    return "".join(f"{monday + timedelta(days=d)},Ida,{name},{n},{load},{reps},2,{','.join(map(str, (pain or {}).get(name, ('', ''))))}\n"
                   for d in days for name, load in SESSION for n in range(1, sets + 1))


def weeks(count: int, **given) -> str:
    """`count` equal weeks up to the one before LAST."""
    return "".join(week(LAST - timedelta(weeks=back), **given) for back in range(count, 0, -1))


def log(store: Path, rows: str, today: date = TODAY) -> None:
    bring(store, HEAD + rows)
    refresh(store, today=today)


def block(store: Path, due: date | None, today: date = TODAY, **values) -> int:
    number = said.say(store, BLOCKS, "Ida", {"aim": "more pulling", "starts": LAST - timedelta(weeks=5), "ends": LAST + timedelta(days=13), "deload_due": due} | values, today)
    refresh(store, today=today)
    return number


def following(store: Path, monday: date = LAST) -> list[dict]:
    return review(store_at(store), "Ida", monday)["next"]


def adds(changes: list[dict]) -> list[str]:
    """The changes that add a set or a load."""
    return [one["action"] for one in changes if ": add " in one["action"] or "next load" in one["action"] or "next step" in one["action"]]


def test_a_deload_that_is_due_next_week_comes_first_and_nothing_is_added(store: Path):
    log(store, weeks(7) + week(LAST))
    plain = following(store)
    assert adds(plain), "without the block, short parts are given sets"
    number = block(store, LAST + timedelta(days=9))
    first, *others = following(store)
    assert first["action"].startswith("Take the easy week that is due next week: about 18 to 22 hard sets, 50 to 60 % of the usual 36")
    assert "more pulling" in first["reason"] and "14 September to 1 November 2026" in first["reason"]
    assert not adds(others) and not any("Keep the rest" in one["action"] for one in others)
    said.take_back(store, BLOCKS, number)
    refresh(store, today=TODAY)
    assert following(store) == plain


def test_a_block_that_is_changed_works_out_the_weeks_from_the_one_that_plans_it(store: Path):
    log(store, weeks(7) + week(LAST))
    number = said.say(store, BLOCKS, "Ida", {"aim": "pulling", "starts": LAST - timedelta(weeks=5), "ends": LAST + timedelta(days=13), "deload_due": LAST}, TODAY)
    assert stale(store, TODAY) == [("Ida", LAST - timedelta(weeks=1))]
    refresh(store, today=TODAY)
    assert "easy week that is due" in following(store, LAST - timedelta(weeks=1))[0]["action"]
    said.change(store, BLOCKS, number, {"deload_due": LAST + timedelta(weeks=1)}, TODAY)
    refresh(store, today=TODAY)
    assert "easy week that is due" not in following(store, LAST - timedelta(weeks=1))[0]["action"]
    assert "easy week that is due" in following(store)[0]["action"]


def test_a_due_deload_that_was_trained_in_full_is_said_and_nothing_is_added(store: Path):
    log(store, weeks(7) + week(LAST))
    block(store, LAST)
    first, *others = following(store)
    assert first["action"].startswith("Take the easy week next week") and "An easy week was due; 36 of a usual 36 hard sets were done." in first["reason"]
    assert not adds(others) and not review(store_at(store), "Ida", LAST)["done"]["deload"]


@pytest.mark.parametrize(("sets", "easy"), [(2, True), (3, False)])
def test_a_due_deload_is_an_easy_week_up_to_four_fifths_of_usual(store: Path, sets: int, easy: bool):
    """Two thirds of the usual are no deload by themselves, and are one where a deload was due."""
    log(store, weeks(7) + week(LAST, sets=sets))
    assert not review(store_at(store), "Ida", LAST)["done"]["deload"]
    block(store, LAST)
    found = review(store_at(store), "Ida", LAST)
    assert found["done"]["deload"] == easy and not adds(found["next"])
    if easy:
        assert found["next"][0]["action"] == "Go back to what was usual, about 36 hard sets."
        assert not any("below_band" == flag["kind"] and flag["week"] == str(LAST) for flag in found["flags"])


def test_what_hurts_is_named_and_nothing_is_added_to_it(store: Path):
    log(store, weeks(7, sets=1) + week(LAST, sets=1, pain={"Hammer curl": ("left elbow", 4)}))
    first, *others = following(store)
    assert first["action"].startswith("Hammer curl: hold, or trim and lighten it") and "left elbow, 4 of 10" in first["reason"]
    assert "have it seen" not in first["action"]
    parts = {"brachialis", "brachioradialis", "biceps"}
    assert not any(one["subject"] in parts or "ammer curl" in one["action"] for one in others)


@pytest.mark.parametrize(("score", "before", "see"), [(6.0, None, True), (4.0, None, False), (4.0, 15, True), (4.0, 7, False)])
def test_strong_or_lasting_pain_is_first_to_be_seen(store: Path, score: float, before: int | None, see: bool):
    log(store, weeks(7) + week(LAST))
    day = LAST + timedelta(days=2)
    for when in [day, *([day - timedelta(days=before)] if before else [])]:
        said.say(store, NOTES, "Ida", {"date": when, "kind": "pain", "place": "left elbow", "score": score, "subject": "hammer_curl"}, TODAY)
    refresh(store, today=TODAY)
    assert ("have it seen before more is done" in following(store)[0]["action"]) == see


@pytest.mark.parametrize(("score", "held"), [(6.0, True), (3.0, False)])
def test_strong_pain_of_which_nobody_said_what_brings_it_on_holds_every_addition(store: Path, score: float, held: bool):
    log(store, weeks(7, sets=1) + week(LAST, sets=1))
    said.say(store, NOTES, "Ida", {"date": LAST, "kind": "pain", "place": "left elbow", "score": score}, TODAY)
    refresh(store, today=TODAY)
    assert bool(adds(following(store))) != held


@pytest.mark.parametrize(("subject", "begins"), [("biceps", "Biceps: hold, or trim"), ("", "Left elbow: leave out or lighten what brings the pain on")])
def test_pain_of_a_part_or_of_the_whole_day_is_in_the_plan(store: Path, subject: str, begins: str):
    log(store, weeks(7, sets=1) + week(LAST, sets=1))
    said.say(store, NOTES, "Ida", {"date": LAST, "kind": "pain", "place": "left elbow", "score": 3.0, "subject": subject}, TODAY)
    refresh(store, today=TODAY)
    first, *others = following(store)
    assert first["action"].startswith(begins) and "left elbow" in first["reason"]
    assert not any(one["subject"] == "biceps" for one in others)


@pytest.mark.parametrize("sets", [3, 8])
def test_after_a_jump_of_the_whole_body_nothing_is_added(store: Path, sets: int):
    """All parts that nobody trains are short; after 96 sets against a usual 36 they can wait."""
    log(store, weeks(7) + week(LAST, sets=sets))
    found = following(store)
    assert bool(adds(found)) == (sets == 3)
    if sets == 8:
        assert found[0]["action"] == "Whole body: stay at or under 96 hard sets, or go back towards 36."
        assert len(found) == 1, "and nothing says to keep the rest"


def test_five_changes_at_most_and_the_rest_is_counted(sample_store: Path):
    told = ask(sample_store, "select athlete, week, count(*) filter (action not like 'Keep %'), max(reason) filter (action = 'Keep the rest as it is.') from kept_next group by all")
    assert max(count for *_, count, _ in told) == RULES.next_most
    assert any(rest and "left out" in rest for *_, rest in told)
    short = ask(sample_store, "select w.reason, p.n from kept_next w join (select athlete, week, count(*) as n from kept_parts where in_focus and status = 'below' group by all) p "
                "using (athlete, week) where w.reason like '%more part%short%can wait%'")
    none = ask(sample_store, "select count(*) from kept_next w where reason like '%more part%short%can wait%' and not exists "
               "(select 1 from kept_parts p where p.athlete = w.athlete and p.week = w.week and in_focus and status = 'below')")
    assert none == [(0,)] and all(int(re.search(r"(\d+) more parts? (is|are) short", reason)[1]) <= n for reason, n in short)


def test_one_line_for_a_part(sample_store: Path):
    """A part that is to be trimmed is not told to look at sets, and one that jumped is not trimmed again."""
    twice = ask(sample_store, "select athlete, week, subject from kept_next where subject <> '' group by all having count(*) > 1")
    assert not twice


@pytest.mark.parametrize(("after", "shown_from"), [(2, LAST - timedelta(weeks=1)), (6, LAST), (7, LAST)])
def test_a_running_week_shows_the_last_full_weeks_changes_and_its_own_on_its_sunday(store: Path, run, after: int, shown_from: date):
    """The same rows, imported on the Wednesday: on Sunday nobody imports anything, and the advice comes all the same."""
    log(store, weeks(7) + week(LAST, sets=8, days=(0, 2)), LAST + timedelta(days=2))
    if after > 2:
        assert stale(store, LAST + timedelta(days=5)) == []
        assert stale(store, LAST + timedelta(days=after)) == [("Ida", LAST)]
        refresh(store, today=LAST + timedelta(days=after))
        assert stale(store, LAST + timedelta(days=after)) == []
    found = review(store_at(store), "Ida", LAST)
    assert (found["so_far"], found["next_from"]) == (after < 7, str(shown_from))
    assert found["next"][0]["action"].startswith("Whole body: stay at or under 64") == (after > 2)


def test_a_week_says_in_words_where_its_changes_come_from():
    week_ = date(2026, 11, 23)
    assert comes_from(week_, week_, False) == ""
    assert comes_from(week_, week_, True).startswith("So far")
    assert "from the week of 16 November" in comes_from(date(2026, 11, 16), week_, True)


NOTHING = pd.DataFrame({"name": [], "verdict": [], "rate_pct_week": [], "rate_low": [], "rate_high": []})


def advice(*lines: tuple[str, str]) -> pd.DataFrame:
    return pd.DataFrame(lines, columns=["action", "reason"])


def test_to_remember_names_what_hurts_and_what_to_do_about_it():
    short = ("Hip abductors: add 2 sets.", "It had 0 hard sets and its band begins at 4; 4 short.")
    hurting = [("left elbow", ["hammer curl"])]
    text = remember(30, 39, NOTHING, advice(plan.easy_due(39.0, 0.5, 0.6, "pulling", LAST, LAST), plan.with_pain("hammer curl", "left elbow", 4.0, False), short), hurting)
    assert text == "Left elbow (hammer curl) hurts, and that comes first: hold, or trim and lighten it; leave it out where it goes on hurting; and take the easy week."
    other = remember(30, 39, NOTHING, advice(plan.with_pain("back squat", "right knee", 4.0, False), short), hurting)
    assert "left elbow" in other.lower() and "squat" not in other, "the changes of the week before are about another pain"
    assert "add" not in remember(30, 39, NOTHING, advice(short), hurting)


def test_a_running_week_is_not_called_done():
    assert remember(12, 39, NOTHING, advice(plan.hold(True)), so_far=True).startswith("12 hard sets are done so far of a usual 39;")


def test_the_page_of_a_running_week_says_so(store: Path, open_page):
    """Its `today` is the real one."""
    monday = date.today() - timedelta(days=date.today().weekday())
    text = HEAD + "".join(week(monday - timedelta(weeks=back)) for back in range(8, 0, -1)) + week(monday, sets=1, days=(0,))
    keep(store, understand([("log.csv", text.encode())], Answers()))
    refresh(store)
    shown = unescaped(all_text(open_page(store, athlete="Ida", week=monday.isoformat())))
    assert "Do the same again" not in shown and "Keep next week as it was" not in shown
    sunday = date.today().weekday() == 6
    assert ("So far: from this week as it stands on its last day." if sunday else "This week still runs: these come from the week of") in shown


NAMES = {part: name for part, name in zip(tables.parts()["part_id"], tables.parts()["coach_word"], strict=True)}
PLURAL = {"cuff_external_rotators", "triceps_lateral_medial", "wrist_flexors", "wrist_extensors", "pronators", "finger_extensors", "lats", "trapezius_descending", "mid_back",
          "trapezius_ascending", "spinal_erectors", "rectus_abdominis", "obliques", "gluteus_maximus", "hip_abductors", "hip_flexors", "hip_adductors", "vasti", "hamstrings_two_joint"}


@pytest.mark.parametrize("part", NAMES)
def test_every_part_has_the_verb_of_its_number(part: str):
    many = part in PLURAL
    assert plural(NAMES[part]) == many
    still = "stand still" if many else "stands still"
    assert strength_finding([NAMES[part]], ["plateau"]) == f"{begun(NAMES[part])} {still}"
    verb = ":" if "," in NAMES[part] else " are" if many else " is"
    assert clients.verdicts([(NAMES[part], "plateau")]) == f"{begun(NAMES[part])}{verb} standing still now."
    assert client.watch("plateau", NAMES[part], {}, False) == f"{begun(NAMES[part])} {'have' if many else 'has'} stood still lately."
    rising = pd.DataFrame({"name": [NAMES[part]], "verdict": ["progressing"], "rate_pct_week": [0.5], "rate_low": [0.2], "rate_high": [0.8]})
    assert remember(30, 39, rising, advice()).startswith(f"{begun(NAMES[part])} {'are' if many else 'is'} getting stronger")


def test_every_exercise_is_one():
    assert not [name for name in tables.exercises()["name"] if plural(name)]


@pytest.mark.parametrize("mark", EASY)
def test_a_marked_week_is_not_judged_by_its_doses(store: Path, run, open_page, mark: str):
    log(store, weeks(7) + week(LAST, sets=1, days=(0,)))
    plain = open_page(store, athlete="Ida", week=str(LAST - timedelta(weeks=1)))
    assert any("went short" in header.value for header in plain.header)
    mark_week(store, "Ida", LAST, mark, today=TODAY)
    refresh(store, today=TODAY)
    page = open_page(store, athlete="Ida", week=str(LAST))
    shown = unescaped(all_text(page))
    words = " ".join(told_beside(page))
    assert f"An easy week, marked as {'an' if mark == 'illness' else 'a'} {mark}: its doses are not judged" in shown
    assert not any("went short" in header.value for header in page.header) and "focus parts are covered" not in shown
    assert "Hard sets of each part" in words and not re.search(r"[\d.]+ short", words)
    status, told, _ = run("review", "--athlete", "Ida", "--week", str(LAST))
    assert status == 0 and "its doses are not judged" in told and "0 of" not in told and not re.search(r"band .* below$", told, re.MULTILINE)


def test_heading_planks_and_counts_name_the_same_parts_in_one_order(store: Path, open_page):
    """Of many short parts: the heading's are the first planks, the largest shortage first, and what is covered, short or without direct sets adds up."""
    log(store, weeks(7) + week(LAST))
    say(store, "Ida", focus=[*tables.parts()["part_id"]])
    refresh(store, today=TODAY)
    parts, easy = balance.shown(store_at(store), "Ida", LAST)
    focus = shelf.shortest_first(parts[parts["in_focus"].astype(bool)])
    assert (focus["band_low"] - focus["dose"]).diff().dropna().le(0).all()
    short = focus.loc[focus["status"] == "below", "name"].tolist()
    assert shelf.finding(focus.sort_index()) == f"{few(short)} went short", "in the order of the planks, whatever order the parts come in"
    done = weeks_of.done(store_at(store), "Ida", LAST)
    needs = {"deltoid", "triceps", "calf"}
    held = focus[(focus["status"] != "below") & focus["muscle"].isin(needs) & (focus["direct_sets"] < 2)]
    assert easy is None and done["covered"] + len(short) + len(held) == done["focus_parts"] and len(held)
    page = open_page(store, athlete="Ida", week=str(LAST))
    planks = next(words for words in told_beside(page) if words.startswith("Hard sets of each part"))
    told = [planks.index(f"{name}: ") for name in focus["name"].head(4)]
    assert told == sorted(told)
    assert f"{len(short)} are short, {len(held)} {'has its' if len(held) == 1 else 'have their'} sets but fewer than two direct ones" in unescaped(all_text(page))


def test_a_running_week_says_whose_numbers_a_flag_tells(store: Path):
    """Twelve weeks without a gain; on the Wednesday after, the plateau is told with the last full week's numbers."""
    rows = "".join(week(LAST - timedelta(weeks=back)) for back in range(24, -1, -1)) + week(LAST + timedelta(weeks=1), sets=1, days=(0,))
    log(store, rows, TODAY + timedelta(days=2))
    flags = weeks_of.flags(store_at(store), "Ida", LAST + timedelta(weeks=1))
    held = flags[flags["kind"] == "plateau"]
    assert len(held) and held["message"].str.endswith("(As of the end of the week of 19 October.)").all()
    over = weeks_of.flags(store_at(store), "Ida", LAST).set_index(["kind", "subject"])
    for row in held.itertuples():
        assert row.message.startswith(over.loc[(row.kind, row.subject), "message"]) and not over.loc[(row.kind, row.subject), "message"].endswith("October.)")
        assert row.numbers == over.loc[(row.kind, row.subject), "numbers"]
    parts = strength_of.parts(store_at(store), "Ida", LAST).set_index("part")
    for subject in set(held["subject"]) & set(parts.index):
        assert over.loc[("plateau", subject), "numbers"]["rate_pct_week"] == pytest.approx(parts.loc[subject, "rate_pct_week"], abs=1e-3)


@pytest.mark.parametrize(("beside", "told"), [("Feet elevated push-up", False), ("Knee push-up", True), ("", True)])
def test_the_next_step_is_not_told_to_somebody_who_does_a_higher_one(store: Path, beside: str, told: bool):
    rows = "".join(f"{LAST - timedelta(weeks=back) + timedelta(days=d)},Ida,Push-up,{n},,25,2,,\n" for back in range(9, -1, -1) for d in (0, 3) for n in (1, 2, 3))
    rows += "".join(f"{LAST - timedelta(weeks=back) + timedelta(days=1)},Ida,{beside},1,,10,2,,\n" for back in (3, 2, 1) if beside)
    log(store, rows)
    actions = " ".join(weeks_of.following(store_at(store), "Ida", LAST)["action"])
    assert ("Push-up: one set of the next step" in actions) == told


def test_a_part_that_stands_still_mostly_by_one_exercise_names_it(store: Path):
    """Curls without a gain for 25 weeks, and a barbell curl begun three weeks ago: the curl has nearly all the weight, and the plan says so."""
    rows = "".join(f"{LAST - timedelta(weeks=back) + timedelta(days=d)},Ida,Dumbbell curl,{n},20,8,2,,\n" for back in range(24, -1, -1) for d in (0, 3) for n in (1, 2, 3))
    rows += "".join(f"{LAST - timedelta(weeks=back) + timedelta(days=1)},Ida,Barbell curl,1,30,8,2,,\n" for back in (2, 1, 0))
    log(store, rows)
    following = weeks_of.following(store_at(store), "Ida", LAST).set_index("subject")
    assert "told mostly by dumbbell curl" in following.loc["biceps", "reason"]
    parts = strength_of.parts(store_at(store), "Ida", LAST).set_index("part")
    assert parts.loc["biceps", "reason"].startswith("Over 2 exercises, mostly dumbbell curl, and ")


def test_a_week_with_a_jump_begins_with_one_plain_sentence(store: Path, open_page):
    log(store, weeks(7) + week(LAST, sets=8))
    shown = unescaped(all_text(open_page(store, athlete="Ida", week=str(LAST))))
    assert "Whole body: 96 hard sets this week against a usual 36, 2.7 times as many.  \n" in shown
    assert "(" not in largest("session_spike", "lats", {}, "Lats: 15 hard sets in one session (11 to 19); the largest of the 30 days before had 6.")


def test_a_due_deload_trained_in_full_stands_in_the_first_line(store: Path, open_page):
    log(store, weeks(7) + week(LAST))
    block(store, LAST)
    assert "An easy week was due; 36 of a usual 36 hard sets were done." in unescaped(all_text(open_page(store, athlete="Ida", week=str(LAST))))


def test_an_exercise_that_is_undecided_for_months_is_named_where_it_is_of_the_focus(store: Path):
    """Noisy sessions without a rise: the best of the first weeks stands, and no verdict is reached."""
    loads = [60, 66, 57, 63, 55, 64, 58, 65, 56, 63, 59, 64, 57, 62]
    rows = "".join(f"{LAST - timedelta(weeks=back) + timedelta(days=d)},Ida,Bench press,{n},{load},6,2,,\n"
                   for back, load in zip(range(13, -1, -1), loads, strict=True) for d in (0, 3) for n in (1, 2, 3))
    log(store, rows)
    (one,) = [row for row in strength_of.exercises(store_at(store), "Ida", LAST).itertuples()]
    assert one.verdict == "undecided" and one.best_since.date() < LAST - timedelta(weeks=8)
    assert strength_of.long_open(store_at(store), "Ida", LAST) == [one.name]
    assert strength_of.long_open(store_at(store), "Ida", LAST, replace(RULES, open_weeks=14)) == []
    say(store, "Ida", focus=["soleus"])
    refresh(store, today=TODAY)
    assert strength_of.long_open(store_at(store), "Ida", LAST) == []


def test_names_that_wait_come_first_and_no_part_is_filled_before(store: Path):
    plain = "".join(week(LAST - timedelta(weeks=back), days=(0, 2)) for back in range(8, -1, -1))
    log(store, plain)
    assert adds(following(store)), "without a name that waits, parts are filled"
    log(store, f"{LAST},Ida,Glimmer heave,1,40,8,2,,\n{LAST},Ida,Glimmer heave,2,40,8,2,,\n")
    changes = following(store)
    assert changes[0]["action"] == "Say what Glimmer heave is, on the page Data." and "2 sets this week wait for it" in changes[0]["reason"]
    assert not [one for one in changes if ": add " in one["action"]]
    assert "Glimmer" not in remember(30, 39, NOTHING, pd.DataFrame(changes)), "the athlete's sentence is about training"


def test_a_running_week_says_that_load_is_judged_at_its_end():
    done = {"hard_sets": 90.0, "usual_hard_sets": 45.0, "so_far": True}
    assert week_parts.quiet(done) == "90 hard sets so far; usual is 45 in a whole week. Changes of load are judged at its end."
    assert week_parts.quiet(done | {"so_far": False}) == "90 hard sets against a usual 45; no change of load stood out."


def test_to_remember_says_next_week_once(store: Path):
    assert remember(40, 39, NOTHING, advice(plan.ramp(0.85, 45.0))) == "All of the usual work is done; about 38 hard sets in all next week."
    assert remember(40, 39, NOTHING, advice(plan.after_easy(36.0, "holiday"))) == "All of the usual work is done; next week: go back to what was usual, about 36 hard sets."


def test_one_is_told_as_one(store: Path, run, open_page, monkeypatch):
    log(store, week(LAST, days=(0,)) + f"{LAST},Ida,Unheard of thing,1,20,8,2,,\n")
    told = run("review", "--store", str(store), "--athlete", "Ida")[1]
    assert "  1 session, " in told and "  1 set of exercises that the catalogue lacks" in told
    shown = unescaped(all_text(open_page(store, athlete="Ida", week=str(LAST))))
    assert "1 set of this week, of exercises" in shown
    drawn = []
    monkeypatch.setattr(week_parts.page, "figures", drawn.extend)
    week_parts.figures(weeks_of.done(store_at(store), "Ida", LAST))
    assert drawn[0] == ("Sessions", "1", "on 1 day")
