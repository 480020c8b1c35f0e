"""What the page Settings says of its choices: the parts that a search finds, and what the level changes."""

from __future__ import annotations

from pathlib import Path

import pytest

from dashboard.sentences.balance import level_changes
from dashboard.standing.refresh import refresh
from etl import tables
from etl.store.athletes import say, settings
from tests.page_runs import all_text, unescaped
from tests.test_said import MONDAY, TODAY, ida, page  # noqa: F401 - a fixture


@pytest.mark.parametrize("asked, found", [("forearm", "finger_flexors"), ("forearm", "wrist_flexors"), ("shoulder", "deltoid_acromial"), ("arm", "biceps"),
                                          ("deltoid", "deltoid_spinal"), ("back", "lats"), ("quadriceps", "vasti")])
def test_the_box_of_the_focus_finds_parts_by_muscle_and_place(ida: Path, monkeypatch: pytest.MonkeyPatch, asked: str, found: str):  # noqa: F811
    run = page(ida, monkeypatch, "settings", athlete="Ida", week=MONDAY.isoformat())
    box = next(one for one in run.multiselect if one.label == "In focus")
    words = dict(zip(tables.parts()["part_id"], box.options, strict=True))
    assert asked in words[found].lower() and len(set(box.options)) == len(box.options)
    if asked == "forearm":
        box.set_value([found])
        next(button for button in run.button if button.label == "Keep").click().run()
        assert not run.exception and settings(ida, "Ida").focus == (found,), "what is kept is the part"


def test_balance_and_settings_say_what_an_unsaid_level_means(ida: Path, monkeypatch: pytest.MonkeyPatch):  # noqa: F811
    where = {"athlete": "Ida", "week": MONDAY.isoformat()}
    assert not settings(ida, "Ida").level_said
    told = "No level was said: the bands of the intermediate level are used. Another can be chosen on the page Settings."
    assert told in unescaped(all_text(page(ida, monkeypatch, "balance", **where)))
    assert level_changes() in unescaped(all_text(page(ida, monkeypatch, "settings", **where)))
    say(ida, "Ida", level="beginner")
    refresh(ida, today=TODAY)
    shown = unescaped(all_text(page(ida, monkeypatch, "balance", **where)))
    assert "Bands of the beginner level." in shown and "No level was said" not in shown
