"""What a shop adds to the trade's tables."""

from __future__ import annotations

from django.db import models
from django.db.models.functions import Lower
from django.utils.translation import gettext_lazy as _

from tallboy.book.models import Kept


class OwnRow(Kept):
    """One row that the shop added to a table: its name there, its values by column, and where they come from.

    The printed rows lie in files and are never touched; this one stands beside them.
    """

    table = models.CharField(_("table"), max_length=40)
    key = models.CharField(_("name"), max_length=80)
    values = models.JSONField(_("values"), default=dict)
    source = models.CharField(_("source"), max_length=300)
    note = models.CharField(_("note"), max_length=300, blank=True)
    added_at = models.DateTimeField(_("added"))

    class Meta:
        ordering = ["table", "key"]
        constraints = [models.UniqueConstraint("shop", "table", Lower("key"), name="own_row_once")]

    def __str__(self) -> str:
        return self.key
