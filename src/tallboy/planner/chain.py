"""Why a step is then and not earlier, and why that is so, back to something real: what has happened, a date, the clock on the wall."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tallboy.planner.network import Planned


@dataclass(frozen=True)
class Why:
    """One link of a chain: a step, and which others its reason is about. The next link is one of them, or of `readied`.

    `beside` are the others: each of them alone would not have held it longer. `through` says how the chain goes on: "because" the reason
    names the step of the next link, or "ready": the reason names none (the shop was closed), and the next link is what the step
    came after before that. "" at the end.
    """

    step: Planned
    beside: tuple[str, ...] = ()
    through: str = ""


# Rules that only move what was held up to then by something else.
CLOSED = frozenset({"hours", "quiet"})


def chain(
    steps: Mapping[str, Planned], key: str, before: Mapping[str, tuple[str, ...]] | None = None
) -> tuple[Why, ...]:
    """The reasons of a step, back to one that rests on no other step.

    Of several steps that hold it the chain follows the one that ends last. A step that is held only by closing hours is followed back
    to what it comes after, when that ended in the stretch of work before.

    Parameters: steps, the planned steps by key; key, where the chain begins; before, for each step those it comes after.
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
        through = "because" if asked else ""
        if not asked and planned.reason.rule in CLOSED:
            asked = [one for one in _last(steps, (before or {}).get(at, ())) if one not in told]
            through = "ready" if asked else ""
        at = max(asked, key=lambda one: (steps[one].end, one), default=None)
        links.append(Why(planned, tuple(one for one in asked if one != at), through))
    return tuple(links)


def _last(steps: Mapping[str, Planned], before: tuple[str, ...]) -> list[str]:
    """The last of the steps that come before, of those in the plan."""
    known = [one for one in before if one in steps]
    return [max(known, key=lambda one: (steps[one].end, one))] if known else []
