"""What a person says beside the log: kept, shown, changed, taken back, put back, moved, erased and exported; and what pain changes."""

from __future__ import annotations

import csv
import json
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import frictionless
import pytest
from streamlit.testing.v1 import AppTest

import dashboard
from dashboard.app_pages import said_forms
from dashboard.choices import Choice
from dashboard.look import PRINT
from dashboard.queries import said as said_of
from dashboard.queries.kept import store_at
from dashboard.queries.review import review
from dashboard.standing.refresh import refresh
from etl.export import export
from etl.importing import Answers, erase_athlete, merge_athletes, understand
from etl.importing import keep as keep_log
from etl.refusal import Refusal
from etl.store import said
from etl.store.athletes import say, settings
from etl.store.said import BLOCKS, DECISIONS, GOALS, LONGEST, NOTES, TABLES
from tests.logs import ask, bring
from tests.page_runs import all_text, unescaped

TODAY = date(2026, 11, 1)
MONDAY = date(2026, 10, 19)
HEAD = "Date,Athlete,Exercise,Set,Load (kg),Reps,RIR,Pain place,Pain score,Limited by\n"


def log(athlete: str = "Ida", weeks: int = 6) -> str:
    days = [MONDAY - timedelta(weeks=back) + timedelta(days=d) for back in range(weeks) for d in (0, 3)]
    return HEAD + "".join(f"{day},{athlete},{name},{n},{load},8,2,,,\n" for day in sorted(days) for name, load in (("Hammer curl", 12), ("Bench press", 60)) for n in (1, 2, 3))


def note(**values) -> dict:
    return {"date": MONDAY + timedelta(days=3), "text": "slept badly"} | values


def goal(**values) -> dict:
    return {"text": "twelve", "due": date(2027, 1, 31)} | values


@pytest.fixture
def ida(store: Path) -> Path:
    bring(store, log())
    refresh(store, today=TODAY)
    return store


RECORDS = ((NOTES, note(kind="pain", place="left elbow", score=4.0, subject="hammer_curl")), (GOALS, goal(subject="hammer_curl", measure="reps", target=12.0)),
           (BLOCKS, {"aim": "more pulling", "starts": MONDAY, "ends": MONDAY + timedelta(days=41), "deload_due": MONDAY + timedelta(days=37)}),
           (DECISIONS, {"date": MONDAY, "text": "curls first", "subject": "biceps"}))


@pytest.mark.parametrize(("table", "values"), RECORDS, ids=[table.name for table, _ in RECORDS])
def test_a_record_is_kept_taken_back_and_put_back_as_it_was(ida: Path, table: said.Table, values: dict):
    number = said.say(ida, table, "Ida", values, TODAY)
    kept = ask(ida, f"select * from {table.name}")
    assert len(kept) == 1 and number in kept[0] and "Ida" in kept[0]
    gone = said.take_back(ida, table, number)
    assert not ask(ida, f"select * from {table.name}")
    said.say_again(ida, table, gone)
    assert ask(ida, f"select * from {table.name}") == kept
    text = "aim" if table is BLOCKS else "text"
    before = said.change(ida, table, number, {text: "said otherwise"}, TODAY)
    assert ask(ida, f"select {text} from {table.name}") == [("said otherwise",)]
    said.say_again(ida, table, before)
    assert ask(ida, f"select * from {table.name}") == kept


def test_a_deload_is_due_in_a_week_by_its_monday(ida: Path):
    said.say(ida, BLOCKS, "Ida", RECORDS[2][1], TODAY)
    assert ask(ida, "select deload_due from blocks") == [(MONDAY + timedelta(days=35),)]


@pytest.mark.parametrize(("table", "values", "word"), [
    (NOTES, note(text="  "), "empty"), (NOTES, note(kind="mood"), "kind"), (NOTES, note(kind="pain"), "Where"), (NOTES, note(kind="pain", place="knee", score=11), "score"), (NOTES, note(kind="pain", place="knee", score=0), "score"),
    (NOTES, note(kind="pain", place="knee", date=TODAY + timedelta(days=1)), "ahead"), (NOTES, note(text="x" * (LONGEST + 1)), "longer"),
    (NOTES, note(subject="no such"), "no exercise"), (NOTES, note(date=None), "day is not said"), (NOTES, note(date=date(1900, 1, 1)), "cannot be"),
    (GOALS, goal(text=""), "not said"), (GOALS, goal(target=12), "number"), (GOALS, goal(measure="reps", target=12.0), "one exercise"),
    (GOALS, goal(measure="reps", target=0.0, subject="hammer_curl"), "cannot be"), (GOALS, goal(measure="hope", target=1.0, subject="hammer_curl"), "cannot be of"),
    (GOALS, goal(reached_on=TODAY + timedelta(days=2)), "ahead"),
    (BLOCKS, {"aim": "a", "starts": MONDAY, "ends": MONDAY - timedelta(days=1)}, "before it starts"),
    (BLOCKS, {"aim": " ", "starts": MONDAY, "ends": MONDAY}, "what the block is for"),
    (BLOCKS, {"aim": "a", "starts": MONDAY, "ends": MONDAY, "deload_due": MONDAY + timedelta(days=60)}, "outside"),
    (DECISIONS, {"date": TODAY + timedelta(days=1), "text": "x"}, "ahead"), (DECISIONS, {"date": MONDAY, "text": ""}, "not said"),
])
def test_what_cannot_be_is_refused_in_words_and_nothing_is_kept(ida: Path, table: said.Table, values: dict, word: str):
    with pytest.raises(Refusal, match=f"(?i){word}"):
        said.say(ida, table, "Ida", values, TODAY)
    assert not ask(ida, f"select * from {table.name}")


def test_nobody_else_and_no_other_number(ida: Path):
    with pytest.raises(Refusal, match="no athlete"):
        said.say(ida, NOTES, "Ole", note(), TODAY)
    for change in (lambda: said.take_back(ida, NOTES, 99), lambda: said.change(ida, NOTES, 99, {"text": "x"})):
        with pytest.raises(Refusal, match="no note with the number 99"):
            change()


def test_pain_beside_the_log_is_among_what_next_week_is_planned_by_and_goes_with_the_note(ida: Path):
    def following() -> list[str]:
        refresh(ida, today=TODAY)
        return [one["action"] for one in review(store_at(ida), "Ida", MONDAY)["next"]]

    plain = following()
    number = said.say(ida, NOTES, "Ida", note(kind="pain", place="left elbow", score=6.0, subject="hammer_curl"), TODAY)
    hurt = following()
    assert hurt[0].startswith("Hammer curl: hold") and not any("hammer curl: hold" in action.lower() for action in plain)
    assert any("pain" in text.lower() for text in review(store_at(ida), "Ida", MONDAY)["cautions"])
    # It is of its own week: the weeks before it say what they said.
    assert not any(one["action"].startswith("Hammer curl: hold") for one in review(store_at(ida), "Ida", MONDAY - timedelta(weeks=1))["next"])
    said.take_back(ida, NOTES, number)
    assert following() == plain


def test_a_note_or_soreness_changes_nothing_that_was_worked_out(ida: Path):
    before = ask(ida, "select * from kept_next order by all"), ask(ida, "select * from stale")
    said.say(ida, NOTES, "Ida", note(), TODAY)
    said.say(ida, NOTES, "Ida", note(kind="soreness", place="legs", score=7.0), TODAY)
    assert (ask(ida, "select * from kept_next order by all"), ask(ida, "select * from stale")) == before


@pytest.mark.parametrize("mark", ["holiday", "illness"])
def test_a_week_away_is_left_out_as_a_deload_is(store: Path, mark: str):
    """Its parts went short by what was said, not by the training."""
    from etl.store.marked_weeks import mark_week

    rows = log().splitlines(keepends=True)
    short = [row for row in rows if not row.startswith(str(MONDAY)) or row.split(",")[3] == "1"]
    bring(store, "".join(row for row in short if not row.startswith(str(MONDAY + timedelta(days=3)))))
    refresh(store, today=TODAY)
    asked = "select deload from kept_weeks where week = ?::date"
    mark_week(store, "Ida", MONDAY - timedelta(weeks=1), mark, today=TODAY)
    refresh(store, today=TODAY)
    assert ask(store, asked.replace("?", f"'{MONDAY - timedelta(weeks=1)}'")) == [(True,)]
    assert ask(store, asked.replace("?", f"'{MONDAY - timedelta(weeks=2)}'")) == [(False,)]
    assert review(store_at(store), "Ida", MONDAY - timedelta(weeks=1))["marked"] == mark


def test_what_was_said_moves_with_a_merged_spelling(ida: Path):
    bring(ida, log("ida b", 1))
    for table, values in RECORDS:
        said.say(ida, table, "ida b", values, TODAY)
    merge_athletes(ida, "ida b", "Ida")
    for table in TABLES:
        assert ask(ida, f"select athlete from {table.name}") == [("Ida",)]


def test_an_erased_athlete_leaves_neither_records_nor_the_name_in_those_of_others(ida: Path):
    bring(ida, log("Ole"), name="ole.csv")
    for table, values in RECORDS:
        said.say(ida, table, "Ole", values, TODAY)
    said.say(ida, NOTES, "Ida", note(text="trained with OLE today; oleander in bloom"), TODAY)
    erase_athlete(ida, "Ole")
    for table in TABLES:
        assert not ask(ida, f"select * from {table.name} where athlete = 'Ole'")
    assert ask(ida, "select text from notes") == [("trained with (erased) today; oleander in bloom",)]


def test_the_package_holds_what_was_said_and_only_of_the_one_asked_for(ida: Path, tmp_path: Path):
    bring(ida, log("Ole"), name="ole.csv")
    for who in ("Ida", "Ole"):
        for table, values in RECORDS:
            said.say(ida, table, who, values, TODAY)
    export(ida, tmp_path / "all")
    export(ida, tmp_path / "one", "Ida")
    descriptor = json.loads((tmp_path / "all" / "datapackage.json").read_text("utf-8"))
    ours = [one for one in descriptor["resources"] if one["name"] in {table.name for table in TABLES}]
    report = frictionless.Package.from_descriptor(descriptor | {"resources": ours}, basepath=str(tmp_path / "all")).validate()
    assert len(ours) == len(TABLES) and report.valid, report.flatten(["title", "note"])
    for table, values in RECORDS:
        both, one = (list(csv.DictReader((tmp_path / which / f"{table.name}.csv").open(encoding="utf-8"))) for which in ("all", "one"))
        assert [row["athlete"] for row in both] == ["Ida", "Ole"] and [row["athlete"] for row in one] == ["Ida"]
        assert all(one[0][name] == str(value) for name, value in values.items() if isinstance(value, str))


def test_settings_are_kept_one_by_one_and_refused_where_they_cannot_be(ida: Path):
    before = settings(ida, "Ida")
    assert (before.shown_unit, before.loads, before.shows) == ("kg", (), ("decisions",))
    say(ida, "Ida", shown_unit="lb", shows=["notes", "pain"])
    assert not ask(ida, "select * from stale"), "how something is shown changes nothing that was worked out"
    say(ida, "Ida", loads=[2.0, 4.0, 7.5])
    after = settings(ida, "Ida")
    assert (after.shown_unit, after.loads, after.shows, after.level) == ("lb", (2.0, 4.0, 7.5), ("notes", "pain"), before.level)
    for wrong in ({"shown_unit": "st"}, {"loads": [4.0, 2.0]}, {"loads": [0.0]}, {"loads": [1e9]}, {"shows": ["everything"]}):
        with pytest.raises(Refusal):
            say(ida, "Ida", **wrong)
    assert settings(ida, "Ida") == after


def test_the_commands_keep_list_and_take_back(ida: Path, run):
    for argv, table in ((["note", "--athlete", "Ida", "--date", "2026-10-20", "--pain", "left elbow", "--score", "3", "--about", "Hammer curl", "last set"], "notes"),
                        (["goal", "--athlete", "Ida", "--by", "2099-01-01", "ten"], None), (["goal", "--athlete", "Ida", "ten"], None),
                        (["block", "--athlete", "Ida", "--from", "2026-10-19", "--to", "2026-11-29", "--deload", "2026-11-25", "more pulling"], "blocks"),
                        (["block", "--athlete", "Ida", "more"], None), (["decide", "--athlete", "Ida", "--about", "biceps", "--date", "2026-10-20", "curls first"], "decisions"),
                        (["decide", "--athlete", "Ida", "--date", "yesterday", "x"], None)):
        status, out, err = run(*argv)
        if table is None:
            assert status == 1 and err and "Traceback" not in err
            continue
        assert status == 0 and "Kept as number" in out
        status, out, _ = run(argv[0], "--athlete", "Ida", "--json")
        (kept,) = json.loads(out)[table]
        number = next(value for name, value in kept.items() if name.endswith("_id"))
        assert run(argv[0], "--take-back", str(number))[0] == 0
        assert json.loads(run(argv[0], "--athlete", "Ida", "--json")[1])[table] == []
    assert run("goal", "--athlete", "Ida", "--by", "2026-12-24", "ten")[0] == 0
    (kept,) = json.loads(run("goal", "--athlete", "Ida", "--json")[1])["goals"]
    assert run("goal", "--athlete", "Ida", "--reached", str(kept["goal_id"]), "--on", "2026-11-01")[0] == 0
    assert json.loads(run("goal", "--athlete", "Ida", "--json")[1])["goals"][0]["reached_on"] == "2026-11-01"


def page(store: Path, monkeypatch: pytest.MonkeyPatch, name: str, **asked: str) -> AppTest:
    monkeypatch.setenv("EVENSET_STORE", str(store))
    run = AppTest.from_file(str(Path(dashboard.__file__).parent / "app.py"), default_timeout=60)
    for key, value in asked.items():
        run.query_params[key] = value
    run.run()
    if name:
        run.switch_page(f"app_pages/{name}.py").run()
    assert not run.exception
    return run


def keep(run: AppTest) -> None:
    next(button for button in run.button if button.label == "Keep it").click().run()


def test_a_note_is_added_on_the_page_undone_and_a_hostile_one_is_shown_as_text(ida: Path, monkeypatch: pytest.MonkeyPatch):
    hostile = "<script>x</script> **bold** $a$ ![p](http://192.0.2.1/p.png) =1+1"
    run = page(ida, monkeypatch, "", athlete="Ida", week=MONDAY.isoformat())
    run.button(key="add_note_day").click().run()
    run.text_area(key="text_note_day").set_value(hostile)
    next(button for button in run.button if button.label == "Keep it").click().run()
    assert hostile in unescaped(all_text(run)) and "**bold**" not in all_text(run)
    assert ask(ida, "select text, private from notes") == [(hostile, True)]
    run.button(key="undo").click().run()
    assert not run.exception and not ask(ida, "select * from notes")


def test_what_is_refused_is_said_in_the_open_form_and_keeps_what_was_typed(ida: Path, monkeypatch: pytest.MonkeyPatch):
    run = page(ida, monkeypatch, "", athlete="Ida", week=MONDAY.isoformat())
    run.button(key="add_note_day").click().run()
    run.radio(key="kind_note_day").set_value("pain")
    run.text_area(key="text_note_day").set_value("on the last set")
    keep(run)
    assert not run.exception and ["Where the pain is" in one.value for one in run.warning] == [True]
    assert run.text_area(key="text_note_day").value == "on the last set" and run.radio(key="kind_note_day").value == "pain"
    run.text_input(key="place_note_day").set_value("left elbow")
    keep(run)
    assert not run.warning and "kept" in " ".join(one.value for one in run.success)
    assert not [one for one in run.text_area if one.key == "text_note_day"], "the form closes"
    assert ask(ida, "select place, score, text from notes") == [("left elbow", None, "on the last set")]


@pytest.mark.parametrize("kind", ["note", "pain", "soreness"])
def test_what_is_kept_and_taken_back_is_called_what_it_is(ida: Path, monkeypatch: pytest.MonkeyPatch, kind: str):
    run = page(ida, monkeypatch, "", athlete="Ida", week=MONDAY.isoformat())
    run.button(key="add_note_day").click().run()
    run.radio(key="kind_note_day").set_value(kind)
    run.text_input(key="place_note_day").set_value("left elbow")
    run.text_area(key="text_note_day").set_value("on the last set")
    keep(run)
    assert [unescaped(one.value) for one in run.success] == [f"The {kind} is kept."]
    next(one for one in run.button if "on the last set" in unescaped(one.label)).click().run()
    assert f"The {kind} is taken back." in [unescaped(one.value) for one in run.success] and not ask(ida, "select * from notes")


@pytest.mark.parametrize(("week", "day"), [(MONDAY, MONDAY + timedelta(days=3)), (MONDAY + timedelta(weeks=1), MONDAY + timedelta(days=13))], ids=["trained", "no set"])
def test_a_new_note_is_of_the_last_day_with_training_of_its_week_else_of_its_end(ida: Path, monkeypatch: pytest.MonkeyPatch, week: date, day: date):
    bring(ida, log("Ole", 1).replace(str(MONDAY), str(MONDAY + timedelta(weeks=2))), name="ole.csv")
    form = said_forms.OpenForm("note", "")
    assert said_forms._usual_day(Choice(store_at(ida), "Ida", week, PRINT), form) == day
    assert said_forms._usual_day(Choice(store_at(ida), "Ida", week, PRINT), replace(form, what="decision")) == week + timedelta(days=6)


def test_a_new_note_is_not_of_a_day_ahead(ida: Path):
    today = date.today()
    monday = today - timedelta(days=today.weekday())
    choice = Choice(store_at(ida), "Ida", monday, PRINT)
    assert said_forms._usual_day(choice, said_forms.OpenForm("note", "")) == today
    keep_log(ida, understand([("now.csv", f"{HEAD}{monday},Ida,Hammer curl,1,12,8,2,,,\n".encode())], Answers(), today=today))
    choice = replace(choice, store=store_at(ida))
    assert said_forms._usual_day(choice, said_forms.OpenForm("note", "")) == monday


@pytest.mark.parametrize(("what", "field"), [("goal", "text"), ("block", "aim")])
def test_the_form_of_what_the_client_is_shown_says_so(ida: Path, monkeypatch: pytest.MonkeyPatch, what: str, field: str):
    run = page(ida, monkeypatch, "settings", athlete="Ida", week=MONDAY.isoformat())
    run.button(key=f"add_{what}_day").click().run()
    assert run.text_input(key=f"{field}_{what}_day").help == "The client's page shows it."


@pytest.mark.parametrize(("name", "what", "word"), [("", "decision", "decided is not said"), ("settings", "goal", "goal is, is not said"), ("settings", "block", "block is for")])
def test_every_form_says_what_it_refuses_and_stays_open(ida: Path, monkeypatch: pytest.MonkeyPatch, name: str, what: str, word: str):
    run = page(ida, monkeypatch, name, athlete="Ida", week=MONDAY.isoformat())
    run.button(key=f"add_{what}_day").click().run()
    about = [one for one in run.selectbox if one.key == f"about_{what}_day"]
    assert [one.options[0] for one in about] == ["Everything"] * len(about)
    keep(run)
    assert not run.exception and [word in one.value for one in run.warning] == [True]
    assert [one for one in run.button if one.label == "Keep it"]


def test_pain_is_listed_once_with_its_words_and_can_be_taken_back(ida: Path, monkeypatch: pytest.MonkeyPatch):
    said.say(ida, NOTES, "Ida", note(kind="pain", place="left elbow", score=3.0, text="last set only"), TODAY)
    said.say(ida, NOTES, "Ida", note(), TODAY)
    run = page(ida, monkeypatch, "", athlete="Ida", week=MONDAY.isoformat())
    shown = unescaped(all_text(run))
    assert shown.count("last set only") == 1 and "Pain, left elbow, 3 of 10**, 22 October: last set only" in shown and "slept badly" in shown
    next(one for one in run.button if "left elbow" in unescaped(one.label)).click().run()
    assert ask(ida, "select kind from notes") == [("note",)]


def test_settings_on_the_page_are_kept_and_undone(ida: Path, monkeypatch: pytest.MonkeyPatch):
    run = page(ida, monkeypatch, "settings", athlete="Ida", week=MONDAY.isoformat())
    next(one for one in run.text_input if one.label.startswith("Loads")).set_value("7.5, 2, 4")
    next(one for one in run.radio if one.label.startswith("Level")).set_value("advanced")
    next(button for button in run.button if button.label == "Keep").click().run()
    assert not run.exception
    assert (settings(ida, "Ida").loads, settings(ida, "Ida").level, settings(ida, "Ida").shows) == ((2.0, 4.0, 7.5), "advanced", ("decisions",))
    run.button(key="undo").click().run()
    assert (settings(ida, "Ida").loads, settings(ida, "Ida").level) == ((), "intermediate")


def test_pain_by_place_and_what_gave_out(store: Path):
    rows = log().splitlines(keepends=True)
    day = str(MONDAY)
    told = [row.replace(",,,\n", ",right shoulder,5,\n") if row.startswith(f"{day},Ida,Bench press,3") else
            row.replace(",,,\n", ",,,grip\n") if row.startswith(f"{day},Ida,Hammer") else row for row in rows]
    bring(store, "".join(told))
    refresh(store, today=TODAY)
    said.say(store, NOTES, "Ida", note(kind="soreness", place="upper back", score=3.0), TODAY)
    said.say(store, NOTES, "Ida", note(kind="pain", place="Left knee", date=MONDAY - timedelta(days=2)), TODAY)
    found = said_of.pain(store_at(store), "Ida", MONDAY)
    assert [(row["kind"], row["place"], row["this_week"]) for row in found.to_dict("records")] == [
        ("pain", "Left knee", False), ("pain", "right shoulder", True), ("soreness", "upper back", True)]
    out = said_of.gave_out(store_at(store), "Ida", MONDAY)
    assert out[["limited_by", "called", "sets"]].to_numpy().tolist() == [["grip", "hammer curl", 3]]


def test_pain_of_weeks_running_is_told_so_and_is_not_open_from_before(store: Path, monkeypatch: pytest.MonkeyPatch):
    """Once with its side and once without: one place, as far as anybody can tell."""
    bring(store, log())
    refresh(store, today=TODAY)
    for place, back in (("knee", 0), ("left knee", 1), ("Knee (L)", 2), ("left knee", 4), ("right elbow", 1)):
        said.say(store, NOTES, "Ida", note(kind="pain", place=place, score=4.0, date=MONDAY - timedelta(weeks=back)), TODAY)
    found = said_of.pain(store_at(store), "Ida", MONDAY)
    assert dict(zip(found["place"], found["weeks"], strict=True)) == {"left knee": 2, "right elbow": 1, "knee": 3}
    shown = unescaped(all_text(page(store, monkeypatch, "", athlete="Ida", week=MONDAY.isoformat())))
    assert "Pain, knee, 4 of 10, 3 weeks running" in shown and "Open from the week before: pain, right elbow (4 of 10). Ask" in shown


def test_the_next_load_is_one_of_those_in_the_house(store: Path):
    """Twelve repetitions with two in reserve in two sessions running: up, to what there is."""
    days = [MONDAY - timedelta(weeks=back) + timedelta(days=d) for back in (2, 1, 0) for d in (0, 3)]
    bring(store, HEAD + "".join(f"{day},Ida,Hammer curl,{n},10,15,2,,,\n" for day in days for n in (1, 2, 3)))

    def told(*loads: float) -> str:
        say(store, "Ida", loads=list(loads))
        refresh(store, today=TODAY)
        return next(one["action"] for one in review(store_at(store), "Ida", MONDAY)["next"] if one["subject"] == "hammer_curl")

    assert "by 2 to 10 %" in told()
    assert told(8.0, 10.0, 10.5, 12.0) == "Hammer curl: the next load in the house, 10.5 kg."
    assert "12.5 kg, is 25 % up: first more repetitions" in told(10.0, 12.5)
    assert "no heavier load in the house" in told(6.0, 10.0)


def test_notes_of_the_log_stand_beside_those_of_the_week_as_text(store: Path, monkeypatch: pytest.MonkeyPatch):
    words = ["left elbow twinge", "<b>tired</b> **x**", "third", "fourth", "fifth", "sixth"]
    bring(store, log(weeks=2).replace("Limited by", "Notes,Other") + "".join(
        f"{MONDAY + timedelta(days=n % 2)},Ida,Lateral raise,{n + 1},8,12,2,,,{text}\n" for n, text in enumerate(words)).replace(",,,", ",,,"))
    refresh(store, today=TODAY)
    shown = unescaped(all_text(page(store, monkeypatch, "", athlete="Ida", week=MONDAY.isoformat())))
    assert all(shown.count(text) == 1 for text in words) and "lateral raise: left elbow twinge" in shown
    run = page(store, monkeypatch, "", athlete="Ida", week=MONDAY.isoformat())
    assert "**x**" not in all_text(run) and [one.label for one in run.expander if "from the log" in one.label] == ["2 other notes from the log"]
    assert words[0] not in all_text(page(store, monkeypatch, "", athlete="Ida", week=(MONDAY - timedelta(weeks=1)).isoformat()))


def test_a_number_of_a_goal_is_not_dropped(ida: Path, monkeypatch: pytest.MonkeyPatch):
    run = page(ida, monkeypatch, "", athlete="Ida", week=MONDAY.isoformat())
    run.button(key="add_goal_day").click().run()
    run.text_input(key="text_goal_day").set_value("press it ten times")
    run.number_input(key="target_goal_day").set_value(28.0)
    keep(run)
    assert any("A goal with a number needs the number and what it is of" in warning.value for warning in run.warning)
    assert ask(ida, "select * from goals") == []
