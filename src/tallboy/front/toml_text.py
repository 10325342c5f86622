"""Writing plain data as TOML, laid out so that a person can go on with it in an editor."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from datetime import date
from typing import Any

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def toml_text(data: Mapping[str, Any]) -> str:
    """The TOML text of tables, lists, texts, numbers, truths and dates. Lists of tables inside lists stand in line."""
    return "\n".join(_table(data, ())).strip() + "\n"


def _table(data: Mapping[str, Any], path: tuple[str, ...]) -> list[str]:
    lines = [f"{_key(key)} = {_value(value)}" for key, value in data.items() if not _is_section(value, path)]
    for key, value in data.items():
        if not _is_section(value, path):
            continue
        here = (*path, key)
        name = ".".join(_key(part) for part in here)
        if isinstance(value, Mapping):
            lines += ["", f"[{name}]", *_table(value, here)]
        else:
            for item in value:
                lines += ["", f"[[{name}]]", *_table(item, (*here, "[]"))]
    return lines


def _is_section(value: object, path: tuple[str, ...]) -> bool:
    """A table or list of tables that gets a heading of its own; inside a list they stand in line."""
    if "[]" in path:
        return False
    return isinstance(value, Mapping) or (isinstance(value, list) and bool(value) and isinstance(value[0], Mapping))


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else _text(key)


def _text(words: str) -> str:
    return json.dumps(words, ensure_ascii=False)


def _value(value: object, indent: str = "") -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{_key(key)} = {_value(item, indent)}" for key, item in value.items()) + " }"
    if isinstance(value, list | tuple):
        return _list(value, indent)
    return _text(value) if isinstance(value, str) else _plain(value)


def _plain(value: object) -> str:
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
    return str(value)


def _list(value: list[Any] | tuple[Any, ...], indent: str) -> str:
    """A list in one line; a list of tables with one table a line."""
    if any(isinstance(item, Mapping) for item in value):
        deeper = indent + "  "
        return "[\n" + "".join(f"{deeper}{_value(item, deeper)},\n" for item in value) + indent + "]"
    return "[" + ", ".join(_value(item, indent) for item in value) + "]"
