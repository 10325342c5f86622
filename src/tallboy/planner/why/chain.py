"""Why a step is then and not earlier, and why that is so, back to something real: what has happened, a date, the clock on the wall."""

from __future__ import annotations

from collections.abc import Mapping, Set
from dataclasses import dataclass
from datetime import datetime

from tallboy.planner.network import Planned


@dataclass(frozen=True)
class Why:
    """One link of a chain: a step, and how the chain goes on from it.

    `through` is "because" where the reason of the step names the step of the next link; `beside` are others that it names too, and
    that end no later. Where the reason names none, because only the shop was closed, the next link is what held the step until
    then: "ready" something that it comes after, "busy" what its people did before. "" at the end.
    """

    step: Planned
    beside: tuple[str, ...] = ()
    through: str = ""


Before = Mapping[str, Mapping[str, datetime]]
"""For each step those that it comes after, and until when it must wait for each of them."""

# Rules that only move what was held up to then by something else.
CLOSED = frozenset({"hours", "quiet"})


def chain(steps: Mapping[str, Planned], key: str, before: Before | None = None) -> tuple[Why, ...]:
    """The reasons of a step, back to one that rests on no other step.

    Of several steps that hold it the chain follows the one that ends last. A step that is held only by closing hours is followed back
    to what held it last before them.

    Parameters: steps, the planned steps by key; key, where the chain begins; before, for each step those that it comes after, with
    the time from which each lets it begin.
    Returns: one link for each step, the first for `key`. No step stands in it twice, so it always ends.
    Source: definition.
    """
    links: list[Why] = []
    told: set[str] = set()
    at: str | None = key
    while at is not None:
        planned = steps[at]
        told.add(at)
        asked = [one for one in planned.reason.because if one in steps and one not in told]
        following, through = max(asked, key=lambda one: (steps[one].end, one), default=None), "because"
        if not asked and planned.reason.rule in CLOSED:
            following, through = _held_before(steps, planned, (before or {}).get(at, {}), told)
        beside = tuple(one for one in asked if one != following)
        links.append(Why(planned, beside, through if following is not None else ""))
        at = following
    return tuple(links)


def _held_before(
    steps: Mapping[str, Planned], planned: Planned, before: Mapping[str, datetime], told: Set[str]
) -> tuple[str | None, str]:
    """What let a step begin last of all that had to be over before it: what it comes after, or what its people did."""
    ready = [(until, one, "ready") for one, until in before.items() if one in steps and one not in told]
    people = set(planned.people)
    busy = [
        (other.end, other.key, "busy")
        for other in steps.values()
        if other.end <= planned.start and other.key not in told and not people.isdisjoint(other.people)
    ]
    latest = max(ready + busy, default=None)
    return (latest[1], latest[2]) if latest is not None else (None, "")
