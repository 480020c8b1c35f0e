"""Pain that stands in the notes of a log is read as pain: what is plain, and nothing else. The sentences are invented; common practice, no source."""

from __future__ import annotations

import json
import math
import re
from datetime import date
from pathlib import Path

import pytest

from dashboard.standing.refresh import refresh
from etl.importing import Answers, understand
from etl.notation import HINT, pain_in, same_place
from tests.logs import HEAD, TODAY, ask, bring

WEEK = date(2026, 10, 19)


@pytest.mark.parametrize(("note", "place", "score"), [
    ("left elbow 4/10", "left elbow", 4), ("Left knee pain 4/10", "Left knee", 4), ("knee hurts on the way up", "knee", None), ("hurt a little", "place not said", None),
    ("sharp pain, right shoulder", "right shoulder", None), ("left knee, hurts", "left knee", None), ("pain in the neck, 6 of 10", "neck", 6), ("twinge in lower back on rep 6", "lower back", None), ("elbows achy again", "elbows", None),
    ("PB! but right wrist hurts", "right wrist", None), ("left shoulder sore and painful", "left shoulder", None), ("sore legs, left elbow 4/10", "left elbow", 4), ("knees sore but left hip hurts", "left hip", None), ("shoulder aches", "shoulder", None), ("easy; hamstring pain 3,5/10 at the end", "hamstring", 3.5),
    ("back squat: knees hurt", "knees", None), ("linkes Knie schmerzt 3/10", "linkes Knie", 3), ("Schulterschmerzen", "place not said", None), ("painful left hip and left knee", "left hip and left knee", None),
    ("pain in elbow, 5/10", "elbow", 5), ("elbow pain 14/10", "elbow", None)])
def test_what_a_note_says_of_pain(note: str, place: str, score: float | None):
    found = pain_in(note)
    assert found is not None and found.place == place
    assert math.isnan(found.score) if score is None else found.score == score


@pytest.mark.parametrize(("note", "place"), [
    ("Schulter rechts 4/10", "Schulter rechts"), ("Knie links schmerzt", "Knie links"), ("Schmerzen Ellbogen links außen", "Ellbogen links"), ("Schulter - rechts 3/10", "Schulter - rechts"), ("Knie re. 3/10", "Knie re"),
    ("li. Schulter 3/10", "li Schulter"), ("Knie li 2/10", "Knie li"), ("rechte Schulter 3/10", "rechte Schulter"), ("shoulder right 4/10", "shoulder right"), ("knee (left) hurts", "knee (left)"), ("knee (l) 3/10", "knee (l)"),
    ("knee R 3/10", "knee R"), ("R knee 3/10", "R knee"), ("L lower back 4/10", "L lower back"), ("elbow left hurts", "elbow left"), ("pain in hip right", "hip right"), ("Knie rechts 4/10, Schulter links 2/10", "Knie rechts"),
    # What follows makes something else of the word.
    ("knee hurts right after", "knee"), ("shoulder right after the set 4/10", "shoulder"), ("knee right now 3/10", "knee"), ("back left me no choice, pain 4/10", "back"), ("knee r 3/10", "knee"), ("elbow L/R 4/10", "elbow")])
def test_a_side_behind_its_place_belongs_to_it(note: str, place: str):
    found = pain_in(note)
    assert found is not None and found.place == place


@pytest.mark.parametrize(("one", "other"), [
    ("Schulter rechts", "rechte Schulter"), ("linkes Knie", "Knie (links)"), ("left knee", "Knee L"), ("lower back right", "right lower back"), ("genou droit", "Genou (droit)"), ("Knee", "knee "), ("Knie li", "linkes Knie")])
def test_a_place_written_in_two_ways_is_one(one: str, other: str):
    assert same_place(one) == same_place(other)


@pytest.mark.parametrize(("one", "other"), [("left knee", "right knee"), ("left knee", "knee"), ("left hip and right knee", "right hip and left knee"), ("Schulter rechts", "Ellbogen rechts")])
def test_two_places_are_two(one: str, other: str):
    assert same_place(one) != same_place(other)


@pytest.mark.parametrize(("before", "lasts"), [("rechte Schulter 3/10", True), ("linke Schulter 3/10", False)])
def test_pain_that_lasts_is_found_however_its_place_is_written(store: Path, run, before: str, lasts: bool):
    """The place stays as it was written; what is the same place is told where it is counted."""
    text = log("", "Schulter rechts 3/10")
    for n in (1, 2, 3):
        text = text.replace(f"2026-10-05,Ida,Hammer curl,{n},12,8,2,", f"2026-10-05,Ida,Hammer curl,{n},12,8,2,{before}")
    bring(store, text)
    refresh(store, today=TODAY)
    assert ask(store, "select distinct pain_place from sets where date = '2026-10-22' and pain_place is not null") == [("Schulter rechts",)]
    said = json.loads(run("review", "--athlete", "Ida", "--week", WEEK.isoformat(), "--json")[1])
    (told,) = [one["action"] for one in said["next"] if one["action"].startswith("Hammer curl: hold")]
    assert ("have it seen before more is done" in told) == lasts


@pytest.mark.parametrize("note", [
    "", "easy", "no pain", "pain free", "pain-free today", "without pain", "elbow pain gone", "didn't hurt", "doesn’t hurt any more", "knee 0/10", "knee pain 0/10", "legs sore from Monday",
    "calves sore", "shoulder press 8/10", "back squat 9/10", "back day, 7/10", "stop if it hurts", "front squat felt heavy", "session 7/10", "RPE 8/10", "schmerzfrei", "keine Schmerzen", "hips high, chest up",
    "wrist straps on", "painter's tape on the bar", "elbows tucked", "chest sore", "knee is fine again, no pain", "back off set", "hurtling through",
    # Soreness is ordinary, of a joint and with a score as well.
    "right shoulder a bit sore", "left shoulder sore", "shoulder stiff-and-sore", "soreness in the left elbow 3/10", "Muskelkater in der Schulter 4/10", "Schulter verkatert", "DOMS, shoulders", "hips doms 4/10",
    "courbatures aux épaules", "agujetas en los hombros", "spalle indolenzite", "spierpijn in de hand 3/10"])
def test_what_is_not_plain_pain_is_left_as_a_note(note: str):
    assert pain_in(note) is None


def log(first: str, second: str = "") -> str:
    days = [f"2026-{month:02}-{day:02}" for month, day in ((9, 7), (9, 10), (9, 14), (9, 17), (9, 21), (9, 24), (9, 28), (10, 1), (10, 5), (10, 8), (10, 12), (10, 15), (10, 19), (10, 22))]
    notes = [""] * 12 + [first, second]
    return HEAD + "".join(f"{day},Ida,{exercise},{n},{load},8,2,{note if exercise == 'Hammer curl' else ''}\n" for day, note in zip(days, notes, strict=True)
                          for exercise, load in (("Hammer curl", 12), ("Bench press", 60)) for n in (1, 2, 3))


def test_it_is_stored_as_pain_said_and_the_note_stays(tmp_path: Path):
    text = log("left elbow 4/10")
    assert any('read as pain, such as "left elbow 4/10": left elbow, 4 of 10; the notes stay as they are' in said
               for said in understand([("log.csv", text.encode())], Answers(), today=TODAY).files[0].normal.assumed)
    bring(tmp_path / "s.duckdb", text)
    assert ask(tmp_path / "s.duckdb", "select distinct exercise, pain_place, pain_score, note from sets where note is not null") == [("hammer_curl", "left elbow", 4.0, "left elbow 4/10")]


def test_a_column_of_pain_and_a_planned_set_go_before_the_words(tmp_path: Path):
    head = "Date,Athlete,Exercise,Reps,Planned,Pain place,Note\n"
    bring(tmp_path / "s.duckdb", head + "2026-03-02,Ida,Curl,8,no,right wrist,left elbow 4/10\n2026-03-03,Ida,Curl,8,yes,,left elbow 4/10\n2026-03-04,Ida,Curl,8,no,,left elbow 4/10\n")
    assert ask(tmp_path / "s.duckdb", "select pain_place, pain_score from sets order by date") == [("right wrist", None), (None, None), ("left elbow", 4.0)]


@pytest.mark.parametrize(("note", "hurts"), [("left elbow hurts 4/10", True), ("felt good", False)])
def test_the_plan_and_the_page_of_clients_listen_to_it(store: Path, run, note: str, hurts: bool):
    bring(store, log(note))
    refresh(store, today=TODAY)
    said = json.loads(run("review", "--athlete", "Ida", "--week", WEEK.isoformat(), "--json")[1])
    assert any(one["action"].startswith("Hammer curl: hold") for one in said["next"]) == hurts
    (ida,) = json.loads(run("clients", "--week", WEEK.isoformat(), "--json")[1])["clients"]
    assert any(reason["kind"] == "pain" for reason in ida["reasons"]) == hurts


def test_every_word_that_is_looked_for_has_a_hint(tmp_path: Path):
    for note in ("left elbow 4/10", "knee hurts", "twinge", "a niggle", "elbow aches", "elbow achy", "tut weh", "Schmerzen", "knee tweaked", "knee irritated", "elbow inflamed", "Knie gereizt"):
        assert pain_in(note) and re.search(HINT, note, re.IGNORECASE)
