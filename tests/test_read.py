"""Bytes -> a table of text. What is expected is what a careful person reads in a text editor."""

import csv
import io
import zipfile

import pytest
from hypothesis import given
from hypothesis import strategies as st

from etl.read import read_table
from etl.refusal import Refusal

PLAIN = "date,exercise,reps\n2024-03-05,Squat,5\n2024-03-05,Row,8\n"


def cells(table):
    return table.rows.to_numpy().tolist()


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_each_delimiter_gives_the_same_table(delimiter):
    table = read_table(PLAIN.replace(",", delimiter).encode(), "log.csv")
    assert table.delimiter == delimiter
    assert table.header == ["date", "exercise", "reps"]
    assert cells(table) == [["2024-03-05", "Squat", "5"], ["2024-03-05", "Row", "8"]]


def test_decimal_commas_do_not_make_the_comma_the_delimiter():
    table = read_table(b"date;exercise;load\n2024-03-05;Squat;62,5\n2024-03-06;Squat;65,0\n", "log.csv")
    assert table.delimiter == ";" and table.rows.iloc[0, 2] == "62,5"


def test_semicolons_inside_a_cell_do_not_make_the_semicolon_the_delimiter():
    text = "date,exercise,modifiers,rpe\n" + "2024-03-05,Row,grip=neutral;stance=seated\n" * 9
    assert read_table(text.encode(), "log.csv").delimiter == ","


@pytest.mark.parametrize(("codec", "encoding"), [
    ("utf-8", "utf-8"), ("utf-8-sig", "utf-8"), ("utf-16", "utf-16"), ("cp1252", "cp1252")])
def test_each_encoding_keeps_the_accents(codec, encoding):
    table = read_table("athlete,date,exercise\nZoë,2024-03-05,Développé\n".encode(codec), "log.csv")
    assert table.encoding == encoding
    assert table.header[0] == "athlete" and cells(table)[0] == ["Zoë", "2024-03-05", "Développé"]


def test_windows_1252_is_said_with_its_line():
    table = read_table("athlete,date\nAnn,2024-03-05\nZoë,2024-03-05\n".encode("cp1252"), "log.csv")
    assert any("Windows-1252" in note and "line 3" in note for note in table.notes)


def test_line_numbers_are_those_of_the_text_editor():
    text = 'date,note\n\n2024-03-05,"two\nlines"\n,\n2024-03-06,x\n'
    assert read_table(text.encode(), "log.csv").line_no.tolist() == [3, 6]


def test_carriage_returns_end_lines():
    assert len(read_table(PLAIN.replace("\n", "\r\n").encode(), "a").rows) == 2
    assert len(read_table(PLAIN.replace("\n", "\r").encode(), "a").rows) == 2


def test_a_line_separator_inside_a_cell_ends_no_line():
    table = read_table("date,note\n2024-03-05,a\u2028b\x0bc\n".encode(), "log.csv")
    assert table.rows.iloc[0, 1] == "a\u2028b\x0bc"


def test_ragged_rows_keep_all_their_text_and_overlong_ones_are_marked():
    table = read_table(b"date,exercise,reps\n2024-03-05,Squat\n2024-03-05,Row,8,,\n2024-03-05,Row,8,extra\n", "log.csv")
    assert cells(table)[0][:3] == ["2024-03-05", "Squat", ""]
    assert cells(table)[2][3] == "extra"
    assert table.overlong.tolist() == [False, False, True]
    assert table.width.tolist() == [2, 5, 4]


def test_a_title_above_the_header_is_passed_over_and_said():
    table = read_table(b"My log\n\ndate,exercise,reps\n2024-03-05,Squat,5\n", "log.csv")
    assert table.header == ["date", "exercise", "reps"]
    assert table.line_no.tolist() == [4]
    assert any("line 1" in note and "My log" in note for note in table.notes)


def test_quoted_cells_keep_delimiters_and_doubled_marks():
    table = read_table(b'date,note\n2024-03-05,"a, ""b"" c"\n', "log.csv")
    assert table.rows.iloc[0, 1] == 'a, "b" c'


def test_an_inch_mark_inside_a_cell_is_text():
    assert read_table(b'date,note\n2024-03-05,12" box\n', "log.csv").rows.iloc[0, 1] == '12" box'


@pytest.mark.parametrize("end", ["", "2024-03-07,z\n", '2024-03-07,"z"\n'])
def test_an_unclosed_quotation_mark_is_refused_with_its_line(end):
    text = 'date,note\n2024-03-05,x\n2024-03-06,"never closed\n' + end
    with pytest.raises(Refusal, match="never closed") as refused:
        read_table(text.encode(), "log.csv")
    assert refused.value.where == "log.csv, line 3"


def test_an_unclosed_quotation_mark_before_much_text_is_refused():
    text = 'date,note\n2024-03-05,"open\n' + "2024-03-06,x\n" * 20_000
    with pytest.raises(Refusal) as refused:
        read_table(text.encode(), "log.csv")
    assert "line 2" in refused.value.where


@pytest.mark.parametrize("data", [b"", b"   \n\n", b"\xef\xbb\xbf"])
def test_an_empty_file_is_refused(data):
    with pytest.raises(Refusal, match="empty"):
        read_table(data, "log.csv")


def test_a_header_alone_is_a_table_without_rows():
    table = read_table(b"date,exercise,reps\n", "log.csv")
    assert len(table.rows) == 0 and any("no rows" in note for note in table.notes)


def _zip() -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as archive:
        archive.writestr("xl/workbook.xml", "<workbook/>")
    return held.getvalue()


@pytest.mark.parametrize(("data", "word"), [
    (b"\x89PNG\r\n\x1a\n" + bytes(9), "PNG"), (b"\xff\xd8\xff\xe0", "JPEG"), (_zip(), "workbook"),
    (b"%PDF-1.7", "PDF"), (b"\xd0\xcf\x11\xe0\xa1\xb1", "old spreadsheet"), (b"<!DOCTYPE html><p>", "web page"),
    (b"date,reps\n2024\x00,5\n", "NUL"), ("date,reps\n".encode("utf-16-le"), "NUL"), (b"\xff\xfea", "UTF-16")])
def test_what_is_no_text_is_refused_in_words(data, word):
    with pytest.raises(Refusal) as refused:
        read_table(data, "log.csv")
    assert word in refused.value.what and "log.csv" in refused.value.where and refused.value.do


@given(st.binary(max_size=300))
def test_any_bytes_give_a_table_or_a_refusal(data):
    try:
        table = read_table(data, "log.csv")
    except Refusal:
        return
    assert len(table.rows) == len(table.line_no) == len(table.width)
    assert table.rows.shape[1] >= len(table.header)


@given(st.lists(st.lists(st.text("abc,;\t|\n\r\" é-", max_size=8), min_size=3, max_size=3), min_size=1, max_size=8))
def test_what_is_written_as_csv_is_read_back(rows):
    """Against Python's csv writer: every cell of every row comes back (blank rows and blank cells apart)."""
    held = io.StringIO(newline="")
    writer = csv.writer(held, quoting=csv.QUOTE_ALL)
    writer.writerows([["date", "exercise", "note"], *rows])
    table = read_table(held.getvalue().encode(), "log.csv")
    expected = [[c if c.strip() else "" for c in row] for row in rows if any(c.strip() for c in row)]
    assert cells(table) == expected
