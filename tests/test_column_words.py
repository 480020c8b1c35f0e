"""The words by which a person says which column is which: on the command line and on the page."""

from __future__ import annotations

import pytest

from dashboard.command.main import main
from dashboard.sentences.fields import FIELD_WORDS
from etl.columns import FIELDS


@pytest.mark.parametrize("command", ["import", "again"])
def test_help_lists_every_word(command: str, capsys):
    with pytest.raises(SystemExit):
        main([command, "--help"])
    said = {tuple(line.split(maxsplit=1)) for line in capsys.readouterr().out.splitlines()}
    assert {(field, FIELD_WORDS[field]) for field in FIELDS} <= said


def test_the_page_has_words_of_its_own_for_each():
    assert set(FIELD_WORDS) == set(FIELDS) and len(set(FIELD_WORDS.values())) == len(FIELDS)
