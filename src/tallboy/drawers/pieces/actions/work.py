"""Working through the steps: start, done, not now, skip; the clock; coats as they were laid."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from tallboy.book.doing import By, action
from tallboy.book.models import Person
from tallboy.drawers.air import queries as air
from tallboy.drawers.pieces.actions.guard import in_the_shop
from tallboy.drawers.pieces.lead import is_lead_test, lead_caution, lead_stops
from tallboy.drawers.pieces.models import ClockEntry, Coat, Piece, Step, Wait
from tallboy.drawers.shelf.models import Product
from tallboy.errors import BadInput, NotFound, Refused

READING_STAYS_TRUE = timedelta(hours=3)
LEAST_STEP, LONGEST_STEP = 5, 24 * 60
MOST_ML = 20_000
# No step of a route has a slash in its key, so what was added by hand is never taken for one of them.
OWN = "own/"
DUSTY = ("sand", "rub-down")


def _step(by: By, step: Step) -> Step:
    found = (
        Step.objects.select_for_update(of=("self",)).select_related("piece").filter(pk=step.pk, shop=by.shop).first()
    )
    if found is None:
        raise NotFound(_("There is no such step in this book."))
    if not found.piece.in_the_shop:
        raise Refused(_("%(piece)s has been handed over.") % {"piece": found.piece.name})
    return found


def running_clock(person: Person, step: Step) -> ClockEntry | None:
    """A person's clock on this step, if it runs."""
    return ClockEntry.objects.filter(person=person, step=step, ended_at__isnull=True).first()


def _stop(by: By, entries: QuerySet[ClockEntry]) -> None:
    """End these clocks where they run. Part of other actions; not an action by itself."""
    for entry in entries.filter(ended_at__isnull=True):
        entry.ended_at = max(by.at, entry.began_at)
        entry.save(update_fields=["ended_at"])


def _still_open(step: Step) -> None:
    if not step.open:
        raise Refused(_("“%(step)s” is %(state)s.") % {"step": step.title, "state": step.get_state_display()})


def _no_lead_dust(step: Step) -> None:
    """Nothing stirs old paint before it was tested for lead."""
    if lead_stops(step):
        raise Refused(
            _("“%(step)s” stirs old paint that has not been tested for lead.") % {"step": step.title},
            _("Test it and record the result on the piece's page first. %(caution)s") % {"caution": lead_caution()},
        )


def _test_is_recorded(step: Step) -> None:
    """A lead test ends with its result, or it would say nothing."""
    if is_lead_test(step) and step.piece.lead_unknown:
        raise Refused(
            _("“%(step)s” is done when its result is recorded.") % {"step": step.title},
            _("Record on the piece's page what the test said: that ends this step."),
        )


@action
def start_step(by: By, step: Step) -> Step:
    """Begin a step, or take it up again, and start the person's clock on it."""
    step = _step(by, step)
    _still_open(step)
    _no_lead_dust(step)
    if running_clock(by.person, step) is not None:
        raise Refused(_("Your clock runs on “%(step)s” already.") % {"step": step.title})
    # A person has one clock: two steps begun in two tabs at the same moment take turns here.
    Person.objects.select_for_update().get(pk=by.person.pk)
    _stop(by, ClockEntry.objects.filter(person=by.person))
    if step.state == Step.State.TO_DO:
        step.state, step.began_at = Step.State.RUNNING, by.at
    step.not_before, step.reason = None, ""
    step.save(update_fields=["state", "began_at", "not_before", "reason"])
    ClockEntry.objects.create(**by.kept(), step=step, person=by.person, began_at=by.at)
    by.record("start step", step, _("Began “%(step)s”.") % {"step": step.title})
    return step


@action
def pause_step(by: By, step: Step) -> Step:
    """Stop the person's clock on a step; the step stays begun."""
    step = _step(by, step)
    if running_clock(by.person, step) is None:
        raise Refused(_("Your clock does not run on “%(step)s”.") % {"step": step.title})
    _stop(by, ClockEntry.objects.filter(person=by.person, step=step))
    by.record("pause step", step, _("Laid “%(step)s” aside for now.") % {"step": step.title})
    return step


@action
def finish_step(by: By, step: Step, *, began_at: datetime | None = None, ml: float | None = None) -> Step:
    """A step is done. One that was never started counts as begun its estimated minutes ago, or at `began_at`.

    A coat step leaves the coat as it was laid, with the air of that hour where it was measured.
    """
    step = _step(by, step)
    _still_open(step)
    _no_lead_dust(step)
    _test_is_recorded(step)
    if ml is not None and not 0 < ml <= MOST_ML:
        raise BadInput(
            _("%(ml)s ml was used?") % {"ml": f"{ml:g}"},
            _("Give more than 0 and at most %(most)s ml.") % {"most": MOST_ML},
        )
    started = step.began_at or began_at or by.at.astimezone(UTC) - timedelta(minutes=step.minutes)
    if started > by.at:
        raise BadInput(_("The step would have begun after it ended."), _("Give a time before now."))
    _stop(by, ClockEntry.objects.filter(step=step))
    if not ClockEntry.objects.filter(step=step).exists():
        ClockEntry.objects.create(**by.kept(), step=step, person=by.person, began_at=started, ended_at=by.at)
    step.state, step.began_at, step.ended_at = Step.State.DONE, started, by.at
    step.not_before, step.reason = None, ""
    step.save(update_fields=["state", "began_at", "ended_at", "not_before", "reason"])
    if step.does == "coat" and step.product_id is not None:
        _lay_coat(by, step, step.product_id, ml)
    by.record("finish step", step, _("Done: “%(step)s”.") % {"step": step.title}, ml=ml)
    return step


def _lay_coat(by: By, step: Step, product_pk: int, ml: float | None) -> None:
    """Write the coat down, and take what was used off the shelf where the amounts are known."""
    product = Product.objects.select_for_update().get(pk=product_pk)
    reading = air.latest(by.shop, by.at)
    fresh = reading is not None and by.at - reading.at <= READING_STAYS_TRUE
    Coat.objects.create(
        **by.kept(),
        step=step,
        product=product,
        number=step.coat_number,
        area_m2=sum(surface.area_m2 for surface in step.surfaces.all()),
        laid_at=by.at,
        ml=ml,
        celsius=reading.celsius if reading is not None and fresh else None,
        relative_humidity=reading.relative_humidity if reading is not None and fresh else None,
    )
    if ml is not None and product.left_ml is not None:
        product.left_ml = max(0.0, product.left_ml - ml)
        product.save(update_fields=["left_ml"])


@action
def not_now(by: By, step: Step, until: datetime, reason: str = "") -> Step:
    """Put a step that has not begun off until a moment later than now; the plan works around it."""
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
    _still_open(step)
    if not reason.strip():
        raise BadInput(_("Why is “%(step)s” skipped?") % {"step": step.title}, _("Give the reason."))
    _stop(by, ClockEntry.objects.filter(step=step))
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
    """Change the estimate of an open step's hands-on minutes."""
    step = _step(by, step)
    _still_open(step)
    _check_minutes(minutes)
    before, step.minutes = step.minutes, minutes
    step.save(update_fields=["minutes"])
    by.record(
        "change minutes", step, _("“%(step)s” takes %(m)s min.") % {"step": step.title, "m": minutes}, before=before
    )
    return step


def _check_minutes(minutes: int) -> None:
    if not LEAST_STEP <= minutes <= LONGEST_STEP:
        raise BadInput(
            _("%(minutes)s minutes of hands?") % {"minutes": minutes},
            _("Give %(least)s to %(most)s minutes.") % {"least": LEAST_STEP, "most": LONGEST_STEP},
        )


@action
def add_step(
    by: By,
    piece: Piece,
    title: str,
    minutes: int,
    *,
    after: Step | None = None,
    does: str = "repair",
    dusty: bool = False,
) -> Step:
    """Add a step of one's own, after a given step or free of order. Sanding and rubbing down make dust, said or not."""
    piece = in_the_shop(by, piece)
    if after is not None and after.piece_id != piece.pk:
        raise NotFound(_("There is no such step of %(piece)s.") % {"piece": piece.name})
    title = title.strip()
    if not title:
        raise BadInput(_("The new step has no name."), _("Say in a few words what is to be done."))
    _check_minutes(minutes)
    order = max(piece.steps.values_list("order", flat=True), default=0) + 1
    step = Step.objects.create(
        **by.kept(), piece=piece, order=order, key=_own_key(piece), title=title, does=does, minutes=minutes,
        dusty=dusty or does in DUSTY,
    )  # fmt: skip
    if after is not None:
        Wait.objects.create(**by.kept(), first=after, then=step)
    by.record("add step", step, _("Added the step “%(step)s”.") % {"step": title})
    return step


def _own_key(piece: Piece) -> str:
    keys = piece.steps.filter(key__startswith=OWN).values_list("key", flat=True)
    return f"{OWN}{max((int(key.removeprefix(OWN)) for key in keys), default=0) + 1}"
