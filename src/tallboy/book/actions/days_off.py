"""Days off of everybody or of one person, and public holidays on which the shop works after all."""

from __future__ import annotations

from datetime import date, timedelta

from django.utils.translation import gettext as _

from tallboy.book.doing import By, action
from tallboy.book.holidays import holidays_of
from tallboy.book.models import DayOff, Person, WorkedHoliday
from tallboy.errors import BadInput, NotFound

LONGEST_HOLIDAY = 62


@action
def add_day_off(by: By, day: date, reason: str = "", person: Person | None = None) -> DayOff:
    """Nobody works on this date, or one person does not."""
    row = _day_off(by, day, reason, person)
    by.record("add day off", row, _told(person, day, day))
    return row


@action
def add_days_off(by: By, first: date, last: date, reason: str = "", person: Person | None = None) -> list[DayOff]:
    """Nobody, or not this person, works from the first date to the last, both included."""
    count = (last - first).days + 1
    if not 1 <= count <= LONGEST_HOLIDAY:
        raise BadInput(
            _("Days off from %(first)s until %(last)s?") % {"first": first.isoformat(), "last": last.isoformat()},
            _("They must end on or after the day they begin, and last %(most)s days at most.")
            % {"most": LONGEST_HOLIDAY},
        )
    rows = [_day_off(by, first + timedelta(days=offset), reason, person) for offset in range(count)]
    by.record("add day off", rows[0], _told(person, first, last))
    return rows


def _day_off(by: By, day: date, reason: str, person: Person | None) -> DayOff:
    if person is not None and person.shop_id != by.shop.pk:
        raise NotFound(_("There is no such person in this shop."))
    defaults = {"owner": by.person, "reason": reason}
    row, _made = DayOff.objects.get_or_create(shop=by.shop, day=day, person=person, defaults=defaults)
    return row


def _told(person: Person | None, first: date, last: date) -> str:
    run = {"first": first.isoformat(), "last": last.isoformat(), "name": person.name if person else ""}
    if person is None:
        one = first == last
        return (_("No work on %(first)s.") if one else _("No work from %(first)s until %(last)s.")) % run
    if first == last:
        return _("%(name)s does not work on %(first)s.") % run
    return _("%(name)s does not work from %(first)s until %(last)s.") % run


@action
def remove_day_off(by: By, pk: int) -> None:
    """That date is worked after all."""
    row = DayOff.objects.filter(shop=by.shop, pk=pk).select_related("person").first()
    if row is None:
        raise NotFound(_("There is no such day off."))
    told = {"day": row.day.isoformat(), "name": row.person.name if row.person else ""}
    text = _("%(name)s works on %(day)s after all.") if row.person else _("%(day)s is worked after all.")
    by.record("remove day off", row, text % told)
    row.delete()


@action
def work_on_holiday(by: By, day: date) -> WorkedHoliday:
    """The shop works on this public holiday after all."""
    if day not in holidays_of(by.shop, day, day):
        raise NotFound(_("%(day)s is no public holiday that this shop keeps.") % {"day": day.isoformat()})
    row, _made = WorkedHoliday.objects.get_or_create(shop=by.shop, day=day, defaults={"owner": by.person})
    by.record("work on holiday", row, _("%(day)s is worked, though it is a holiday.") % {"day": day.isoformat()})
    return row


@action
def keep_holiday(by: By, day: date) -> None:
    """This public holiday is a day off again."""
    row = WorkedHoliday.objects.filter(shop=by.shop, day=day).first()
    if row is None:
        raise NotFound(_("There is no such holiday on which the shop works."))
    by.record("keep holiday", row, _("No work on the holiday of %(day)s.") % {"day": day.isoformat()})
    row.delete()
