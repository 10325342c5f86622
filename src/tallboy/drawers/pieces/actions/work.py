"""Working through the steps: start, done, not now, skip; the clock; coats as they were laid."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.utils.translation import gettext as _

from tallboy.book.doing import By, action
from tallboy.drawers.air.models import Reading
from tallboy.drawers.pieces.models import ClockEntry, Coat, Piece, Step, Wait
from tallboy.errors import BadInput, NotFound, Refused

READING_STAYS_TRUE = timedelta(hours=3)
LONGEST_STEP = 24 * 60


def _step(by: By, step: Step) -> Step:
    found = (
        Step.objects.select_for_update(of=("self",)).select_related("piece").filter(pk=step.pk, shop=by.shop).first()
    )
    if found is None:
        raise NotFound(_("There is no such step in this book."))
    if not found.piece.in_the_shop:
        raise Refused(_("%(piece)s has been handed over.") % {"piece": found.piece.name})
    return found


def stop_clock(by: By) -> ClockEntry | None:
    """End the person's running clock, if there is one. Part of other actions; not an action by itself."""
    entry = ClockEntry.objects.filter(person=by.person, ended_at__isnull=True).first()
    if entry is not None:
        entry.ended_at = max(by.at, entry.began_at)
        entry.save(update_fields=["ended_at"])
    return entry


def lead_stops(step: Step) -> bool:
    """Dusty work on old paint that nobody has tested for lead."""
    return step.dusty and step.piece.lead_unknown


@action
def start_step(by: By, step: Step) -> Step:
    """Begin a step, or take it up again, and start the person's clock on it."""
    step = _step(by, step)
    if not step.open:
        raise Refused(_("“%(step)s” is %(state)s.") % {"step": step.title, "state": step.get_state_display()})
    if lead_stops(step):
        raise Refused(
            _("“%(step)s” makes dust, and the old paint has not been tested for lead.") % {"step": step.title},
            _("Test it and record the result on the piece's page first. Local rules come first."),
        )
    stop_clock(by)
    if step.state == Step.State.TO_DO:
        step.state, step.began_at = Step.State.RUNNING, by.at
    step.not_before, step.reason = None, ""
    step.save(update_fields=["state", "began_at", "not_before", "reason"])
    ClockEntry.objects.create(**by.kept(), step=step, person=by.person, began_at=by.at)
    by.record("start step", step, _("Began “%(step)s”.") % {"step": step.title})
    return step


@action
def pause_step(by: By, step: Step) -> Step:
    """Stop the clock; the step stays begun."""
    step = _step(by, step)
    stop_clock(by)
    by.record("pause step", step, _("Laid “%(step)s” aside for now.") % {"step": step.title})
    return step


@action
def finish_step(by: By, step: Step, *, began_at: datetime | None = None, ml: float | None = None) -> Step:
    """A step is done. One that was never started counts as begun its estimated minutes ago, or at `began_at`.

    A coat step leaves the coat as it was laid, with the air of that hour where it was measured.
    """
    step = _step(by, step)
    if not step.open:
        raise Refused(_("“%(step)s” is %(state)s.") % {"step": step.title, "state": step.get_state_display()})
    if lead_stops(step):
        raise Refused(
            _("“%(step)s” makes dust, and the old paint has not been tested for lead.") % {"step": step.title},
            _("Test it and record the result on the piece's page first. Local rules come first."),
        )
    if ml is not None and not 0 < ml <= 20_000:
        raise BadInput(_("%(ml)s ml was used?") % {"ml": ml}, _("Give more than 0 and at most 20 000 ml."))
    started = step.began_at or began_at or by.at - timedelta(minutes=step.minutes)
    if started > by.at:
        raise BadInput(_("The step would have begun after it ended."), _("Give a time before now."))
    running = ClockEntry.objects.filter(step=step, ended_at__isnull=True)
    running.update(ended_at=by.at)
    if not ClockEntry.objects.filter(step=step).exists():
        ClockEntry.objects.create(**by.kept(), step=step, person=by.person, began_at=started, ended_at=by.at)
    step.state, step.began_at, step.ended_at, step.not_before = Step.State.DONE, started, by.at, None
    step.save(update_fields=["state", "began_at", "ended_at", "not_before"])
    if step.does == "coat" and step.product is not None:
        _lay_coat(by, step, ml)
    by.record("finish step", step, _("Done: “%(step)s”.") % {"step": step.title}, ml=ml)
    return step


def _lay_coat(by: By, step: Step, ml: float | None) -> None:
    """Write the coat down, and take what was used off the shelf where the amounts are known."""
    assert step.product is not None
    reading = Reading.objects.filter(shop=by.shop, at__lte=by.at, at__gte=by.at - READING_STAYS_TRUE).last()
    Coat.objects.create(
        **by.kept(),
        step=step,
        product=step.product,
        number=step.coat_number,
        area_m2=sum(surface.area_m2 for surface in step.surfaces.all()),
        laid_at=by.at,
        ml=ml,
        celsius=reading.celsius if reading else None,
        relative_humidity=reading.relative_humidity if reading else None,
    )
    if ml is not None and step.product.left_ml is not None:
        step.product.left_ml = max(0.0, step.product.left_ml - ml)
        step.product.save(update_fields=["left_ml"])


@action
def not_now(by: By, step: Step, until: datetime, reason: str = "") -> Step:
    """Put a step off until a moment later than now; its clock stops and the plan works around it."""
    step = _step(by, step)
    if step.state != Step.State.TO_DO:
        raise Refused(_("Only a step that has not begun can be put off."), _("Pause it instead."))
    if until <= by.at:
        raise BadInput(_("“Not now” ends before now."), _("Choose a later time."))
    step.not_before, step.reason = until, reason.strip()
    step.save(update_fields=["not_before", "reason"])
    by.record("not now", step, _("Not now: “%(step)s”.") % {"step": step.title}, until=until.isoformat())
    return step


@action
def skip_step(by: By, step: Step, reason: str) -> Step:
    """A step is not needed after all; the reason goes into the piece's record."""
    step = _step(by, step)
    if not step.open:
        raise Refused(_("“%(step)s” is %(state)s.") % {"step": step.title, "state": step.get_state_display()})
    if not reason.strip():
        raise BadInput(_("Why is “%(step)s” skipped?") % {"step": step.title}, _("Give the reason."))
    ClockEntry.objects.filter(step=step, ended_at__isnull=True).update(ended_at=by.at)
    step.state, step.ended_at, step.reason, step.not_before = Step.State.SKIPPED, by.at, reason.strip(), None
    step.save(update_fields=["state", "ended_at", "reason", "not_before"])
    by.record("skip step", step, _("Skipped “%(step)s”: %(reason)s") % {"step": step.title, "reason": reason})
    return step


@action
def take_up_again(by: By, step: Step) -> Step:
    """A step that was skipped is wanted after all."""
    step = _step(by, step)
    if step.state != Step.State.SKIPPED:
        raise Refused(_("Only a skipped step can be taken up again."))
    step.state, step.ended_at, step.began_at, step.reason = Step.State.TO_DO, None, None, ""
    step.save(update_fields=["state", "ended_at", "began_at", "reason"])
    by.record("take up again", step, _("Wanted after all: “%(step)s”.") % {"step": step.title})
    return step


@action
def change_minutes(by: By, step: Step, minutes: int) -> Step:
    """Change the estimate of a step's hands-on minutes."""
    step = _step(by, step)
    if not 5 <= minutes <= LONGEST_STEP:
        raise BadInput(
            _("%(minutes)s minutes of hands?") % {"minutes": minutes},
            _("Give 5 to %(most)s minutes.") % {"most": LONGEST_STEP},
        )
    before, step.minutes = step.minutes, minutes
    step.save(update_fields=["minutes"])
    by.record(
        "change minutes", step, _("“%(step)s” takes %(m)s min.") % {"step": step.title, "m": minutes}, before=before
    )
    return step


@action
def add_step(
    by: By, piece: Piece, title: str, minutes: int, *, after: Step | None = None, does: str = "repair"
) -> Step:
    """Add a step of one's own, after a given step or free of order."""
    if piece.shop_id != by.shop.pk or (after is not None and after.piece_id != piece.pk):
        raise NotFound(_("There is no such piece or step in this book."))
    title = title.strip()
    if not title or not 5 <= minutes <= LONGEST_STEP:
        raise BadInput(
            _("The new step has no name, or no sensible minutes."),
            _("Say what is to be done, and give 5 to %(most)s minutes.") % {"most": LONGEST_STEP},
        )
    last = Step.objects.filter(piece=piece).order_by("order").last()
    order = (last.order if last else 0) + 1
    step = Step.objects.create(
        **by.kept(), piece=piece, order=order, key=f"own-{order}", title=title, does=does, minutes=minutes
    )
    if after is not None:
        Wait.objects.create(**by.kept(), first=after, then=step)
    by.record("add step", step, _("Added the step “%(step)s”.") % {"step": title})
    return step
