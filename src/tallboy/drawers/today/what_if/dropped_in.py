"""A piece that is not in the shop: its steps and waits as rows that are never stored, to be planned beside the others."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from typing import TypeVar

from tallboy.book.models import Place, Shop
from tallboy.book.queries import place_of_kind
from tallboy.drawers.pieces.actions.layout import fill_step, job_of, wait_columns
from tallboy.drawers.pieces.models import Piece, Route, Step, Wait
from tallboy.drawers.shelf.models import Product
from tallboy.work.route import route_from_dict
from tallboy.work.unroll import unroll

M = TypeVar("M", Piece, Step, Wait)
# No row of a book has a number below zero.
NEW = -1


@dataclass(frozen=True)
class DroppedIn:
    """A piece with its steps and waits; none of them is in the book."""

    piece: Piece
    steps: tuple[Step, ...]
    waits: tuple[Wait, ...]


def dropped_in(like: Piece, name: str, ready: date | None, route: Route | None = None) -> DroppedIn:
    """A piece like another one, from its first step on: with that piece's own steps or, over its surfaces and parts, with a route.

    Its faults are not copied with a route: a route gives the usual minutes of a sound piece.
    """
    piece = _copy(like, pk=NEW)
    piece.name, piece.promise, piece.number, piece.shop = name, ready, "", like.shop
    return _with_route(piece, like, route) if route is not None else _with_its_steps(piece, like)


def _copy(row: M, **changed: object) -> M:
    """A row with the columns of another, unsaved."""
    columns = {column.attname: getattr(row, column.attname) for column in row._meta.concrete_fields}
    return type(row)(**{**columns, **changed})


def _with_its_steps(piece: Piece, like: Piece) -> DroppedIn:
    """What was done counts as still to do; what was skipped stays skipped, and a scuff sanding was an accident."""
    rows = list(Step.objects.filter(piece=like, window_of=None).select_related("place", "product", "shop", "owner"))
    steps: dict[int, Step] = {}
    for number, row in enumerate(rows, start=1):
        step = _copy(row, pk=NEW - number, not_before=None, began_at=None)
        if row.state != Step.State.SKIPPED:
            step.state, step.ended_at = Step.State.TO_DO, None
        step.piece, step.place, step.product, step.shop = piece, row.place, row.product, row.shop
        steps[row.pk] = step
    asked = Wait.objects.filter(first__in=steps, then__in=steps)
    waits = [
        _copy(w, pk=NEW - k, first_id=steps[w.first_id].pk, then_id=steps[w.then_id].pk) for k, w in enumerate(asked)
    ]
    return DroppedIn(piece, tuple(steps.values()), tuple(waits))


def _with_route(piece: Piece, like: Piece, route: Route) -> DroppedIn:
    parsed = route_from_dict(route.body)
    cans = usual_cans(like.shop, parsed.products.items())
    unrolled = unroll(parsed, {}, replace(job_of(like, cans, {}, ()), faults=()))
    places = {kind: place_of_kind(like.shop, kind) for kind in Place.Kind.values}
    steps: dict[str, Step] = {}
    for number, draft in enumerate(unrolled.steps, start=1):
        step = Step(pk=NEW - number, shop=like.shop, owner=like.owner, piece=piece, key=draft.key, order=number)
        fill_step(step, draft, places, cans)
        steps[draft.key] = step
    waits = [
        Wait(pk=NEW - number, first_id=steps[draft.first].pk, then_id=steps[draft.then].pk, **wait_columns(draft))
        for number, draft in enumerate(unrolled.waits)
    ]
    return DroppedIn(piece, tuple(steps.values()), tuple(waits))


def usual_cans(shop: Shop, roles: Iterable[tuple[str, str]]) -> dict[str, Product]:
    """For each role of a route the shop's first can of its usual class, where it has one."""
    first: dict[str, Product] = {}
    for can in Product.objects.filter(shop=shop).order_by("-pk"):
        first[can.coating] = can
    return {role: first[usual] for role, usual in roles if usual in first}
