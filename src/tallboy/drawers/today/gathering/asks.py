"""What the planner is asked of one step: its time, its people, its place, what else it takes, and what it does to the air."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from django.utils.translation import gettext as _

from tallboy.book.skills import plain
from tallboy.drawers.pieces.models import Step
from tallboy.drawers.today.gathering.calendar import CLAMPS, RACK, Calendar, seats_of
from tallboy.drawers.today.gathering.crews import Crews, fits
from tallboy.drawers.today.gathering.fit import Fit
from tallboy.drawers.today.gathering.waits import Waits
from tallboy.planner import network
from tallboy.sums.units import format_minutes

DUST_STAGE = "touch"
# What a solvent wiped on leaves in the air burns for so long at the most [min]: common practice, no source.
LONGEST_FUMES = 4 * 60
NO_WAIT = network.Fixed(0)
# The caution of what must not meet a flame while it is wet, solvent or not.
NO_FLAME = "open-flame"


@dataclass(frozen=True)
class Known:
    """What is known of a shop's steps besides themselves, by their numbers: who alone may do them, what they await, why they are
    blocked, who is at them, how large a coat is [m²], and the links behind them."""

    only: Mapping[int, tuple[str, ...]] = field(default_factory=dict)
    awaits: Mapping[int, tuple[network.Delivery, ...]] = field(default_factory=dict)
    blocked: Mapping[int, str] = field(default_factory=dict)
    at_it: Mapping[int, tuple[str, ...]] = field(default_factory=dict)
    areas: Mapping[int, float] = field(default_factory=dict)
    behind: Mapping[str, tuple[network.Link, ...]] = field(default_factory=dict)


class Asks:
    """Makes of a step of the book one of the planner's. What cannot be had is bent to what can, and told in `troubles`."""

    def __init__(self, calendar: Calendar, waits: Waits, fit: Fit, known: Known) -> None:
        self._calendar = calendar
        self._amounts = {resource.key: resource.amount for resource in calendar.resources}
        self._crews = Crews(calendar)
        self._waits = waits
        self._fit = fit
        self._known = known
        self.troubles: dict[str, None] = {}

    def step(self, step: Step) -> network.Step:
        """A step that is done, has begun or is still to do."""
        to_do = step.state == Step.State.TO_DO
        people = self._people(step) if to_do else self._at_it(step)
        hands, skill = self._hands(step, people) if to_do else (step.hands, "")
        place = step.place.name if step.place else ""
        spans, stretch = self._crews.stretches(place, step.noisy, hands, skill, people if to_do else ())
        split = step.split or step.minutes > stretch
        if to_do and split and not step.split and spans:
            self._tell(
                _(
                    "“%(step)s” takes %(minutes)s, longer than any stretch of working hours: it is planned in several goes."
                )
                % {"step": step.title, "minutes": format_minutes(step.minutes)}
            )
        fit, fit_minutes, fit_text = self._air(step, spans) if to_do else (None, 0, "")
        return network.Step(
            key=str(step.pk),
            piece=str(step.piece_id),
            title=f"{step.piece.name}: {step.title}",
            minutes=max(1, step.minutes),
            hands=hands,
            place=place,
            dusty=step.dusty,
            split=split,
            wet=self._waits.table(step, DUST_STAGE) if step.does == "coat" else None,
            not_before=step.not_before,
            started=step.began_at if step.state == Step.State.RUNNING else None,
            done=(step.began_at, step.ended_at) if step.began_at and step.ended_at else None,
            skill=skill,
            people=people,
            uses=tuple(self._uses(step)),
            awaits=self._known.awaits.get(step.pk, ()),
            noisy=step.noisy,
            solvent=step.solvent,
            fumes=self._fumes(step) if _flame_shy(step) else None,
            ignition=step.ignition,
            fit=fit,
            fit_minutes=fit_minutes,
            fit_text=fit_text,
            blocked=self._known.blocked.get(step.pk, ""),
            spread=float(step.spread_minutes),
        )

    def _tell(self, trouble: str) -> None:
        self.troubles[trouble] = None

    def _people(self, step: Step) -> tuple[str, ...]:
        """Those who alone may do it and are at work; anybody where none of them is."""
        only = self._known.only.get(step.pk, ())
        if not only:
            return ()
        at_work = {person.key for person in self._calendar.people}
        here = tuple(key for key in only if key in at_work)
        if not here:
            self._tell(
                _("“%(step)s”: none of those who alone may do it works at the bench. It is planned for anybody.")
                % {"step": step.title}
            )
        return here

    def _at_it(self, step: Step) -> tuple[str, ...]:
        """Who is at a step that has begun; of one that takes more hands than have said so, the next who are at nothing else too."""
        known = self._known.at_it.get(step.pk, ())
        if not known:
            return ()
        busy = {key for keys in self._known.at_it.values() for key in keys}
        free = [person.key for person in self._calendar.people if person.key not in busy]
        return (*known, *free[: max(0, step.hands - len(known))])

    def _hands(self, step: Step, people: tuple[str, ...]) -> tuple[int, str]:
        """As many hands as there are, and the skill if one of them has it; what there is not is told."""
        able = self._crews.able(people)
        hands = min(step.hands, len(able))
        if 0 < hands < step.hands:
            self._tell(
                _(
                    "“%(step)s” takes %(needs)s pairs of hands at once, and the shop has %(there)s for it: it is planned with %(there)s. "
                    "Get help before you lift or glue up."
                )
                % {"step": step.title, "needs": step.hands, "there": hands}
            )
        skill = plain(step.skill)
        if not skill or not hands or any(skill in person.skills for person in able):
            return hands, skill
        self._tell(
            _("“%(step)s” needs somebody who knows %(skill)s; nobody who may do it does. It is planned for anybody.")
            % {"step": step.title, "skill": step.skill}
        )
        return hands, ""

    def _air(self, step: Step, stretches: tuple[network.Span, ...]) -> tuple[tuple[network.Span, ...] | None, int, str]:
        """The spans in which the air suits a coat; none are asked where nobody could ever lay it in them, which is told."""
        label = self._waits.label(step) if step.does == "coat" else None
        if label is None:
            return None, 0, ""
        spans, after = self._fit.spans(label), self._fit.minutes(label)
        if spans is None:
            return None, 0, ""
        if not fits(stretches, spans, max(1, step.minutes), after):
            if not self._waits.tells_of(label):
                self._never(step.product.name if step.product else step.coating, self._fit.text(label))
            return None, 0, ""
        return spans, after, self._fit.text(label)

    def _never(self, can: str, asked: str) -> None:
        self._tell(
            _(
                "“%(can)s” asks for %(asked)s. The air ahead is never so for long enough in working hours: it is planned as if it were. "
                "Warm the shop, or choose another can."
            )
            % {"can": can, "asked": asked}
        )

    def _uses(self, step: Step) -> Iterable[network.Use]:
        """A seat at its place; clamps until they come off; room on the rack until nothing sticks to it any more."""
        done = step.state == Step.State.DONE
        if step.place and self._calendar.counts(seats_of(step.place)) and not done:
            yield network.Use(seats_of(step.place))
        if step.clamps and CLAMPS in self._amounts:
            yield network.Use(CLAMPS, self._at_most(step, CLAMPS, step.clamps), self._rest(step, ("clamps",)))
        if step.rack_dm2 and step.does == "coat" and RACK in self._amounts:
            dry = self._waits.table(step, DUST_STAGE) or self._waits.table(step, "recoat") or NO_WAIT
            yield network.Use(RACK, self._at_most(step, RACK, step.rack_dm2), dry)

    def _at_most(self, step: Step, what: str, amount: int) -> int:
        """What a step takes of something, all there is where it wants more."""
        there = self._amounts[what]
        if amount > there and step.open:
            words = {"step": step.title, "amount": amount, "there": there}
            self._tell(
                _("“%(step)s” takes %(amount)s clamps, and there are %(there)s: it is planned with all of them.")
                % words
                if what == CLAMPS
                else _("“%(step)s” takes %(amount)s dm² of the rack, which has %(there)s: it is planned to fill it.")
                % words
            )
        return min(amount, there)

    def _fumes(self, step: Step) -> network.Wait | None:
        """How long what a solvent left behind can catch fire: until it is touch dry by its label, or while the next step waits for it."""
        table = self._waits.table(step, DUST_STAGE)
        if table is not None:
            return table
        rest = self._rest(step, ("drying", "soak"))
        return network.Fixed(min(rest.minutes, LONGEST_FUMES)) if isinstance(rest, network.Fixed) else rest

    def _rest(self, step: Step, kinds: tuple[str, ...]) -> network.Wait:
        """The longest wait of these kinds behind a step."""
        rests = [link.least for link in self._known.behind.get(str(step.pk), ()) if link.kind in kinds]
        return max(rests, key=longest_wait, default=NO_WAIT)


def _flame_shy(step: Step) -> bool:
    """Whether no flame may come near: an open solvent, or what its own caution keeps flames from, as an oil that is still wet."""
    return step.solvent or (NO_FLAME in step.cautions and not step.ignition)


def longest_wait(wait: network.Wait) -> int:
    """The longest that a wait may be [min]."""
    return wait.minutes if isinstance(wait, network.Fixed) else max(wait.minutes)
