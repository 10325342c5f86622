"""The answer to a what-if in words and as plain data, for the command line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from tallboy.book.doing import By
from tallboy.drawers.today.what_if.answer import Answer, PieceRow, Question, Side
from tallboy.drawers.today.what_if.form import WhatIfForm
from tallboy.errors import BadInput
from tallboy.sums.units import format_minutes

WIDTH = 26


def question_of(by: By, typed: Mapping[str, str]) -> Question:
    """The question that is typed, checked as on the page. Raises BadInput naming what is wrong, or that nothing is asked."""
    form = WhatIfForm(dict(typed), shop=by.shop, now=by.at)
    if not form.is_valid():
        name, errors = next(iter(form.errors.items()))
        label = form.fields[name].label if name in form.fields else ""
        raise BadInput(f"{label}: {errors[0]}", _("See `tallboy what-if --help`."))
    question = form.question()
    if not question.asks:
        raise BadInput(
            _("Nothing was asked."), _("For example: tallboy what-if --hands 1. See `tallboy what-if --help`.")
        )
    return question


def answer_data(answer: Answer) -> dict[str, Any]:
    """Both plans' promises and finishing times as plain data."""
    return {
        "asked": list(answer.changes),
        "now": _side_data(answer.now, answer.minutes_now),
        "then": _side_data(answer.then, answer.minutes_then),
        "added_minutes": answer.added,
        "pieces": [_piece_data(row) for row in answer.pieces],
        "moved_steps": answer.moved,
    }


def _side_data(side: Side, minutes: int) -> dict[str, Any]:
    plan = side.plan
    if plan is None:
        return {"plan": None, "why": side.why_not}
    return {
        "status": plan.status,
        "gap": plan.gap,
        "hands_on_minutes": minutes,
        "missed_promises": sum(kept.late_minutes > 0 for kept in plan.promises),
        "warnings": [*side.troubles, *(missed.text for missed in plan.missed_windows)],
    }


def _piece_data(row: PieceRow) -> dict[str, Any]:
    return {
        "piece": row.number or None,
        "name": row.name,
        "promised": row.promised.date().isoformat() if row.promised else None,
        "finish_now": row.now.isoformat() if row.now else None,
        "finish_then": row.then.isoformat() if row.then else None,
        "days_late_now": row.late_now,
        "days_late_then": row.late_then,
        "days_gained": row.gained,
    }


def answer_lines(answer: Answer) -> list[str]:
    """Both plans as lines to read: each piece with its promise, now, then, and what is gained."""
    lines = [_("If: %(change)s") % {"change": change} for change in answer.changes]
    lines += [
        words % {"why": side.why_not}
        for words, side in (
            (_("As it is there is no plan: %(why)s"), answer.now),
            (_("Then there is no plan: %(why)s"), answer.then),
        )
        if side.plan is None
    ]
    head = (_("piece"), _("promised"), _("as it is"), _("then"), "")
    rows = [
        (row.name[:WIDTH], _day(row.promised), _told(row.now, row.late_now), _told(row.then, row.late_then), row.gain)
        for row in answer.pieces
    ]
    lines += _columns([head, *rows]) if rows else []
    if answer.added:
        lines.append(_("Worked in the added hours or hands: %(time)s") % {"time": format_minutes(answer.added)})
    return [*lines, _("Only a question: nothing is changed by it.")]


def _columns(rows: Sequence[tuple[str, ...]]) -> list[str]:
    """Rows below each other, each column as wide as its widest word."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return ["  ".join(f"{text:{width}}" for text, width in zip(row, widths, strict=True)).rstrip() for row in rows]


def _day(moment: datetime | None) -> str:
    return str(date_format(moment, "D j M")) if moment else "–"


def _told(finish: datetime | None, late: int) -> str:
    if finish is None:
        return "–"
    day = str(date_format(finish, "D j M H:i"))
    return f"{day} ({ngettext('%(n)s day late', '%(n)s days late', late) % {'n': late}})" if late else day
