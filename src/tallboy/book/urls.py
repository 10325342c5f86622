"""Addresses of the shop's own pages."""

from __future__ import annotations

from django.urls import path

from tallboy.book import views

app_name = "book"
urlpatterns = [
    path("", views.shop, name="shop"),
    path("hours/", views.hours, name="hours"),
    path("days-off/", views.days_off, name="days-off"),
    path("days-off/<int:pk>/remove/", views.remove_day_off, name="remove-day-off"),
    path("places/", views.places, name="places"),
    path("journal/", views.journal, name="journal"),
    path("photo/<str:digest>/", views.photo, name="photo"),
    path("photo/<str:digest>/<int:side>/", views.thumbnail, name="thumbnail"),
]
