"""Why a step is then and not earlier: the chain of reasons, what follows it, how much room it has, how sure its time is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property

from tallboy.book.models import Shop
from tallboy.drawers.pieces.models import Step, Wait
from tallboy.drawers.today import queries
from tallboy.drawers.today.felt import coat_felt
from tallboy.drawers.today.gather import Edge, bridged
from tallboy.drawers.today.models import PlannedStep
from tallboy.drawers.today.people import people_names, told_names
from tallboy.drawers.today.rule_words import rule_word
from tallboy.planner import network
from tallboy.planner.chain import Why, chain
from tallboy.sums.drying import Estimate

OPEN = (Step.State.TO_DO, Step.State.RUNNING)
# In a full shop one pair of hands goes from step to step for weeks; so many of them are told, and the last.
MOST_LINKS = 12


@dataclass(frozen=True)
class Told:
    """One link of the chain in words."""

    step: Step
    start: datetime
    end: datetime
    rule: str
    word: str
    reason: str
    through: str
    who: str
    beside: tuple[Step, ...] = ()
    number: int = 1

    @property
    def settled(self) -> bool:
        """Whether it has really happened, or happens now."""
        return self.rule in ("done", "begun")


@dataclass(frozen=True)
class Folded:
    """A chain too long to read: its beginning, how many links are passed over, and its end."""

    first: tuple[Told, ...]
    passed_over: int
    last: tuple[Told, ...]


def folded(links: Sequence[Told], most: int = MOST_LINKS) -> Folded:
    """The first links and the last one; all of them where they are not more than `most`."""
    if len(links) <= most:
        return Folded(tuple(links), 0, ())
    return Folded(tuple(links[: most - 1]), len(links) - most, tuple(links[-1:]))


@dataclass(frozen=True)
class Follower:
    """A step that cannot come before this one is over: when it is planned, and until when it must wait after it."""

    step: Step
    start: datetime
    opens: datetime | None = None
    closes: datetime | None = None
    linked: bool = True


@dataclass(frozen=True)
class Working:
    """How a wait was worked out: of which coat, and when it is dry, with its working where the coat was laid."""

    step: Step
    estimate: Estimate | None = None
    dry_at: datetime | None = None


class Reasons:
    """The plan in force, with its reasons, read once."""

    def __init__(self, shop: Shop, now: datetime) -> None:
        self.shop, self.now = shop, now
        self.plan = queries.current_plan(shop)

    @cached_property
    def rows(self) -> dict[str, PlannedStep]:
        if self.plan is None:
            return {}
        found = PlannedStep.objects.filter(plan=self.plan, step__state__in=OPEN).select_related(
            "step__piece", "step__place", "step__product", "step__shop"
        )
        return {str(row.step_id): row for row in found.order_by("start", "id")}

    @cached_property
    def edges(self) -> list[Edge]:
        """What comes after what, skipped steps bridged over."""
        asked = Wait.objects.filter(shop=self.shop, first__piece__handed_over_at__isnull=True)
        steps = Step.objects.filter(shop=self.shop, state=Step.State.SKIPPED, piece__handed_over_at__isnull=True)
        return bridged(steps, asked)

    @cached_property
    def before(self) -> dict[str, tuple[str, ...]]:
        """For each step those it comes after."""
        found: dict[str, tuple[str, ...]] = {}
        for edge in self.edges:
            found[str(edge.then)] = (*found.get(str(edge.then), ()), str(edge.first))
        return found

    @cached_property
    def settled(self) -> dict[str, Step]:
        """The steps done already that something planned is about, or comes after."""
        named = {key for row in self.rows.values() for key in row.because}
        named |= {key for then in self.rows for key in self.before.get(then, ())}
        pks = [int(key) for key in named - set(self.rows) if key.isdecimal()]
        done = Step.objects.filter(shop=self.shop, pk__in=pks, state=Step.State.DONE)
        return {str(step.pk): step for step in done.select_related("piece", "place", "product", "shop")}

    @cached_property
    def planned(self) -> dict[str, network.Planned]:
        """Everything that a chain can lead to, as the planner's own type."""
        done = {key: planned_fact(step) for key, step in self.settled.items()}
        return {**done, **{key: planned_row(row) for key, row in self.rows.items()}}

    @cached_property
    def names(self) -> dict[str, str]:
        return people_names(self.shop)

    def step(self, key: str) -> Step:
        return self.rows[key].step if key in self.rows else self.settled[key]

    def chain(self, key: str) -> list[Told]:
        """Why the step is then, link by link, back to something real."""
        if key not in self.planned:
            return []
        return [self._told(link, at) for at, link in enumerate(chain(self.planned, key, self.before), start=1)]

    def _told(self, link: Why, number: int) -> Told:
        planned = link.step
        return Told(
            step=self.step(planned.key),
            start=planned.start,
            end=planned.end,
            rule=planned.reason.rule,
            word=rule_word(planned.reason.rule),
            reason=planned.reason.text,
            through=link.through,
            who=told_names(planned.people, self.names),
            beside=tuple(self.step(key) for key in link.beside),
            number=number,
        )

    def followers(self, key: str) -> list[Follower]:
        """What cannot come before the step is over, in the order of the plan: by the links, or because it is named as a reason."""
        waits = {wait["then"]: wait for wait in (self.plan.waits if self.plan else []) if wait["first"] == key}
        linked = {str(edge.then) for edge in self.edges if str(edge.first) == key}
        end = self.planned[key].end if key in self.planned else self.now
        held = {then for then, row in self.rows.items() if key in row.because and row.start >= end}
        found = [
            _follower(self.rows[then], waits.get(then), then in linked) for then in linked | held if then in self.rows
        ]
        return sorted(found, key=lambda row: (row.start, row.step.pk))

    def working(self, told: Iterable[Told]) -> Working | None:
        """How the wait before a step was worked out, when the step waits for a coat or for glue to dry."""
        links = list(told)
        if len(links) < 2 or links[0].rule != "wait" or not links[1].step.coating:
            return None
        first = links[1].step
        felt = coat_felt(first, self.now)
        if felt is None or felt.estimate is None:
            return Working(first)
        return Working(first, felt.estimate, felt.dry_at)


def planned_row(row: PlannedStep) -> network.Planned:
    """A stored row as the planner's own type."""
    reason = network.Reason(row.rule, row.reason, row.until, tuple(row.because))
    running = row.step.state == Step.State.RUNNING
    return network.Planned(
        str(row.step_id), row.start, row.end, tuple(row.spans()), reason, running=running, people=tuple(row.people)
    )


def planned_fact(step: Step) -> network.Planned:
    """A step that is done, with the times it really had."""
    assert step.began_at is not None
    assert step.ended_at is not None
    span = (step.began_at, step.ended_at)
    return network.Planned(str(step.pk), *span, (span,), network.Reason("done", "", step.ended_at), done=True)


def _follower(row: PlannedStep, wait: Mapping[str, str | None] | None, linked: bool) -> Follower:
    opens, closes = (wait["opens"], wait["closes"]) if wait else (None, None)
    return Follower(
        row.step,
        row.start,
        datetime.fromisoformat(opens) if opens else None,
        datetime.fromisoformat(closes) if closes else None,
        linked,
    )


@dataclass(frozen=True)
class RoomLeft:
    """How much later a step may begin, in minutes; None where nothing limits it."""

    free: float | None
    spare: float | None
    free_until: datetime | None
    spare_until: datetime | None


def room_left(row: PlannedStep) -> RoomLeft:
    """The room that was worked out with the plan."""
    return RoomLeft(_later(row, row.free_until), _later(row, row.spare_until), row.free_until, row.spare_until)


def _later(row: PlannedStep, until: datetime | None) -> float | None:
    return None if until is None else max(0.0, (until - row.start) / timedelta(minutes=1))
