"""The rule every change of state obeys: one transaction, at least one row in the journal, who and when known.

    @action
    def hang_a_notice(by: By, text: str) -> Notice:
        notice = Notice.objects.create(**by.kept(), text=text)
        by.record("hang a notice", notice, _("Hung a notice: %s") % text)
        return notice

Views, commands and the demo call the same actions. An action takes `by` first; nothing in it reads the clock.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any, TypeVar, cast

from django.db import DataError, IntegrityError, models, transaction
from django.utils.translation import gettext as _

from tallboy.book.models import Journal, Person, Shop
from tallboy.errors import BadInput, Refused

Act = TypeVar("Act", bound=Callable[..., Any])

_written: ContextVar[int] = ContextVar("journal_rows_written", default=0)
_new_files: ContextVar[list[Path] | None] = ContextVar("files_written_by_this_change", default=None)


class NoJournalRow(Exception):
    """An action ended without a journal row: a program error; its transaction is undone."""


@dataclass(frozen=True)
class By:
    """Who does something, and when. `at` is an aware datetime."""

    person: Person
    at: datetime

    @property
    def shop(self) -> Shop:
        return self.person.shop

    def kept(self) -> dict[str, Any]:
        """The two columns that every row carries."""
        return {"shop": self.shop, "owner": self.person}

    def later(self, at: datetime) -> By:
        """The same person at another moment."""
        return replace(self, at=at)

    def clock(self, at: datetime) -> str:
        """A moment by the shop's clock, as the journal writes it: 2026-03-12 09:00."""
        return f"{at.astimezone(self.shop.tz):%Y-%m-%d %H:%M}"

    def record(self, name: str, subject: models.Model | None, text: str, **data: Any) -> Journal:
        """Write one journal row inside the action's transaction."""
        row = Journal.objects.create(
            shop=self.shop,
            person=self.person,
            at=self.at,
            action=name,
            subject_kind=subject._meta.label_lower if subject is not None else "book.shop",
            subject_id=subject.pk if subject is not None else self.shop.pk,
            text=text,
            data=data,
        )
        _written.set(_written.get() + 1)
        return row


@contextmanager
def all_or_nothing() -> Iterator[None]:
    """One transaction, and the files that are written inside it: when it is undone, they are taken away again."""
    outer, files = _new_files.get(), list[Path]()
    token = _new_files.set(files)
    try:
        with transaction.atomic():
            try:
                yield
            except BaseException:
                # Before the database lets go: whoever waits to keep the same picture must not find a file that then goes.
                for file in files:
                    file.unlink(missing_ok=True)
                raise
    finally:
        _new_files.reset(token)
    if outer is not None:
        outer += files


def new_file(file: Path) -> None:
    """Tell the change that is going on of a file it has written."""
    files = _new_files.get()
    if files is not None:
        files.append(file)


def action(function: Act) -> Act:
    """Mark a change of state: it runs in one transaction and must leave a journal row, else it is undone.

    The function takes who acts, a `By`, as its first argument.
    """

    @functools.wraps(function)
    def wrapped(*args: Any, **kwargs: Any) -> Any:
        before = _written.get()
        with all_or_nothing(), _plainly():
            result = function(*args, **kwargs)
            if _written.get() == before:
                raise NoJournalRow(f"{function.__module__}.{function.__qualname__} left no journal row")
        return result

    wrapped.is_action = True  # type: ignore[attr-defined]
    return cast(Act, wrapped)


@contextmanager
def _plainly() -> Iterator[None]:
    """What the database will not keep, because it is too long or no text, is told as any other bad input."""
    try:
        yield
    except DataError:
        raise BadInput(
            _("Something in this is too long, or holds a sign that is no text."), _("Shorten it, or type it anew.")
        ) from None
    except IntegrityError as error:
        # Two who do the same at the same moment: both looked before either had written.
        if "unique" not in str(error).lower():
            raise
        raise Refused(
            _("The same was just written down by somebody else."), _("Look at the page again before you repeat it.")
        ) from error
