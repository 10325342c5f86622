"""Addresses of the Soaks drawer."""

from __future__ import annotations

from django.urls import path

from tallboy.drawers.soaks import views

app_name = "soaks"
urlpatterns = [
    path("", views.soaks, name="soaks"),
    path("add/", views.add, name="add"),
    path("<int:pk>/", views.vessel, name="vessel"),
    path("slot/<int:pk>/", views.slot, name="slot"),
    path("slot/<int:pk>/put/", views.put_in, name="put-in"),
    path("slot/<int:pk>/empty/", views.empty, name="empty"),
]
