"""A piece's path as a drawing: boxes from left to right, one thread below the other, waits between them. Plain data in, SVG text out."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from html import escape

from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format

from tallboy.drawers.today.show.path import Gap, Node
from tallboy.drawers.today.show.strip import shortened
from tallboy.sums.units import format_minutes

ACROSS, TOP, STUB, BOX, HIGH, GAP, BELOW = 4, 18, 60, 186, 76, 62, 32
LETTERS, LINES = 22, 2
WIDTH = STUB + ACROSS * BOX + (ACROSS - 1) * GAP + 12


def draw(threads: Sequence[Sequence[Node]], after_word: str) -> str:
    """The threads as SVG. Every box leads to why its step is then; the table below it has the same links."""
    body: list[str] = []
    at = 0
    for thread in threads:
        # A thread that fits into what is left of a line goes on there; its first box has no line into it.
        if at % ACROSS and at % ACROSS + len(thread) > ACROSS:
            at += ACROSS - at % ACROSS
        for node in thread:
            body += _node(
                node, STUB + at % ACROSS * (BOX + GAP), TOP + at // ACROSS * (HIGH + BELOW), at % ACROSS, after_word
            )
            at += 1
    height = TOP + -(-at // ACROSS) * (HIGH + BELOW)
    return f'<svg viewBox="0 0 {WIDTH} {height}" aria-hidden="true" focusable="false">{"".join(body)}</svg>'


def _node(node: Node, x: int, y: int, column: int, after_word: str) -> Iterator[str]:
    if node.gap is not None:
        yield from _gap(node.gap, x, y, GAP if column else STUB - 12, node.holds)
    look = "path-done" if node.past else "path-now" if node.running else "path-ahead"
    if node.start is None:
        look = "plan-missing"
    yield f'<a href="{reverse("today:why", args=[node.step.pk])}" tabindex="-1">'
    yield f'<rect class="{look}{" path-holds" if node.holds else ""}" x="{x}" y="{y}" width="{BOX}" height="{HIGH}"/>'
    for count, text in enumerate(_title(node)):
        yield f'<text class="plan-text" x="{x + 20}" y="{y + 22 + 17 * count}" font-size="14">{escape(text)}</text>'
    yield f'<text class="plan-text plan-soft" x="{x + 20}" y="{y + HIGH - 11}" font-size="13">{escape(_when(node))}</text></a>'
    yield f'<circle class="el-pos" cx="{x}" cy="{y + 18}" r="13"/>'
    yield f'<text class="plan-text" x="{x}" y="{y + 23}" font-size="13" text-anchor="middle">{node.number}</text>'
    if node.after:
        numbers = ", ".join(str(number) for number in node.after)
        yield f'<text class="plan-text plan-soft" x="{x + BOX}" y="{y - 4}" font-size="12" text-anchor="end">{escape(after_word)} {numbers}</text>'


def _title(node: Node) -> list[str]:
    lines = textwrap.wrap(node.step.title, LETTERS)
    return lines if len(lines) <= LINES else [*lines[: LINES - 1], shortened(" ".join(lines[LINES - 1 :]), LETTERS)]


def _when(node: Node) -> str:
    if node.start is None:
        return ""
    tick = "✓ " if node.past else ""
    return tick + str(date_format(timezone.localtime(node.start), "D j M H:i"))


def _gap(gap: Gap, x: int, y: int, width: int, holds: bool) -> Iterator[str]:
    """From the box before, or where it stands at the end of the line above, from the edge."""
    middle = y + HIGH // 2
    line = "path-line path-holds" if holds else "path-line"
    yield f'<path class="{line}" d="M{x - width} {middle}h{width}"/>'
    if gap.kind:
        yield f'<rect class="plan-{gap.kind}" x="{x - width + 4}" y="{middle - 10}" width="{width - 17}" height="20"/>'
        text = escape(_short_span(gap.minutes))
        yield f'<text class="plan-text" x="{x - 16}" y="{middle + 26}" font-size="12" text-anchor="end">{text}</text>'


def _short_span(minutes: int) -> str:
    """A span that fits into a gap: days where it is long."""
    days = minutes / (24 * 60)
    return f"{days:.1f} d" if days >= 2 else format_minutes(minutes)
