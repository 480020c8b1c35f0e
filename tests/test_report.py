"""What a client is given: its numbers are the review's, nothing private is in it, and both kinds of file are what they say they are."""

from __future__ import annotations

import json
import re
import zlib
from datetime import date, datetime
from html.parser import HTMLParser
from math import exp
from pathlib import Path

import pytest
import typst

from dashboard.queries import presented
from dashboard.queries import review as reviewed
from dashboard.queries.kept import store_at
from dashboard.queries.people import athletes, week_to_show
from dashboard.queries.words import called
from dashboard.report import pdf as made_pdf
from dashboard.report.content import Report, gather
from dashboard.report.drawn import plain
from dashboard.report.figures import PARTS_SHOWN
from dashboard.report.files import file_names
from dashboard.report.html import html
from dashboard.report.pdf import NO_LETTER, pdf
from dashboard.sentences import client, plan
from dashboard.sentences.cautions import BY_TOPIC, FOOT
from dashboard.sentences.numbers import number
from dashboard.standing.refresh import refresh
from etl.store import writing
from tests import kept_store
from tests.logs import bring

SAID_AT = datetime(2026, 3, 1)
WEEK = date(2026, 9, 28)
SAMPLE = ("Mina", "Oskar", "Tilde")
WEEKS = [("Mina", date(2026, 1, 5)), ("Mina", date(2026, 5, 11)), ("Mina", date(2026, 5, 25)), ("Oskar", date(2026, 7, 27)), ("Oskar", WEEK), ("Tilde", WEEK)]
HOSTILE = {
    "markup": kept_store.HOSTILE, "markdown": "**b** [z](http://198.51.100.7/) `c`", "script": "</style></p><script>alert(1)</script><img src=x onerror=alert(1)>",
    "formula": "=1+1", "typeset": '#eval("1+1") $x^2$ \\ @label <ref> #image("/etc/passwd")', "turned": "evil\u202etxt.exe", "commands": "a\x1b[31mb",
    "long": "x" * 10_000, "arabic": "\u0645\u062d\u0645\u062f", "chinese": "\u738b\u5c0f\u660e", "picture": "Zo\u00eb \U0001f9f1", "no letters": "\ufffe\uffff",
}
TEXT = "a text of a person's own"


def said(store: Path, table: str, **values: object) -> None:
    """Insert a record as the entering of it does."""
    key = {"notes": "note_id", "goals": "goal_id", "blocks": "block_id", "decisions": "decision_id"}[table]
    values |= {"athlete": "Ida", "said_at": SAID_AT}
    with writing(store) as con:
        con.execute(f"insert into {table} ({key}, {', '.join(values)}) values (nextval('said_ids'), {', '.join('?' * len(values))})", list(values.values()))


def note(store: Path, text: str, kind: str = "note", private: bool = False, when: date = date(2026, 3, 3), **more: object) -> None:
    said(store, "notes", date=when, kind=kind, subject="", text=text, private=private, **more)


def allow(store: Path, *what: str) -> None:
    with writing(store) as con:
        con.execute("update athletes set shows = ? where athlete = 'Ida'", [json.dumps(what)])


def everything(report: Report) -> str:
    """All that the report says, in both kinds of file as in its page."""
    return html(report)


@pytest.fixture
def ida(store: Path) -> Path:
    """The store of an athlete with two weeks, in which pain was noted."""
    rows = "".join(f"2026-03-{day:02},Ida,Bench press,60,{reps},2,{'left elbow' if day == 4 else ''},{'6' if day == 4 else ''},70.5\n"
                   for day in (2, 4, 9, 11) for reps in (8, 7, 6))
    bring(store, "Date,Athlete,Exercise,Load (kg),Reps,RIR,Pain place,Pain score,Body mass (kg)\n" + rows)
    refresh(store)
    return store


def ida_now(store: Path, week: date = date(2026, 3, 2)) -> Report:
    return gather(store_at(store), "Ida", week)


class Read(HTMLParser):
    """Collects the elements of a page with their attributes, and its text."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.text += data

    def of(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.elements if name == tag]


@pytest.mark.parametrize(("athlete", "week"), WEEKS)
def test_numbers_are_those_of_the_review(sample_store, athlete, week):
    store = store_at(sample_store)
    told, asked = gather(store, athlete, week), reviewed.review(store, athlete, week)
    done = asked["done"]
    for name in ("sessions", "hard_sets", "usual_hard_sets", "planned"):
        assert reviewed.plain(told.numbers[name]) == done[name]
    if done["sessions"]:
        assert re.search(rf"^{done['sessions']} sessions? and {re.escape(number(done['hard_sets']))} hard sets this week", told.done)
    if done["usual_hard_sets"] is not None:
        assert f"usual is {number(done['usual_hard_sets'])}" in told.done
    if "rate_low" in told.numbers:
        (same,) = [one for one in asked["strength"] if one.get("exercise") == told.numbers["exercise"] and one["measure"] == told.numbers["measure"]]
        assert same["verdict"] == "progressing"
        assert [reviewed.plain(told.numbers[key]) for key in ("rate_low", "rate_high", "value")] == [same["rate_low"], same["rate_high"], same["value"]]
        assert same["rate_low"] > 0 and "+" in told.gain.lines[0]
    if "flag" in told.numbers:
        (flag,) = [one for one in asked["flags"] if (one["kind"], one["subject"]) == told.numbers["flag"]]
        assert flag["numbers"] == told.numbers["of_flag"]
    shelf = told.figures[-1].words
    drawn = [part for part in asked["parts"] if re.search(rf"[.;] {called(part['part'])}: ", shelf)]
    assert len(drawn) == min(PARTS_SHOWN, sum(part["in_focus"] for part in asked["parts"]))
    for part in drawn:
        assert part["in_focus"]
        assert re.search(rf"[.;] {called(part['part'])}: {re.escape(number(part['dose']))}( \({re.escape(number(part['low']))} to {re.escape(number(part['high']))}\))? of {number(part['band_low'])} to ", shelf)


def test_a_gain_is_the_reviews_rate_over_its_weeks(sample_store):
    """100 (exp(rate weeks / 100) - 1): the rate is the slope of ln(value), so that it grows upon itself."""
    told = gather(store_at(sample_store), "Oskar", WEEK)
    low, high, weeks = re.search(r"between \+([\d.]+) and \+([\d.]+)\xa0% in (\d+) weeks", told.gain.lines[0]).groups()
    for shown, rate in ((low, told.numbers["rate_low"]), (high, told.numbers["rate_high"])):
        assert abs(float(shown) - 100 * (exp(rate * int(weeks) / 100) - 1)) <= 0.5


def test_the_weeks_shown_sum_to_the_reviews_of_each(sample_store):
    store = store_at(sample_store)
    over = presented.sessions(store, "Oskar", WEEK, 12)
    each = [reviewed.review(store, "Oskar", week)["done"] for week in over["week"].dt.date]
    assert len(each) == 12
    assert gather(store, "Oskar", WEEK).over.startswith(f"{sum(done['sessions'] for done in each)} sessions in the last 12 weeks")


@pytest.mark.parametrize("weeks", [8, 12])
def test_a_report_knows_nothing_that_came_after_its_sunday(sample_store, weeks):
    told = gather(store_at(sample_store), "Oskar", date(2026, 3, 30), weeks)
    assert told.until == date(2026, 4, 5) and told.title == f"{weeks} weeks to 5 April 2026"
    for figure in told.figures:
        assert all(month not in figure.words for month in ("May", "June", "July", "August", "September", "October"))


def test_an_athlete_sees_the_parts_in_focus_alone_and_three_pictures_at_most(sample_store):
    told = gather(store_at(sample_store), "Mina", WEEK)
    assert len(told.figures) == 3
    assert all(len(figure.words) > 40 and figure.title and figure.reading for figure in told.figures)
    assert "hamstrings" not in told.figures[-1].words


def test_a_private_note_is_never_shown_whatever_is_allowed(ida):
    note(ida, f"private {TEXT}", private=True)
    note(ida, f"hurts, {TEXT}", "pain", private=True, place="secret place", score=7.0)
    allow(ida, "decisions", "notes", "pain", "body_mass")
    refresh(ida)
    shown = everything(ida_now(ida))
    assert TEXT not in shown and "secret place" not in shown


def test_notes_pain_and_body_mass_are_hidden_until_they_are_allowed(ida):
    note(ida, f"open {TEXT}")
    note(ida, "stiff", "soreness", place="right calf", score=3.0)
    said(ida, "decisions", date=date(2026, 3, 3), text="A wider grip", subject="barbell_bench_press")
    hidden = everything(ida_now(ida))
    assert "1. 3 March, barbell bench press: A wider grip" in hidden  # decisions are shown unless that is taken back
    assert not re.search(rf"{TEXT}|right calf|left elbow|6 of 10|70\.5", hidden)
    allow(ida, "notes", "pain", "body_mass")
    shown = everything(ida_now(ida))
    assert "A wider grip" not in shown
    for text in (f"3 March: open {TEXT}", "3 March: soreness, right calf, 3 of 10, stiff", "4 March: pain, left elbow, 6 of 10", "Body weight: 70.5 kg"):
        assert text in shown.replace("&#x27;", "'"), text


def test_the_plan_never_tells_of_pain_and_every_foot_has_the_same_care(ida):
    asked = reviewed.review(store_at(ida), "Ida", date(2026, 3, 2))
    assert any("Pain was noted" in one["reason"] for one in asked["next"])
    told = ida_now(ida)
    assert "Barbell bench press: hold it, or make it lighter." in told.plan.lines
    assert not any("ain" in line for line in told.plan.lines)
    assert told.foot[-2:] == (client.HURTS, FOOT)
    assert client.cautions([BY_TOPIC["pain"], BY_TOPIC["ache"], BY_TOPIC["grip"]]) == [BY_TOPIC["grip"], client.HURTS]


def test_what_is_dated_after_the_week_waits_and_goals_and_blocks_look_ahead(ida):
    note(ida, "later", when=date(2026, 3, 9))
    said(ida, "decisions", date=date(2026, 3, 9), text="decided later", subject="")
    said(ida, "goals", text="One good pull-up", due=date(2026, 6, 1), subject="", measure=None, target=None, reached_on=date(2026, 3, 10))
    said(ida, "goals", text="Bench 100", due=date(2026, 6, 1), subject="barbell_bench_press", measure="e1rm", target=100.0, reached_on=None)
    said(ida, "blocks", aim="Build up", starts=date(2026, 3, 9), ends=date(2026, 4, 5), deload_due=date(2026, 3, 30))
    allow(ida, "notes", "decisions")
    told = {section.title: section.lines for section in ida_now(ida).beside}
    assert "Notes" not in told and "What was decided" not in told
    assert told["Goals"][:2] == ("This block: Build up, 9 March to 5 April 2026, with an easy week from 30 March.", "One good pull-up, by 1 June 2026.")
    value = next(one["value"] for one in reviewed.review(store_at(ida), "Ida", date(2026, 3, 2))["strength"] if one.get("exercise") == "barbell_bench_press")
    assert told["Goals"][2] == f"Bench 100, by 1 June 2026, now about {number(value, 0)} kg of 100 kg."
    later = {section.title: section.lines for section in ida_now(ida, date(2026, 3, 9)).beside}
    assert later["Goals"][1] == "One good pull-up: reached on 10 March 2026." and later["Notes"] == ("9 March: later",)


def test_an_illness_is_not_told_and_pins_have_the_numbers_of_their_sentences(ida):
    for day, text in ((2, "first"), (3, "second")):
        said(ida, "decisions", date=date(2026, 3, day), text=text, subject="")
    said(ida, "decisions", date=date(2026, 2, 22), text="before the weeks shown", subject="")
    with writing(ida) as con:
        con.execute("insert into marked_weeks values ('Ida', ?, 'illness', ?)", [date(2026, 3, 2), SAID_AT])
    told = gather(store_at(ida), "Ida", date(2026, 3, 2), 1)
    assert [section.lines for section in told.beside] == [("1. 2 March: first", "2. 3 March: second")]
    assert "1: first 2: second" in told.figures[0].words and "before" not in told.figures[0].words
    assert "llness" not in everything(told) and "away" in told.figures[0].words


def test_loads_are_in_the_clients_unit(ida):
    said(ida, "goals", text="Bench 100", due=date(2026, 6, 1), subject="barbell_bench_press", measure="e1rm", target=45.359237, reached_on=None)
    with writing(ida) as con:
        con.execute("update athletes set shown_unit = 'lb'")
    allow(ida, "body_mass")
    shown = everything(ida_now(ida))
    assert re.search(r"Bench 100, by 1 June 2026, now about \d+ lb(?: of|; the goal was) 100 lb\.", shown) and "Body weight: 155.4 lb" in shown


CHANGES = {
    "hold": plan.hold(True), "no_training": plan.no_training(), "keep_rest": plan.keep_rest(2), "add_sets": plan.add_sets("rear delt", 1.5, 2, "band pull-apart", 2.5, 4, 0, 10.5, 3),
    "trim": plan.trim("front delt", 26.0, 20, 11.5, 29.0, 6.0), "with_pain": plan.with_pain("hammer curl", "left elbow", 6.0, True),
    "after_jump": plan.after_jump("lats", 21.0, 9.0, 3.5, 36.0), "ramp": plan.ramp(0.85, 72.0), "after_plateau": plan.after_plateau("biceps", True, "cable curl"),
    "next_load": plan.next_load("push-up", "", 27, 20, "one set of the next step"), "data_note": plan.data_note(2, ["Rope thing"]),
    "easy_due": plan.easy_due(36.0, 0.5, 0.6, "pulling", date(2026, 3, 2), date(2026, 4, 5)),
    "easy_not_taken": plan.easy_not_taken(36.0, 36.0, "pulling", date(2026, 3, 2), date(2026, 4, 5)),
    "after_easy": plan.after_easy(36.0, "holiday"), "after_illness": plan.after_illness(), "after_rise": plan.after_rise(60.0, 40.0),
}
CLIENT = {
    "hold": "Keep next week as it was.", "no_training": "Go on where you left off.", "keep_rest": client.HOLD,
    "add_sets": "Rear delt: add 2 sets, for instance band pull-apart. It had about 2.5 this week, and the aim is 4 or more.",
    "trim": "Front delt: trim 6 hard sets. It had about 26 this week, and the aim is 20 at most.", "with_pain": "It: hold it, or make it lighter.",
    "after_jump": "Lats: stay at or under 21 hard sets, or go back towards 9. This week had much more than usual.", "ramp": "About 61 hard sets in all next week. You are coming back from a break.",
    "after_plateau": "It has stood still: first a look at effort, rest between sets, sleep and the days of training.",
    "easy_due": "Take the easy week that is due next week: about 18 to 22 hard sets, 50 to 60 % of the usual 36, at the loads of now, with two or more repetitions further in reserve.",
    "easy_not_taken": "Take the easy week next week, or decide to go on without it.", "after_easy": "Go back to what was usual, about 36 hard sets.",
    "after_illness": "Begin below what was usual, and see how it goes.", "after_rise": "Whole body: repeat this week’s 60 hard sets, or trim a few.",
    "next_load": "Push-up: one set of the next step. All its sets reached 20 or more, two sessions running.", "data_note": "",
}


NEXT_LOADS = {"heavier_of_any", "heavier_in_the_house", "next_of_ladder"}  # these write a piece of `next_load`
BESIDE = {"easy_was_due", "undirected", "block", "comes_from", "told_later"}  # and these a piece of a reason, or what stands above the changes


def test_every_change_that_a_plan_can_hold_has_its_words_for_a_client():
    writers = {name for name, one in vars(plan).items() if callable(one) and one.__module__ == plan.__name__}
    assert writers - NEXT_LOADS - BESIDE == set(CHANGES) == set(CLIENT)
    assert {name: client.plan("it", *change) for name, change in CHANGES.items()} == CLIENT
    assert client.plan("it", *plan.data_note(1, ["a"])) == ""
    assert client.plan("", *plan.with_pain("", "left elbow", 6.0, True)) == "", "a place is the coach's business"


def test_every_kind_of_flag_of_a_client_has_words_and_none_that_has_to_be_taught(sample_store):
    raised = reviewed.flags(store_at(sample_store), None)
    told = {(one["kind"], one["subject"]): client.watch(one["kind"], "the thing", one["numbers"], one["subject"] == "whole_body") for one in raised}
    assert {kind for kind, _ in told} - {"check_entry"} <= set(client.WATCHED)
    for (kind, _), text in told.items():
        assert bool(text) == (kind != "check_entry")
        assert not re.search(r"interval|80 %|band|None|nan|z-|ratio|plateau|spike|e1rm", text), text


@pytest.mark.parametrize("athlete", SAMPLE)
def test_a_client_reads_no_statistic_that_has_to_be_taught(sample_store, athlete):
    told = gather(store_at(sample_store), athlete, WEEK)
    said_here = " ".join([told.done, told.over, *told.gain.lines, *told.watch.lines, *told.plan.lines, told.counting])
    assert not re.search(r"80 %|interval|confidence|band|credit|tier|dose|plateau|spike|verdict|trend is|e1rm|% a week", said_here), said_here


@pytest.mark.parametrize("athlete", SAMPLE)
def test_html_is_one_file_without_a_script_or_a_request(sample_store, athlete):
    told = gather(store_at(sample_store), athlete, WEEK)
    page = html(told)
    read = Read(page)
    assert not [tag for tag, _ in read.elements if tag in ("script", "iframe", "object", "embed", "form", "link", "base", "img", "a", "use", "image", "foreignobject")]
    assert not [name for _, attributes in read.elements for name in attributes if name.startswith("on") or name in ("src", "href", "xlink:href", "style", "srcset", "action")]
    assert not re.search(r"url\(|@import|javascript:", page)
    assert set(re.findall(r"\w+://[\w./-]+", page)) <= {"http://www.w3.org/2000/svg"}  # the name of a vocabulary, asked of nobody
    (policy,) = [one["content"] for one in read.of("meta") if one.get("http-equiv") == "Content-Security-Policy"]
    assert "default-src 'none'" in policy and "unsafe" not in policy and page.index("Content-Security-Policy") < page.index("<style>")
    assert read.of("html") == [{"lang": "en"}] and len(read.of("h1")) == 1 and len(read.of("h2")) >= 6
    pictures = read.of("svg")
    assert len(pictures) == len(told.figures) and all(one["role"] == "img" for one in pictures)
    assert {one["aria-labelledby"] for one in pictures} == {one["id"] for one in read.of("desc")}
    for figure in told.figures:
        assert figure.words in read.text and figure.title in read.text
    assert not [name for name in SAMPLE if name != athlete and name in page]


@pytest.mark.parametrize("paper,size", [("a4", (595.28, 841.89)), ("letter", (612, 792))])
@pytest.mark.parametrize("athlete", SAMPLE)
def test_pdf_is_tagged_of_its_paper_with_vector_pictures_and_passes_its_makers_checks(sample_store, athlete, paper, size):
    told = gather(store_at(sample_store), athlete, WEEK)
    made = pdf(told, paper)  # raises where PDF/UA-1 does not hold
    boxes = re.findall(rb"/MediaBox ?\[0 0 ([\d.]+) ([\d.]+)\]", made)
    assert boxes and all((round(float(wide), 2), round(float(tall), 2)) == size for wide, tall in boxes)
    assert b"/MarkInfo" in made and b"/StructTreeRoot" in made and b"/Lang" in made and b"pdfuaid:part" in made
    assert made.count(b"/Alt(") + made.count(b"/Alt<") + made.count(b"/Alt (") == len(told.figures)
    assert not re.search(rb"/Subtype ?/Image", made)
    assert pdf(told, paper) == made


class Folder:
    """A package's folder that holds one text under every name."""

    def __init__(self, text: str) -> None:
        self.text = text

    def joinpath(self, name: str) -> Folder:
        return self

    def read_bytes(self) -> bytes:
        return self.text.encode()


def test_a_check_of_the_maker_can_fail(sample_store, monkeypatch):
    """The maker refuses a picture without a text alternative: that the others pass says something."""
    page = (Path(made_pdf.__file__).parent / "page.typ").read_text("utf-8").replace("alt: one.words, ", "")
    monkeypatch.setattr(made_pdf, "files", lambda package: Folder(page))
    with pytest.raises(typst.TypstError, match="PDF/UA-1"):
        pdf(gather(store_at(sample_store), "Oskar", WEEK))


def drawn_text(made: bytes) -> str:
    """What the PDF says to a reader of text: its marks from letters' shapes back to letters."""
    streams = re.findall(rb"stream\r?\n(.*?)\r?\nendstream", made, re.DOTALL)
    letters = set()
    for stream in streams:
        try:
            text = zlib.decompress(stream)
        except zlib.error:
            continue
        if b"beginbfchar" in text or b"beginbfrange" in text:
            letters |= {bytes.fromhex(code.decode()).decode("utf-16-be", "replace") for code in re.findall(rb"> ?<([0-9a-fA-F]{4,})>", text)}
    return "".join(letters)


@pytest.mark.parametrize("name", HOSTILE.values(), ids=HOSTILE)
def test_hostile_names_and_words_are_text_in_both_kinds_of_file(tmp_path, name):
    store = kept_store.build(tmp_path / "s.duckdb", (name,))
    when = kept_store.LAST_WEEK
    with writing(store) as con:
        con.execute("update athletes set shows = '[\"decisions\", \"notes\", \"pain\"]'")
        con.execute("insert into decisions values (1, ?, ?, ?, '', ?)", [name, when, name, SAID_AT])
        con.execute("insert into goals values (2, ?, ?, ?, '', null, null, null, ?)", [name, name, when, SAID_AT])
        con.execute("insert into blocks values (3, ?, ?, ?, ?, null, ?)", [name, name, kept_store.WEEKS[4], when, SAID_AT])
        con.execute("insert into notes values (4, ?, ?, 'note', '', ?, null, null, false, ?)", [name, when, name, SAID_AT])
        con.execute("insert into notes values (5, ?, ?, 'pain', '', '', ?, 3, false, ?)", [name, when, name, SAID_AT])
    told = gather(store_at(store), name, kept_store.LAST_WEEK)
    page = html(told)
    read = Read(page)
    assert read.text.count(plain(name)) >= 7  # the page's title, its heading and what was said
    assert not [tag for tag, _ in read.elements if tag in ("script", "img", "a", "iframe")] and not [a for _, a in read.elements if set(a) & {"onerror", "src", "href"}]
    assert not re.search("[\x00-\x08\x0b-\x1f\u202a-\u202e\u2066-\u2069]", page)
    for paper in ("a4", "letter"):
        made = pdf(told, paper)
        assert b"/StructTreeRoot" in made
        letters = set(plain(name)) - set(" \ufffe\uffff")
        lacking = letters - set(drawn_text(made))
        assert not lacking or (NO_LETTER in drawn_text(made) and min(lacking) > "\u2000"), lacking


def test_file_names_are_harmless_and_do_not_collide():
    names = [*HOSTILE.values(), "Ida", "ida", "IDA", "con", "a/b", "a b", "a_b", "..", "", "Łukasz Żółć", "-rf", ".hidden", "é", "e\u0301"]
    made = file_names(dict.fromkeys(names, WEEK), "pdf", "letter")
    assert list(made) == list(dict.fromkeys(names))
    assert len({name.casefold() for name in made.values()}) == len(made)
    for name in made.values():
        assert re.fullmatch(r"[^\W_][\w-]*_2026-09-28_letter\.pdf", name) and len(name.encode()) < 200, name
    assert made["Łukasz Żółć"] == "Łukasz_Żółć_2026-09-28_letter.pdf"


def test_every_athlete_of_the_sample_gets_a_file_of_their_own(sample_store, tmp_path):
    store = store_at(sample_store)
    weeks = {name: week_to_show(store, name) for name in athletes(store)}
    assert file_names(weeks, "html", "a4") == {name: f"{name}_{WEEK.isoformat()}.html" for name in SAMPLE}
