"""Addresses of the Ledger drawer."""

from __future__ import annotations

from django.urls import path

from tallboy.drawers.ledger import views

app_name = "ledger"
urlpatterns = [
    path("", views.ledger, name="ledger"),
    path("pieces/<int:pk>/", views.piece, name="piece"),
    path("clock/<int:pk>/correct/", views.correct, name="correct"),
    path("clock.csv", views.clock, name="csv"),
]
