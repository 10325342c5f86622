"""What every bench shares: the figure, and how figures are told."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from typing import Literal


@dataclass(frozen=True)
class Figure:
    """One measured figure.

    `figure` what was measured and `baseline` what it is held against, in the same `unit`; `aim` the value `figure` (or, with
    `of="ratio"`, figure / baseline) should reach, at most or at least as `better` says; None where there is no aim.
    """

    name: str
    figure: float
    baseline: float | None = None
    aim: float | None = None
    unit: str = ""
    better: Literal["less", "more"] = "less"
    of: Literal["figure", "ratio"] = "figure"
    note: str = ""

    @property
    def ratio(self) -> float | None:
        """figure / baseline, None without a baseline or when it is 0."""
        return self.figure / self.baseline if self.baseline else None

    @property
    def met(self) -> bool | None:
        """Whether the aim is reached, None without an aim."""
        value = self.ratio if self.of == "ratio" else self.figure
        if self.aim is None or value is None:
            return None
        return value <= self.aim if self.better == "less" else value >= self.aim

    def as_row(self) -> dict[str, object]:
        """The figure as it is written in JSON."""
        row = asdict(self)
        return {**row, "ratio": self.ratio, "met": self.met}


def options(description: str | None = None) -> argparse.ArgumentParser:
    """A parser with what every bench understands: --quick and --json. Add your own options to it."""
    parser = argparse.ArgumentParser(description=description)
    parser.add_argument("--quick", action="store_true", help="fewer and smaller cases; ends within 40 s")
    parser.add_argument("--json", action="store_true", help="one JSON object a line")
    return parser


def report(figures: Iterable[Figure], argv: Sequence[str] | None = None) -> int:
    """Print each figure as it comes, as JSON lines with --json in `argv`; return 1 when an aim is missed, else 0."""
    known, _ = options().parse_known_args(argv)
    missed = False
    for figure in figures:
        missed |= figure.met is False
        print(json.dumps(figure.as_row()) if known.json else _line(figure), flush=True)
    return int(missed)


def _line(figure: Figure) -> str:
    parts = [f"{figure.name:<52} {figure.figure:>10.4g} {figure.unit}"]
    if figure.baseline is not None:
        parts.append(f"against {figure.baseline:.4g}")
    if figure.ratio is not None:
        parts.append(f"ratio {figure.ratio:.3f}")
    if figure.aim is not None:
        sign = "≤" if figure.better == "less" else "≥"
        parts.append(f"aim {sign} {figure.aim:g}: {'met' if figure.met else 'MISSED'}")
    return "  ".join([*parts, figure.note]).rstrip()
