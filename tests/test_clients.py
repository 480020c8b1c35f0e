"""All athletes in one table: the order, the words, what makes a reason, and that 500 athletes are read by as many statements as three."""

from __future__ import annotations

import doctest
import json
from datetime import date, timedelta
from pathlib import Path

import pandas as pd
import pytest

from dashboard.charts import small_weeks
from dashboard.charts.client_rows import client_rows
from dashboard.look import DARK, LIGHT
from dashboard.measures.look_order import KINDS, asks_for_a_look, look_order
from dashboard.queries import client_reasons, clients, kept
from dashboard.queries.kept import store_at
from dashboard.sentences import clients as say
from etl.settings import RULES
from etl.store import writing
from tests import kept_store
from tests.page_runs import all_text, nodes, unescaped

WEEK = date(2026, 3, 9)  # a Monday
BEFORE = WEEK - timedelta(weeks=1)
TODAY = WEEK + timedelta(days=7)  # the Monday after it
LAST_SET = WEEK + timedelta(days=5)
NAN = float("nan")


def fill(path: Path, **tables: list[dict]) -> Path:
    """A store with these rows."""
    with writing(path) as con:
        con.execute("insert or replace into meta values ('worked_out_with', ?)", [kept_store.fingerprint()])
        for table, rows in tables.items():
            con.register("some_rows", pd.DataFrame(rows))
            con.execute(f"insert into {table} by name select * from some_rows")
            con.unregister("some_rows")
    return path


def a_set(athlete: str, day: date = LAST_SET, exercise: str | None = "plank", **more: object) -> dict:
    return {"set_id": 1, "import_id": 1, "athlete": athlete, "date": day, "exercise": exercise, "exercise_as_written": "Plank", "name_key": "plank", "kind": "work",
            "kind_source": "logged", "side": "both", "range": "full", "planned": False, "source": "log.csv", "source_row": 2} | more


def a_week(athlete: str, week: date = WEEK, **more: object) -> dict:
    return {"athlete": athlete, "week": week, "so_far": False, "sessions": 3, "hard_sets": 40.0, "usual_hard_sets": 42.0, "planned_sets": None, "deload": False} | more


def a_part(athlete: str, week: date, status: str, part: str = "lats", **more: object) -> dict:
    return {"athlete": athlete, "week": week, "part": part, "dose": 3.0, "band_low": 4.0, "status": status, "in_focus": True} | more


def a_flag(athlete: str, kind: str, level: str, message: str, **more: object) -> dict:
    return {"athlete": athlete, "kind": kind, "subject": "whole_body", "week": WEEK, "until": WEEK, "level": level, "numbers": "{}", "message": message} | more


def a_verdict(athlete: str, week: date, verdict: str, part: str = "lats") -> dict:
    return {"athlete": athlete, "week": week, "part": part, "verdict": verdict}


def basis(*athletes: str, days: dict[str, date] | None = None) -> dict[str, list[dict]]:
    """Two weeks of each, in which nothing happened."""
    return {"sets": [a_set(name, (days or {}).get(name, LAST_SET)) for name in athletes],
            "kept_weeks": [a_week(name, week) for name in athletes for week in (BEFORE, WEEK)]}


def looked_at(path: Path, today: date = TODAY, week: date | None = None) -> dict[str, clients.Client]:
    store = store_at(path)
    return {one.athlete: one for one in clients.clients(store, clients.seen(store, today, week))}


def reasons(path: Path, athlete: str, **when: date) -> dict[str, str]:
    return {reason.kind: reason.text for reason in looked_at(path, **when)[athlete].reasons}


@pytest.fixture
def planted(store) -> Path:
    """An athlete for each kind that asks for a look, named against the order, one with news alone and one with nothing."""
    names = ("Zoe pain", "Yan away", "Xia alert", "Wim flag", "Vic verdict", "Val falls", "Uma short", "Tor check", "Stu stands", "Sol news", "Abe quiet")
    rows = basis(*names, days={"Yan away": TODAY - timedelta(days=9)})
    rows["sets"] += [a_set("Zoe pain", pain_place="left knee", pain_score=4.0), a_set("Tor check", exercise=None, name_key="sled thing")]
    return fill(store, **rows, kept_flags=[a_flag("Xia alert", "large_spike", "alert", "Whole body: 90 hard sets."), a_flag("Wim flag", "climb", "review", "Lats: 20 hard sets.")],
                kept_part_strength=[a_verdict("Vic verdict", BEFORE, "progressing"), a_verdict("Vic verdict", WEEK, "plateau"), a_verdict("Val falls", BEFORE, "plateau"), a_verdict("Val falls", WEEK, "declining"),
                                    a_verdict("Sol news", BEFORE, "plateau"), a_verdict("Sol news", WEEK, "progressing"),
                                    *[a_verdict("Stu stands", WEEK - timedelta(weeks=back), "plateau") for back in range(5)]],
                kept_parts=[a_part("Uma short", BEFORE, "within"), a_part("Uma short", WEEK, "below"), a_part("Stu stands", WEEK, "within")])


def test_the_order_is_pain_not_trained_alert_flag_falling_parts_entries_then_stopped_stands_then_news_quiet(planted):
    found = looked_at(planted)
    assert list(found) == ["Zoe pain", "Yan away", "Xia alert", "Wim flag", "Val falls", "Uma short", "Tor check", "Vic verdict", "Stu stands", "Sol news", "Abe quiet"]
    assert [one.group for one in found.values()] == ["first"] * 7 + ["stands"] * 2 + ["rest"] * 2
    assert [list(own) for own in clients.grouped(list(found.values())).values()] == [list(found.values())[start:end] for start, end in ((0, 7), (7, 9), (9, 11))]


def test_a_decline_does_not_stand_under_strength_stopped(planted):
    falls, stopped = (looked_at(planted)[name].reasons[0] for name in ("Val falls", "Vic verdict"))
    assert (say.TITLES[falls.kind], falls.text) == ("Falling", "Lats are declining now.") and say.TITLES[stopped.kind] == "Strength stopped"


def test_each_says_why(planted):
    found = looked_at(planted)
    assert {name: [reason.text for reason in one.reasons] for name, one in found.items()} == {
        "Zoe pain": ["Noted on 14 March: left knee, 4 of 10."], "Yan away": ["No set for 9 days, since 7 March 2026."],
        "Xia alert": ["Whole body: 90 hard sets."], "Wim flag": ["Lats: 20 hard sets."], "Vic verdict": ["Lats are standing still now."],
        "Val falls": ["Lats are declining now."],
        "Uma short": ["Below its band, and not the week before: lats."], "Tor check": ["1 set has an exercise that is not matched yet."],
        "Stu stands": ["No rise found: lats (5 weeks running). No decision about it in the last 4 weeks."],
        "Sol news": ["Lats are progressing now."], "Abe quiet": []}
    assert [one.asks for one in found.values()] == [True] * 9 + [False] * 2


def test_within_a_kind_the_strongest_stands_first_then_the_next_reason_then_the_name(store):
    rows = basis("A", "B", "C", "D", "E", days={"D": TODAY - timedelta(days=7), "E": TODAY - timedelta(days=30)})
    rows["sets"] += [a_set("B", pain_place="elbow", pain_score=2.0), a_set("A", pain_place="elbow", pain_score=2.0), a_set("C", pain_place="elbow", pain_score=7.0)]
    path = fill(store, **rows, kept_flags=[a_flag("B", "spike", "review", "Lats: 20 hard sets.")])
    assert list(looked_at(path)) == ["C", "B", "A", "E", "D"]


def test_a_key_compares_reason_by_reason_and_knows_no_other_kind():
    assert look_order([("to_check", 9.0), ("pain", 1.0)]) < look_order([("pain", 1.0)]) < look_order([("not_trained", 99.0)]) < look_order([("best", 1.0)]) < look_order([])
    assert asks_for_a_look(["best", "to_check"]) and not asks_for_a_look(["best", "part_back"]) and not asks_for_a_look([])
    with pytest.raises(ValueError):
        look_order([("tired", 1.0)])
    assert set(say.TITLES) == set(KINDS)


@pytest.mark.parametrize(("days", "said"), [(RULES.away_days - 1, False), (RULES.away_days, True)])
def test_not_trained_begins_with_the_setting(store, days, said):
    path = fill(store, **basis("A", "B", days={"A": TODAY - timedelta(days=days)}))
    assert looked_at(path)["A"].away == said
    assert looked_at(path)["A"].days_ago == days


def test_where_nobody_has_a_set_for_long_days_are_counted_to_the_end_of_that_week(store):
    path = fill(store, **basis("A", "B", days={"B": WEEK - timedelta(days=20)}))
    late = LAST_SET + timedelta(days=RULES.log_old_days)
    at = clients.seen(store_at(path), late)
    assert (at.week, at.until, at.today) == (WEEK, WEEK + timedelta(days=6), False)
    assert clients.seen(store_at(path), late - timedelta(days=1)).today
    found = looked_at(path, today=late)
    assert found["A"].days_ago == 1 and not found["A"].away and found["B"].away


def test_who_has_not_trained_is_told_when_something_of_theirs_last_came_in_and_an_earlier_week_does_not_know_it(store):
    def brought(number: int, day: date) -> dict:
        return {"import_id": number, "made_at": pd.Timestamp(day), "rows_read": 1, "rows_with_sets": 1, "sets_stored": 1, "days_stored": 0, "already_stored": 0,
                "rows_set_aside": 0, "answers": "{}", "files": "[]", "assumed": "[]", "undone": False}

    rows = basis("A", "B", "C", days={"A": WEEK - timedelta(days=3), "B": WEEK - timedelta(days=3)})
    rows["sets"] += [a_set("A", WEEK - timedelta(days=5), import_id=2), a_set("C", import_id=3)]
    path = fill(store, **rows, imports=[brought(1, WEEK - timedelta(days=4)), brought(2, WEEK + timedelta(days=1)), brought(3, TODAY)])
    told = reasons(path, "A")
    assert told["nothing_new"] == "No set for 10 days, since 6 March 2026. Nothing new has come in from them since 10 March, so that they may have trained."
    assert "not_trained" not in told and looked_at(path)["A"].away and looked_at(path)["A"].group == "rest"
    assert "since 5 March, so" in reasons(path, "B")["nothing_new"] and not {"not_trained", "nothing_new"} & set(reasons(path, "C"))
    assert reasons(path, "A", today=TODAY + timedelta(days=7), week=WEEK)["not_trained"] == "No set for 9 days, since 6 March 2026."


def test_an_earlier_week_knows_nothing_of_what_came_later(store):
    rows = basis("A", "B", days={"B": WEEK - timedelta(days=3)})
    rows["sets"] += [a_set("A", WEEK - timedelta(days=2)), a_set("A", pain_place="wrist", pain_score=3.0), a_set("B", WEEK, pain_place="hip", pain_score=8.0)]
    rows["kept_weeks"] += [a_week("C")]
    rows["sets"] += [a_set("C")]
    path = fill(store, **rows, kept_flags=[a_flag("A", "spike", "alert", "Whole body: 90 hard sets.")])
    before = looked_at(path, week=BEFORE)
    assert set(before) == {"A", "B"} and all(not one.reasons for one in before.values())
    assert before["A"].last_trained == WEEK - timedelta(days=2)
    assert list(looked_at(path)) == ["B", "A", "C"]


def test_a_flag_is_told_at_the_level_of_its_own_week(store):
    """An episode keeps the highest level that it ever reached: later than the week that is looked at, it may be."""
    rows = basis("A")
    path = fill(store, **rows, kept_flags=[a_flag("A", "return", "alert", "First words.", until=None)],
                kept_raised=[{"athlete": "A", "week": WEEK, "kind": "return", "subject": "whole_body", "level": "review", "message": "Own words.", "numbers": "{}", "rank": 1.0}])
    assert reasons(path, "A") == {"flag": "Own words."}


def test_an_alert_stands_before_other_new_flags_and_they_are_counted(store):
    path = fill(store, **basis("A"), kept_flags=[
        a_flag("A", "climb", "review", "Whole body climbs."), a_flag("A", "large_spike", "alert", "Lats: 20 sets.", subject="lats"),
        a_flag("A", "plateau", "review", "told as a verdict", subject="plank"), a_flag("A", "below_band", "review", "told as a part", subject="lats"),
        a_flag("A", "first_exposure", "note", "New: sled."), a_flag("A", "climb", "review", "of the week before", subject="vasti", week=BEFORE)])
    assert reasons(path, "A") == {"alert": "Lats: 20 sets. And 1 more flag.", "first_time": "New: sled."}


def test_pain_of_weeks_running_is_told_so(store):
    """Once with its side; what was noted a month before is another time."""
    rows = basis("A")
    rows["sets"] += [a_set("A", WEEK - timedelta(weeks=back), pain_place=place, pain_score=4.0) for place, back in (("knee", 0), ("left knee", 1), ("knee", 2), ("knee", 5))]
    assert reasons(fill(store, **rows), "A")["pain"] == "Noted on 9 March: knee, 4 of 10, 3 weeks running."



def test_pain_is_told_from_sets_days_and_notes_up_to_today(store):
    rows = basis("A", "B")
    rows["sets"] += [a_set("A", WEEK, pain_place="elbow", pain_score=2.0), a_set("A", WEEK, pain_place="elbow", pain_score=3.0)]
    day = {"import_id": 1, "identity": "x", "athlete": "A", "date": TODAY, "pain_place": "back", "pain_score": 6.0, "source": "log.csv", "source_row": 3}
    note = {"note_id": 1, "athlete": "B", "date": WEEK, "kind": "pain", "subject": "", "text": "sore after stairs", "place": None, "score": None, "private": True,
            "said_at": pd.Timestamp(WEEK)}
    old = note | {"note_id": 2, "date": WEEK - timedelta(days=1), "text": "long ago"}
    path = fill(store, **rows, days=[day], notes=[note, old, note | {"note_id": 3, "kind": "soreness", "text": "legs"}])
    assert reasons(path, "A")["pain"] == "Noted on 16 March: back, 6 of 10; on 9 March: elbow, 3 of 10."
    assert reasons(path, "B")["pain"] == "Noted on 9 March: sore after stairs."


def test_verdicts_of_parts_speak_for_their_exercises_and_too_little_data_is_no_turn(store):
    def exercise(week: date, verdict: str, name: str = "plank") -> dict:
        return {"athlete": "A", "week": week, "exercise": name, "measure": "hold", "series": "", "verdict": verdict}

    path = fill(store, **basis("A"), kept_part_strength=[
        a_verdict("A", BEFORE, "undecided"), a_verdict("A", WEEK, "plateau"), a_verdict("A", BEFORE, "too_little_data", "vasti"), a_verdict("A", WEEK, "declining", "vasti"),
        a_verdict("A", BEFORE, "plateau", "biceps"), a_verdict("A", WEEK, "plateau", "biceps")],
        kept_strength=[exercise(BEFORE, "progressing"), exercise(WEEK, "plateau"), exercise(BEFORE, "progressing", "push_up"), exercise(WEEK, "declining", "push_up")])
    assert reasons(path, "A") == {"falling": "Push-up is declining now.", "verdict": "Lats are standing still now."}


def test_a_part_crosses_its_band_only_between_two_weeks_of_training_that_were_no_deload(store):
    rows = basis("A", "B", "C", "D")
    rows["kept_weeks"] = [a_week(name, week, deload=name == "B" and week == WEEK, sessions=0 if name == "C" and week == BEFORE else 3) for name in "ABCD" for week in (BEFORE, WEEK)]
    path = fill(store, **rows, kept_parts=[
        *(a_part(name, week, status) for name in "ABC" for week, status in ((BEFORE, "within"), (WEEK, "below"))),
        a_part("A", BEFORE, "below", "biceps"), a_part("A", WEEK, "above", "biceps"),
        a_part("D", BEFORE, "within", in_focus=False), a_part("D", WEEK, "below", in_focus=False)])
    assert reasons(path, "A") == {"part_short": "Below its band, and not the week before: lats.", "part_back": "No longer below its band: biceps."}
    assert all(not looked_at(path)[name].reasons for name in "BCD")


@pytest.mark.parametrize(("before", "sure"), [(90.0, "within"), (80.0, "beyond")])
def test_a_best_says_whether_it_is_more_than_its_uncertainty(store, before, sure):
    def row(week: date, best: float, since: date, verdict: str = "undecided", exercise: str = "barbell_bench_press") -> dict:
        return {"athlete": "A", "week": week, "exercise": exercise, "measure": "e1rm", "series": "", "verdict": verdict, "best_value": best, "best_since": since}

    path = fill(store, **basis("A"), kept_strength=[
        row(BEFORE, before, BEFORE), row(WEEK, 92.5, WEEK), row(BEFORE, 50.0, BEFORE, "too_little_data", "back_squat"), row(WEEK, 60.0, WEEK, "too_little_data", "back_squat"),
        row(BEFORE, 70.0, BEFORE, exercise="barbell_row"), row(WEEK, 70.0, BEFORE, exercise="barbell_row")],
        kept_bests=[{"athlete": "A", "date": WEEK, "exercise": "barbell_bench_press", "series": "", "measure": "e1rm", "value": 92.5, "low": 88.4, "high": 96.8}])
    assert reasons(path, "A") == {"best": f"Barbell bench press: estimated maximum 92.5 kg (80 % interval 88.4 to 96.8 kg), before it {before:g} kg, {sure} its uncertainty."}


def test_the_first_week_after_a_break_asks_for_a_look(store):
    load = [{"athlete": "A", "week": week, "subject": subject, "load": 5.0, "state": state} for week, subject, state in (
        (BEFORE, "whole_body", "layoff"), (WEEK, "whole_body", "return"), (BEFORE, "lats", "layoff"), (WEEK, "lats", "return"))]
    path = fill(store, **basis("A"), kept_load=load)
    assert reasons(path, "A") == {"back": "First week after a break: 40 hard sets."} and looked_at(path)["A"].group == "first"


def test_a_name_on_which_somebody_has_decided_waits_no_more(store):
    rows = basis("A")
    rows["sets"] += [a_set("A", exercise=None, name_key="sled thing")]
    path = fill(store, **rows)
    assert "to_check" in reasons(path, "A")
    fill(path, name_decisions=[{"name_key": "sled thing", "exercise": "", "made_at": pd.Timestamp(WEEK)}])
    assert not reasons(path, "A")


def test_a_name_opens_the_last_complete_week_with_training(store):
    rows = basis("A", "B", days={"B": BEFORE})
    rows["kept_weeks"] = [a_week("A", BEFORE), a_week("A"), a_week("A", TODAY, so_far=True), a_week("B", BEFORE), a_week("C", TODAY, so_far=True)]
    rows["sets"] += [a_set("A", TODAY), a_set("C", TODAY)]
    found = looked_at(fill(store, **rows))
    assert {name: one.opens for name, one in found.items()} == {"A": WEEK, "B": BEFORE, "C": TODAY}
    assert found["A"].days_ago == 0 and found["B"].sessions == 0 and found["B"].usual == 42.0
    assert [week is None for week in found["B"].weeks] == [True] * 6 + [False, True]


def test_five_hundred_athletes_are_read_by_as_many_statements_as_three(tmp_path, monkeypatch):
    """No statement of any athlete's own, and none that goes by the name."""
    asked: list[tuple[str, tuple]] = []
    read = kept._rows.__wrapped__
    monkeypatch.setattr(kept, "_rows", lambda path, stamp, sql, params: asked.append((sql, params)) or read(path, stamp, sql, params))
    counts = []
    for people in (3, 500):
        names = [f"Athlete {n:03}" for n in range(people)]
        path = fill(tmp_path / f"{people}.duckdb", **basis(*names), kept_parts=[a_part(name, week, status) for name in names for week, status in ((BEFORE, "within"), (WEEK, "below"))])
        asked.clear()
        assert len(looked_at(path)) == people
        counts.append(len(asked))
        assert not [params for _, params in asked if any(isinstance(value, str) for value in params)]
    assert counts[0] == counts[1] <= 16


def test_picked_by_what_and_by_name(planted):
    everyone = list(looked_at(planted).values())
    assert [one.athlete for one in clients.picked(everyone, "away", "")] == ["Yan away"]
    assert len(clients.picked(everyone, "look", "")) == 7 and [one.athlete for one in clients.picked(everyone, "stands", "")] == ["Vic verdict", "Stu stands"]
    assert [one.athlete for one in clients.picked(everyone, "all", " ABE ")] == ["Abe quiet"]
    assert [len(page) for page in clients.pages(everyone * 12)] == [50, 50, 32]


def test_the_small_picture_tells_a_deload_and_a_missed_week_by_shape_too():
    weeks = [None, (0.0, 40.0, False), (44.0, 40.0, False), (20.0, 40.0, True), (30.0, NAN, False)]
    for colours in (LIGHT, DARK):
        drawn = small_weeks.svg(weeks, colours)
        assert drawn.count("stroke-dasharray") == 1 and drawn.count("<line") == 4 and drawn.count('height="2"') == 2
    assert small_weeks.in_words(weeks) == "Hard sets, oldest week first: none logged, none logged, 44, 20 (deload), 30; usual 40."
    assert small_weeks.as_image(weeks, LIGHT).startswith("data:image/svg+xml;base64,")


def test_the_page_shows_each_athlete_once_in_order_with_a_link_to_the_week(open_page, planted):
    run = open_page(planted, "app_pages/clients.py")
    assert not run.exception and not run.error
    links = _links(run)
    assert [unescaped(link.label) for link in links] == list(looked_at(planted))
    assert all(f"week={WEEK.isoformat()}" in link.query_string for link in links)
    text = all_text(run)
    assert "7 of 11 need a look first, 1 of them with no set for clearly longer than usual; in 2 more something has stood still for weeks." in unescaped(text)
    assert [unescaped(heading.value) for heading in run.header] == ["Need a look first: 7", "Something has stood still for weeks: 2", "The others: 2"]
    assert run.session_state["choice"].athlete in looked_at(planted) and not [box for box in run.selectbox if box.label == "Athlete"]


def test_the_page_narrows_by_filter_and_name(open_page, planted):
    run = open_page(planted, "app_pages/clients.py")
    run.text_input(key="client_name").set_value("OR").run()
    run.segmented_control(key="clients_shown").set_value("look").run()
    assert _names(run) == ["Uma short", "Tor check"]
    run.text_input(key="client_name").set_value("nobody").run()
    assert not _names(run) and "Nobody." in all_text(run)


def test_a_week_in_the_address_is_shown_and_the_athlete_stays(open_page, planted):
    run = open_page(planted, "app_pages/clients.py", athlete="Uma short", monday=BEFORE.isoformat())
    assert "Week of 2 – 8 March 2026" in unescaped(all_text(run))
    assert run.query_params["athlete"] == "Uma short" and run.query_params["monday"] == BEFORE.isoformat()


def test_hostile_names_and_places_are_text(open_page, store):
    rows = basis(kept_store.HOSTILE)
    rows["sets"] += [a_set(kept_store.HOSTILE, pain_place=kept_store.HOSTILE, pain_score=3.0)]
    run = open_page(fill(store, **rows), "app_pages/clients.py")
    assert _names(run) == [kept_store.HOSTILE] and "![](" not in _links(run)[0].label
    lines = "".join(node.proto.body for node in nodes(run.main) if node.type == "html")
    assert "&lt;img src=http" in lines and "<img src=http" not in lines


def test_an_empty_store_leads_on_and_a_store_of_one_is_sensible(open_page, tmp_path, run):
    assert "Bring in a training log" in all_text(open_page(tmp_path / "new.duckdb", "app_pages/clients.py"))
    alone = open_page(fill(tmp_path / "one.duckdb", **basis("A")), "app_pages/clients.py")
    assert not alone.exception and _names(alone) == ["A"] and "Nobody needs a look." in unescaped(all_text(alone))
    status, out, err = run("clients")
    assert status == 1 and "Import a log" in err
    assert json.loads(run("clients", "--json")[1]) == {"clients": [], "rows_set_aside": []}


def test_the_command_gives_the_same_order_as_the_page(planted, run, monkeypatch):
    _on(monkeypatch, TODAY)
    status, out, _ = run("clients", "--json")
    told = json.loads(out)["clients"]
    assert status == 0 and [one["athlete"] for one in told] == list(looked_at(planted))
    assert told[0] == {"athlete": "Zoe pain", "last_trained": "2026-03-14", "days_ago": 2, "week": "2026-03-09", "opens": "2026-03-09", "sessions": 3, "hard_sets": 40,
                       "usual_hard_sets": 42, "planned": None, "needs_a_look": True, "group": "first", "reasons": [{"kind": "pain", "text": "Noted on 14 March: left knee, 4 of 10."}]}
    words = run("clients")[1]
    assert words.index("Need a look first: 7") < words.index("\nTor check") < words.index("Something has stood still for weeks: 2") < words.index("\nVic verdict") < words.index("The others: 2")
    words = run("clients", "--week", "2026-W10")[1]
    assert "Week of 2 March 2026" in words and "Nobody needs a look." in words
    assert run("clients", "--week", "2020-01-06")[0] == 1


def test_the_sample_tells_what_was_planted(sample_store):
    """sample_data/README.md: Oskar's doubled week, Mina's return, the sled that no catalogue knows."""
    assert "alert" in reasons(sample_store, "Oskar", week=date(2026, 7, 27))
    assert {"flag", "back"} <= set(reasons(sample_store, "Mina", week=date(2026, 5, 25)))
    assert "to_check" in reasons(sample_store, "Oskar", week=date(2026, 5, 25))
    assert list(looked_at(sample_store, week=date(2026, 5, 18)))[0] == "Mina" and looked_at(sample_store, week=date(2026, 5, 18))["Mina"].away


def test_no_sentence_says_what_will_happen():
    words = " ".join([*say.TITLES.values(), say.QUIET, *say.TURNED.values(), say.pain([(WEEK, "knee", NAN)]), say.back(4.0), client_reasons.PAIN])
    assert not [word for word in ("safe", "predict", "cause", "injur", "prevent") if word in words.lower()]


def _links(run) -> list:
    """The links that the names are."""
    return [node.proto for node in nodes(run.main) if node.type == "page_link"
            and node.proto.label != "Bring logs in →"]


def _names(run) -> list[str]:
    return [unescaped(link.label) for link in _links(run)]


def _on(monkeypatch, day: date) -> None:
    """Let it be that day for the command."""
    class Day(date):
        @classmethod
        def today(cls) -> date:
            return day

    monkeypatch.setattr("dashboard.command.clients.date", Day)


@pytest.mark.parametrize("module", [say, small_weeks], ids=lambda module: module.__name__)
def test_examples_in_the_docstrings_hold(module):
    found = doctest.testmod(module)
    assert found.attempted and not found.failed


def test_loads_of_the_table_are_in_each_athlete_s_unit():
    best = client_reasons.Reason("best", 1.0, say.best([say.Best("bench press", "e1rm", 100.0, 95.0, 105.0, 90.0)]))
    pain = client_reasons.Reason("pain", 3.0, "Noted on 9 March: under 20 kg, 3 of 10.")
    one = clients.Client("Ida", date(2026, 3, 9), 0, date(2026, 3, 9), 3, 30.0, 30.0, float("nan"), (), (pain, best))
    (row,) = client_rows([one], True, lambda athlete: "lb")
    assert [text for _, text in row["why"]] == ["Noted on 9 March: under 20 kg, 3 of 10.",
                                               "Bench press: estimated maximum 220.5 lb (80 % interval 209.5 to 231.5 lb), before it 198.5 lb, beyond its uncertainty."]


@pytest.mark.parametrize(("subject", "when", "heard"), [
    ("", WEEK, True), ("lats", WEEK - timedelta(days=21), True), ("pull_up", WEEK, True), ("biceps", WEEK, False), ("push_up", WEEK, False),
    ("lats", WEEK - timedelta(days=22), False), ("lats", TODAY, True), ("lats", TODAY + timedelta(days=1), False)])
def test_who_stands_still_asks_until_something_about_it_is_decided(store, subject, when, heard):
    path = fill(store, **basis("A"), kept_parts=[a_part("A", WEEK, "within")],
                kept_part_strength=[a_verdict("A", WEEK - timedelta(weeks=back), "plateau") for back in range(6)],
                decisions=[{"decision_id": 1, "athlete": "A", "date": when, "text": "more", "subject": subject, "said_at": pd.Timestamp(WEEK)}])
    assert ("stands" not in reasons(path, "A")) == heard


def test_weeks_that_stand_still_are_counted_since_the_last_other_verdict_and_of_parts_in_focus_alone(store):
    turned = [a_verdict("A", WEEK - timedelta(weeks=back), verdict) for back, verdict in enumerate(["declining", "plateau", "plateau", "plateau", "undecided", "plateau"])]
    long = [a_verdict("A", WEEK - timedelta(weeks=back), "plateau", "biceps") for back in range(40)]
    early = [a_verdict("A", WEEK - timedelta(weeks=back), "plateau", "brachialis") for back in range(3)]
    past = [a_verdict("A", WEEK - timedelta(weeks=back), "plateau", "soleus") for back in range(1, 9)]
    beside = [a_verdict("A", WEEK - timedelta(weeks=back), "plateau", "gluteus_maximus") for back in range(9)]
    path = fill(store, **basis("A"), kept_part_strength=[*turned, *long, *early, *past, *beside],
                kept_parts=[a_part("A", WEEK, "within", part) for part in ("lats", "biceps", "brachialis", "soleus")]
                + [a_part("A", WEEK, "within", "gluteus_maximus", in_focus=False)])
    assert reasons(path, "A")["stands"] == ("No rise found: biceps (26 weeks running or more). Falling: lats (4 weeks running). "
                                            "No decision about them in the last 4 weeks.")
