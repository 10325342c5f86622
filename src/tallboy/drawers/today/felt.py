"""The coat of a step that was laid, under the finger: what may be asked of it, what was found, when it should be dry."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from tallboy.book.doing import By, action
from tallboy.drawers.pieces.models import Step
from tallboy.drawers.shelf.actions import write_touch
from tallboy.drawers.shelf.models import Touch
from tallboy.drawers.shelf.words import touch_words
from tallboy.drawers.today.gathering.waits import Waits, coat_key, may_be_felt
from tallboy.errors import NeverDries, NotFound, Refused
from tallboy.sums.drying import STAGES, Estimate

TWICE_WITHIN = timedelta(minutes=1)


@dataclass(frozen=True)
class Found:
    """One touch, in words."""

    at: datetime
    told: str


@dataclass(frozen=True)
class CoatFelt:
    """A coat that dries: for which stage a finger can tell ("" when for none), what was found so far, and when it should be dry, or why
    it would not."""

    stage: str
    found: list[Found] = field(default_factory=list)
    estimate: Estimate | None = None
    dry_at: datetime | None = None
    trouble: str = ""


@action
def touch_coat(by: By, step: Step, stage: str, dry: bool) -> Touch:
    """Write down what a finger found just now of the coat that a step laid: dry enough for a stage, or not yet."""
    found = (
        Step.objects.select_for_update(of=("self",)).select_related("piece", "product").filter(pk=step.pk, shop=by.shop)
    )
    row = found.first()
    if row is None:
        raise NotFound(_("There is no such step in this book."))
    if not may_be_felt(row) or row.product is None or row.ended_at is None:
        raise Refused(
            _("“%(step)s” has laid no coat that a finger could tell of.") % {"step": row.title},
            _("It must be done, from a can on the shelf, and not glue."),
        )
    if told_already(by, row, stage, dry):
        raise Refused(_("That was written down a moment ago."), _("Look at the page again before you repeat it."))
    what = f"{row.piece.name}: {row.title}"
    return write_touch(by, row.product, coat=coat_key(row), what=what, stage=stage, laid_at=row.ended_at, dry=dry)


def told_already(by: By, step: Step, stage: str, dry: bool) -> bool:
    """Whether the same was written down a moment ago: a second tap."""
    if stage not in STAGES:
        return False
    last = touches_of(step).filter(stage=stage).first()
    return last is not None and last.dry == dry and abs(by.at - last.at) < TWICE_WITHIN


def touches_of(step: Step) -> QuerySet[Touch]:
    """What was found of the coat that a step laid, the newest first."""
    return Touch.objects.filter(shop=step.shop_id, product=step.product_id, coat=coat_key(step))


def coat_felt(step: Step, now: datetime) -> CoatFelt | None:
    """What the page of a done step says of the coat or the glue it laid; None where nothing that comes after waits for its label."""
    if step.state != Step.State.DONE or step.ended_at is None:
        return None
    waits = list(step.waits_after.exclude(from_label="").values_list("kind", "from_label"))
    if not waits:
        return None
    asked = [stage for kind, stage in waits if kind == "drying"] if may_be_felt(step) else []
    found = [Found(row.at, touch_words(row)) for row in touches_of(step)]
    try:
        estimate = Waits(step.shop, now, [step]).estimate(step, _last(stage for _kind, stage in waits))
    except NeverDries as error:
        return CoatFelt(_last(asked), found, trouble=str(error))
    dry_at = None if estimate is None else step.ended_at + timedelta(minutes=estimate.minutes)
    return CoatFelt(_last(asked), found, estimate, dry_at)


def _last(stages: Iterable[str]) -> str:
    """The stage that is reached last, "" when there is none."""
    return max(stages, key=STAGES.index, default="")
