"""What a user is told when something cannot be done: what, where, and what to do."""

from __future__ import annotations


class Refusal(Exception):
    """A request that is refused in words.

    what: what is wrong. where: the file, row, column or option it is about ("" if none).
    do: what the user can do next. `str()` gives the three as one message. field: the field of a form that it is about, so that
    the form can say it there ("" if none).
    """

    def __init__(self, what: str, where: str = "", do: str = "", field: str = "") -> None:
        self.what, self.where, self.do, self.field = what, where, do, field
        super().__init__(what)

    def __str__(self) -> str:
        place = f" ({self.where})" if self.where else ""
        return f"{self.what}{place}. {self.do}".strip()


class Question(Refusal):
    """A refusal that one answer lifts: both readings fit, and the user has to say which."""
