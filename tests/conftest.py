"""Fixtures for every test: a book in a temporary folder, a shop on a quay, and who acts in it."""

from __future__ import annotations

import atexit
import gc
import os
import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import settings
from tests.moments import MORNING

# Before Django reads its settings: tests never touch anybody's own book. The settings are named here and not among
# pytest's own options, because those are read, and Django set up, before this file.
ROOT = Path(__file__).resolve().parents[1]
_FOLDER = tempfile.mkdtemp(prefix="tallboy-test-")
atexit.register(shutil.rmtree, _FOLDER, ignore_errors=True)
os.environ["TALLBOY_BOOK"] = _FOLDER
os.environ["DJANGO_SETTINGS_MODULE"] = "tallboy.web.settings"
if "TALLBOY_TEST_DATABASE_URL" in os.environ:
    os.environ["DATABASE_URL"] = os.environ["TALLBOY_TEST_DATABASE_URL"]
else:
    os.environ.pop("DATABASE_URL", None)

# A shared machine may be slow at any moment; where it is checked for good, the same examples come every time.
settings.register_profile("bench", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True, database=None)
settings.load_profile("ci" if os.environ.get("CI") == "true" else "bench")


def pytest_configure() -> None:
    """Set Django up, now that the book's folder is known."""
    import django

    django.setup()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Tests that touch the database stay in the folders that the Makefile runs on PostgreSQL too."""
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    listed = next(line for line in makefile.splitlines() if line.startswith("WITH_DATABASE")).split()[2:]
    folders = ["/".join(path.split("/")[:2]) for path in listed]
    for item in items:
        touches = "db" in getattr(item, "fixturenames", ()) or item.get_closest_marker("django_db") is not None
        if touches and not any(item.path.is_relative_to(ROOT / folder) for folder in folders):
            raise pytest.UsageError(f"{item.nodeid} touches the database outside of {', '.join(folders)}")


def pytest_collection_finish() -> None:
    """Leaves what was imported and collected out of every later rubbish round: it stays to the end, and is much."""
    gc.collect()
    gc.freeze()


@pytest.fixture
def by(db: None) -> object:
    """Who acts: the first person of a fresh shop on the quay, on a Thursday morning in March."""
    from tallboy.book.actions import found_shop

    return found_shop("Quay Bench", "Ines", MORNING, timezone="Europe/Lisbon")


@pytest.fixture
def stranger(db: None) -> object:
    """Who acts in another shop of the same database."""
    from tallboy.book.actions import found_shop

    return found_shop("Hill Bench", "Rui", MORNING, timezone="Europe/Lisbon")


@pytest.fixture
def own_folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> object:
    """A book's folder for this test alone, where it looks at files or spoils them."""
    from django.conf import settings as django_settings

    from tallboy.book.folder import BookFolder

    folder = BookFolder(tmp_path / "book")
    folder.make()
    monkeypatch.setattr(django_settings, "BOOK", folder)
    return folder


@pytest.fixture
def book_folder(own_folder: object) -> Path:
    """The path of a folder for this test alone."""
    from django.conf import settings as django_settings

    return Path(django_settings.BOOK.path)


@pytest.fixture
def client_at(monkeypatch: pytest.MonkeyPatch) -> object:
    """Makes a browser that has the book of somebody's shop open, at that person's moment: `client_at(by)`."""
    from django.conf import settings
    from django.test import Client
    from django.utils import timezone

    from tallboy.book.doing import By

    def opened(by: By) -> Client:
        monkeypatch.setattr(timezone, "now", lambda: by.at)
        client = Client()
        session = client.session
        session["shop"] = by.shop.pk
        session.save()
        client.cookies[settings.SESSION_COOKIE_NAME] = str(session.session_key)
        return client

    return opened
