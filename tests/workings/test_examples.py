"""Every sum that can be asked: its example works, what it says is whole, its plots can be drawn, and nothing typed brings it down."""

from __future__ import annotations

import math
from contextlib import suppress
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.drawings import parsed

from tallboy.errors import TallboyError
from tallboy.sums.units import IMPERIAL, METRIC
from tallboy.tables import load
from tallboy.tables.rows import tables_with_columns
from tallboy.workings import telling
from tallboy.workings.asking import ask, read
from tallboy.workings.draw import NARROW, WIDE, draw
from tallboy.workings.kinds import Answer, Working
from tallboy.workings.known import FAMILIES, all_workings

ALL = list(all_workings().values())
SOURCES = {row["key"] for row in load("sources")["sources"]}
CAUTIONS = {row["key"] for row in load("cautions")["cautions"]}
each = pytest.mark.parametrize("working", ALL, ids=lambda one: one.name)
SPOILS = (
    "",
    "x",
    "-1e9",
    "1e300",
    "nan",
    "inf",
    "0",
    "½",
    "1 1/0 in",
    "5 °F; 3",
    "=",
    "; ; ;",
    "<script>",
    "9" * 400,
    "yes",
    "1=2=3",
)


def test_the_sums_are_found() -> None:
    """A walk that finds nothing would prove nothing; every family has one."""
    assert len(ALL) >= 30
    assert {one.family for one in ALL} == set(FAMILIES)


@each
def test_names_and_words(working: Working) -> None:
    """Lower-case names with hyphens; a question; inputs named once, with a label and a table that is there."""
    assert working.name == working.name.lower().replace("_", "-").replace(" ", "-")
    assert working.asks.endswith("?")
    names = [asked.name for asked in working.inputs]
    assert len(set(names)) == len(names)
    for asked in working.inputs:
        assert asked.label[0].isupper()
        assert asked.name.isidentifier()
        assert asked.kind not in ("row", "row list") or asked.table in tables_with_columns()
        assert (asked.kind == "choice") == bool(asked.choices)


@each
def test_the_example_works(working: Working) -> None:
    """It answers with figures, a working, sources that resolve and cautions that are there."""
    answer = ask(working, working.example)
    assert answer.results
    assert answer.says
    assert answer.working
    assert answer.sources
    assert set(answer.sources) <= SOURCES
    assert set(answer.cautions) <= CAUTIONS
    assert len({got.name for got in answer.results}) == len(answer.results)
    assert answer.table is None or (all(answer.table.headings) and answer.table.caption)
    _figures_are_whole(answer)


def _figures_are_whole(answer: Answer) -> None:
    for got in answer.results:
        if isinstance(got.value, float):
            assert math.isfinite(got.value), got
        if got.low is not None and got.high is not None:
            assert got.low <= got.high
        if got.low is not None and isinstance(got.value, float | int | Decimal):
            assert got.low <= float(got.value) + 1e-9
        if got.high is not None and isinstance(got.value, float | int | Decimal):
            assert float(got.value) <= got.high + 1e-9


@each
def test_the_answer_can_be_told(working: Working) -> None:
    """In words, in both systems, and as data without anything that JSON cannot hold."""
    typed, wrong = read(working, working.example)
    assert not wrong
    answer = working.work(typed)
    for system in (METRIC, IMPERIAL):
        assert all(
            isinstance(line, str) and "None" not in line and "nan" not in line.split()
            for line in telling.lines(working, answer, system)
        )
    assert telling.data(working, typed, answer)["sum"] == working.name


@each
def test_what_it_leads_to_can_be_asked(working: Working) -> None:
    """Another sum, and inputs that it takes as they stand, in either shop."""
    for lead in ask(working, working.example).leads:
        assert lead.name != working.name
        for system in (METRIC, IMPERIAL):
            _given, wrong = read(all_workings()[lead.name], lead.typed, system=system)
            assert not set(wrong) & {*lead.typed, ""}, (lead, wrong)


@each
def test_plots_can_be_drawn(working: Working) -> None:
    """As well-formed SVG at both widths, within its frame, and each says what it shows."""
    for plot in ask(working, working.example).plots:
        assert plot.says
        for width in (WIDE, NARROW):
            root = parsed(draw(plot, width))
            assert root.attrib["aria-label"].startswith(plot.title)
            for text in root.iter("text"):
                assert -1 <= float(text.attrib["x"]) <= width + 1


@each
def test_nothing_typed_brings_it_down(working: Working) -> None:
    """Each input spoilt in turn gives an answer or a plain error."""
    for asked in working.inputs:
        for spoilt in SPOILS:
            with suppress(TallboyError):
                _figures_are_whole(ask(working, {**working.example, asked.name: spoilt}))


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(ALL), st.data())
def test_whatever_numbers_are_typed(working: Working, data: st.DataObject) -> None:
    """Any numbers in any inputs: an answer whose figures are whole, or a plain error."""
    typed = dict(working.example)
    for asked in working.inputs:
        if asked.kind in ("number", "whole") and data.draw(st.booleans()):
            low = -1e4 if asked.low is None else asked.low
            high = 1e4 if asked.high is None else asked.high
            typed[asked.name] = f"{data.draw(st.floats(low, high))!r}"
    with suppress(TallboyError):
        _figures_are_whole(ask(working, typed))
