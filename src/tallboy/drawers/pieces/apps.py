"""The pieces drawer as a Django app."""

from django.apps import AppConfig


class PiecesConfig(AppConfig):
    name = "tallboy.drawers.pieces"
    label = "pieces"
    default_auto_field = "django.db.models.BigAutoField"
