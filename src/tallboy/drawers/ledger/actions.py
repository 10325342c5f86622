"""Changes to the hours: a clock that was forgotten, or started on the wrong minute."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.utils.translation import gettext as _

from tallboy.book.doing import By, action
from tallboy.drawers.pieces.models import ClockEntry
from tallboy.errors import BadInput, NotFound

LONGEST_STRETCH = timedelta(hours=24)


@action
def correct_clock(by: By, entry: ClockEntry, began: datetime, ended: datetime, reason: str) -> ClockEntry:
    """Write the true times of one stretch of work; a running clock ends with it. What it said stays in the journal.

    Only the hours change: when the step was begun and done, and so the plan, stays as it is. Begun and ended at the same moment
    means that the clock should never have been started.
    """
    found = (
        ClockEntry.objects.select_for_update(of=("self",))
        .select_related("step")
        .filter(pk=entry.pk, shop=by.shop)
        .first()
    )
    if found is None:
        raise NotFound(_("There is no such clock entry in this book."))
    _check_times(by, began, ended)
    if not reason.strip():
        raise BadInput(_("No reason is given."), _("Say in a few words why the clock was wrong."))
    before = {"began": found.began_at.isoformat(), "ended": found.ended_at.isoformat() if found.ended_at else None}
    found.began_at, found.ended_at = began, ended
    found.save(update_fields=["began_at", "ended_at"])
    text = _("Corrected the clock on “%(step)s” to %(began)s – %(ended)s: %(reason)s")
    names = {"step": found.step.title, "began": by.clock(began), "ended": by.clock(ended), "reason": reason.strip()}
    by.record("correct clock", found, text % names, before=before)
    return found


def _check_times(by: By, began: datetime, ended: datetime) -> None:
    if began.tzinfo is None or ended.tzinfo is None:
        raise BadInput(_("A time has no time zone."), _("Give both times with one."))
    if ended > by.at:
        raise BadInput(
            _("The work would end at %(time)s, which is still to come.") % {"time": by.clock(ended)},
            _("Give a time up to now, %(now)s.") % {"now": by.clock(by.at)},
        )
    if ended < began:
        raise BadInput(
            _("The work would end at %(ended)s, before it began at %(began)s.")
            % {"ended": by.clock(ended), "began": by.clock(began)},
            _("The end must be at or after the beginning."),
        )
    if ended - began > LONGEST_STRETCH:
        raise BadInput(
            _("The work would have gone on for more than 24 hours without a break."),
            _("Look at the dates: one stretch has 24 hours at most."),
        )
