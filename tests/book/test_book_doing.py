"""The rule of every change: one transaction, at least one journal row, or nothing at all."""

from __future__ import annotations

import pytest
from django.db import DataError, Error, connection, transaction

from tallboy.book.doing import By, NoJournalRow, action
from tallboy.book.models import Journal, JournalIsWritten, Place
from tallboy.errors import BadInput, Refused


@action
def write_nothing_down(by: By, name: str) -> Place:
    """Changes the book and tells the journal nothing: a program error."""
    return Place.objects.create(**by.kept(), name=name)


@action
def write_it_down(by: By, name: str) -> Place:
    """Changes the book and says so."""
    place = Place.objects.create(**by.kept(), name=name)
    by.record("try", place, f"Tried {name}.", tried=name)
    return place


@action
def break_after_writing(by: By, name: str) -> Place:
    """Changes the book, says so, then fails."""
    write_it_down(by, name)
    raise RuntimeError("the bench fell over")


@action
def leave_it_to_another(by: By, name: str) -> Place:
    """An action whose journal row another action writes."""
    return write_it_down(by, name)


@action
def lean_on_the_one_before(by: By, name: str) -> Place:
    """Writes down the first change inside another action; that action itself writes nothing of its own later."""
    write_it_down(by, name)
    return write_nothing_down(by, f"{name} too")


def test_an_action_without_a_journal_row_is_undone(by: By) -> None:
    """Its change is rolled back, and the program error names the function."""
    rows = Journal.objects.count()
    with pytest.raises(NoJournalRow, match="write_nothing_down"):
        write_nothing_down(by, "loft")
    assert not Place.objects.filter(name="loft").exists()
    assert Journal.objects.count() == rows


def test_an_action_leaves_who_when_and_what(by: By) -> None:
    """The row names the shop, the person, the moment, the action, the subject, and keeps the data given."""
    place = write_it_down(by, "loft")
    row = Journal.objects.get(action="try")
    assert (row.shop, row.person, row.at) == (by.shop, by.person, by.at)
    assert (row.subject_kind, row.subject_id) == ("book.place", place.pk)
    assert (row.text, row.data) == ("Tried loft.", {"tried": "loft"})


def test_a_failing_action_takes_its_journal_row_back(by: By) -> None:
    """Change and journal row stand or fall together."""
    with pytest.raises(RuntimeError, match="fell over"):
        break_after_writing(by, "loft")
    assert not Place.objects.filter(name="loft").exists()
    assert not Journal.objects.filter(action="try").exists()


def test_an_action_may_leave_the_writing_to_one_inside_it(by: By) -> None:
    """A row written by an action called inside counts for the one around it."""
    assert leave_it_to_another(by, "loft").name == "loft"


def test_a_silent_action_inside_another_is_undone_with_it(by: By) -> None:
    """A row written before it was called does not count for the inner one; all of it is rolled back."""
    with pytest.raises(NoJournalRow):
        lean_on_the_one_before(by, "loft")
    assert not Place.objects.filter(name__startswith="loft").exists()


def test_an_earlier_action_does_not_cover_for_a_later_one(by: By) -> None:
    """Each action is counted by itself."""
    write_it_down(by, "loft")
    with pytest.raises(NoJournalRow):
        write_nothing_down(by, "cellar")
    assert not Place.objects.filter(name="cellar").exists()


def test_an_action_is_marked_and_keeps_its_name_and_docstring() -> None:
    """The mark is what the walk over all actions looks for."""
    assert write_it_down.is_action  # type: ignore[attr-defined]
    assert write_it_down.__name__ == "write_it_down"
    assert write_it_down.__doc__ == "Changes the book and says so."


def test_the_journal_is_not_edited_through_the_program(by: By) -> None:
    """Saving a row again, or deleting it, is a program error."""
    row = Journal.objects.filter(shop=by.shop)[0]
    row.text = "Nothing happened."
    with pytest.raises(JournalIsWritten):
        row.save()
    with pytest.raises(JournalIsWritten):
        row.delete()


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE book_journal SET text = 'Nothing happened.'",
        "UPDATE book_journal SET at = '2020-01-01 00:00:00+00:00'",
        "UPDATE book_journal SET person_id = person_id",
        "DELETE FROM book_journal",
        "DELETE FROM book_journal WHERE id = (SELECT min(id) FROM book_journal)",
    ],
)
def test_the_database_refuses_to_edit_the_journal(by: By, sql: str) -> None:
    """Not even SQL written by hand changes or deletes a row."""
    before = list(Journal.objects.order_by("id").values_list())
    with pytest.raises(Error, match="never edited"), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(sql)
    assert list(Journal.objects.order_by("id").values_list()) == before


@pytest.mark.parametrize("change", ["update", "delete", "bulk_update"])
def test_the_database_refuses_changes_of_many_journal_rows_at_once(by: By, change: str) -> None:
    """The ways round a row's own `save` and `delete` end at the database."""
    rows = Journal.objects.filter(shop=by.shop)
    acts = {
        "update": lambda: rows.update(text="Nothing happened."),
        "delete": lambda: rows._raw_delete(rows.db),
        "bulk_update": lambda: Journal.objects.bulk_update([rows[0]], ["text"]),
    }
    with pytest.raises(Error, match="never edited"), transaction.atomic():
        acts[change]()
    assert rows.exists()


@action
def write_too_much(by: By, name: str) -> Place:
    """Something the database refuses, as PostgreSQL does with a text that is too long."""
    write_it_down(by, name)
    raise DataError("value too long for type character varying(80)")


def test_what_the_database_will_not_keep_is_bad_input(by: By) -> None:
    """It is told in our own words, and nothing is kept."""
    with pytest.raises(BadInput, match="too long, or holds a sign that is no text") as caught:
        write_too_much(by, "loft")
    assert "varying" not in str(caught.value)
    assert not Place.objects.filter(name="loft").exists()


def test_what_somebody_else_has_just_written_is_refused(by: By) -> None:
    """Two who looked before either had written: the second is told so, not shown a fault of the program."""
    write_it_down(by, "loft")
    with pytest.raises(Refused, match="just written down by somebody else"):
        write_it_down(by, "loft")
    assert Place.objects.filter(name="loft").count() == 1
