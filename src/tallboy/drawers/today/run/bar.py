"""How far a run is as a drawing: finishing times of the first plan, of the best so far, and what no plan can undercut."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from typing import Any

from django.utils.translation import gettext as _

from tallboy.sums.units import format_minutes

WIDTH, LEFT, ROW, BAR, TEXT = 360, 2, 46, 16, 13


def draw(told: dict[str, Any]) -> str:
    """Three bars under each other, each with its words; nothing before there is a plan."""
    if not told:
        return ""
    rows = [
        (_("first plan"), told["first"]["finishing"] + told["first"]["late_minutes"], "plan-drying"),
        (_("best so far"), told["finishing"] + told["late_minutes"], "plan-hands"),
        (_("no plan can be below"), told["bound"], "plan-missing"),
    ]
    longest = max((minutes for _name, minutes, _kind in rows), default=0.0) or 1.0
    label = _("Lateness and finishing times of all pieces together; the same stands below in words")
    body = "".join(part for index, row in enumerate(rows) for part in _row(index, row, longest))
    return f'<svg class="run-bar" viewBox="0 0 {WIDTH} {ROW * len(rows)}" role="img" aria-label="{escape(label)}">{body}</svg>'


def _row(index: int, row: tuple[str, float, str], longest: float) -> Iterator[str]:
    name, minutes, kind = row
    y, width = ROW * index, max(2.0, (WIDTH - 2 * LEFT) * minutes / longest)
    text = escape(f"{name}: {format_minutes(round(minutes))}")
    yield f'<text class="plan-text" x="{LEFT}" y="{y + TEXT}" font-size="{TEXT}">{text}</text>'
    yield f'<rect class="{kind}" x="{LEFT}" y="{y + TEXT + 6}" width="{width:.1f}" height="{BAR}"/>'
