"""A report on paper: one page for a usual client, a sensible break for another; and what a client is told first, watches, and reads of the plan."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pandas as pd
import pytest

from dashboard.queries.kept import store_at
from dashboard.queries.words import part_words
from dashboard.report import content
from dashboard.report import pdf as made_pdf
from dashboard.report.content import Section, gather
from dashboard.report.drawn import packed
from dashboard.report.html import html
from dashboard.report.pdf import PAGES, pdf
from dashboard.sentences import client, plan
from dashboard.sentences.plain_parts import PLACES

WEEK = date(2026, 9, 28)
SAMPLE = ("Mina", "Oskar", "Tilde")


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("athlete", SAMPLE)
def test_a_usual_client_is_one_page_on_either_paper(sample_store, athlete, paper):
    assert PAGES.search(pdf(gather(store_at(sample_store), athlete, WEEK), paper))[1] == b"1"


def test_where_one_page_has_no_room_the_second_begins_with_what_to_watch(sample_store, monkeypatch):
    told, asked = gather(store_at(sample_store), "Oskar", WEEK), []
    long = replace(told, plan=Section("Next week", tuple(f"Change number {n} of a long plan, told in a line of its own." for n in range(28)), listed=True))
    compiled = made_pdf._compiled
    monkeypatch.setattr(made_pdf, "_compiled", lambda data: asked.append(data) or compiled(data))
    made = pdf(long, "letter")
    parted = [data for data in asked if data["parted"]]
    assert PAGES.search(made)[1] == b"2" and parted and len(asked) <= 12  # the size is found by halving
    assert parted[-1]["beside"][1] and not parted[-1]["beside"][0]


def test_what_is_said_beside_goes_below_the_shorter_column(sample_store):
    told = gather(store_at(sample_store), "Oskar", WEEK)
    many = replace(told, plan=Section("Next week", ("A change.",) * 40, listed=True))
    (_, below) = packed(many)
    assert sum(map(len, below)) == len(told.beside) and len(below[0]) == len(told.beside)


def test_adherence_and_the_gain_stand_above_the_pictures_and_what_went_short_below(sample_store):
    page = html(gather(store_at(sample_store), "Oskar", WEEK))
    places = [page.index(text) for text in ('class="done"', "<h2>A gain</h2>", "<figure>", "<h2>To watch</h2>", "<h2>Next week</h2>")]
    assert places == sorted(places)


def flag(kind: str, subject: str) -> dict:
    return {"kind": kind, "subject": subject, "called": subject, "numbers": {}}


def test_what_to_watch_is_of_what_the_plan_is_about_but_for_a_jump():
    flags = pd.DataFrame([flag("declining", "barbell_bench_press"), flag("plateau", "lats")])
    assert content._watched(flags, pd.Series(["lats"])).subject == "lats"
    assert content._watched(flags, pd.Series([""])).subject == "barbell_bench_press"
    jump = pd.concat([flags, pd.DataFrame([flag("spike", "whole_body")])])
    assert content._watched(jump, pd.Series(["lats"])).kind == "spike"
    # An exercise belongs to a part that it trains first.
    of_exercise = pd.DataFrame([flag("plateau", "back_squat"), flag("plateau", "pull_up")])
    assert content._watched(of_exercise, pd.Series(["lats"])).subject == "pull_up"


def test_what_lasts_and_is_not_in_the_plan_says_that_it_stays():
    (lifted,) = pd.DataFrame([flag("plateau", "dumbbell_lateral_raise") | {"called": "dumbbell lateral raise"}]).itertuples()
    assert content._watch(lifted, ["lats"]) == "Dumbbell lateral raise has stood still lately. Next week it stays as it is."
    assert content._watch(lifted, ["deltoid_acromial"]) == "Dumbbell lateral raise has stood still lately."
    # Under a plan for the whole body nothing stays as it is.
    assert content._watch(lifted, ["whole_body"]) == "Dumbbell lateral raise has stood still lately."
    assert content._watch(lifted, ["whole_body"], easy=True) == "Dumbbell lateral raise has stood still lately. Next week the easy week comes first."


def test_a_part_without_a_set_is_not_told_of_about_nothing():
    action, reason = plan.add_sets("lats", 4.0, 2, "pull-up", 0.0, 4, 0.0, 0.0)
    assert client.plan("lats", action, reason) == "Lats: add 2 sets, for instance pull-up. It had no hard set this week, and the aim is 4 or more."


@pytest.mark.parametrize("athlete", SAMPLE)
def test_a_title_names_two_parts_at_most_and_each_with_its_place(sample_store, athlete):
    told = gather(store_at(sample_store), athlete, WEEK)
    named = [part for part, word in part_words().items() if f"{word} ({PLACES[part]})" in told.figures[-1].title.casefold()]
    assert len(named) <= client.NEXT_NAMED
    assert "tier" not in html(told) and "four times in five" not in html(told)
    for line in told.plan.lines:
        for part, word in part_words().items():
            assert not line.casefold().startswith(f"{word.casefold()}:"), line
