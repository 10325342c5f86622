"""What must not be touched before old paint was tested for lead."""

from __future__ import annotations

from collections.abc import Iterable

from django.utils.translation import gettext as _

from tallboy.drawers.pieces.models import Step
from tallboy.tables import load
from tallboy.work.route import LEAD_TEST_KEY
from tallboy.work.words import STIRS_PAINT


def is_lead_test(step: Step) -> bool:
    """Whether this is the step in which the old paint is tested."""
    return step.key == LEAD_TEST_KEY


def stirs_paint(step: Step) -> bool:
    """Work that rubs at old paint or makes dust of it. A coat laid on it, or a scuff sanding of that coat, does not."""
    return step.window_of_id is None and (step.dusty or step.does in STIRS_PAINT)


def lead_stops(step: Step) -> bool:
    """Whether a step must not begin yet: it stirs old paint that nobody has tested for lead."""
    return step.piece.lead_unknown and stirs_paint(step)


def lead_caution() -> str:
    """The trade's caution about lead in old paint."""
    return str(next(row["text"] for row in load("cautions")["cautions"] if row["key"] == "lead"))


def untested(steps: Iterable[Step], edges: Iterable[tuple[int, int]]) -> dict[int, str]:
    """The steps still to do that stir untested paint and that no test is planned before, each with why it cannot be planned.

    `edges` are the pairs (first, then) of steps that follow each other. Behind a test that is still to come the plan may go on.
    """
    steps = list(steps)
    behind = _behind((step.pk for step in steps if step.open and is_lead_test(step)), edges)
    text = _(
        "The old paint has not been tested for lead, and no test is planned before it. Test it and record the result."
    )
    return {
        step.pk: text for step in steps if step.state == Step.State.TO_DO and step.pk not in behind and lead_stops(step)
    }


def _behind(first: Iterable[int], edges: Iterable[tuple[int, int]]) -> set[int]:
    """All that follows some steps, whatever lies between."""
    after: dict[int, list[int]] = {}
    for before, then in edges:
        after.setdefault(before, []).append(then)
    found: set[int] = set()
    ahead = list(first)
    while ahead:
        for then in after.get(ahead.pop(), ()):
            if then not in found:
                found.add(then)
                ahead.append(then)
    return found
