"""Rules about time: what has happened, hours, dates, waits and windows. One rule is one function; its first line says it in words."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from tallboy.planner.network import Link
from tallboy.planner.rules.reading import (
    Finding,
    Placed,
    Reading,
    Stretch,
    common_hours,
    crew_hours,
    holds,
    minute,
    place_hours,
    stretches,
    wait_after,
)


def what_is_done_stays(reading: Reading) -> Iterator[Finding]:
    """What is done keeps the times at which it really happened; what has begun keeps its start."""
    for placed in reading.placed.values():
        step, planned = placed.step, placed.planned
        if step.done is not None and (planned.start, planned.end) != step.done:
            yield f"{step.key} is not where it was really done.", (step.key,)
        if step.done is None and step.started is not None and planned.start != step.started:
            yield f"{step.key} does not start when it was really begun.", (step.key,)
        if (planned.done, planned.running) != (step.done is not None, step.done is None and step.started is not None):
            yield f"{step.key} is marked wrongly as done or running.", (step.key,)


def nothing_in_the_past(reading: Reading) -> Iterator[Finding]:
    """Nothing is planned before now, and what is running ends after now."""
    for placed in reading.placed.values():
        time = placed.end if placed.planned.running else placed.start
        if placed.step.done is None and time < reading.now:
            yield f"{placed.key} lies in the past.", (placed.key,)


def on_whole_slots(reading: Reading) -> Iterator[Finding]:
    """What is planned starts and ends on whole slots of the clock."""
    for placed in reading.open:
        if placed.start % reading.problem.slot_minutes or placed.end % reading.problem.slot_minutes:
            yield f"{placed.key} does not lie on whole slots.", (placed.key,)


def time_enough(reading: Reading) -> Iterator[Finding]:
    """The hands-on stretches of a step add up to its time, rounded up to whole slots, and run from its start to its end."""
    for placed in reading.open:
        worked = sum(b - a for a, b in placed.blocks)
        if not placed.step.minutes <= worked < placed.step.minutes + reading.problem.slot_minutes:
            yield f"{placed.key} gets {worked:.0f} of {placed.step.minutes} minutes.", (placed.key,)
        if (placed.blocks[0][0], placed.blocks[-1][1]) != (placed.start, placed.end):
            yield f"{placed.key} does not run from its first to its last stretch.", (placed.key,)
        if any(b <= a for a, b in placed.blocks) or any(c <= b for (_, b), (c, _) in pairwise(placed.blocks)):
            yield f"{placed.key} has stretches out of order.", (placed.key,)


def within_hours(reading: Reading) -> Iterator[Finding]:
    """Everybody of the crew is at work for every hands-on stretch; what keeps nobody busy lies in the shop's hours."""
    for placed in reading.open:
        hours = crew_hours(reading, placed)
        if not all(holds(hours, a, b) for a, b in placed.blocks):
            yield f"{placed.key} is worked on outside the working hours of those who do it.", (placed.key,)


def place_open(reading: Reading) -> Iterator[Finding]:
    """Every hands-on stretch lies within the hours of its place."""
    for placed in reading.open:
        hours = place_hours(reading, placed)
        if hours is not None and not all(holds(hours, a, b) for a, b in placed.blocks):
            yield f"{placed.key} is worked on while {placed.step.place} cannot be used.", (placed.key,)


def quiet_kept(reading: Reading) -> Iterator[Finding]:
    """Nothing noisy is done in quiet hours."""
    quiet = stretches(reading.problem.quiet)
    for placed in reading.open:
        if placed.step.noisy and any(placed.at_work_during(a, b) for a, b in quiet):
            yield f"{placed.key} makes noise in quiet hours.", (placed.key,)


def in_one_stretch(reading: Reading) -> Iterator[Finding]:
    """A step that may not be split is done in one stretch; the chunks of one that may be are not too short."""
    for placed in reading.open:
        if not placed.step.split and len(placed.blocks) != 1:
            yield f"{placed.key} is split and may not be.", (placed.key,)
        least = min(placed.step.least_chunk, placed.step.minutes)
        if len(placed.blocks) > 1 and any(b - a < least for a, b in placed.blocks):
            yield f"{placed.key} has a chunk shorter than {least} minutes.", (placed.key,)


def cut_where_hours_end(reading: Reading) -> Iterator[Finding]:
    """A split step stops only where the hours in which it can be done end, and goes on when the next ones begin.

    The hours are those that crew and place have in common, without quiet ones for a noisy step. Stretches too short for a
    chunk are sat out.
    """
    for placed in reading.open:
        if len(placed.blocks) == 1:
            continue
        hours = common_hours(reading, placed)
        for (a, b), (c, d) in pairwise(placed.blocks):
            if holds(hours, a, b) and holds(hours, c, d) and not _cut_well(reading, placed, hours, (b, c)):
                yield f"{placed.key} stops where it could go on.", (placed.key,)


def _cut_well(reading: Reading, placed: Placed, hours: tuple[Stretch, ...], gap: Stretch) -> bool:
    """Whether no whole slot could be worked on at either edge of a gap, nor a chunk within it."""
    slot = reading.problem.slot_minutes
    least = min(placed.step.least_chunk, placed.step.minutes)
    for a, b in hours:
        start, end = max(a, gap[0]), min(b, gap[1])
        free = end // slot * slot - -(-start // slot) * slot
        at_an_edge = a < gap[0] < b or a < gap[1] < b
        if free >= (slot if at_an_edge else least):
            return False
    return True


def not_before_its_date(reading: Reading) -> Iterator[Finding]:
    """A step does not start before its own earliest date."""
    for placed in reading.open:
        date = placed.step.not_before
        if date is not None and placed.start < minute(date):
            yield f"{placed.key} starts before {date}.", (placed.key,)


def what_it_awaits_has_come(reading: Reading) -> Iterator[Finding]:
    """A step starts only when everything it needs should have been delivered."""
    for placed in reading.open:
        for delivery in placed.step.awaits:
            if placed.start < minute(delivery.at):
                yield f"{placed.key} starts before {delivery.what} is expected.", (placed.key,)


def waits_kept(reading: Reading) -> Iterator[Finding]:
    """A step starts only after each step it follows has ended and the wait of that hour is over."""
    for link in reading.links:
        first, then = reading.placed[link.first], reading.placed[link.then]
        wait = wait_after(link.least, first.end)
        if then.start < first.end + wait:
            yield f"{then.key} starts less than {wait} minutes after {first.key}.", (first.key, then.key)


def _late(reading: Reading, link: Link) -> bool:
    """Whether the second step starts after the window of the first has closed."""
    if link.most is None:
        return False
    end = reading.placed[link.first].end
    most = link.most if isinstance(link.most, int) else wait_after(link.most, end)
    return reading.placed[link.then].start > end + most


def windows_kept(reading: Reading) -> Iterator[Finding]:
    """A step starts before the window of the step it follows has closed; if not, it is rubbed down or the plan says that it could not."""
    told = {(missed.first, missed.step) for missed in reading.plan.missed_windows}
    scuffed = {(scuff.first, scuff.step) for scuff in reading.plan.scuffed}
    late = {(link.first, link.then): link for link in reading.links if _late(reading, link)}
    for pair, link in late.items():
        if pair not in (told if link.scuff is None else scuffed):
            yield f"{link.then} starts too long after {link.first}.", pair


def what_is_told_was_missed(reading: Reading) -> Iterator[Finding]:
    """A window is told as missed, or a scuff added for it, only where the step is really late."""
    told = [(missed.first, missed.step) for missed in reading.plan.missed_windows]
    told += [(scuff.first, scuff.step) for scuff in reading.plan.scuffed]
    late = {(link.first, link.then) for link in reading.links if _late(reading, link)}
    for pair in told:
        if pair not in late:
            yield f"The window from {pair[0]} to {pair[1]} is not missed.", pair


def scuffs_between(reading: Reading) -> Iterator[Finding]:
    """A coat whose window was missed is rubbed down after its own wait, and before the step that follows."""
    for told in reading.plan.scuffed:
        first, then, scuff = (reading.placed[key] for key in (told.first, told.step, told.scuff))
        least = next(link.least for link in reading.links if (link.first, link.then) == (told.first, told.step))
        if scuff.start < first.end + wait_after(least, first.end) or then.start < scuff.end:
            yield f"{scuff.key} does not lie between {first.key} and {then.key}.", (first.key, scuff.key, then.key)
