"""The week as a drawing: it parses, every block stands in its day, and names cannot break it."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.drawers.today.today_made import chair, coat, done, step, varnish, wait
from tests.drawings import bars, parsed

from tallboy.book.actions import add_day_off, set_hours
from tallboy.book.doing import By
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.day import day_of
from tallboy.drawers.today.models import PlannedStep
from tallboy.drawers.today.show.strip import COLUMN, GAP, NAME_WIDTH, Bar, Frame, Lane, draw
from tallboy.drawers.today.show.week import MOST_LANES, strip

LISBON = ZoneInfo("Europe/Lisbon")
DAYS = (date(2026, 3, 26), date(2026, 3, 27), date(2026, 3, 30), date(2026, 3, 31))
FRAME = Frame(DAYS, time(8), time(17), LISBON, ("Thu 26 Mar", "Fri 27 Mar", "Mon 30 Mar", "Tue 31 Mar"))
NOW = datetime(2026, 3, 26, 10, 0, tzinfo=LISBON)
EARLIEST = datetime(2026, 3, 20, tzinfo=LISBON)
WORDS = {"due": "due", "now": "now"}
SVG = "{http://www.w3.org/2000/svg}"
HANDS = ("plan-hands", "plan-metal")


def rects(svg: str, *classes: str) -> list[tuple[float, float]]:
    """Left and right edge of each bar, or box, of these classes."""
    boxes = [one for one in parsed(svg).iter("rect") if one.get("class") in classes]
    edges = [(float(one.get("x", "")), float(one.get("x", "")) + float(one.get("width", ""))) for one in boxes]
    return [*bars(svg, *classes), *edges]


def on(day: date, hour: float) -> datetime:
    return datetime.combine(day, time(int(hour), round(hour % 1 * 60)), tzinfo=LISBON)


moments = st.integers(0, 19 * 24 * 60).map(lambda minutes: EARLIEST + timedelta(minutes=minutes))


@given(day=st.sampled_from(DAYS), start=st.integers(0, 1380), minutes=st.integers(5, 540))
def test_block_stands_in_the_column_of_its_day(day: date, start: int, minutes: int) -> None:
    """Whatever a block's hours, it lies within the column of its own day."""
    midnight = datetime.combine(day, time(), tzinfo=LISBON)
    bar = Bar(midnight + timedelta(minutes=start), midnight + timedelta(minutes=min(start + minutes, 1439)), "hands")
    ((left, right),) = rects(draw(FRAME, [Lane("Dresser", (bar,))], NOW, "week", WORDS), *HANDS)
    column_left, column_right = FRAME.column(day)
    assert column_left <= left < right <= column_right + 0.5


@given(first=moments, second=moments)
def test_later_never_lies_further_left(first: datetime, second: datetime) -> None:
    """The drawing keeps the order of time."""
    early, late = sorted((first, second))
    assert FRAME.x(early) <= FRAME.x(late)


def test_wait_over_the_weekend_ends_where_monday_begins() -> None:
    """A weekend has no width: what is dry on Sunday is dry where Monday's column begins."""
    bar = Bar(on(DAYS[1], 15), datetime(2026, 3, 29, 12, tzinfo=LISBON), "drying")
    ((left, right),) = rects(draw(FRAME, [Lane("Dresser", (bar,))], NOW, "week", WORDS), "plan-drying")
    assert FRAME.column(DAYS[1])[0] < left < FRAME.column(DAYS[1])[1]
    assert right == pytest.approx(FRAME.column(DAYS[2])[0])


def test_half_past_noon_is_half_way() -> None:
    """From eight to five, half past twelve stands in the middle of its column."""
    left, right = FRAME.column(DAYS[0])
    assert FRAME.x(on(DAYS[0], 12.5)) == pytest.approx((left + right) / 2)


def test_now_line_stands_at_now() -> None:
    """The dashed line of now stands where now is."""
    svg = draw(FRAME, [Lane("Dresser", ())], NOW, "week", WORDS)
    line = next(one for one in parsed(svg).iter("path") if one.get("class") == "plan-now")
    assert line.get("d", "").startswith(f"M{FRAME.x(NOW):.1f} ")


def test_due_mark_stands_at_the_end_of_its_day() -> None:
    """A promise within the days shown is marked with its word; one beyond them is not."""
    near = draw(FRAME, [Lane("Dresser", (), DAYS[2])], NOW, "week", WORDS)
    mark = next(one for one in parsed(near).iter("path") if one.get("class") == "plan-due")
    assert mark.get("d", "").startswith(f"M{FRAME.column(DAYS[2])[1]:.0f} ")
    assert "due" in [one.text for one in parsed(near).iter("text")]
    far = draw(FRAME, [Lane("Dresser", (), date(2026, 4, 20))], NOW, "week", WORDS)
    assert "plan-due" not in far


def test_names_are_escaped_and_shortened() -> None:
    """A name with marks in it is text, never markup; a long one ends in an ellipsis."""
    wicked = '<b onload="x">&'
    lanes = [
        Lane(wicked, (Bar(NOW, NOW + timedelta(hours=1), "hands"),), heading=wicked),
        Lane("A very long name of a piece", ()),
    ]
    root = parsed(draw(FRAME, lanes, NOW, wicked, WORDS))
    assert root.get("aria-label") == wicked
    texts = [one.text for one in root.iter("text")]
    assert texts.count(wicked) == 2
    assert "A very long name…" in texts


def test_no_style_stands_in_the_drawing() -> None:
    """Only classes: the content policy forbids styles written into a page."""
    bars = tuple(Bar(NOW, NOW + timedelta(hours=2), kind) for kind in ("hands", "metal", "drying", "soaking"))
    svg = draw(FRAME, [Lane("Dresser", bars, DAYS[1])], NOW, "week", WORDS)
    assert not {name for one in parsed(svg).iter() for name in one.attrib} & {"style", "fill", "stroke"}


def test_what_lies_outside_the_days_is_not_drawn(by: By) -> None:
    """Work of next month leaves no sliver at the edge."""
    piece = chair(by)
    step(piece, "Sand")
    step(piece, "Collect", not_before=by.at + timedelta(days=30))
    replan(by, seconds=0.5)
    assert len(rects(strip(day_of(by.shop, by.at)), *HANDS)) == 1


def test_strip_of_a_shop(by: By) -> None:
    """Six working days from today; hands where the plan has them, drying from the coat on, soaking in waves, the day it is due."""
    can = varnish(by)
    piece, metal = chair(by, promise=date(2026, 3, 16)), chair(by, "Hinges & pulls")
    laid, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    wait(laid, second, kind="drying", from_label="cure")
    soak, scrub = step(metal, "Lay in", does="metal"), step(metal, "Scrub", does="metal")
    wait(soak, scrub, kind="soak", least_minutes=120)
    done(by, laid, by.at - timedelta(hours=1), by.at)
    replan(by, seconds=0.5)
    svg = strip(day_of(by.shop, by.at))
    names = [one.text for one in parsed(svg).iter("text")]
    assert names[0] == "Thu 12 Mar"
    assert "Sat 14 Mar" not in names
    assert {"Kitchen chair", "Hinges & pulls", "due", "now"} <= set(names)
    assert len(rects(svg, "plan-day")) == 6
    assert len(rects(svg, "plan-metal")) == 2
    assert len(rects(svg, "plan-soaking")) == 1
    ((left, right),) = rects(svg, "plan-drying")
    assert left == pytest.approx(NAME_WIDTH + (COLUMN - GAP) / 9, abs=0.5), "nine o'clock"
    assert right == pytest.approx(NAME_WIDTH + 2 * COLUMN), "Saturday morning is where Monday begins"


def test_today_is_shown_on_a_day_off(by: By) -> None:
    """On a holiday the strip still begins today, and the holiday after it has no column."""
    step(chair(by), "Sand")
    add_day_off(by, date(2026, 3, 12))
    add_day_off(by, date(2026, 3, 13))
    replan(by, seconds=0.5)
    names = [one.text for one in parsed(strip(day_of(by.shop, by.at))).iter("text")]
    assert names[:2] == ["Thu 12 Mar", "Mon 16 Mar"]


def test_hours_of_the_shop_are_the_width_of_a_day(by: By) -> None:
    """A shop that works from two to ten in the evening sees these hours."""
    set_hours(by, [(day, time(14), time(22)) for day in range(5)])
    step(chair(by), "Sand", 480)
    replan(by, seconds=0.5)
    ((left, right),) = rects(strip(day_of(by.shop, by.at)), "plan-hands")
    assert left == NAME_WIDTH
    assert right == pytest.approx(NAME_WIDTH + COLUMN - GAP, abs=1.1), "less a hair's breadth"


def test_many_pieces_are_cut_to_a_readable_number(by: By) -> None:
    """A full shop draws the pieces that come first; the list below has them all."""
    for number in range(MOST_LANES + 3):
        step(chair(by, f"Chair {number:02d}"), "Sand", 5)
    replan(by, seconds=0.5)
    names = [one.text or "" for one in parsed(strip(day_of(by.shop, by.at))).iter("text")]
    assert sum(name.startswith("Chair") for name in names) == MOST_LANES


def test_several_people_have_rows_of_their_own(by: By) -> None:
    """Below the pieces one row for each who works, named or not; nobody's row where one person does everything."""
    piece = chair(by)
    together, alone = step(piece, "Turn it over", 60, hands=2), step(piece, "Sand", 60)
    replan(by, seconds=0.5)
    one = day_of(by.shop, by.at)
    assert "by hands" not in strip(one)
    by.shop.hands = 2
    by.shop.save()
    plan = replan(by, seconds=0.5)
    PlannedStep.objects.filter(plan=plan, step=together).update(people=[str(by.person.pk), "hand 2"])
    PlannedStep.objects.filter(plan=plan, step=alone).update(people=[str(by.person.pk)])
    svg = strip(day_of(by.shop, by.at))
    names = [one.text for one in parsed(svg).iter("text")]
    assert names[names.index("by hands") :][:3] == ["by hands", "Ines", "hand 2"]
    assert len(rects(svg, *HANDS)) == 2 + 3


def test_a_full_week_of_one_person_is_drawn_in_few_bars(by: By) -> None:
    """Forty short steps in a row are forty bars of their pieces, and one bar a stretch of work in the row of the person."""
    by.shop.hands = 2
    by.shop.save()
    piece = chair(by)
    for number in range(40):
        step(piece, f"Step {number:02d}", 10)
    step(chair(by, "Stool"), "Sand")
    plan = replan(by, seconds=0.5)
    PlannedStep.objects.filter(plan=plan, step__piece=piece).update(people=[str(by.person.pk)])
    PlannedStep.objects.filter(plan=plan).exclude(step__piece=piece).update(people=["hand 2"])
    drawn = rects(strip(day_of(by.shop, by.at)), *HANDS)
    assert len(drawn) < 40 + 1 + 8
