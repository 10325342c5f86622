"""Taking a piece in and laying out its steps in one go, all or nothing."""

from __future__ import annotations

from collections.abc import Mapping

from django.utils.translation import gettext as _

from tallboy.book.doing import By, all_or_nothing
from tallboy.drawers.pieces import queries
from tallboy.drawers.pieces.actions.intake import take_in
from tallboy.drawers.pieces.actions.layout import lay_out
from tallboy.drawers.pieces.models import Piece, Step
from tallboy.drawers.shelf.models import Product
from tallboy.errors import BadInput
from tallboy.front.takein import TakeIn
from tallboy.work.route import route_from_dict


def take_in_and_lay_out(
    by: By, takein: TakeIn, photos: Mapping[str, bytes], route_key: str | None = None
) -> tuple[Piece, list[Step]]:
    """Take a piece in and, when a route is named here or in the take-in, lay out its steps with the shelf's usual cans.

    Part of other actions, each with its own journal row. Raises BadInput for a route the shop does not have.
    """
    with all_or_nothing():
        piece = take_in(by, takein, photos)
        key = route_key or takein.route
        if not key:
            return piece, []
        routes = {route.key: route for route in queries.routes_of(by.shop)}
        if key not in routes:
            raise BadInput(
                _("There is no route %(key)s.") % {"key": repr(key)},
                _("One of: %(keys)s.") % {"keys": ", ".join(routes)},
            )
        return piece, lay_out(by, piece, routes[key], products=usual_cans(by, routes[key].body))


def usual_cans(by: By, body: Mapping[str, object]) -> dict[str, Product]:
    """For each role of a route, the shelf's first can of the class it usually takes, where there is one.

    Part of other actions; it only reads.
    """
    wanted = route_from_dict(body).products
    found = {role: Product.objects.filter(shop=by.shop, coating=usual).first() for role, usual in wanted.items()}
    return {role: can for role, can in found.items() if can is not None}
