"""Before an action touches a piece: it must be this shop's, and most changes need it to be in the shop still."""

from __future__ import annotations

from django.utils.translation import gettext as _

from tallboy.book.doing import By
from tallboy.drawers.pieces.models import Piece
from tallboy.errors import NotFound, Refused


def ours(by: By, piece: Piece) -> Piece:
    """The piece, freshly read and locked. Raises NotFound when it is another shop's. Part of other actions."""
    found = Piece.objects.select_for_update().filter(pk=piece.pk, shop=by.shop).first()
    if found is None:
        raise NotFound(_("There is no such piece in this book."))
    return found


def in_the_shop(by: By, piece: Piece) -> Piece:
    """The piece, freshly read and locked. Raises Refused when it has been handed over. Part of other actions."""
    found = ours(by, piece)
    refuse_gone(found)
    return found


def refuse_gone(piece: Piece) -> None:
    """Raises Refused for a piece that is no longer in the shop."""
    if not piece.in_the_shop:
        raise Refused(
            _("%(piece)s has been handed over.") % {"piece": piece.name}, _("Notes and photographs can still be added.")
        )
