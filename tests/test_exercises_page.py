"""The page Exercises: looking the catalogue up, and changing it."""

from __future__ import annotations

from pathlib import Path

import pytest

from dashboard.queries import catalogue
from etl import tables
from etl.findings import judged
from etl.importing import own
from etl.own.what import OWN_ID
from etl.store import reading
from tests.logs import ask, bring
from tests.page_runs import all_text, told, unescaped

PAGE = "app_pages/exercises.py"
LOG = "Date,Athlete,Exercise,Set,Load,Reps\n2026-03-02,Ida,Hammer curl,1,12,10\n2026-03-02,Ida,Barn door row,1,20,10\n"


def pick(run, label: str, value):
    next(box for box in run.selectbox if box.label == label).set_value(value)
    return run


def press(run, label: str):
    return next(button for button in run.button if button.label == label).click().run()


@pytest.fixture
def logged(store: Path) -> Path:
    bring(store, LOG)
    return store


def test_a_head_shows_what_trains_it_with_grade_and_source(open_page, small_store):
    run = open_page(small_store, PAGE, head="deltoid_spinal")
    rows = run.dataframe[0].value
    assert not run.exception and {"exercise", "a set counts", "evidence", "with", "source", "where"} <= set(rows.columns)
    found = catalogue.exercises_of("deltoid_spinal")
    assert list(rows["exercise"]) == list(found["name"]) and rows["a set counts"].iloc[0] == "1, direct"
    direct = tables.credits().query("head_id == 'deltoid_spinal' and credit == 1")
    assert f"{len(direct)} exercises train it directly" in all_text(run)


def test_what_there_is_to_train_with_narrows_the_list(open_page, small_store):
    run = pick(open_page(small_store, PAGE, head="deltoid_spinal"), "With", "own").run()
    rows = run.dataframe[0].value
    assert 0 < len(rows) < len(catalogue.exercises_of("deltoid_spinal"))
    assert rows["with"].str.contains("bodyweight|box|towel").all()


def test_an_exercise_shows_its_heads_drawn_its_ladder_its_variants_and_its_studies(open_page, small_store):
    run = open_page(small_store, PAGE, exercise="push_up")
    text = unescaped(all_text(run))
    (drawn,) = told(run)
    assert not run.exception
    assert all(row.name_ in drawn for row in catalogue.heads_of("push_up").rename(columns={"name": "name_"}).itertuples())
    for part in ("Ladder: push-up", "after 3 x 20", "Where coaches or studies differ", "Variants", "hand width: narrow", "Studies behind it", "Cogley 2005"):
        assert part in text, part
    assert len(catalogue.findings_of("push_up")) >= 5


def test_two_exercises_are_compared_head_by_head(open_page, small_store):
    run = open_page(small_store, PAGE, first="barbell_curl", second="reverse_curl")
    run.session_state["catalogue_section"] = "compare"
    run.run()
    (drawn,) = told(run)
    assert "biceps brachii, long head 1 and 0.5, measured so" in drawn
    assert "brachioradialis 0.5 and 1, not distinguishable" in drawn and "brachialis 1 and 1, alike" in drawn
    assert "Coratella 2023" in unescaped(all_text(run))


def test_an_address_that_leads_nowhere_is_said(open_page, small_store):
    run = open_page(small_store, PAGE, exercise="no_such_thing")
    assert "not among these" in run.warning[0].value and not run.exception


def changing(open_page, store: Path, kind: str):
    run = open_page(store, PAGE)
    run.session_state["catalogue_section"] = "changes"
    run.run()
    run.session_state["own_kind"] = kind
    return run.run()


def test_an_exercise_of_ones_own_is_added_settles_its_sets_and_is_taken_away(open_page, logged: Path):
    run = changing(open_page, logged, "exercise")
    next(field for field in run.text_input if field.label == "Name").set_value("Barn door row")
    run = press(pick(run, "It is like", "dumbbell_row"), "Add it")
    assert "Barn door row is an exercise of yours" in unescaped(run.success[0].value) and "1 set settled" in run.success[0].value
    assert ask(logged, "select exercise from sets where exercise_as_written = 'Barn door row'") == [("own_barn_door_row",)]
    run = open_page(logged, PAGE, exercise=OWN_ID + "barn_door_row")
    assert "An exercise of your own" in all_text(run) and "yours" in unescaped(all_text(run))
    press(changing(open_page, logged, "exercise"), "Take it back")
    assert not own.changes(logged) and ask(logged, "select exercise from sets where exercise_as_written = 'Barn door row'") == [(None,)]


def test_a_name_that_is_taken_is_refused_in_words(open_page, logged: Path):
    run = changing(open_page, logged, "exercise")
    next(field for field in run.text_input if field.label == "Name").set_value("Pull-up")
    run = press(pick(run, "It is like", "dumbbell_row"), "Add it")
    assert "is that of an exercise already" in unescaped(run.warning[0].value) and not own.changes(logged)


def test_a_credit_is_changed_beside_the_exercise_and_shown_as_the_visitors(open_page, logged: Path):
    run = open_page(logged, PAGE, exercise="hammer_curl")
    box = next(box for box in run.selectbox if box.label == "Head")
    box.set_value("brachialis")
    run.radio[0].set_value(0.25)
    run = press(run, "Change it")
    assert "a set counts 0.25 for brachialis" in unescaped(run.success[0].value)
    with reading(logged):
        assert tables.modified_credits("hammer_curl")["brachialis"] == 0.25
    assert "yours" in unescaped(all_text(open_page(logged, PAGE, exercise="hammer_curl")))


def test_a_target_and_a_name_are_set(open_page, logged: Path):
    press(pick(changing(open_page, logged, "target"), "Part", "biceps"), "Set it")
    run = changing(open_page, logged, "name")
    names = next(field for field in run.selectbox if field.label == "Name as the log writes it")
    assert names.options == ["Barn door row"]
    names.set_value("Barn door row")
    press(pick(run, "It means", "dumbbell_row"), "Settle it")
    found = own.changes(logged)
    assert [(t.part_id, t.low, t.high) for t in found.targets] == [("biceps", 4, 12)]
    assert [(n.written, n.exercise_id) for n in found.names] == [("barn door row", "dumbbell_row")]


def test_restoring_asks_and_leaves_nothing(open_page, logged: Path):
    own.take_in(logged, b"change,exercise,head,credit\ncredit,hammer_curl,brachialis,0.5\n", "x.csv")
    run = press(changing(open_page, logged, "credit"), "Restore it")
    assert "shipped catalogue is in use again" in run.success[0].value and not own.changes(logged)


def test_what_was_read_of_a_source_and_where_stands_with_every_finding():
    for exercise in ("push_up", "barbell_back_squat", "dumbbell_lateral_raise"):
        found = catalogue.findings_of(exercise)
        assert len(found) and (found[["source", "where", "checked", "who", "measured"]] != "").all(axis=None)
    assert (judged().query("verdict == 'contradicts'")["reason"] != "").all()


@pytest.mark.parametrize("exercise", tables.exercises()["exercise_id"])
def test_every_exercise_can_be_looked_up(exercise: str):
    """Facts, heads, ladder, variants: nothing that an exercise may hold leaves its page without words."""
    found, heads = catalogue.exercise(exercise), catalogue.heads_of(exercise)
    assert found.name and all(found.facts.values()) and (heads["base"] == 1).any() and (heads["source"] != "").all()
    assert (heads.loc[heads["other_reading"].notna(), "note"] != "").all()
    steps = catalogue.steps_of(exercise)
    assert len(steps) == 0 or (steps["here"].sum() == 1 and (steps["enter"].iloc[1:] != "").all() and catalogue.ladder_name(exercise))
    assert catalogue.variants_of(exercise)["what"].ne("").all()


@pytest.mark.parametrize("head", tables.heads()["head_id"])
def test_every_head_can_be_looked_up(head: str):
    found = catalogue.exercises_of(head)
    assert found["credit"].is_monotonic_decreasing and (found["source"] != "").all()


def test_what_counts_by_ones_own_credits_and_bands_is_shown_as_ones_own(open_page, logged: Path):
    own.take_in(logged, b"change,exercise,head,credit,part,low,high\ncredit,hammer_curl,brachialis,0.5,,,\ntarget,,,,biceps,6,10\n", "x.csv")
    run = open_page(logged, "app_pages/balance.py")
    assert "Yours: biceps." in unescaped(all_text(run))
    heads = next(table.value for table in run.dataframe if "evidence" in table.value.columns).set_index("head")
    assert heads.loc["brachialis", "evidence"] == "yours 100 %"
    assert "yours" not in heads.loc["brachioradialis", "evidence"]


def test_odd_names_and_notes_are_shown_as_they_are_written(open_page, logged: Path):
    odd = "<b>Bold</b> *row* [x](http://y) $a$"
    own.take_in(logged, f'change,name,like,note,exercise,head,credit,part,low,high\nexercise,{odd},dumbbell_row,"=1+1 <i>*note*</i>",,,,,,\n'
                        'credit,,,"<i>*why*</i>",hammer_curl,brachialis,0.5,,,\ntarget,,,,,,,biceps,4,8\n'.encode(), "x.csv")
    (exercise,) = own.changes(logged).exercises
    for run in (open_page(logged, PAGE, exercise=exercise.exercise_id), open_page(logged, PAGE, first=exercise.exercise_id, second="pull_up"), changing(open_page, logged, "name")):
        if "first" in run.query_params:
            run.session_state["catalogue_section"] = "compare"
            run.run()
        texts = [block.value for block in (*run.header, *run.markdown, *run.caption)]
        assert not run.exception and not any("<b>Bold" in text or "*row*" in text or "<i>*" in text for text in texts)


def test_an_exercise_without_a_direct_head_still_has_its_page(open_page, logged: Path):
    own.take_in(logged, b"change,exercise,head,credit\ncredit,hammer_curl,brachialis,0.5\ncredit,hammer_curl,brachioradialis,0.5\n", "x.csv")
    text = all_text(open_page(logged, PAGE, exercise="hammer_curl"))
    assert "nothing directly" in text


def test_what_was_taken_back_elsewhere_is_said_in_words(open_page, logged: Path):
    own.take_in(logged, b"change,part,low,high\ntarget,biceps,6,10\n", "x.csv")
    run = changing(open_page, logged, "target")
    own.take_back_target(logged, "biceps")
    run = press(run, "Take it back")
    assert not run.exception and not own.changes(logged)


def test_an_exercise_that_is_said_again_has_the_heads_of_what_it_is_like_now(open_page, logged: Path):
    for like in ("dumbbell_row", "pull_up"):
        run = changing(open_page, logged, "exercise")
        next(field for field in run.text_input if field.label == "Name").set_value("Barn door row")
        press(pick(run, "It is like", like), "Add it")
    with reading(logged):
        assert tables.modified_credits("own_barn_door_row") == tables.modified_credits("pull_up")


def test_the_sample_is_looked_up_with_the_shipped_catalogue_and_not_changed(open_page, logged: Path, sample_store: Path):
    own.take_in(logged, b"change,exercise,head,credit\ncredit,hammer_curl,brachialis,0.25\n", "x.csv")
    run = open_page(logged, PAGE, exercise="hammer_curl")
    assert "brachialis explains only" in told(run)[0]
    run.session_state["sample_store"] = str(sample_store)
    run.session_state["catalogue_section"] = "changes"
    assert "This is the sample" in unescaped(all_text(run.run())) and not any(button.label == "Add it" for button in run.button)
