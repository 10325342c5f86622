"""A bench with steps on it for the tests of the Today drawer: pieces with one or two steps, laid out by hand."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from tallboy.book.doing import By
from tallboy.drawers.air.models import Reading
from tallboy.drawers.pieces.actions.intake import take_in
from tallboy.drawers.pieces.actions.work import finish_step, start_step
from tallboy.drawers.pieces.models import Piece, Step, Wait
from tallboy.drawers.shelf.actions import add_product
from tallboy.drawers.shelf.models import Product
from tallboy.front.takein import TakeIn
from tallboy.planner import network
from tallboy.planner.slots.grid import wait_minutes

# The air of a shop that nobody has read, so that a label written for it holds as it is.
USUAL = {"label_celsius": 18.0, "label_humidity": 60.0}


def chair(by: By, name: str = "Kitchen chair", **fields: Any) -> Piece:
    """A piece with no front and nothing to strip."""
    told = TakeIn(name=name, kind="chair", width=420, height=860, depth=440, painted_before="no", **fields)
    return take_in(by, told)


def step(piece: Piece, title: str, minutes: int = 30, **fields: Any) -> Step:
    """A step to do, the last of its piece."""
    order = piece.steps.count() + 1
    columns = {"does": "repair", **fields}
    return Step.objects.create(
        shop=piece.shop, owner=piece.owner, piece=piece, order=order, key=f"step-{order}", title=title, minutes=minutes,
        **columns,
    )  # fmt: skip


def wait(first: Step, then: Step, **fields: Any) -> Wait:
    """One step after another."""
    return Wait.objects.create(shop=first.shop, owner=first.owner, first=first, then=then, **fields)


def varnish(by: By, name: str = "Clear varnish", **fields: Any) -> Product:
    """A can that says: touch dry after 1 h, next coat from 4 h, cured after 2 days, in this shop's own air."""
    label = {"touch_minutes": 60, "recoat_from_minutes": 240, "cure_minutes": 2880, **USUAL}
    return add_product(by, name, "oil varnish", **{**label, **fields})


def coat(piece: Piece, title: str, can: Product, minutes: int = 30, **fields: Any) -> Step:
    """A coat from a can."""
    return step(piece, title, minutes, does="coat", product=can, coating=can.coating, **fields)


def done(by: By, of: Step, began: datetime, ended: datetime) -> Step:
    """A step that was really begun and ended at these times."""
    start_step(by.later(began), of)
    return finish_step(by.later(ended), of)


def cold(by: By, celsius: float, days: int = 15) -> None:
    """The air was as cold as this, day and night, until now."""
    Reading.objects.bulk_create(
        Reading(**by.kept(), at=by.at - timedelta(hours=hour), celsius=celsius, relative_humidity=60)
        for hour in range(days * 24)
    )


def asked(problem: network.Problem, key: Step) -> network.Step:
    """A step as the planner is asked about it."""
    return next(found for found in problem.steps if found.key == str(key.pk))


def link(problem: network.Problem, first: Step, then: Step, kind: str | None = None) -> network.Link:
    """The wait between two steps as the planner is asked about it."""
    return next(
        found
        for found in problem.links
        if (found.first, found.then) == (str(first.pk), str(then.pk)) and kind in (None, found.kind)
    )


def closes(problem: network.Problem, first: Step, then: Step, laid: datetime) -> int:
    """Minutes after which the window between two steps closes for a coat laid at that moment."""
    most = link(problem, first, then).most
    assert most is not None
    return most if isinstance(most, int) else wait_minutes(most, laid)
