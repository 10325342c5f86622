"""Laying out the steps of a piece from a route and its faults."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from tallboy.book.doing import By, action
from tallboy.book.models import Place
from tallboy.book.queries import place_of_kind
from tallboy.drawers.pieces import routes
from tallboy.drawers.pieces.actions.guard import in_the_shop
from tallboy.drawers.pieces.actions.work import OWN
from tallboy.drawers.pieces.models import Piece, Position, Route, Step, Surface, Wait
from tallboy.drawers.shelf.models import Product
from tallboy.errors import BadInput, NotFound
from tallboy.tables import load
from tallboy.work import job as work
from tallboy.work.kinds import kind_names
from tallboy.work.route import route_from_dict, route_to_dict
from tallboy.work.unroll import unroll


@action
def stock_routes(by: By) -> None:
    """Copy the ready-made routes and repairs into the shop's book, where they may be edited."""
    have = set(Route.objects.filter(shop=by.shop).values_list("kind", "key"))
    fresh = [row for row in routes.ready_rows() if (row["kind"], row["key"]) not in have]
    Route.objects.bulk_create(Route(**by.kept(), **row) for row in fresh)
    by.record("stock routes", None, _("Copied %(count)s ready-made routes and repairs.") % {"count": len(fresh)})


@action
def change_route(by: By, route: Route, body: Mapping[str, object]) -> Route:
    """Replace a route or repair by an edited one, checked by the same reader that the tables use."""
    if route.shop_id != by.shop.pk:
        raise NotFound(_("There is no such route in this book."))
    before = route.body
    checked = routes.checked(route.kind, body)
    route.name, route.body = checked["name"], checked["body"]
    route.save(update_fields=["name", "body"])
    by.record("change route", route, _("Changed the route “%(name)s”.") % {"name": route.name}, before=before)
    return route


@action
def copy_route(by: By, route: Route, key: str, name: str) -> Route:
    """A new route that starts as a copy of another."""
    if route.shop_id != by.shop.pk or route.kind != Route.Kind.ROUTE:
        raise NotFound(_("There is no such route in this book."))
    if Route.objects.filter(shop=by.shop, kind=Route.Kind.ROUTE, key=key).exists():
        raise BadInput(_("There is already a route with the key %(key)s.") % {"key": key}, _("Give it another key."))
    body = route_to_dict(route_from_dict({**route.body, "key": key, "name": name}))
    made = Route.objects.create(**by.kept(), kind=Route.Kind.ROUTE, key=key, name=name, body=body)
    by.record("copy route", made, _("Made the route “%(name)s”.") % {"name": name})
    return made


@action
def lay_out(
    by: By,
    piece: Piece,
    route: Route,
    *,
    products: Mapping[str, Product] | None = None,
    coats: Mapping[str, int] | None = None,
    options: Iterable[str] = (),
) -> list[Step]:
    """Unroll a route and the repairs of the piece's faults into its steps and waits.

    Laid out again, what was begun, done, skipped or added by hand stays; only steps still to do are worked out anew. One
    that the route no longer has is dropped, or skipped with the reason where something is written of it.
    """
    piece = in_the_shop(by, piece)
    chosen = dict(products or {})
    if any(row.shop_id != by.shop.pk for row in (route, *chosen.values())):
        raise NotFound(_("There is no such route or product in this book."))
    parsed = route_from_dict(route.body)
    unrolled = unroll(parsed, routes.repairs(by.shop), job_of(piece, chosen, coats or {}, options))
    steps = _store_steps(by, piece, unrolled.steps, chosen)
    _store_waits(by, steps, unrolled.waits)
    _put_in_order(piece, [step.pk for step in steps.values()])
    piece.route = route.key
    piece.save(update_fields=["route"])
    by.record(
        "lay out",
        piece,
        _("Laid out %(count)s steps for %(piece)s by “%(route)s”.")
        % {"count": len(steps), "piece": piece.name, "route": route.name},
    )
    return list(steps.values())


def job_of(piece: Piece, products: Mapping[str, Product], coats: Mapping[str, int], options: Iterable[str]) -> work.Job:
    """All that a route is unrolled over for this piece."""
    return work.Job(
        surfaces=tuple(work.Surface(str(s.pk), s.name, s.group, s.area_m2) for s in piece.surfaces.all()),
        parts=tuple(_part_item(position) for position in piece.positions.prefetch_related("came_off")),
        faults=tuple(work.FaultItem(str(f.pk), f.kind, f.where, str(f)) for f in piece.faults.all()),
        products={role: work.Product(str(p.pk), _in_a_sentence(p.name), p.coating) for role, p in products.items()},
        coats=dict(coats),
        options=frozenset(options),
        old_paint_unknown=piece.old_paint,
        lead_test_recorded=bool(piece.lead_test),
        lead_found=piece.lead_test == Piece.Lead.FOUND,
        has_old_finish=bool(piece.old_finish) or piece.old_paint,
        kind_names=kind_names(load("kinds")),
    )


def _in_a_sentence(name: str) -> str:
    """A can's name inside a step's title: "Oil varnish" becomes "oil varnish", "PVA glue" stays."""
    return name[:1].lower() + name[1:] if name[1:2].islower() else name


def _part_item(position: Position) -> work.PartItem:
    """What is on a position: the part that came off it, or what is expected there before take-down."""
    part = next(iter(position.came_off.all()), None)
    if part is not None:
        return work.PartItem(str(position.pk), position.name, part.kind, part.decision)
    decision = "replace" if position.missing_at_take_in else "clean"
    return work.PartItem(str(position.pk), position.name, position.kind, decision)


def _store_steps(
    by: By,
    piece: Piece,
    drafts: Iterable[work.StepDraft],
    products: Mapping[str, Product],
) -> dict[str, Step]:
    have = {step.key: step for step in Step.objects.filter(piece=piece)}
    places = {kind: place_of_kind(by.shop, kind) for kind in Place.Kind.values}
    wanted = list(drafts)
    keys = {draft.key for draft in wanted}
    _drop_unwanted(by, [step for step in have.values() if step.key not in keys and step.window_of_id is None])
    stored: dict[str, Step] = {}
    for order, draft in enumerate(wanted, start=1):
        step = have.get(draft.key) or Step(**by.kept(), piece=piece, key=draft.key)
        step.order = order
        if step.pk is None or step.state == Step.State.TO_DO:
            fill_step(step, draft, places, products)
        step.save()
        if step.state == Step.State.TO_DO:
            step.surfaces.set(Surface.objects.filter(piece=piece, pk__in=map(int, draft.surface_keys)))
            step.positions.set(Position.objects.filter(piece=piece, pk__in=map(int, draft.part_keys)))
        stored[draft.key] = step
    return stored


def fill_step(
    step: Step,
    draft: work.StepDraft,
    places: Mapping[str, Place | None],
    products: Mapping[str, Product],
) -> None:
    """Write what a route says of a step into it; nothing is stored."""
    product = products.get(draft.product_role)
    step.title, step.does, step.note = draft.title, draft.does, draft.note
    step.minutes, step.spread_minutes, step.hands = draft.minutes, draft.spread_minutes, draft.hands
    step.place, step.dusty, step.split = places[draft.place], draft.dusty, draft.split
    step.skill, step.noisy, step.clamps, step.rack_dm2 = draft.skill, draft.noisy, draft.clamps, draft.rack_dm2
    step.solvent, step.ignition = draft.solvent, draft.ignition
    step.fault_id = int(draft.fault_key) if draft.fault_key else None
    step.product = product
    step.coating = product.coating if product else draft.class_key
    step.coat_number, step.coats = draft.coat_number, draft.coats
    step.cautions, step.needs = list(draft.cautions), list(draft.needs)


def _drop_unwanted(by: By, steps: Iterable[Step]) -> None:
    """Take away steps that the route no longer has; what was begun, done, skipped or added by hand stays."""
    gone = [step for step in steps if step.state == Step.State.TO_DO and not step.key.startswith(OWN)]
    _drop_waits(by, Wait.objects.filter(Q(first__in=gone) | Q(then__in=gone)))
    for step in gone:
        if step.notes.exists() or step.photos.exists() or step.clock.exists() or step.deliveries.exists():
            step.state, step.ended_at, step.not_before = Step.State.SKIPPED, by.at, None
            step.reason = _("no longer in the route when the steps were laid out again")
            step.save(update_fields=["state", "ended_at", "not_before", "reason"])
        else:
            step.delete()


def _drop_waits(by: By, waits: QuerySet[Wait]) -> None:
    """Take away waits, and the scuff sandings still to do that were to make good their missed windows."""
    numbers = list(waits.values_list("pk", flat=True))
    scuffs = list(Step.objects.filter(window_of__in=numbers, state=Step.State.TO_DO))
    Wait.objects.filter(pk__in=numbers).delete()
    if scuffs:
        _drop_unwanted(by, scuffs)


def _put_in_order(piece: Piece, wanted: Sequence[int]) -> None:
    """Number the steps: those that only an older route had first, then the route's, each followed by what hangs on it.

    A scuff sanding stands before the coat that it makes ready for.
    """
    rows = {step.pk: step for step in piece.steps.select_related("window_of").order_by("order", "pk")}
    after = dict(Wait.objects.filter(then__in=set(rows) - set(wanted)).order_by("-pk").values_list("then", "first"))
    order: list[int] = list(wanted)
    first = 0
    for pk, step in rows.items():
        if pk in wanted:
            continue
        if step.window_of is not None and step.window_of.then_id in order:
            order.insert(order.index(step.window_of.then_id), pk)
        elif after.get(pk) in order:
            order.insert(order.index(after[pk]) + 1, pk)
        elif step.key.startswith(OWN):
            order.append(pk)
        else:
            order.insert(first, pk)
            first += 1
    for number, pk in enumerate(order, start=1):
        rows[pk].order = number
    Step.objects.bulk_update(rows.values(), ["order"])


def _store_waits(by: By, steps: Mapping[str, Step], drafts: Iterable[work.WaitDraft]) -> None:
    """Write the waits down. One that was there stays the same row, for a scuff sanding may hang on it."""
    ids = [step.pk for step in steps.values()]
    have = {(wait.first_id, wait.then_id): wait for wait in Wait.objects.filter(first__in=ids, then__in=ids)}
    fresh, kept = [], set()
    for draft in drafts:
        first, then, columns = steps[draft.first], steps[draft.then], wait_columns(draft)
        old = have.get((first.pk, then.pk))
        if old is None:
            fresh.append(Wait(**by.kept(), first=first, then=then, **columns))
        else:
            kept.add(old.pk)
            Wait.objects.filter(pk=old.pk).exclude(**columns).update(**columns)
    _drop_waits(by, Wait.objects.filter(pk__in=[wait.pk for wait in have.values()]).exclude(pk__in=kept))
    Wait.objects.bulk_create(fresh)


def wait_columns(draft: work.WaitDraft) -> dict[str, Any]:
    """What a route says of a wait, as columns of its row."""
    return {
        "kind": draft.kind,
        "least_minutes": round(draft.least_minutes),
        "most_minutes": None if draft.most_minutes is None else round(draft.most_minutes),
        "from_label": draft.from_label,
        "text": draft.text,
    }
