"""Pages as a visitor meets them: what is shown, what stays chosen, and that text from a file is only ever text."""

from __future__ import annotations

import asyncio
import json
import re
import tomllib
from datetime import date
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from dashboard import choices
from dashboard.app import PAGES
from dashboard.app_pages.page import FOOT, escape
from dashboard.asgi import HEADERS, SHELL, SafeHeaders
from dashboard.queries import balance, imports, people, strength, week
from dashboard.queries.kept import store_at
from dashboard.sentences.cautions import BY_TOPIC
from dashboard.shell import digests, shell
from etl.fast import blocks
from etl.importing import Answers, keep, known, understand
from etl.store import writing
from tests import kept_store

DASHBOARD = Path(choices.__file__).parent
WAIT_S = 30
LOG = b"""Date,Exercise,Weight (kg),Reps,RIR
2026-03-02,Bench press,60,8,2
2026-03-02,Bench press,60,8,2
2026-03-02,Garage sled,20,8,2
never,Bench press,60,8,2
"""


@pytest.fixture(scope="module")
def small_store(tmp_path_factory) -> Path:
    return kept_store.build(tmp_path_factory.mktemp("kept") / "small.duckdb")


@pytest.fixture
def open_page(monkeypatch):
    """A function that opens a page of a store and returns the run."""

    def opened(store: Path, page: str = "app_pages/this_week.py", **address: str) -> AppTest:
        monkeypatch.setenv("EVENSET_STORE", str(store))
        run = AppTest.from_file(str(DASHBOARD / "app.py"), default_timeout=WAIT_S)
        for name, value in address.items():
            run.query_params[name] = value
        run.run()
        return run.switch_page(page).run() if page != "app_pages/this_week.py" else run

    return opened


def all_text(run: AppTest) -> str:
    return "\n".join(block.value for block in [*run.title, *run.subheader, *run.markdown, *run.caption])


def unescaped(text: str) -> str:
    """The text as a reader sees it."""
    return re.sub(r"\\(.)", r"\1", text).replace("\u2060", "")


def charts(run: AppTest) -> list:
    """The messages of all charts, wherever they stand."""
    return [node.proto for node in _nodes(run.main) if node.type == "vega_lite_chart"]


def _nodes(block):
    for child in getattr(block, "children", {}).values():
        yield child
        yield from _nodes(child)


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
    shown = {metric.label: (metric.value, metric.delta) for metric in run.metric}
    assert shown["Hard sets"] == ("74", "usual 46")
    assert shown["Sessions"] == ("4", "on 4 days")
    text = all_text(run)
    assert "Rear delt went short" in text
    assert "8 of 9 focus parts are covered; the weakest is rear delt" in text
    assert escape("Add 2 sets of rear-delt raise.") in text
    assert escape("Hard sets were 74 against a usual 46 (+61 %), most of all for the lats.") in text
    assert "1 change of load" in text
    assert escape("Bench press of 154 kg looks like 70 kg written in pounds.") in text


def test_a_caution_stands_in_the_week_it_belongs_to_and_once(open_page, small_store):
    assert all_text(open_page(small_store, athlete="Robin")).count(escape(BY_TOPIC["new_work"])) == 1
    calm = open_page(small_store, athlete="Robin", week=kept_store.WEEKS[5].isoformat())
    assert escape(BY_TOPIC["new_work"]) not in all_text(calm)


@pytest.mark.parametrize("page", [page for page in PAGES if "data" not in page])
def test_every_chart_has_a_text_alternative(open_page, small_store, page):
    drawn = charts(open_page(small_store, page, athlete="Robin"))
    assert drawn
    assert all(len(chart.alt) > 40 for chart in drawn)


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
    assert run.selectbox(key=choices.ATHLETE).value == kept_store.HOSTILE


@pytest.mark.parametrize("text", ["![x](http://a.b/c.png)", "*a* _b_ `c` ~d~", "# head", "1. one", "$x^2$", ":red[x]", "<b>", "a\n\nb", "| a | b |"])
def test_escaped_text_reads_as_written(text):
    """CommonMark 0.31, section 2.4: any ASCII punctuation after a backslash stands for itself."""
    escaped = escape(text)
    assert unescaped(escaped) == " ".join(text.split())
    assert not re.search(r"(?<!\\)[*_`~#$:<>\[\]()!|]", escaped)


def test_strength_names_the_unit_of_each_series_and_why_the_verdict(open_page, small_store):
    run = open_page(small_store, "app_pages/strength.py", athlete="Robin")
    for picked, unit in ((("plank", "hold"), "seconds"), (("pull_up", "per_kg"), "kg per kg of body mass"), (("barbell_bench_press", "e1rm"), "kg")):
        run.selectbox(key="exercise").set_value(picked).run()
        text = all_text(run)
        assert re.search(rf"Best so far: [\d.]+ {unit}, since \d", text)
    assert escape("It rises by 0.6 % a week (80 % interval 0.2 to 1.0).") in text


def test_balance_shows_the_parts_in_focus_and_on_request_all(open_page, small_store):
    run = open_page(small_store, "app_pages/balance.py", athlete="Robin")
    assert unescaped(run.title[0].value) == "Week of 9 March: rear delt went short"
    assert "pronators" not in " ".join(chart.alt for chart in charts(run))
    run.selectbox(key="parts").set_value("all").run()
    assert "pronators: 0 of 2 to 8 sets, 2 short" in " ".join(chart.alt for chart in charts(run))


def test_load_of_a_part_can_be_picked(open_page, small_store):
    run = open_page(small_store, "app_pages/load.py", athlete="Robin")
    run.selectbox(key="of").set_value("lats").run()
    assert "Lats: 21 hard sets, usual 11" in unescaped(all_text(run))


def test_data_lists_what_came_in_and_what_was_set_aside(open_page, small_store):
    run = section(open_page(small_store, "app_pages/data.py"), "imports")
    assert [f"Import {n}" in unescaped(all_text(run)) for n in imports.imports(store_at(small_store))["import_id"]].count(False) == 0
    assert imports.set_aside(store_at(small_store))["reason"].tolist() == ["no readable date", "no exercise"]


def test_a_file_goes_from_upload_over_preview_to_the_store(open_page, tmp_path):
    store = tmp_path / "fresh.duckdb"
    run = open_page(store, "app_pages/data.py")
    run.file_uploader[0].set_value(("log.csv", LOG, "text/csv")).run()
    assert run.warning, "the file names no athlete, so one is asked for"
    run.text_input(key="import_athlete").set_value("Robin").run()
    assert "**4 rows read: 3 new sets, 0 already stored, 1 row set aside.**" in all_text(run)
    next(button for button in run.button if button.label == "Store it").click().run()
    assert not run.exception
    assert "3 sets stored" in run.success[0].value.replace("\\", "")
    assert people.athletes(store_at(store)) == ["Robin"]
    assert "1 exercise waits for a match" in all_text(section(run, "waits"))
    assert "1 row set aside" in all_text(run)


def section(run: AppTest, name: str) -> AppTest:
    """The page Data with another of its parts open."""
    run.session_state["data_section"] = name
    return run.run()


def bring(run: AppTest, text: str) -> AppTest:
    return run.file_uploader[0].set_value(("log.csv", text.encode(), "text/csv")).run()


def test_the_preview_shows_rows_beside_what_they_became(open_page, tmp_path):
    run = bring(open_page(tmp_path / "rows.duckdb", "app_pages/data.py"), (
        "Date,Athlete,Exercise,Side,Weight (lb),Reps,Secs,Body mass (kg)\n"
        "2026-03-02,Robin,Bench press,,100,8,,\n2026-03-02,Robin,Plank,,,,40,\n2026-03-02,Robin,Dumbbell row,each,20,8,,\n"
        "never,Robin,Bench press,,100,8,,\n2026-03-03,Robin,,,,,,80\n2026-03-04,Robin,Bench press,,100,8,,\n"))
    rows = run.table[0].value.map(unescaped)
    assert rows["row"].tolist() == ["2", "3", "4", "", "5", "6"], "five rows, and one that is two sets"
    assert rows["exercise"].tolist()[:4] == ["barbell bench press", "plank", "single-arm dumbbell row, left", "single-arm dumbbell row, right"]
    assert rows["load"].tolist()[:1] == ["45.4 kg"]
    assert rows[escape("reps or seconds")].tolist()[:2] == ["8 reps", "40 s"]
    assert rows["exercise"].tolist()[4:] == ['set aside: "never" cannot be read as a date', "values of the day, no set"]
    assert rows[escape("as written")][0] == "2026-03-02 | Robin | Bench press | 100 | 8"
    assert "79% sure" in unescaped(all_text(run)), "one date in six cannot be read"


def role(run: AppTest, header: str):
    """The choice of what a column is read as."""
    return next(box for box in run.selectbox if box.label.replace("\\", "") == header)


def test_a_large_upload_shows_the_same_and_is_stored(open_page, tmp_path, monkeypatch: pytest.MonkeyPatch):
    text = "Date,Athlete,Exercise,Set,Weight (lb),Reps\n2026-03-02,Robin,Bench press,1,100,8\nnever,Robin,Bench press,1,100,8\n" + "".join(
        f"2026-03-{1 + n % 28:02},Robin,Garage sled,{n},100,8\n" for n in range(60))
    small = bring(open_page(tmp_path / "small.duckdb", "app_pages/data.py"), text)
    with monkeypatch.context() as large:
        large.setattr(blocks, "FAST_BYTES", 0)
        large.setattr("etl.importing.preview._understand_one", None)  # the careful path reads none of it
        run = bring(open_page(tmp_path / "large.duckdb", "app_pages/data.py"), text)
        assert not run.exception
    assert all_text(run) == all_text(small)
    assert run.table[0].value.equals(small.table[0].value)
    next(button for button in run.button if button.label == "Store it").click().run()
    assert not run.exception and "61 sets stored" in run.success[0].value.replace("\\", "")


def test_columns_that_are_not_recognised_are_asked_for(open_page, tmp_path):
    run = bring(open_page(tmp_path / "columns.duckdb", "app_pages/data.py"), "aaa,bbb,ccc,kg,ddd\n2026-03-02,Robin,Rope thing,60,8\n")
    assert "--" not in run.warning[0].value, "a page names no option of a command"
    run.text_input(key="import_athlete").set_value("Robin").run()
    role(run, "ccc").set_value("exercise").run()
    role(run, "ddd").set_value("repetitions").run()
    assert not run.warning
    assert "1 row read: 1 new set" in all_text(run)
    run.run()
    assert "1 row read: 1 new set" in all_text(run), "what was said is kept"


def test_a_column_read_wrongly_is_corrected_and_kept_for_the_next_file(open_page, tmp_path):
    store, text = tmp_path / "roles.duckdb", "Date,Athlete,Exercise,Reps,Load,Iron\n2026-03-02,Robin,Bench press,8,1,60\n"
    run = bring(open_page(store, "app_pages/data.py"), text)
    assert run.table[0].value.map(unescaped)["load"].tolist() == ["1 kg"]
    role(run, "Iron").set_value("load").run()
    assert run.table[0].value.map(unescaped)["load"].tolist() == ["60 kg"]
    next(button for button in run.button if button.label == "Store it").click().run()
    again = understand([("next.csv", text.replace("-02", "-03").encode())], Answers(), known=known(store)).files[0]
    assert again.normal.sets["load_kg"].tolist() == [60.0]


def test_a_column_can_be_left_unused(open_page, tmp_path):
    run = bring(open_page(tmp_path / "unused.duckdb", "app_pages/data.py"), "Date,Athlete,Exercise,Reps,Load\n2026-03-02,Robin,Bench press,8,60\n")
    role(run, "Load").set_value("not used").run()
    assert run.table[0].value.map(unescaped)["load"].tolist() == ["–"]


def test_the_sample_opens_from_an_empty_store_and_takes_no_files(open_page, sample_store, tmp_path, monkeypatch):
    monkeypatch.setattr("dashboard.sample.sample_path", lambda: sample_store)
    run = open_page(tmp_path / "mine.duckdb")
    next(button for button in run.button if button.label == "Open the sample").click().run()
    assert run.selectbox(key=choices.ATHLETE).value in people.athletes(store_at(sample_store))
    run.switch_page("app_pages/data.py").run()
    assert not run.file_uploader
    assert not [button for button in run.button if button.label == "Take this import back"]
    run.button(key="leave_sample").click().run()
    assert run.file_uploader
    assert not run.query_params
    assert "This is the sample" not in all_text(run)


def test_an_import_can_be_taken_back_on_the_page(open_page, tmp_path):
    store = tmp_path / "back.duckdb"
    keep(store, understand([("log.csv", LOG)], Answers(athlete="Robin")))
    run = section(open_page(store, "app_pages/data.py"), "imports")
    next(button for button in run.button if button.label == "Take this import back").click().run()
    assert "3 sets went" in run.success[0].value.replace("\\", "")


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


def test_answers_carry_headers_that_keep_other_pages_and_servers_out():
    sent = asyncio.run(_answer_of(SafeHeaders))
    headers = dict(sent["headers"])
    policy = headers[b"content-security-policy"].decode()
    assert "default-src 'self'" in policy and "frame-ancestors 'none'" in policy
    assert "unsafe-eval" not in policy
    assert "; ".join(("default-src 'self'", " ".join(("script-src 'self'", *digests(SHELL))), "style-src")) in policy
    assert headers[b"x-frame-options"] == b"DENY"
    assert headers[b"x-content-type-options"] == b"nosniff"
    assert [name for name, _ in sent["headers"]].count(b"x-frame-options") == 1
    assert len(headers) == len(HEADERS) + 1


def test_each_inline_script_and_no_other_has_its_digest_in_the_policy():
    """CSP Level 3, section 8.1: the digest of `alert('Hello, world.');` as the specification gives it."""
    hello = "'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='"
    page = "<!-- <script>no()</script> --><script src='a.js'></script><script>alert('Hello, world.');</script><p>alert('x')</p>"
    assert digests(page) == [hello]
    assert digests("<p>no script</p>") == digests(None) == []


def test_a_streamlit_without_its_page_is_served_as_it_comes(tmp_path):
    assert shell(tmp_path / "index.html") is None
    (tmp_path / "index.html").write_text("<body></body>")
    assert shell(tmp_path / "index.html") == "<body></body>"


async def _answer_of(middleware) -> dict:
    sent = []

    async def inner(scope, receive, send):
        await send({"type": "http.response.start", "status": 200, "headers": [(b"X-Frame-Options", b"ALLOW"), (b"etag", b"1")]})

    async def collect(message):
        sent.append(message)

    await middleware(inner)({"type": "http"}, None, collect)
    return sent[0]


def test_the_server_listens_to_this_machine_alone_and_tells_nobody():
    config = tomllib.loads((DASHBOARD / ".streamlit" / "config.toml").read_text("utf-8"))
    assert config["server"]["address"] == "127.0.0.1"
    assert config["server"]["allowedHosts"] == ["localhost", "127.0.0.1"]
    assert config["browser"]["gatherUsageStats"] is False
    assert config["client"]["toolbarMode"] == "minimal"
    assert "http" not in json.dumps(config)
