"""Spans of time laid over each other, against counting minute by minute; who could do a step."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from tallboy.drawers.today.gathering.calendar import Calendar
from tallboy.drawers.today.gathering.crews import Crews, Spans, common, fits, longest
from tallboy.planner import network

START = datetime(2026, 3, 12, 8, tzinfo=UTC)
LAST = 60


def at(minute: int) -> datetime:
    return START + timedelta(minutes=minute)


def spans(*pairs: tuple[int, int]) -> Spans:
    return tuple((at(start), at(end)) for start, end in pairs)


def minutes(of: Spans) -> set[int]:
    """The minutes that lie in some span."""
    return {minute for minute in range(LAST) for start, end in of if start <= at(minute) < end}


@st.composite
def rows(draw: st.DrawFn) -> Spans:
    """A row of spans in order, none touching the next."""
    edges = sorted(draw(st.sets(st.integers(0, LAST), max_size=8)))
    return spans(*zip(edges[::2], edges[1::2], strict=False))


@given(some=rows(), others=rows())
def test_what_two_rows_have_in_common(some: Spans, others: Spans) -> None:
    """The minutes that lie in both."""
    assert minutes(common(some, others)) == minutes(some) & minutes(others)


@given(work=rows(), air=rows(), needed=st.integers(1, 15), after=st.integers(0, 15))
def test_room_for_a_coat_is_found_where_there_is_some(work: Spans, air: Spans, needed: int, after: int) -> None:
    """Against trying every minute: the work in one stretch, the air good from its start until it has set."""
    tried = any(
        any(start <= at(begin) and at(begin + needed) <= end for start, end in work)
        and any(start <= at(begin) and at(begin + needed + after) <= end for start, end in air)
        for begin in range(LAST)
    )
    assert fits(work, air, needed, after) == tried


@given(work=rows(), own=rows(), place=rows(), quiet=rows())
def test_the_hours_of_a_noisy_step(work: Spans, own: Spans, place: Spans, quiet: Spans) -> None:
    """Those of its people and its place, less the quiet ones; one who has none of their own works when the shop is open."""
    people = (network.Person("a", hours=own), network.Person("b"))
    crews = Crews(Calendar(people, (network.Place("shed", hours=place),), (), work, quiet))
    both = minutes(own) & minutes(work)
    assert minutes(crews.stretches("shed", False, 2, "", ())[0]) == both & minutes(place)
    assert minutes(crews.stretches("bench", True, 2, "", ())[0]) == both - minutes(quiet)
    assert minutes(crews.stretches("bench", False, 1, "", ("b",))[0]) == minutes(work)


def test_the_crew_with_the_longest_stretch_is_taken() -> None:
    """Of two who may do it the one who works longer at a time; with a skill, of those pairs in which one has it."""
    people = (
        network.Person("a", hours=spans((0, 10))),
        network.Person("b", hours=spans((0, 30)), skills=frozenset({"gilding"})),
        network.Person("c", hours=spans((20, 50))),
    )
    crews = Crews(Calendar(people, (), (), spans((0, LAST)), ()))
    assert crews.stretches("", False, 1, "", ()) == (spans((0, 30)), 30)
    assert crews.stretches("", False, 1, "", ("a", "c"))[1] == 30
    assert crews.stretches("", False, 2, "gilding", ()) == (spans((0, 10)), 10)
    assert crews.stretches("", False, 1, "carving", ()) == ((), 0)
    assert longest(()) == 0


def test_stretches_that_touch_are_one() -> None:
    """As the planner takes them."""
    crews = Crews(Calendar((network.Person("a"),), (), (), spans((0, 20), (20, 40)), ()))
    assert crews.stretches("", False, 1, "", ())[1] == 40
