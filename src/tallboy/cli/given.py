"""Files that a command is given."""

from __future__ import annotations

from pathlib import Path

from tallboy.errors import BadFile, NotFound


def there_is(path: Path) -> bool:
    """Whether there is a file; a name that no file can have is one that is not there."""
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False


def read_given(path: Path, largest: int, what: str) -> bytes:
    """The bytes of a file. `largest` is how many it may have, `what` is what it should be, for the messages.

    Raises NotFound when it is not there, BadFile when it is too large or cannot be read.
    """
    if not there_is(path):
        raise NotFound(f"There is no file {path}.")
    try:
        size = path.stat().st_size
        if size > largest:
            raise BadFile(f"{path.name} has {size} bytes.", f"{what} has {largest} at most.")
        return path.read_bytes()
    except OSError as error:
        raise BadFile(f"{path} cannot be read: {error.strerror or error}.", "Make it readable, or copy it.") from None
