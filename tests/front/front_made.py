"""Random fronts for the property tests."""

from __future__ import annotations

from hypothesis import strategies as st

from tallboy.errors import BadInput
from tallboy.front.kinds import (
    BACK_KINDS,
    BASE_KINDS,
    FACES,
    FITTING_KINDS,
    HANDLE_KINDS,
    HINGE_KINDS,
    PULL_KINDS,
    Base,
    Bay,
    Chair,
    Door,
    DoorFit,
    Doors,
    Drawer,
    DrawerFit,
    Extra,
    Flap,
    Front,
    Open,
    Panel,
    Row,
    Stack,
    Top,
    Upper,
)
from tallboy.front.layout import boxes

maybe = st.none() | st.booleans()
shares = st.none() | st.floats(60, 400)
drawer_fits = st.builds(DrawerFit, st.none() | st.integers(0, 4), st.none() | st.sampled_from(PULL_KINDS), maybe, maybe)
door_fits = st.builds(
    DoorFit,
    st.none() | st.integers(0, 4),
    st.none() | st.sampled_from(HINGE_KINDS),
    st.none() | st.sampled_from(HANDLE_KINDS),
    maybe,
    maybe,
    maybe,
    st.none() | st.integers(0, 2),
)


def bays(widths: st.SearchStrategy[float | None]) -> st.SearchStrategy[Bay]:
    """Bays of every kind but stacks."""
    return st.one_of(
        st.builds(Drawer, widths, fit=drawer_fits),
        st.builds(Door, st.sampled_from(("left", "right")), widths, fit=door_fits),
        st.builds(Doors, widths, opens_first=st.sampled_from(("left", "right")), fit=door_fits),
        st.builds(Flap, st.sampled_from(("top", "bottom")), widths, fit=door_fits),
        st.builds(Open, widths, shelves=st.integers(0, 4)),
        st.builds(Panel, widths, raised=st.booleans()),
    )


leaves = bays(shares)


def rows(
    inner: st.SearchStrategy[Bay], most: int = 3, heights: st.SearchStrategy[float | None] = shares
) -> st.SearchStrategy[tuple[Row, ...]]:
    """One to `most` rows of one to four bays."""
    row = st.builds(Row, st.lists(inner, min_size=1, max_size=4).map(tuple), heights)
    return st.lists(row, min_size=1, max_size=most).map(tuple)


stacks: st.SearchStrategy[Bay] = st.builds(Stack, rows(bays(st.none()), 2, st.none()), st.none() | st.floats(150, 400))
bases = st.builds(Base, st.sampled_from(BASE_KINDS), st.none() | st.floats(0, 200), st.integers(2, 8), st.booleans())
tops = st.builds(Top, st.floats(0, 60), st.floats(0, 40))
extras = st.builds(
    Extra,
    st.sampled_from(FITTING_KINDS),
    st.text("abcdefgh&<'é ", min_size=1, max_size=12).map(str.strip).filter(bool),
    st.floats(0, 1),
    st.floats(0, 1),
    st.just(True),
    face=st.sampled_from(FACES),
    screws=st.none() | st.integers(0, 8),
)
extra_lists = st.lists(extras, max_size=4, unique_by=lambda one: one.name.lower()).map(tuple)
cases = st.builds(
    Front,
    rows(leaves | stacks),
    st.sampled_from(("case", "trolley")),
    tops,
    bases,
    st.floats(0, 20),
    st.integers(1, 4),
    drawers=drawer_fits,
    doors=door_fits,
    fittings=extra_lists,
)
two_part = st.builds(
    Front, rows(leaves), base=bases, upper=st.builds(Upper, rows(leaves), st.floats(1200, 1600), st.floats(0, 60), tops)
)
tables = st.builds(
    Front,
    rows(leaves, 1),
    st.just("table"),
    tops,
    st.builds(Base, st.just("legs"), wheels=st.booleans()),
    st.floats(0, 12),
)
chairs = st.builds(
    Front,
    outline=st.just("chair"),
    base=st.builds(Base, st.just("legs"), st.none(), st.integers(2, 8), st.booleans()),
    copies=st.integers(1, 4),
    chair=st.builds(
        Chair,
        st.sampled_from(BACK_KINDS),
        st.integers(1, 12),
        st.floats(300, 600),
        st.integers(0, 4),
        st.integers(0, 3),
    ),
)
SIZE = (3000.0, 3500.0, 600.0)


def fits(front: Front) -> bool:
    """Whether the bays have room in SIZE; wide bays beside each other now and then have none."""
    try:
        boxes(front, SIZE[0], SIZE[1])
    except BadInput:
        return False
    return True


fronts = (cases | two_part | tables | chairs).filter(fits)
"""Fronts that fit a piece of SIZE."""
