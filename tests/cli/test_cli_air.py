"""`tallboy air`, whose second word has options of its own."""

from __future__ import annotations

import pytest

from tallboy.cli.main import parser


@pytest.mark.parametrize(
    "typed",
    [
        ["air", "--book", "quay", "--json", "import", "logger.csv"],
        ["air", "import", "logger.csv", "--book", "quay", "--json"],
        ["air", "import", "--book", "quay", "--json", "logger.csv"],
    ],
)
def test_the_book_is_named_before_or_after_the_second_word(typed: list[str]) -> None:
    """Wherever it stands, the option is read, and the other word does not undo it."""
    args = parser().parse_args(typed)
    assert (args.book, args.json, args.file) == ("quay", True, "logger.csv")


def test_a_reading_below_zero_is_no_option() -> None:
    """A minus in front of a temperature is a minus."""
    args = parser().parse_args(["air", "add", "-3 °C", "81 %"])
    assert (args.temperature, args.humidity) == ("-3 °C", "81 %")
