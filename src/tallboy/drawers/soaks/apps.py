"""The soaks drawer as a Django app."""

from django.apps import AppConfig


class SoaksConfig(AppConfig):
    name = "tallboy.drawers.soaks"
    label = "soaks"
    default_auto_field = "django.db.models.BigAutoField"
