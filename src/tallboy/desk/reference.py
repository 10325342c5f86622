"""Where the data files lie that some published checks are read from. They are no part of tallboy."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from tallboy.errors import BadFile, BadInput


def data_files(folder: str) -> Callable[[str], str | None]:
    """Reads a file by its path below this folder; None where it is not at hand, as with no folder at all."""

    def read(path: str) -> str | None:
        file = Path(os.path.expanduser(folder)) / path
        try:
            return file.read_text(encoding="utf-8", errors="replace") if folder and file.is_file() else None
        except OSError as error:
            raise BadFile(f"The data file {file} cannot be read: {error.strerror or error}.") from None

    return read


def named_folder(folder: str) -> str:
    """The folder that the setting names, "" for none; BadInput when there is no such folder."""
    if folder and not os.path.isdir(os.path.expanduser(folder)):
        raise BadInput(
            f"The setting TALLBOY_REFERENCE names no folder: “{folder}”.",
            "Leave it empty, or name the folder in which the data files lie.",
        )
    return folder
