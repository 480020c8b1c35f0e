"""Weeks that a person has marked, in words."""

from __future__ import annotations

from datetime import date

from dashboard.sentences.numbers import day

WORDS = {"planned_increase": "a planned increase", "deload": "a deload", "holiday": "a holiday", "illness": "an illness"}
MEANS = {
    "planned_increase": "Its changes of load keep their numbers and are shown as planned.",
    "deload": "It is left out of trends, and its low doses are not taken for parts that went short.",
    "holiday": "It is left out of trends, and its low doses are not taken for parts that went short.",
    "illness": "It is left out of trends, and its low doses are not taken for parts that went short. Come back in steps; after fever or a heart or chest complaint ask a doctor first.",
}


def marked(week: date, mark: str) -> str:
    """After a mark was made."""
    return f"The week of {day(week)} is marked as {WORDS[mark]}. {MEANS[mark]}"


def taken_back(week: date, mark: str) -> str:
    """After a mark was taken back."""
    return f"The week of {day(week)} is no longer marked as {WORDS[mark]}."
