"""Every address of the book."""

from __future__ import annotations

from django.urls import include, path

from tallboy.web import views

# Django's own looks for a form's token in the very body that could not be read, and fails once more.
handler400 = views.unreadable

urlpatterns = [
    path("welcome/", views.welcome, name="welcome"),
    path("welcome/demo/", views.visit_demo, name="visit-demo"),
    path("welcome/own/", views.own_book, name="own-book"),
    path("shop/", include("tallboy.book.urls")),
    path("", include("tallboy.drawers.today.urls")),
    path("", include("tallboy.desk.urls")),
    path("pieces/", include("tallboy.drawers.pieces.urls")),
    path("bins/", include("tallboy.drawers.bins.urls")),
    path("soaks/", include("tallboy.drawers.soaks.urls")),
    path("shelf/", include("tallboy.drawers.shelf.urls")),
    path("air/", include("tallboy.drawers.air.urls")),
    path("ledger/", include("tallboy.drawers.ledger.urls")),
]
