"""The plan as a calendar (iCalendar, RFC 5545): hands-on blocks, what is dry when, windows, and promised days."""

from __future__ import annotations

import unicodedata
import uuid
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any
from urllib.parse import urlencode

from django.core import signing
from django.urls import reverse
from django.utils.crypto import salted_hmac
from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from icalendar import Alarm, Calendar, Event, vDuration, vText

from tallboy.book.models import Person, Shop
from tallboy.drawers.pieces import queries as pieces
from tallboy.drawers.pieces import words
from tallboy.drawers.pieces.models import Piece, Step
from tallboy.drawers.today import queries
from tallboy.drawers.today.actions import told_late
from tallboy.drawers.today.models import Plan, PlannedPromise, PlannedStep
from tallboy.drawers.today.people import people_names, told_names
from tallboy.drawers.today.telling import rows_of
from tallboy.errors import NotFound
from tallboy.sums.units import format_minutes

SALT = "tallboy.plan.ics"
PRODUCT = "-//tallboy//plan of work//EN"
ASK_AGAIN = timedelta(minutes=15)
# So long before a window closes a calendar reminds of it; of a shorter window in its middle.
REMIND_BEFORE = timedelta(hours=1)


@dataclass(frozen=True)
class Told:
    """What every entry of one calendar shares: whose shop, which plan, and for whom (None: everybody)."""

    shop: Shop
    plan: Plan
    person: Person | None = None

    def concerns(self, row: PlannedStep) -> bool:
        """Whether a planned step belongs into this calendar."""
        return self.person is None or str(self.person.pk) in row.people

    def event(self, key: str, start: date, title: str, **fields: str) -> Event:
        """One entry. Its UID is the same in every calendar of this book, its SEQUENCE grows with each plan."""
        event = Event()
        event.add("uid", str(uuid.UUID(salted_hmac(SALT, f"{self.shop.pk} {key}").hexdigest()[:32])))
        event.add("sequence", self.plan.pk)
        event.add("dtstamp", self.plan.made_at)
        event.add("last-modified", self.plan.made_at)
        event.add("dtstart", start)
        event.add("summary", _text(title))
        for name, value in fields.items():
            if value:
                event.add(name, _text(value))
        return event


def calendar_of(shop: Shop, person: Person | None = None) -> bytes:
    """The plan in force as an iCalendar file; for one person only what that person does, and every promise.

    Times are written in UTC: the right moment on either side of a change of clocks, in whatever zone it is read.
    Whose a piece is stands nowhere in it.
    """
    plan = queries.current_plan(shop)
    calendar = _calendar(shop, plan, person)
    if plan is not None:
        told = Told(shop, plan, person)
        rows = [row for row in rows_of(plan) if row.step.open and told.concerns(row)]
        for event in (*_work(told, rows), *_rests(told, rows), *_promises(told)):
            calendar.add_component(event)
    return bytes(calendar.to_ical())


def address(shop: Shop, person: Person | None = None) -> str:
    """The path under which a calendar program finds the feed. It names the shop, for such programs carry no session."""
    query = {"shop": signing.Signer(salt=SALT).sign(str(shop.pk))}
    if person is not None:
        query["person"] = str(person.pk)
    return f"{reverse('today:plan-ics')}?{urlencode(query)}"


def shop_named(token: str) -> Shop:
    """The shop that a feed's address names. Raises NotFound when nobody was given that address."""
    try:
        pk = signing.Signer(salt=SALT).unsign(token)
    except signing.BadSignature:
        raise NotFound(_("There is no such calendar."), _("Copy its address from the plan's page anew.")) from None
    found = Shop.objects.filter(pk=int(pk)).first()
    if found is None:
        raise NotFound(_("There is no such calendar."))
    return found


def _calendar(shop: Shop, plan: Plan | None, person: Person | None) -> Calendar:
    name = _("Plan: %(shop)s") % {"shop": shop.name}
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    # The same twice: by RFC 7986, and as programs before it read it.
    for key in ("name", "x-wr-calname"):
        calendar.add(key, _text(f"{name} · {person.name}" if person else name))
    calendar.add("refresh-interval", vDuration(ASK_AGAIN), parameters={"VALUE": "DURATION"})
    if plan is not None:
        made = {"at": date_format(localtime(plan.made_at, shop.tz), "D j F H:i")}
        calendar.add("description", _text(_("Worked out %(at)s.") % made))
        calendar.add("last-modified", plan.made_at)
    return calendar


def _text(words: str) -> vText:
    """Words without what no calendar may carry: signs that steer a terminal, and halves of characters."""
    return vText("".join(c for c in words if c == "\n" or unicodedata.category(c) not in ("Cc", "Cs")))


def _title(step: Step) -> str:
    return f"{step.piece.name}: {step.title}"


def _work(told: Told, rows: Iterable[PlannedStep]) -> Iterator[Event]:
    """One entry for each hands-on stretch."""
    names = people_names(told.shop)
    for row in rows:
        step = row.step
        for number, (start, end) in enumerate(row.spans()):
            event = told.event(
                f"step {step.pk} {number}",
                start.astimezone(UTC),
                _title(step),
                location=step.place.name if step.place else "",
                description="\n".join(_described(row, told_names(row.people, names))),
            )
            event.add("dtend", end.astimezone(UTC))
            event.add("transp", "OPAQUE")
            yield event


def _described(row: PlannedStep, people: str) -> Iterator[str]:
    """How long, by whom, why not earlier, and what to mind."""
    yield _("%(time)s hands-on") % {"time": format_minutes(row.step.minutes)} + (f": {people}" if people else "")
    yield row.reason
    for caution in words.cautions(row.step.cautions):
        yield f"{caution['title']}. {caution['text']}"


def _rests(told: Told, rows: Iterable[PlannedStep]) -> Iterator[Event]:
    """When what was laid, glued or put to soak is ready, and the windows for what comes after it."""
    wanted = {str(row.step_id) for row in rows}
    waits = [wait for wait in told.plan.waits if wait["then"] in wanted and _ahead(told, wait)]
    keys = {key for wait in waits for key in (wait["first"], wait["then"])}
    steps = Step.objects.filter(shop=told.shop, pk__in=map(int, keys)).select_related("piece")
    by_key = {str(step.pk): step for step in steps}
    for wait in waits:
        first, then = by_key.get(wait["first"]), by_key.get(wait["then"])
        if first is not None and then is not None:
            yield _window(told, wait, first, then) if wait["closes"] else _ready(told, wait, first)


def _ahead(told: Told, wait: dict[str, Any]) -> bool:
    """Whether a wait is worth an entry: a window that has not closed, or the longest rest after a step that is not over."""
    over = datetime.fromisoformat(wait["closes"] or wait["opens"])
    return over > told.plan.made_at and bool(wait["closes"] or wait["longest"])


def _ready(told: Told, wait: dict[str, Any], first: Step) -> Event:
    titles = {
        "drying": _("Dry: %(what)s"),
        "cure": _("Cured: %(what)s"),
        "clamps": _("Out of the clamps: %(what)s"),
        "soak": _("Soaked: %(what)s"),
    }
    title = titles.get(wait["kind"], _("Ready to go on: %(what)s")) % {"what": _title(first)}
    event = told.event(f"rest {first.pk}", datetime.fromisoformat(wait["opens"]), title)
    event.add("transp", "TRANSPARENT")
    return event


def _window(told: Told, wait: dict[str, Any], first: Step, then: Step) -> Event:
    """From when to when the next step may follow, with a reminder before it is too late."""
    opens, closes = (datetime.fromisoformat(wait[key]) for key in ("opens", "closes"))
    opens = min(opens, closes)
    after = _("After “%(first)s”.") % {"first": first.title}
    if first.does == "coat":
        after += " " + _("What comes later than this window has to be sanded first.")
    title = _("Window: %(what)s") % {"what": _title(then)}
    event = told.event(f"window {first.pk} {then.pk}", opens, title, description=after)
    if opens < closes:
        event.add("dtend", closes)
    event.add("transp", "TRANSPARENT")
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", _text(_("The window closes soon: %(what)s") % {"what": _title(then)}))
    alarm.add("trigger", -min(REMIND_BEFORE, (closes - opens) / 2), parameters={"RELATED": "END"})
    event.add_component(alarm)
    return event


def _promises(told: Told) -> Iterator[Event]:
    """The promised days, each with what becomes of it by the plan."""
    planned = {row.piece_id: row for row in PlannedPromise.objects.filter(plan=told.plan).select_related("piece__shop")}
    for piece in pieces.in_the_shop(told.shop).filter(promise__isnull=False):
        row = planned.get(piece.pk)
        event = told.event(
            f"promise {piece.pk}",
            _promised(piece),
            _("Promised: %(piece)s") % {"piece": piece.name},
            description="\n".join(_outlook(row, told.shop)) if row else "",
        )
        event.add("transp", "TRANSPARENT")
        yield event


def _promised(piece: Piece) -> date:
    assert piece.promise is not None
    return piece.promise


def _outlook(row: PlannedPromise, shop: Shop) -> Iterator[str]:
    finish = date_format(localtime(row.finish, shop.tz), "D j F, H:i")
    yield next(told_late([row]), _("By this plan it is finished on %(finish)s.") % {"finish": finish})
    if row.safe_on is not None:
        yield _("Safe to say: %(day)s.") % {"day": date_format(localtime(row.safe_on, shop.tz), "D j F")}
