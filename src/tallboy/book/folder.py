"""The folder that a book lives in: the database file, the photographs by content hash, a secret for the web pages."""

from __future__ import annotations

import os
import secrets
import tempfile
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
        try:
            # An empty one is left of a start that was cut off.
            return _read(file) or self._new_secret(file)
        except (OSError, ValueError) as error:
            reason = getattr(error, "strerror", None) or error
            raise BookTrouble(
                f"The book's folder {self.path} cannot be used: {reason}.",
                "Name another with --book DIR, or make this one readable and writable.",
            ) from None

    def _new_secret(self, file: Path) -> str:
        self.make()
        # Readable by its owner only from the first moment, and never half written under its own name.
        descriptor, temporary = tempfile.mkstemp(dir=self.path, prefix=".secret-")
        with os.fdopen(descriptor, "w", encoding="ascii") as handle:
            handle.write(secrets.token_urlsafe(48))
        os.replace(temporary, file)
        return _read(file)


def _read(file: Path) -> str:
    return file.read_text(encoding="ascii").strip() if file.exists() else ""
