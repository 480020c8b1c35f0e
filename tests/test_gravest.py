"""What changes an import's numbers most is said first, once, with its files, their columns and the way to say otherwise."""

from __future__ import annotations

import pytest

from dashboard.command.logs import in_words
from dashboard.sentences.imports import on_the_page
from etl.importing import Answers, Preview, understand
from etl.importing.plan import Understood

HEAD = "Date,Exercise,Reps,Brzl"
ROW = "2026-03-02,Squat,5,100"


def preview(*texts: str, **said) -> Preview:
    files = [(f"{name}.csv", text.encode()) for name, text in zip("abcdefghijklmnopqrstuvwxyz", texts, strict=False)]
    return understand(files, Answers(**({"athlete": "Ida"} | said)))


def log(*rows: str, head: str = HEAD) -> str:
    return "\n".join([head, *rows]) + "\n"


def test_no_loads_are_said_first_and_once_for_all_files():
    found = preview(*[log(ROW)] * 25, log(ROW, head="Date,Exercise,Reps,Load")).assumed
    first = [text for text in found if "no column of loads" in text]
    assert first == found[:1] and 'load=HEADER' in first[0] and first[0].count('"Brzl"') == 1
    assert all(f"{name}.csv" in first[0] for name in "abcdefghijklmnopqrstuvwxy") and "z.csv" not in first[0]


def test_the_command_line_shows_it_among_many_others():
    found = preview(*[log(ROW)] * 25)
    report = {"import": 1, "rows_read": 25, "sets_stored": 25, "already_stored": 0, "days_stored": 0, "rows_set_aside": 0, "set_aside": [], "unmatched": [], "differs": 0}
    assert "no column of loads was found in 25 files" in in_words(report | {"assumed": found.assumed}, True)


def test_files_with_other_columns_have_them_named():
    text = preview(log(ROW), log(ROW, head="Date,Exercise,Reps,Mrz")).assumed[0]
    assert '"Brzl" (a.csv); "Mrz" (b.csv)' in text


@pytest.mark.parametrize("text", [log("2026-03-02,Push-up,5,100"), log(ROW, head="Date,Exercise,Reps,Load"),
                                  log("2026-03-02,Squat,5,,x", head="Date,Exercise,Reps,Load,Brzl"), log("2026-03-02,Squat,3x5 @ 60 kg,x", head="Date,Exercise,Work,Brzl")])
def test_it_is_not_said_where_no_load_is_missing(text: str):
    assert not any("every load" in said for said in preview(text).assumed)


def test_a_file_of_which_every_row_was_set_aside():
    said = preview(log("2026-03-02,Squat,many,100", "2026-03-02,Squat,few,100"), log(ROW, head="Date,Exercise,Reps,Load")).assumed[0]
    assert said.startswith("LOOK: every row of a.csv was set aside") and "--columns" in said and '"Brzl"' in said


def test_only_columns_whose_cells_can_be_what_is_missing_are_named():
    head = "Date,Exercise,Circuit,Reps,Brzl"
    said = preview(log("2026-03-02,Squat,A shoulders,many,12", "2026-03-03,Squat,B pull,few,10", head=head)).assumed[0]
    assert '"Brzl" may hold the repetitions' in said and 'reps=HEADER' in said and '"Circuit"' not in said
    none = preview(log("2026-03-02,Squat,A shoulders,many", head="Date,Exercise,Circuit,Reps")).assumed[0]
    assert '"Circuit"' not in none and "--columns" not in none and "add a column" in none


def test_text_is_not_named_as_the_loads():
    said = preview(log("2026-03-02,Squat,5,A shoulders", "2026-03-03,Squat,5,B legs", head="Date,Exercise,Reps,Circuit")).assumed[0]
    assert "no column of loads" in said and '"Circuit"' not in said and "load=HEADER" not in said


def test_rows_that_lack_something_else_get_no_hint_at_the_repetitions():
    said = preview(log("2026-03-02,,5,100", "2026-03-03,,6,100")).assumed[0]
    assert '"no exercise"' in said and "reps=HEADER" not in said and "choices below" in on_the_page(said)


def test_the_page_names_its_own_way_and_no_option_of_the_command():
    for text, word in ((log(ROW), "load"), (log("2026-03-02,Squat,many,100"), "repetitions")):
        said = on_the_page(preview(text).assumed[0])
        assert f"choose “{word}” for it below" in said and "--" not in said


def test_what_has_to_be_looked_at_stands_before_all_else():
    found = preview("Date,Exercise,Reps,Load,Other\n2026-03-02,Squat,5,100,3x5 @ 65\n").assumed
    assert [text.startswith("LOOK") for text in found] == sorted((text.startswith("LOOK") for text in found), reverse=True) and found[0].startswith("LOOK")


def test_by_the_fast_path_as_well(monkeypatch, tmp_path):
    monkeypatch.setattr("etl.fast.blocks.FAST_BYTES", 0)
    path = tmp_path / "log.csv"
    path.write_text(log(*[f"2026-03-{day:02},Squat,5,100" for day in range(1, 29)]))
    file: Understood = (found := understand([("log.csv", path)], Answers(athlete="Ida"))).files[0]
    assert not hasattr(file.normal.sets, "iloc") and "no column of loads" in found.assumed[0]
