"""The machinery of the published checks: forms are written out, faults are told, what does not hold is seen not to hold."""

from __future__ import annotations

import pytest
from tests.checks.checks_made import CHECK

from tallboy.checks.load import checks_of
from tallboy.checks.readers import READERS
from tallboy.checks.run import outcome, outcomes, picked
from tallboy.checks.telling import counts, data, family, lines
from tallboy.errors import NotFound


def test_a_check_that_holds() -> None:
    """Got, difference and verdict."""
    found = outcome(checks_of(CHECK, "air")[0])
    assert found.holds is True
    assert found.difference is not None
    assert found.difference < 0.01
    assert data(found)["holds"] is True


@pytest.mark.parametrize(
    ("old", "new"),
    [("9.27", "9.5"), ("0.1", "0.000001"), ("9.27", '"cold"'), ("9.27", "true"), ("9.27", "[9.27, 9.27]")],
)
def test_a_check_that_does_not_hold(old: str, new: str) -> None:
    """A wrong value, a tighter tolerance, another kind of answer, another shape."""
    found = outcome(checks_of(CHECK.replace(old, new), "air")[0])
    assert found.holds is False
    assert "DOES NOT HOLD" in lines(found)[0]


def test_lists_and_grids_are_written_out() -> None:
    """Several arguments side by side; every cell of a grid."""
    head = 'of = "air.dew_point"\ntolerance = 0.1\nsource = "ashrae-fundamentals"\nhow = "computed"\nnote = "n"\n'
    listed = checks_of(
        f"[[lists]]\n{head}each = {{ celsius = [20, 23], relative_humidity = [50, 50] }}\nexpected = [9.27, 12.03]",
        "air",
    )
    assert [one.given["celsius"] for one in listed] == [20, 23]
    grid = checks_of(
        f"[[grids]]\n{head}rows = {{ celsius = [20] }}\ncolumns = {{ relative_humidity = [50, 65] }}\nexpected = [[9.27, 13.23]]",
        "air",
    )
    assert [one.expected for one in grid] == [9.27, 13.23]
    assert all(one.holds for one in outcomes([*listed, *grid]))


@pytest.mark.parametrize(
    "spoilt",
    [
        CHECK.replace("how =", "hwo ="), CHECK.replace('"computed"', '"guessed"'), CHECK.replace("expected = 9.27\n", ""),
        CHECK.replace("[[checks]]", "[[cheques]]"), CHECK.replace('source = "ashrae-fundamentals"\n', ""),
        '[[lists]]\nof = "a.b"\neach = { x = [1, 2] }\nexpected = [1]\ntolerance = 0\nsource = "memory"\nhow = "memory"\n',
    ],
)  # fmt: skip
def test_a_file_with_a_fault_is_refused(spoilt: str) -> None:
    """A word misspelt, an unknown kind of evidence, nothing expected, lists of different length."""
    with pytest.raises(ValueError, match=r"air|zip"):
        checks_of(spoilt, "air")


def test_data_that_are_not_at_hand() -> None:
    """Neither holds nor fails; with the file it is worked out."""
    text = CHECK.replace("celsius = 20", 'celsius = { file = "a.txt", read = "points", pick = "0.0" }')
    check = checks_of(text, "air")[0]
    assert outcome(check).holds is None
    assert "not at hand" in lines(outcome(check))[0]
    assert "points" in READERS


def test_the_way_into_an_answer() -> None:
    """Attributes, keys and indices."""
    assert picked({"a": [1, {"b": 2}]}, "a.1.b") == 2
    assert picked(3 + 4j, "real") == 3.0


def test_counts_and_families() -> None:
    """By family and by evidence; another family is told which there are."""
    checks = checks_of(CHECK, "air")
    assert counts(outcomes(checks))[0] == "1 checks: 1 holds."
    assert family(checks, "air") == checks
    with pytest.raises(NotFound, match="air"):
        family(checks, "wood")
