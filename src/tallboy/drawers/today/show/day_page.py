"""One day of the plan: who does what, what dries, what must not be missed; as lists, and as a drawing of the hours."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from html import escape

from tallboy.drawers.pieces import words
from tallboy.drawers.today.day import SLIP
from tallboy.drawers.today.gathering.links import SLOT
from tallboy.drawers.today.people import person_name, told_names
from tallboy.drawers.today.show.period import Closing, Due, Period, Rest, Work
from tallboy.drawers.today.show.strip import NAME_FITS, Bar, Frame, outlines, shortened
from tallboy.drawers.today.show.week import USUAL_HOURS

ACROSS, TOP, ROW, BAR, RING = 912, 34, 66, 24, 11
MOST_RESTS, MOST_LISTED = 8, 20
NOBODY = ""


@dataclass(frozen=True)
class Item:
    """One stretch of work in the list, with its number in the drawing and the names of those who do it too."""

    number: int
    work: Work
    beside: str = ""

    @property
    def cautions(self) -> str:
        """What to mind while it is still to do, by the names that the cautions have on the day sheet."""
        if self.work.done:
            return ""
        return ", ".join(row["title"] for row in words.cautions(self.work.step.cautions))


@dataclass(frozen=True)
class Hands:
    """One person's day; without a name where nobody is told apart."""

    name: str
    items: tuple[Item, ...]

    @property
    def minutes(self) -> float:
        return sum((item.work.end - item.work.start).total_seconds() / 60 for item in self.items)


class PlanDay:
    """One day, by the shop's clock."""

    def __init__(self, period: Period) -> None:
        self.period, self.day = period, period.first
        self.rests = [rest for rest in period.rests if rest.until > max(period.start, min(period.now, period.end))]
        self.rests.sort(key=lambda rest: rest.until)

    @property
    def more_rests(self) -> int:
        """How many rests more there are than are listed."""
        return max(0, len(self.rests) - MOST_LISTED)

    @property
    def closed(self) -> str | None:
        """Why nobody works; "" on a day like every week's; None when somebody does."""
        return self.period.closed.get(self.day)

    def _safe(self, closing: Closing) -> bool:
        """Whether the plan has the step begin before its window closes, and that is still to come."""
        return closing.planned is not None and self.period.now - SLIP <= closing.planned < closing.at

    @property
    def open_windows(self) -> list[Closing]:
        """The windows that nothing keeps as it is."""
        return [closing for closing in self.period.closings if not self._safe(closing)]

    @property
    def kept_windows(self) -> list[Closing]:
        """The windows before whose end their step is planned."""
        return [closing for closing in self.period.closings if self._safe(closing)]

    @property
    def open_dues(self) -> list[Due]:
        """The promises that are late, or for which nothing is planned."""
        return [due for due in self.period.dues if due.late or due.finish is None]

    @property
    def kept_dues(self) -> list[Due]:
        return [due for due in self.period.dues if not due.late and due.finish is not None]

    def hands(self) -> list[Hands]:
        """The day person by person, in the order in which people came; the numbers run through the whole day."""
        items = [Item(number, work) for number, work in enumerate(joined(self.period.work, self.period.now), start=1)]
        keys = {key for item in items for key in item.work.who} or {NOBODY}
        known = [key for key in self.period.names if key in keys]
        ordered = known + sorted(keys - set(known), key=lambda key: (len(key), key))
        groups = [Hands(self._name(key), tuple(self._of(key, items))) for key in ordered]
        nobodys = tuple(item for item in items if not item.work.who)
        if nobodys and NOBODY not in keys:
            groups.append(Hands("", nobodys))
        return [group for group in groups if group.items]

    def _name(self, key: str) -> str:
        return person_name(key, self.period.names) if key else ""

    def _of(self, key: str, items: Sequence[Item]) -> Iterator[Item]:
        for item in items:
            if key in item.work.who or (key == NOBODY and not item.work.who):
                others = (one for one in item.work.who if one != key)
                yield Item(item.number, item.work, told_names(others, self.period.names))


def joined(work: Sequence[Work], now: datetime) -> list[Work]:
    """What is under way once: since its clock began, up to the end of what the plan has of it from now on."""
    rests = {one.step.pk: one for one in work if one.row is not None and one.start == now}
    found: list[Work] = []
    at: dict[int, int] = {}
    for one in work:
        rest = rests.get(one.step.pk)
        if rest is None or not (one.ticking or (one is rest and one.step.pk in at)):
            found.append(one)
        elif one.step.pk in at:
            first = found[at[one.step.pk]]
            found[at[one.step.pk]] = replace(first, who=tuple(dict.fromkeys((*first.who, *one.who))))
        else:
            at[one.step.pk] = len(found)
            found.append(replace(rest, start=one.start, end=_about(rest.end), who=one.who, ticking=True))
    return found


def _about(end: datetime) -> datetime:
    """The end of something under way as the plan counts with it: in whole slots."""
    over = timedelta(minutes=end.minute % SLOT, seconds=end.second, microseconds=end.microsecond)
    return end + timedelta(minutes=SLOT) - over if over else end


def draw(of: PlanDay, hands: Sequence[Hands], label: str, now_word: str) -> str:
    """The hours of the day across, a row for each person, and below them what dries. The numbers are those of the lists."""
    frame = _frame(of.period, of.day)
    rests = [(rest, shape) for rest in of.rests if (shape := _shape(frame, of.period, rest))][:MOST_RESTS]
    height = TOP + ROW * len(hands) + 34 * len(rests) + 6
    body = list(_hours(frame, height))
    for count, group in enumerate(hands):
        body += _group(frame, group, TOP + ROW * count)
    for count, (rest, shape) in enumerate(rests):
        y = TOP + ROW * len(hands) + 34 * count
        body.append(_name(rest.step.piece.name, y + 19))
        body.append(f'<path class="plan-{rest.kind}" transform="translate(0 {y + 5})" d="{shape}"/>')
    if of.period.start <= of.period.now < of.period.end:
        x = frame.x(of.period.now)
        body.append(f'<path class="plan-now" d="M{x:.1f} {TOP - 8}V{height}"/>')
        body.append(
            f'<text class="plan-text plan-soft" x="{x + 4:.0f}" y="{TOP - 2}" font-size="12">{escape(now_word)}</text>'
        )
    return (
        f'<svg viewBox="0 0 {frame.width:.0f} {height}" role="img" aria-label="{escape(label)}">{"".join(body)}</svg>'
    )


def _shape(frame: Frame, period: Period, rest: Rest) -> str:
    """The part of a rest that lies in the hours across; "" when none does."""
    return outlines(frame, [Bar(max(rest.start, period.start), min(rest.until, period.end), rest.kind)], 0, 18)


def _frame(period: Period, day: date) -> Frame:
    """From the first hour that anybody works to the last, planned or done."""
    zone = period.shop.tz
    spans = [*period.stretches, *((work.start, work.end) for work in period.work)]
    inside = [(max(start, period.start), min(end, period.end - timedelta(minutes=1))) for start, end in spans]
    opens = min((start.astimezone(zone).time() for start, _end in inside), default=USUAL_HOURS[0])
    closes = max((end.astimezone(zone).time() for _start, end in inside), default=USUAL_HOURS[1])
    whole = time(closes.hour + 1) if closes.minute and closes.hour < 23 else closes
    return Frame((day,), time(opens.hour), max(whole, time(min(opens.hour + 1, 23))), zone, (), ACROSS, 4.0)


def _hours(frame: Frame, height: int) -> Iterator[str]:
    left, right = frame.column(frame.days[0])
    yield f'<rect class="plan-day" x="{left:.0f}" y="{TOP - 6}" width="{right - left:.0f}" height="{height - TOP + 6}"/>'
    for hour in range(frame.opens.hour, frame.closes.hour + 1):
        x = frame.x(datetime.combine(frame.days[0], time(hour), tzinfo=frame.tz))
        yield f'<path class="plan-rule" d="M{x:.0f} {TOP - 12}V{height}"/>'
        if x < right - 20:
            yield f'<text class="plan-text plan-soft" x="{x + 4:.0f}" y="{TOP - 14}" font-size="14">{hour}:00</text>'


def _group(frame: Frame, group: Hands, y: int) -> Iterator[str]:
    yield _name(group.name, y + 49)
    reached = 0.0
    for item in group.items:
        bar = Bar(item.work.start, item.work.end, item.work.kind)
        yield f'<path class="plan-{bar.kind}" d="{outlines(frame, [bar], y + 32, BAR)}"/>'
        x = max(frame.x(item.work.start) + RING, reached + 2 * RING + 2)
        reached = x
        yield f'<circle class="el-pos" cx="{x:.0f}" cy="{y + 17}" r="{RING}"/>'
        yield f'<text class="plan-text" x="{x:.0f}" y="{y + 22}" font-size="13" text-anchor="middle">{item.number}</text>'


def _name(name: str, y: int) -> str:
    return f'<text class="plan-text" x="2" y="{y}" font-size="16">{escape(shortened(name, NAME_FITS))}</text>'
