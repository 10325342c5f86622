"""The folder that a book lives in: the database file, the photographs by content hash, a secret for the web pages."""

from __future__ import annotations

import os
import secrets
from dataclasses import dataclass
from pathlib import Path

from platformdirs import user_data_path

from tallboy.errors import BookTrouble


def default_folder() -> Path:
    """Where the book lives when nobody says otherwise: `tallboy` in the user's own data folder."""
    return user_data_path("tallboy", appauthor=False)


@dataclass(frozen=True)
class BookFolder:
    """Paths inside one book's folder. Nothing is made until `make` is called."""

    path: Path

    @property
    def database(self) -> Path:
        return self.path / "book.sqlite3"

    @property
    def photos(self) -> Path:
        return self.path / "photos"

    @property
    def papers(self) -> Path:
        return self.path / "papers"

    def photo(self, digest: str) -> Path:
        """The file of a photograph, two hex digits to a sub-folder so that no folder grows huge."""
        return self.photos / digest[:2] / f"{digest}.jpg"

    def make(self) -> None:
        """Make the folder and its sub-folders. BookTrouble says why it cannot be used."""
        try:
            self.photos.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise BookTrouble(
                f"The book's folder {self.path} cannot be used: {error.strerror or error}.",
                "Name another with --book DIR, or make this one writable.",
            ) from None
        if not os.access(self.path, os.W_OK):
            raise BookTrouble(f"The book's folder {self.path} cannot be written to.", "Name another with --book DIR.")

    def secret(self) -> str:
        """The book's own secret for signing cookies, made at first use and readable by its owner only."""
        file = self.path / "secret"
        if file.exists():
            return file.read_text(encoding="ascii").strip()
        self.make()
        value = secrets.token_urlsafe(48)
        descriptor = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(descriptor, "w", encoding="ascii") as handle:
            handle.write(value)
        return value
