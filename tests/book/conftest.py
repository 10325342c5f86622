"""A folder of its own for each test that looks at which files are there."""

from __future__ import annotations

from pathlib import Path

import pytest

from tallboy.book.folder import BookFolder


@pytest.fixture
def own_folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> BookFolder:
    """The photographs of this test alone."""
    from django.conf import settings

    folder = BookFolder(tmp_path / "book")
    folder.make()
    monkeypatch.setattr(settings, "BOOK", folder)
    return folder
