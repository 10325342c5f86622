"""The plan as a calendar: what stands in it, and that it is one by the rules of RFC 5545."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from typing import Any

import icalendar
import pytest
from django.test import Client
from django.urls import reverse
from tests.drawers.today.today_made import chair, coat, done, step, varnish, wait

from tallboy.book.doing import By
from tallboy.book.models import Person, Place
from tallboy.drawers.pieces.models import Piece, Step
from tallboy.drawers.today import feed
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.models import Plan, PlannedStep

OpenAt = Callable[[By], Client]
HOUR = timedelta(hours=1)
QUICK = 0.5


def events(data: bytes) -> dict[str, Any]:
    """The entries by their summaries, as a reader of calendars finds them."""
    calendar = icalendar.Calendar.from_ical(data)
    found = {str(event["summary"]): event for event in calendar.walk("VEVENT")}
    assert len(found) == len(calendar.walk("VEVENT")), "two entries of one name"
    return found


def lines(data: bytes) -> list[str]:
    """The content lines, unfolded as RFC 5545, section 3.1, says."""
    return data.decode("utf-8").replace("\r\n ", "").split("\r\n")


@pytest.fixture
def bench(by: By) -> Piece:
    """A chair with two coats and putting back, promised, belonging to somebody."""
    can = varnish(by, recoat_until_minutes=2880)
    place = Place.objects.filter(shop=by.shop).first()
    piece = chair(by, promise=date(2026, 3, 20), customer="A. Customer, 7 Slip Lane")
    first = coat(piece, "Coat 1", can, place=place, cautions=["solvent-vapour"])
    second, last = coat(piece, "Coat 2", can), step(piece, "Put back", 60)
    wait(first, second, kind="drying", from_label="recoat")
    wait(second, last, kind="drying", from_label="touch")
    replan(by, seconds=QUICK)
    return piece


def planned(title: str) -> PlannedStep:
    return PlannedStep.objects.get(step__title=title)


def test_hands_on_stretches_stand_where_the_plan_has_them(by: By, bench: Piece) -> None:
    """Start, end, place, why and what to mind, busy; by whom."""
    found = events(feed.calendar_of(by.shop))["Kitchen chair: Coat 1"]
    row = planned("Coat 1")
    assert (found.start, found.end) == (row.start, row.end)
    assert row.step.place is not None
    assert str(found["location"]) == row.step.place.name
    assert str(found["transp"]) == "OPAQUE"
    told = str(found["description"])
    assert told.startswith("30 min hands-on: Ines\n")
    assert row.reason in told
    assert "Solvent vapour." in told


def test_window_reminds_before_it_closes(by: By, bench: Piece) -> None:
    """From when to when the next coat may follow, leaving people free, with an alarm an hour before its end."""
    window = events(feed.calendar_of(by.shop))["Window: Kitchen chair: Coat 2"]
    end = planned("Coat 1").end
    assert (window.start, window.end) == (end + 4 * HOUR, end + 48 * HOUR)
    assert str(window["transp"]) == "TRANSPARENT"
    (alarm,) = window.walk("VALARM")
    assert str(alarm["action"]) == "DISPLAY"
    assert str(alarm["description"])
    assert alarm["trigger"].dt == -HOUR
    assert alarm["trigger"].params["RELATED"] == "END"


def test_short_window_reminds_in_its_middle(by: By) -> None:
    """An hour before the end would be before it opens."""
    can = varnish(by, recoat_until_minutes=300)
    piece = chair(by)
    wait(coat(piece, "Coat 1", can), coat(piece, "Coat 2", can), kind="drying", from_label="recoat")
    replan(by, seconds=QUICK)
    window = events(feed.calendar_of(by.shop))["Window: Kitchen chair: Coat 2"]
    assert window.walk("VALARM")[0]["trigger"].dt == -timedelta(minutes=30)


def test_a_missed_window_is_sanded_only_after_a_coat(by: By) -> None:
    """What lay in a soak too long is not put right by sanding, and the calendar does not say so."""
    piece = chair(by)
    wait(step(piece, "Put to soak"), step(piece, "Clean the pull"), kind="soak", least_minutes=60, most_minutes=24 * 60)
    can = varnish(by, recoat_until_minutes=24 * 60)
    wait(coat(piece, "Coat 1", can), coat(piece, "Coat 2", can), kind="drying", from_label="recoat")
    replan(by, seconds=QUICK)
    found = events(feed.calendar_of(by.shop))
    assert str(found["Window: Kitchen chair: Clean the pull"]["description"]) == "After “Put to soak”."
    assert "sanded first" in str(found["Window: Kitchen chair: Coat 2"]["description"])


def test_what_is_dry_when(by: By, bench: Piece) -> None:
    """A moment, not a stretch: when the last coat may be touched."""
    dry = events(feed.calendar_of(by.shop))["Dry: Kitchen chair: Coat 2"]
    assert dry.start == planned("Coat 2").end + HOUR
    assert "dtend" not in dry
    assert str(dry["transp"]) == "TRANSPARENT"


def test_coat_that_dries_now_is_told_too(by: By, bench: Piece) -> None:
    """What was laid already has left the plan, but its window still opens and closes."""
    first = Step.objects.get(title="Coat 1")
    done(by, first, by.at, by.at + HOUR / 2)
    replan(by.later(by.at + HOUR / 2))
    found = events(feed.calendar_of(by.shop))
    assert "Kitchen chair: Coat 1" not in found
    assert found["Window: Kitchen chair: Coat 2"].start == by.at + 4.5 * HOUR


def test_promises_are_whole_days(by: By, bench: Piece) -> None:
    """The promised day, and what becomes of it by the plan; a late one says so."""
    promise = events(feed.calendar_of(by.shop))["Promised: Kitchen chair"]
    assert promise["dtstart"].dt == date(2026, 3, 20)
    assert str(promise["transp"]) == "TRANSPARENT"
    assert "By this plan it is finished on" in str(promise["description"])
    Piece.objects.update(promise=date(2026, 3, 11))
    replan(by, seconds=QUICK)
    promise = events(feed.calendar_of(by.shop))["Promised: Kitchen chair"]
    assert "1 day late" in str(promise["description"])


def test_whose_it_is_stands_nowhere(by: By, bench: Piece) -> None:
    """A calendar is shown around: no name and no address of whom a piece belongs to."""
    assert bench.customer == "A. Customer, 7 Slip Lane"
    data = "".join(lines(feed.calendar_of(by.shop)))
    for word in ("Customer", "Slip Lane"):
        assert word not in data


def test_change_of_clocks(by: By) -> None:
    """Nine in the morning stays nine in the morning on either side of it: 09:00 UTC in winter, 08:00 UTC in summer time.

    Portugal put its clocks on by an hour on Sunday, 29 March 2026 (Directive 2000/84/EC: the last Sunday in March, 01:00 UTC).
    """
    piece = chair(by)
    before, after = step(piece, "Before", 60), step(piece, "After", 60)
    Step.objects.filter(pk=before.pk).update(not_before=datetime(2026, 3, 27, 9, tzinfo=by.shop.tz))
    Step.objects.filter(pk=after.pk).update(not_before=datetime(2026, 3, 30, 9, tzinfo=by.shop.tz))
    replan(by, seconds=QUICK)
    data = feed.calendar_of(by.shop)
    assert "DTSTART:20260327T090000Z" in lines(data)
    assert "DTSTART:20260330T080000Z" in lines(data)
    found = events(data)["Kitchen chair: After"]
    assert found.start.astimezone(by.shop.tz).hour == 9


def test_identity_lasts_and_sequence_grows(by: By, bench: Piece) -> None:
    """A new plan moves the same entries: UIDs stay, SEQUENCE grows, LAST-MODIFIED and DTSTAMP are the plan's own."""
    before = events(feed.calendar_of(by.shop))
    later = by.later(by.at + HOUR)
    replan(later, seconds=QUICK)
    after = events(feed.calendar_of(by.shop))
    assert set(before) == set(after)
    uids = {name: str(event["uid"]) for name, event in before.items()}
    assert {name: str(event["uid"]) for name, event in after.items()} == uids
    assert len(set(uids.values())) == len(uids)
    assert all(int(after[name]["sequence"]) > int(before[name]["sequence"]) for name in before)
    assert {event["last-modified"].dt for event in after.values()} == {later.at.astimezone(UTC)}
    assert {event["dtstamp"].dt for event in after.values()} == {later.at.astimezone(UTC)}


def test_split_step_has_an_entry_for_each_stretch(by: By) -> None:
    """Two days, two entries, two identities."""
    long = step(chair(by), "Scrape", 600, split=True)
    replan(by, seconds=QUICK)
    starts = [line for line in lines(feed.calendar_of(by.shop)) if line.startswith("DTSTART")]
    uids = [line for line in lines(feed.calendar_of(by.shop)) if line.startswith("UID")]
    assert len(starts) == len(PlannedStep.objects.get(step=long).blocks) > 1
    assert len(set(uids)) == len(uids)


AWKWARD = "Desk; “knee-hole”, 2 × drawers \\ very long " + "größe über Ångström " * 9
# RFC 5545, section 3.3.11: the value "Project XYZ Final Review" / "Conference Room - 3B" / "Come Prepared." of three lines.
THREE_LINES = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared."
WRITTEN = r"Project XYZ Final Review\nConference Room - 3B\nCome Prepared."


def test_rules_of_the_format(by: By) -> None:
    """RFC 5545, section 3.1: lines end in CR LF and are folded before 75 octets, never inside a character."""
    piece = chair(by, AWKWARD.strip()[:110])
    step(piece, AWKWARD[:190].strip(), 60, cautions=["solvent-vapour", "lead"])
    replan(by, seconds=QUICK)
    data = feed.calendar_of(by.shop)
    assert data.endswith(b"END:VCALENDAR\r\n")
    raw = data.split(b"\r\n")
    assert all(len(line) <= 75 for line in raw)
    assert all(b"\r" not in line and b"\n" not in line for line in raw)
    for line in raw:
        line.decode("utf-8")
    assert any(line.startswith(b" ") for line in raw)
    (event,) = events(data).values()
    assert str(event["summary"]) == f"{piece.name}: {AWKWARD[:190].strip()}"


def test_every_line_is_a_property_with_its_value(by: By, bench: Piece) -> None:
    """RFC 5545: what must be there is there once, in order; texts are escaped (3.3.11), and nothing is unknown."""
    found = lines(feed.calendar_of(by.shop))
    assert found[:2] == ["BEGIN:VCALENDAR", "VERSION:2.0"]
    assert sum(line.startswith("PRODID:") for line in found) == 1
    shape = re.compile(r"[A-Z-]+(;[A-Z-]+=[A-Z]+)*:.+|")
    assert [line for line in found if not shape.fullmatch(line)] == []
    text = re.compile(r"^(SUMMARY|DESCRIPTION|LOCATION|NAME|X-WR-CALNAME):(.*)$")
    values = [match[2] for line in found if (match := text.match(line))]
    assert values
    for value in values:
        bare = re.sub(r"\\[\\;,nN]", "", value)
        assert not set(bare) & set("\\;,"), value
    blocks = "\n".join(found).split("BEGIN:VEVENT\n")[1:]
    for block in blocks:
        names = [line.partition(":")[0].partition(";")[0] for line in block.split("\nBEGIN:VALARM")[0].split("\n")]
        for name in ("UID", "DTSTAMP", "DTSTART", "SUMMARY", "SEQUENCE", "TRANSP"):
            assert names.count(name) == 1
    assert "REFRESH-INTERVAL;VALUE=DURATION:PT15M" in found
    # With a METHOD the stricter RFC 5546 would hold, which asks for an organizer and his address.
    assert not any(line.startswith("METHOD") for line in found)


def test_lines_of_a_text(by: By) -> None:
    """The example of RFC 5545, section 3.3.11; signs that no calendar may carry are left out."""
    step(chair(by), "Sand", 30)
    plan = replan(by, seconds=QUICK)
    PlannedStep.objects.update(reason=THREE_LINES + "\x07\x1b")
    data = feed.calendar_of(by.shop)
    assert WRITTEN in "\n".join(lines(data))
    assert b"\x07" not in data
    assert b"\x1b" not in data
    assert plan.steps.count() == 1


def test_nothing_planned_is_an_empty_calendar(by: By) -> None:
    """A program that has subscribed already must not fail."""
    calendar = icalendar.Calendar.from_ical(feed.calendar_of(by.shop))
    assert calendar.walk("VEVENT") == []
    assert str(calendar["x-wr-calname"]) == "Plan: Quay Bench"


def test_only_what_one_person_does(by: By, bench: Piece) -> None:
    """The work of one, the windows for it, and every promise; nothing of the others' work."""
    rui = Person.objects.create(shop=by.shop, name="Rui")
    row = planned("Coat 2")
    row.people = [str(rui.pk)]
    row.save()
    found = set(events(feed.calendar_of(by.shop, rui)))
    assert found == {"Kitchen chair: Coat 2", "Window: Kitchen chair: Coat 2", "Promised: Kitchen chair"}
    assert "Kitchen chair: Coat 1" in events(feed.calendar_of(by.shop, by.person))


def test_address_works_without_a_session(by: By, bench: Piece, stranger: By) -> None:
    """A calendar program knows the address and nothing else; it names the shop so that nobody can guess another's."""
    client = Client()
    answer = client.get(feed.address(by.shop))
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert "Kitchen chair: Coat 1" in events(answer.content)
    assert client.get(feed.address(stranger.shop)).content.count(b"BEGIN:VEVENT") == 0
    token = feed.address(by.shop).partition("shop=")[2]
    for bad in (str(by.shop.pk), token[:-1], token.replace(str(by.shop.pk), str(stranger.shop.pk), 1), ""):
        assert client.get(reverse("today:plan-ics"), {"shop": bad}).status_code == 404


def test_one_persons_address(client_at: OpenAt, by: By, bench: Piece, stranger: By) -> None:
    """One's own calendar; a person of another shop or none at all is not found."""
    client = client_at(by)
    assert client.get(feed.address(by.shop, by.person)).status_code == 200
    for bad in (str(stranger.person.pk), "0", "x", "-1", "9" * 30, ""):
        assert client.get(reverse("today:plan-ics"), {"person": bad}).status_code == 404


def test_plan_page_says_how_to_subscribe(client_at: OpenAt, by: By, bench: Piece) -> None:
    """The whole address to copy, and one for each where several work."""
    client = client_at(by)
    page = client.get(reverse("today:plan")).content.decode()
    assert f"http://testserver{feed.address(by.shop)}" in page
    assert "Whose a piece is does not stand there." in page
    assert "person=" not in page
    Person.objects.create(shop=by.shop, name="Rui")
    assert "What Rui does" in client.get(reverse("today:plan")).content.decode()


def test_plan_of_an_older_book_has_no_windows(by: By, bench: Piece) -> None:
    """A plan kept before windows were is read all the same."""
    Plan.objects.update(waits=[])
    assert set(events(feed.calendar_of(by.shop))) == {
        "Kitchen chair: Coat 1", "Kitchen chair: Coat 2", "Kitchen chair: Put back", "Promised: Kitchen chair",
    }  # fmt: skip
