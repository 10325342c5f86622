"""The today drawer as a Django app."""

from django.apps import AppConfig


class TodayConfig(AppConfig):
    name = "tallboy.drawers.today"
    label = "today"
    default_auto_field = "django.db.models.BigAutoField"
