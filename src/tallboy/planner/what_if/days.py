"""Days and hours of a problem: which are open, which are closed, what a usual day is like, and days in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from datetime import date, datetime, time, timedelta, tzinfo

from tallboy.planner.network import Problem, Span

Spans = tuple[Span, ...]
DAY = timedelta(days=1)


def next_closed(problem: Problem, count: int, until: datetime) -> tuple[date, ...]:
    """The next `count` days from now to `until` on which the shop is closed; fewer when there are not so many."""
    return tuple(_closed(problem, until))[:count]


def closed_weekdays(problem: Problem, weekday: int) -> tuple[date, ...]:
    """Every closed day of this weekday (0 is Monday) from now to the end of the hours given."""
    end = max((b for _, b in problem.working), default=problem.now)
    return tuple(day for day in _closed(problem, end) if day.weekday() == weekday)


def usual_day(spans: Spans, problem: Problem) -> tuple[tuple[timedelta, timedelta], ...]:
    """The commonest day among these hours, as (from, to) after midnight by the clock; today counts only if there is no other."""
    zone = problem.now.tzinfo
    days = by_day(spans, zone)
    today = days.pop(problem.now.date(), None)
    days = days or ({problem.now.date(): today} if today else {})
    shapes = Counter(tuple(_after_midnight(day, span) for span in of_day) for day, of_day in days.items())
    return shapes.most_common(1)[0][0] if shapes else ()


def day_words(day: date) -> str:
    """A day in words: "Fri 12 Jun"."""
    return f"{day:%a} {day.day} {day:%b}"


def listed(words: list[str]) -> str:
    """Several words as one phrase."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else "no day"


def _closed(problem: Problem, until: datetime) -> Iterable[date]:
    zone = problem.now.tzinfo
    there = set(by_day(problem.working, zone))
    days = (until.astimezone(zone).date() - problem.now.date()).days
    ahead = (problem.now.date() + k * DAY for k in range(days + 1))
    return (day for day in ahead if day not in there)


def by_day(spans: Spans, zone: tzinfo | None) -> dict[date, list[Span]]:
    """The spans in order by the day on which they begin, in this zone."""
    days: dict[date, list[Span]] = {}
    for a, b in sorted(spans, key=lambda span: span[0].timestamp()):
        opens, closes = a.astimezone(zone), b.astimezone(zone)
        days.setdefault(opens.date(), []).append((opens, closes))
    return days


def _after_midnight(day: date, span: Span) -> tuple[timedelta, timedelta]:
    midnight = datetime.combine(day, time())
    return span[0].replace(tzinfo=None) - midnight, span[1].replace(tzinfo=None) - midnight


def at(day: date, part: tuple[timedelta, timedelta], zone: tzinfo | None) -> Span:
    """A stretch of a day, given as (from, to) after midnight."""
    midnight = datetime.combine(day, time(), tzinfo=zone)
    return midnight + part[0], midnight + part[1]


def length(spans: Spans) -> float:
    """Length of all stretches [h]."""
    return sum((b.timestamp() - a.timestamp()) / 3600 for a, b in spans)
