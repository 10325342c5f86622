"""Public holidays against what was published, and what is refused.

The dates are a library's. Here they are held against sources that know nothing of it:

Easter 1980 to 2024: U.S. Naval Observatory, Astronomical Applications Department, "The Date of Easter" (a table of public domain).
Easter after 2024: the algorithm of J.-M. Oudin (1940), Explanatory Supplement to the Astronomical Almanac (1992), chapter 12,
which is first held against that table.
Portugal: Código do Trabalho, article 234 (1), as the labour inspectorate (ACT) lists it.
England and Wales, Scotland: GOV.UK, "UK bank holidays" (the list bank-holidays.json), the years 2018 to 2025.
United States: U.S. Office of Personnel Management, "Federal Holidays" 2008 and 2023.
"""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest

from tallboy.book.holidays import checked_region, countries, holidays_between, subdivisions
from tallboy.errors import BadInput

# Year: month and day, as the table has them.
EASTER = {
    1980: "4-6", 1981: "4-19", 1982: "4-11", 1983: "4-3", 1984: "4-22", 1985: "4-7", 1986: "3-30", 1987: "4-19", 1988: "4-3",
    1989: "3-26", 1990: "4-15", 1991: "3-31", 1992: "4-19", 1993: "4-11", 1994: "4-3", 1995: "4-16", 1996: "4-7", 1997: "3-30",
    1998: "4-12", 1999: "4-4", 2000: "4-23", 2001: "4-15", 2002: "3-31", 2003: "4-20", 2004: "4-11", 2005: "3-27", 2006: "4-16",
    2007: "4-8", 2008: "3-23", 2009: "4-12", 2010: "4-4", 2011: "4-24", 2012: "4-8", 2013: "3-31", 2014: "4-20", 2015: "4-5",
    2016: "3-27", 2017: "4-16", 2018: "4-1", 2019: "4-21", 2020: "4-12", 2021: "4-4", 2022: "4-17", 2023: "4-9", 2024: "3-31",
}  # fmt: skip
PORTUGAL_FIXED = ("1-1", "4-25", "5-1", "6-10", "8-15", "10-5", "11-1", "12-1", "12-8", "12-25")
# Days from Easter: Good Friday, Easter Sunday, Corpus Christi.
PORTUGAL_MOVABLE = (-2, 0, 60)
ENGLAND = {
    2018: "1-1 3-30 4-2 5-7 5-28 8-27 12-25 12-26",
    2019: "1-1 4-19 4-22 5-6 5-27 8-26 12-25 12-26",
    2020: "1-1 4-10 4-13 5-8 5-25 8-31 12-25 12-28",
    2021: "1-1 4-2 4-5 5-3 5-31 8-30 12-27 12-28",
    2022: "1-3 4-15 4-18 5-2 6-2 6-3 8-29 9-19 12-26 12-27",
    2023: "1-2 4-7 4-10 5-1 5-8 5-29 8-28 12-25 12-26",
    2024: "1-1 3-29 4-1 5-6 5-27 8-26 12-25 12-26",
    2025: "1-1 4-18 4-21 5-5 5-26 8-25 12-25 12-26",
}
SCOTLAND = {2018: "1-1 1-2 3-30 5-7 5-28 8-6 11-30 12-25 12-26"}
UNITED_STATES = {
    2008: "1-1 1-21 2-18 5-26 7-4 9-1 10-13 11-11 11-27 12-25",
    2023: "1-2 1-16 2-20 5-29 6-19 7-4 9-4 10-9 11-10 11-23 12-25",
}
SATURDAY = 5


def day(year: int, text: str) -> date:
    month, number = text.split("-")
    return date(year, int(month), int(number))


def days(year: int, texts: str) -> set[date]:
    return {day(year, text) for text in texts.split()}


def year_of(country: str, part: str, year: int, language: str = "en-gb") -> dict[date, str]:
    return holidays_between(country, part, date(year, 1, 1), date(year, 12, 31), language)


def oudin(year: int) -> date:
    """Easter Sunday after J.-M. Oudin; all divisions are of whole numbers."""
    century, golden = year // 100, year % 19
    k = (century - 17) // 25
    i = (century - century // 4 - (century - k) // 3 + 19 * golden + 15) % 30
    i -= (i // 28) * (1 - (i // 28) * (29 // (i + 1)) * ((21 - golden) // 11))
    j = (year + year // 4 + i + 2 - century + century // 4) % 7
    from_march = i - j
    month = 3 + (from_march + 40) // 44
    return date(year, month, from_march + 28 - 31 * (month // 4))


def test_the_table_of_easter_is_whole() -> None:
    """45 years, all Sundays, and the algorithm gives every one of them."""
    assert list(EASTER) == list(range(1980, 2025))
    assert {day(year, text).weekday() for year, text in EASTER.items()} == {6}
    assert {year: oudin(year) for year in EASTER} == {year: day(year, text) for year, text in EASTER.items()}


@pytest.mark.parametrize("year", range(1980, 2101))
def test_easter_sunday_is_where_the_observatory_puts_it(year: int) -> None:
    """In Portugal, where it is a holiday itself; by the table, and after it by the algorithm."""
    named = [found for found, name in year_of("PT", "", year, "en").items() if "Easter Sunday" in name]
    assert named == [day(year, EASTER[year]) if year in EASTER else oudin(year)]


@pytest.mark.parametrize("year", [2020, 2024, 2026, 2028])
def test_portugal_keeps_the_thirteen_days_of_its_labour_code(year: int) -> None:
    """Ten by the calendar, three by Easter, and no others."""
    easter = oudin(year)
    movable = {easter + timedelta(days=offset) for offset in PORTUGAL_MOVABLE}
    assert set(year_of("PT", "", year)) == {day(year, text) for text in PORTUGAL_FIXED} | movable


PUBLISHED = [
    *(("GB", "ENG", year, text) for year, text in ENGLAND.items()),
    *(("GB", "SCT", year, text) for year, text in SCOTLAND.items()),
    *(("US", "", year, text) for year, text in UNITED_STATES.items()),
]


@pytest.mark.parametrize(("country", "part", "year", "text"), PUBLISHED)
def test_a_country_keeps_the_days_its_government_published(country: str, part: str, year: int, text: str) -> None:
    """With their days in lieu. What falls on a weekend is known beside its day in lieu, and nothing else is."""
    published, found = days(year, text), year_of(country, part, year)
    assert published <= set(found)
    assert {extra.weekday() >= SATURDAY for extra in set(found) - published} <= {True}


def test_holidays_are_named_in_the_language_that_is_on() -> None:
    """English of either kind as English; another language where the country's own names have it, else the country's own."""
    friday = date(2026, 4, 3)
    names = {asked: year_of("PT", "", 2026, asked)[friday] for asked in ("en-gb", "en", "pt", "uk", "fi", "")}
    assert names["en-gb"] == names["en"] == "Good Friday"
    assert names["pt"] == names["fi"] == names[""] == "Sexta-feira Santa"
    assert names["uk"] not in ("Good Friday", "Sexta-feira Santa")
    assert year_of("US", "", 2026, "en-gb")[date(2026, 9, 7)] == "Labor Day"


def test_only_the_days_asked_for_are_given() -> None:
    """Both ends count, across the new year too."""
    found = holidays_between("PT", "", date(2026, 12, 8), date(2027, 1, 1), "en-gb")
    assert list(found) == [date(2026, 12, 8), date(2026, 12, 25), date(2027, 1, 1)]
    assert holidays_between("PT", "", date(2026, 12, 9), date(2026, 12, 24), "en-gb") == {}


@pytest.mark.parametrize(
    ("code", "name"),
    [
        ("CD", "Democratic Republic of the Congo"), ("HM", "Heard Island and McDonald Islands"), ("AX", "Åland Islands"),
        ("CI", "Côte d’Ivoire"), ("RE", "Réunion"), ("GW", "Guinea-Bissau"), ("IM", "Isle of Man"), ("PT", "Portugal"),
    ],
)  # fmt: skip
def test_countries_go_by_their_written_names(code: str, name: str) -> None:
    """With spaces, small words and accents: ISO 3166-1, English short names."""
    assert countries()[code] == name


def test_no_name_is_run_together() -> None:
    """But for Scottish names, no capital stands inside a word; accents do not send a name to the end."""
    names = list(countries().values())
    assert not [name for name in names if re.search("[a-z][A-Z]|[A-Z]{2}", name.replace("McDonald", ""))]
    assert names.index("Åland Islands") < names.index("Albania")


def test_countries_and_their_parts_are_known_by_code_and_name() -> None:
    """By name in order, so that a person finds theirs."""
    known = countries()
    assert {"PT": "Portugal", "IM": "Isle of Man", "TT": "Trinidad and Tobago"}.items() <= known.items()
    plain = [name for name in known.values() if name.isascii()]
    assert plain == sorted(plain)
    assert subdivisions("GB") == {"ENG": "England", "NIR": "Northern Ireland", "SCT": "Scotland", "WLS": "Wales"}
    assert subdivisions("MT") == {}


def test_a_region_is_kept_in_capitals_or_not_at_all() -> None:
    """However it was typed; none is a region too."""
    assert checked_region(" pt ", "") == ("PT", "")
    assert checked_region("GB", "SCT ") == ("GB", "SCT")
    assert checked_region("", " ") == ("", "")


@pytest.mark.parametrize(
    ("country", "part", "told", "accepted"),
    [
        ("XX", "", "The holidays of the country 'XX' are not known.", "AD, AE, AF"),
        ("Portugal", "", "'PORTUGAL'", "PT"),
        ("", "ENG", "The holidays of the country '' are not known.", "GB"),
        ("GB", "XYZ", "United Kingdom has no part 'XYZ'.", "ENG, NIR, SCT, WLS"),
        ("GB", "sct", "United Kingdom has no part 'sct'.", "SCT"),
        ("MT", "1", "Malta has no part '1'.", "none is known"),
    ],
)
def test_an_unknown_region_is_refused_with_what_is_accepted(country: str, part: str, told: str, accepted: str) -> None:
    """Nobody is left guessing."""
    with pytest.raises(BadInput) as caught:
        checked_region(country, part)
    assert told in caught.value.message
    assert accepted in caught.value.hint
