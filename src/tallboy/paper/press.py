"""The press: a template and its data become a tagged PDF, the same bytes every time.

Text reaches a template only as data, never as part of its source, so what looks like Typst markup prints as written.
The type is the compiler's own, so papers look the same on every machine. Only when a name holds letters which that
type lacks are the machine's fonts asked too; letters that no font has print as boxes rather than stop the paper.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from datetime import UTC, datetime
from functools import cache
from importlib.resources import files
from typing import Any, Final

import typst

from tallboy.errors import BadFile, BadInput

PAPERS: Final = ("a4", "us-letter")
"""Sheets of plain paper that the records print on."""

LANGUAGE: Final = re.compile(r"([a-z]{2,3})(?:[-_]([A-Za-z]{2}))?(?:[-_].*)?")
# Controls, halves of characters, non-characters and marks that turn the direction of what stands beside them.
UNPRINTABLE: Final = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff]")
NO_LETTER: Final = "could not be displayed"
BAD_IMAGE: Final = re.compile(r"failed to (parse SVG|decode image|load image)|unknown image format|image is damaged")


def check_paper(paper: str) -> str:
    """The paper's name if the records print on it, else what is accepted."""
    if paper not in PAPERS:
        raise BadInput(f"There is no paper called “{paper}”.", f"Choose one of: {', '.join(PAPERS)}.")
    return paper


def press(
    template: str, data: Mapping[str, Any], drawings: Mapping[str, bytes], made_at: datetime, language: str
) -> bytes:
    """The PDF of one template, with `data` to print and `drawings` (SVG) to show by their names."""
    if made_at.tzinfo is None:
        raise BadInput(f"The time of printing, {made_at}, has no time zone.", "Give a time with its zone.")
    lang, region = _language(language)
    sources = {"main.typ": _source(template), "common.typ": _source("common"), **drawings}
    text = json.dumps(_clean({**data, "lang": lang, "region": region}), sort_keys=True)
    return _with_letters(sources, text, made_at.astimezone(UTC))


def _language(code: str) -> tuple[str, str]:
    match = LANGUAGE.fullmatch(code)
    if match is None:
        raise BadInput(f"“{code}” is not a language.", "Give a code such as en, pt or pt-br.")
    return match[1], (match[2] or "").upper()


def _with_letters(sources: Mapping[str, bytes], text: str, at: datetime) -> bytes:
    """Compile with the built-in type; where it lacks a letter, with the machine's; then with boxes in their place."""
    for fonts, standard in ((_fonts(False), ["ua-1"]), (None, ["ua-1"]), (_fonts(False), [])):
        try:
            return _compile(sources, text, at, fonts or _fonts(True), standard)
        except typst.TypstError as error:
            if NO_LETTER in str(error):
                continue
            if BAD_IMAGE.search(str(error)):
                raise BadFile(
                    "A picture for this paper cannot be read.", "Give a JPEG, PNG, WebP or SVG picture."
                ) from error
            raise
    raise AssertionError("without a standard, a missing letter is no error")


def _compile(sources: Any, text: str, at: datetime, fonts: typst.Fonts, standard: Any) -> bytes:
    # The compiler takes several files as a dictionary; its type hints do not say so.
    return typst.compile(
        sources,
        font_paths=fonts,
        sys_inputs={"data": text},
        pdf_standards=standard,
        timestamp=at.replace(microsecond=0),
    )


@cache
def _fonts(of_the_machine: bool) -> typst.Fonts:
    return typst.Fonts(include_system_fonts=of_the_machine)


@cache
def _source(name: str) -> bytes:
    return files(__package__).joinpath("templates", f"{name}.typ").read_bytes()


def _clean(value: Any) -> Any:
    """The same data as JSON takes it: controls become spaces, lines keep their breaks, bytes become numbers."""
    if isinstance(value, str):
        return UNPRINTABLE.sub(" ", value.replace("\r\n", "\n"))
    if isinstance(value, bytes):
        return list(value)
    if isinstance(value, Mapping):
        return {key: _clean(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_clean(inner) for inner in value]
    return value
