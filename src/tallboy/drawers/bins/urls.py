"""Addresses of the Bins drawer."""

from __future__ import annotations

from django.urls import path

from tallboy.drawers.bins import views

app_name = "bins"
urlpatterns = [
    path("", views.bins, name="bins"),
    path("add/", views.add, name="add"),
    path("parts/", views.parts, name="parts"),
    path("keep/", views.keep, name="keep"),
    path("<int:pk>/", views.one_bin, name="bin"),
    path("part/<int:pk>/move/", views.move, name="move"),
    path("part/<int:pk>/gone/", views.gone, name="gone"),
    path("retire/<int:pk>/", views.retire, name="retire"),
]
