"""How long the server takes for each page of a large book, and what a page weighs.

    python -m bench.pages [--quick] [--json]

The book has 50 pieces in the shop, a wet coat on 20 of them, and 20 000 parts kept (5 pieces and 2 000 parts with --quick), on SQLite,
in a folder of its own.
Times are 95th percentiles of the server's own work, in this process, against the framework's floor: the answer to an address that
leads nowhere.
"""

from __future__ import annotations

import gc
import os
import re
import sys
import tempfile
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from bench.shared.figures import Figure, options, report

SLOWEST_MS = 100.0
HEAVIEST = 100_000
NOW = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)


def open_book(folder: str) -> None:
    os.environ["TALLBOY_BOOK"] = folder
    os.environ["DJANGO_SETTINGS_MODULE"] = "tallboy.web.settings"
    os.environ.pop("DATABASE_URL", None)
    import django
    from django.core.management import call_command

    django.setup()
    call_command("migrate", verbosity=0)


def _fill(pieces: int, parts: int) -> Any:
    """A shop with pieces by the usual actions, and parts kept in bins by rows written directly."""
    from tallboy.demo.air import logger_text
    from tallboy.drawers.air.actions import import_readings
    from tallboy.drawers.air.logger_answers import Answers
    from tallboy.drawers.bins.actions import add_bin
    from tallboy.drawers.pieces.actions.desk import take_in_and_lay_out
    from tallboy.drawers.shelf.actions import stock_usual_shelf
    from tallboy.drawers.today.opening import open_shop
    from tallboy.front.ready import ready_fronts, usual_size
    from tallboy.front.takein import TakeIn

    now = datetime.now(UTC)
    by = open_shop(name="Large bench", person="Ines", at=now - timedelta(days=40), timezone="Europe/Lisbon")
    stock_usual_shelf(by)
    import_readings(by.later(now), logger_text(now, by.shop.tz).encode(), "air.csv", Answers())
    fronts = list(ready_fronts().items())
    for number in range(pieces):
        kind, front = fronts[number % len(fronts)]
        width, height, depth = usual_size(kind)
        takein = TakeIn(f"{kind} {number}", "other", width, height, depth, front=front, painted_before="no")
        take_in_and_lay_out(by.later(now - timedelta(days=1)), takein, {}, "wax-only")
    _lay_coats(by, 20)
    _keep_parts(by, [add_bin(by, "rack", f"box {box}", "") for box in range(40)], parts)
    return by.later(now)


def _lay_coats(by: Any, count: int) -> None:
    """A coat laid this morning on so many pieces, and the next one waiting for it; fingers have found the can slow before."""
    from tallboy.drawers.pieces.actions.work import finish_step
    from tallboy.drawers.pieces.models import Piece, Step, Wait
    from tallboy.drawers.shelf.actions import write_touch
    from tallboy.drawers.shelf.models import Product

    can = Product.objects.get(shop=by.shop, coating="oil varnish")
    now = datetime.now(UTC)
    for number, piece in enumerate(Piece.objects.filter(shop=by.shop)[:count]):
        coats = [
            Step.objects.create(
                **by.kept(),
                piece=piece,
                order=200 + coat,
                key=f"own/{coat}",
                title=f"Coat {coat} of oil varnish on the carcase",
                does="coat",
                minutes=30,
                product=can,
                coating=can.coating,
            )
            for coat in (1, 2)
        ]
        Wait.objects.create(**by.kept(), first=coats[0], then=coats[1], kind="drying", from_label="recoat")
        finish_step(by.later(now - timedelta(minutes=60 + number)), coats[0])
        laid = now - timedelta(days=number + 1)
        write_touch(
            by.later(laid + timedelta(hours=20)),
            can,
            coat=f"earlier {number}",
            what="Earlier coat",
            stage="recoat",
            laid_at=laid,
            dry=number % 2 == 0,
        )


def _keep_parts(by: Any, bins: list[Any], count: int) -> None:
    from tallboy.book.models import Shop
    from tallboy.drawers.pieces.models import Move, Part

    kinds = ("hinge", "pull", "knob", "escutcheon", "lock", "wheel")
    first = Shop.objects.get(pk=by.shop.pk).parts_numbered + 1
    Part.objects.bulk_create(
        (
            Part(
                **by.kept(),
                number=first + number,
                kind=kinds[number % len(kinds)],
                name=f"{kinds[number % len(kinds)]} {number}",
                made_at=by.at,
                at_spot=bins[number % len(bins)].spot,
            )
            for number in range(count)
        ),
        batch_size=2000,
    )
    Shop.objects.filter(pk=by.shop.pk).update(parts_numbered=first + count)
    kept = Part.objects.filter(shop=by.shop, number__gte=first)
    Move.objects.bulk_create(
        (Move(**by.kept(), part=part, at=by.at, came_from="outside", went_to="bin") for part in kept), batch_size=2000
    )


def _addresses() -> dict[str, str]:
    from tallboy.drawers.bins.models import Bin
    from tallboy.drawers.pieces.models import Part, Piece, Position, Step
    from tallboy.drawers.shelf.models import Touch
    from tallboy.drawers.today.models import PlannedStep

    piece = Piece.objects.latest("id").pk
    return {
        "Today": "/",
        "the plan": "/plan/",
        "the month": "/plan/month/",
        "a day of the plan": f"/plan/day/{PlannedStep.objects.earliest('start').start:%Y-%m-%d}/",
        "why a step is then": f"/plan/why/{PlannedStep.objects.latest('start').step_id}/",
        "a piece's path": f"/pieces/{PlannedStep.objects.latest('start').step.piece_id}/path/",
        "Pieces": "/pieces/",
        "a piece": f"/pieces/{piece}/",
        "take-down": f"/pieces/{piece}/take-down/",
        "a position": f"/pieces/position/{Position.objects.latest('id').pk}/",
        "a part": f"/pieces/part/{Part.objects.latest('id').pk}/",
        "put-back": f"/pieces/{piece}/put-back/",
        "steps": f"/pieces/{piece}/steps/",
        "a step": f"/step/{Step.objects.latest('id').pk}/",
        "Bins": "/bins/",
        "a bin": f"/bins/{Bin.objects.latest('id').pk}/",
        "Soaks": "/soaks/",
        "Shelf": "/shelf/",
        "a can": f"/shelf/{Touch.objects.latest('id').product_id}/",
        "Air": "/air/",
        "Ledger": "/ledger/",
        "the shop": "/shop/",
    }


def _brought(markup: str) -> int:
    """Bytes of the style sheets and scripts that a page brings along."""
    from django.contrib.staticfiles import finders

    names = re.findall(r'(?:href|src)="/static/([^"]+\.(?:css|js))"', markup)
    return sum(Path(str(finders.find(name))).stat().st_size for name in names)


def _p95(client: Any, address: str, times: int) -> tuple[float, str]:
    """95th percentile of the server's time [ms] over so many askings after a first, and the page's markup."""
    markup, taken = "", []
    for number in range(times + 1):
        start = time.perf_counter()
        answer = client.get(address)
        spent = (time.perf_counter() - start) * 1000
        markup = answer.content.decode()
        if number:
            taken.append(spent)
    return sorted(taken)[int(len(taken) * 0.95)], markup


def figures(quick: bool) -> Iterator[Figure]:
    """Every page's time and weight."""
    from django.test import Client

    from tallboy.drawers.today.actions import replan

    by = _fill(*((5, 2_000) if quick else (50, 20_000)))
    start = time.perf_counter()
    replan(by, seconds=1.0 if quick else 3.0)
    yield Figure("plan of the whole book", time.perf_counter() - start, unit="s", note="one pair of hands")
    # What filled the book lies in this process only; no server would sweep through it between two pages.
    gc.collect()
    gc.freeze()
    client, times = Client(headers={"host": "127.0.0.1"}), 10 if quick else 40
    floor, _markup = _p95(client, "/no-such-page/", times)
    for name, address in _addresses().items():
        slow, markup = _p95(client, address, times)
        brought = _brought(markup)
        yield Figure(f"{name}: server time, p95", slow, floor, SLOWEST_MS, "ms", note="baseline: a page not found")
        yield Figure(f"{name}: markup, style and script", len(markup.encode()) + brought, brought, HEAVIEST, "bytes")


def main(argv: list[str] | None = None) -> int:
    args = options(__doc__).parse_args(argv)
    with tempfile.TemporaryDirectory(prefix="tallboy-bench-") as folder:
        open_book(folder)
        return report(figures(args.quick), argv)


if __name__ == "__main__":
    sys.exit(main())
