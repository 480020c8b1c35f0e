"""Clients as the cells of a table: all of it text, but for the picture of the weeks."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from dashboard.sentences import clients as say

HEADINGS = {"trained": "Last trained", "done": "In the week", "weeks": "Last eight weeks", "why": "Why to look, and what changed"}


def client_rows(clients: Sequence[Any], today: bool, unit_of: Callable[[str], str]) -> list[dict[str, Any]]:
    """One dict a client (of queries.clients): the keys of HEADINGS, `name`, and `opens`, the Monday that its name leads to.

    `why` is a list of (title, sentence); where there is no reason, one sentence without a title. unit_of: an athlete -> the unit of their loads; asked
    where a sentence of ours holds a load.
    """
    return [{"name": one.athlete, "opens": one.opens.isoformat(), "trained": say.last_trained(one.days_ago, one.last_trained, today),
             "done": say.done(one.sessions, one.hard_sets, one.usual, one.planned), "weeks": one.weeks,
             "why": [(say.TITLES[reason.kind], say.in_their_unit(reason.kind, reason.text, one.athlete, unit_of)) for reason in one.reasons] or [("", say.QUIET)]} for one in clients]
