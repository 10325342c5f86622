"""Who could do a step, and in which hours: what the planner is asked must be possible at all."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, timedelta
from functools import cache
from itertools import combinations

from tallboy.drawers.today.gathering.calendar import Calendar
from tallboy.planner import network

Spans = tuple[network.Span, ...]
MINUTE = timedelta(minutes=1)
# Of so many people alike as this, every crew of two or three is looked at; of more, only the first ones.
MOST_LOOKED_AT = 8


class Crews:
    """The crews that a shop has for a step, and the stretches in which they are all at work in its place."""

    def __init__(self, calendar: Calendar) -> None:
        self._people = calendar.people
        self._working = _whole(calendar.working)
        self._quiet = _whole(calendar.quiet)
        self._places = {place.key: place for place in calendar.places}
        self.stretches = cache(self._stretches)
        self._hours = cache(self._hours_of)

    def able(self, only: Iterable[str] = ()) -> tuple[network.Person, ...]:
        """Those who may do a step that only some may do (`only`: their keys); everybody where it is empty."""
        keys = set(only)
        return tuple(person for person in self._people if not keys or person.key in keys)

    def _stretches(self, place: str, noisy: bool, hands: int, skill: str, only: tuple[str, ...]) -> tuple[Spans, int]:
        """The stretches of the crew whose longest one is the longest, and how long that is [min]; none where there is nobody."""
        found = [self._hours(crew, place, noisy) for crew in self._crews(hands, skill, only)]
        return max(((spans, longest(spans)) for spans in found), key=lambda each: each[1], default=((), 0))

    def _crews(self, hands: int, skill: str, only: tuple[str, ...]) -> Iterable[tuple[network.Person, ...]]:
        able = self.able(only)
        if skill and len(able) > MOST_LOOKED_AT:
            able = tuple(sorted(able, key=lambda person: skill not in person.skills))
        for crew in combinations(able[:MOST_LOOKED_AT], min(hands, MOST_LOOKED_AT)):
            if not skill or not crew or any(skill in person.skills for person in crew):
                yield crew

    def _hours_of(self, crew: tuple[network.Person, ...], place: str, noisy: bool) -> Spans:
        spans = self._working if not crew or any(person.hours is None for person in crew) else None
        for person in crew:
            if person.hours is not None:
                spans = _whole(person.hours) if spans is None else common(spans, _whole(person.hours))
        found = spans or ()
        where = self._places.get(place)
        if where is not None and where.hours is not None:
            found = common(found, _whole(where.hours))
        return _without(found, self._quiet) if noisy else found


def longest(spans: Iterable[network.Span]) -> int:
    """The longest of the spans [min], 0 where there is none."""
    return max((round((end - start) / MINUTE) for start, end in spans), default=0)


def common(some: Sequence[network.Span], others: Sequence[network.Span]) -> Spans:
    """What two rows of spans have in common; both in order, none touching another of its row."""
    found: list[network.Span] = []
    i = j = 0
    while i < len(some) and j < len(others):
        start, end = max(some[i][0], others[j][0]), min(some[i][1], others[j][1])
        if start < end:
            found.append((start, end))
        if some[i][1] <= others[j][1]:
            i += 1
        else:
            j += 1
    return tuple(found)


def fits(stretches: Sequence[network.Span], air: Sequence[network.Span], minutes: int, after: int) -> bool:
    """Whether some stretch of work has room for so many minutes with the air right from their start until `after` minutes later."""
    work, dry = minutes * MINUTE, after * MINUTE
    i = j = 0
    while i < len(stretches) and j < len(air):
        start = max(stretches[i][0], air[j][0])
        if start + work <= stretches[i][1] and start + work + dry <= air[j][1]:
            return True
        if stretches[i][1] <= air[j][1]:
            i += 1
        else:
            j += 1
    return False


def _whole(spans: Iterable[network.Span]) -> Spans:
    """The spans in UTC and in order, those that touch made one."""
    found: list[network.Span] = []
    for start, end in sorted((start.astimezone(UTC), end.astimezone(UTC)) for start, end in spans):
        if found and start <= found[-1][1]:
            found[-1] = found[-1][0], max(end, found[-1][1])
        else:
            found.append((start, end))
    return tuple(found)


def _without(spans: Spans, quiet: Spans) -> Spans:
    """The spans with the quiet hours cut out."""
    found = list(spans)
    for begins, ends in quiet:
        cut: list[network.Span] = []
        for start, end in found:
            if ends <= start or end <= begins:
                cut.append((start, end))
                continue
            cut += [(start, begins)] if start < begins else []
            cut += [(ends, end)] if ends < end else []
        found = cut
    return tuple(found)
