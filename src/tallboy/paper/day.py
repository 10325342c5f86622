"""The day sheet: today's steps in order, what ends its wait, and what is promised."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any, Literal

from tallboy.paper.press import check_paper, press
from tallboy.paper.wording import DAY, Translate, as_written, spoken

Pattern = Literal["drying", "soaking", "plain"]


@dataclass(frozen=True)
class AirNow:
    """The air of the shop, each number with its unit as people read it."""

    temperature: str
    humidity: str
    dew_point: str
    wood_settles_at: str
    read_at: str = ""


@dataclass(frozen=True)
class DayStep:
    """One step of the day: when, how long the hands are on it, on which piece, why then, and its cautions."""

    time: str
    minutes: int
    piece: str
    title: str
    why: str = ""
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class DayWait:
    """A wait that ends today: what waits, until when, how sure that is.

    `state` is the word for it (drying, in clamps, soaking); `pattern` says the same in ink.
    """

    what: str
    until: str
    state: str
    spread: str = ""
    piece: str = ""
    pattern: Pattern = "plain"


@dataclass(frozen=True)
class DayPromise:
    """A promise that is near, and how it stands."""

    piece: str
    promised: str
    outlook: str = ""


@dataclass(frozen=True)
class DaySheet:
    """One day's work; dates and times as people read them."""

    date: str
    hands: int = 1
    air: AirNow | None = None
    steps: tuple[DayStep, ...] = ()
    waits: tuple[DayWait, ...] = ()
    promises: tuple[DayPromise, ...] = ()
    shop: str = ""


def day_sheet(
    sheet: DaySheet,
    paper: str = "a4",
    *,
    made_at: datetime,
    language: str = "en",
    translate: Translate = as_written,
) -> bytes:
    """The PDF of a day sheet: one page when it can be, set closer if need be, else as many as it takes."""
    words = spoken(DAY, translate)
    data = {
        "paper": check_paper(paper),
        "words": words,
        "title": f"{words['title']}: {sheet.date}",
        "date": sheet.date,
        "foot": " · ".join(filter(None, (sheet.date, sheet.shop))),
        "hands": str(sheet.hands),
        "air": _air(sheet.air, words),
        "read_at": sheet.air.read_at if sheet.air else "",
        "steps": [{**asdict(step), "minutes": words["minutes"].format(minutes=step.minutes)} for step in sheet.steps],
        "waits": [asdict(wait) for wait in sheet.waits],
        "promises": [asdict(promise) for promise in sheet.promises],
    }
    return press("day", data, {}, made_at, language)


def _air(air: AirNow | None, words: dict[str, str]) -> list[list[Any]]:
    if air is None:
        return []
    return [
        [words["temperature"], air.temperature],
        [words["humidity"], air.humidity],
        [words["dew_point"], air.dew_point],
        [words["wood"], air.wood_settles_at],
    ]
