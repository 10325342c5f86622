"""The book as a Django app: what every drawer stands on."""

from django.apps import AppConfig


class BookConfig(AppConfig):
    name = "tallboy.book"
    label = "book"
    default_auto_field = "django.db.models.BigAutoField"
