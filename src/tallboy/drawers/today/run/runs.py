"""Runs in which the plan is improved, as rows: begun, how far they are, asked to stop, ended. One at a time in a shop."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any, Literal

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from tallboy.book.doing import By, action
from tallboy.book.models import Shop
from tallboy.drawers.today.models import PlanRun
from tallboy.errors import NotFound, OutOfRange, Refused

LEAST_SECONDS, MOST_SECONDS = 0.1, 600
# A run gives a sign of life twice a second, and waits for a busy book up to 20 s. One that is silent for longer has gone.
SILENT = timedelta(seconds=30)
Word = Literal["go on", "stop", "gone"]
RUNNING = PlanRun.State.RUNNING


def run_of(shop: Shop, pk: int) -> PlanRun:
    """The shop's run with this number, or NotFound."""
    found = PlanRun.objects.filter(shop=shop, pk=pk).first()
    if found is None:
        raise NotFound(_("There is no such run."), _("Look at the plan's page."))
    return found


def newest_run(shop: Shop) -> PlanRun | None:
    """The run that goes on, else the last one."""
    return PlanRun.objects.filter(shop=shop).first()


def left_behind(run: PlanRun, now: datetime) -> bool:
    """Whether a run says that it goes on, but whoever did it has gone."""
    return run.state == RUNNING and run.told_at < now - SILENT


def as_it_is(run: PlanRun, now: datetime) -> PlanRun:
    """The run as it is to be shown: one that was left behind has failed, even before the next run closes it."""
    if left_behind(run, now):
        run.state, run.message = PlanRun.State.FAILED, _left_behind_words()
    return run


def _left_behind_words() -> str:
    return _("The program was closed before this run had ended. The plan in force is the last one that was kept.")


@action
def begin_run(by: By, seconds: float) -> PlanRun:
    """Begin to improve the plan for so many seconds. Raises Refused while another run of the shop goes on."""
    if not LEAST_SECONDS <= seconds <= MOST_SECONDS:
        raise OutOfRange(_("How long to improve the plan"), seconds, LEAST_SECONDS, MOST_SECONDS, "s")
    close_left_behind(by)
    if PlanRun.objects.filter(shop=by.shop, state=RUNNING).exists():
        raise Refused(_("The plan is being improved already."), _("Wait until that has ended, or stop it."))
    run = PlanRun.objects.create(**by.kept(), begun_at=by.at, told_at=by.at, seconds=seconds)
    by.record("improve plan", run, _("Began to improve the plan, for %(seconds)g s at most.") % {"seconds": seconds})
    return run


@action
def ask_to_stop(by: By, run: PlanRun) -> None:
    """Ask a run to stop and to keep the best plan so far. Raises Refused when it has ended."""
    close_left_behind(by)
    if not PlanRun.objects.filter(pk=run.pk, state=RUNNING).update(stop_asked=True):
        raise Refused(_("This run has ended already."))
    by.record("stop improving", run, _("Asked to stop improving the plan."))


@action
def end_run(by: By, run: PlanRun, state: PlanRun.State, message: str) -> None:
    """Close a run. Raises Refused when somebody has closed it before."""
    still = PlanRun.objects.filter(pk=run.pk, state=RUNNING)
    if not still.update(state=state, message=message, ended_at=by.at, told_at=by.at):
        raise Refused(_("This run has ended already."))
    by.record("improved plan", run, message)


def close_left_behind(by: By) -> None:
    """Close what a program that was ended has left behind. Part of other actions."""
    for run in _running(by.shop):
        if left_behind(run, by.at):
            end_run(by, run, PlanRun.State.FAILED, _left_behind_words())


def _running(shop: Shop) -> QuerySet[PlanRun]:
    return PlanRun.objects.filter(shop=shop, state=RUNNING)


def tell(run: PlanRun, at: datetime, progress: dict[str, Any]) -> Word:
    """Write down how far a run is: two short statements, no change of the book and so no line in the journal.

    Gives what the run should do next: "stop" when it was asked to, "gone" when it has been closed meanwhile.
    """
    if not PlanRun.objects.filter(pk=run.pk, state=RUNNING).update(told_at=at, progress=progress):
        return "gone"
    asked = PlanRun.objects.filter(pk=run.pk, stop_asked=True).exists()
    return "stop" if asked else "go on"
