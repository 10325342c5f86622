"""Addresses of the Shelf drawer."""

from __future__ import annotations

from django.urls import path

from tallboy.drawers.shelf import views

app_name = "shelf"
urlpatterns = [
    path("", views.shelf, name="shelf"),
    path("usual/", views.stock, name="stock"),
    path("add/", views.add, name="add"),
    path("<int:pk>/", views.product, name="product"),
    path("<int:pk>/change/", views.change, name="change"),
    path("<int:pk>/weigh/", views.weigh, name="weigh"),
    path("touch/<int:pk>/take-back/", views.take_back_touch, name="take-back-touch"),
]
