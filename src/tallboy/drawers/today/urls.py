"""Addresses of the Today drawer, and of the steps that a plan is made of."""

from __future__ import annotations

from django.urls import path

from tallboy.drawers.today import (
    views,
    views_lead,
    views_needs,
    views_plan,
    views_run,
    views_steps,
    views_sure,
    views_what_if,
)

app_name = "today"
urlpatterns = [
    path("", views.today, name="today"),
    path("plan/", views.plan, name="plan"),
    path("plan/again/", views.plan_again, name="plan-again"),
    path("plan/run/", views_run.improve, name="plan-improve"),
    path("plan/run/<int:pk>/", views_run.run, name="plan-run"),
    path("plan/run/<int:pk>/stop/", views_run.stop, name="plan-run-stop"),
    path("plan/sure/", views_sure.sure, name="sure"),
    path("plan/month/", views_plan.month, name="plan-month"),
    path("plan/day/<str:day>/", views_plan.day, name="plan-day"),
    path("plan/why/<int:pk>/", views_plan.why, name="why"),
    path("what-if/", views_what_if.what_if, name="what-if"),
    path("what-if/rescue/", views_what_if.rescue, name="rescue"),
    path("plan.ics", views_run.plan_ics, name="plan-ics"),
    path("day-sheet.pdf", views.day_sheet, name="day-sheet"),
    path("pieces/<int:pk>/path/", views_plan.path, name="path"),
    path("pieces/<int:pk>/lead-test/", views_lead.lead_test, name="lead-test"),
    path("pieces/<int:pk>/steps/", views_steps.steps, name="steps"),
    path("pieces/<int:pk>/steps/lay-out/", views_steps.lay_out, name="lay-out"),
    path("pieces/<int:pk>/steps/add/", views_steps.add, name="add-step"),
    path("step/<int:pk>/", views_steps.step, name="step"),
    path("step/<int:pk>/start/", views_steps.start, name="start"),
    path("step/<int:pk>/pause/", views_steps.pause, name="pause"),
    path("step/<int:pk>/done/", views_steps.done, name="done"),
    path("step/<int:pk>/not-now/", views_steps.not_now, name="not-now"),
    path("step/<int:pk>/touch/", views_steps.touch, name="touch"),
    path("step/<int:pk>/skip/", views_steps.skip, name="skip"),
    path("step/<int:pk>/again/", views_steps.again, name="again"),
    path("step/<int:pk>/minutes/", views_steps.minutes, name="minutes"),
    path("step/<int:pk>/needs/", views_needs.needs, name="needs"),
    path("step/<int:pk>/note/", views_steps.note, name="note"),
    path("step/<int:pk>/photo/", views_steps.photo, name="photo"),
    path("on-its-way/", views_needs.deliveries, name="deliveries"),
    path("on-its-way/new/", views_needs.expect, name="expect"),
    path("on-its-way/<int:pk>/", views_needs.expected_on, name="expected-on"),
    path("on-its-way/<int:pk>/came/", views_needs.came, name="came"),
    path("on-its-way/<int:pk>/call-off/", views_needs.call_off, name="call-off"),
]
