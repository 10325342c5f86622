"""The shop's routes and repairs: read from the book, checked by `work.route`, first copied from the tables."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tallboy.book.models import Shop
from tallboy.drawers.pieces.models import Route
from tallboy.tables import load
from tallboy.work.route import (
    Repair,
    repair_from_dict,
    repair_to_dict,
    repairs_from_table,
    route_from_dict,
    route_to_dict,
    routes_from_table,
)
from tallboy.work.route import Route as WorkRoute


def ready_rows() -> list[dict[str, Any]]:
    """Columns of every ready-made route and repair in the tables."""
    ready = routes_from_table(load("routes")).values()
    mends = repairs_from_table(load("repairs")).values()
    return [_route_columns(route) for route in ready] + [_repair_columns(repair) for repair in mends]


def checked(kind: str, body: Mapping[str, Any]) -> dict[str, Any]:
    """Columns of a route row from plain data; BadInput says what is wrong in it and what would be accepted."""
    if kind == Route.Kind.ROUTE:
        return _route_columns(route_from_dict(body))
    return _repair_columns(repair_from_dict(body))


def _route_columns(route: WorkRoute) -> dict[str, Any]:
    return {"kind": Route.Kind.ROUTE, "key": route.key, "name": route.name, "body": route_to_dict(route)}


def _repair_columns(repair: Repair) -> dict[str, Any]:
    return {
        "kind": Route.Kind.REPAIR,
        "key": repair.fault_kind,
        "name": repair.name,
        "body": repair_to_dict(repair),
    }


def repairs(shop: Shop) -> dict[str, Repair]:
    """The shop's repairs by kind of fault."""
    rows = Route.objects.filter(shop=shop, kind=Route.Kind.REPAIR)
    return {row.key: repair_from_dict(row.body) for row in rows}
