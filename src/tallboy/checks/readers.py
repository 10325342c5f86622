"""Reads the data files that published checks name. They stay where they were gathered and are not part of tallboy."""

from __future__ import annotations

from collections.abc import Callable, Mapping

READERS: Mapping[str, Callable[[str], object]] = {}
"""How a file is read, by the name that a check gives as `read`: text of the file in, plain lists and numbers out."""
