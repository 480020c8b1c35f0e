"""Easy weeks in the plan: one that is due next week, one that was due and not taken, and the week after one."""

from __future__ import annotations

from dashboard.sentences import plan as say
from dashboard.standing.load_flags import WHOLE
from dashboard.standing.log import Due
from dashboard.standing.weekly import Weekly
from etl.settings import RULES, Rules
from etl.store.marked_weeks import EASY, ILLNESS, PLANNED_INCREASE

Change = tuple[str, tuple[str, str]]


def due_after(w: Weekly, line: int) -> Due | None:
    """The block that has its deload due in the week after."""
    return w.log.due.get(int(w.log.mondays[line]) + 7)


def due_next(w: Weekly, line: int, rules: Rules = RULES) -> list[Change]:
    """What the easy week looks like that is due in the week after."""
    block = due_after(w, line)
    return [(WHOLE, say.easy_due(float(w.against.usual[line, -1]), *rules.deload_to, *block))] if block else []


def not_taken(w: Weekly, line: int) -> list[Change]:
    """A deload that was due in this week, which was trained like any other. A week that a person marked as a planned increase was decided."""
    monday = int(w.log.mondays[line])
    block = w.log.due.get(monday)
    if not block or w.deload[line] or w.log.marked.get(monday) == PLANNED_INCREASE:
        return []
    return [(WHOLE, say.easy_not_taken(float(w.whole[line]), float(w.against.usual[line, -1]), *block))]


def after(w: Weekly, line: int) -> list[Change]:
    """Back to what is usual, after a week that was easy."""
    if not w.deload[line]:
        return []
    monday = int(w.log.mondays[line])
    mark = w.log.marked.get(monday)
    why = mark if mark in EASY else "due" if monday in w.log.due else ""
    return [(WHOLE, say.after_illness() if mark == ILLNESS else say.after_easy(float(w.against.usual[line, -1]), why))]
