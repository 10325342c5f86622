"""What a logger's file may leave open, the questions asked then, and the lines that cannot be read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from tallboy.errors import BadFile, BadInput

SHOWN = 20
"""So many bad lines are listed; the rest are counted."""


@dataclass(frozen=True)
class Answers:
    """What the person says where the file leaves something open; None leaves it to the file.

    unit: "C" or "F". dates: "day-first" or "month-first". clock: "moved" (with the clocks at a change of summer time) or "kept".
    Columns: their heading, or their number from 1. leave_out_bad: take in the good lines and leave the bad ones out.
    """

    unit: str | None = None
    dates: str | None = None
    clock: str | None = None
    time_column: str | None = None
    temperature_column: str | None = None
    humidity_column: str | None = None
    leave_out_bad: bool = False


@dataclass(frozen=True)
class Question:
    """One thing the file leaves open: `key` is the field of Answers, `accepted` the answers with their meaning."""

    key: str
    text: str
    accepted: tuple[tuple[str, str], ...]


class Ask(BadInput):
    """The file can be read in more than one way. `questions` says what must be answered before anything is taken in."""

    def __init__(self, questions: Sequence[Question], message: str = "") -> None:
        self.questions = tuple(questions)
        listed = " ".join(f"{q.key}: {', '.join(value for value, _meaning in q.accepted)}." for q in questions)
        texts = " ".join(question.text for question in questions)
        super().__init__(message or texts, _("Answers accepted: %(answers)s") % {"answers": listed})


class BadLines(BadFile):
    """Lines that cannot be read: the first of them with the reason, and how many there are. Nothing was taken in."""

    def __init__(self, lines: Sequence[tuple[int, str]], count: int, good: int) -> None:
        self.lines = tuple(lines)
        self.count = count
        self.good = good
        head = ngettext(
            "%(count)d line cannot be read, so nothing was taken in.",
            "%(count)d lines cannot be read, so nothing was taken in.",
            count,
        ) % {"count": count}
        told = " ".join(_("Line %(number)d: %(why)s") % {"number": number, "why": why} for number, why in lines)
        super().__init__(
            f"{head} {told}", _("Mend them in the file, or have them left out; %(good)d are good.") % {"good": good}
        )
