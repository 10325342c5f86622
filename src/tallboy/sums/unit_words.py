"""The unit words that are read, with their sizes: millimetres, millilitres, grams, minutes."""

from __future__ import annotations

from tallboy.sums.numerals import Kind

MM_PER_INCH = 25.4
ML_PER_US_GALLON = 3785.411784
ML_PER_IMPERIAL_GALLON = 4546.09
GRAMS_PER_POUND = 453.59237
NEWTON_PER_LBF = GRAMS_PER_POUND / 1000 * 9.80665
UM_PER_MIL = MM_PER_INCH
"""A mil is a thousandth of an inch."""
M2_PER_FT2 = 0.3048**2
M2_L_PER_FT2_GALLON = M2_PER_FT2 / (ML_PER_US_GALLON / 1000)
"""1 ft² a US gallon in m² a litre."""


def _spelled(sizes: dict[str, float]) -> dict[str, float]:
    """One entry a spelling, from keys that hold several spellings between bars."""
    return {word: size for words, size in sizes.items() for word in words.split("|")}


def _measures(system: str, gallon: float, ounces: int) -> dict[str, float]:
    """Gallon, quart, pint and fluid ounce of one system, with the system named before or after the unit."""
    sizes = _spelled(
        {
            "gal|gallon|gallons": gallon,
            "qt|quart|quarts": gallon / 4,
            "pt|pint|pints": gallon / 8,
            "fl oz|floz|fluid ounce|fluid ounces": gallon / ounces,
        }
    )
    return {name: size for unit, size in sizes.items() for name in (f"{system} {unit}", f"{unit} {system}")}


US = _measures("us", ML_PER_US_GALLON, 128)
IMP = _measures("imp", ML_PER_IMPERIAL_GALLON, 160)
LENGTH = Kind(
    "a length",
    "a number with its unit, such as 96 mm, 9.6 cm, 1.2 m, 3 3/4 in or 1' 2 1/2\"",
    _spelled(
        {
            "mm|millimetre|millimetres|millimeter|millimeters": 1.0,
            "cm|centimetre|centimetres|centimeter|centimeters": 10.0,
            "m|metre|metres|meter|meters": 1000.0,
            '"|in|inch|inches': MM_PER_INCH,
            "'|ft|foot|feet": 12 * MM_PER_INCH,
        }
    ),
    {"'": "in", "ft": "in", "foot": "in", "feet": "in"},
)
VOLUME = Kind(
    "a volume",
    "a number with its unit, such as 750 ml, 2.5 l, 1 US qt or 1 imp pt",
    {**_spelled({"ml": 1.0, "cl": 10.0, "dl": 100.0, "l|litre|litres|liter|liters": 1000.0}), **US, **IMP},
    {},
)
MASS = Kind(
    "a mass",
    "a number with its unit, such as 250 g, 1.2 kg, 8 oz or 2 lb 3 oz",
    _spelled(
        {
            "mg": 0.001,
            "g|gram|grams|gramme|grammes": 1.0,
            "kg|kilo|kilos": 1000.0,
            "oz|ounce|ounces": GRAMS_PER_POUND / 16,
            "lb|lbs|pound|pounds": GRAMS_PER_POUND,
        }
    ),
    {"lb": "oz", "lbs": "oz", "pound": "oz", "pounds": "oz"},
)
_HOURS = "h|hr|hrs|hour|hours"
SPAN = Kind(
    "a span of time",
    "a span such as 45 s, 90 min, 2 h, 1 h 30, 1:30, 3 days or 2 weeks",
    _spelled(
        {
            "s|sec|secs|second|seconds": 1 / 60,
            "m|min|mins|minute|minutes": 1.0,
            _HOURS: 60.0,
            "d|day|days": 1440.0,
            "w|wk|wks|week|weeks": 10080.0,
        }
    ),
    dict.fromkeys(_HOURS.split("|"), "min"),
)
FAHRENHEIT = frozenset({"°f", "f", "degf", "deg f", "° f", "fahrenheit"})
TEMPERATURE = Kind(
    "a temperature",
    "a number with its unit, such as 18.5 °C or 65 °F",
    {"°c": 1.0, "c": 1.0, "degc": 1.0, "deg c": 1.0, "° c": 1.0, "celsius": 1.0} | dict.fromkeys(FAHRENHEIT, 1.0),
    {},
)
PERCENT = Kind("a percentage", "a number from 0 to 100, such as 62 %", {"%": 1.0, "percent": 1.0, "per cent": 1.0}, {})
POUND_WORDS = ("lb", "lbs", "pound", "pounds")
INCH_WORDS = frozenset({'"', "in", "inch", "inches", "'", "ft", "foot", "feet", "oz", "ounce", "ounces", *POUND_WORDS})
"""The words of feet and inches, pounds and ounces: one amount is written in these or in metric ones, never in both."""
