"""The ledger drawer as a Django app."""

from django.apps import AppConfig


class LedgerConfig(AppConfig):
    name = "tallboy.drawers.ledger"
    label = "ledger"
    default_auto_field = "django.db.models.BigAutoField"
