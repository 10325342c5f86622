"""Every error that tallboy raises on purpose.

    TallboyError                     exit 1   something went wrong that we foresaw
    ├── BadInput                     exit 2   what was typed or given cannot be used as it is
    │   ├── OutOfRange                        a number outside the range a sum is valid for
    │   ├── BadUnit                           a quantity that cannot be read, or could mean two things
    │   └── BadFile                           a file that is not what it should be
    ├── NotFound                     exit 3   no such piece, part, step or file
    ├── Refused                      exit 4   the rules of the workshop forbid it just now
    │   ├── NeverDries                        in this air the coat would not dry
    │   ├── NoPlan                            no plan obeys all the rules; names the ones in conflict
    │   └── Unaccounted                       a part or position would be lost track of
    └── BookTrouble                  exit 5   the book's folder or database cannot be used

Each carries a message in plain words (what, where) and, where there is one, a hint (what would be accepted).
A program error is anything else; the roof logs it and shows a page or a line without its trace.
"""

from __future__ import annotations


class TallboyError(Exception):
    """Base of all foreseen errors; `exit_code` is what a command ends with."""

    exit_code = 1

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint

    def __str__(self) -> str:
        return f"{self.message} {self.hint}".strip()


class BadInput(TallboyError):
    """What was typed or given cannot be used as it is."""

    exit_code = 2


class OutOfRange(BadInput, ValueError):
    """A number outside the range that a sum is valid for. Nothing is clamped in silence."""

    def __init__(self, name: str, value: object, low: object, high: object, unit: str = "") -> None:
        self.name = name
        self.value = value
        self.low = low
        self.high = high
        self.unit = unit
        tail = f" {unit}" if unit else ""
        super().__init__(f"{name} is {value}{tail}.", f"It must lie between {low} and {high}{tail}.")


class BadUnit(BadInput, ValueError):
    """A quantity that cannot be read, or that could mean two things."""


class BadFile(BadInput):
    """A file that is not what it should be, or is too large to be taken in."""


class NotFound(TallboyError):
    """No such piece, part, step, place or file."""

    exit_code = 3


class Refused(TallboyError):
    """The rules of the workshop forbid it just now; the hint says what would make it possible."""

    exit_code = 4


class NeverDries(Refused):
    """In this air the coat would not dry; the hint says what the product needs."""


class NoPlan(Refused):
    """No plan obeys all the rules. `rules` and `steps` name the ones in conflict."""

    def __init__(self, message: str, hint: str = "", rules: tuple[str, ...] = (), steps: tuple[str, ...] = ()) -> None:
        super().__init__(message, hint)
        self.rules = rules
        self.steps = steps


class Unaccounted(Refused):
    """A part or a position would be lost track of."""


class BookTrouble(TallboyError):
    """The book's folder or its database cannot be used."""

    exit_code = 5
