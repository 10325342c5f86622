"""How long the parts of `make demo` take, after everything is installed.

    python -m bench.demo [--quick] [--json]

Each part is held against the whole. There is nothing to make smaller, so --quick does the same.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

from bench.pages import open_book
from bench.shared.figures import Figure, options, report

WHOLE_S, HELP_S = 40.0, 0.3


def figures(folder: Path) -> Iterator[Figure]:
    """The empty book, the shop, the papers; then the whole command, and --help beside a bare interpreter."""
    spent: dict[str, float] = {}
    start = time.perf_counter()
    open_book(str(folder / "book"))
    spent["an empty book"] = time.perf_counter() - start
    from tallboy.demo.shop import make_demo
    from tallboy.drawers.pieces.queries import in_the_shop
    from tallboy.drawers.today.write_papers import write_papers

    start = time.perf_counter()
    by = make_demo(datetime.now(UTC))
    spent["the shop, worked on by its plans"] = time.perf_counter() - start
    start = time.perf_counter()
    wanted = [
        ("day-sheet", None),
        *((paper, p) for p in in_the_shop(by.shop) for paper in ("tags", "take-down", "put-back")),
    ]
    list(write_papers(by, wanted, folder / "papers"))
    spent["all its papers"] = time.perf_counter() - start
    whole = sum(spent.values())
    for name, seconds in spent.items():
        yield Figure(f"demo: {name}", seconds, whole, unit="s")
    yield Figure("demo: all of it", whole, whole, WHOLE_S, "s")
    bare = _fastest([sys.executable, "-c", "pass"])
    yield Figure(
        "tallboy --help",
        _fastest([sys.executable, "-m", "tallboy", "--help"]),
        bare,
        HELP_S,
        "s",
        note="baseline: a bare interpreter",
    )


def _fastest(command: list[str]) -> float:
    """The fastest of five runs [s]."""
    return min(_timed(command) for _run in range(5))


def _timed(command: list[str]) -> float:
    start = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - start


def main(argv: list[str] | None = None) -> int:
    options(__doc__).parse_args(argv)
    with tempfile.TemporaryDirectory(prefix="tallboy-bench-") as folder:
        return report(figures(Path(folder)), argv)


if __name__ == "__main__":
    sys.exit(main())
