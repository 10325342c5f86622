"""The published checks as the pages show them: worked out once a process, in groups that share a source."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import groupby

from tallboy.checks import telling
from tallboy.checks.kinds import HOW, Check, Outcome
from tallboy.checks.load import all_checks
from tallboy.checks.run import DataFile, function, outcome
from tallboy.desk.reference import data_files
from tallboy.errors import TallboyError
from tallboy.tables.rows import Row
from tallboy.workings.known import FAMILIES
from tallboy.workings.telling import rounded, source


@dataclass(frozen=True)
class Line:
    """One check in words."""

    given: str
    part: str
    expected: str
    got: str
    difference: str
    tolerance: str
    verdict: str
    holds: bool | None


@dataclass(frozen=True)
class Group:
    """Checks of one function that have one source, seen in one way; `does` is what the function gives, in its own words."""

    of: str
    does: str
    source: Row
    how: str
    note: str
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Tally:
    """How many checks of one sort there are and what came of them."""

    key: str
    name: str
    count: int
    holding: int
    failing: int
    without_data: int


def all_outcomes(folder: str) -> list[Outcome]:
    """What every check came to, with the data files of this folder."""
    families = dict.fromkeys(check.family for check in all_checks())
    return [one for family in families for one in of_family(folder, family)]


@cache
def of_family(folder: str, family: str) -> tuple[Outcome, ...]:
    """What the checks of one family came to; nobody waits for those of another."""
    data_file, answers = data_files(folder), dict[str, object]()
    return tuple(_outcome(check, data_file, answers) for check in all_checks() if check.family == family)


def _outcome(check: Check, data_file: DataFile, answers: dict[str, object]) -> Outcome:
    try:
        return outcome(check, data_file, answers)
    except TallboyError as error:
        return Outcome(check, str(error), None, False)
    except Exception as error:
        # One sum that fails must not hide the other checks; it is shown as one that does not hold.
        return Outcome(check, f"{type(error).__name__}: {error}", None, False)


def name_of(family: str) -> str:
    """What a family of checks is called; one that holds no sums of its own goes by its file."""
    return FAMILIES.get(family, family.capitalize())


def by_family(found: Sequence[Outcome]) -> list[Tally]:
    """A tally for each family, in the order the sums are shown in."""
    order = [*FAMILIES, *sorted({one.check.family for one in found} - set(FAMILIES))]
    tallies = [
        _tally(family, name_of(family), [one for one in found if one.check.family == family]) for family in order
    ]
    return [tally for tally in tallies if tally.count]


def by_how(found: Sequence[Outcome]) -> list[Tally]:
    """A tally for each way in which the values were obtained."""
    tallies = [_tally(how, words, [one for one in found if one.check.how == how]) for how, words in HOW.items()]
    return [tally for tally in tallies if tally.count]


def _tally(key: str, name: str, found: Sequence[Outcome]) -> Tally:
    holds = Counter(one.holds for one in found)
    return Tally(key, name, len(found), holds[True], holds[False], holds[None])


def groups(found: Iterable[Outcome]) -> list[Group]:
    """Outcomes in their order, those that follow each other with the same function and source together."""
    return [
        Group(
            of,
            _does(of),
            source(key),
            HOW[how],
            f"{note.rstrip('.')}." if note else "",
            tuple(_line(one) for one in members),
        )
        for (of, key, how, note), members in groupby(found, key=_shared)
    ]


def _does(of: str) -> str:
    """The first line of a function's own description."""
    return (function(of).__doc__ or "").strip().partition("\n")[0]


def _apart(difference: float) -> str:
    """A difference to two digits, without an exponent."""
    return "under 0.000001" if 0 < difference < 1e-6 else rounded(difference, 2)


def _shared(one: Outcome) -> tuple[str, str, str, str]:
    check = one.check
    return (check.of, check.source, check.how, check.note)


def _line(one: Outcome) -> Line:
    check = one.check
    unit = f" {check.unit}" if check.unit else ""
    return Line(
        given=check.text.replace("_", " "),
        part=check.pick,
        expected=telling.value(check.expected) + unit,
        got="" if one.holds is None else telling.value(one.got) + unit,
        difference="" if one.difference is None else _apart(one.difference) + unit,
        tolerance=f"{check.tolerance:g}{unit}" if check.tolerance else "",
        verdict=telling.verdict(one),
        holds=one.holds,
    )
