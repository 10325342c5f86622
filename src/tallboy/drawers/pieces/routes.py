"""The shop's routes and repairs: read from the book, checked by `work.route`, first copied from the tables."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from tallboy.book.models import Shop
from tallboy.drawers.pieces.models import Route
from tallboy.tables import load
from tallboy.work.route import Repair, repair_from_dict, repair_to_dict, route_from_dict, route_to_dict


def ready_rows() -> list[dict[str, Any]]:
    """Columns of every ready-made route and repair in the tables."""
    made = [checked(Route.Kind.ROUTE, row) for row in load("routes")["route"]]
    return made + [checked(Route.Kind.REPAIR, row) for row in load("repairs")["repair"]]


def checked(kind: str, body: Mapping[str, Any]) -> dict[str, Any]:
    """Columns of a route row from plain data; BadInput says what is wrong in it and what would be accepted."""
    if kind == Route.Kind.ROUTE:
        route = route_from_dict(body)
        return {"kind": kind, "key": route.key, "name": route.name, "body": route_to_dict(route)}
    repair = repair_from_dict(body)
    return {"kind": kind, "key": repair.fault_kind, "name": repair.name, "body": repair_to_dict(repair)}


def repairs(shop: Shop) -> dict[str, Repair]:
    """The shop's repairs by kind of fault."""
    rows = Route.objects.filter(shop=shop, kind=Route.Kind.REPAIR)
    return {row.key: repair_from_dict(row.body) for row in rows}


@cache
def kind_names() -> dict[str, tuple[str, str]]:
    """For each kind of part, its name for one and for many."""
    return {row["key"]: (row["name"], row["plural"]) for row in load("kinds")["part"]}
