"""Making the demo shop: founded, stocked, four pieces taken in over two weeks and worked on by the plan until now."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import Any

from tallboy.book.actions import add_means, change_person, set_holidays, set_quiet_hours
from tallboy.book.doing import By, all_or_nothing
from tallboy.book.models import Shop
from tallboy.book.queries import demo_shop
from tallboy.demo.air import logger_text
from tallboy.demo.pictures import piece_picture
from tallboy.demo.pieces import BINS, KEPT, PIECES, DemoPiece
from tallboy.demo.working import work_until
from tallboy.desk.actions import add_row
from tallboy.drawers.air.actions import import_readings
from tallboy.drawers.air.logger_file import Answers
from tallboy.drawers.bins.actions import add_bin
from tallboy.drawers.pieces.actions.deliveries import expect
from tallboy.drawers.pieces.actions.desk import take_in_and_lay_out
from tallboy.drawers.pieces.actions.hardware import keep_part
from tallboy.drawers.pieces.models import Part, Piece, Step
from tallboy.drawers.shelf.actions import change_product, stock_usual_shelf
from tallboy.drawers.shelf.models import Product
from tallboy.drawers.soaks.actions import add_vessel, soak
from tallboy.drawers.soaks.models import Slot
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.opening import open_shop
from tallboy.errors import Refused
from tallboy.front.piecefile import read_piece_file

ZONE = "Europe/Lisbon"
PLAN_SECONDS = 1.0
FOUNDED = timedelta(days=30)
SCREWS_COME = timedelta(days=3)
# What an invented can says: touch, next coat from and until, hard [min], not below [°C].
VARNISH_LABEL: dict[str, Any] = {
    "touch_minutes": 300,
    "recoat_from_minutes": 720,
    "recoat_until_minutes": 5760,
    "cure_minutes": 10080,
    "minimum_celsius": 8.0,
    "left_ml": 640.0,
    "low_ml": 250.0,
    "note": "Stir, do not shake. Window for the next coat: 12 hours to 4 days; after that rub down.",
}
# Clamps by number, a rack by its surface [dm²].
MEANS = (("long clamps", "clamps", 8), ("short clamps", "clamps", 12), ("drying rack", "rack", 320))
# An invented wood, measured by the shop itself.
OWN_WOOD: dict[str, Any] = {
    "softwood": True,
    "radial_coefficient": 0.0014,
    "tangential_coefficient": 0.0026,
    "gravity_12": 0.52,
}


def demo_once(now: datetime) -> Shop:
    """The demo shop of this book, made at the first asking: whole or not at all, and never twice."""
    try:
        with all_or_nothing():
            return demo_shop() or make_demo(now).shop
    except Refused:
        # Somebody else asked at the same moment, and theirs was there first.
        made = demo_shop()
        if made is None:
            raise
        return made


def make_demo(now: datetime) -> By:
    """Make the demo shop in this book as it stands at `now`. Every change is an action with its journal row."""
    by = open_shop(
        name="The Quay Bench", person="Ines", at=now - FOUNDED, timezone=ZONE, currency="EUR", rate=38, is_demo=True
    )
    _stock(by)
    _settle(by)
    import_readings(by.later(now), logger_text(now, by.shop.tz).encode(), "quay-logger.csv", Answers())
    for chosen in PIECES:
        came = _morning(by.shop, now, chosen.days_ago)
        work_until(by, came)
        _bring_in(by.later(came), chosen, now)
        replan(by.later(came), seconds=PLAN_SECONDS)
    work_until(by, now)
    _soak_rusty_hinges(by.later(now))
    _expect_screws(by.later(now))
    replan(by.later(now), seconds=PLAN_SECONDS)
    return by.later(now)


def _soak_rusty_hinges(by: By) -> None:
    """The kept strap hinges lie in the flat tray, one a slot, while there is nothing else in it."""
    tray = Slot.objects.filter(vessel__shop=by.shop, vessel__name="flat tray").order_by("number")
    hinges = Part.objects.filter(shop=by.shop, name__startswith="strap hinge").order_by("number")
    for part, slot in zip(hinges, tray, strict=False):
        soak(by, part, slot)


def _expect_screws(by: By) -> None:
    """Screws for putting back the piece that came last are on their way: they come in time."""
    step = Step.objects.filter(shop=by.shop, does="put-back", state=Step.State.TO_DO).order_by("piece", "order").last()
    if step is not None:
        day = by.at.astimezone(by.shop.tz).date() + SCREWS_COME
        expect(by, "Brass screws, slotted, 16 mm", day, step=step)


def _stock(by: By) -> None:
    """Shelf, with one label copied from its can; bins with kept parts; two vessels."""
    stock_usual_shelf(by)
    varnish = Product.objects.get(shop=by.shop, coating="oil varnish")
    change_product(by, varnish, **VARNISH_LABEL)
    bins = [add_bin(by, rack, box, compartment) for rack, box, compartment in BINS]
    for kind, name, metal, screws, place in KEPT:
        keep_part(by, kind=kind, name=name, metal=metal, screws=screws, spot=bins[place].spot)
    add_vessel(by, "tall jar", 6)
    add_vessel(by, "flat tray", 8)
    add_row(by, "woods", "quay pine", OWN_WOOD, "measured and weighed at this bench", "Old deck planking.")


def _settle(by: By) -> None:
    """What Ines can do, whose holidays are kept, when it may be noisy, and what there is only so much of."""
    change_person(by, by.person.pk, name=by.person.name, works=True, skills=["french polishing"])
    set_holidays(by, "PT", keeps=True)
    set_quiet_hours(by, time(8), time(19))
    for name, kind, amount in MEANS:
        add_means(by, name, kind, amount)


def _morning(shop: Shop, now: datetime, days_ago: int) -> datetime:
    """Nine in the morning of a working day so many working days before today; never after `now`."""
    day = now.astimezone(shop.tz).date()
    left = days_ago
    while left > 0 or day.weekday() > 4:
        day -= timedelta(days=1)
        left -= day.weekday() < 5
    return min(datetime(day.year, day.month, day.day, 9, 0, tzinfo=shop.tz), now - timedelta(minutes=5))


def _bring_in(by: By, chosen: DemoPiece, now: datetime) -> Piece:
    text = chosen.text
    if chosen.promised_in is not None:
        text = f'promise = "{_promise(by.shop, now, chosen.promised_in).isoformat()}"\n' + text
    takein = read_piece_file(text, name=chosen.photo.replace(".jpg", ".toml"))
    picture = piece_picture(takein.width, takein.height, chosen.wood, chosen.rows)
    piece, _steps = take_in_and_lay_out(by, takein, {chosen.photo: picture}, chosen.route)
    return piece


def _promise(shop: Shop, now: datetime, days: int) -> date:
    day = now.astimezone(shop.tz).date() + timedelta(days=days)
    while day.weekday() > 4:
        day += timedelta(days=1)
    return day
