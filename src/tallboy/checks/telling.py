"""The published checks in words and as data."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from tallboy.checks.kinds import HOW, Check, Outcome
from tallboy.errors import NotFound


def family(checks: Sequence[Check], name: str | None) -> Sequence[Check]:
    """The checks of one family, all of them without a name."""
    known = sorted({check.family for check in checks})
    if name is not None and name not in known:
        raise NotFound(f"There are no checks of “{name}”.", f"There are: {', '.join(known)}.")
    return [check for check in checks if name in (None, check.family)]


def verdict(found: Outcome) -> str:
    """Holds, does not, or cannot be told here."""
    if found.holds is None:
        return "data not at hand"
    return "holds" if found.holds else "DOES NOT HOLD"


def value(found: object, digits: int = 8) -> str:
    """An expected or found value, short."""
    if isinstance(found, bool):
        return "yes" if found else "no"
    if isinstance(found, float):
        return f"{found:.{digits}g}"
    if isinstance(found, list):
        return "[" + ", ".join(value(part, 5) for part in found[:6]) + (", …]" if len(found) > 6 else "]")
    if isinstance(found, dict):
        return f"from {found['file']}" if "file" in found else str(found)
    return str(found)


def lines(found: Outcome) -> list[str]:
    """One check for a terminal."""
    check = found.check
    unit = f" {check.unit}" if check.unit else ""
    got = "" if found.holds is None else f", got {value(found.got)}{unit}"
    off = "" if found.difference is None else f", off by {found.difference:.2g}"
    picked = f" {check.pick}" if check.pick else ""
    return [
        f"{verdict(found)}: {check.of}{picked} ({check.text})",
        f"    expected {value(check.expected)}{unit} ± {check.tolerance:g}{got}{off}",
        f"    {check.source}, {HOW[check.how]}{f': {check.note}' if check.note else ''}",
    ]


def counts(found: Iterable[Outcome]) -> list[str]:
    """How many hold, by family and by how the value was obtained."""
    rows = list(found)
    families = Counter(row.check.family for row in rows)
    hows = Counter(row.check.how for row in rows)
    verdicts = Counter(verdict(row) for row in rows)
    return [
        f"{len(rows)} checks: " + ", ".join(f"{number} {word}" for word, number in verdicts.most_common()) + ".",
        "By family: " + ", ".join(f"{name} {number}" for name, number in families.items()) + ".",
        "By source: " + ", ".join(f"{how} {number}" for how, number in hows.most_common()) + ".",
    ]


def data(found: Outcome) -> dict[str, object]:
    """One check for JSON."""
    check = found.check
    return {
        "family": check.family,
        "of": check.of,
        "given": dict(check.given),
        "pick": check.pick,
        "expected": check.expected,
        "tolerance": check.tolerance,
        "unit": check.unit,
        "got": found.got,
        "difference": found.difference,
        "holds": found.holds,
        "source": check.source,
        "how": check.how,
        "note": check.note,
    }
