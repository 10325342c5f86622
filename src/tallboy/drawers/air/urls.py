"""Addresses of the Air drawer."""

from __future__ import annotations

from django.urls import path

from tallboy.drawers.air import views, views_files

app_name = "air"
urlpatterns = [
    path("", views.air, name="air"),
    path("add/", views.add, name="add"),
    path("readings/<int:pk>/take-back/", views.take_back, name="take-back"),
    path("files/", views_files.bring, name="bring"),
    path("files/answers/", views_files.answers, name="answers"),
    path("files/<int:pk>/", views_files.file, name="file"),
    path("files/<int:pk>/take-back/", views_files.take_back_file, name="take-back-file"),
]
