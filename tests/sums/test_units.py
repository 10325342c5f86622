"""What people type is read as they mean it, and what could mean two things is asked."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.errors import BadUnit, OutOfRange
from tallboy.sums import units

LENGTHS = [
    ("96 mm", 96.0),
    ("9.6cm", 96.0),
    ("96,5 mm", 96.5),
    ("1.2 m", 1200.0),
    ("0,375 in", 9.525),
    ("3 3/4 in", 95.25),
    ("3-3/4 in", 95.25),
    ("3¾\"", 95.25),
    ("3 ¾ ″", 95.25),
    ("½ inch", 12.7),
    ("5/16 in.", 7.9375),
    ("1' 2 1/2\"", 368.3),
    ("1' 2 1/2''", 368.3),
    ("1′ 2½″", 368.3),
    ("6 ft", 1828.8),
    ("5'6", 1676.4),
    ("1 m 20 cm", 1200.0),
    (".5 in", 12.7),
    (" 0 MM ", 0.0),
]  # fmt: skip


@pytest.mark.parametrize(("text", "mm"), LENGTHS)
def test_a_length_is_read(text: str, mm: float) -> None:
    """Fractions, decimals with point or comma, feet and inches; an inch is 25.4 mm by definition."""
    assert units.parse_length(text) == pytest.approx(mm, abs=1e-9)


@pytest.mark.parametrize(("default", "mm"), [("mm", 18.0), ("in", 457.2)])
def test_a_bare_number_takes_the_unit_it_is_given(default: str, mm: float) -> None:
    """The shop's own unit is passed in by the caller."""
    assert units.parse_length("18", default=default) == pytest.approx(mm)


def test_a_bare_number_without_a_default_is_asked_back() -> None:
    """The message shows what was typed and what a unit looks like."""
    with pytest.raises(BadUnit, match=r"“18”: the number 18 has no unit\. .*96 mm.*3 3/4 in"):
        units.parse_length("18")


NONSENSE = [
    "", "   ", "mm", "nan", "inf mm", "1e309", "1e3 mm", "3 3/5/8 in", "3/0 in", "3 5/3 in", "1.2.3 mm", "12 furlongs",
    "1 m 2 in", "2 in 1 ft", "3 mm 4 mm", "2 × 3 mm", "9" * 5000 + " mm", "³ mm", "٣ mm", "1 / 2 in", "'; drop table", "\x00 5 mm",
    "5 mm\x00", "3 in - 2 in",
]  # fmt: skip


@pytest.mark.parametrize("text", NONSENSE)
@pytest.mark.parametrize(
    "parse", [units.parse_length, units.parse_volume, units.parse_mass, units.parse_minutes, units.parse_temperature]
)
def test_nonsense_is_refused_in_plain_words(parse: object, text: str) -> None:
    """Never a number, never another kind of error, and the text in the message is cut and on one line."""
    assert callable(parse)
    with pytest.raises(BadUnit) as caught:
        parse(text)
    assert len(str(caught.value)) < 250
    assert str(caught.value).isprintable()


@pytest.mark.parametrize("text", ["1,200 mm", "12,500 g", "1,440 min"])
def test_a_comma_before_three_digits_could_mean_two_things(text: str) -> None:
    """Thousands to some, thousandths to others: both are offered."""
    for parse in (units.parse_length, units.parse_mass, units.parse_minutes):
        with pytest.raises(BadUnit, match=r"could mean two things|cannot be read"):
            parse(text)
    with pytest.raises(BadUnit, match=r"Write 1200 or 1\.200"):
        units.parse_length("1,200 mm")


@pytest.mark.parametrize(
    ("parse", "text"),
    [
        (units.parse_length, "-5 mm"),
        (units.parse_length, "−1/2 in"),
        (units.parse_length, "101 m"),
        (units.parse_volume, "-1 l"),
        (units.parse_mass, "-1 g"),
        (units.parse_minutes, "-1 h"),
        (units.parse_minutes, "600 weeks"),
        (units.parse_temperature, "-300 °C"),
        (units.parse_temperature, "2000 °C"),
        (units.parse_percent, "101 %"),
        (units.parse_percent, "-1"),
        (units.parse_length, "9" * 50 + " mm"),
    ],
)
def test_out_of_range_says_the_range(parse: object, text: str) -> None:
    """Negative amounts and amounts no workshop has."""
    assert callable(parse)
    with pytest.raises(OutOfRange, match="It must lie between"):
        parse(text)


@pytest.mark.parametrize(
    ("text", "ml"),
    [
        ("750 ml", 750.0),
        ("2,5 l", 2500.0),
        ("75 cl", 750.0),
        ("1 US qt", 946.352946),
        ("1 U.S. qt", 946.352946),
        ("1 qt US", 946.352946),
        ("1 US gal", 3785.411784),
        ("1 US pint", 473.176473),
        ("8 US fl. oz.", 236.5882365),
        ("1 imp pt", 568.26125),
        ("1 imp. pt", 568.26125),
        ("1 imperial gallon", 4546.09),
        ("1 UK quart", 1136.5225),
        ("1 imp fl oz", 28.4130625),
        ("1/2 US gal", 1892.705892),
    ],
)
def test_a_volume_is_read(text: str, ml: float) -> None:
    """US gallon 3.785411784 l and imperial gallon 4.54609 l, both exact by definition (from memory)."""
    assert units.parse_volume(text) == pytest.approx(ml, rel=1e-9)


@pytest.mark.parametrize("text", ["1 qt", "2 pints", "1 gal", "6 fl oz"])
def test_a_quart_without_its_system_is_asked(text: str) -> None:
    """A US and an imperial quart differ by a fifth."""
    with pytest.raises(BadUnit, match=r"could be US or imperial\. Write US .* or imp "):
        units.parse_volume(text)
    us, imperial = (units.parse_volume(text, default_system=system) for system in ("us", "imp"))
    assert us != pytest.approx(imperial, rel=0.01)


def test_a_volume_named_for_one_system_keeps_it() -> None:
    """The default system is only for a measure that names none."""
    assert units.parse_volume("1 imp qt", default_system="us") == pytest.approx(1136.5225)
    assert units.parse_volume("500", default="ml") == 500.0


@pytest.mark.parametrize(
    ("text", "grams"), [("250 g", 250.0), ("1.2 kg", 1200.0), ("8 oz", 226.796185), ("2 lb 3 oz", 992.233309375), ("2 pounds 3 ounces", 992.233309375), ("2 lb 3", 992.233309375)]
)  # fmt: skip
def test_a_mass_is_read(text: str, grams: float) -> None:
    """A pound is 453.59237 g by definition."""
    assert units.parse_mass(text) == pytest.approx(grams)


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("90 min", 90.0),
        ("2 h", 120.0),
        ("1 h 30", 90.0),
        ("1h30m", 90.0),
        ("1:30", 90.0),
        ("0:05", 5.0),
        ("1 1/2 h", 90.0),
        ("1½ hours", 90.0),
        ("1,5 h", 90.0),
        ("3 days", 4320.0),
        ("1 day 4 h", 1680.0),
        ("2 weeks", 20160.0),
        ("45s", 0.75),
    ],
)
def test_a_span_of_time_is_read(text: str, minutes: float) -> None:
    """A day is 24 hours, a week seven days."""
    assert units.parse_minutes(text) == pytest.approx(minutes)


@pytest.mark.parametrize("text", ["1:75", "1:3", "30", "3 days 4", "1:30:00", "2 months"])
def test_a_span_that_is_not_clear_is_asked(text: str) -> None:
    """No sixty-first minute, no month, no bare number unless after hours."""
    with pytest.raises(BadUnit):
        units.parse_minutes(text)


@pytest.mark.parametrize(
    ("text", "celsius"),
    [
        ("65 °F", 18.333333333),
        ("32F", 0.0),
        ("212 deg F", 100.0),
        ("-40 °F", -40.0),
        ("18.5 C", 18.5),
        ("18,5 ºC", 18.5),
        ("−3 °C", -3.0),
        ("70 ℉", 21.111111111),
    ],
)
def test_a_temperature_is_read(text: str, celsius: float) -> None:
    """Water freezes at 32 °F and boils at 212 °F; the scales cross at -40."""
    assert units.parse_temperature(text) == pytest.approx(celsius, abs=1e-8)


@pytest.mark.parametrize("default", ["°F", "f", "F"])
def test_a_bare_temperature_takes_the_scale_it_is_given(default: str) -> None:
    """50 °F is 10 °C."""
    assert units.parse_temperature("50", default=default) == pytest.approx(10.0)
    assert units.parse_temperature("18", default="°C") == 18.0


@pytest.mark.parametrize("text", ["18", "18 °", "18 °C 5 °F"])
def test_a_temperature_without_a_scale_is_asked(text: str) -> None:
    """Degrees alone could be either."""
    with pytest.raises(BadUnit):
        units.parse_temperature(text)


@pytest.mark.parametrize(
    ("text", "percent"), [("62 %", 62.0), ("62", 62.0), ("62,5%", 62.5), ("0", 0.0), ("100 %", 100.0)]
)
def test_a_percentage_is_read(text: str, percent: float) -> None:
    """With or without the sign."""
    assert units.parse_percent(text) == percent


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        (units.format_length(96), "96 mm"),
        (units.format_length(96.54), "96.5 mm"),
        (units.format_length(-0.01), "0 mm"),
        (units.format_length(95.25, "imperial"), "3 3/4 in"),
        (units.format_length(12.7, "imperial"), "1/2 in"),
        (units.format_length(0, "imperial"), "0 in"),
        (units.format_length(-12.7, "imperial"), "-1/2 in"),
        (units.format_length(128, "imperial"), "5 1/16 in"),  # trade catalogues give 5-1/16 in for 128 mm
        (units.format_length(25.3, "imperial", 8), "1 in"),
        (units.format_temperature(18.5), "18.5 °C"),
        (units.format_temperature(10, "imperial"), "50 °F"),
        (units.format_temperature(-0.01), "0 °C"),
        (units.format_volume(750), "750 ml"),
        (units.format_volume(999.7), "1 l"),
        (units.format_volume(2500), "2.5 l"),
        (units.format_volume(946.352946, "imperial"), "1 US qt"),
        (units.format_volume(236.5882365, "imperial"), "8 US fl oz"),
        (units.format_volume(2 * 1136.5225, "imperial", "imp"), "2 imp qt"),
        (units.format_volume(28.4130625 * 12.5, "imperial", "imp"), "12.5 imp fl oz"),
        (units.format_mass(12.54), "12.5 g"),
        (units.format_mass(99.97), "100 g"),
        (units.format_mass(250.4), "250 g"),
        (units.format_mass(999.6), "1 kg"),
        (units.format_mass(1200), "1.2 kg"),
        (units.format_mass(-0.01), "0 g"),
        (units.format_mass(226.796185, "imperial"), "8 oz"),
        (units.format_mass(992.233309375, "imperial"), "2 lb 3 oz"),
        (units.format_mass(453.59237, "imperial"), "1 lb"),
        (units.format_mass(453.5, "imperial"), "1 lb"),
        (units.format_mass(-30, "imperial"), "-1.1 oz"),
        (units.format_mass(0, "imperial"), "0 oz"),
        (units.format_percent(62), "62 %"),
        (units.format_percent(9.271), "9.3 %"),
        (units.format_minutes(0), "0 min"),
        (units.format_minutes(45.4), "45 min"),
        (units.format_minutes(125), "2 h 05"),
        (units.format_minutes(119.7), "2 h"),
        (units.format_minutes(1440), "24 h"),
        (units.format_minutes(4320), "3 days"),
        (units.format_minutes(4325), "3 days 5 min"),
        (units.format_minutes(-125), "-2 h 05"),
        (units.format_area(1.254), "1.25 m²"),
        (units.format_area(0.3048**2 * 13.5, "imperial"), "13.5 ft²"),
    ],
)
def test_a_quantity_is_written_for_people(written: str, expected: str) -> None:
    """Rounded to what a bench can use, without trailing zeros."""
    assert written == expected


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_what_is_no_number_is_not_written(value: float) -> None:
    """It never reaches a screen or a paper."""
    for write in (
        units.format_length,
        units.format_temperature,
        units.format_volume,
        units.format_minutes,
        units.format_area,
        units.format_mass,
        units.format_percent,
    ):
        with pytest.raises(OutOfRange):
            write(value)


def test_an_unknown_system_or_fraction_is_refused() -> None:
    """There are two systems, and an inch is cut into 128 parts at most."""
    with pytest.raises(BadUnit, match="metric or imperial"):
        units.format_length(5, "cubits")
    with pytest.raises(BadUnit, match="us or imp"):
        units.format_volume(5, "imperial", "scots")
    with pytest.raises(OutOfRange):
        units.format_length(5, "imperial", 0)


@given(st.floats(0, 99_000))
def test_a_metric_length_reads_back(mm: float) -> None:
    """Within half of the tenth it is written to."""
    assert units.parse_length(units.format_length(mm)) == pytest.approx(mm, abs=0.05001)


@given(st.floats(0, 99_000), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_an_imperial_length_reads_back(mm: float, denominator: int) -> None:
    """Within half of the fraction it is written to."""
    back = units.parse_length(units.format_length(mm, "imperial", denominator))
    assert back == pytest.approx(mm, abs=25.4 / denominator / 2 + 1e-6)


@given(st.integers(0, 5_000_000))
def test_a_span_in_whole_minutes_reads_back_exactly(minutes: int) -> None:
    """A form shows what it was given and saves the same."""
    assert units.parse_minutes(units.format_minutes(minutes)) == minutes


@given(st.floats(-90, 1400), st.sampled_from(["metric", "imperial"]))
def test_a_temperature_reads_back(celsius: float, system: str) -> None:
    """Within half a tenth of a degree."""
    assert units.parse_temperature(units.format_temperature(celsius, system)) == pytest.approx(celsius, abs=0.0501)


@given(st.floats(0, 900_000), st.sampled_from(["metric", "imperial"]), st.sampled_from(["us", "imp"]))
def test_a_volume_reads_back(ml: float, system: str, measures: str) -> None:
    """To the step it is written in: 1 ml, 0.01 l, 0.1 fl oz or 0.01 qt, in the measures that it names."""
    assert units.parse_volume(units.format_volume(ml, system, measures)) == pytest.approx(ml, abs=5.7)


@given(st.floats(0, 9_000_000), st.sampled_from(["metric", "imperial"]))
def test_a_mass_reads_back(grams: float, system: str) -> None:
    """To the step it is written in: 0.1 g below 100 g, 1 g below 1 kg, 10 g above; a tenth of an ounce."""
    step = 28.349523125 / 10 if system == "imperial" else 0.1 if grams < 99.9 else 1 if grams < 999 else 10
    assert units.parse_mass(units.format_mass(grams, system)) == pytest.approx(grams, abs=step / 2 * 1.0001 + 1e-6)


@given(st.floats(0, 100))
def test_a_percentage_reads_back(percent: float) -> None:
    """To half a tenth."""
    assert units.parse_percent(units.format_percent(percent)) == pytest.approx(percent, abs=0.0501)


@given(st.text(max_size=80))
def test_any_text_gives_a_number_or_a_plain_refusal(text: str) -> None:
    """Whatever is typed, the error is one that people are shown."""
    for parse in (units.parse_length, units.parse_volume, units.parse_mass, units.parse_minutes, units.parse_percent):
        assert _value_or_refusal(parse, text) >= 0


def _value_or_refusal(parse: Callable[[str], float], text: str) -> float:
    """The value read, or nought when the text was refused; any other error goes through."""
    try:
        return parse(text)
    except (BadUnit, OutOfRange):
        return 0.0


@given(st.integers(0, 40), st.integers(1, 15))
def test_a_fraction_is_the_same_however_it_is_typed(whole: int, sixteenths: int) -> None:
    """With a space, a hyphen, or as a decimal."""
    texts = (f"{whole} {sixteenths}/16 in", f'{whole}-{sixteenths}/16"', f"{whole + sixteenths / 16} in")
    assert {round(units.parse_length(text), 9) for text in texts} == {round((whole + sixteenths / 16) * 25.4, 9)}


@pytest.mark.parametrize(
    "value", [units.parse_temperature("-0 °C"), units.parse_percent("-0"), units.parse_length("-0 mm")]
)
def test_nothing_has_no_minus(value: float) -> None:
    """Python tells 0 from -0 and would write the minus."""
    assert f"{value:g}" == "0"
