"""Uploaded files that wait for an answer: kept in the book's folder under a random name for a day, then cleaned away."""

from __future__ import annotations

import re
import secrets
from datetime import datetime, timedelta
from pathlib import Path

from django.utils.translation import gettext as _

from tallboy.errors import NotFound

KEPT_FOR = timedelta(days=1)
_TOKEN = re.compile(r"[0-9a-f]{32}")


def keep(folder: Path, data: bytes, now: datetime) -> str:
    """Lay the file aside and give the token it is found by. Those older than a day are cleaned away."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    clean(folder, now)
    token = secrets.token_hex(16)
    (folder / token).write_bytes(data)
    return token


def take(folder: Path, token: str) -> bytes:
    """The file laid aside under a token."""
    path = folder / token
    if not _TOKEN.fullmatch(token) or not path.is_file():
        raise NotFound(
            _("The file is no longer here: it waited for an answer for more than a day."), _("Bring it again.")
        )
    return path.read_bytes()


def drop(folder: Path, token: str) -> None:
    """The file is not needed any more."""
    if _TOKEN.fullmatch(token):
        (folder / token).unlink(missing_ok=True)


def clean(folder: Path, now: datetime) -> None:
    """Remove what has lain for more than a day."""
    oldest = (now - KEPT_FOR).timestamp()
    for path in folder.iterdir():
        if path.is_file() and _TOKEN.fullmatch(path.name) and path.stat().st_mtime < oldest:
            path.unlink(missing_ok=True)
