"""Numbers with the decimal mark of the reader: which one that is, where it stands, and what it leaves alone."""

from __future__ import annotations

import ast
import re
from datetime import date
from pathlib import Path

import pytest
from babel.numbers import format_decimal
from hypothesis import given
from hypothesis import strategies as st
from streamlit.testing.v1 import AppTest

import dashboard
from dashboard import reader
from dashboard.app import PAGES
from dashboard.app_pages.taking import _with_point
from dashboard.charts.rates import rates
from dashboard.command.main import main
from dashboard.locales import mark_of
from dashboard.look import LIGHT, spec
from dashboard.queries import clients, strength, week
from dashboard.queries.kept import store_at
from dashboard.rendered import svg
from dashboard.report.content import gather
from dashboard.report.html import html
from dashboard.sentences.decimal_mark import COMMA, POINT, told, written_with
from dashboard.sentences.numbers import amount, measured, number, signed
from dashboard.sentences.read_number import read_number
from dashboard.sentences.units import in_unit, loads_told
from dashboard.spreadsheet import csv
from dashboard.standing.kept import BY_WEEK
from dashboard.standing.refresh import refresh, refresh_some, stale
from etl.importing import own
from etl.notation.house import loads_in_kg
from etl.refusal import Refusal
from etl.store import writing
from tests.logs import ask, bring
from tests.marked_pages import DECIMALS, NO_NUMBERS, texts, with_decimals

ROOM = Path(dashboard.__file__).parent
# What people write with the digits 0 to 9, as each language's own rules have it: a comma, or a point.
COMMAS = ("de-DE", "de-AT", "fr-FR", "fr-CA", "it-IT", "es-ES", "es-AR", "pt-BR", "pt-PT", "nl-NL", "sv-SE", "nb-NO", "da-DK", "fi-FI", "pl-PL", "cs-CZ", "ru-RU", "tr-TR", "id-ID")
POINTS = ("en-US", "en-GB", "en-AU", "de-CH", "es-MX", "ja-JP", "zh-CN", "zh-Hant-TW", "ko-KR", "he-IL", "th-TH")
OTHER_DIGITS = ("ar-EG", "fa-IR", "bn-BD", "mr-IN")
# Where a page can stand: its address and what was chosen there.
STANDS = [
    *((page, {"athlete": "Oskar"}, {}) for page in PAGES), *((f"app_pages/{page}.py", {"athlete": "Tilde"}, {}) for page in ("strength", "presentation", "look_up")),
    ("app_pages/this_week.py", {"athlete": "Mina", "week": "2026-05-25"}, {}), ("app_pages/load.py", {"athlete": "Oskar", "week": "2026-07-27"}, {"request_parts": ["The other parts"], "request_lists": ["Every flag so far", "More columns, for the curious"]}),
    ("app_pages/balance.py", {"athlete": "Oskar", "part": "biceps"}, {}),
    ("app_pages/strength.py", {"athlete": "Tilde", "exercise": "front_lever"}, {"request_exercises": ["The rates of all exercises", "Present values of all of them"], "request_sides": ["The difference over time"]}),
    *(("app_pages/look_up.py", {"athlete": "Mina"}, {"look_up_section": section}) for section in ("session", "exercise", "blocks")),
    *(("app_pages/data.py", {"athlete": "Oskar"}, {"data_section": section}) for section in ("bring", "waits", "sets", "imports")),
    *(("app_pages/exercises.py", {"exercise": name}, {}) for name in ("overhead_cable_triceps_extension", "push_up")),
    ("app_pages/exercises.py", {"head": "biceps_brachii_long_head"}, {}), ("app_pages/exercises.py", {"first": "barbell_curl", "second": "hammer_curl"}, {}),
    ("app_pages/exercises.py", {"athlete": "Oskar"}, {"catalogue_section": "changes"}),
    *(("app_pages/methods.py", {"measure": name}, {}) for name in ("units", "body_share", "noise_scale", "side_difference", "around_onset", "worthwhile_gain", "trend_line")),
    *(("app_pages/methods.py", {}, {"methods_section": section}) for section in ("calibration", "settings")),
]


@pytest.fixture
def read_as(monkeypatch):
    """A function after which every page is read by somebody who writes that mark."""
    return lambda mark: monkeypatch.setattr(reader, "mark_of", lambda locale: mark)


@pytest.fixture
def stand(open_page):
    """A function that opens a page where it stands."""

    def opened(store: Path, page: str, address: dict, chosen: dict):
        run = open_page(store, page, **address)
        for name, value in chosen.items():
            run.session_state[name] = value
        run = run.run() if chosen else run
        assert not run.exception
        return run

    return opened


@pytest.mark.parametrize("locale", [*COMMAS, *POINTS])
def test_a_locale_has_the_mark_that_its_numbers_are_written_with(locale):
    assert mark_of(locale) == (COMMA if locale in COMMAS else POINT)
    assert format_decimal(82.5, "0.0", locale.replace("-", "_")) == f"82{mark_of(locale)}5"


@pytest.mark.parametrize("locale", [*OTHER_DIGITS, None, "", "xx", "C", "de_DE.UTF-8", "*", "a-very-long-and-wrong-name", "-", "en--", "\x00"])
def test_a_locale_of_other_digits_and_one_that_nobody_knows_keep_the_point(locale):
    assert mark_of(locale) == POINT


def test_every_number_is_written_as_before_but_for_its_mark():
    with written_with(COMMA):
        assert (number(1234567.891, 2), number(-0.05, 2), number(12.0), number(None), number(1e9)) == ("1\u202f234\u202f567,89", "\u22120,05", "12", "–", "1\u202f000\u202f000\u202f000")
        assert (measured(80, 1), signed(0.6, 2), signed(-0.001, 2), amount(1.344, "per_kg")) == ("80,0", "+0,60", "0,00", "1,34 kg per kg of body mass")
    assert (number(1234567.891, 2), measured(80, 1), signed(0.6, 2), amount(82.46, "e1rm")) == ("1\u202f234\u202f567.89", "80.0", "+0.60", "82.5 kg")


@given(st.floats(-1e7, 1e7), st.integers(0, 3))
def test_a_number_differs_by_its_mark_alone(value, places):
    plain = number(value, places), measured(value, places), signed(value, places)
    with written_with(COMMA):
        assert (number(value, places), measured(value, places), signed(value, places)) == tuple(text.replace(".", ",") for text in plain)
    assert (number(value, places), measured(value, places), signed(value, places)) == plain


@pytest.mark.parametrize("text,turned", [
    ("82.5 kg (80.0 to 85.0), +0.60 % a week.", "82,5 kg (80,0 to 85,0), +0,60 % a week."),
    ("1\u202f234.5 of 2\u202f000; 19.6/28.5 = 0.69; 0.25, 0.5 and 1.", "1\u202f234,5 of 2\u202f000; 19,6/28,5 = 0,69; 0,25, 0,5 and 1."),
    ("doi:10.1007/s40279-020-01378-6, 10.1519/JSC.0b013e3181.5 and https://a.example/v1.2/0.5", None),
    ("version 1.2.3, section 2.3.1, 2026-03-09, 9.3.2026, log_2.5.csv, 12.5kg, v1.2, e1.5", None),
    ("'2.5 kg' and \"1.5 x\" in `rules.z = 1.28` and $x^{0.75}$", None),
    ("Ida's 2.5 and Ole's 3.5", "Ida's 2,5 and Ole's 3,5"),
])
def test_a_text_of_ours_is_turned_but_not_what_only_looks_like_a_number_of_ours(text, turned):
    assert told(text) == text
    with written_with(COMMA):
        assert told(text) == (turned or text)
        assert told(told(text)) == told(text)


def test_a_name_in_a_text_of_ours_stays_as_it_was_written():
    with written_with(COMMA):
        assert told("Press 2.5 slow: 7.5 kg; press 2.5 slow.", ["press 2.5 slow"]) == "Press 2.5 slow: 7,5 kg; press 2.5 slow."


def test_loads_are_turned_into_pounds_with_either_mark():
    plain = "82.5 kg (80.0 to 85.0), then 20 to 22.5 kg of 1\u202f000 kg, at 7.29 kg"
    with written_with(COMMA):
        assert in_unit(told(plain), "lb") == in_unit_with_point(plain).replace(".", ",")


def in_unit_with_point(text: str) -> str:
    with written_with(POINT):
        return in_unit(text, "lb")


@pytest.mark.parametrize("mark", [POINT, COMMA])
def test_the_loads_in_the_house_are_read_as_they_are_shown(mark):
    with written_with(mark):
        assert loads_in_kg(loads_told((1.125, 2, 7.5, 10), "kg"), "kg", comma=mark == COMMA) == [1.125, 2, 7.5, 10]
        assert read_number(number(1234.25, 2)) == 1234.25


def test_a_comma_reader_parts_loads_by_semicolons_and_may_write_either_mark():
    with written_with(COMMA):
        assert loads_told((2, 7.5), "kg") == "2; 7,5"
    assert loads_in_kg("2,5; 7.5;10", "kg", comma=True) == [2.5, 7.5, 10]
    assert loads_in_kg("2, 4, 7,5", "kg", comma=True) == [2, 4, 7.5]
    with pytest.raises(Refusal, match="parted by semicolons"):
        loads_in_kg("2,4,6", "kg", comma=True)  # loads, or 2.4 and 6?
    assert loads_in_kg("2,4,6", "kg") == [2, 4, 6]


@pytest.mark.parametrize("page,address,chosen", STANDS)
def test_no_page_shows_a_number_with_another_mark_than_the_readers(stand, read_as, sample_store, page, address, chosen):
    """Read with a point, a comma, and a point again: nothing of one reader's is left for the other."""
    shown = {}
    for mark in (POINT, COMMA, POINT):
        read_as(mark)
        found = [text for text in texts(stand(sample_store, page, address, chosen)) if "%0." not in text]  # the format of a field
        assert not with_decimals(iter(found), COMMA if mark == POINT else POINT)
        before = shown.setdefault(mark, with_decimals(iter(found), mark))
        assert with_decimals(iter(found), mark) == before
    # What is shown is the same but for the mark; the loads of one's house are the only ones parted otherwise.
    assert len(shown[POINT]) == len(shown[COMMA])
    assert sorted(re.sub(r"(?<=\d),(?=\d)", ".", NO_NUMBERS.sub(" ", text)) for text in shown[COMMA] if ";" not in text) == sorted(
        NO_NUMBERS.sub(" ", text) for text in shown[POINT] if ";" not in text and "7.5, 10" not in text)


def test_the_pages_that_are_looked_at_have_numbers_with_decimals(stand, read_as, sample_store):
    """What the test of all pages looks for is there to be found."""
    for mark in (POINT, COMMA):
        read_as(mark)
        for page, least in (("strength", 100), ("load", 50), ("balance", 30), ("presentation", 10), ("this_week", 20)):
            assert len(with_decimals(texts(stand(sample_store, f"app_pages/{page}.py", {"athlete": "Oskar"}, {"request_lists": ["Every flag so far"]} if page == "load" else {})), mark)) >= least


def test_pages_show_the_readers_mark_and_leave_what_a_person_wrote(open_page, read_as, store):
    log = "Date,Athlete,Exercise,Set,Load (kg),Reps,RIR,Note\n" + "".join(
        f"2026-03-{day:02},Ida 1.5,{name},{n},{load},8,2,{note}\n" for day in (2, 4, 9, 11, 16, 18) for name, load, note in
        (("Hammer curl", 7.5, "felt like 8.5"), ("Rope thing 2.5 kg", 12.25, "")) for n in (1, 2, 3))
    bring(store, log)
    own.take_in(store, b"change,name,like,note\nexercise,Slow press 1.5,dumbbell_row,from 2.5 to 3.5 s down\n", "changes.csv")
    refresh(store)
    read_as(COMMA)
    for page, chosen in (("app_pages/this_week.py", {}), ("app_pages/look_up.py", {}), ("app_pages/data.py", {"data_section": "sets"}), ("app_pages/exercises.py", {"exercise": f"{own_id(store)}"})):
        run = open_page(store, page, athlete="Ida 1.5", **({"exercise": chosen["exercise"]} if "exercise" in chosen else {}))
        for name, value in chosen.items():
            if name != "exercise":
                run.session_state[name] = value
        run = run.run()
        found = "\n".join(texts(run))
        assert not run.exception
        for wrong in ("Ida 1,5", "8,5", "thing 2,5", "press 1,5", "2,5 to 3,5"):
            assert wrong not in found, page
    week_page = "\n".join(texts(open_page(store, athlete="Ida 1.5")))
    assert "Say what Rope thing 2.5 kg is" in week_page
    assert "7,5 kg" in "\n".join(texts(open_page(store, "app_pages/strength.py", athlete="Ida 1.5")))


def own_id(store: Path) -> str:
    return ask(store, "select exercise_id from own_exercises")[0][0]


def test_what_is_kept_has_the_point_whoever_works_it_out(store, tmp_path):
    log = "Date,Athlete,Exercise,Set,Load (kg),Reps,RIR\n" + "".join(
        f"{date(2026, 1, 5).fromordinal(date(2026, 1, 5).toordinal() + 7 * week + day)},Ida,{name},{n},{load + week / 2},8,1\n"
        for week in range(12) for day in (0, 3) for name, load in (("Hammer curl", 7.5), ("Bench press", 61.25)) for n in (1, 2, 3, 4))
    other = tmp_path / "other.duckdb"
    kept = []
    for path, mark in ((store, POINT), (other, COMMA)):
        bring(path, log)
        with written_with(mark):
            refresh(path)
        kept.append([ask(path, f"select * exclude (athlete) from {table} order by all") for table in [*BY_WEEK, "kept_flags", "kept_bests"]])
    assert kept[0] == kept[1]
    assert any(DECIMALS[POINT].search(str(rows)) for rows in kept[0])
    with writing(other) as con, written_with(COMMA):
        refresh_some(con, [("Ida", date(2026, 1, 5))], 20_600)
    assert not stale(other)


def test_kept_sentences_are_told_with_the_mark_and_stay_as_they_are_for_the_next_reader(sample_store):
    store = store_at(sample_store)
    ways = {}
    for mark in (POINT, COMMA, POINT):
        with written_with(mark):
            at = clients.seen(store, date(2026, 11, 1))
            ways.setdefault(mark, []).append("\n".join([
                *strength.exercises(store, "Oskar", date(2026, 9, 28))["reason"], *week.flags(store, "Oskar", date(2026, 7, 27))["message"],
                *week.following(store, "Oskar", date(2026, 9, 28))["reason"], *(reason.text for one in clients.clients(store, at) for reason in one.reasons)]))
    first, again = ways[POINT]
    assert first == again and DECIMALS[POINT].search(first)
    with written_with(COMMA):
        assert ways[COMMA] == [told(first)]


def test_a_picture_writes_its_axes_with_the_mark_wherever_it_is_drawn(sample_store):
    rows = strength.exercises(store_at(sample_store), "Oskar", date(2026, 9, 28)).reset_index(drop=True).head(4)
    assert "locale" not in spec(rates(rows, LIGHT))["config"]
    with written_with(COMMA):
        chart = rates(rows, LIGHT)
        assert spec(chart)["config"]["locale"]["number"] == {"decimal": ",", "thousands": "\u202f", "grouping": [3], "currency": ["", ""]}
    drawn = _words(svg(chart, 600)).splitlines()  # when the file is asked for, no reader is known
    assert [text for text in drawn if DECIMALS[COMMA].search(text)] and not [text for text in drawn if DECIMALS[POINT].search(text)]


@pytest.mark.parametrize("athlete", ["Mina", "Oskar", "Tilde"])
def test_a_report_differs_by_its_mark_alone(sample_store, athlete):
    store, made = store_at(sample_store), {}
    for mark in (POINT, COMMA):
        with written_with(mark):
            made[mark] = _words(html(gather(store, athlete, date(2026, 9, 28))))
    assert not with_decimals(iter([made[COMMA]]), POINT) and not with_decimals(iter([made[POINT]]), COMMA)
    assert re.sub(r"(?<=\d),(?=\d)", ".", made[COMMA]) == made[POINT]


def test_the_command_writes_a_report_with_the_mark_that_was_asked_for(sample_store, tmp_path):
    words = {}
    for name, more in (("plain", []), ("point", ["--decimal", "point"]), ("comma", ["--decimal", "comma"])):
        out = tmp_path / f"{name}.html"
        assert not main(["report", "--athlete", "Oskar", "--out", str(out), "--store", str(sample_store), *more])
        words[name] = _words(out.read_text("utf-8"))
    assert words["plain"] == words["point"] != words["comma"]
    assert not with_decimals(iter([words["comma"]]), POINT)
    with pytest.raises(SystemExit):
        main(["report", "--athlete", "Oskar", "--out", str(tmp_path / "x.html"), "--decimal", "dot"])


def test_a_table_that_is_taken_along_has_the_point(stand, read_as, sample_store, monkeypatch):
    """Every table of the pages as its CSV, made as the page makes it for a reader of the comma."""
    taken: list = []
    for page in ("taking", "look_up_session", "look_up_exercise", "look_up_blocks"):
        monkeypatch.setattr(f"dashboard.app_pages.{page}.take_table", lambda rows, name: taken.append(rows))
    read_as(COMMA)
    for page, chosen in (("balance", {}), ("load", {}), ("look_up", {}), ("look_up", {"look_up_section": "exercise"}), ("look_up", {"look_up_section": "blocks"})):
        stand(sample_store, f"app_pages/{page}.py", {"athlete": "Oskar", **({"part": "biceps"} if page == "balance" else {})}, chosen)
    assert len(taken) >= 8
    with written_with(COMMA):
        found = [csv(_with_point(rows)).decode("utf-8-sig") for rows in taken]
    assert not [text for text in found if re.search(r'"[^"\n]*\d,\d[^"\n]*"', text)]
    assert any(DECIMALS[POINT].search(text) for text in found)


def _words(file: str) -> str:
    """What a report's file says, without its style and the shapes of its pictures."""
    return "\n".join(re.findall(r">([^<>]+)<", re.sub(r"<style>.*?</style>", "", file, flags=re.DOTALL)))


# Where a number with decimals is written past `sentences.numbers`: what is no text for a reader, and what a page turns with `told`.
ALLOWED = {"dashboard/sentences/numbers.py", "dashboard/charts/small_weeks.py", "dashboard/methods/__init__.py", "dashboard/queries/stair.py", "dashboard/standing/bests.py"}
WITH_DECIMALS = re.compile(r"\.[1-9]\d*[feg%]|\bg$|^g$|\.[1-9]\d*$")


def test_no_number_with_decimals_is_written_past_the_mark():
    """A format with decimals in what a person reads goes through `numbers` or `marked`."""
    wrong = []
    for path in sorted(ROOM.rglob("*.py")):
        name = path.relative_to(ROOM.parent).as_posix()
        if name in ALLOWED or name.startswith(("dashboard/measures", "dashboard/command")):
            continue
        tree = ast.parse(path.read_text("utf-8"))
        inside = {id(one) for call in ast.walk(tree) if isinstance(call, ast.Call) and getattr(call.func, "id", "") in ("marked", "told") for one in ast.walk(call)}
        for node in ast.walk(tree):
            if isinstance(node, ast.FormattedValue) and node.format_spec is not None and id(node) not in inside:
                form = "".join(str(part.value) for part in node.format_spec.values if isinstance(part, ast.Constant))
                if WITH_DECIMALS.search(form):
                    wrong.append(f"{name}:{node.lineno} {form}")
    assert not wrong


def test_where_no_run_has_set_a_mark_its_reader_is_asked(read_as):
    """A callback comes before its run: in a thread of its own, where nothing is set yet."""
    read_as(COMMA)
    page = AppTest.from_function(_with_a_callback).run()
    assert page.markdown[0].value == "2,5"
    page.button[0].click().run()
    assert page.session_state["said"] == "3,5"
    assert number(2.5) == "2.5" and reader.readers_mark() == POINT  # nobody looks


@pytest.mark.parametrize("mark,typed,taken", [(COMMA, "82,5", "82.5"), (COMMA, "82.5", "82.5"), (COMMA, "8 kg", "nan"), (COMMA, "99", "nan"), (COMMA, "", "None")])
def test_a_field_takes_a_number_as_its_reader_writes_it(read_as, mark, typed, taken):
    read_as(mark)
    page = AppTest.from_function(_with_a_field).run()
    assert page.text_input[0].value == "4,5"
    page.text_input[0].set_value(typed).run()
    assert page.markdown[0].value == taken


def test_a_field_is_the_browsers_own_where_the_mark_is_a_point(read_as):
    read_as(POINT)
    page = AppTest.from_function(_with_a_field).run()
    assert not page.text_input and page.number_input[0].set_value(82.5).run().markdown[0].value == "82.5"


def _with_a_field() -> None:
    import streamlit as st

    from dashboard.app_pages.number_field import number_field
    from dashboard.reader import write_as_read

    write_as_read()
    st.markdown(str(number_field("The number", 0.0, 90.0, 4.5, 0.5)))


def _with_a_callback() -> None:
    import streamlit as st

    from dashboard.reader import write_as_read
    from dashboard.sentences.numbers import number

    def clicked() -> None:
        st.session_state["said"] = number(3.5)

    st.button("Say it", on_click=clicked)
    write_as_read()
    st.markdown(number(2.5))
