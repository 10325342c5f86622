"""Addresses of the shop's own pages."""

from __future__ import annotations

from django.urls import path

from tallboy.book import views, views_hours, views_people, views_places

app_name = "book"
urlpatterns = [
    path("", views.shop, name="shop"),
    path("hours/", views_hours.hours, name="hours"),
    path("days-off/", views_hours.days_off, name="days-off"),
    path("days-off/<int:pk>/remove/", views_hours.remove_day_off, name="remove-day-off"),
    path("holidays/", views_hours.holidays, name="holidays"),
    path("holidays/<str:day>/worked/", views_hours.work_on_holiday, name="work-on-holiday"),
    path("holidays/<str:day>/keep/", views_hours.keep_holiday, name="keep-holiday"),
    path("noise/", views_hours.noise, name="noise"),
    path("people/", views_people.people, name="people"),
    path("people/<int:pk>/", views_people.person, name="person"),
    path("people/<int:pk>/hours/", views_people.person_hours, name="person-hours"),
    path("people/<int:pk>/days-off/", views_people.person_days_off, name="person-days-off"),
    path(
        "people/<int:pk>/days-off/<int:row>/remove/",
        views_people.remove_persons_day_off,
        name="remove-persons-day-off",
    ),
    path("places/", views_places.places, name="places"),
    path("places/<int:pk>/", views_places.place, name="place"),
    path("places/<int:pk>/hours/", views_places.place_hours, name="place-hours"),
    path("means/", views_places.all_means, name="means"),
    path("means/<int:pk>/", views_places.one_of_the_means, name="one-of-the-means"),
    path("means/<int:pk>/remove/", views_places.remove_means, name="remove-means"),
    path("journal/", views.journal, name="journal"),
    path("photo/<str:digest>/", views.photo, name="photo"),
    path("photo/<str:digest>/<int:side>/", views.thumbnail, name="thumbnail"),
]
