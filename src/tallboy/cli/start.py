"""Opening the book for a command: its folder, its tables brought up to date, and who acts in it."""

from __future__ import annotations

import argparse
import json
import os
import sys
from typing import Any

from tallboy.errors import BadInput, BookTrouble, NotFound


def set_option(name: str, value: str) -> None:
    """Let what was typed after a command win over the setting of that name; before Django starts."""
    os.environ[name] = value


def open_tables(args: argparse.Namespace) -> None:
    """Start Django on the book named by --book or the settings, and bring its tables up to date.

    Raises BookTrouble when the folder or the database cannot be used.
    """
    if args.book is not None and not args.book.strip():
        raise BadInput("--book names no folder.", "Leave it out for your own book, or name a folder.")
    if args.book:
        set_option("TALLBOY_BOOK", os.path.abspath(os.path.expanduser(args.book)))
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tallboy.web.settings")
    import django
    from django.conf import settings
    from django.db import DatabaseError

    django.setup()
    settings.BOOK.make()
    try:
        _bring_up_to_date()
    except DatabaseError as error:
        place = "the database named by DATABASE_URL" if settings.DATABASE_URL else str(settings.BOOK.database)
        reason = str(error).strip().splitlines()[0]
        raise BookTrouble(f"{place} cannot be used: {reason}.", "Is it a tallboy book, and is it reachable?") from None


def _bring_up_to_date() -> None:
    from django.core.management import call_command
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    executor = MigrationExecutor(connection)
    _refuse_newer(executor.loader)
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        call_command("migrate", verbosity=0, interactive=False)


def _refuse_newer(loader: Any) -> None:
    """Leave a book alone that a newer tallboy has changed: what it means by its tables is not known here."""
    from django.apps import apps

    ours = {app.label for app in apps.get_app_configs() if app.name.startswith("tallboy.")}
    unknown = {key for key in loader.applied_migrations if key[0] in ours} - set(loader.disk_migrations)
    if unknown:
        raise BookTrouble(
            "This book was last opened by a newer tallboy than this one.",
            "Bring this tallboy up to date, then open it.",
        )


def open_book(args: argparse.Namespace) -> Any:
    """Open the book and give who acts in it now (a `By`). Raises NotFound when the book has no shop yet."""
    open_tables(args)
    from django.utils import timezone

    from tallboy.book.doing import By
    from tallboy.book.queries import person_for

    person = person_for(None)
    if person is None:
        raise NotFound("This book has no shop in it yet.", "Run `tallboy open` and give it a name, or `tallboy demo`.")
    timezone.activate(person.shop.tz)
    return By(person, timezone.now())


def say_json(data: Any) -> None:
    """Print data as JSON for a script."""
    json.dump(data, sys.stdout, indent=2, ensure_ascii=False, default=str)
    sys.stdout.write("\n")
