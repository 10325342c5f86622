"""Who can do a step and when: people grouped into teams, crews put together from them, the hours they have in common."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC
from itertools import islice

from tallboy.planner.network import Person, Place, Problem, Span, Step
from tallboy.planner.slots.grid import Clock, Slots, Team, Way, Window, Windows

MOST_WAYS = 40
MOST_CREWS = 2000
FAR = 1 << 40
Spans = tuple[Slots, ...]


def people_of(problem: Problem) -> tuple[Person, ...]:
    """The people named, or as many alike as there are hands, with the keys "1", "2", …"""
    return problem.people or tuple(Person(str(k + 1)) for k in range(problem.hands))


def merged(working: Sequence[Span]) -> tuple[Span, ...]:
    """Hours in UTC and in order, those that touch or overlap made one."""
    spans: list[Span] = []
    for start, end in sorted((a.astimezone(UTC), b.astimezone(UTC)) for a, b in working):
        if spans and start <= spans[-1][1]:
            spans[-1] = (spans[-1][0], max(end, spans[-1][1]))
        else:
            spans.append((start, end))
    return tuple(spans)


def slot_spans(hours: Sequence[Span], clock: Clock, first_slot: int) -> Spans:
    """Hours in whole slots, from `first_slot` on."""
    spans = [(max(clock.ceil(start), first_slot), clock.floor(end)) for start, end in merged(hours)]
    return tuple((start, end) for start, end in spans if start < end)


def shut_slots(hours: Sequence[Span], clock: Clock, first_slot: int) -> Spans:
    """Every slot that hours touch at all, from `first_slot` on: for hours in which something must not be."""
    spans = [(max(clock.floor(start), first_slot), clock.ceil(end)) for start, end in merged(hours)]
    return tuple((start, end) for start, end in spans if start < end)


def teams_of(problem: Problem, clock: Clock, first_slot: int) -> tuple[Team, ...]:
    """People with the same hours and skills, whom every step that names people names together, as one team."""
    spans: dict[tuple[Span, ...] | None, Spans] = {}
    naming: dict[str, set[str]] = {}
    for step in problem.steps:
        for key in step.people:
            naming.setdefault(key, set()).add(step.key)
    groups: dict[tuple[Spans, frozenset[str], frozenset[str]], list[str]] = {}
    for person in people_of(problem):
        if person.hours not in spans:
            hours = problem.working if person.hours is None else person.hours
            spans[person.hours] = slot_spans(hours, clock, first_slot)
        alike = (spans[person.hours], person.skills, frozenset(naming.get(person.key, ())))
        groups.setdefault(alike, []).append(person.key)
    return tuple(Team(tuple(keys), skills, hours) for (hours, skills, _), keys in groups.items())


def common(one: Spans, other: Spans) -> Spans:
    """The slots that lie in both."""
    found: list[Slots] = []
    i = k = 0
    while i < len(one) and k < len(other):
        start, end = max(one[i][0], other[k][0]), min(one[i][1], other[k][1])
        if start < end:
            found.append((start, end))
        if one[i][1] < other[k][1]:
            i += 1
        else:
            k += 1
    return tuple(found)


def without(spans: Spans, closed: Spans) -> Spans:
    """The slots of `spans` that lie in none of `closed`."""
    shut = both(closed, ())
    edges = [edge for span in shut for edge in span]
    ends = [-FAR, *edges, FAR]
    return common(spans, tuple(zip(ends[::2], ends[1::2], strict=True)))


def both(one: Spans, other: Spans) -> Spans:
    """The slots that lie in either, in order and without overlap."""
    found: list[Slots] = []
    for start, end in sorted(one + other):
        if found and start <= found[-1][1]:
            found[-1] = (found[-1][0], max(end, found[-1][1]))
        else:
            found.append((start, end))
    return tuple(found)


@dataclass
class Ways:
    """Works out the ways of every step of a problem; what many steps share is worked out once."""

    problem: Problem
    clock: Clock
    first_slot: int
    teams: tuple[Team, ...]
    _places: dict[str, Place] = field(default_factory=dict)
    _hours: dict[tuple[tuple[int, ...], str, bool], Spans] = field(default_factory=dict)
    _windows: dict[tuple[int, int, int, bool], Windows] = field(default_factory=dict)
    _crews: dict[tuple[int, str, tuple[str, ...]], tuple[tuple[tuple[int, int], ...], ...]] = field(
        default_factory=dict
    )

    def __post_init__(self) -> None:
        self._places = {place.key: place for place in self.problem.places}
        self._working = slot_spans(self.problem.working, self.clock, self.first_slot)
        self._quiet = shut_slots(self.problem.quiet, self.clock, self.first_slot)

    def of(self, step: Step, slots: int, fit: Spans | None, fit_after: int) -> tuple[Way, ...]:
        """The ways of a step, the crew with the most hours first. `fit` and `fit_after` say when the air suits it."""
        chunk = min(self.clock.length(step.least_chunk), slots)
        ways = [self._way(step, crew, slots, chunk) for crew in self.crews(step)]
        ways = [way for way in ways if way.windows]
        ways.sort(key=lambda way: (-sum(b - a for a, b in way.spans), way.crew))
        return tuple(
            replace(way, starts=suited(way.windows, slots, fit, fit_after)) if fit is not None else way
            for way in ways[:MOST_WAYS]
        )

    def crews(self, step: Step) -> tuple[tuple[tuple[int, int], ...], ...]:
        """Every crew that has the hands and the skill a step asks for."""
        asked = (step.hands, step.skill, step.people)
        if asked not in self._crews:
            able = [
                (index, len(team.people))
                for index, team in enumerate(self.teams)
                if not step.people or set(team.people) <= set(step.people)
            ]
            crews = islice(_picked(able, step.hands), MOST_CREWS)
            self._crews[asked] = tuple(crew for crew in crews if self._skilled(crew, step))
        return self._crews[asked]

    def _skilled(self, crew: tuple[tuple[int, int], ...], step: Step) -> bool:
        return not step.skill or not step.hands or any(step.skill in self.teams[team].skills for team, _ in crew)

    def _way(self, step: Step, crew: tuple[tuple[int, int], ...], slots: int, chunk: int) -> Way:
        teams = tuple(team for team, _ in crew)
        loud = self._common_hours(teams, step.place, noisy=False)
        spans = self._common_hours(teams, step.place, noisy=True) if step.noisy and self._quiet else loud
        windows = self._starts(spans, slots, chunk, step.split)
        over_quiet = windows if spans is loud else self._starts(loud, slots, chunk, step.split)
        return Way(crew, spans, windows, over_quiet, windows)

    def _common_hours(self, teams: tuple[int, ...], place: str, *, noisy: bool) -> Spans:
        asked = (teams, place if place in self._places else "", noisy)
        if asked not in self._hours:
            spans = self.teams[teams[0]].spans if teams else self._working
            for team in teams[1:]:
                spans = common(spans, self.teams[team].spans)
            found = self._places.get(place)
            if found is not None and found.hours is not None:
                spans = common(spans, slot_spans(found.hours, self.clock, self.first_slot))
            self._hours[asked] = without(spans, self._quiet) if noisy else spans
        return self._hours[asked]

    def _starts(self, spans: Spans, slots: int, chunk: int, split: bool) -> Windows:
        # By identity: hours are kept in `_hours`, and comparing a year of them would cost more than working them out.
        asked = (id(spans), slots, chunk if split else 0, split)
        if asked not in self._windows:
            self._windows[asked] = windows_in(spans, slots, chunk, split)
        return self._windows[asked]


def _picked(able: Sequence[tuple[int, int]], hands: int) -> Iterator[tuple[tuple[int, int], ...]]:
    """Every choice of `hands` people from teams of so many each."""
    if hands == 0:
        yield ()
        return
    for at, (team, count) in enumerate(able):
        for taken in range(min(count, hands), 0, -1):
            yield from (((team, taken), *rest) for rest in _picked(able[at + 1 :], hands - taken))


def suited(windows: Windows, slots: int, fit: Spans, after: int) -> Windows:
    """The parts of the windows from which a step, and `after` slots more, lie within one span of fit air."""
    found = []
    for window in windows:
        need = slots + window.gap + after
        first = bisect_left(fit, window.lo + need, key=lambda span: span[1])
        for a, b in fit[first:]:
            if a > window.hi:
                break
            found.append(Window(max(window.lo, a), min(window.hi, b - need), window.gap))
    return Windows(sorted((one for one in found if one.lo <= one.hi), key=lambda window: window.lo))


def windows_in(spans: Spans, slots: int, chunk: int, split: bool) -> Windows:
    """The starts within hours: whole within one stretch or, if it may be split, cut only where the stretches end."""
    windows: list[Window] = []
    for k, (start, end) in enumerate(spans):
        if split:
            windows += _cut_windows(slots, chunk, k, spans)
        if end - start >= slots:
            windows.append(Window(start, end - slots, 0))
    return Windows(sorted(windows, key=lambda window: window.lo))


def _cut_windows(slots: int, chunk: int, k: int, spans: Spans) -> list[Window]:
    """Starts in stretch k that end in a later one. Stretches shorter than a chunk are sat out."""
    start, end = spans[k]
    windows = []
    between = 0
    for later_start, later_end in spans[k + 1 :]:
        if between + 2 * chunk > slots:
            break
        length = later_end - later_start
        if length < chunk:
            continue
        most_before = min(end - start, slots - between - chunk)
        least_before = max(chunk, slots - between - length)
        if least_before <= most_before:
            windows.append(Window(end - most_before, end - least_before, later_start - end - between))
        between += length
    return windows
