"""The fixed words on the papers, marked for translation; whoever prints passes `translate` (gettext, or nothing)."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

Translate = Callable[[str], str]


def as_written(text: str) -> str:
    """The translation that changes nothing: papers in English."""
    return text


def gettext_noop(text: str) -> str:
    """Mark text for the translators' catalogue; it is translated later, when a paper is printed."""
    return text


COMMON: Final = {
    "page": gettext_noop("page {page} of {pages}"),
    "caution": gettext_noop("Caution"),
    "cautions": gettext_noop("Cautions"),
    "missing": gettext_noop("missing"),
    "date": gettext_noop("Date"),
    "notes": gettext_noop("Notes"),
    "number": gettext_noop("No."),
    "shrunk": gettext_noop("Shrunk to fit this paper: not to scale."),
    "position": gettext_noop("Position"),
    "screws": gettext_noop("Screws"),
    "whereabouts": gettext_noop("Where it is now"),
    "no_positions": gettext_noop("No positions are recorded."),
}

TAGS: Final = {
    "title": gettext_noop("Tags"),
    "screw_count": gettext_noop("screws: {count}"),
    "code": gettext_noop("Code that opens the page of {part}"),
}

TAKE_DOWN: Final = {
    "title": gettext_noop("Take-down record"),
    "taken_in": gettext_noop("Taken in"),
    "owner": gettext_noop("Whose it is"),
    "promised": gettext_noop("Promised for"),
    "size": gettext_noop("Width × height × depth"),
    "woods": gettext_noop("Woods"),
    "old_finish": gettext_noop("Old finish"),
    "age": gettext_noop("Age"),
    "spot_tests": gettext_noop("Spot tests"),
    "liquid": gettext_noop("Liquid"),
    "where": gettext_noop("Where"),
    "result": gettext_noop("What it did"),
    "no_tests": gettext_noop("No spot test was made."),
    "faults": gettext_noop("Faults"),
    "no_faults": gettext_noop("No faults were found."),
    "positions": gettext_noop("Positions and what came off"),
    "came_off": gettext_noop("What came off"),
    "condition": gettext_noop("Condition"),
    "decision": gettext_noop("To do"),
    "photos": gettext_noop("Photograph"),
    "taken_off_by": gettext_noop("Taken off by"),
    "seen_by": gettext_noop("Seen by the owner"),
}

DAY: Final = {
    "title": gettext_noop("Day sheet"),
    "hands": gettext_noop("Hands"),
    "read_at": gettext_noop("Air read at"),
    "temperature": gettext_noop("Air now"),
    "humidity": gettext_noop("Relative humidity"),
    "dew_point": gettext_noop("Dew point"),
    "wood": gettext_noop("Wood settles at"),
    "no_air": gettext_noop("No reading of the air yet."),
    "steps": gettext_noop("Steps, in order"),
    "done": gettext_noop("Done"),
    "time": gettext_noop("From"),
    "hands_on": gettext_noop("Hands on"),
    "step": gettext_noop("Step"),
    "minutes": gettext_noop("{minutes} min"),
    "no_steps": gettext_noop("Nothing is planned for today."),
    "waits": gettext_noop("Waits that end today"),
    "until": gettext_noop("Until"),
    "wait": gettext_noop("What waits"),
    "state": gettext_noop("How"),
    "no_waits": gettext_noop("No wait ends today."),
    "promises": gettext_noop("Promises soon"),
    "promised": gettext_noop("Promised for"),
    "piece": gettext_noop("Piece"),
    "outlook": gettext_noop("How it stands"),
    "no_promises": gettext_noop("No promise is near."),
}

PUT_BACK: Final = {
    "title": gettext_noop("Put-back list"),
    "positions": gettext_noop("Every position and its part"),
    "back_on": gettext_noop("Back on"),
    "part": gettext_noop("Part"),
    "count": gettext_noop("positions: {all} · back on: {fitted} · missing: {missing}"),
    "fitted_by": gettext_noop("Put back by"),
    "checked_by": gettext_noop("Checked by"),
}


def spoken(words: Mapping[str, str], translate: Translate) -> dict[str, str]:
    """The words of one paper together with the common ones, translated."""
    return {key: translate(text) for key, text in {**COMMON, **words}.items()}
