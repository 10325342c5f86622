"""How long each paper takes to print, and how large it is: `python -m bench.paper [--quick] [--json]`.

Every print has other text, because the compiler keeps what it has already set. The first of each kind is left out: it
reads the type. The aim is 300 ms a paper, so that pressing “print” feels like pressing a button.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from statistics import median

from bench.shared.figures import Figure, options, report
from bench.shared.stationery import MADE_AT, drawing, photo
from tallboy.paper import (
    SHEETS,
    AirNow,
    DaySheet,
    DayStep,
    DayWait,
    Drawing,
    PutBack,
    PutBackList,
    Tag,
    TakeDownRecord,
    TakenOff,
    day_sheet,
    put_back_list,
    tags,
    take_down_record,
)

AIM_MS = 300.0
Printer = Callable[[int], bytes]


def _tags(sheet: str) -> Printer:
    def printed(run: int) -> bytes:
        labels = [
            Tag(f"P-{run:02d}{at:02d}", "cup pull, brass", "2026-014", f"Dresser {run}", at + 1, f"drawer {at}, pull", 2,
                f"http://192.168.1.20:8765/p/{run}{at:02d}")
            for at in range(24)
        ]  # fmt: skip
        return tags(labels, sheet, made_at=MADE_AT)

    return printed


def _drawing(run: int) -> Drawing:
    """A front with sixty circles, as large as the fronts of real pieces."""
    circles = "".join(
        f'<circle cx="{at % 10 * 13 + 12}" cy="{at // 10 * 13 + 20}" r="4" fill="none" stroke="#26211c"/>'
        f'<text x="{at % 10 * 13 + 10}" y="{at // 10 * 13 + 22}" font-size="4">{at + run}</text>'
        for at in range(60)
    )
    plain = drawing()
    return replace(plain, svg=plain.svg.replace("</svg>", f"{circles}</svg>"))


def _record(run: int, photos: bool = False) -> bytes:
    rows = tuple(
        TakenOff(at + 1, f"drawer {at}, pull {run}", f"P-{at:04d}", "cup pull, brass", 2, "dirty", "clean", "tray B",
                 photos=(photo(60 + at),) if photos else ())
        for at in range(30)
    )  # fmt: skip
    given = TakeDownRecord("2026-014", f"Dresser {run}", "9 March 2026", drawing=_drawing(run), positions=rows)
    return take_down_record(given, made_at=MADE_AT)


def _day(run: int) -> bytes:
    steps = tuple(
        DayStep(
            f"{8 + at % 9}:00", 30, f"Dresser {run}", f"Coat number {at}", "The last one is dry.", ("Open a window.",)
        )
        for at in range(16)
    )
    waits = tuple(DayWait(f"coat {at} of {run}", "9:00", "drying", "± 30 min", "Dresser", "drying") for at in range(6))
    return day_sheet(DaySheet(f"day {run}", 2, AirNow("17 °C", "60 %", "9 °C", "11 %"), steps, waits), made_at=MADE_AT)


def _put_back(run: int) -> bytes:
    rows = tuple(PutBack(at + 1, f"drawer {at}", f"P-{at:04d}", f"pull {run}", 2, "tray B") for at in range(60))
    return put_back_list(PutBackList("2026-014", f"Dresser {run}", rows, _drawing(run)), made_at=MADE_AT)


PAPERS: dict[str, Printer] = {
    **{f"24 tags, {sheet}": _tags(sheet) for sheet in SHEETS},
    "take-down record, 30 parts": _record,
    "take-down record, 30 parts, 30 photographs": lambda run: _record(run, photos=True),
    "day sheet, 16 steps": _day,
    "put-back list, 60 positions": _put_back,
}


def figures(runs: int) -> Iterator[Figure]:
    """Median time of each paper after the first, with its size."""
    for name, printer in PAPERS.items():
        size = len(printer(0))
        times = []
        for run in range(1, runs + 1):
            start = time.perf_counter()
            printer(run)
            times.append((time.perf_counter() - start) * 1000)
        note = f"slowest {max(times):.0f} ms, {size / 1000:.0f} kB"
        yield Figure(name, median(times), AIM_MS, AIM_MS, "ms", note=note)


def main(argv: Sequence[str] | None = None) -> int:
    """Print the figures; 1 when an aim is missed."""
    chosen = options(__doc__).parse_args(argv)
    return report(figures(5 if chosen.quick else 25), argv if argv is not None else sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
