"""A missed promise and what would save it, for the page that is linked from a late promise. Nothing is stored."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from urllib.parse import urlencode

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from tallboy.book.models import Shop
from tallboy.drawers.pieces.models import Piece, Step
from tallboy.drawers.shelf.models import Product
from tallboy.drawers.today.gathering.gather import gather
from tallboy.drawers.today.what_if.answer import Question, air_words, gathered_for, late_days
from tallboy.planner import network
from tallboy.planner.solve import solve
from tallboy.planner.what_if.rescue import Effect, Rescue, Tried, rescues, usual_changes
from tallboy.planner.what_if.variants import Change, Helper, OpenDays, OtherWaits, Overtime, PutFirst, Together

WARM = 20.0
MOST_CANS = 2
# All changes together may be planned with for so many times as long as one plan.
TIMES_ONE_PLAN = 3

Query = dict[str, str]


@dataclass(frozen=True)
class SaverRow:
    """One way to keep the promise, as it is shown: what, how much of it is used, what it does to the others, and its what-if."""

    name: str
    used_minutes: int
    asks: bool
    effects: list[str]
    query: str
    warm: bool


@dataclass(frozen=True)
class Saved:
    """What the page shows: the missed promises, the one looked at, what saves it and what was tried in vain."""

    missed: list[tuple[Piece, network.Kept, int]]
    piece: Piece | None = None
    kept: network.Kept | None = None
    days: int = 0
    savers: tuple[SaverRow, ...] = ()
    in_vain: tuple[tuple[str, str], ...] = ()
    earliest: datetime | None = None

    @property
    def others(self) -> list[tuple[Piece, int]]:
        """The missed promises that are not looked at, with the days by which they are missed."""
        return [(piece, days) for piece, _kept, days in self.missed if piece != self.piece]


def saved(shop: Shop, at: datetime, pk: int | None, seconds: float) -> Saved:
    """Plan, and look for what would save one missed promise: the piece's with that number, else the first that is missed.

    Raises NoPlan as `solve`.
    """
    problem = gather(shop, at).problem
    plan = solve(problem, seconds=seconds)
    pieces = {str(row.pk): row for row in Piece.objects.filter(shop=shop, handed_over_at__isnull=True)}
    missed = [(pieces[k.piece], k, late_days(k)) for k in plan.promises if k.late_minutes and k.piece in pieces]
    chosen = next((row for row in missed if row[0].pk == pk), missed[0] if missed else None)
    if chosen is None:
        return Saved(missed)
    piece, kept, days = chosen
    tries = _Tries(shop, at, problem, kept, piece)
    (rescue,) = rescues(problem, plan, {kept.piece: tries.changes()}, seconds=TIMES_ONE_PLAN * seconds)
    names = {key: row.name for key, row in pieces.items()}
    return Saved(
        missed, piece, kept, days, tuple(_rows(rescue, tries, names)), tuple(_in_vain(rescue)), rescue.earliest
    )


class _Tries:
    """The changes tried for one promise, and the question that each of them is on the what-if page."""

    def __init__(self, shop: Shop, at: datetime, problem: network.Problem, missed: network.Kept, piece: Piece) -> None:
        self.shop, self.at, self.problem, self.missed, self.piece = shop, at, problem, missed, piece
        self._asked: dict[int, Query] = {}

    def changes(self) -> list[Change]:
        usual = usual_changes(self.problem, self.missed, self.piece.name)
        others = (self._with(question, query) for question, query in self._questions())
        return [*self._delivered(), *usual, *(change for change in others if change is not None)]

    def _delivered(self) -> Iterable[Change]:
        """What the piece waits for being there at once: not a question of the what-if page, but of whoever sends it."""
        key = self.missed.piece
        coming = {one.what: one for step in self.problem.steps if step.piece == key for one in step.awaits}
        if coming:
            here = (replace(step, awaits=()) if step.piece == key else step for step in self.problem.steps)
            words = _("%(what)s here at once") % {"what": ", ".join(f"“{what}”" for what in coming)}
            change = OtherWaits(words, replace(self.problem, steps=tuple(here)), kind="delivery")
            self._asked[id(change)] = {}
            yield change

    def _questions(self) -> Iterable[tuple[Question, Query]]:
        """A warm shop, and for each can that is still to be laid on this piece others of its class."""
        yield Question(celsius=WARM), {"celsius": f"{WARM:g} °C"}
        used = Product.objects.filter(
            pk__in=Step.objects.filter(piece=self.piece, state=Step.State.TO_DO, product__isnull=False).values(
                "product"
            )
        )
        for can in used.order_by("pk"):
            same = Product.objects.filter(shop=self.shop, coating=can.coating).exclude(pk=can.pk)
            for other in same.order_by("pk")[:MOST_CANS]:
                yield Question(can=can, instead=other), {"can": str(can.pk), "instead": str(other.pk)}

    def _with(self, question: Question, query: Query) -> Change | None:
        """Other waits by other air or another can; None where nothing would be any different."""
        other = gathered_for(self.shop, self.at, question).problem
        change = OtherWaits(
            ", ".join(air_words(self.shop, question)), other, kind="warm" if question.celsius else "can"
        )
        if change.on(self.problem) == self.problem:
            return None
        self._asked[id(change)] = query
        return change

    def query(self, change: Change) -> Query:
        """The what-if that asks the same."""
        until = self.missed.by.date().isoformat()
        if isinstance(change, Together):
            return {name: value for part in change.changes for name, value in self.query(part).items()}
        if isinstance(change, PutFirst):
            return {"first": change.piece}
        if isinstance(change, Overtime):
            return {"overtime": f"{change.hours:g}", "until": until}
        if isinstance(change, OpenDays):
            return {"closed_days": str(len(change.days)), "until": until}
        if isinstance(change, Helper):
            return {"hands": str(change.count), "until": until}
        return self._asked[id(change)]


def _rows(rescue: Rescue, tries: _Tries, names: dict[str, str]) -> Iterable[SaverRow]:
    for saver in rescue.savers:
        parts = saver.change.changes if isinstance(saver.change, Together) else (saver.change,)
        queries = [tries.query(part) for part in parts]
        query = tries.query(saver.change) if all(queries) else {}
        yield SaverRow(
            name=capital(saver.change.name),
            used_minutes=saver.used_minutes,
            asks=saver.trouble.hours > 0,
            effects=[_effect(effect, names) for effect in saver.effects],
            query=urlencode(query),
            warm=any("celsius" in one for one in queries),
        )


def capital(text: str) -> str:
    """The first letter large."""
    return text[:1].upper() + text[1:]


def _effect(effect: Effect, names: dict[str, str]) -> str:
    """What becomes of another promise, in one line."""
    words = {"piece": names.get(effect.piece, effect.piece), "day": _day(effect.after.finish)}
    if effect.after.late_minutes and not effect.before.late_minutes:
        return _("%(piece)s would be missed: finished on %(day)s") % words
    if effect.after.late_minutes:
        return _("%(piece)s is still late: finished on %(day)s") % words
    if effect.before.late_minutes:
        return _("%(piece)s is kept as well: finished on %(day)s") % words
    return _("%(piece)s is kept: finished on %(day)s") % words


def _in_vain(rescue: Rescue) -> list[tuple[str, str]]:
    """Single changes one by one; of pairs only the one that comes nearest."""
    singles = [tried for tried in rescue.in_vain if tried.change.kind != "together"]
    pairs = [tried for tried in rescue.in_vain if tried.change.kind == "together" and tried.kept is not None]
    nearest = [] if rescue.savers else sorted(pairs, key=lambda tried: tried.kept.late_minutes if tried.kept else 0)[:1]
    return [(capital(tried.change.name), _still(tried)) for tried in (*singles, *nearest)]


def _still(tried: Tried) -> str:
    if tried.kept is None:
        return _("no plan was found with it")
    days = late_days(tried.kept)
    return ngettext("still %(days)s day late", "still %(days)s days late", days) % {"days": days}


def _day(moment: datetime) -> str:
    return str(date_format(moment, "D j F"))
