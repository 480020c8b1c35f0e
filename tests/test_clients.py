"""All athletes in one table: the order, the page, the command, and that 500 athletes are read by as many statements as three."""

from __future__ import annotations

import doctest
import json
from datetime import date, timedelta
from pathlib import Path

import pytest

from dashboard.charts import small_weeks
from dashboard.charts.client_rows import client_rows
from dashboard.look import DARK, LIGHT
from dashboard.measures.look_order import KINDS, asks_for_a_look, look_order
from dashboard.queries import client_reasons, clients, kept
from dashboard.sentences import clients as say
from tests import kept_store
from tests.client_store import BEFORE, NAN, TODAY, WEEK, a_flag, a_part, a_set, a_verdict, a_week, basis, fill, looked_at, reasons
from tests.page_runs import all_text, nodes, unescaped


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
