"""Where the data files lie that some published checks are read from. They are no part of tallboy."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path


def data_files(folder: str) -> Callable[[str], str | None]:
    """Reads a file by its path below this folder; None where it is not at hand, as with no folder at all."""

    def read(path: str) -> str | None:
        file = Path(folder).expanduser() / path
        return file.read_text(encoding="utf-8", errors="replace") if folder and file.is_file() else None

    return read
