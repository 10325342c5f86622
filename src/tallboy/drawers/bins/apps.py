"""The bins drawer as a Django app."""

from django.apps import AppConfig


class BinsConfig(AppConfig):
    name = "tallboy.drawers.bins"
    label = "bins"
    default_auto_field = "django.db.models.BigAutoField"
