"""Pages as a visitor meets them: what is shown, what stays chosen, and that text from a file is only ever text."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest

from dashboard import choices
from dashboard.app import PAGES
from dashboard.app_pages.page import FOOT, escape
from dashboard.queries import balance, people, strength, week
from dashboard.queries.kept import store_at
from dashboard.sentences.cautions import BY_TOPIC
from dashboard.standing.refresh import refresh
from etl.store import writing
from tests import kept_store
from tests.logs import bring
from tests.page_runs import all_text, charts, figures, told, unescaped


@pytest.mark.parametrize("page", PAGES)
def test_each_page_opens_with_a_title_and_the_foot(open_page, small_store, page):
    run = open_page(small_store, page, athlete="Robin")
    assert not run.exception
    assert len(run.title) == 1
    assert FOOT in all_text(run)


@pytest.mark.parametrize("page", PAGES)
def test_each_page_of_an_empty_store_leads_on(open_page, tmp_path, page):
    run = open_page(tmp_path / "new.duckdb", page)
    assert not run.exception
    assert "Bring in a" in all_text(run) or run.file_uploader


def test_the_week_shows_done_against_usual_the_weakest_part_and_what_to_change(open_page, small_store):
    run = open_page(small_store, athlete="Robin")
    shown = figures(run)
    assert shown["Hard sets"] == ("74", "usual 46")
    assert shown["Sessions"] == ("4", "on 4 days")
    text = all_text(run)
    assert "Rear delt went short" in text
    assert "8 of 9 focus parts are covered this week, 1 is short; the weakest is rear delt" in unescaped(text) and escape("(as far as the credits tell: biceps, lats and 1 more may be as weak)") in text
    assert escape("Add 2 sets of rear-delt raise.") in text
    assert escape("Whole body: 74 hard sets this week against a usual 46, 1.6 times as many.") in text
    assert "1 change of load" in text
    assert escape("Bench press of 154 kg looks like 70 kg written in pounds.") in text


def test_a_caution_stands_in_the_week_it_belongs_to_and_once(open_page, small_store):
    assert all_text(open_page(small_store, athlete="Robin")).count(escape(BY_TOPIC["new_work"])) == 1
    calm = open_page(small_store, athlete="Robin", week=kept_store.WEEKS[5].isoformat())
    assert escape(BY_TOPIC["new_work"]) not in all_text(calm)


@pytest.mark.parametrize("page", [page for page in PAGES if not {"data", "methods", "exercises", "settings", "clients", "look_up"} & set(re.split(r"[/.]", page))])
def test_every_chart_has_a_text_alternative(open_page, small_store, page):
    run = open_page(small_store, page, athlete="Robin")
    assert charts(run) and len(told(run)) == len(charts(run))
    assert all(len(words) > 40 for words in told(run))


@pytest.mark.parametrize("page", ["app_pages/this_week.py", "app_pages/strength.py"])
def test_rates_of_repetitions_and_of_estimates_have_pictures_of_their_own(open_page, small_store, page):
    words = [one for one in told(open_page(small_store, page, athlete="Robin")) if one.startswith("Change of ")]
    assert ["chest: progressing" in one for one in words] == [True, False] == ["Change of strength, " in one for one in words]
    assert "lower: progressing, +1.40 % a week" in words[1] and words[1].startswith("Change of repetitions or seconds, ")


def test_athlete_and_week_come_from_the_address_and_stay_there_on_every_page(open_page, small_store):
    run = open_page(small_store, athlete="Robin", week="2026-02-23")
    for page in PAGES:
        run.switch_page(page).run()
        assert run.query_params["athlete"] == "Robin", page
        assert run.query_params["week"] == "2026-02-23", page
    assert run.selectbox(key=choices.WEEK).value == date(2026, 2, 23)


def test_any_day_of_a_week_in_the_address_means_its_monday(open_page, small_store):
    run = open_page(small_store, athlete="Robin", week="2026-02-26")
    assert run.query_params["week"] == "2026-02-23"


@pytest.mark.parametrize("address", [{"athlete": "Nobody", "week": "2026-02-23"}, {"week": "soon"}, {"athlete": "Robin", "week": "1999-01-04"}])
def test_an_address_that_leads_nowhere_opens_the_latest_week(open_page, small_store, address):
    run = open_page(small_store, **address)
    assert not run.exception
    expected = "2026-02-23" if address["week"] == "2026-02-23" else kept_store.LAST_WEEK.isoformat()
    assert run.query_params["week"] == expected


def test_an_athlete_who_is_not_there_is_said_until_someone_is_chosen(open_page, small_store):
    run = open_page(small_store, athlete="Nobody **b**")
    assert unescaped(run.warning[0].value) == f'The address asks for "Nobody **b**", who is not in this store. This is the log of {kept_store.HOSTILE}.'
    run.run()
    assert run.warning, "a second run of the page does not take it for answered"
    run.selectbox(key=choices.ATHLETE).set_value("Robin").run()
    assert not run.warning


def test_a_week_that_is_not_there_is_said(open_page, small_store):
    run = open_page(small_store, athlete="Robin", week="1999-01-04")
    assert '"1999-01-04", which is not in the log of Robin' in unescaped(run.warning[0].value)
    assert not open_page(small_store, athlete="Robin", week="2026-02-26").warning


def test_earlier_goes_one_week_back(open_page, small_store):
    run = open_page(small_store, athlete="Robin")
    next(button for button in run.button if button.label == "Earlier").click().run()
    assert run.query_params["week"] == "2026-03-02"
    assert run.title[0].value == "Week of 2 March 2026"


@pytest.mark.parametrize("page", PAGES)
def test_text_from_a_file_never_becomes_markdown(open_page, small_store, page):
    run = open_page(small_store, page, athlete=kept_store.HOSTILE)
    text = all_text(run)
    for raw in ("![](", "**b**", "$x$", ":red[y]", ":smile:", "<img", "[z](", "http://", "_u_"):
        assert not re.search(r"(?<!\\)" + re.escape(raw), text)
    assert run.session_state[choices.CHOICE].athlete == kept_store.HOSTILE


@pytest.mark.parametrize("text", ["![x](http://a.b/c.png)", "*a* _b_ `c` ~d~", "# head", "1. one", "$x^2$", ":red[x]", "<b>", "a\n\nb", "| a | b |"])
def test_escaped_text_reads_as_written(text):
    """CommonMark 0.31, section 2.4: any ASCII punctuation after a backslash stands for itself."""
    escaped = escape(text)
    assert unescaped(escaped) == " ".join(text.split())
    assert not re.search(r"(?<!\\)[*_`~#$:<>\[\]()!|]", escaped)


def test_strength_names_the_unit_of_each_series_and_why_the_verdict(open_page, small_store):
    run = open_page(small_store, "app_pages/strength.py", athlete="Robin")
    for picked, unit in (("plank", "seconds"), ("pull_up", "kg per kg of body mass"), ("barbell_bench_press", "kg")):
        run.selectbox(key="exercise").set_value(picked).run()
        text = all_text(run)
        assert re.search(rf"Best so far: [\d.]+ {unit}, since \d", text)
    assert escape("It rises by 0.6 % a week (80 % interval 0.2 to 1.0).") in text


def test_balance_shows_the_parts_in_focus_and_on_request_all(open_page, small_store):
    run = open_page(small_store, "app_pages/balance.py", athlete="Robin")
    assert unescaped(run.title[0].value) == "Week of 9 March: rear delt went short"
    assert "pronators" not in " ".join(told(run))
    run.selectbox(key="parts").set_value("all").run()
    assert "pronators: 0 of 2 to 8 sets, 2 short" in " ".join(told(run))


def test_load_of_a_part_can_be_picked(open_page, small_store):
    run = open_page(small_store, "app_pages/load.py", athlete="Robin")
    run.selectbox(key="of").set_value("lats").run()
    assert "Lats: 21 hard sets (19.5 to 22.5), usual 11" in unescaped(all_text(run))


def test_a_store_that_cannot_be_opened_is_told_in_words(open_page, tmp_path):
    broken = tmp_path / "broken.duckdb"
    broken.write_bytes(b"not a store" * 1000)
    run = open_page(broken)
    assert not run.exception
    assert "cannot be opened as a store" in run.error[0].value


def test_a_change_of_the_store_is_seen_at_the_next_look(tmp_path):
    path = kept_store.build(tmp_path / "changing.duckdb", ("Robin",))
    before = store_at(path)
    assert week.done(before, "Robin", kept_store.LAST_WEEK)["hard_sets"] == 74
    with writing(path) as con:
        con.execute("update kept_weeks set hard_sets = 75 where week = ?", [kept_store.LAST_WEEK])
    assert week.done(before, "Robin", kept_store.LAST_WEEK)["hard_sets"] == 74, "the same stamp gives the same answer"
    assert week.done(store_at(path), "Robin", kept_store.LAST_WEEK)["hard_sets"] == 75


def test_no_query_gives_one_athlete_the_rows_of_another(small_store):
    store = store_at(small_store)
    for ask in (balance.parts, balance.heads, balance.muscles, strength.exercises, strength.parts, strength.sides, week.flags, week.following):
        found = ask(store, "Robin", kept_store.LAST_WEEK)
        assert set(found["athlete"]) == {"Robin"}, ask.__name__


def test_flags_of_a_week_are_those_that_hold_in_it(small_store):
    store = store_at(small_store)
    assert week.flags(store, "Robin", kept_store.WEEKS[-2])["kind"].tolist() == ["plateau"]
    assert week.flags(store, "Robin", kept_store.LAST_WEEK)["kind"].tolist() == ["large_spike", "plateau", "check_entry"]
    assert week.flags(store, "Robin", kept_store.WEEKS[-3]).empty


@pytest.mark.parametrize("page", PAGES)
def test_each_page_opens_on_the_sample(open_page, sample_store, page):
    store = store_at(sample_store)
    for athlete in people.athletes(store):
        run = open_page(sample_store, page, athlete=athlete)
        assert not run.exception, (page, athlete)
        assert not run.error


@pytest.mark.parametrize(("reps", "left", "higher"), [(12, "", True), (8, "2", False)])
def test_a_hollow_point_above_the_best_is_told_beside_it(store, open_page, reps, left, higher):
    """A set without effort among those that have theirs is shown only."""
    rows = [(date(2026, 8, 3) + timedelta(days=7 * n), 8, "2") for n in range(10)] + [(date(2026, 10, 12), reps, left)]
    bring(store, "Date,Athlete,Exercise,Load (kg),Reps,RIR\n" + "".join(f"{day},Ida,Barbell row,50,{done},{rir}\n" for day, done, rir in rows))
    refresh(store, today=date(2026, 10, 19))
    shown = unescaped(all_text(open_page(store, "app_pages/strength.py", athlete="Ida")))
    assert "Best so far:" in shown
    assert ("A hollow point stands higher," in shown and "kg on 12 October 2026: shown, but not counted." in shown) == higher


def test_where_every_verdict_waits_the_week_says_what_the_nearest_lacks(store, open_page):
    """Nine weekly sessions of one exercise, two of another: 60 % of sixteen weeks are 9.6 (methods)."""
    rows = [(date(2026, 8, 17) + timedelta(days=7 * n), "Barbell row") for n in range(9)] + [(date(2026, 10, 5), "Bench press"), (date(2026, 10, 12), "Bench press")]
    bring(store, "Date,Athlete,Exercise,Load (kg),Reps,RIR\n" + "".join(f"{day},Ida,{name},50,8,2\n" for day, name in rows))
    refresh(store, today=date(2026, 10, 19))
    shown = unescaped(all_text(open_page(store, "app_pages/this_week.py", athlete="Ida")))
    assert "Too little data yet for 2 exercises:" in shown
    assert "Barbell bent-over row: 9 sessions that count over 8 weeks; a verdict needs 8 over 9.6 weeks or more." in shown
    assert "Barbell bench press: 2 sessions" not in shown
