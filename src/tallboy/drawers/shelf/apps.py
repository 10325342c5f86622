"""The shelf drawer as a Django app."""

from django.apps import AppConfig


class ShelfConfig(AppConfig):
    name = "tallboy.drawers.shelf"
    label = "shelf"
    default_auto_field = "django.db.models.BigAutoField"
