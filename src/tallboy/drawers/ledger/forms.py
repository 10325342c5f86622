"""Forms of the Ledger drawer."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from tallboy.book.models import Shop
from tallboy.drawers.pieces.models import ClockEntry

MINUTE = "%Y-%m-%dT%H:%M"


def _moment(label: Any) -> forms.DateTimeField:
    return forms.DateTimeField(
        label=label,
        input_formats=[MINUTE, "%Y-%m-%dT%H:%M:%S"],
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format=MINUTE),
    )


class CorrectionForm(forms.Form):
    """The true times of one stretch of work, by the shop's clock, and why the clock was wrong."""

    began = _moment(_("Began"))
    ended = _moment(_("Ended"))
    reason = forms.CharField(label=_("Why the clock was wrong"), max_length=200)

    @classmethod
    def of(cls, entry: ClockEntry, shop: Shop) -> CorrectionForm:
        """The form filled in with what the clock says; the end of a running clock is left open."""
        return cls(initial={"began": _local(entry.began_at, shop), "ended": _local(entry.ended_at, shop)})


def _local(at: datetime | None, shop: Shop) -> datetime | None:
    return None if at is None else at.astimezone(shop.tz).replace(second=0, microsecond=0)
