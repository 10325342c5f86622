"""Changes to the shop itself: its settings, people, hours, days off, places and means, and its photographs."""

from tallboy.book.actions.days_off import add_day_off, add_days_off, keep_holiday, remove_day_off, work_on_holiday
from tallboy.book.actions.hours import set_hours
from tallboy.book.actions.means import add_means, change_means, remove_means
from tallboy.book.actions.people import add_person, change_person
from tallboy.book.actions.photos import keep_photo
from tallboy.book.actions.places import add_place, change_place
from tallboy.book.actions.shop import change_shop, found_shop, set_evenings, set_holidays, set_quiet_hours

__all__ = [
    "add_day_off",
    "add_days_off",
    "add_means",
    "add_person",
    "add_place",
    "change_means",
    "change_person",
    "change_place",
    "change_shop",
    "found_shop",
    "keep_holiday",
    "keep_photo",
    "remove_day_off",
    "remove_means",
    "set_evenings",
    "set_holidays",
    "set_hours",
    "set_quiet_hours",
    "work_on_holiday",
]
