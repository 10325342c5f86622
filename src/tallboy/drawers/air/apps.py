"""The air drawer as a Django app."""

from django.apps import AppConfig


class AirConfig(AppConfig):
    name = "tallboy.drawers.air"
    label = "air"
    default_auto_field = "django.db.models.BigAutoField"
