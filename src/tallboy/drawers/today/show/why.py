"""Why a step is then and not earlier: the chain of reasons, what follows it, how much room it has, how sure its time is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property

from django.db.models import Q

from tallboy.book.models import Shop
from tallboy.drawers.pieces.models import Piece, Step, Wait
from tallboy.drawers.today import queries
from tallboy.drawers.today.felt import coat_felt
from tallboy.drawers.today.gathering.edges import Edge, bridged
from tallboy.drawers.today.models import PlannedStep
from tallboy.drawers.today.people import people_names, told_names
from tallboy.drawers.today.show.rule_words import rule_word
from tallboy.planner import network
from tallboy.planner.why.chain import Why, chain
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
    """The plan in force with its reasons. Of the steps only what a chain needs is read, and in full only those that are told."""

    def __init__(self, shop: Shop, now: datetime, piece: Piece | None = None) -> None:
        """`piece`: one that is looked at in any case, even when it has gone home."""
        self.shop, self.now, self.piece = shop, now, piece
        self.plan = queries.current_plan(shop)
        self._steps: dict[str, Step] = {}

    @cached_property
    def planned(self) -> dict[str, network.Planned]:
        """Everything that a chain can lead to, as the planner's own type: what is still to do, and what that rests on."""
        found = {}
        if self.plan is not None:
            rows = PlannedStep.objects.filter(plan=self.plan, step__state__in=OPEN)
            found = {str(row[0]): _planned(*row) for row in rows.values_list(*COLUMNS)}
        named = {key for planned in found.values() for key in planned.reason.because}
        named |= {str(edge.first) for edge in self.edges if str(edge.then) in found}
        return {**self._facts(named - set(found)), **found}

    def _facts(self, keys: Set[str]) -> dict[str, network.Planned]:
        """What is done, with the times it really had."""
        pks = [int(key) for key in keys if key.isdecimal()]
        done = Step.objects.filter(shop=self.shop, pk__in=pks, state=Step.State.DONE, began_at__isnull=False)
        return {str(row[0]): _fact(*row) for row in done.values_list("pk", "began_at", "ended_at")}

    @cached_property
    def edges(self) -> list[Edge]:
        """What comes after what, skipped steps bridged over."""
        told = Q(piece__handed_over_at__isnull=True) | Q(piece=self.piece)
        skipped = Step.objects.filter(told, shop=self.shop, state=Step.State.SKIPPED)
        asked = Wait.objects.filter(
            Q(first__piece__handed_over_at__isnull=True) | Q(first__piece=self.piece), shop=self.shop
        )
        return bridged(skipped, asked)

    @cached_property
    def waits(self) -> dict[tuple[str, str], Mapping[str, str | None]]:
        """What rests and which windows open by the plan, by both steps."""
        return {(wait["first"], wait["then"]): wait for wait in (self.plan.waits if self.plan else [])}

    @cached_property
    def before(self) -> dict[str, dict[str, datetime]]:
        """For each step those it comes after, and from when each lets it begin."""
        found: dict[str, dict[str, datetime]] = {}
        for edge in self.edges:
            first, then = str(edge.first), str(edge.then)
            if first in self.planned:
                opens = self.waits.get((first, then), {}).get("opens")
                over = datetime.fromisoformat(opens) if opens else self.planned[first].end
                found.setdefault(then, {})[first] = over
        return found

    @cached_property
    def names(self) -> dict[str, str]:
        return people_names(self.shop)

    def row(self, key: str) -> PlannedStep | None:
        """A planned step as it is kept with the plan; None when it is not planned."""
        return self.rows([key]).get(key)

    def rows(self, keys: Iterable[str]) -> dict[str, PlannedStep]:
        """The same of several."""
        wanted = [int(key) for key in keys if key in self.planned and not self.planned[key].done]
        found = PlannedStep.objects.filter(plan=self.plan, step_id__in=wanted) if wanted else ()
        return {str(row.step_id): row for row in found}

    def chain(self, key: str) -> tuple[Why, ...]:
        """Why the step is then, link by link, back to something real; nothing when it is not planned."""
        return chain(self.planned, key, self.before) if key in self.planned else ()

    def told(self, links: Sequence[Why]) -> Folded:
        """A chain in words, in so many lines as one can read."""
        first, last = (tuple(links), ()) if len(links) <= MOST_LINKS else (tuple(links[: MOST_LINKS - 1]), links[-1:])
        self._read({key for link in (*first, *last) for key in (link.step.key, *link.beside)})
        told = [self._told(link, at) for at, link in enumerate(first, start=1)]
        return Folded(
            tuple(told), len(links) - len(first) - len(last), tuple(self._told(link, len(links)) for link in last)
        )

    def _read(self, keys: Set[str]) -> None:
        pks = [int(key) for key in keys - set(self._steps)]
        rows = Step.objects.filter(shop=self.shop, pk__in=pks).select_related("piece", "product", "shop")
        self._steps |= {str(step.pk): step for step in rows}

    def _told(self, link: Why, number: int) -> Told:
        planned = link.step
        return Told(
            step=self._steps[planned.key],
            start=planned.start,
            end=planned.end,
            rule=planned.reason.rule,
            word=rule_word(planned.reason.rule),
            reason=planned.reason.text,
            through=link.through,
            who=told_names(planned.people, self.names),
            beside=tuple(self._steps[key] for key in link.beside),
            number=number,
        )

    def followers(self, key: str) -> list[Follower]:
        """What cannot come before the step is over, in the order of the plan: by the links, or because it is named as a reason."""
        linked = {str(edge.then) for edge in self.edges if str(edge.first) == key}
        end = self.planned[key].end if key in self.planned else self.now
        held = {then for then, row in self.planned.items() if key in row.reason.because and row.start >= end}
        open_ones = [then for then in linked | held if then in self.planned and not self.planned[then].done]
        self._read(set(open_ones))
        found = [self._follower(key, then, then in linked) for then in open_ones]
        return sorted(found, key=lambda row: (row.start, row.step.pk))

    def _follower(self, first: str, then: str, linked: bool) -> Follower:
        wait = self.waits.get((first, then), {})
        opens, closes = (datetime.fromisoformat(at) if at else None for at in (wait.get("opens"), wait.get("closes")))
        return Follower(self._steps[then], self.planned[then].start, opens, closes, linked)

    def working(self, told: Folded) -> Working | None:
        """How the wait before a step was worked out, when the step waits for a coat or for glue to dry."""
        links = told.first
        if len(links) < 2 or links[0].rule != "wait" or not links[1].step.coating:
            return None
        first = links[1].step
        felt = coat_felt(first, self.now)
        if felt is None or felt.estimate is None:
            return Working(first)
        return Working(first, felt.estimate, felt.dry_at)


COLUMNS = ("step_id", "start", "end", "rule", "reason", "until", "because", "people", "step__state")


def _planned(
    pk: int, start: datetime, end: datetime, rule: str, text: str, until: datetime | None,
    because: list[str], people: list[str], state: str,
) -> network.Planned:  # fmt: skip
    """The columns of a stored row as the planner's own type; a chain asks for no hands-on stretches."""
    reason = network.Reason(rule, text, until, tuple(because))
    running = state == Step.State.RUNNING
    return network.Planned(str(pk), start, end, (), reason, running=running, people=tuple(people))


def _fact(pk: int, began: datetime | None, ended: datetime | None) -> network.Planned:
    """A step that is done, with the times it really had."""
    assert began is not None
    assert ended is not None
    return network.Planned(str(pk), began, ended, (), network.Reason("done", "", ended), done=True)


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
