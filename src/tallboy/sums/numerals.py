"""Numbers and unit words as people type them: "3 3/4 in", "9,6cm", "1' 2 1/2\\"".

This file only takes a text apart into terms, each a number and the word behind it; what the words mean is said in `units`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from tallboy.errors import BadUnit

LONGEST = 60
_VULGAR = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅐": "1/7", "⅑": "1/9", "⅒": "1/10", "⅓": "1/3", "⅔": "2/3", "⅕": "1/5",
    "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
_SAME = {
    "″": '"',
    "”": '"',
    "“": '"',
    "′": "'",
    "’": "'",
    "''": '"',
    "⁄": "/",
    "−": "-",
    "º": "°",
    "℃": "°c",
    "℉": "°f",
}
_NUMBER = re.compile(
    r"(?P<whole>[0-9]+)(?:\s+|-)(?P<top>[0-9]+)/(?P<bottom>[0-9]+)"
    r"|(?P<over>[0-9]+)/(?P<under>[0-9]+)"
    r"|(?P<plain>[0-9]*[.,][0-9]+|[0-9]+)"
)
_WORD = re.compile(r"[^0-9]*?(?=\s*(?:[.,]?[0-9]|$))")
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")


@dataclass(frozen=True)
class Term:
    """One number and the unit word written behind it, in small letters and without full stops; "" when there is none."""

    number: float
    word: str


@dataclass(frozen=True)
class Kind:
    """What a text is read as: its name in a sentence, an example of what is accepted, and the size of each unit word.

    `next_word` names the unit of a last bare number: after "h" come minutes.
    """

    name: str
    example: str
    size: Mapping[str, float]
    next_word: Mapping[str, str]

    def unreadable(self, text: str) -> BadUnit:
        """The error for a text that is no such quantity."""
        return BadUnit(f"{quoted(text)} cannot be read as {self.name}.", f"Write {self.example}.")


def quoted(text: str) -> str:
    """The text as it is shown in an error: on one line, in quotation marks, cut when long.

    Parameters
    ----------
    text : [text] anything

    Returns
    -------
    [text] 42 characters at the most

    Source
    ------
    definition
    """
    line = " ".join("".join(char if char.isprintable() else " " for char in text).split())
    return f"“{line[:40]}…”" if len(line) > 40 else f"“{line}”"


def signed_terms(text: str, kind: Kind) -> tuple[bool, list[Term]]:
    """Whether a minus stands in front, and the terms in order.

    Parameters
    ----------
    text : [text] such as "1' 2 1/2\""
    kind : [Kind] what it is read as, for the error

    Returns
    -------
    [1, Term] true for a minus; one term or more, each number 0 or above

    Raises
    ------
    BadUnit when the text is not made of terms, is longer than 60 characters, or has a comma that might mean thousands.

    Source
    ------
    definition
    """
    if len(text) > LONGEST:
        raise kind.unreadable(text)
    line = _plain_signs(text)
    minus = line.startswith("-")
    terms = _terms(line[1:].lstrip() if minus else line, text, kind)
    if not terms:
        raise kind.unreadable(text)
    return minus, terms


def total(terms: list[Term], text: str, kind: Kind, default: str | None) -> float:
    """The sum of the terms. Units must become smaller from left to right, each used once.

    Parameters
    ----------
    terms : [Term] as `signed_terms` gives them
    text : [text] what was typed, for the error
    kind : [Kind] what it is read as
    default : [text] unit of a single bare number; None asks

    Returns
    -------
    [base unit of the kind] sum

    Raises
    ------
    BadUnit for an unknown unit, a unit out of order, or a bare number without a default.

    Source
    ------
    definition
    """
    value, last = 0.0, float("inf")
    before = ""
    for term in terms:
        word = term.word or _unit_of_bare(term, before, text, kind, default, alone=len(terms) == 1)
        size = kind.size.get(word)
        if size is None or size >= last:
            raise kind.unreadable(text)
        value, last, before = value + term.number * size, size, word
    return value


def _unit_of_bare(term: Term, before: str, text: str, kind: Kind, default: str | None, *, alone: bool) -> str:
    word = default if alone else kind.next_word.get(before)
    if word is None:
        raise BadUnit(f"{quoted(text)}: the number {term.number:g} has no unit.", f"Write {kind.example}.")
    return word


def _plain_signs(text: str) -> str:
    line = text.strip().lower()
    for sign, plain in _VULGAR.items():
        line = line.replace(sign, f" {plain}")
    for sign, plain in _SAME.items():
        line = line.replace(sign, plain)
    return line.strip()


def _terms(line: str, text: str, kind: Kind) -> list[Term]:
    terms, at = [], 0
    while at < len(line):
        number = _NUMBER.match(line, at)
        if number is None:
            raise kind.unreadable(text)
        word = _WORD.match(line, number.end())
        at = word.end() if word else len(line)
        terms.append(Term(_value(number, text, kind), _tidy(word.group() if word else "")))
        at += len(line[at:]) - len(line[at:].lstrip())
    return terms


def _tidy(word: str) -> str:
    return " ".join(word.replace(".", "").split())


def _value(number: re.Match[str], text: str, kind: Kind) -> float:
    if number["plain"]:
        return _decimal(number["plain"], text)
    whole = int(number["whole"] or 0)
    top, bottom = int(number["top"] or number["over"]), int(number["bottom"] or number["under"])
    if bottom == 0 or (number["whole"] and top >= bottom):
        raise kind.unreadable(text)
    return whole + top / bottom


def _decimal(digits: str, text: str) -> float:
    """A comma is the decimal sign, unless exactly three digits follow: then it might mean thousands, and we ask."""
    if _THOUSANDS.fullmatch(digits):
        thousands = digits.replace(",", "")
        raise BadUnit(f"{quoted(text)} could mean two things.", f"Write {thousands} or {digits.replace(',', '.')}.")
    return float(digits.replace(",", "."))
