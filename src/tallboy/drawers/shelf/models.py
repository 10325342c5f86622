"""What stands on the shelf, what its label says, and what fingers told of its coats."""

from __future__ import annotations

from django.core.validators import MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from tallboy.book.models import Kept


class Product(Kept):
    """One material: its class (a key of the coatings table), the label's own times, and how much is left.

    Times are minutes at the label's °C and % RH. Where the label is silent the class's usual value serves, and says so.
    """

    name = models.CharField(_("name"), max_length=120)
    coating = models.CharField(_("what it is"), max_length=40)
    touch_minutes = models.PositiveIntegerField(_("touch dry after"), null=True, blank=True)
    recoat_from_minutes = models.PositiveIntegerField(_("recoat from"), null=True, blank=True)
    recoat_until_minutes = models.PositiveIntegerField(_("recoat until"), null=True, blank=True)
    cure_minutes = models.PositiveIntegerField(_("cured after"), null=True, blank=True)
    label_celsius = models.FloatField(_("label's temperature"), default=23)
    label_humidity = models.FloatField(_("label's humidity"), default=50)
    minimum_celsius = models.FloatField(_("not below"), null=True, blank=True)
    spreading_rate = models.FloatField(
        _("spreading rate"), null=True, blank=True, validators=[MinValueValidator(0.1)], help_text=_("m² a litre")
    )
    left_ml = models.FloatField(_("left"), null=True, blank=True, validators=[MinValueValidator(0)])
    low_ml = models.FloatField(_("low below"), null=True, blank=True, validators=[MinValueValidator(0)])
    note = models.CharField(_("note"), max_length=300, blank=True)

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(fields=["shop", "name"], name="product_name_once"),
            models.CheckConstraint(
                condition=models.Q(recoat_until_minutes__isnull=True)
                | models.Q(recoat_from_minutes__isnull=True)
                | models.Q(recoat_until_minutes__gt=models.F("recoat_from_minutes")),
                name="product_window_opens_before_it_closes",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def runs_low(self) -> bool:
        return self.left_ml is not None and self.low_ml is not None and self.left_ml < self.low_ml


class Touch(Kept):
    """A finger on a coat of a product: was it dry enough for a stage (touch, recoat, cure), or not yet?

    `coat` is the name that whoever laid the coat knows it by, `what` the words for people.
    """

    product = models.ForeignKey(Product, on_delete=models.PROTECT, related_name="touches")
    coat = models.CharField(max_length=40)
    what = models.CharField(_("coat"), max_length=200, blank=True)
    stage = models.CharField(max_length=8)
    laid_at = models.DateTimeField(_("laid"))
    at = models.DateTimeField(_("touched"))
    dry = models.BooleanField(_("dry enough"))

    class Meta:
        ordering = ["-at", "-id"]
        constraints = [
            models.CheckConstraint(condition=models.Q(at__gt=models.F("laid_at")), name="touched_after_it_was_laid")
        ]

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d %H:%M} {self.coat} {self.stage}"
