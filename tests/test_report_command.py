"""`evenset report`: files written whole, for one or for all, each with nobody else in it."""

from __future__ import annotations

import json
import os
import stat
from pathlib import Path

import pytest

from dashboard.report import files
from tests.test_report import SAMPLE, WEEK

LAST = WEEK.isoformat()


@pytest.fixture
def store(sample_store: Path) -> Path:
    return sample_store


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_a_file_for_each_athlete_with_nobody_else_in_it(run, here):
    status, out, err = run("report", "--all", "--out", "given", "--as", "html", "--json")
    assert (status, err) == (0, "")
    assert json.loads(out) == {"written": [f"given/{name}_{LAST}.html" for name in SAMPLE], "left_out": []}
    for name in SAMPLE:
        file = here / "given" / f"{name}_{LAST}.html"
        assert stat.S_IMODE(file.stat().st_mode) == 0o600
        assert [other for other in SAMPLE if other in file.read_text("utf-8")] == [name]
    assert sorted(os.listdir(here / "given")) == sorted(f"{name}_{LAST}.html" for name in SAMPLE)


def test_a_folder_gets_pdf_unless_html_is_asked_for(run, here):
    assert run("report", "--athlete", "mina", "--out", "given")[:2] == (0, f"given/Mina_{LAST}_a4.pdf\n")
    assert (here / "given" / f"Mina_{LAST}_a4.pdf").read_bytes().startswith(b"%PDF-")


@pytest.mark.parametrize("paper,width", [("a4", b"595.2756"), ("letter", b"612")])
def test_the_ending_says_which_kind_of_file_and_paper_is_chosen(run, here, paper, width):
    assert run("report", "--athlete", "Oskar", "--out", "o.pdf", "--paper", paper, "--week", "2026-W31", "--weeks", "8")[0] == 0
    assert b"/MediaBox[0 0 " + width in (here / "o.pdf").read_bytes()
    assert run("report", "--athlete", "Oskar", "--out", "o.HTML", "--week", "2026-W31", "--weeks", "8")[0] == 0
    assert "8 weeks to 2 August 2026" in (here / "o.HTML").read_text("utf-8")


@pytest.mark.parametrize("words,told", [
    (("--athlete", "Oskar", "--out", "there.pdf"), "There is a file of that name already (there.pdf). Name another one"),
    (("--all", "--out", "o.pdf"), "One file cannot hold the reports of all"),
    (("--all", "--athlete", "Oskar", "--out", "given"), "Both one athlete and all were asked for"),
    (("--athlete", "Oskar", "--out", "o.docx"), "A report is an HTML or a PDF file (o.docx)"),
    (("--athlete", "Oskar", "--out", "plain"), "A report is an HTML or a PDF file (plain)"),
    (("--athlete", "Oskar", "--out", "none/o.pdf"), "The file cannot be written: No such file or directory (none/o.pdf)"),
    (("--athlete", "Oskar", "--out", "plain/o"), "The folder cannot be made"),
    (("--athlete", "Nobody", "--out", "o.pdf"), "There is no athlete 'Nobody'"),
    (("--out", "o.pdf"), "There are several athletes"),
    (("--athlete", "Oskar", "--out", "o.pdf", "--weeks", "52"), "A report is of 8 to 12 weeks, not of 52"),
    (("--athlete", "Oskar", "--out", "o.pdf", "--week", "2020-01-06"), "Oskar has no log in the week of 2020-01-06"),
    (("--all", "--out", "given", "--week", "2020-01-06"), "Nobody has a log in the week of 2020-01-06"),
])
def test_what_cannot_be_is_refused_in_words_and_leaves_nothing(run, here, words, told):
    for name in ("there.pdf", "plain"):
        (here / name).write_text("mine")
    status, out, err = run("report", *words)
    assert (status, out) == (1, "") and told in err and "Traceback" not in err
    assert sorted(os.listdir(here)) == ["plain", "there.pdf"] and (here / "there.pdf").read_text() == "mine"


def test_a_file_is_there_whole_or_not_at_all(here, monkeypatch):
    def breaks(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(files.os, "fsync", breaks)
    with pytest.raises(files.Refusal, match="No space left on device"):
        files.write(here / "o.pdf", b"x")
    assert os.listdir(here) == []


def test_a_link_that_leads_elsewhere_is_not_written_through(run, here):
    (here / "o.pdf").symlink_to(here / "elsewhere")
    assert run("report", "--athlete", "Oskar", "--out", "o.pdf")[0] == 1
    assert not (here / "elsewhere").exists()
