"""Which one-repetition-maximum equation an athlete's estimates are by: its link, and its name where somebody chose it."""

from __future__ import annotations

from dashboard import methods
from dashboard.app_pages.page import escape, remark
from dashboard.choices import Choice
from dashboard.queries.people import equation
from dashboard.sentences.strength import by_equation


def link(choice: Choice) -> dict[str, str]:
    """The measure of the equation in use, for `how_worked_out`."""
    return {methods.of_equation(equation(choice.store, choice.athlete)): "estimated maximum"}


def named(choice: Choice) -> None:
    """A quiet line where it is not the usual one."""
    said = by_equation(methods.chosen_equation(equation(choice.store, choice.athlete)))
    if said:
        remark(escape(said))
