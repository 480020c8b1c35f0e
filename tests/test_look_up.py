"""A session, an exercise and two stretches of weeks are looked up: numbers against logs that were worked by hand."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from dashboard.charts.plank_rows import side_by_side
from dashboard.queries import blocks, look_up, people
from dashboard.queries.kept import store_at
from dashboard.standing.records import done, new, records
from dashboard.standing.refresh import refresh
from dashboard.standing.traced import sets_of
from etl.store import writing
from etl.store.marked_weeks import mark_week
from tests.logs import bring
from tests.page_runs import all_text, told, unescaped

PAGE = "app_pages/look_up.py"
MONDAY, TODAY = date(2026, 3, 2), date(2026, 5, 4)
WEEKS = 8
HEAD = "Date,Athlete,Exercise,Set,Load (kg),Reps,Seconds,RIR,Kind,Note\n"
HOSTILE = "=1+1 ![x](http://198.51.100.7/p.png)"


def log() -> str:
    """Eight Mondays: three sets of bench press (60 kg, from the fifth week on 65) and a warm-up; curls in the first four weeks alone and pull-ups in
    the last four; a plank each time.
    """
    rows = []
    for week in range(WEEKS):
        day = MONDAY + timedelta(weeks=week)
        rows.append(f"{day},Ida,Bench press,1,40,8,,,warm-up,")
        rows += [f"{day},Ida,Bench press,{n},{60 if week < 4 else 65},{8 - (n == 4)},,{2 if n < 4 else 6},,{HOSTILE if (week, n) == (7, 2) else ''}" for n in (2, 3, 4)]
        rows += [f"{day},Ida,Dumbbell curl,{n},12,10,,1,," for n in (1, 2)] if week < 4 else [f"{day},Ida,Pull-up,{n},{5 * (n - 1)},{8 - n},,1,," for n in (1, 2)]
        rows.append(f"{day},Ida,Plank,1,,,{40 + week},,,")
    return HEAD + "\n".join(rows) + "\n"


@pytest.fixture(scope="module")
def ida(tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("look_up") / "ida.duckdb"
    bring(path, log())
    refresh(path, today=TODAY)
    with writing(path) as con:
        con.execute("insert into days by name select * from (values (1, 'x', 'Ida', date '2026-04-20', 'knee', 3.0, 'slept badly', 81.0, 'f', 1)) "
                    "t(import_id, identity, athlete, date, pain_place, pain_score, note, body_mass_kg, source, source_row)")
        for private, text in ((False, "good day"), (True, "not for her")):
            con.execute("insert into notes values (nextval('said_ids'), 'Ida', '2026-04-20', 'note', 'barbell_bench_press', ?, null, null, ?, ?)",
                        [text, private, datetime(2026, 4, 21)])
        con.execute("insert into blocks values (nextval('said_ids'), 'Ida', 'volume **b**', '2026-03-04', '2026-03-29', null, ?)", [datetime(2026, 3, 1)])
    return path


def of(path: Path):
    store = store_at(path)
    return store, sets_of(store.path, store.stamp, "Ida")


# --- one session ----------------------------------------------------------------------------------------------------


def test_each_set_counts_what_it_should(ida):
    """Warm-up 0; up to four in reserve 1; six in reserve 0.5; a plank of 47 s 1."""
    store, sets = of(ida)
    last = MONDAY + timedelta(weeks=7)
    one = sets.of_session(last, sets.sessions()["session"].iloc[-1])
    assert one.rows["hard"].tolist() == [0, 1, 1, 0.5, 1, 1, 1]
    assert one.rows["exercise"].tolist() == ["barbell_bench_press"] * 4 + ["pull_up"] * 2 + ["plank"]
    found = sets.sessions()
    assert found["key"].tolist() == [(MONDAY + timedelta(weeks=week)).isoformat() for week in range(WEEKS)]
    assert found.iloc[-1][["sets", "hard", "exercises"]].tolist() == [7, 5.5, 3]
    given = one.by_exercise().set_index("exercise")
    assert given.loc["barbell_bench_press", ["sets", "hard"]].tolist() == [4, 2.5]
    assert given.loc["barbell_bench_press", "parts"]["chest_sternal"] == 2.5
    gave = one.gave().set_index("part")
    assert gave.loc["chest_sternal", ["dose", "direct"]].tolist() == [2.5, 2.5] and gave.loc["lats", "dose"] == 2


def test_two_sessions_of_a_day_have_keys_of_their_own(tmp_path):
    path = tmp_path / "twice.duckdb"
    bring(path, "Date,Athlete,Session,Exercise,Load,Reps\n2026-03-02,Ida,morning,Curl,20,10\n2026-03-02,Ida,evening,Curl,20,9\n2026-03-02,Ida,evening,Curl,20,8\n")
    store, sets = of(path)
    found = sets.sessions()
    assert found[["key", "session", "sets"]].to_numpy().tolist() == [["2026-03-02", "morning", 1], ["2026-03-02~2", "evening", 2]]
    assert sets.of_session(date(2026, 3, 2), "evening").rows["reps"].tolist() == [9, 8]


def test_a_best_is_what_no_day_before_had_reached(ida):
    store, _ = of(ida)
    for week, new in ((0, set()), (1, {"hold"}), (4, {"hold", "e1rm"}), (7, {"hold"})):
        found = look_up.bests_of(store, "Ida", MONDAY + timedelta(weeks=week), ["barbell_bench_press", "plank"])
        assert set(found["measure"]) == new, week
    held = look_up.bests_of(store, "Ida", MONDAY + timedelta(weeks=7), ["plank"]).iloc[0]
    assert (held["value"], held["before"]) == (47, 46)
    assert look_up.bests_of(store, "Ida", MONDAY + timedelta(weeks=7), ["pull_up"]).empty, "of the exercises of this session alone"


CURLS = (("2026-03-02", 8, 9, 2, "", "both"), ("2026-03-09", 10, 9, "", "", "both"), ("2026-03-16", 10, 9, 3, "", "both"), ("2026-03-23", 10, 9, 1, "", "both"),
         ("2026-03-30", 12, 7, 0, "warm-up", "both"), ("2026-04-06", 12, 7, 0, "", "both"))


def test_a_best_is_none_that_an_earlier_set_reached_as_lifted(open_page, tmp_path):
    """10 kg x 9 without effort was done before 10 kg x 9 with three in reserve was estimated higher; a warm-up of 12 kg x 7 was no work."""
    path = tmp_path / "curls.duckdb"
    bring(path, "Date,Athlete,Exercise,Load (kg),Reps,RIR,Kind,Side\n" + "".join(f"{day},Ida,Incline dumbbell curl,{kg},{reps},{rir},{kind},{side}\n" for day, kg, reps, rir, kind, side in CURLS))
    refresh(path, today=TODAY)
    store, sets = of(path)
    told, every = {}, {}
    for day, *_ in CURLS:
        found = look_up.bests_of(store, "Ida", date.fromisoformat(day), ["incline_dumbbell_curl"])
        every[day] = set(found["measure"])
        told[day] = set(new(sets, found, date.fromisoformat(day))["measure"])
    assert "e1rm" in every["2026-03-16"], "it is estimated higher than the one without effort"
    assert told["2026-03-16"] == told["2026-03-23"] == set()
    assert "reps" in every["2026-03-16"], "repetitions with those in reserve rose"
    assert "e1rm" in told["2026-04-06"]
    run = open_page(path, PAGE, athlete="Ida", session="2026-03-16")
    assert not run.exception and "new best" not in unescaped(run.title[0].value) and "New bests" not in all_text(run)


def test_a_best_of_another_side_is_one(tmp_path):
    path = tmp_path / "sides.duckdb"
    rows = [("2026-03-02", 8, 6, "both"), ("2026-03-09", 10, 17, "right"), ("2026-03-16", 10, 9, "left")]
    bring(path, "Date,Athlete,Exercise,Load (kg),Reps,RIR,Side\n" + "".join(f"{day},Ida,Dumbbell curl,{kg},{reps},0,{side}\n" for day, kg, reps, side in rows))
    refresh(path, today=TODAY)
    store, sets = of(path)
    told = {day: set(new(sets, look_up.bests_of(store, "Ida", date.fromisoformat(day), ["dumbbell_curl"]), date.fromisoformat(day))["measure"]) for day, *_ in rows}
    assert "e1rm" in told["2026-03-16"], "seventeen on the right are nothing of the left side's nine"


def test_the_session_page_shows_its_sets_what_was_new_and_what_was_said(open_page, ida):
    run = open_page(ida, PAGE, athlete="Ida")
    assert not run.exception
    text = unescaped(all_text(run))
    assert unescaped(run.title[0].value) == "Monday 20 April 2026: 7 sets, 5.5 of them hard, 1 new best"
    assert "Pain, knee, 3 of 10" in text and "Note: slept badly" in text and "Note (barbell bench press): good day" in text and "Body mass 81 kg" in text
    assert "not for her" not in text, "what is private stays where it was written"
    sets = run.dataframe[0].value
    assert sets["load, kg"].tolist() == ["40", "65", "65", "65", "body weight", "5", ""] and sets["kind"].tolist() == ["warm-up"] + [""] * 6
    assert sets["repetitions"].tolist() == ["8", "8", "8", "7", "7", "6", ""] and sets["held, s"].iloc[-1] == "47" and sets["note"].iloc[1] == HOSTILE
    assert "chest: 2.5" in told(run)[0].lower()
    run.selectbox(key="session").set_value("2026-03-02").run()
    assert unescaped(run.title[0].value) == "Monday 2 March 2026: 7 sets, 5.5 of them hard"
    assert run.query_params["session"] == "2026-03-02" and "New bests" not in all_text(run)


# --- one exercise -----------------------------------------------------------------------------------------------------


def test_bests_of_a_loaded_exercise(ida):
    """65 kg x 8 since the fifth week, so that it is the heaviest for 1 to 8; no set had nine. The warm-up's 40 kg stands in no table."""
    _, sets = of(ida)
    fifth = MONDAY + timedelta(weeks=4)
    found = records(sets, "barbell_bench_press", TODAY)
    assert (found.days, found.sets, found.first, found.last, found.left_out) == (8, 32, MONDAY, MONDAY + timedelta(weeks=7), 8)
    assert found.heaviest["repetitions"].tolist() == list(range(1, 9)) and set(found.heaviest["load_kg"]) == {65} and {d.date() for d in found.heaviest["date"]} == {fifth}
    assert found.most_reps[["load_kg", "reps", "sets"]].to_numpy().tolist() == [[65, 8, 12], [60, 8, 12]]
    before = records(sets, "barbell_bench_press", fifth - timedelta(days=1))
    assert before.sets == 16 and before.heaviest.empty, "one load: its most repetitions say it all"
    assert records(sets, "barbell_bench_press", MONDAY - timedelta(days=1)) is None


def test_bests_of_holds_and_of_body_weight(ida):
    _, sets = of(ida)
    held = records(sets, "plank", TODAY)
    assert held.holds[["load_kg", "hold_s", "sets"]].to_numpy().tolist() == [[0, 47, 8]] and held.most_reps.empty and held.left_out == 0
    pulled = records(sets, "pull_up", TODAY)
    assert pulled.heaviest[["repetitions", "load_kg"]].to_numpy().tolist() == [[n, 5] for n in range(1, 7)] + [[7, 0]]
    assert set(done(sets, TODAY)) == {"barbell_bench_press", "plank", "dumbbell_curl", "pull_up"} and "pull_up" not in done(sets, MONDAY)


def test_the_exercise_page_opens_from_a_link_and_leads_to_its_trend(open_page, ida):
    run = open_page(ida, PAGE, athlete="Ida")
    run.query_params["exercise"] = "pull_up"
    run.run()
    assert not run.exception
    assert unescaped(run.title[0].value) == "Pull-up: 4 days, 8 sets"
    loads = next(t.value for t in run.table if "heaviest load, kg" in map(unescaped, t.value.columns))
    assert [unescaped(cell) for cell in loads.iloc[:, 1]] == ["5", "0"]
    assert "session" not in run.query_params and run.query_params["exercise"] == "pull_up"


# --- two blocks ---------------------------------------------------------------------------------------------------------


def test_a_stretch_is_added_up_by_whole_weeks(ida):
    store, _ = of(ida)
    early, late = (MONDAY, MONDAY + timedelta(weeks=3)), (MONDAY + timedelta(weeks=4), MONDAY + timedelta(weeks=7))
    for stretch in (early, late):
        found = blocks.weeks(store, "Ida", stretch)
        assert found[["weeks", "sessions", "hard_sets", "hard_a_week", "sessions_a_week"]].tolist() == [4, 4, 22, 5.5, 1]
    rows = side_by_side(blocks.parts(store, "Ida", early), blocks.parts(store, "Ida", late), {}).set_index("name")
    assert rows.loc["chest_sternal", ["upper", "lower"]].tolist() == [2.5, 2.5]
    assert rows.loc["lats", ["upper", "lower"]].tolist() == [0, 2]
    assert (rows["upper_low"] <= rows["upper"]).all() and (rows["lower"] <= rows["lower_high"]).all()
    first, second = (blocks.exercises(store, "Ida", stretch) for stretch in (early, late))
    assert first == {"barbell bench press": 12, "dumbbell curl": 8, "plank": 4} and second == {"barbell bench press": 12, "pull-up": 8, "plank": 4}


def test_weeks_marked_as_a_holiday_or_an_illness_are_left_out_and_counted(open_page, tmp_path):
    """Of four weeks with 5.5 hard sets the second is marked as a holiday; of the next four the last two as illnesses."""
    path, early, late = tmp_path / "away.duckdb", (MONDAY, MONDAY + timedelta(weeks=3)), (MONDAY + timedelta(weeks=4), MONDAY + timedelta(weeks=7))
    one_set = log().splitlines()[:1] + [line for line in log().splitlines()[1:] if not line.startswith("2026-03-09") or "Plank" in line]
    bring(path, "\n".join(one_set) + "\n")
    for week, mark in ((1, "holiday"), (6, "illness"), (7, "illness")):
        mark_week(path, "Ida", MONDAY + timedelta(weeks=week), mark, TODAY)
    refresh(path, today=TODAY)
    store = store_at(path)
    found = [blocks.weeks(store, "Ida", stretch) for stretch in (early, late)]
    assert [one[["weeks", "holidays", "illnesses", "hard_a_week", "sessions_a_week"]].tolist() for one in found] == [[3, 1, 0, 5.5, 1], [2, 0, 2, 5.5, 1]]
    assert blocks.parts(store, "Ida", early).set_index("part").loc["chest_sternal", "dose"] == 2.5, "the set of the holiday is not among the means"
    run = open_page(path, PAGE, athlete="Ida", first=blocks.key(*early), second=blocks.key(*late))
    run.session_state["look_up_section"] = "blocks"
    run.query_params["first"], run.query_params["second"] = blocks.key(*early), blocks.key(*late)
    run.run()
    assert not run.exception
    assert unescaped(run.title[0].value) == "5.5 hard sets a week after 5.5; 1 session a week in both"
    heads = [unescaped(head) for table in run.table for head in table.value.columns]
    assert "older: 2 March – 29 March 2026, 3 whole weeks of training, 1 marked as a holiday left out" in heads
    assert "newer: 30 March – 26 April 2026, 2 whole weeks of training, 2 marked as an illness left out" in heads
    assert "Everything above is of whole weeks; what is marked as a holiday or an illness is left out." in unescaped(all_text(run))


def test_a_stretch_of_a_holiday_alone_has_no_means(open_page, tmp_path):
    path, away = tmp_path / "alone.duckdb", MONDAY + timedelta(weeks=5)
    bring(path, log())
    mark_week(path, "Ida", away, "holiday", TODAY)
    refresh(path, today=TODAY)
    run = open_page(path, PAGE, athlete="Ida")
    run.query_params["first"], run.query_params["second"] = "2026-03-02_2026-03-23", blocks.key(away, away)
    run.run()
    assert not run.exception and unescaped(run.title[0].value) == "Two stretches, and no whole week of training in the newer"


def test_blocks_come_first_then_the_last_weeks_and_those_before(ida):
    store, _ = of(ida)
    found = blocks.stretches(store, "Ida", people.weeks(store, "Ida"), MONDAY + timedelta(weeks=7))
    assert list(found)[:3] == ["2026-03-02_2026-03-23", "2026-03-30_2026-04-20", "2026-03-02_2026-04-20"]
    assert found["2026-03-02_2026-03-23"] == "Volume **b**: 4 March – 29 March 2026", "a block that is planned keeps its name"


@pytest.mark.parametrize("address", ["", "2026-03-02", "2026-03-23_2026-03-02", "a_b", "2026-03-02_2026-03-09_2026-03-16"])
def test_an_address_that_is_no_stretch_is_none(address):
    assert blocks.read(address) is None


def test_the_blocks_page_says_what_only_one_of_them_had(open_page, ida):
    run = open_page(ida, PAGE, athlete="Ida")
    run.query_params["first"], run.query_params["second"] = "2026-03-02_2026-03-23", "2026-03-30_2026-04-20"
    run.run()
    assert not run.exception and not run.warning
    text = unescaped(all_text(run))
    assert unescaped(run.title[0].value) == "5.5 hard sets a week after 5.5; 1 session a week in both"
    assert "**Only in the older**: dumbbell curl, 8 sets." in text and "**Only in the newer**: pull-up, 8 sets." in text
    assert "Lats: 0 the older; 2" in told(run)[0]
    run.query_params["first"] = "2026-03-09_2026-03-18"  # any day of a week means its Monday
    run.run()
    assert run.selectbox(key="first").value == "2026-03-09_2026-03-16" == run.query_params["first"] and not run.warning
    run.query_params["first"] = "never"
    run.run()
    assert 'asks for "never"' in unescaped(run.warning[0].value) and run.selectbox(key="first").value == "2026-03-02_2026-03-23"


def test_other_weeks_can_be_taken(open_page, ida):
    run = open_page(ida, PAGE, athlete="Ida")
    run.query_params["first"] = "2026-03-02_2026-03-23"
    run.run()
    run.selectbox(key="second_from the week of").set_value(MONDAY + timedelta(weeks=1))
    run.selectbox(key="second_to the week of").set_value(MONDAY + timedelta(weeks=2)).run()
    run.button(key="second_these").click().run()
    assert run.query_params["second"] == "2026-03-09_2026-03-16" and "2 weeks" in "".join(run.selectbox(key="second").options)
