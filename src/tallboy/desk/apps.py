"""The desk as a Django app."""

from django.apps import AppConfig


class DeskConfig(AppConfig):
    name = "tallboy.desk"
    label = "desk"
    default_auto_field = "django.db.models.BigAutoField"
