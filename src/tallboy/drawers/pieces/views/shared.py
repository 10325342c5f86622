"""What the views of this drawer share."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest
from django.urls import reverse
from django.utils.text import Truncator
from django.utils.translation import gettext as _

from tallboy.book.doing import By
from tallboy.book.models import Shop
from tallboy.book.pages import shop_of
from tallboy.drawers.pieces import queries
from tallboy.drawers.pieces.actions.hardware import add_spot
from tallboy.drawers.pieces.forms import NEW_SPOT
from tallboy.drawers.pieces.models import Piece, Spot
from tallboy.errors import BadFile, BadInput
from tallboy.paper.sheets import SHEETS

LARGEST_UPLOAD = 200_000_000
# As much of a name as fits on a phone beside the number.
LONGEST_CRUMB = 18


def leaves(piece: Piece, opened: str) -> list[dict[str, Any]]:
    """The sections of a piece's pages."""
    rows = (
        ("piece", _("Front"), reverse("pieces:piece", args=[piece.pk])),
        ("take-down", _("Take-down"), reverse("pieces:take-down", args=[piece.pk])),
        ("steps", _("Steps"), reverse("today:steps", args=[piece.pk])),
        ("put-back", _("Put-back"), reverse("pieces:put-back", args=[piece.pk])),
        ("papers", _("Papers"), reverse("pieces:papers", args=[piece.pk])),
    )
    return [{"name": name, "url": url, "open": key == opened} for key, name, url in rows]


def crumbs(piece: Piece | None = None) -> list[dict[str, str]]:
    """Where a page is: the drawer, then the piece."""
    rows = [{"name": _("Pieces"), "url": reverse("pieces:pieces")}]
    if piece is not None:
        rows.append(
            {
                "name": f"{piece.number} {Truncator(piece.name).chars(LONGEST_CRUMB)}",
                "url": reverse("pieces:piece", args=[piece.pk]),
            }
        )
    return rows


def label_sheets(request: HttpRequest) -> dict[str, Any]:
    """The label sheets to choose from, and the one used last, or the usual one of the shop's paper."""
    usual = "letter-30" if shop_of(request).paper == Shop.Paper.LETTER else "a4-24"
    return {
        "sheets": [(key, sheet.name) for key, sheet in SHEETS.items()],
        "sheet": request.session.get("sheet", usual),
    }


def chosen_spot(by: By, cleaned: dict[str, Any]) -> Spot:
    """The place chosen on a form; a new tray is added first."""
    if cleaned["spot"] == NEW_SPOT:
        return add_spot(by, cleaned["new_spot"], Spot.Kind.TRAY)
    return queries.spot(by.shop, int(cleaned["spot"]))


def photo_upload(request: HttpRequest, name: str = "photo") -> tuple[bytes, str] | None:
    """The photograph sent with a form, whichever of its two buttons was used; None when there is none.

    Raises BadFile before reading one that no camera makes.
    """
    sent = [file for file in request.FILES.getlist(name) if file.size]
    return _read(sent[0]) if sent else None


def needed_photo(request: HttpRequest) -> tuple[bytes, str]:
    """The photograph sent with a form that is about nothing else; BadInput when there is none."""
    sent = photo_upload(request)
    if sent is None:
        raise BadInput(_("No photograph came with the form."), _("Take one, or choose one."))
    return sent


def photo_uploads(request: HttpRequest, name: str) -> list[tuple[bytes, str]]:
    """All photographs sent with a form."""
    return [_read(file) for file in request.FILES.getlist(name) if file.size]


def _read(file: UploadedFile[Any]) -> tuple[bytes, str]:
    name = file.name or _("the photograph")
    if file.size is not None and file.size > LARGEST_UPLOAD:
        raise BadFile(
            _("%(name)s is far too large for a photograph.") % {"name": name},
            _("A photograph may have %(most)s MB at most.") % {"most": f"{settings.PHOTO_MEGABYTES:g}"},
        )
    return file.read(), name
