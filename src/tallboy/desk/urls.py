"""Addresses of the desk: sums, tables, published checks."""

from __future__ import annotations

from django.urls import path

from tallboy.desk import views_checks, views_sums, views_tables

app_name = "desk"
urlpatterns = [
    path("sums/", views_sums.sums, name="sums"),
    path("sums/<slug:name>/", views_sums.one_sum, name="sum"),
    path("tables/", views_tables.tables, name="tables"),
    path("tables/<slug:name>/", views_tables.one_table, name="table"),
    path("tables/<slug:name>/add/", views_tables.add, name="add-row"),
    path("tables/own/<int:pk>/change/", views_tables.change, name="change-row"),
    path("tables/own/<int:pk>/take-back/", views_tables.take_back, name="take-row-back"),
    path("checks/", views_checks.checks, name="checks"),
    path("checks/<slug:family>/", views_checks.of_family, name="checks-of"),
]
