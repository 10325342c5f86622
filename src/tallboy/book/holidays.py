"""Public holidays: which countries are known, and the dates and names of one of them. The dates are a library's, not ours."""

from __future__ import annotations

import functools
import re
import unicodedata
from collections.abc import Sequence
from datetime import date

import holidays
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from holidays.registry import COUNTRIES

from tallboy.book.models import Shop
from tallboy.errors import BadInput

SPOKEN = ("en_GB", "en_US")
SMALL_WORDS = {"And": "and", "Of": "of", "The": "the"}
NAMES = {
    "AX": "Åland Islands", "BL": "Saint Barthélemy", "BQ": "Bonaire, Sint Eustatius and Saba",
    "CC": "Cocos (Keeling) Islands", "CD": "Democratic Republic of the Congo", "CI": "Côte d’Ivoire", "CW": "Curaçao",
    "GW": "Guinea-Bissau", "HM": "Heard Island and McDonald Islands", "MF": "Saint Martin (French part)", "MO": "Macao",
    "RE": "Réunion", "SH": "Saint Helena, Ascension and Tristan da Cunha", "SX": "Sint Maarten (Dutch part)",
    "TL": "Timor-Leste",
}  # fmt: skip
"""Where the library's own words, set apart, do not give the name: ISO 3166-1, English short names, in their spoken order."""


@functools.cache
def countries() -> dict[str, str]:
    """Every country that is known: its ISO 3166-1 code of two letters and its English name, by name."""
    known = holidays.list_supported_countries(include_aliases=False)
    named = [
        (code, NAMES.get(code) or _name_of(entity)) for entity, code, *_others in COUNTRIES.values() if code in known
    ]
    return dict(sorted(named, key=lambda row: _plain(row[1])))


def _plain(name: str) -> str:
    """A name without its accents, to sort by: Åland stands before Albania."""
    return "".join(letter for letter in unicodedata.normalize("NFKD", name) if not unicodedata.combining(letter))


def _name_of(entity: str) -> str:
    """FaroeIslands: Faroe Islands."""
    words = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", entity).split()
    return " ".join([words[0], *(SMALL_WORDS.get(word, word) for word in words[1:])])


@functools.cache
def subdivisions(country: str) -> dict[str, str]:
    """The parts of a country that have holidays of their own: code and name; none where the country has none."""
    calendar = holidays.country_holidays(country)
    names = {code: name for name, code in calendar.subdivisions_aliases.items()}
    return {code: names.get(code, code) for code in calendar.subdivisions}


def checked_region(country: str, subdivision: str) -> tuple[str, str]:
    """A country and a part of it as they are kept; BadInput, with what is accepted, where one is not known."""
    country, subdivision = country.strip().upper(), subdivision.strip()
    if not country and not subdivision:
        return "", ""
    if country not in countries():
        raise BadInput(
            _("The holidays of the country %(country)s are not known.") % {"country": repr(country)},
            _("Give the two letters of ISO 3166-1 of one of these: %(known)s.") % {"known": _listed(countries())},
        )
    known = subdivisions(country)
    if subdivision and subdivision not in known:
        raise BadInput(
            _("%(country)s has no part %(part)s.") % {"country": countries()[country], "part": repr(subdivision)},
            _("Leave it empty, or give one of these: %(known)s.") % {"known": _listed(known) or _("none is known")},
        )
    return country, subdivision


def _listed(codes: Sequence[str] | dict[str, str]) -> str:
    return ", ".join(sorted(codes))


def holidays_of(shop: Shop, first: date, last: date) -> dict[date, str]:
    """The public holidays from the first date to the last that the shop keeps, by date, named in the language that is on.

    Empty while it keeps none. Those on which it works after all are among them; `queries` takes them out.
    """
    if not shop.keeps_holidays or not shop.country:
        return {}
    return holidays_between(shop.country, shop.subdivision, first, last, get_language() or "")


def holidays_between(country: str, subdivision: str, first: date, last: date, language: str = "") -> dict[date, str]:
    """The public holidays of a country from the first date to the last, by date.

    Source: the library `holidays`, which gathers them from each country's laws; tests hold some of them against other sources.
    """
    spoken = _spoken(country, language)
    years = [_of_year(country, subdivision, year, spoken) for year in range(first.year, last.year + 1)]
    return {day: name for year in years for day, name in year if first <= day <= last}


@functools.lru_cache(maxsize=64)
def _of_year(country: str, subdivision: str, year: int, language: str | None) -> tuple[tuple[date, str], ...]:
    """One year's holidays in order. A country's laws do not change while we run, so they are worked out once."""
    found = holidays.country_holidays(country, subdiv=subdivision or None, years=year, language=language)
    return tuple(sorted(found.items()))


@functools.cache
def _spoken(country: str, language: str) -> str | None:
    """The language nearest to the asked one in which the country's holidays are named, else the country's own.

    en-gb: en_GB, else any other English. Never left to the library, which would then go by the machine's own language. None
    only where it knows the names in one language alone.
    """
    known = holidays.list_localized_countries().get(country, [])
    root = language.split("-", maxsplit=1)[0]
    exact = [name for name in known if name.lower() == language.replace("-", "_").lower()]
    near = [name for name in (*SPOKEN, *known) if name in known and name.split("_")[0] == root]
    own = holidays.country_holidays(country).default_language
    return next(iter([*exact, *near]), own)
