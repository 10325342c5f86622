"""Forms of the Ledger drawer."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from tallboy.book.fields import MomentField, to_the_minute
from tallboy.book.models import Shop
from tallboy.drawers.pieces.models import ClockEntry


class CorrectionForm(forms.Form):
    """The true times of one stretch of work, by the shop's clock, and why the clock was wrong."""

    began = MomentField(label=_("Began"))
    ended = MomentField(label=_("Ended"))
    reason = forms.CharField(label=_("Why the clock was wrong"), max_length=200)

    @classmethod
    def of(cls, entry: ClockEntry, shop: Shop) -> CorrectionForm:
        """The form filled in with what the clock says; the end of a running clock is left open."""
        ended = None if entry.ended_at is None else to_the_minute(entry.ended_at, shop)
        return cls(initial={"began": to_the_minute(entry.began_at, shop), "ended": ended})
